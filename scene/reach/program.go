package reach

import (
	"bufio"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"

	"cellwall/mapping/arm"
	"cellwall/mapping/fault"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Motion is how the arm gets to a row from the row before.
type Motion string

// The two motions: all joints together, in proportion; and the tool point along a
// straight line while the tool turns evenly about one axis. Where the robot's file
// names no tool, the tool point is the flange's origin.
const (
	Joint Motion = "joint"
	Line  Motion = "line"
)

// Row of a program. Either Joints (rad) or Pose (of the tool point, in base) is set.
type Row struct {
	Name   string
	Object string // that it was taught against, "" for none: so that it can be carried along where that moves
	Motion Motion
	Joints []float64
	Pose   *geom.Pose
	Config []Condition // that the joint angles at a pose must meet
	Carry  string      // the part that the tool carries from this row on; nothing; empty for no change
	Line   int         // in the file
}

// Program is a list of rows for an arm.
type Program struct {
	File string
	Rows []Row
}

var poseColumns = []string{"x", "y", "z", "qw", "qx", "qy", "qz"}

// largest is beyond any length in mm or angle in deg.
const largest = 1e7

// OpenProgram reads a program for the arm: CSV with the header
// name,motion,j1,...,jn (deg) or name,motion,x,y,z,qw,qx,qy,qz (mm; the tool
// point in base), or all of these, where every row fills one of the two; and
// config, carry and object besides. The first row is where the arm starts. Joints lie
// within the limits.
// Every error is a *fault.Error.
func OpenProgram(path string, a *arm.Arm) (*Program, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fault.OfOpening(path, err)
	}
	defer f.Close()
	return ReadProgram(f, path, a)
}

// ReadProgram is OpenProgram from a reader; path is for messages.
func ReadProgram(from io.Reader, path string, a *arm.Arm) (*Program, error) {
	r := &programReader{file: path, arm: a, csv: csv.NewReader(bufio.NewReader(from))}
	r.csv.Comment, r.csv.TrimLeadingSpace = '#', true
	if err := r.header(); err != nil {
		return nil, err
	}
	p := &Program{File: path}
	for {
		rec, err := r.record()
		if err == io.EOF {
			break
		} else if err != nil {
			return nil, err
		}
		row, err := r.row(rec)
		if err != nil {
			return nil, err
		}
		p.Rows = append(p.Rows, row)
	}
	if len(p.Rows) == 0 {
		return nil, &fault.Error{File: path, Rule: "the program has no rows", Remedy: "write a row for every posture, the first for the start"}
	}
	return p, nil
}

// programReader reads one file.
type programReader struct {
	file         string
	arm          *arm.Arm
	csv          *csv.Reader
	line         int
	columns      []string
	joints, pose []int // where their columns stand; nil where there are none
}

func (r *programReader) fault(where, rule, remedy string) error {
	return &fault.Error{File: r.file, Line: r.line, Where: where, Rule: rule, Remedy: remedy}
}

func (r *programReader) record() ([]string, error) {
	rec, err := r.csv.Read()
	var bad *csv.ParseError
	switch {
	case errors.As(err, &bad):
		r.line = bad.Line
		rule := bad.Err.Error()
		if errors.Is(bad.Err, csv.ErrFieldCount) {
			rule = fmt.Sprintf("the line has %d columns, the header %d", len(rec), len(r.columns))
		}
		return nil, r.fault("", rule, "let every line have the columns of the header")
	case err != nil && err != io.EOF:
		return nil, fault.OfOpening(r.file, err)
	case err == nil:
		r.line, _ = r.csv.FieldPos(0)
	}
	return rec, err
}

// header finds the columns.
func (r *programReader) header() error {
	names, err := r.record()
	if err == io.EOF {
		return &fault.Error{File: r.file, Rule: "the program is empty", Remedy: "start it with the header name,motion,j1,...,j" + strconv.Itoa(len(r.arm.Joints))}
	} else if err != nil {
		return err
	}
	for i, n := range names {
		r.columns = append(r.columns, strings.TrimSpace(strings.TrimPrefix(n, "\ufeff")))
		if slices.Contains(r.columns[:i], r.columns[i]) {
			return r.fault(r.columns[i], "the column stands in the header twice", "keep one of them")
		}
	}
	wanted := make([]string, len(r.arm.Joints))
	for i := range wanted {
		wanted[i] = fmt.Sprintf("j%d", i+1)
	}
	known := slices.Concat([]string{"name", "motion"}, wanted, poseColumns, []string{"config", "carry", "object"})
	for _, c := range r.columns {
		if !slices.Contains(known, c) {
			return r.fault(c, "the column is not known", fmt.Sprintf("keep to name,motion,%s and %s,config, carry and object", strings.Join(wanted, ","), strings.Join(poseColumns, ",")))
		}
	}
	r.joints, r.pose = r.places(wanted), r.places(poseColumns)
	switch {
	case r.places([]string{"name", "motion"}) == nil:
		return r.fault("", "the header lacks name or motion", "start it with name,motion")
	case r.joints == nil && (r.pose == nil || r.hasAny(wanted)):
		return r.fault("", fmt.Sprintf("the header lacks some of the joints j1 to j%d", len(wanted)), "name all of the robot's joints, or a pose by "+strings.Join(poseColumns, ","))
	case r.pose == nil && r.hasAny(poseColumns):
		return r.fault("", "the header has some columns of a pose and not all", "name "+strings.Join(poseColumns, ",")+", or none of them")
	}
	return nil
}

