package cell

import (
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"cellwall/mapping/arm"
	"cellwall/mapping/geom"
)

// fullCell uses every key that there is.
const fullCell = `# every key
format: cellwall.cell/1
name: manifold cell
robot: robot.yaml
scanner:
  mount: {xyz_mm: [62, 0, 48], rpy_deg: [0, -90, 0]}
  eye_mm: [0, 0, -200]
  latency_ms: 4
  range_mm: [150, 3000]
  noise_mm: 0.3
  fan_deg: 80
scans:
  - {name: swing, points: scans/swing.ply, motion: scans/swing.csv}
  - {name: tripod, points: scans/tripod.ply, units: m, placed: {xyz_mm: [1, 2, 3], rpy_deg: [0, 0, 90]}, origin_mm: [0, 0, 1400], rough: {shift_mm: 300, turn_deg: 10}}
objects:
  - {name: mill, kind: enclosure}
  - {name: vise, kind: vise, inside: mill, jaw_width_mm: 150, jaw_height_mm: 45, jaw_depth_mm: 40, fixed_jaw: far}
  - {name: bench, kind: table, near_mm: [150, -1250, 300]}
scene: {margin_mm: 25, behind_mm: 60, unseen_voxel_mm: 50, least_obstacle_mm: 30}
targets:
  - {name: ball, shape: sphere, radius_mm: 40, scans: [swing]}
  - {name: plate, shape: plane, scans: [swing, tripod]}
ignore:
  - {name: hanging cable, xyz_mm: [400, 0, 1500], size_mm: [200, 300, 800], rpy_deg: [0, 0, 0]}
`

const fullRobot = `format: cellwall.robot/1
name: two-axis arm
convention: dh-modified
joints:
  - {a_mm: 0, alpha_deg: 0, d_mm: 450, theta_deg: 90, min_deg: -170, max_deg: 180, max_speed_deg_s: 180}
  - {a_mm: 150, alpha_deg: -90, d_mm: 0, theta_deg: 0, min_deg: -90, max_deg: 90}
couplings:
  - {joint: 2, follows: 1, factor: -1}
capsules:
  - {frame: 2, from_mm: [-150, 0, 0], to_mm: [0, 0, 10], radius_mm: 130}
tool: {point: {xyz_mm: [0, 0, 120], rpy_deg: [0, 90, 0]}, capsules: [{from_mm: [0, 0, 0], to_mm: [0, 0, 90], radius_mm: 25}]}
accuracy: {pose_mm: 0.3}
`

