package movesheet

import (
	"fmt"
	"math"
	"strings"

	"cellwall/export/value"
	"cellwall/fit"
	"cellwall/scene/moves"
	"cellwall/scene/rigid"

	"gonum.org/v1/gonum/spatial/r3"
)

// Foot says which of the two moved where the room seems to have: what the arm stands
// on, or what it carries; "" where the room was told and is where it was.
func Foot(told *moves.Comparison) string {
	switch told.Foot() {
	case moves.Arm:
		return "floor and walls seem to have moved as one. It is the arm that moved on its foot; take every move here as one against the arm"
	case moves.Mount:
		return "floor and walls seem to have moved, and not as one. The scanner's mount, the scanner or a joint's zero has changed since the old map; check the mount before any move here is believed"
	}
	if told.Room == nil {
		return "no face of it is in both maps, so a move of the arm itself would not show"
	}
	return ""
}

// Slip says whether a vise went with its machine.
func Slip(s moves.Slip) string {
	sigma, turned := s.Cov.SigmaT(), s.Cov.SigmaR()
	shift, turn := s.AtMost()
	atMost := fmt.Sprintf("at most %.2f mm and %.3f°", shift, degrees(turn))
	scan := fmt.Sprintf("scan its fixed jaw and the sheets of %s", s.Home)
	switch {
	case s.Untold():
		return fmt.Sprintf("whether it slipped in %s is not told, for no surface that both maps show determines %s; %s", s.Home, either(s), scan)
	case s.Slipped && len(s.Open) == 0:
		return fmt.Sprintf("slipped in %s by (%s, %s, %s) mm along its datum's X, Y, Z, turned about Z by %s", s.Home,
			value.MM(s.Shift.X, sigma.X), value.MM(s.Shift.Y, sigma.Y), value.MM(s.Shift.Z, sigma.Z), value.Deg(s.Turn.Z, turned.Z))
	case s.Slipped:
		far, round := s.Worst()
		return fmt.Sprintf("slipped in %s by %s mm and %s as far as it is told; no surface that both maps show determines %s; %s", s.Home,
			value.MM(r3.Norm(s.Shift), far), value.Deg(r3.Norm(s.Turn), round), either(s), scan)
	case s.Whole():
		return fmt.Sprintf("went with %s; a slip is not told apart from none, %s", s.Home, atMost)
	}
	return fmt.Sprintf("went with %s as far as it is told, %s; whether it slipped further is not told, for no surface that both maps show determines %s; %s",
		s.Home, atMost, either(s), scan)
}

// either lists what is open of a slip.
func either(s moves.Slip) string {
	var out []string
	for _, d := range s.Open {
		out = append(out, d.In(s.Axes))
	}
	return strings.Join(out, ", nor ")
}

// Contact says how a machine stands on the floor against how it did.
func Contact(k moves.Contact) string {
	low, high := value.MM(k.Lowest.Value, k.Lowest.Sigma), value.MM(k.Highest.Value, k.Highest.Sigma)
	switch {
	case k.Sunk:
		return fmt.Sprintf("a corner of its footprint sank by %s mm. Its feet were lowered, or the arm or the mount has changed: see what is said of the room", value.MM(-k.Lowest.Value, k.Lowest.Sigma))
	case k.Lifted:
		return fmt.Sprintf("stands higher, the corners of its footprint rose by %s to %s mm: shims, or feet turned up", low, high)
	default:
		return fmt.Sprintf("stands on the floor as it did, corners rose by %s to %s mm", low, high)
	}
}

// Partly says how far what is told of a move goes, where it is not told whole.
func Partly(m *moves.Move) string {
	switch {
	case len(m.Loose) == 0:
		return ""
	case m.Kind == fit.Post:
		return "across its axis"
	case unbounded(m.Kind):
		return "across its plane"
	}
	return "as far as it is told"
}

// Open are the directions in which nothing tells where an object with a place along
// its surfaces went.
func Open(m *moves.Move) []string {
	var out []string
	if !unbounded(m.Kind) {
		for _, d := range m.Loose {
			out = append(out, m.Says(d)+scan(m, d))
		}
	}
	return out
}

// Weak are the directions that the shared surfaces of an object leave open, and how
// well what else both maps show tells them.
func Weak(m *moves.Move) []string {
	var out []string
	for _, w := range m.Weak {
		out = append(out, m.Little(w)+scan(m, w.Direction))
	}
	return out
}

// scan says which faces of the old map would tell a direction, at most three.
func scan(m *moves.Move, d rigid.Direction) string {
	var names []string
	for _, n := range m.ToScan(d) {
		names = append(names, n.String())
	}
	if len(names) == 0 {
		return ""
	}
	return "; to tell it, scan " + strings.Join(names[:min(3, len(names))], " or ")
}

// Changed says which surfaces do not go with the rest: the object is not the shape
// that it was.
func Changed(m *moves.Move) []string {
	var out []string
	for _, s := range m.Unlike {
		out = append(out, fmt.Sprintf("%s does not go with the rest: it lies %s mm in front of where it should", s.Old, value.MM(s.Offset, s.Sigma)))
	}
	return out
}

// unbounded tells whether objects of the kind have no place along themselves.
func unbounded(k fit.Kind) bool {
	return k == fit.Floor || k == fit.Wall || k == fit.Ceiling || k == fit.Post
}

// Along tells whether an object is said to have gone with its machine in a word,
// for there is nothing of its own to tell; of a vise its slip is told.
func Along(m *moves.Move) bool { return m.With != "" && m.Kind != fit.Vise }

func degrees(rad float64) float64 { return rad * 180 / math.Pi }
