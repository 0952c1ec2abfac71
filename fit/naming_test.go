package fit

import (
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestNamesGoRoundTheBase(t *testing.T) {
	at := func(x, y float64, name string) Object {
		o := Object{Kind: Post, Name: name}
		o.Pose.T = r3.Vec{X: x, Y: y}
		return o
	}
	posts := []Object{at(0, 1, ""), at(1, 0.1, "pillar"), at(-1, -1, ""), at(1, 0, "")}
	nameAround(posts, origin)
	var got []string
	for _, p := range posts {
		got = append(got, p.Name)
	}
	want := []string{"post-1", "post-2", "pillar", "post-3"} // -135, 0, 6, 90 degrees
	for i := range want {
		if got[i] != want[i] {
			t.Fatalf("named %v, want %v", got, want)
		}
	}
}
