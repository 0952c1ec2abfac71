package cell

import (
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// A part is told of in the tool point's frame: 120 mm out along the flange's Z,
// turned by 90 deg about Y, so its X runs along the flange's -Z and its Z along X.
func TestPartsAreTakenOrNamed(t *testing.T) {
	c, err := Open(folder(t, fullCell+"parts:\n  - {name: bar, capsules: [{from_mm: [0, 0, 0], to_mm: [100, 0, 0], radius_mm: 20}]}\n"+
		"  - {name: blank, boxes: [{xyz_mm: [0, 0, 30], size_mm: [100, 60, 40]}]}\n", fullRobot))
	if err != nil {
		t.Fatal(err)
	}
	bar, blank := c.Parts[0], c.Parts[1]
	if k := bar.Capsules[0]; bar.Name != "bar" || k.Frame != 2 || k.Radius != 20 || r3.Norm(r3.Sub(k.To, r3.Vec{Z: 20})) > 1e-9 {
		t.Errorf("%+v", bar)
	}
	if b := blank.Boxes[0]; b.Size != (r3.Vec{X: 100, Y: 60, Z: 40}) || r3.Norm(r3.Sub(b.Pose.T, r3.Vec{X: 30, Z: 120})) > 1e-9 ||
		r3.Norm(r3.Sub(b.Pose.R.Axis(0), r3.Vec{Z: -1})) > 1e-9 {
		t.Errorf("%+v", blank)
	}
	for _, w := range [][2]string{
		{"{name: nothing, boxes: [{xyz_mm: [0, 0, 0], size_mm: [1, 1, 1]}]}", "parts[0].name: a program says nothing"},
		{"{name: bar}", "parts[0]: the part has neither"},
		{"{name: bar, capsules: [{from_mm: [0, 0, 0], to_mm: [1, 0, 0], radius_mm: -2}]}", "parts[0].capsules[0].radius_mm: the radius must be above 0"},
		{"{name: bar, boxes: [{xyz_mm: [0, 0, 0], size_mm: [1, 0, 1]}]}", "parts[0].boxes[0].size_mm: every size must be above 0"},
	} {
		if _, err := Open(folder(t, fullCell+"parts: ["+w[0]+"]\n", fullRobot)); err == nil || !strings.Contains(err.Error(), w[1]) || !strings.Contains(err.Error(), "cell.yaml:") {
			t.Errorf("%s: %v, want %q", w[0], err, w[1])
		}
	}
}
