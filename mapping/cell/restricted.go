package cell

import "fmt"

// Restricted is a narrower range of a joint than the robot's own, by stops or by
// settings that are not the robot file's: with all of them, the restricted space
// of ISO 10218-2. The joint counts from 0, the limits are rad.
type Restricted struct {
	Joint    int
	Min, Max float64
}

type restrictedFile struct {
	Joint int     `yaml:"joint,required"`
	Min   float64 `yaml:"min_deg,required"`
	Max   float64 `yaml:"max_deg,required"`
}

// restricted takes the ranges, which lie within the robot's own.
func (r *reader) restricted() error {
	seen := map[int]bool{}
	for i, f := range r.file.Restricted {
		at := fmt.Sprintf("restricted[%d]", i)
		switch arm := r.cell.Robot; {
		case arm == nil:
			return r.doc.Fault(at, "the cell names no robot", "add robot: FILE, or take the key away")
		case f.Joint < 1 || f.Joint > len(arm.Joints):
			return r.doc.Fault(at+".joint", fmt.Sprintf("there is no joint %d", f.Joint), fmt.Sprintf("write a joint from 1 to %d", len(arm.Joints)))
		case seen[f.Joint]:
			return r.doc.Fault(at+".joint", fmt.Sprintf("joint %d is restricted twice", f.Joint), "keep one of the two")
		case f.Min >= f.Max:
			return r.doc.Fault(at+".max_deg", fmt.Sprintf("the limits %g to %g deg are not a range", f.Min, f.Max), "write min_deg below max_deg")
		default:
			if j := arm.Joints[f.Joint-1]; f.Min*degree < j.Min-roundingOfDegrees || f.Max*degree > j.Max+roundingOfDegrees {
				return r.doc.Fault(at, fmt.Sprintf("%g to %g deg reach beyond the robot's own limits of %.6g to %.6g deg", f.Min, f.Max, j.Min/degree, j.Max/degree), "write a range within them")
			}
		}
		seen[f.Joint] = true
		r.cell.Restricted = append(r.cell.Restricted, Restricted{f.Joint - 1, f.Min * degree, f.Max * degree})
	}
	return nil
}

// roundingOfDegrees, rad, is what turning degrees into radians may add.
const roundingOfDegrees = 1e-9
