package scene

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"cellwall/mapping/cell"
	"cellwall/mapping/cores"
	"cellwall/mapping/fault"
)

// RecordFormat is what record.json says it is.
const RecordFormat = "cellwall.record/1"

// Record is what a map was made from: enough to tell whether two maps rest on
// the same evidence, and to make one again. Times is the only part that differs
// between two runs on the same input.
type Record struct {
	Format   string             `json:"format"`
	Version  string             `json:"version"`
	Number   string             `json:"number"` // that the drawings and the report bear
	Cell     string             `json:"cell"`
	Inputs   []Input            `json:"inputs"`
	Settings Settings           `json:"settings"`
	Seeds    map[string]int64   `json:"seeds"` // of every random draw, by what it was drawn for
	Points   filePoints         `json:"points"`
	Placed   []filePlaced       `json:"placed,omitempty"` // scans whose pose was rough, as they were placed
	Times    map[string]float64 `json:"times_s"`          // s, by step
}

// Input is a file that was read.
type Input struct {
	File   string `json:"file"` // from the cell folder, with forward slashes
	Bytes  int64  `json:"bytes"`
	SHA256 string `json:"sha256"`
}

// Settings of the scene as they were used, mm.
type Settings struct {
	Margin      float64 `json:"margin_mm"`
	Behind      float64 `json:"behind_mm"`
	UnseenVoxel float64 `json:"unseen_voxel_mm"`
	Least       float64 `json:"least_obstacle_mm"`
}

// NewRecord reads every file of the cell once more for its hash. The caller adds
// Times, and Seeds where it drew any. Every error is a *fault.Error that names
// the file.
func NewRecord(c *cell.Cell, s *Scene) (*Record, error) {
	used := c.Scene
	r := &Record{
		Format: RecordFormat, Version: Version, Cell: c.Name,
		Inputs:   make([]Input, len(c.Files)),
		Settings: Settings{used.Margin, used.Behind, used.UnseenVoxel, mm(used.LeastObstacle)},
		Seeds:    map[string]int64{}, Points: pointsOf(s.Points), Times: map[string]float64{},
	}
	for _, p := range s.Placed {
		r.Placed = append(r.Placed, placedOf(p))
	}
	errs := make([]error, len(c.Files))
	cores.Each(len(c.Files), func(i int) { r.Inputs[i], errs[i] = inputOf(c, c.Files[i]) })
	for _, err := range errs { // the first by the files' order, whichever failed first
		if err != nil {
			return nil, err
		}
	}
	r.Number = r.number()
	return r, nil
}

// number is short enough to write down, and the same for the same inputs,
// settings and version only: of a thousand maps two share theirs once in ten
// thousand times.
func (r *Record) number() string {
	h := sha256.New()
	fmt.Fprintln(h, r.Format, r.Version, r.Settings)
	for _, in := range r.Inputs {
		fmt.Fprintf(h, "%q %s\n", in.File, in.SHA256)
	}
	sum := hex.EncodeToString(h.Sum(nil))
	return sum[:4] + "-" + sum[4:8]
}

func inputOf(c *cell.Cell, file string) (Input, error) {
	in, err := hashOf(c.Path(file))
	if err != nil {
		return Input{}, fault.OfOpening(file, err)
	}
	in.File = filepath.ToSlash(file)
	return in, nil
}

// hashOf reads a file for its length and its hash.
func hashOf(path string) (Input, error) {
	f, err := os.Open(path)
	if err != nil {
		return Input{}, err
	}
	defer f.Close()
	h := sha256.New()
	n, err := io.CopyBuffer(h, f, make([]byte, 1<<18))
	return Input{Bytes: n, SHA256: hex.EncodeToString(h.Sum(nil))}, err
}

// WriteJSON writes record.json.
func (r *Record) WriteJSON(w io.Writer) error {
	times := make(map[string]float64, len(r.Times))
	for step, t := range r.Times {
		times[step] = to(3, t)
	}
	out := *r
	out.Times = times
	return writeLaidOut(w, &out)
}
