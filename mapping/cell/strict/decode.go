package strict

import (
	"fmt"
	"math"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"
)

const numberRemedy = "write a number such as -12.5"

// Into decodes the document into the struct that v points to. Fields carry the
// tag `yaml:"key"` or `yaml:"key,required"` and are strings, ints, float64s,
// structs, pointers to these, slices and arrays; an array wants a list of just
// its length. Every error is a *fault.Error.
func (d *Doc) Into(v any) error {
	return d.decode(d.root, reflect.ValueOf(v).Elem(), "")
}

func (d *Doc) decode(n ast.Node, v reflect.Value, path string) error {
	switch n.(type) {
	case *ast.NullNode:
		return d.wrong(n, path, "it has no value", "write one, or take the key away")
	case *ast.AnchorNode, *ast.AliasNode, *ast.TagNode:
		return d.wrong(n, path, "anchors, aliases and tags are not read", "write the value out")
	}
	switch v.Kind() {
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		return d.decode(n, v.Elem(), path)
	case reflect.Struct:
		return d.decodeStruct(n, v, path)
	case reflect.Slice, reflect.Array:
		return d.decodeList(n, v, path)
	case reflect.String:
		s, ok := n.(*ast.StringNode)
		if !ok {
			return d.wrong(n, path, fmt.Sprintf("%s is not text", shorten(n)), "write text; put it in quotes where it looks like a number")
		}
		v.SetString(s.Value)
		return nil
	default:
		return d.decodeNumber(n, v, path)
	}
}

// plainDecimal is a number that every version of YAML and JSON reads alike: not
// 010, which is eight to some and ten to others.
var plainDecimal = regexp.MustCompile(`^[-+]?(0|[1-9][0-9]*)?(\.[0-9]*)?([eE][-+]?[0-9]+)?$`)

// decodeNumber takes a finite number, for an int a whole one. It reads the text
// itself, for the parser takes 1e3 for a word.
func (d *Doc) decodeNumber(n ast.Node, v reflect.Value, path string) error {
	switch n := n.(type) {
	case *ast.IntegerNode, *ast.FloatNode:
	case *ast.StringNode:
		if n.Token.Type != token.StringType { // in quotes
			return d.wrong(n, path, fmt.Sprintf("%s is text", shorten(n)), "write the number without quotes")
		}
	default:
		return d.wrong(n, path, fmt.Sprintf("%s is not a finite number", shorten(n)), numberRemedy)
	}
	text := n.GetToken().Value
	x, err := strconv.ParseFloat(text, 64)
	switch {
	case err != nil || !plainDecimal.MatchString(text):
		return d.wrong(n, path, fmt.Sprintf("%s is not a finite decimal number", shorten(n)), numberRemedy)
	case v.Kind() == reflect.Float64:
		v.SetFloat(x)
	case x != math.Trunc(x) || math.Abs(x) > math.MaxInt32:
		return d.wrong(n, path, fmt.Sprintf("%s is not a whole number", shorten(n)), "write a whole number")
	default:
		v.SetInt(int64(x))
	}
	return nil
}

func (d *Doc) decodeList(n ast.Node, v reflect.Value, path string) error {
	list, ok := n.(*ast.SequenceNode)
	if !ok {
		return d.wrong(n, path, fmt.Sprintf("%s is not a list", shorten(n)), "write a list: [a, b] or lines that begin with -")
	}
	if v.Kind() == reflect.Slice {
		v.Set(reflect.MakeSlice(v.Type(), len(list.Values), len(list.Values)))
	} else if len(list.Values) != v.Len() {
		return d.wrong(n, path, fmt.Sprintf("the list has %d values", len(list.Values)), fmt.Sprintf("write %d", v.Len()))
	}
	for i, item := range list.Values {
		at := fmt.Sprintf("%s[%d]", path, i)
		d.note(at, item)
		if err := d.decode(item, v.Index(i), at); err != nil {
			return err
		}
	}
	return nil
}

func (d *Doc) decodeStruct(n ast.Node, v reflect.Value, path string) error {
	m, ok := n.(ast.MapNode)
	if !ok {
		return d.wrong(n, path, fmt.Sprintf("%s is not a set of keys", shorten(n)), "write keys and values: "+strings.Join(keysOf(v.Type()), ", "))
	}
	for it := m.MapRange(); it.Next(); {
		key, ok := it.Key().(*ast.StringNode)
		if !ok {
			return d.wrong(it.Key(), path, fmt.Sprintf("%s is not a key", shorten(it.Key())), "write one of "+strings.Join(keysOf(v.Type()), ", "))
		}
		at := join(path, key.Value)
		d.note(at, key)
		i := slices.Index(keysOf(v.Type()), key.Value)
		if i < 0 {
			return d.at(key.GetToken(), at, "the key is not known", suggestion(key.Value, keysOf(v.Type())))
		}
		if err := d.decode(it.Value(), v.Field(i), at); err != nil {
			return err
		}
	}
	return d.required(v.Type(), path, n)
}

// required looks for keys that must be there.
func (d *Doc) required(t reflect.Type, path string, n ast.Node) error {
	for i, key := range keysOf(t) {
		_, needed := strings.CutSuffix(t.Field(i).Tag.Get("yaml"), ",required")
		if at := join(path, key); needed && d.lines[at] == 0 {
			return d.wrong(n, at, "the key is missing", "add it")
		}
	}
	return nil
}

// note remembers the line of a key or an item.
func (d *Doc) note(path string, n ast.Node) {
	if t := n.GetToken(); t != nil && t.Position != nil {
		d.lines[path] = t.Position.Line
	}
}

// wrong speaks of a value, on the line of its key where it has one: a mapping's
// own token is the colon after its first key.
func (d *Doc) wrong(n ast.Node, path, rule, remedy string) error {
	f := d.Fault(path, rule, remedy)
	if f.Line == 0 {
		f = d.at(n.GetToken(), path, rule, remedy)
	}
	return f
}

func join(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}

// shorten quotes a value for a message.
func shorten(n ast.Node) string {
	const most = 32
	s := strings.Join(strings.Fields(n.String()), " ")
	if len(s) > most {
		s = s[:most] + "..."
	}
	return fmt.Sprintf("%q", s)
}
