// Package urdf reads a robot arm from a URDF file: the chain of joints from the
// root link to the flange, and the volume of the links that move with it.
package urdf

import (
	"encoding/xml"
	"fmt"
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"cellwall/mapping/fault"
	"cellwall/mapping/geom"
)

// metre in mm: URDF is in metres and radians.
const metre = 1000

// file is a URDF file as far as it matters here.
type file struct {
	XMLName xml.Name `xml:"robot"`
	Name    string   `xml:"name,attr"`
	Links   []link   `xml:"link"`
	Joints  []joint  `xml:"joint"`
}

type link struct {
	Name       string      `xml:"name,attr"`
	Collisions []collision `xml:"collision"`
	at         line
}

type collision struct {
	Origin   *origin `xml:"origin"`
	Geometry struct {
		Box *struct {
			Size string `xml:"size,attr"`
		} `xml:"box"`
		Cylinder *struct {
			Radius string `xml:"radius,attr"`
			Length string `xml:"length,attr"`
		} `xml:"cylinder"`
		Sphere *struct {
			Radius string `xml:"radius,attr"`
		} `xml:"sphere"`
	} `xml:"geometry"`
	at line
}

type joint struct {
	Name   string  `xml:"name,attr"`
	Type   string  `xml:"type,attr"`
	Origin *origin `xml:"origin"`
	Parent struct {
		Link string `xml:"link,attr"`
	} `xml:"parent"`
	Child struct {
		Link string `xml:"link,attr"`
	} `xml:"child"`
	Axis *struct {
		XYZ string `xml:"xyz,attr"`
	} `xml:"axis"`
	Limit *struct {
		Lower    string `xml:"lower,attr"`
		Upper    string `xml:"upper,attr"`
		Velocity string `xml:"velocity,attr"`
	} `xml:"limit"`
	Mimic *struct{} `xml:"mimic"`
	at    line
}

// origin is parentFromChild; what is absent is zero, as URDF has it.
type origin struct {
	XYZ string `xml:"xyz,attr"`
	RPY string `xml:"rpy,attr"`
}

// line is where an element begins.
type line int

// The three elements that messages speak of note their line.

func (l *link) UnmarshalXML(d *xml.Decoder, start xml.StartElement) error {
	type plain link
	l.at = lineOf(d)
	return d.DecodeElement((*plain)(l), &start)
}

func (c *collision) UnmarshalXML(d *xml.Decoder, start xml.StartElement) error {
	type plain collision
	c.at = lineOf(d)
	return d.DecodeElement((*plain)(c), &start)
}

func (j *joint) UnmarshalXML(d *xml.Decoder, start xml.StartElement) error {
	type plain joint
	j.at = lineOf(d)
	return d.DecodeElement((*plain)(j), &start)
}

func lineOf(d *xml.Decoder) line {
	n, _ := d.InputPos()
	return line(n)
}

// moves tells whether the joint has freedom.
func (j *joint) moves() bool { return j.Type != "fixed" }

// pose is parentFromChild of an element's origin, in mm.
func (r *reader) pose(o *origin, at line, where string) (geom.Pose, error) {
	if o == nil {
		return geom.Identity(), nil
	}
	xyz, err := r.numbers(o.XYZ, 3, at, where+".origin.xyz")
	if err != nil {
		return geom.Pose{}, err
	}
	rpy, err := r.numbers(o.RPY, 3, at, where+".origin.rpy")
	if err != nil {
		return geom.Pose{}, err
	}
	return geom.Pose{R: geom.RotFromRPY(rpy[0], rpy[1], rpy[2]), T: r3.Scale(metre, r3.Vec{X: xyz[0], Y: xyz[1], Z: xyz[2]})}, nil
}

// numbers reads n numbers; an absent attribute is zeros.
func (r *reader) numbers(text string, n int, at line, where string) ([]float64, error) {
	v := make([]float64, n)
	words := strings.Fields(text)
	if len(words) == 0 {
		return v, nil
	}
	if len(words) != n {
		return nil, r.fault(at, where, fmt.Sprintf("%.40q is not %d numbers", text, n), "write the numbers with spaces between them")
	}
	for i, w := range words {
		x, err := strconv.ParseFloat(w, 64)
		if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
			return nil, r.fault(at, where, fmt.Sprintf("%.40q is not a finite number", w), "write plain numbers; expand macros into a plain URDF file first")
		}
		v[i] = x
	}
	return v, nil
}

// positive reads one number above zero.
func (r *reader) positive(text string, at line, where string) (float64, error) {
	v, err := r.numbers(text, 1, at, where)
	if err != nil {
		return 0, err
	}
	if v[0] <= 0 {
		return 0, r.fault(at, where, fmt.Sprintf("the size %.40q is not above 0", text), "write it in metres")
	}
	return v[0], nil
}

// fault speaks of the element that begins on the line at.
func (r *reader) fault(at line, where, rule, remedy string) *fault.Error {
	return &fault.Error{File: r.name, Line: int(at), Where: where, Rule: rule, Remedy: remedy}
}
