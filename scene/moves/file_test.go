package moves

import (
	"bytes"
	"testing"

	"cellwall/scene/schema"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// validate holds JSON against a schema with an independent validator.
func validate(t *testing.T, text, data []byte) error {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("schema.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("schema.json")
	if err != nil {
		t.Fatal(err)
	}
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return s.Validate(v)
}

func TestWrittenComparisonKeepsItsSchema(t *testing.T) {
	w := newWorld(8)
	old := w.mapped(7)
	w.mill.T.X += 30
	w.leaf.T.X = -4
	now := w.mapped(3)
	now.Objects = now.Objects[:len(now.Objects)-1] // no vise
	for _, c := range []*Comparison{
		Compare(old, now, level), Compare(old, old, level), Compare(old, now, level).Of("mill"),
	} {
		var a, b bytes.Buffer
		if err := c.WriteJSON(&a); err != nil {
			t.Fatal(err)
		}
		if err := validate(t, schema.Moves, a.Bytes()); err != nil {
			t.Error(err)
		}
		if err := c.WriteJSON(&b); err != nil || !bytes.Equal(a.Bytes(), b.Bytes()) {
			t.Error("two writings differ", err)
		}
	}
}
