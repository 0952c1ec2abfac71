package step

import (
	"strings"
	"testing"
)

// ISO 10303-21: apostrophe and backslash doubled, other letters as UTF-16 in
// hexadecimal; a real has a decimal point.
func TestSpelling(t *testing.T) {
	for in, want := range map[string]string{
		"o'vise": `'o''vise'`, `a\b`: `'a\\b'`, "Fräse": `'Fr\X2\00E4\X0\se'`, "𝛼": `'\X2\D835DEFC\X0\'`, "a\nb": `'a\X2\000A\X0\b'`,
	} {
		if got := text(in); got != want {
			t.Errorf("%q is spelled %s, want %s", in, got, want)
		}
	}
	for in, want := range map[float64]string{1: "1.", -2.5: "-2.5", -1e-12: "0.", 1e6: "1000000.", 1e-4: "0.0001"} {
		if got := number(in); got != want {
			t.Errorf("%g is spelled %s, want %s", in, got, want)
		}
	}
}

func TestInstancesAreNumberedFromOne(t *testing.T) {
	f := &file{}
	if a, b := f.add("A()"), f.add("B(%v)", ref(1)); a != 1 || b != 2 {
		t.Errorf("numbered %v and %v", a, b)
	}
	var out strings.Builder
	if err := f.write(&out, []string{"it's"}, "n", "c"); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"ISO-10303-21;\n", "(('it''s'),'2;1')", "#1=A();\n#2=B(#1);\nENDSEC;\nEND-ISO-10303-21;\n"} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("%q is missing in\n%s", want, out.String())
		}
	}
}
