package motion

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"cellwall/mapping/arm"
	"cellwall/mapping/fault"
	"cellwall/mapping/geom"
)

const degree = math.Pi / 180

// largest is beyond any time in s, length in mm or angle in deg, and small
// enough that differences keep their meaning.
const largest = 1e12

var poseColumns = []string{"t", "x", "y", "z", "qw", "qx", "qy", "qz"}

// Open reads a motion file: CSV with the header t,j1,...,jn (s, deg) or
// t,x,y,z,qw,qx,qy,qz (s, mm; the flange in base). Joint angles need the arm a
// and must lie within its limits; for a pose stream a may be nil. Every fault is
// a *fault.Error.
func Open(path string, a *arm.Arm) (*Track, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fault.OfOpening(path, err)
	}
	defer f.Close()
	return read(f, path, a)
}

// reader reads the rows of one file.
type reader struct {
	file  string
	csv   *csv.Reader
	line  int
	place []int // where in a line the columns stand: t first, then as the track wants them
	names []string
	row   []float64 // as place, angles in rad
	track *Track
}

func read(from io.Reader, path string, a *arm.Arm) (*Track, error) {
	in := bufio.NewReader(from)
	if head, _ := in.Peek(3); string(head) == "\xef\xbb\xbf" { // byte order mark
		in.Discard(3)
	}
	r := &reader{file: path, csv: csv.NewReader(in), track: &Track{file: path}}
	head, _ := in.Peek(in.Size())
	r.csv.Comma = separatorOf(head)
	r.csv.Comment, r.csv.ReuseRecord, r.csv.TrimLeadingSpace = '#', true, true
	if err := r.header(a); err != nil {
		return nil, err
	}
	for {
		err := r.next()
		if err == io.EOF {
			break
		} else if err != nil {
			return nil, err
		}
	}
	if len(r.track.times) == 0 {
		return nil, &fault.Error{File: path, Rule: "it holds no rows", Remedy: "export the motion again"}
	}
	return r.track, nil
}

// separatorOf looks at the first line that is not a comment.
func separatorOf(head []byte) rune {
	for line := range bytes.Lines(head) {
		if line[0] == '#' || len(bytes.TrimSpace(line)) == 0 {
			continue
		}
		for _, c := range ";\t" {
			if bytes.ContainsRune(line, c) {
				return c
			}
		}
		break
	}
	return ','
}

// record is the next line.
func (r *reader) record() ([]string, error) {
	rec, err := r.csv.Read()
	var bad *csv.ParseError
	switch {
	case errors.As(err, &bad):
		r.line = bad.Line
		rule := bad.Err.Error()
		if bad.Err == csv.ErrFieldCount {
			rule = fmt.Sprintf("the line has %d columns, the header %d", len(rec), r.csv.FieldsPerRecord)
		}
		return nil, r.fault("", rule, "let every line have the columns of the header")
	case err != nil && err != io.EOF:
		return nil, fault.OfOpening(r.file, err)
	case err == nil:
		r.line, _ = r.csv.FieldPos(0)
	}
	return rec, err
}

// header finds out which kind of motion this is.
func (r *reader) header(a *arm.Arm) error {
	names, err := r.record()
	if err == io.EOF {
		return r.fault("", "it is empty", "export the motion again")
	} else if err != nil {
		return err
	}
	for i, n := range names {
		names[i] = strings.ToLower(strings.TrimSpace(n))
	}
	if slices.Contains(names, "x") || slices.Contains(names, "qw") {
		return r.columns(names, poseColumns)
	}
	if !slices.Contains(names, "j1") {
		return r.fault("", fmt.Sprintf("the header %.60q is neither t,j1,...,jn nor t,x,y,z,qw,qx,qy,qz", strings.Join(names, ",")), "name the columns in the first line")
	}
	if a == nil {
		return r.fault("", "it holds joint angles, and the cell names no robot", "name the robot in cell.yaml, or give poses: t,x,y,z,qw,qx,qy,qz")
	}
	want := []string{"t"}
	for i := range a.Joints {
		want = append(want, "j"+strconv.Itoa(i+1))
	}
	r.track.arm = a
	return r.columns(names, want)
}

// columns finds where the wanted columns stand; there must be no other.
func (r *reader) columns(names, want []string) error {
	remedy := "write the columns " + strings.Join(want, ",")
	for _, w := range want {
		at := slices.Index(names, w)
		if at < 0 {
			return r.fault("", fmt.Sprintf("there is no column %s", w), remedy)
		}
		r.place = append(r.place, at)
	}
	for i, n := range names {
		if !slices.Contains(r.place, i) {
			return r.fault("", fmt.Sprintf("the column %.24q is one too many", n), remedy)
		}
	}
	r.names, r.row = want, make([]float64, len(want))
	return nil
}

// next reads one row into the track.
func (r *reader) next() error {
	rec, err := r.record()
	if err != nil {
		return err
	}
	for i, at := range r.place {
		v, err := strconv.ParseFloat(strings.TrimSpace(rec[at]), 64)
		if err != nil || !(math.Abs(v) <= largest) {
			return r.fault(r.names[i], fmt.Sprintf("%.24q is not a sensible number", rec[at]), "write decimal numbers such as -12.5")
		}
		r.row[i] = v
	}
	tr := r.track
	if n := len(tr.times); n > 0 && r.row[0] <= tr.times[n-1] {
		return r.fault("t", fmt.Sprintf("%g s follows %g s: the times do not increase", r.row[0], tr.times[n-1]), "sort the rows by time and keep one row for each instant")
	}
	tr.times = append(tr.times, r.row[0])
	if tr.Joints() {
		return r.takeJoints(r.row[1:])
	}
	return r.takePose(r.row[1:])
}

// takeJoints holds the angles (deg) against the arm's limits.
func (r *reader) takeJoints(deg []float64) error {
	for i, v := range deg {
		j, q := r.track.arm.Joints[i], v*degree
		if q < j.Min || q > j.Max {
			return r.fault(r.names[i+1], fmt.Sprintf("%g deg is outside the joint's limits, %.7g to %.7g deg", v, j.Min/degree, j.Max/degree),
				"check the motion file's units and the limits in the robot's file")
		}
		r.track.joints = append(r.track.joints, q)
	}
	return nil
}

// takePose takes x, y, z (mm) and the quaternion w, x, y, z.
func (r *reader) takePose(v []float64) error {
	rot, err := geom.RotFromQuat(v[3], v[4], v[5], v[6])
	if err != nil {
		return r.fault("qw,qx,qy,qz", err.Error(), "write unit quaternions, w first")
	}
	r.track.poses = append(r.track.poses, geom.Pose{R: rot, T: r3.Vec{X: v[0], Y: v[1], Z: v[2]}})
	return nil
}

// fault speaks of the line just read.
func (r *reader) fault(where, rule, remedy string) error {
	return &fault.Error{File: r.file, Line: r.line, Where: where, Rule: rule, Remedy: remedy}
}
