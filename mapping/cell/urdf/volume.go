package urdf

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"cellwall/mapping/arm"
	"cellwall/mapping/geom"
)

// mostStrips is into how many strips a flat box is cut, at most.
const mostStrips = 16

// volume puts the collision shapes of the links into the arm's frames, and
// lists the links that have shapes but no known place.
func (r *reader) volume() (unplaced []string, err error) {
	for i := range r.file.Links {
		l := &r.file.Links[i]
		if len(l.Collisions) == 0 {
			continue
		}
		frame, frameFromLink, ok, err := r.place(l.Name)
		if err != nil {
			return nil, err
		}
		if !ok {
			unplaced = append(unplaced, l.Name)
			continue
		}
		for k := range l.Collisions {
			c := &l.Collisions[k]
			where := "link " + l.Name
			linkFromShape, err := r.pose(c.Origin, c.at, where)
			if err != nil {
				return nil, err
			}
			capsules, err := r.capsules(c, where)
			if err != nil {
				return nil, err
			}
			at := frameFromLink.Mul(linkFromShape)
			for _, s := range capsules {
				r.arm.Capsules = append(r.arm.Capsules, arm.Capsule{Frame: frame, From: at.Apply(s.From), To: at.Apply(s.To), Radius: s.Radius})
			}
		}
	}
	return unplaced, nil
}

// place finds the arm's frame with which a link is rigid, going up through
// fixed joints. ok is false where a moving joint beside the chain lies between.
func (r *reader) place(name string) (frame int, frameFromLink geom.Pose, ok bool, err error) {
	at := geom.Identity()
	for range len(r.file.Joints) + 1 {
		j := r.above[name]
		switch {
		case j == nil:
			return 0, at, true, nil
		case r.frames[j] == len(r.arm.Joints):
			return r.frames[j], r.arm.Joints[len(r.arm.Joints)-1].After.Inverse().Mul(at), true, nil
		case r.frames[j] > 0:
			return r.frames[j], at, true, nil
		case j.moves():
			return 0, at, false, nil
		}
		here, err := r.pose(j.Origin, j.at, "joint "+j.Name)
		if err != nil {
			return 0, at, false, err
		}
		at, name = here.Mul(at), j.Parent.Link
	}
	return 0, at, false, r.fault(r.links[name].at, "link "+name, "the joints form a ring", "let them form a tree")
}

// capsules holds one collision shape, in the shape's own frame, mm.
func (r *reader) capsules(c *collision, where string) ([]arm.Capsule, error) {
	switch g := &c.Geometry; {
	case g.Sphere != nil:
		radius, err := r.positive(g.Sphere.Radius, c.at, where+".sphere.radius")
		return []arm.Capsule{{Radius: metre * radius}}, err
	case g.Cylinder != nil:
		radius, err := r.positive(g.Cylinder.Radius, c.at, where+".cylinder.radius")
		if err != nil {
			return nil, err
		}
		length, err := r.positive(g.Cylinder.Length, c.at, where+".cylinder.length")
		half := r3.Vec{Z: metre * length / 2}
		return []arm.Capsule{{From: r3.Scale(-1, half), To: half, Radius: metre * radius}}, err
	case g.Box != nil:
		size, err := r.numbers(g.Box.Size, 3, c.at, where+".box.size")
		if err != nil {
			return nil, err
		}
		if slices.Min(size) <= 0 {
			return nil, r.fault(c.at, where+".box.size", fmt.Sprintf("the size %.40q is not above 0", g.Box.Size), "write three lengths in metres")
		}
		return boxCapsules([3]float64{metre * size[0], metre * size[1], metre * size[2]}), nil
	}
	return nil, r.fault(c.at, where, "a collision shape is none of box, cylinder and sphere", "put such shapes round the mesh, or describe the arm in a robot.yaml")
}

// boxCapsules covers a box with capsules along its longest edge. The box is cut
// into strips about as wide as they are thick, and each strip lies in the
// capsule through its corners, so the cover stands out little more than a
// fifth of the least edge.
func boxCapsules(size [3]float64) []arm.Capsule {
	order := []int{0, 1, 2} // of the axes, from the longest edge to the shortest
	slices.SortFunc(order, func(a, b int) int {
		if size[a] > size[b] || size[a] == size[b] && a < b {
			return -1
		}
		return 1
	})
	length, width, least := size[order[0]], size[order[1]], size[order[2]]
	strips := min(int(math.Ceil(width/least)), mostStrips)
	strip := width / float64(strips)
	var out []arm.Capsule
	for i := range strips {
		var from [3]float64
		from[order[0]] = -length / 2
		from[order[1]] = -width/2 + (float64(i)+0.5)*strip
		to := from
		to[order[0]] = length / 2
		out = append(out, arm.Capsule{From: vec(from), To: vec(to), Radius: math.Hypot(strip, least) / 2})
	}
	return out
}

func vec(v [3]float64) r3.Vec { return r3.Vec{X: v[0], Y: v[1], Z: v[2]} }
