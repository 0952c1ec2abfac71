package report

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"cellwall/export/evidence"
	"cellwall/export/value"
	"cellwall/fit"
	"cellwall/scene"
)

// summary says in a sentence what the map holds.
func summary(s *scene.Scene) string {
	text := fmt.Sprintf("%s, made of %s, from %s.", count(len(s.Objects), "object"), count(solids(s), "solid"), count(len(s.Scans), "scan"))
	if n := len(s.NotLocated); n > 0 {
		text += fmt.Sprintf(" %s could not be located; see below why, and what to scan next.", count(n, "object"))
	}
	return text
}

func solids(s *scene.Scene) int {
	n := 0
	for i := range s.Objects {
		n += len(s.Objects[i].Solids)
	}
	return n
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// pair is a name with a value in words.
type pair struct{ Name, Value string }

// viseBox shows what most readers came for.
type viseBox struct {
	Name, Inside   string
	Position, Turn []pair
	Measures       []pair
	Claims         string
}

func vises(s *scene.Scene) []viseBox {
	var out []viseBox
	for i := range s.Objects {
		o := &s.Objects[i]
		if o.Kind != fit.Vise {
			continue
		}
		t, r := o.Cov.SigmaT(), o.Cov.SigmaR()
		roll, pitch, yaw := o.Pose.R.RPY()
		out = append(out, viseBox{
			Name: o.Name, Inside: o.Inside,
			Position: []pair{
				{"X", value.MM(o.Pose.T.X, t.X)}, {"Y", value.MM(o.Pose.T.Y, t.Y)}, {"Z", value.MM(o.Pose.T.Z, t.Z)},
			},
			Turn: []pair{
				{"roll", value.Deg(roll, r.X)}, {"pitch", value.Deg(pitch, r.Y)}, {"yaw", value.Deg(yaw, r.Z)},
			},
			Measures: measuresOf(o), Claims: strings.Join(o.Claims, ", "),
		})
	}
	return out
}

// objectRow is where an object is and how sure.
type objectRow struct {
	Name, Kind, Inside string
	Flat               string // of a plane: how far from the base
	X, Y, Z, Turn      string // of others: the datum's origin, and its turn about Z
	Note               string // of an object without a datum
	Solids             int
}

func objects(s *scene.Scene) []objectRow {
	out := make([]objectRow, len(s.Objects))
	for i := range s.Objects {
		o := &s.Objects[i]
		row := objectRow{Name: o.Name, Kind: string(o.Kind), Inside: o.Inside, Solids: len(o.Solids)}
		t := o.Cov.SigmaT()
		switch {
		case evidence.Flat(o):
			d := evidence.Distance(o)
			row.Flat = value.MM(d.Value, d.Sigma) + " from the base's origin"
		case o.Kind == scene.Remainder:
			row.Note = "what no object explains"
		default:
			_, _, yaw := o.Pose.R.RPY()
			unseen := len(o.NotSeen) > 0
			row.X, row.Y, row.Z = value.Bounded(o.Pose.T.X, t.X, unseen), value.Bounded(o.Pose.T.Y, t.Y, unseen), value.Bounded(o.Pose.T.Z, t.Z, unseen)
			row.Turn = value.Deg(yaw, o.Cov.SigmaR().Z)
		}
		out[i] = row
	}
	return out
}

// refusedRow is an object that was not located.
type refusedRow struct{ Name, Kind, Reason, ScanNext string }

func refused(s *scene.Scene) []refusedRow {
	var out []refusedRow
	for _, r := range s.NotLocated {
		out = append(out, refusedRow{r.Name, string(r.Kind), r.Reason, r.ScanNext})
	}
	return out
}

// measureRow lists an object's measures.
type measureRow struct {
	Object   string
	Measures []pair
	NotSeen  string
}

func measures(s *scene.Scene) []measureRow {
	var out []measureRow
	for i := range s.Objects {
		if m := measuresOf(&s.Objects[i]); len(m) > 0 {
			out = append(out, measureRow{s.Objects[i].Name, m, strings.Join(s.Objects[i].NotSeen, "; ")})
		}
	}
	return out
}

// measuresOf puts an object's measures into words, in the order of their names.
func measuresOf(o *scene.Object) []pair {
	var out []pair
	for _, name := range slices.Sorted(maps.Keys(o.Measures)) {
		m := o.Measures[name]
		words := strings.ReplaceAll(strings.TrimSuffix(name, "_mm"), "_", " ")
		out = append(out, pair{words, value.Bounded(m.Value, m.Sigma, len(o.NotSeen) > 0)})
	}
	return out
}

// surfaceRow says what a face rests on.
type surfaceRow struct {
	Object, Face, Shape, RMS, Scans string
	Points                          string
}

func surfaces(s *scene.Scene) []surfaceRow {
	var out []surfaceRow
	for _, o := range s.Objects {
		for i := range o.Faces {
			f := &o.Faces[i]
			row := surfaceRow{Object: o.Name, Face: f.Name, Shape: "plane", RMS: fmt.Sprintf("%.2f", f.RMS), Points: thousands(int64(f.Points))}
			if f.Cylinder != nil {
				row.Shape = "cylinder"
			}
			var scans []string
			for _, i := range f.Scans {
				if int(i) < len(s.Scans) {
					scans = append(scans, s.Scans[i])
				}
			}
			row.Scans = strings.Join(scans, ", ")
			out = append(out, row)
		}
	}
	return out
}

// hasParts tells whether a face is called by number for want of a name.
func hasParts(s *scene.Scene) bool {
	return slices.ContainsFunc(s.Objects, func(o scene.Object) bool {
		return slices.ContainsFunc(o.Faces, func(f fit.Face) bool { return strings.HasPrefix(f.Name, "part-") })
	})
}

// margin is the one margin of all objects, "" where they have several.
func margin(s *scene.Scene) string {
	if len(s.Objects) == 0 {
		return ""
	}
	for _, o := range s.Objects[1:] {
		if o.Margin != s.Objects[0].Margin {
			return ""
		}
	}
	return fmt.Sprintf("%g", s.Objects[0].Margin)
}

// files lists what is in the map folder.
func files(s *scene.Scene, other []File) []File {
	out := []File{
		{"scene.stl", "every solid, grown by its margin; mm, base frame"},
		{"solids/", "the same, one file an object"},
		{"unseen.stl", "the surface of the space that the arm can touch and nobody has looked into, where there is any"},
		{"cloud.ply", "the measured points, thinned, each with its object and its distance from the fitted surface"},
		{"drawings/drawings.pdf", "all drawings, A3, to scale; beside it each as SVG"},
	}
	return append(out, other...)
}

// thousands groups the digits of a number.
func thousands(n int64) string {
	s := fmt.Sprint(n)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + " " + s[i:]
	}
	return s
}

// least orders rows that are to be read from the largest down.
func least(a, b int64) int { return cmp.Compare(b, a) }
