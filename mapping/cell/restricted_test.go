package cell

import (
	"math"
	"strings"
	"testing"
)

func TestRestrictedRangesAreTakenOrNamed(t *testing.T) {
	const key = "restricted: [{joint: 1, min_deg: -60, max_deg: 90}]\n"
	c, err := Open(folder(t, fullCell+key, fullRobot))
	if err != nil {
		t.Fatal(err)
	}
	if len(c.Restricted) != 1 || c.Restricted[0].Joint != 0 || math.Abs(c.Restricted[0].Min+math.Pi/3)+math.Abs(c.Restricted[0].Max-math.Pi/2) > 1e-12 {
		t.Errorf("%+v", c.Restricted)
	}
	for _, x := range []change{
		{"joint: 1", "joint: 0", "restricted[0].joint: there is no joint 0"},
		{"joint: 1", "joint: 3", "there is no joint 3; write a joint from 1 to 2"},
		{"max_deg: 90", "max_deg: -60", "restricted[0].max_deg: the limits -60 to -60 deg are not a range"},
		{"max_deg: 90", "max_deg: 190", "beyond the robot's own limits of -170 to 180 deg"},
		{"90}", "90}, {joint: 1, min_deg: 0, max_deg: 1}", "restricted[1].joint: joint 1 is restricted twice"},
		{"min_deg: -60, ", "", "restricted[0].min_deg: the key is missing"},
	} {
		wantFault(t, folder(t, fullCell+strings.Replace(key, x.old, x.new, 1), fullRobot), x.words)
	}
}
