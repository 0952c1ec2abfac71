package changes

import (
	"encoding/json"
	"io"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Format is what a written list of changes says it is.
const Format = "cellwall.changes/1"

type fileChanges struct {
	Format  string       `json:"format"`
	Level   float64      `json:"level"`
	Changes []fileChange `json:"changes"`
}

type fileChange struct {
	Change   Sort         `json:"change"`
	Name     string       `json:"name"`
	NewName  string       `json:"name_in_new,omitempty"`
	Kind     string       `json:"kind"`
	At       [3]float64   `json:"at_mm"`
	Size     *[3]float64  `json:"size_mm,omitempty"`
	Open     []string     `json:"undetermined,omitempty"`
	Weak     []string     `json:"weakly_determined,omitempty"`
	Shift    float64      `json:"shift_mm,omitempty"`
	SigmaT   float64      `json:"shift_sigma_mm,omitempty"`
	Turn     float64      `json:"turn_deg,omitempty"`
	SigmaR   float64      `json:"turn_sigma_deg,omitempty"`
	Sizes    []fileResize `json:"sizes,omitempty"`
	Unlike   []string     `json:"changed_surfaces,omitempty"`
	Vanished []string     `json:"gone_surfaces,omitempty"`
	Appeared []string     `json:"new_surfaces,omitempty"`
	Evidence float64      `json:"rays_through"`
}

type fileResize struct {
	Name     string  `json:"name"`
	Old      float64 `json:"old"`
	OldSigma float64 `json:"old_sigma"`
	New      float64 `json:"new"`
	NewSigma float64 `json:"new_sigma"`
}

// WriteJSON writes changes for programs: mm, degrees, the same bytes for the same
// maps.
func WriteJSON(w io.Writer, all []Change, level float64) error {
	f := fileChanges{Format: Format, Level: level, Changes: []fileChange{}}
	for _, c := range all {
		f.Changes = append(f.Changes, fileOf(c))
	}
	e := json.NewEncoder(w)
	e.SetIndent("", " ")
	return e.Encode(f)
}

func fileOf(c Change) fileChange {
	f := fileChange{
		Change: c.Sort, Name: c.Name, NewName: c.NewName, Kind: string(c.Kind), At: xyz(c.At),
		Shift: to(c.Shift), SigmaT: to(c.SigmaT), Turn: to(c.Turn * 180 / math.Pi), SigmaR: to(c.SigmaR * 180 / math.Pi), Unlike: c.Unlike, Vanished: c.Vanished, Appeared: c.Appeared, Evidence: to(c.Evidence),
	}
	if c.Size != (r3.Vec{}) {
		size := xyz(c.Size)
		f.Size = &size
	}
	f.Open, f.Weak = c.Open, c.Weak
	for _, r := range c.Sizes {
		f.Sizes = append(f.Sizes, fileResize{r.Name, to(r.Old.Value), to(r.Old.Sigma), to(r.New.Value), to(r.New.Sigma)})
	}
	return f
}

func xyz(v r3.Vec) [3]float64 { return [3]float64{to(v.X), to(v.Y), to(v.Z)} }

// to rounds to four decimals.
func to(v float64) float64 { return math.Round(1e4*v) / 1e4 }
