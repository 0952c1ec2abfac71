package judge

import (
	"cellwall/fixtures"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// trueFace is a plane rectangle of something in the shop.
type trueFace struct {
	name string
	fixtures.Face
}

// trueFaces are the faces that the truth names, those of all boxes that the shop is
// built of and the flat ends of its bars: a frame round an opening, a handle, a saddle,
// a button have faces of their own, a centimetre from the ones that have names.
func trueFaces(shop *fixtures.Shop) []trueFace {
	var out []trueFace
	for _, o := range shop.Truth.Objects {
		for _, f := range o.Faces {
			out = append(out, trueFace{o.Name + " " + f.Name, f})
		}
	}
	for _, p := range shop.Pieces {
		if p.Object < 0 {
			continue
		}
		name := "part of " + shop.Truth.Objects[p.Object].Name
		switch shape := p.Shape.(type) {
		case fixtures.Box:
			for side := range 6 {
				out = append(out, trueFace{name, sideOf(shape.Box, side/2, float64(2*(side%2)-1))})
			}
		case fixtures.Cylinder:
			out = append(out, trueFace{name, endOf(shape.From, shape.To, shape.Radius)}, trueFace{name, endOf(shape.To, shape.From, shape.Radius)})
		}
	}
	return out
}

// endOf is the square about the flat end of a bar at to, which comes from another place.
func endOf(from, to r3.Vec, radius float64) fixtures.Face {
	n := r3.Unit(r3.Sub(to, from))
	across := geom.Plane{Normal: n, Offset: r3.Dot(n, to)}
	frame := across.Frame(to)
	f := fixtures.Face{Plane: across}
	for k, s := range [4][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
		f.Corners[k] = frame.Apply(r3.Vec{X: s[0] * radius, Y: s[1] * radius})
	}
	return f
}

// sideOf is the face of a box that looks along its axis a, or against it.
func sideOf(b geom.Box, a int, sign float64) fixtures.Face {
	half := [3]float64{b.Size.X / 2, b.Size.Y / 2, b.Size.Z / 2}
	u, v := (a+1)%3, (a+2)%3
	n := r3.Scale(sign, b.Pose.R.Axis(a))
	c := r3.Add(b.Pose.T, r3.Scale(half[a], n))
	f := fixtures.Face{Plane: geom.Plane{Normal: n, Offset: r3.Dot(n, c)}}
	for k, s := range [4][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
		along := r3.Add(r3.Scale(s[0]*half[u], b.Pose.R.Axis(u)), r3.Scale(sign*s[1]*half[v], b.Pose.R.Axis(v)))
		f.Corners[k] = r3.Add(c, along)
	}
	return f
}
