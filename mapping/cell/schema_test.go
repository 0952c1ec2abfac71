package cell

import (
	"bytes"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"cellwall/mapping/cell/schema"
)

func compiled(t *testing.T, name string) *jsonschema.Schema {
	t.Helper()
	c := jsonschema.NewCompiler()
	for name, text := range map[string][]byte{"cell.schema.json": schema.Cell, "robot.schema.json": schema.Robot} {
		doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if err := c.AddResource(name, doc); err != nil {
			t.Fatal(err)
		}
	}
	s, err := c.Compile(name)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// validate holds YAML against a schema, through the library's own decoder.
func validate(t *testing.T, s *jsonschema.Schema, text string) error {
	t.Helper()
	json, err := yaml.YAMLToJSON([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(json))
	if err != nil {
		t.Fatal(err)
	}
	return s.Validate(doc)
}

func TestSchemasTakeWhatIsRight(t *testing.T) {
	c, r := compiled(t, "cell.schema.json"), compiled(t, "robot.schema.json")
	for _, text := range []string{fullCell, leastCell} {
		if err := validate(t, c, text); err != nil {
			t.Errorf("%v", err)
		}
	}
	if err := validate(t, r, fullRobot); err != nil {
		t.Errorf("%v", err)
	}
}

// beyondSchema are the faults that a schema cannot see: files on the disk, names
// that refer to one another, the order of two numbers, what one scan asks of the
// scanner.
var beyondSchema = []string{
	"not a range", "does not exist", "is not a file", "used before", "E57", "no other object", "no scan is called",
	"scanner.mount", "URDF robot", "names no robot", "there is no", "cannot follow itself", "twice", "every scan is rough",
	"in which range", "up to unseen_voxel_mm",
}

func TestSchemasRefuseWhatIsWrong(t *testing.T) {
	for _, f := range []struct {
		schema, text string
		changes      []change
	}{{"cell.schema.json", fullCell, wrongCells}, {"robot.schema.json", fullRobot, wrongRobots}} {
		s := compiled(t, f.schema)
		for _, c := range f.changes {
			refused := validate(t, s, strings.Replace(f.text, c.old, c.new, 1)) != nil
			beyond := false
			for _, words := range beyondSchema {
				beyond = beyond || strings.Contains(c.words, words)
			}
			if !refused && !beyond {
				t.Errorf("%s to %s is taken", c.old, c.new)
			}
		}
	}
}
