package strict

import (
	"errors"
	"testing"

	"cellwall/mapping/fault"
)

// Whatever the text, there is a value or a fault with a remedy.
func FuzzStrict(f *testing.F) {
	f.Add("# a comment\nname: \"12\"\ncount: 3\nwidth_mm: 1e-3\nmount: {xyz_mm: [1, -2.5, +3e2]}\nitems:\n  - name: a b\n  - {name: c, of: [d, 'e']}\n")
	f.Add("name: [{a: 'b\n? x\n: |\n  y\n")
	f.Fuzz(func(t *testing.T, text string) {
		_, _, err := decode(text)
		var bad *fault.Error
		if err != nil && (!errors.As(err, &bad) || bad.Remedy == "") {
			t.Fatalf("%v is no fault with a remedy", err)
		}
	})
}
