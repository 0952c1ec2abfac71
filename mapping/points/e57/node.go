package e57

import (
	"encoding/xml"
	"fmt"
	"math"
	"math/bits"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"cellwall/mapping/geom"
)

// node is an element of the description.
type node struct {
	XMLName xml.Name
	Attrs   []xml.Attr `xml:",any,attr"`
	Nodes   []node     `xml:",any"`
	Text    string     `xml:",chardata"`
}

func (n *node) child(name string) *node {
	for i := range n.Nodes {
		if n.Nodes[i].XMLName.Local == name && n.Nodes[i].XMLName.Space == n.XMLName.Space {
			return &n.Nodes[i]
		}
	}
	return nil
}

func (n *node) attr(name string) string {
	for _, a := range n.Attrs {
		if a.Name.Local == name && a.Name.Space == "" {
			return a.Value
		}
	}
	return ""
}

func (n *node) unsigned(name string) (uint64, error) {
	v, err := strconv.ParseUint(n.attr(name), 10, 64)
	if err != nil {
		return 0, fmt.Errorf("%s of the element %s is %q, not a count", name, n.XMLName.Local, n.attr(name))
	}
	return v, nil
}

// leaves appends the elements that are numbers or text, in their order, which is
// that of the byte streams.
func (n *node) leaves(into []*node) []*node {
	for i := range n.Nodes {
		switch c := &n.Nodes[i]; c.attr("type") {
		case "Structure", "Vector":
			into = c.leaves(into)
		default:
			into = append(into, c)
		}
	}
	return into
}

// foreignCodec is the name of a codec other than the standard's own.
func (n *node) foreignCodec() string {
	if n == nil {
		return ""
	}
	for i := range n.Nodes {
		c := &n.Nodes[i]
		if name := c.XMLName.Local; strings.HasSuffix(name, "Codec") && name != "bitPackCodec" {
			return name
		} else if name := c.foreignCodec(); name != "" {
			return name
		}
	}
	return ""
}

// number is the value of a child, 0 where it is absent or empty.
func (n *node) number(name string) (float64, error) {
	c := n.child(name)
	if c == nil || strings.TrimSpace(c.Text) == "" {
		return 0, nil
	}
	v, err := strconv.ParseFloat(strings.TrimSpace(c.Text), 64)
	if err != nil || math.IsInf(v, 0) || math.IsNaN(v) {
		return 0, fmt.Errorf("%.40q is not a finite number", c.Text)
	}
	return v, nil
}

// pose is fileFromScan, the identity where the scan has none.
func (n *node) pose() (geom.Pose, error) {
	at := geom.Identity()
	p := n.child("pose")
	if p == nil {
		return at, nil
	}
	if r := p.child("rotation"); r != nil {
		var q [4]float64
		for i, name := range []string{"w", "x", "y", "z"} {
			v, err := r.number(name)
			if err != nil {
				return at, err
			}
			q[i] = v
		}
		rot, err := geom.RotFromQuat(q[0], q[1], q[2], q[3])
		if err != nil {
			return at, err
		}
		at.R = rot
	}
	if t := p.child("translation"); t != nil {
		var v [3]float64
		for i, name := range []string{"x", "y", "z"} {
			x, err := t.number(name)
			if err != nil {
				return at, err
			}
			v[i] = x
		}
		at.T = r3.Vec{X: v[0], Y: v[1], Z: v[2]}
	}
	return at, nil
}

// field is one number of every point, and how it is packed.
type field struct {
	name          string
	standard      bool // of the standard itself, not of an extension
	kind          kind
	width         int   // bits
	minimum       int64 // of an integer
	scale, offset float64
}

type kind int

const (
	integer kind = iota // offset + scale * (minimum + bits)
	single
	double
	text // of no fixed width; never decoded
)

// fieldOf reads an element of the prototype.
func fieldOf(n *node) (f field, err error) {
	f = field{name: n.XMLName.Local, scale: 1}
	switch t := n.attr("type"); t {
	case "Float":
		f.kind, f.width = double, 64
		if n.attr("precision") == "single" {
			f.kind, f.width = single, 32
		}
		return f, nil
	case "String":
		f.kind = text
		return f, nil
	case "Integer", "ScaledInteger":
	default:
		return f, fmt.Errorf("the field %s has the type %.40q, which is not known", f.name, t)
	}
	limits := [2]int64{math.MinInt64, math.MaxInt64}
	for i, name := range []string{"minimum", "maximum"} {
		if a := n.attr(name); a != "" {
			if limits[i], err = strconv.ParseInt(a, 10, 64); err != nil {
				return f, fmt.Errorf("the %s of the field %s is %.40q, not an integer", name, f.name, a)
			}
		}
	}
	if limits[0] > limits[1] {
		return f, fmt.Errorf("the field %s has its minimum above its maximum", f.name)
	}
	f.minimum, f.width = limits[0], bits.Len64(uint64(limits[1])-uint64(limits[0]))
	if n.attr("type") == "Integer" {
		return f, nil
	}
	if f.scale, err = n.finite("scale", 1); err != nil {
		return f, err
	}
	f.offset, err = n.finite("offset", 0)
	return f, err
}

// finite is an attribute's value, or absent where there is none.
func (n *node) finite(name string, absent float64) (float64, error) {
	a := n.attr(name)
	if a == "" {
		return absent, nil
	}
	v, err := strconv.ParseFloat(a, 64)
	if err != nil || math.IsInf(v, 0) || math.IsNaN(v) {
		return 0, fmt.Errorf("the %s of the field %s is %.40q, not a finite number", name, n.XMLName.Local, a)
	}
	return v, nil
}
