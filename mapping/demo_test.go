package mapping_test

import (
	"math"
	"reflect"
	"runtime"
	"testing"

	"cellwall/fixtures"
	"cellwall/mapping"
	"cellwall/mapping/mappingtest"
)

// offSurface is how many points are in voxels whose mean lies further off every
// true surface than noise, and a voxel with a corner in it, explain.
func offSurface(shop *fixtures.Shop, cloud *mapping.Cloud) (n float64) {
	for i := range cloud.Voxels {
		v := &cloud.Voxels[i]
		if math.Abs(shop.Distance(v.Mean)) > float64(v.Edge)/3+5*cloud.Noise.Sigma(v.Range) {
			n += v.N
		}
	}
	return n
}

// The invented shop says where every surface really is: what is left of faults
// in the cloud must be little, and little of what is true may be lost.
func TestCloudAgainstTheInventedShop(t *testing.T) {
	if testing.Short() {
		t.Skip("scans a shop with most of a million points")
	}
	s := fixtures.Demo(3)
	s.Density = 0.25
	shop, _, cloud := mappingtest.Scan(t, s)
	n := cloud.Counts
	sum := n.Used
	for _, why := range mapping.Reasons() {
		sum += n.Dropped[why]
	}
	if sum != n.Read {
		t.Errorf("%d points used or dropped of %d read", sum, n.Read)
	}
	if n.Dropped[mapping.NoReturn] == 0 || n.Dropped[mapping.RobotItself] == 0 || n.Dropped[mapping.EdgePoint] == 0 || n.Dropped[mapping.Sparse] == 0 {
		t.Errorf("drops %v, want some of each fault", n.Dropped)
	}
	if ratio := cloud.Noise.Sigma(1000) / s.Faults.Noise; math.Abs(ratio-1) > 0.15 {
		t.Errorf("noise %.3f mm at 1 m, true %.3f", cloud.Noise.Sigma(1000), s.Faults.Noise)
	}
	// What is dropped as mixed or sparse is at most what the shop's faults make,
	// of the order of one percent; so no more than that of true points is lost.
	if lost := n.Dropped[mapping.EdgePoint] + n.Dropped[mapping.Sparse]; float64(lost) > 0.02*float64(n.Used) {
		t.Errorf("%d points dropped as edge or sparse beside %d used", lost, n.Used)
	}
	if off := offSurface(shop, cloud); off > 1e-3*float64(n.Used) {
		t.Errorf("%g of %d points in voxels that lie off every surface", off, n.Used)
	}
}

// In a pose stream the links are unknown, but not what the flange carries: the
// finger, a tenth of all points, must go. The forearm, which one pass sees, stays.
func TestFlangesOwnVolumeInAPoseStream(t *testing.T) {
	if testing.Short() {
		t.Skip("scans a shop with most of a million points")
	}
	s := fixtures.Demo(4)
	s.Density, s.Robot.Poses = 0.25, true
	shop, _, cloud := mappingtest.Scan(t, s)
	if cloud.Counts.Dropped[mapping.RobotItself] == 0 {
		t.Error("nothing dropped as the arm's own")
	}
	if off := offSurface(shop, cloud); off > 5e-3*float64(cloud.Counts.Used) {
		t.Errorf("%g of %d points in voxels that lie off every surface", off, cloud.Counts.Used)
	}
}

func TestSameCloudOnAnyNumberOfCores(t *testing.T) {
	s := fixtures.Demo(5)
	s.Density = 0.04
	_, c, cloud := mappingtest.Scan(t, s)
	cores := runtime.GOMAXPROCS(0)
	defer runtime.GOMAXPROCS(cores)
	for _, n := range []int{1, 3, 8} {
		runtime.GOMAXPROCS(n)
		again, err := mapping.Merge(t.Context(), c, nil)
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(again, cloud) {
			t.Errorf("the cloud on %d cores differs from that on %d", n, cores)
		}
	}
}

// BenchmarkMerge merges the demo cell, seven sweeps of 0.4 M points:
// go test -run XXX -bench Merge -benchmem ./mapping
func BenchmarkMerge(b *testing.B) {
	_, c, cloud := mappingtest.Scan(b, fixtures.Demo(1))
	b.ReportMetric(float64(cloud.Counts.Read), "points")
	for b.Loop() {
		if _, err := mapping.Merge(b.Context(), c, nil); err != nil {
			b.Fatal(err)
		}
	}
}
