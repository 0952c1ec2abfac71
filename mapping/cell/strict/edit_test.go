package strict

import "testing"

func TestNumbersChangesNumbersOnly(t *testing.T) {
	const text = "name: é 1 # 1\nmount: {xyz_mm: [1, 1, 1]} # 1\nitems:\n- name: 1a\n"
	d, err := Parse("a.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	got, err := d.Numbers([]byte(text), map[string]string{"mount.xyz_mm[0]": "10.25", "mount.xyz_mm[2]": "-3"})
	if err != nil {
		t.Fatal(err)
	}
	if want := "name: é 1 # 1\nmount: {xyz_mm: [10.25, 1, -3]} # 1\nitems:\n- name: 1a\n"; string(got) != want {
		t.Errorf("%q, want %q", got, want)
	}
	for _, path := range []string{"mount.xyz_mm[3]", "mount.rpy_deg[0]", "count", "items[1].name", "name.x"} {
		if _, err := d.Numbers([]byte(text), map[string]string{path: "1"}); err == nil {
			t.Errorf("no error for %s, which is not there", path)
		}
	}
}

func TestInsertInEitherManner(t *testing.T) {
	for text, want := range map[string]string{
		"s: {a: 1}\n":                 "s: {b: 2, a: 1}\n",
		"s:   # one\n    a: 1\n":      "s:   # one\n    b: 2\n    a: 1\n",
		"s:\n  # two\n  a: 1\n  c: 3": "s:\n  # two\n  b: 2\n  a: 1\n  c: 3",
	} {
		d, err := Parse("a.yaml", []byte(text))
		if err != nil {
			t.Fatal(err)
		}
		got, err := d.Insert([]byte(text), "s", "b: 2")
		if err != nil || string(got) != want {
			t.Errorf("%q, error %v; want %q", got, err, want)
		}
	}
	d, err := Parse("a.yaml", []byte("s: 3\n"))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := d.Insert([]byte("s: 3\n"), "s", "b: 2"); err == nil {
		t.Error("an entry in a number")
	}
}
