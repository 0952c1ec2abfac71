package mapping

import (
	"fmt"

	"cellwall/mapping/fault"
)

// left is how many points no reason speaks against so far.
func (c *Counts) left() int64 {
	n := c.Read
	for _, d := range c.Dropped {
		n -= d
	}
	return n
}

// judge returns an error where none of the scan's points can be used.
func (s *scan) judge() error {
	if s.track != nil && s.counts.Dropped[NoMotion] > 0 {
		if err := s.track.Overlap(s.path, s.first, s.last); err != nil {
			return err
		}
	}
	if s.counts.left() > 0 {
		return nil
	}
	why, n := s.counts.most()
	return &fault.Error{File: s.path,
		Rule:   fmt.Sprintf("none of its %d points can be used: %d are dropped as %s", s.counts.Read, n, why),
		Remedy: remedies[why]}
}

// remedies says what to do where most points are dropped for a reason.
var remedies = [numReasons]string{
	NoReturn:    "check that the scanner saw something, and that the file's columns are in order",
	NoMotion:    "check that the motion covers the scan, that both use one clock, and latency_ms",
	OutOfRange:  "check range_mm of the scanner and units of the scan (mm unless it says m or in)",
	Ignored:     "check the boxes under ignore",
	RobotItself: "check the mount, the robot's capsules and units of the scan (points in m that are read as mm lie at the scanner)",
	EdgePoint:   "check that each profile's points have one stamp and come in the order of the line",
	Sparse:      "check the motion against the points, or scan again more slowly",
}

// most is the reason for which most points were dropped.
func (c *Counts) most() (Reason, int64) {
	var why Reason
	for r := range numReasons {
		if c.Dropped[r] > c.Dropped[why] {
			why = r
		}
	}
	return why, c.Dropped[why]
}

// suspicious is the share of a scan's returns that is worth a warning when it is
// dropped for the reason: at least as much again as a sound scan loses (from the
// invented cells of the fixtures).
var suspicious = [numReasons]float64{
	NoReturn:    0.8,
	NoMotion:    0.05,
	OutOfRange:  0.3,
	Ignored:     0.5,
	RobotItself: 0.3,
	EdgePoint:   0.1,
	Sparse:      0.1,
}

// warnings names what is suspicious about the scan.
func (s *scan) warnings() []string {
	var out []string
	if s.track != nil && s.track.LikeRadians() {
		out = append(out, fmt.Sprintf("scan %s: no joint angle in its motion is above 6.3: if they are radians, write degrees", s.spec.Name))
	}
	returns := s.counts.Read - s.counts.Dropped[NoReturn]
	for why := range numReasons {
		of := returns
		if why == NoReturn {
			of = s.counts.Read
		}
		n := s.counts.Dropped[why]
		if float64(n) <= suspicious[why]*float64(of) {
			continue
		}
		text := fmt.Sprintf("scan %s: %d of %d points are dropped as %s", s.spec.Name, n, of, why)
		if why == NoMotion {
			begin, end := s.track.Span()
			text += fmt.Sprintf(" (stamps less latency run from %.3f to %.3f s, the motion from %.3f to %.3f s)", s.first, s.last, begin, end)
		}
		out = append(out, text+"; "+remedies[why])
	}
	return out
}