// folder writes a cell folder; the scans' files hold nothing, for Open does not
// read them.
func folder(t testing.TB, cellText, robotText string) string {
	t.Helper()
	dir := t.TempDir()
	if err := os.Mkdir(filepath.Join(dir, "scans"), 0o755); err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{fileName: cellText, "robot.yaml": robotText, "scans/swing.ply": "", "scans/swing.csv": "", "scans/tripod.ply": "", "scans/hall.e57": ""} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

func TestOpenReadsEveryKey(t *testing.T) {
	dir := folder(t, fullCell, fullRobot)
	got, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	quarter := math.Pi / 2
	placed := geom.Pose{R: geom.RotFromRPY(0, 0, quarter), T: r3.Vec{X: 1, Y: 2, Z: 3}}
	want := &Cell{
		Dir: dir, Name: "manifold cell",
		Robot: &arm.Arm{
			Name: "two-axis arm", Convention: arm.Modified, PoseSigma: 0.3,
			Joints: []arm.Joint{
				{D: 450, Theta: quarter, Min: -170 * degree, Max: math.Pi, MaxSpeed: math.Pi},
				{A: 150, Alpha: -quarter, Min: -quarter, Max: quarter},
			},
			Couplings: []arm.Coupling{{Joint: 1, Follows: 0, Factor: -1}},
			Capsules:  []arm.Capsule{{Frame: 2, From: r3.Vec{X: -150}, To: r3.Vec{Z: 10}, Radius: 130}},
			Tool: &arm.Tool{FlangeFromPoint: geom.Pose{R: geom.RotFromRPY(0, quarter, 0), T: r3.Vec{Z: 120}},
				Volume: arm.Volume{Capsules: []arm.Capsule{{Frame: 2, To: r3.Vec{Z: 90}, Radius: 25}}}},
		},
		Scanner: Scanner{
			FlangeFromScanner: geom.Pose{R: geom.RotFromRPY(0, -quarter, 0), T: r3.Vec{X: 62, Z: 48}},
			MountShift:        usualMountShift, MountTurn: usualMountTurn,
			Eye: r3.Vec{Z: -200}, Latency: 0.004, Range: [2]float64{150, 3000}, Noise: 0.3, Fan: 80 * degree,
		},
		Scans: []Scan{
			{Name: "swing", Points: "scans/swing.ply", Motion: "scans/swing.csv", Unit: 1, Line: 13},
			{Name: "tripod", Points: "scans/tripod.ply", Unit: 1000, BaseFromScan: &placed, Origin: r3.Vec{Z: 1400}, Rough: &Rough{300, 10 * degree}, Line: 14},
		},
		Wanted: []Wanted{
			{Name: "mill", Kind: "enclosure", Line: 16},
			{Name: "vise", Kind: "vise", Inside: "mill", JawWidth: 150, JawHeight: 45, JawDepth: 40, FixedJaw: "far", Line: 17},
			{Name: "bench", Kind: "table", Near: &r3.Vec{X: 150, Y: -1250, Z: 300}, Line: 18},
		},
		Scene:   Scene{Margin: 25, Behind: 60, UnseenVoxel: 50, LeastObstacle: 30},
		Targets: []Target{{Name: "ball", Shape: "sphere", Radius: 40, Scans: []string{"swing"}}, {Name: "plate", Shape: "plane", Scans: []string{"swing", "tripod"}}},
		Ignore:  []Ignore{{Name: "hanging cable", Box: geom.Box{Pose: geom.Pose{R: geom.RotFromRPY(0, 0, 0), T: r3.Vec{X: 400, Z: 1500}}, Size: r3.Vec{X: 200, Y: 300, Z: 800}}}},
		Files:   []string{"cell.yaml", "scans/swing.ply", "scans/swing.csv", "scans/tripod.ply", "robot.yaml"},
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got  %+v\nwant %+v", got, want)
	}
	if p := got.Path("scans/swing.ply"); p != filepath.Join(dir, "scans", "swing.ply") {
		t.Errorf("path %s", p)
	}
}

const leastCell = `format: cellwall.cell/1
name: hall
scans:
  - {name: hall, points: scans/hall.e57, placed: {xyz_mm: [0, 0, 0], rpy_deg: [0, 0, 0]}}
  - {name: yard, points: scans/tripod.ply, units: in, placed: {xyz_mm: [0, 0, 0], rpy_deg: [0, 0, 0]}}
`

// What is stated of the mount's accuracy is taken, zero too.
func TestMountAccuracy(t *testing.T) {
	const without = "  eye_mm: [0, 0, -200]\n"
	for text, want := range map[string][2]float64{
		"{shift_mm: 0.4, turn_deg: 0.05}": {0.4, 0.05 * degree},
		"{shift_mm: 0, turn_deg: 0}":      {0, 0},
	} {
		c, err := Open(folder(t, strings.Replace(fullCell, without, without+"  mount_accuracy: "+text+"\n", 1), fullRobot))
		if err != nil {
			t.Fatal(err)
		}
		if got := [2]float64{c.Scanner.MountShift, c.Scanner.MountTurn}; got != want {
			t.Errorf("%s: got %v", text, got)
		}
	}
}

func TestOpenFillsInWhatIsNotSaid(t *testing.T) {
	c, err := Open(folder(t, leastCell, ""))
	if err != nil {
		t.Fatal(err)
	}
	if c.Scene != (Scene{20, 50, 40, 40}) || c.Robot != nil || c.Scanner.Range != [2]float64{0, math.Inf(1)} || c.Scanner.FlangeFromScanner != geom.Identity() {
		t.Errorf("got %+v", c)
	}
	if c.Scans[0].Unit != 1000 || c.Scans[1].Unit != 25.4 || c.Scans[0].Moving() {
		t.Errorf("scans %+v", c.Scans)
	}
}

// A path may leave the folder, and may be absolute.
func TestPathsMayLeaveTheFolder(t *testing.T) {
	other := filepath.Join(t.TempDir(), "far.ply")
	if err := os.WriteFile(other, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	dir := folder(t, strings.Replace(leastCell, "scans/hall.e57", filepath.ToSlash(other), 1), "")
	c, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	if c.Path(c.Scans[0].Points) != other {
		t.Errorf("got %s", c.Path(c.Scans[0].Points))
	}
	if len(c.Remarks) != 1 || !strings.Contains(c.Remarks[0], "scans[0].points") {
		t.Errorf("remarks %q", c.Remarks)
	}
}

// A URDF robot moves to its flange; a link beside the chain is remarked upon.
func TestOpenReadsAURDFRobot(t *testing.T) {
	const text = `<robot name="r"><link name="base"/><link name="hand"/><link name="finger"><collision><geometry><sphere radius="0.01"/></geometry></collision></link>
<joint name="a" type="revolute"><origin xyz="0 0 0.5"/><parent link="base"/><child link="hand"/><axis xyz="0 0 1"/><limit lower="-1" upper="1"/></joint>
<joint name="b" type="prismatic"><parent link="hand"/><child link="finger"/></joint></robot>`
	dir := folder(t, "robot: arm.urdf\nflange: hand\n"+leastCell, "")
	if err := os.WriteFile(filepath.Join(dir, "arm.urdf"), []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	c, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	if at := c.Robot.Flange([]float64{0.5}); at.T != (r3.Vec{Z: 500}) {
		t.Errorf("flange at %v", at)
	}
	if len(c.Remarks) != 2 || !strings.Contains(c.Remarks[0], "finger") || !strings.Contains(c.Remarks[1], "no link has a collision shape") {
		t.Errorf("remarks %q", c.Remarks)
	}
	if !slices.Contains(c.Files, "arm.urdf") {
		t.Errorf("files %q", c.Files)
	}
}

// An arm without capsules is read, and the user told what that means.
func TestOpenRemarksOnAnArmWithoutVolume(t *testing.T) {
	const arm = "format: cellwall.robot/1\nname: a\nconvention: dh-standard\njoints:\n  - {a_mm: 0, alpha_deg: 0, d_mm: 100, min_deg: -10, max_deg: 10}\n"
	c, err := Open(folder(t, "robot: robot.yaml\n"+leastCell, arm))
	if err != nil {
		t.Fatal(err)
	}
	if len(c.Robot.Capsules) != 0 || len(c.Remarks) != 1 || !strings.Contains(c.Remarks[0], "arm's own") {
		t.Errorf("capsules %v, remarks %q", c.Robot.Capsules, c.Remarks)
	}
}

func TestOpenRemarksOnAMountInMetres(t *testing.T) {
	c, err := Open(folder(t, strings.Replace(fullCell, "[62, 0, 48]", "[0.062, 0, 0.048]", 1), fullRobot))
	if err != nil {
		t.Fatal(err)
	}
	if len(c.Remarks) != 1 || !strings.Contains(c.Remarks[0], "write millimetres") {
		t.Errorf("remarks %q", c.Remarks)
	}
}
