package reach

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"cellwall/mapping/arm"
	"cellwall/mapping/geom"
)

// Condition says on which side of an angle a joint stands: it chooses among the
// configurations in which an arm reaches a pose. A sign of a joint's angle tells
// elbow up from down, or a wrist from the same wrist turned over.
type Condition struct {
	Joint int // from 0
	Above bool
	Angle float64 // rad
}

// conditions reads such as j3<0 j5>-90, deg, for an arm of n joints.
func conditions(text string, n int) ([]Condition, error) {
	var out []Condition
	for _, word := range strings.Fields(text) {
		at := strings.IndexAny(word, "<>")
		if at < 2 || word[0] != 'j' {
			return nil, fmt.Errorf("%q is not understood", word)
		}
		joint, err := strconv.Atoi(word[1:at])
		if err != nil || joint < 1 || joint > n {
			return nil, fmt.Errorf("%q names no joint of the %d", word, n)
		}
		angle, err := strconv.ParseFloat(word[at+1:], 64)
		if err != nil || !(math.Abs(angle) <= largest) {
			return nil, fmt.Errorf("%q gives no angle", word)
		}
		out = append(out, Condition{joint - 1, word[at] == '>', angle * degrees})
	}
	return out, nil
}

// String is the condition as a program writes it.
func (k Condition) String() string {
	side := "<"
	if k.Above {
		side = ">"
	}
	return fmt.Sprintf("j%d%s%.6g", k.Joint+1, side, k.Angle/degrees)
}

// meets tells whether q meets all conditions.
func meets(q []float64, all []Condition) bool {
	for _, k := range all {
		if k.Above != (q[k.Joint] > k.Angle) {
			return false
		}
	}
	return true
}

const (
	// solveStarts is from how many postures, spread over the joints' ranges, the
	// ways to reach a pose are looked for. A six-axis arm has at most sixteen
	// (Raghavan and Roth, J. Mech. Des. 115 (1993) 502), and mostly eight.
	solveStarts = 96
	// alike, rad, is how near two solutions are to be one.
	alike = 1e-4
	// mostNamed of the postures stand in a message.
	mostNamed = 4
)

// configurations are the joint angles within limits at which the tool point is at
// the pose, in the order in which they were found. Of those that differ by full
// turns it is the one nearest to the middle of the joint's range. The error is
// Solve's where there is none at all, or says which limit stands against it.
func (c *Checker) configurations(pose geom.Pose) ([][]float64, error) {
	var out [][]float64
	var beyond error
	target := pose.Mul(c.point.Inverse())
	for k := range solveStarts {
		q, err := c.arm.Solve(target, c.Spread(k))
		if err != nil {
			if k == 0 && errors.Is(err, arm.ErrOutOfReach) { // it has started anew often enough by itself
				return nil, err
			}
			continue
		}
		for i, j := range c.arm.Joints {
			mid := (j.Min + j.Max) / 2
			q[i] = mid + math.Remainder(q[i]-mid, 2*math.Pi)
		}
		if err := c.arm.Within(q); err != nil {
			beyond = err
			continue
		}
		if !slices.ContainsFunc(out, func(o []float64) bool { return same(o, q) }) {
			out = append(out, q)
		}
	}
	if out == nil && beyond == nil {
		beyond = arm.ErrOutOfReach
	}
	if out == nil {
		return nil, beyond
	}
	return out, nil
}

// same tells whether p and q are one posture, but for full turns.
func same(p, q []float64) bool {
	for i := range p {
		if math.Abs(math.Remainder(q[i]-p[i], 2*math.Pi)) > alike {
			return false
		}
	}
	return true
}

// mostTurn is the widest turn of a joint from p to q.
func mostTurn(p, q []float64) float64 {
	widest := 0.0
	for i := range p {
		widest = max(widest, math.Abs(q[i]-p[i]))
	}
	return widest
}

// start is the posture of a first row that gives a pose, where there is one alone.
func (c *Checker) start(row *Row) ([]float64, error) {
	all, err := c.choices(row)
	if err != nil {
		return nil, err
	}
	if len(all) > 1 {
		return nil, fmt.Errorf("the arm reaches the pose where it starts in %d ways: %s", len(all), spelled(all))
	}
	return all[0], nil
}

// nearestChoice is the configuration that the row asks for, nearest to from.
func (c *Checker) nearestChoice(row *Row, from []float64) ([]float64, error) {
	all, err := c.choices(row)
	if err != nil {
		return nil, err
	}
	return slices.MinFunc(all, func(p, q []float64) int {
		if mostTurn(from, p) < mostTurn(from, q) {
			return -1
		}
		return 1
	}), nil
}

// choices are the configurations at the row's pose that it allows.
func (c *Checker) choices(row *Row) ([][]float64, error) {
	all, err := c.configurations(*row.Pose)
	if err != nil {
		return nil, err
	}
	fit := slices.DeleteFunc(slices.Clone(all), func(q []float64) bool { return !meets(q, row.Config) })
	if len(fit) == 0 {
		return nil, fmt.Errorf("no posture at the pose meets the config %v; there is %s", row.Config, spelled(all))
	}
	return fit, nil
}

// spelled lists postures in whole deg, the first few of many.
func spelled(all [][]float64) string {
	var out []string
	for _, q := range all[:min(len(all), mostNamed)] {
		var words []string
		for i := range q {
			words = append(words, fmt.Sprintf("j%d=%.0f", i+1, math.Round(q[i]/degrees)+0))
		}
		out = append(out, strings.Join(words, " "))
	}
	text := strings.Join(out, "; ")
	if n := len(all) - mostNamed; n > 0 {
		text += fmt.Sprintf("; and %d more", n)
	}
	return text
}
