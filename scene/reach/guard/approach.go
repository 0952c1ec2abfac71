package guard

import (
	"fmt"
	"math"
	"strings"
)

// Approach is what the least distance between a protective device and a hazard
// is worked out from. Which fields count depends on the edition.
type Approach struct {
	Edition    string  // 2010 or 2024
	Stopping   float64 // overall time until the hazard has ended, s
	Resolution float64 // 2010: detection capability of the device, mm
	Speed      float64 // 2024: approach speed K, mm/s
	Reach      float64 // 2024: D_DS, reaching distance associated with the device, mm
	Supplement float64 // 2024: Z, supplements, mm
}

// Distance is the result, with every line of the working.
type Distance struct {
	S     float64 // mm
	Lines []string
}

const (
	// finest and coarsest detection capability, mm, that the formula of 2010 for
	// normal approach to a light curtain is for.
	finest, coarsest = 14, 40
	fastHand         = 2000 // mm/s, where the distance is up to far
	slowHand         = 1600 // mm/s, beyond
	far              = 500  // mm: from there on the slower speed counts, but no less than this
	leastDistance    = 100  // mm, whatever the formula gives
)

// MinimumDistance by ISO 13855, whose edition is named: of 2010 for normal
// approach to a light curtain of 14 to 40 mm, S = K T + C with C = 8 (d - 14); of
// 2024 S = K T + D_DS + Z with all terms given. It fails where an input is
// missing, negative or not of the edition's formula.
func (a Approach) MinimumDistance() (Distance, error) {
	for name, v := range map[string]float64{"the stopping time": a.Stopping, "the resolution": a.Resolution, "the speed": a.Speed, "the reaching distance": a.Reach, "the supplement": a.Supplement} {
		if !(v >= 0) || math.IsInf(v, 1) {
			return Distance{}, fmt.Errorf("%s is %g, and must be a number that is not negative", name, v)
		}
	}
	if a.Stopping == 0 {
		return Distance{}, fmt.Errorf("the stopping time is missing; measure it, and give it in s")
	}
	switch a.Edition {
	case "2010":
		return a.of2010()
	case "2024":
		return a.of2024()
	}
	return Distance{}, fmt.Errorf("the edition %q of ISO 13855 is not known; name 2010 or 2024", a.Edition)
}

func (a Approach) of2010() (Distance, error) {
	if a.Resolution < finest || a.Resolution > coarsest {
		return Distance{}, fmt.Errorf("the formula is for a detection capability of %d to %d mm, not %g; work the case out by the standard itself", finest, coarsest, a.Resolution)
	}
	if a.Speed+a.Reach+a.Supplement > 0 {
		return Distance{}, fmt.Errorf("speed, reaching distance and supplement belong to the edition of 2024; leave them out, or name it")
	}
	c := 8 * (a.Resolution - finest)
	d := Distance{Lines: []string{"ISO 13855:2010, normal approach to a light curtain: S = K T + C, C = 8 (d - 14)",
		fmt.Sprintf("T = %g s, d = %g mm, C = %g mm", a.Stopping, a.Resolution, c)}}
	d.S = fastHand*a.Stopping + c
	d.say("K = %d mm/s: S = %.1f mm", fastHand, d.S)
	if d.S > far {
		slow := slowHand*a.Stopping + c
		d.S = max(far, slow)
		d.say("over %d mm, so K = %d mm/s: S = %.1f mm, but not under %d", far, slowHand, slow, far)
	}
	if d.S < leastDistance {
		d.S = leastDistance
		d.say("S is never under %d mm", leastDistance)
	}
	return d.rounded(), nil
}

func (a Approach) of2024() (Distance, error) {
	switch {
	case a.Speed == 0:
		return Distance{}, fmt.Errorf("the approach speed K is missing; take it from the standard for the direction of approach")
	case a.Resolution > 0:
		return Distance{}, fmt.Errorf("the edition of 2024 takes the reaching distance D_DS that the standard gives for the device; give that instead of the resolution")
	}
	d := Distance{S: a.Speed*a.Stopping + a.Reach + a.Supplement, Lines: []string{"ISO 13855:2024: S = K T + D_DS + Z",
		fmt.Sprintf("K = %g mm/s, T = %g s, D_DS = %g mm, Z = %g mm", a.Speed, a.Stopping, a.Reach, a.Supplement)}}
	return d.rounded(), nil
}

func (d *Distance) say(format string, args ...any) {
	d.Lines = append(d.Lines, fmt.Sprintf(format, args...))
}

// rounded up to whole millimetres, but for what rounding alone leaves over.
func (d Distance) rounded() Distance {
	d.S = math.Ceil(d.S - 1e-9)
	d.say("S = %.0f mm", d.S)
	return d
}

// String is the working, a line each.
func (d Distance) String() string { return strings.Join(d.Lines, "\n") }
