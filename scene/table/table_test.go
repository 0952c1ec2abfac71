package table

import (
	"errors"
	"strings"
	"testing"

	"cellwall/mapping/fault"
)

var columns = Columns{Must: []string{"name", "x"}, May: []string{"radius"}}

func TestReadTakesColumnsInAnyOrder(t *testing.T) {
	rows, err := Read("t.csv", strings.NewReader("\ufeffx, name\n# by hand\n 1.5,\"a, b\"\n-2,c\n"), columns)
	if err != nil || len(rows) != 2 {
		t.Fatal(rows, err)
	}
	if v, err := rows[0].Number("x"); v != 1.5 || err != nil || rows[0].Text("name") != "a, b" || rows[0].Has("radius") || rows[1].Line != 4 {
		t.Errorf("%+v %v %v", rows, v, err)
	}
}

func TestReadRefuses(t *testing.T) {
	for text, says := range map[string]string{
		"":                     "t.csv: it is empty",
		"name,x\n":             "no rows",
		"name\na\n":            "t.csv:1: x: the column is missing",
		"name,x,y\na,1,2\n":    "t.csv:1: y: the column is not known",
		"name,x,x\na,1,2\n":    "twice",
		"name,x\na,1,2\n":      "t.csv:2",
		"name,x\n\"a,1\nb,2\n": "t.csv:",
	} {
		_, err := Read("t.csv", strings.NewReader(text), columns)
		var f *fault.Error
		if !errors.As(err, &f) || f.Remedy == "" || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v, want %q", text, err, says)
		}
	}
	rows, err := Read("t.csv", strings.NewReader("name,x\na,NaN\nb,1e\nc,\n"), columns)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range rows {
		if _, err := r.Number("x"); err == nil || !strings.Contains(err.Error(), "is not a number") {
			t.Errorf("line %d: %v", r.Line, err)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add("name,x,radius\na,1,2\n")
	f.Add("name,x\n\"a\",1\n# c\n")
	f.Add("\xef\xbb\xbfname,x\n1")
	f.Fuzz(func(t *testing.T, text string) {
		rows, err := Read("t.csv", strings.NewReader(text), columns)
		if (err == nil) == (len(rows) == 0) {
			t.Errorf("%d rows, %v", len(rows), err)
		}
	})
}
