package fit

import (
	"fmt"
	"testing"
	"time"

	"cellwall/fit/surface"
	"cellwall/mapping/geom"
	"gonum.org/v1/gonum/spatial/r3"
)

func TestProbe(t *testing.T) {
	w := newRoom(1)
	floor := geom.Pose{R: geom.RotFromRPY(0.01, -0.015, 0), T: r3.Vec{Z: -600}}
	w.box(floor, -4000, -4000, -100, 8000, 8000, 100)
	w.box(floor, 2600, -4000, 0, 100, 8000, 3000)
	w.box(floor, -4000, 2300, 0, 8000, 100, 3000)
	t0 := time.Now()
	c := w.look(swings, 800, 400)
	fmt.Println(len(c.Voxels), time.Since(t0))
	t0 = time.Now()
	for _, s := range surface.Find(c) {
		fmt.Printf("%v area %.2f n %d centre %v outline %d\n", s.Plane, s.Area/1e6, s.Points, s.Centre, len(s.Outline))
	}
	fmt.Println(time.Since(t0))
}
