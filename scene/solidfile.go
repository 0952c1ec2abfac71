package scene

import (
	"errors"
	"fmt"
	"math"

	"cellwall/mapping/geom"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

// solidOf spells a solid as scene.json does.
func solidOf(s solid.Solid) (fileSolid, error) {
	switch s := s.(type) {
	case solid.Box:
		c, size := tripleOf(s.Pose.T, lengthDecimals), tripleOf(s.Size, lengthDecimals)
		return fileSolid{Shape: "box", Centre: &c, Size: &size, Quaternion: quaternionOf(s.Pose.R)}, nil
	case solid.Cylinder:
		c, a := tripleOf(s.Centre, lengthDecimals), tripleOf(s.Axis, directionDecimals)
		return fileSolid{Shape: "cylinder", Centre: &c, Axis: &a, Radius: mm(s.Radius), Height: mm(s.Height)}, nil
	case *solid.Prism:
		d := tripleOf(s.Direction(), directionDecimals)
		return fileSolid{Shape: "prism", Outline: triples(s.Outline(), lengthDecimals), Direction: &d, Height: mm(s.Height())}, nil
	case *solid.Hull:
		return fileSolid{Shape: "hull", Vertices: triples(s.Vertices(), lengthDecimals)}, nil
	}
	return fileSolid{}, fmt.Errorf("scene.json has no shape for %T", s)
}

// solid makes the solid that the file spells; it fails where a member is missing
// or the shape is impossible.
func (f *fileSolid) solid() (solid.Solid, error) {
	switch f.Shape {
	case "box":
		return f.box()
	case "cylinder":
		return f.cylinder()
	case "prism":
		if f.Direction == nil {
			return nil, errors.New("a prism needs outline_mm, direction and height_mm")
		}
		return solid.NewPrism(vecs(f.Outline), f.Direction.vec(), f.Height)
	case "hull":
		return solid.NewHull(vecs(f.Vertices))
	}
	return nil, fmt.Errorf("shape %q is none of box, cylinder, prism, hull", f.Shape)
}

func (f *fileSolid) box() (solid.Solid, error) {
	if f.Centre == nil || f.Size == nil || f.Quaternion == nil {
		return nil, errors.New("a box needs centre_mm, size_mm and quaternion_wxyz")
	}
	r, err := f.Quaternion.rotation()
	if err != nil {
		return nil, err
	}
	size := f.Size.vec()
	if min(size.X, size.Y, size.Z) <= 0 {
		return nil, fmt.Errorf("a box's size is %g x %g x %g mm; each must be more than 0", size.X, size.Y, size.Z)
	}
	return solid.Box{Box: geom.Box{Pose: geom.Pose{R: r, T: f.Centre.vec()}, Size: size}}, nil
}

func (f *fileSolid) cylinder() (solid.Solid, error) {
	if f.Centre == nil || f.Axis == nil {
		return nil, errors.New("a cylinder needs centre_mm, axis, radius_mm and height_mm")
	}
	if f.Radius <= 0 || f.Height <= 0 {
		return nil, fmt.Errorf("a cylinder's radius is %g mm and its height %g; both must be more than 0", f.Radius, f.Height)
	}
	axis := f.Axis.vec()
	if n := r3.Norm(axis); math.Abs(n-1) > 1e-6 {
		return nil, fmt.Errorf("a cylinder's axis has length %g, not 1", n)
	}
	return solid.Cylinder{Centre: f.Centre.vec(), Axis: r3.Unit(axis), Radius: f.Radius, Height: f.Height}, nil
}

func (q numbers) rotation() (geom.Rot, error) {
	if len(q) != 4 {
		return geom.Rot{}, fmt.Errorf("quaternion_wxyz has %d numbers, not 4", len(q))
	}
	return geom.RotFromQuat(q[0], q[1], q[2], q[3])
}
