package reach

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Write writes the program as OpenProgram reads it for an arm of so many joints,
// with remarks, one line each, before its header. Joints are rounded to 1e-6
// degrees, under 1e-4 mm at 3 m.
func (p *Program) Write(w io.Writer, joints int, remarks []string) error {
	for _, r := range remarks {
		if _, err := fmt.Fprintf(w, "# %s\n", r); err != nil {
			return err
		}
	}
	columns := []struct {
		names  []string
		always bool
		fields func(*Row) []string
	}{
		{[]string{"name", "motion"}, true, func(r *Row) []string { return []string{r.Name, string(r.Motion)} }},
		{jointColumns(joints), true, func(r *Row) []string { return r.jointFields(joints) }},
		{poseColumns, false, (*Row).poseFields},
		{[]string{"config"}, false, func(r *Row) []string { return []string{configFields(r.Config)} }},
		{[]string{"carry"}, false, func(r *Row) []string { return []string{r.Carry} }},
		{[]string{"object"}, false, func(r *Row) []string { return []string{r.Object} }},
	}
	rows := make([][]string, 1+len(p.Rows))
	for _, c := range columns {
		if !c.always && !slices.ContainsFunc(p.Rows, func(r Row) bool { return strings.Join(c.fields(&r), "") != "" }) {
			continue
		}
		rows[0] = append(rows[0], c.names...)
		for i := range p.Rows {
			rows[1+i] = append(rows[1+i], c.fields(&p.Rows[i])...)
		}
	}
	return csv.NewWriter(w).WriteAll(rows)
}

func jointColumns(n int) []string {
	out := make([]string, n)
	for i := range out {
		out[i] = fmt.Sprintf("j%d", i+1)
	}
	return out
}

func configFields(all []Condition) string {
	var out []string
	for _, k := range all {
		out = append(out, k.String())
	}
	return strings.Join(out, " ")
}

func (r *Row) jointFields(n int) []string {
	out := make([]string, n)
	for i := range r.Joints {
		out[i] = decimals(r.Joints[i]*180/math.Pi, 6)
	}
	return out
}

func (r *Row) poseFields() []string {
	out := make([]string, len(poseColumns))
	if r.Pose == nil {
		return out
	}
	q, t := r.Pose.R.Quat(), r.Pose.T
	for i, v := range [3]float64{t.X, t.Y, t.Z} {
		out[i] = decimals(v, 4)
	}
	for i, v := range q {
		out[3+i] = decimals(v, 9)
	}
	return out
}

// decimals writes a number with so many decimals; minus nothing is nothing.
func decimals(v float64, n int) string {
	p := math.Pow(10, float64(n))
	return strconv.FormatFloat(math.Round(v*p)/p+0, 'f', n, 64)
}
