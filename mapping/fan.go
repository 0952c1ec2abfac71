package mapping

import (
	"errors"
	"io"
	"math"

	"cellwall/mapping/cell"
	"cellwall/mapping/points"
)

// Fan is the full angle of the scanner's laser line, rad: what cell.yaml says,
// or else twice the widest angle to its middle at which the first moving scan
// has a return. It is 0 where no scan was made in motion.
func Fan(c *cell.Cell) (float64, error) {
	if c.Scanner.Fan > 0 {
		return c.Scanner.Fan, nil
	}
	for _, s := range c.Scans {
		if s.Moving() {
			return fanOf(c.Path(s.Points), c.Scanner.Eye.X, c.Scanner.Eye.Z, s.Unit)
		}
	}
	return 0, nil
}

// fanOf is the angle of the scan at path, which counts in scale mm, about an eye
// at x, z mm.
func fanOf(path string, x, z, scale float64) (float64, error) {
	r, err := points.OpenTimed(path)
	if err != nil {
		return 0, err
	}
	defer r.Close()
	widest := 0.0
	for b := new(points.Batch); ; {
		if err := r.Next(b); errors.Is(err, io.EOF) {
			return 2 * widest, nil
		} else if err != nil {
			return 0, err
		}
		for i := range b.X {
			if across, along := b.X[i]*scale-x, b.Z[i]*scale-z; along > 0 && (b.X[i] != 0 || b.Z[i] != 0) {
				widest = max(widest, math.Abs(math.Atan2(across, along)))
			}
		}
	}
}
