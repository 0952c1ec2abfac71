package strict

import (
	"errors"
	"reflect"
	"strings"
	"testing"

	"cellwall/mapping/fault"
)

type pose struct {
	XYZ [3]float64 `yaml:"xyz_mm,required"`
	RPY [3]float64 `yaml:"rpy_deg"`
}

type sample struct {
	Name  string   `yaml:"name,required"`
	Count int      `yaml:"count"`
	Width *float64 `yaml:"width_mm"`
	Mount *pose    `yaml:"mount"`
	Items []item   `yaml:"items"`
}

type item struct {
	Name string   `yaml:"name,required"`
	Of   []string `yaml:"of"`
}

func decode(text string) (s sample, d *Doc, err error) {
	if d, err = Parse("a.yaml", []byte(text)); err == nil {
		err = d.Into(&s)
	}
	return s, d, err
}

func TestIntoFillsEveryKind(t *testing.T) {
	got, d, err := decode("# a comment\nname: \"12\"\ncount: 3\nwidth_mm: 1e-3\nmount: {xyz_mm: [1, -2.5, +3e2]}\nitems:\n  - name: a b\n  - {name: c, of: [d, 'e']}\n")
	if err != nil {
		t.Fatal(err)
	}
	width := 1e-3
	want := sample{Name: "12", Count: 3, Width: &width, Mount: &pose{XYZ: [3]float64{1, -2.5, 300}}, Items: []item{{Name: "a b"}, {Name: "c", Of: []string{"d", "e"}}}}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got  %+v\nwant %+v", got, want)
	}
	for path, line := range map[string]int{"name": 2, "mount.xyz_mm": 5, "items": 6, "items[0]": 7, "items[1].of[1]": 8, "none": 0} {
		if d.Line(path) != line {
			t.Errorf("%s is on line %d, got %d", path, line, d.Line(path))
		}
	}
	if f := d.Fault("items[1].until", "it is late", "hurry"); f.Error() != "a.yaml:8: items[1].until: it is late; hurry" {
		t.Errorf("got %s", f)
	}
}

func TestFaultsNameTheLine(t *testing.T) {
	for text, words := range map[string]string{
		"":                                      "a.yaml: it is empty; fill it in",
		"# only a comment\n":                    "it is empty",
		"3\n":                                   `a.yaml:1: "3" is not a set of keys; write keys and values: name, count`,
		"- a\n":                                 "is not a set of keys",
		"name: a\n---\nname: b\n":               "it holds 2 YAML documents",
		"name: a\nname: b\n":                    `a.yaml:2: mapping key "name" already defined`,
		"name: [a\n":                            "a.yaml:1: sequence end token",
		"\tname: a\n":                           "a.yaml:1: tab character",
		"count: 1\n":                            "a.yaml:1: name: the key is missing; add it",
		"name: a\nNmae: b\n":                    "a.yaml:2: Nmae: the key is not known; write name",
		"name: a\ncolour: b\n":                  "a.yaml:2: colour: the key is not known; the keys here are name, count, width_mm",
		"name: a\nmount: {xyz_mn: [1, 2, 3]}\n": "a.yaml:2: mount.xyz_mn: the key is not known; write xyz_mm",
		"name: a\nmount:\n  rpy_deg: [0, 0, 0]\n":     "a.yaml:2: mount.xyz_mm: the key is missing",
		"name: a\nmount: {xyz_mm: [1, 2]}\n":          "mount.xyz_mm: the list has 2 values; write 3",
		"name: a\nmount: {xyz_mm: [1, 2, 3, 4]}":      "mount.xyz_mm: the list has 4 values; write 3",
		"name: a\nmount: {xyz_mm: [1, 2, '3']}":       `mount.xyz_mm[2]: "'3'" is text; write the number without quotes`,
		"name: a\nmount: {xyz_mm: [1, 2, x]}":         `mount.xyz_mm[2]: "x" is not a finite decimal number`,
		"name: a\nmount: 3\n":                         `a.yaml:2: mount: "3" is not a set of keys`,
		"name: 12\n":                                  `a.yaml:1: name: "12" is not text; write text; put it in quotes`,
		"name: true\n":                                `"true" is not text`,
		"name:\n":                                     "a.yaml:1: name: it has no value; write one, or take the key away",
		"name: ~\n":                                   "it has no value",
		"name: a\ncount: 1.5\n":                       `a.yaml:2: count: "1.5" is not a whole number`,
		"name: a\ncount: 1e12\n":                      "is not a whole number",
		"name: a\nwidth_mm: .nan\n":                   `a.yaml:2: width_mm: ".nan" is not a finite number`,
		"name: a\nwidth_mm: -.inf\n":                  "is not a finite number",
		"name: a\nwidth_mm: 1e999\n":                  "is not a finite decimal number",
		"name: a\nwidth_mm: 0x10\n":                   "is not a finite decimal number",
		"name: a\nwidth_mm: 010\n":                    "is not a finite decimal number",
		"name: a\nwidth_mm: 1_000\n":                  "is not a finite decimal number",
		"name: a\nwidth_mm: 1,5\n":                    "is not a finite decimal number",
		"name: &x a\nitems: [{name: *x}]\n":           "a.yaml:1: name: anchors, aliases and tags are not read",
		"name: !!str 1\n":                             "anchors, aliases and tags are not read",
		"<<: {name: a}\n":                             "is not a key",
		"1: a\n":                                      `"1" is not a key`,
		"name: a\nitems: b\n":                         `a.yaml:2: items: "b" is not a list`,
		"name: a\nitems: [" + strings.Repeat("[", 40): "values are nested more than 32 deep",
		"name: a\nitems:\n  " + strings.Repeat("- ", 100_000) + "a": "a.yaml:3: values are nested more than 32 deep",
		"name: " + strings.Repeat("a", longestFile):                 "it is longer than",
	} {
		_, _, err := decode(text)
		var f *fault.Error
		if !errors.As(err, &f) || !strings.Contains(f.Error(), words) || f.Remedy == "" {
			t.Errorf("%.60q\n got  %v\n want %s", text, err, words)
		}
	}
}

// Distances from the literature: Levenshtein's textbook pair is kitten, sitting.
func TestEdits(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"kitten", "sitting", 3}, {"", "abc", 3}, {"abc", "", 3}, {"same", "same", 0}, {"ab", "ba", 2}} {
		if got := edits(c.a, c.b); got != c.want {
			t.Errorf("%s to %s: %d, want %d", c.a, c.b, got, c.want)
		}
	}
}
