package main

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"cellwall/export/whole"
	"cellwall/mapping/arm"
	"cellwall/mapping/cell"
	"cellwall/scene/moves"
	"cellwall/scene/reach"

	"github.com/spf13/cobra"
)

// carried are the taught points and the program that `moved` takes along.
type carried struct {
	from, to           string
	program, toProgram string
	limits             moves.Limits
	points             []moves.Taught
	steps              *reach.Program
	robot              *arm.Arm
	done               []moves.Carried
	failed             int // points and rows that could not be corrected
}

func (k *carried) flags(cmd *cobra.Command) {
	cmd.Flags().StringVar(&k.from, "points", "", "a CSV table of taught points to correct")
	cmd.Flags().StringVar(&k.to, "to", "", "the CSV table of corrected points to write")
	cmd.Flags().StringVar(&k.program, "program", "", "a program to correct, CSV as for reach, whose column object says what a row was taught against")
	cmd.Flags().StringVar(&k.toProgram, "to-program", "", "the corrected program to write")
	cmd.Flags().Float64Var(&k.limits.Shift, "check", 10, "flag points and rows that are corrected by more than so many mm")
	cmd.Flags().Float64Var(&k.limits.Known, "known", 1, "flag points and rows that are known to worse than so many mm (k = 2), as where only edges tell how far an object slid")
}

// open reads the points and the program, before long work.
func (k *carried) open(dir string) error {
	if !(k.limits.Shift >= 0) {
		return fmt.Errorf("--check is %g mm; it must not be negative", k.limits.Shift)
	}
	if !(k.limits.Known > 0) {
		return fmt.Errorf("--known is %g mm; nothing is known that well, give what the work allows, such as 1", k.limits.Known)
	}
	if err := pairOfFiles("--points", k.from, "--to", k.to); err != nil {
		return err
	}
	if err := pairOfFiles("--program", k.program, "--to-program", k.toProgram); err != nil {
		return err
	}
	var err error
	if k.from != "" {
		if k.points, err = moves.OpenTaught(k.from); err != nil {
			return err
		}
	}
	if k.program == "" {
		return nil
	}
	in, err := cell.Open(dir)
	if err != nil {
		return err
	}
	if k.robot = in.Robot; k.robot == nil {
		return errors.New("--program needs the robot, for joints are solved anew; name its file in cell.yaml")
	}
	if k.steps, err = reach.OpenProgram(k.program, k.robot); err != nil {
		return err
	}
	if !slices.ContainsFunc(k.steps.Rows, func(r reach.Row) bool { return r.Object != "" }) {
		return fmt.Errorf("--program %s: no row says what it was taught against; add a column object, and fill it in the rows that go along with one", k.program)
	}
	return nil
}

// pairOfFiles checks a file to read and the one to write for it, both or none.
func pairOfFiles(read, from, write, to string) error {
	switch {
	case from == "" && to == "":
		return nil
	case from == "":
		return fmt.Errorf("%s is given without %s; name the file to correct", write, read)
	case to == "":
		return fmt.Errorf("%s is given without %s; name the file to write", read, write)
	case filepath.Clean(from) == filepath.Clean(to):
		return fmt.Errorf("%s names the file that is corrected; name another, and keep that", write)
	}
	if err := spares(write, to, from); err != nil {
		return err
	}
	return endsIn(write, to, ".csv")
}

// write corrects the points and the program and writes them whole; what needs a
// look is said on stderr, for stdout holds the moves.
func (k *carried) write(cmd *cobra.Command, c *common, told *moves.Comparison) error {
	if k.to != "" {
		k.done = told.Carry(k.points, k.limits)
		done := k.done
		if err := whole.File(cmd.Context(), k.to, func(w io.Writer) error { return moves.WriteCarried(w, done) }); err != nil {
			return err
		}
		k.say(cmd, c, k.to, "points", k.done)
	}
	if k.toProgram == "" {
		return nil
	}
	rows := told.CarryProgram(k.steps, k.robot, k.limits)
	var all []moves.Carried
	out := &reach.Program{}
	remarks := []string{fmt.Sprintf("corrected after a move, from %s; drive it at reduced speed first", filepath.Base(k.program))}
	for _, r := range rows {
		all = append(all, r.Carried)
		out.Rows = append(out.Rows, r.Row)
		remarks = append(remarks, remark(&r))
	}
	if slices.ContainsFunc(all, func(p moves.Carried) bool { return p.Why != "" }) {
		k.say(cmd, c, k.toProgram+" was not written: the program", "rows", all)
		return nil
	}
	if err := whole.File(cmd.Context(), k.toProgram, func(w io.Writer) error { return out.Write(w, len(k.robot.Joints), remarks) }); err != nil {
		return err
	}
	k.done = append(k.done, slices.DeleteFunc(all, func(p moves.Carried) bool { return p.Object == "" })...)
	k.say(cmd, c, k.toProgram, "rows", all)
	return nil
}

// remark says what was done to a row.
func remark(r *moves.CarriedRow) string {
	if r.Object == "" {
		return r.Name + ": as taught, against no object"
	}
	u, _ := r.Expanded()
	s := fmt.Sprintf("%s: %s, by %.2f mm and %.3f deg, known to %.2f mm (k = %d)", r.Name, r.Status(), r.Shift, degree(r.Turn), u, moves.Coverage)
	if r.Joint >= 0 {
		s += fmt.Sprintf(", joint %d by %.2f deg", r.Joint+1, degree(r.By))
	}
	if r.Check() {
		s += ", CHECK: " + strings.Join(r.Flags, "; ")
	}
	return s
}

// say tells of what was corrected and what was not.
func (k *carried) say(cmd *cobra.Command, c *common, file, what string, done []moves.Carried) {
	flagged, failed := 0, 0
	for i := range done {
		if done[i].Why != "" {
			failed++
			fmt.Fprintf(cmd.ErrOrStderr(), "cellwall: %s was not corrected: %s; scan next %s\n", done[i].Name, done[i].Why, done[i].ScanNext)
		} else if done[i].Check() {
			flagged++
		}
	}
	k.failed += failed
	if !c.quiet || failed > 0 {
		fmt.Fprintf(cmd.ErrOrStderr(), "cellwall: %s holds %d %s, %d of them corrected by more than %g mm or known to worse than %g mm: drive there at reduced speed first; %d not corrected\n",
			file, len(done), what, flagged, k.limits.Shift, k.limits.Known, failed)
	}
}
