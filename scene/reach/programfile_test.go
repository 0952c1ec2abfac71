package reach

import (
	"bytes"
	"math"
	"reflect"
	"strings"
	"testing"
)

// What is written is read again, to the rounding of the file.
func TestProgramsAreWrittenAsTheyAreRead(t *testing.T) {
	const text = "name,motion,j1,j2,j3,j4,j5,j6,x,y,z,qw,qx,qy,qz,config,carry,object\n" +
		"home,joint,0,-90,12.345678,0,0,0,,,,,,,,,,\n" +
		"over,joint,,,,,,,800,0.125,900,0,0,1,0,j3<0 j5>-90,,mill\n"
	p, err := ReadProgram(strings.NewReader(text), "moves.csv", sixAxis())
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := p.Write(&b, 6, []string{"a remark, with a comma"}); err != nil {
		t.Fatal(err)
	}
	again, err := ReadProgram(strings.NewReader(b.String()), "again.csv", sixAxis())
	if err != nil {
		t.Fatalf("%v in\n%s", err, b.String())
	}
	for i, want := range p.Rows {
		got := again.Rows[i]
		for k := range want.Joints {
			if math.Abs(got.Joints[k]-want.Joints[k]) > 1e-8 {
				t.Errorf("row %d, joint %d: %g, want %g", i, k+1, got.Joints[k], want.Joints[k])
			}
		}
		got.Line, got.Joints = want.Line, want.Joints
		if !reflect.DeepEqual(got, want) {
			t.Errorf("row %d: %+v, want %+v", i, got, want)
		}
	}
	if strings.Contains(b.String(), "carry") {
		t.Error("an empty column is written")
	}
}