// hasAny tells whether the header names one of the columns.
func (r *programReader) hasAny(names []string) bool {
	return slices.ContainsFunc(names, func(n string) bool { return slices.Contains(r.columns, n) })
}

// field is what a row says in a column that need not be there.
func (r *programReader) field(rec []string, name string) string {
	if i := slices.Index(r.columns, name); i >= 0 {
		return strings.TrimSpace(rec[i])
	}
	return ""
}

// places of the columns; nil where one is missing.
func (r *programReader) places(names []string) []int {
	var out []int
	for _, n := range names {
		i := slices.Index(r.columns, n)
		if i < 0 {
			return nil
		}
		out = append(out, i)
	}
	return out
}

func (r *programReader) row(rec []string) (Row, error) {
	at := r.places([]string{"name", "motion"})
	row := Row{Name: strings.TrimSpace(rec[at[0]]), Motion: Motion(strings.TrimSpace(rec[at[1]])), Line: r.line}
	if row.Name == "" {
		return row, r.fault("name", "the row has no name", "give every row one: results are listed by it")
	}
	if row.Motion != Joint && row.Motion != Line {
		return row, r.fault("motion", fmt.Sprintf("the motion %q is not known", row.Motion), "write joint or line")
	}
	row.Carry, row.Object = r.field(rec, "carry"), r.field(rec, "object")
	var err error
	if row.Config, err = conditions(r.field(rec, "config"), len(r.arm.Joints)); err != nil {
		return row, r.fault("config", err.Error(), "write on which side of an angle in deg joints stand, such as j3<0 j5>0")
	}
	joints, pose := filled(rec, r.joints), filled(rec, r.pose)
	switch {
	case joints > 0 && row.Config != nil:
		return row, r.fault("config", "the row gives joints, which leave nothing to choose", "leave the column empty")
	case joints > 0 && joints == len(r.joints) && pose == 0:
		return row, r.takeJoints(&row, rec)
	case joints == 0 && pose > 0 && pose == len(r.pose):
		return row, r.takePose(&row, rec)
	}
	return row, r.fault(row.Name, "the row gives neither all joints nor all of a pose, or something of both", "fill one of the two and leave the other empty")
}

func filled(rec []string, at []int) int {
	n := 0
	for _, i := range at {
		if strings.TrimSpace(rec[i]) != "" {
			n++
		}
	}
	return n
}

func (r *programReader) numbers(rec []string, at []int) ([]float64, error) {
	out := make([]float64, len(at))
	for i, k := range at {
		v, err := strconv.ParseFloat(strings.TrimSpace(rec[k]), 64)
		if err != nil || !(math.Abs(v) <= largest) {
			return nil, r.fault(r.columns[k], fmt.Sprintf("%q is not a number, or out of all bounds", rec[k]), "write mm and deg with a decimal point")
		}
		out[i] = v
	}
	return out, nil
}

func (r *programReader) takeJoints(row *Row, rec []string) error {
	q, err := r.numbers(rec, r.joints)
	if err != nil {
		return err
	}
	for i := range q {
		q[i] *= math.Pi / 180
	}
	if err := r.arm.Within(q); err != nil {
		return r.fault(row.Name, err.Error(), "keep the row within the limits of the robot's file")
	}
	row.Joints = q
	return nil
}

func (r *programReader) takePose(row *Row, rec []string) error {
	v, err := r.numbers(rec, r.pose)
	if err != nil {
		return err
	}
	turn, err := geom.RotFromQuat(v[3], v[4], v[5], v[6])
	if err != nil {
		return r.fault(row.Name, err.Error(), "write a quaternion w, x, y, z of length 1")
	}
	row.Pose = &geom.Pose{R: turn, T: r3.Vec{X: v[0], Y: v[1], Z: v[2]}}
	return nil
}
