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

// Two maps see the wall behind the base a hair to either side of 180 degrees.
func TestNamesDoNotChangeAtTheBack(t *testing.T) {
	for _, y := range []float64{-0.1, 0.1} {
		posts := []Object{{Kind: Post}, {Kind: Post}}
		posts[0].Pose.T, posts[1].Pose.T = r3.Vec{X: -1000, Y: y}, r3.Vec{X: 500}
		nameAround(posts, origin)
		if posts[1].Pose.T.X != -1000 || posts[1].Name != "post-2" {
			t.Errorf("y = %g: %s is at %v", y, posts[1].Name, posts[1].Pose.T)
		}
	}
}
