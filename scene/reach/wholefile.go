package reach

import (
	"math"
	"strings"
)

// WholeEntry is the whole reach as reach.json spells it.
type WholeEntry struct {
	Limits  [][2]float64       `json:"limits_deg"`
	Objects []ObjectReachEntry `json:"objects"`
	KeepOff *KeepOffEntry      `json:"keep_off,omitempty"`
	Unseen  *float64           `json:"unseen_in_reach_m3,omitempty"` // nil where the map does not tell
	Space   *SpaceEntry        `json:"space,omitempty"`              // nil where it is not worked out
}

// SpaceEntry is the space that the arm can take up: within the robot's own limits,
// and where some are narrower within those.
type SpaceEntry struct {
	Maximum    SizeEntry  `json:"maximum"`
	Restricted *SizeEntry `json:"restricted,omitempty"`
}

// SizeEntry is a Size as the file spells it.
type SizeEntry struct {
	Out    float64 `json:"out_mm"`
	Low    float64 `json:"low_mm"`
	High   float64 `json:"high_mm"`
	Volume float64 `json:"volume_m3"`
}

// TakeSpace puts the spaces in; restricted is nil where no limit is narrower.
func (r *Report) TakeSpace(maximum, restricted *Extent) {
	r.Whole.Space = &SpaceEntry{Maximum: sizeEntry(maximum)}
	if restricted != nil {
		e := sizeEntry(restricted)
		r.Whole.Space.Restricted = &e
	}
}

func sizeEntry(e *Extent) SizeEntry {
	s := e.Size()
	return SizeEntry{rounded(s.Out, 1e-3), rounded(s.Low, 1e-3), rounded(s.High, 1e-3), rounded(s.Volume*1e-9, 1e-6)}
}

// ObjectReachEntry is how near the arm can come to an object. Bound is absent
// where the object is within reach, or where nothing is certain.
type ObjectReachEntry struct {
	Object string     `json:"object"`
	Within bool       `json:"within_reach"`
	Links  []string   `json:"touched_by"`
	Maybe  []string   `json:"maybe_touched_by,omitempty"` // neither found to, nor certain not to
	Least  float64    `json:"least_mm"`
	Bound  *float64   `json:"bound_mm,omitempty"`
	Link   string     `json:"link"`
	OnLink [3]float64 `json:"on_link_mm"`
	OnBody [3]float64 `json:"on_object_mm"`
	Joints []float64  `json:"joints_deg"`
}

// By says in words which links touch the object.
func (o *ObjectReachEntry) By() string {
	text := strings.Join(o.Links, ", ")
	if o.Maybe != nil {
		text += "; not certain: " + strings.Join(o.Maybe, ", ")
	}
	return text
}

// KeepOffEntry are limits that keep the arm off an object.
type KeepOffEntry struct {
	Object string       `json:"object"`
	Limits []LimitEntry `json:"limits"`
}

// LimitEntry is one of them.
type LimitEntry struct {
	Joint int        `json:"joint"`
	Range [2]float64 `json:"range_deg"`
	Bound float64    `json:"bound_mm"`
}

// TakeWhole puts the whole reach in.
func (r *Report) TakeWhole(c *Checker, l Limits, found []ObjectReach) {
	r.Whole = &WholeEntry{Objects: []ObjectReachEntry{}}
	lo, hi := inDegrees(l.Lo), inDegrees(l.Hi)
	for i := range lo {
		r.Whole.Limits = append(r.Whole.Limits, [2]float64{lo[i], hi[i]})
	}
	for _, o := range found {
		n := nearness(o.Clearance)
		e := ObjectReachEntry{Object: o.Object, Within: o.Within(), Links: append([]string{}, o.Links...), Maybe: o.Uncertain,
			Least: n.Least, Link: n.Link, OnLink: n.OnLink, OnBody: n.OnBody, Joints: n.Joints}
		if !o.Within() && !math.IsInf(o.Bound, -1) {
			e.Bound = &n.Bound
		}
		r.Whole.Objects = append(r.Whole.Objects, e)
	}
}

// TakeKeepOffs puts limits in that keep the arm off the object. A limit is
// rounded to where it keeps off further.
func (r *Report) TakeKeepOffs(object string, offs []KeepOff) {
	k := &KeepOffEntry{Object: object, Limits: []LimitEntry{}}
	for _, o := range offs {
		lo, hi := math.Ceil(o.Lo/degrees*1e3)/1e3, math.Floor(o.Hi/degrees*1e3)/1e3
		k.Limits = append(k.Limits, LimitEntry{o.Joint, [2]float64{lo, hi}, roundedDown(o.Bound)})
	}
	r.Whole.KeepOff = k
}
