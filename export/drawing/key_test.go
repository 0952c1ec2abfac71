package drawing

import (
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// On every view a dimension line is as long as the size it states: what is
// drawn can be measured.
func TestSizesShowInTrueLength(t *testing.T) {
	s := sampleScene()
	keys := keysOf(s)
	shown := 0
	for _, v := range append(views(s, keys), room()) {
		for _, z := range sizesFor(v, keys) {
			i := slices.IndexFunc(keys, func(k key) bool { return k.text(v.file) == z.text && k.on(v.file) })
			d := flat(v.fromBase.Apply(r3.Sub(z.b, z.a)))
			length := math.Hypot(d.X, d.Y)
			switch z.along {
			case across:
				length = math.Abs(d.X)
			case upright:
				length = math.Abs(d.Y)
			}
			if want := math.Abs(keys[i].Value); math.Abs(length-want) > 0.006*want+0.5 {
				t.Errorf("%s: %q is drawn over %.1f mm", v.file, z.text, length)
			}
			shown++
		}
	}
	if shown < 15 {
		t.Errorf("only %d sizes are shown", shown)
	}
}

// The dimensions that the task names: enclosure, opening, table, jaw datum.
func TestKeyDimensionsAreThere(t *testing.T) {
	var all []string
	for _, k := range keysOf(sampleScene()) {
		all = append(all, k.object+" "+k.what)
	}
	list := strings.Join(all, "\n")
	for _, want := range []string{
		"mill width", "mill width of its opening", "mill height of its opening", "bench length", "bench width",
		"vise X of its jaw datum", "vise Y of its jaw datum", "vise Z of its jaw datum", "vise opening", "vise jaw width",
		"wall-1 distance", "floor distance", "post-1 diameter",
	} {
		if !strings.Contains(list, want) {
			t.Errorf("%q is missing", want)
		}
	}
}
