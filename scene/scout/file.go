package scout

import (
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
)

// Format is what the JSON of a plan says it is.
const Format = "cellwall.scout/1"

type planFile struct {
	Format string      `json:"format"`
	Unseen float64     `json:"unseen_in_reach_m3"`
	Apart  float64     `json:"profiles_apart_deg"`
	Sweeps []sweepFile `json:"sweeps"`
}

type sweepFile struct {
	Joint int         `json:"joint"` // from 1
	Way   [][]float64 `json:"way_deg"`
	From  []float64   `json:"from_deg"`
	To    []float64   `json:"to_deg"`
	Sees  float64     `json:"expected_to_see_m3"`
	Blind bool        `json:"enters_unseen"`
}

// WriteJSON writes the plan for machines; schema/scout.schema.json says what
// each member means.
func (p *Plan) WriteJSON(w io.Writer) error {
	out := planFile{Format: Format, Unseen: p.Unseen, Apart: p.Apart * 180 / math.Pi, Sweeps: []sweepFile{}}
	for _, s := range p.Sweeps {
		var way [][]float64
		for _, q := range s.Way {
			way = append(way, degrees(q))
		}
		out.Sweeps = append(out.Sweeps, sweepFile{s.Joint + 1, way, degrees(s.From), degrees(s.To), s.Sees, s.Blind})
	}
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	return e.Encode(out)
}

// WriteProgram writes the sweep as a program for the arm that package reach
// reads: from where a scan began to where the sweep begins, the sweep, and back
// again.
func (s *Sweep) WriteProgram(w io.Writer) error {
	c := csv.NewWriter(w)
	row := []string{"name", "motion"}
	for i := range s.From {
		row = append(row, "j"+strconv.Itoa(i+1))
	}
	c.Write(row) // Flush keeps the error
	for _, stop := range s.stops() {
		row = append(row[:0], stop.name, "joint")
		for _, v := range degrees(stop.q) {
			row = append(row, strconv.FormatFloat(v, 'f', -1, 64))
		}
		c.Write(row)
	}
	c.Flush()
	return c.Error()
}

// JSONFile is the plan in the folder that WriteFolder writes.
const JSONFile = "scout.json"

// WriteFolder writes the plan as JSON and every sweep as a program of its own,
// sweep-1.csv and on: from one to the next the arm has to be brought first.
func (p *Plan) WriteFolder(dir string) error {
	if err := writeFile(filepath.Join(dir, JSONFile), p.WriteJSON); err != nil {
		return err
	}
	for i := range p.Sweeps {
		if err := writeFile(filepath.Join(dir, fmt.Sprintf("sweep-%d.csv", i+1)), p.Sweeps[i].WriteProgram); err != nil {
			return err
		}
	}
	return nil
}

func writeFile(path string, write func(io.Writer) error) error {
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	return errors.Join(write(f), f.Close())
}

// stop is a row of the program.
type stop struct {
	name string
	q    []float64
}

func (s *Sweep) stops() []stop {
	var out []stop
	for _, q := range s.Way {
		out = append(out, stop{"there", q})
	}
	out[0].name = "home"
	back := slices.Clone(out)
	slices.Reverse(back)
	out = append(out, stop{"begin", s.From}, stop{"end", s.To})
	for _, b := range back {
		out = append(out, stop{"back", b.q})
	}
	return out
}

// degrees to a ten-thousandth, as controllers log them.
func degrees(q []float64) []float64 {
	out := make([]float64, len(q))
	for i, v := range q {
		out[i] = math.Round(v*180/math.Pi*1e4)/1e4 + 0 // no minus zero
	}
	return out
}
