package cell

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"cellwall/mapping/fault"
)

// change makes a file wrong in one way; the message must hold the words.
type change struct{ old, new, words string }

var wrongCells = []change{
	{"cellwall.cell/1", "cellwall.cell/2", `cell.yaml:2: format: the format "cellwall.cell/2" is not known; write cellwall.cell/1`},
	{"name: manifold cell", "name: a/b", `cell.yaml:3: name: "a/b" cannot be the name of a file`},
	{"latency_ms", "latency_s", "cell.yaml:8: scanner.latency_s: the key is not known; write latency_ms"},
	{"[150, 3000]", "[3000, 150]", "cell.yaml:9: scanner.range_mm: 3000 to 150 is not a range"},
	{"[150, 3000]", "[-1, 150]", "is not a range"},
	{"[150, 3000]", "[150]", "the list has 1 values; write 2"},
	{"noise_mm: 0.3", "mount_accuracy: {shift_mm: -1, turn_deg: 0}", "scanner.mount_accuracy: an accuracy is not below 0"},
	{"noise_mm: 0.3", "noise_mm: 0", "scanner.noise_mm: the noise must be above 0"},
	{"fan_deg: 80", "fan_deg: 361", "scanner.fan_deg: the angle must be above 0 and at most 360"},
	{"  mount: {xyz_mm: [62, 0, 48], rpy_deg: [0, -90, 0]}\n", "", `cell.yaml:5: scanner.mount: the key is missing, and the scan "swing" has a motion`},
	{"{name: tripod", "{name: Swing", `cell.yaml:14: scans[1].name: the name "Swing" is used before, by scans[0].name on line 13`},
	{"{name: tripod", "{name: ' x'", `scans[1].name: the name " x" is empty or begins`},
	{"scans/swing.csv", "scans/none.csv", `cell.yaml:13: scans[0].motion: file "scans/none.csv" does not exist; put it there, or correct the path, which is relative to the cell folder`},
	{"scans/swing.ply", `scans\swing.ply`, "scans[0].points: file \"scans\\\\swing.ply\" does not exist; write / between"},
	{"scans/swing.ply", "scans", `scans[0].points: "scans" is not a file`},
	{", motion: scans/swing.csv", "", "cell.yaml:13: scans[0]: the scan has neither a motion nor a fixed pose; add motion"},
	{"motion: scans/swing.csv", "motion: ''", "scans[0].motion: the path is empty"},
	{"units: m, placed", "units: m, motion: scans/swing.csv, placed", "cell.yaml:14: scans[1].placed: the scan has a motion and a fixed pose"},
	{"motion: scans/swing.csv", "motion: scans/swing.csv, rough: {shift_mm: 1, turn_deg: 1}", "scans[0].rough: a scan with a motion is placed by the arm"},
	{"shift_mm: 300", "shift_mm: 0", "scans[1].rough.shift_mm: 0 is not a distance above 0"},
	{"shift_mm: 300", "shift_mm: 2000", "measure it where it may be more"},
	{"turn_deg: 10", "turn_deg: 181", "scans[1].rough.turn_deg: 181 is not an angle above 0 and up to 180"},
	{", turn_deg: 10", "", "turn_deg"},
	{"motion: scans/swing.csv", "placed: {xyz_mm: [0, 0, 0], rpy_deg: [0, 0, 0]}, rough: {shift_mm: 1, turn_deg: 1}", "every scan is rough"},
	{"motion: scans/swing.csv", "motion: scans/swing.csv, origin_mm: [0, 0, 0]", "scans[0].origin_mm: a scan with a motion has its rays start at the scanner's eye"},
	{"units: m", "units: cm", `scans[1].units: the unit "cm" is not known; write mm, m or in`},
	{"scans/tripod.ply, units: m", "scans/hall.e57, units: mm", "scans[1].units: an E57 file is in metres"},
	{"kind: enclosure", "kind: mill", `cell.yaml:16: objects[0].kind: the kind "mill" is not known; write floor, wall, ceiling, table, enclosure, vise, post, block or shape`},
	{"inside: mill", "inside: bench", `objects[1].inside: no other object "bench" of kind enclosure`},
	{"kind: enclosure", "kind: enclosure, inside: mill", "objects[0].inside: no other object"},
	{"kind: table", "kind: table, jaw_width_mm: 3", "cell.yaml:18: objects[2].jaw_width_mm: a table has no jaws"},
	{"kind: table", "kind: shape", "cell.yaml:18: objects[2].model: a shape is located by its model; write the path of an STL file in mm"},
	{"kind: table", "kind: table, model: a.stl", "cell.yaml:18: objects[2].model: a table is not located by a model"},
	{"kind: table", "kind: shape, model: none.stl", `cell.yaml:18: objects[2].model: file "none.stl" does not exist`},
	{"jaw_depth_mm: 40", "jaw_depth_mm: -40", "objects[1].jaw_depth_mm: the size must be above 0"},
	{"fixed_jaw: far", "fixed_jaw: rear", `objects[1].fixed_jaw: the side "rear" is not known; write near, far, left or right`},
	{"name: bench", "name: .bench", "objects[2].name: \".bench\" cannot be the name of a file"},
	{"margin_mm: 25", "margin_mm: -1", "scene.margin_mm: the margin is negative"},
	{"behind_mm: 60", "behind_mm: 0", "scene.behind_mm: the thickness must be above 0"},
	{"fan_deg: 80", "no_return: free", `scanner.no_return: "free" is not known; write unknown, or nothing-in-range`},
	{"range_mm: [150, 3000]", "no_return: nothing-in-range", "scanner.no_return: in which range there is nothing is not told; add range_mm"},
	{"least_obstacle_mm: 30", "least_obstacle_mm: 0", "scene.least_obstacle_mm: 0 is not above 0"},
	{"least_obstacle_mm: 30", "least_obstacle_mm: 51", "51 is not above 0 and up to unseen_voxel_mm"},
	{"unseen_voxel_mm: 50", "unseen_voxel_mm: 0", "scene.unseen_voxel_mm: the edge must be above 0"},
	{"shape: sphere", "shape: cube", `targets[0].shape: the shape "cube" is not known`},
	{"radius_mm: 40, ", "", "targets[0].radius_mm: a sphere needs a radius"},
	{"shape: plane", "shape: plane, radius_mm: 3", "targets[1].radius_mm: a plane has no radius"},
	{"scans: [swing]", "scans: []", "targets[0].scans: the list is empty"},
	{"scans: [swing, tripod]", "scans: [swing, stand]", `targets[1].scans[1]: no scan is called "stand"`},
	{"[200, 300, 800]", "[200, 0, 800]", "ignore[0].size_mm: every size must be above 0"},
	{"robot: robot.yaml", "robot: none.yaml", `cell.yaml:4: robot: file "none.yaml" does not exist`},
	{"robot: robot.yaml", "robot: robot.yaml\nflange: tool0", "flange: only a URDF robot needs a flange"},
	{"robot: robot.yaml", "robot: arm.urdf", `cell.yaml:4: robot: of a URDF robot it must be said which link is the flange`},
	{"robot: robot.yaml", "robot: arm.urdf\nflange: tool0", `file "arm.urdf" does not exist`},
	{"robot: robot.yaml", "flange: tool0", "cell.yaml:4: flange: the cell names no robot"},
	{"scans:\n", "scans: []\nscan:\n", "scan: the key is not known; write scans"},
}

var wrongRobots = []change{
	{"robot/1", "cell/1", `robot.yaml:1: format: the format "cellwall.cell/1" is not known; write cellwall.robot/1`},
	{"dh-modified", "modified", `robot.yaml:3: convention: the convention "modified" is not known; write dh-standard or dh-modified`},
	{"min_deg: -170", "min_deg: 180", "robot.yaml:5: joints[0].max_deg: the limits 180 to 180 deg are not a range"},
	{"max_speed_deg_s: 180", "max_speed_deg_s: 0", "joints[0].max_speed_deg_s: the speed must be above 0"},
	{"max_speed_deg_s: 180", "max_speed_deg: 180", "joints[0].max_speed_deg: the key is not known; write max_speed_deg_s"},
	{"a_mm: 150, ", "", "robot.yaml:6: joints[1].a_mm: the key is missing"},
	{"joint: 2", "joint: 0", "robot.yaml:8: couplings[0].joint: there is no joint 0; write a joint from 1 to 2"},
	{"follows: 1", "follows: 3", "couplings[0].follows: there is no joint 3"},
	{"follows: 1", "follows: 2", "joint 2 cannot follow itself"},
	{"joint: 2", "joint: 1.5", `couplings[0].joint: "1.5" is not a whole number`},
	{"factor: -1}", "factor: -1}\n  - {joint: 2, follows: 1, factor: 1}", "couplings[1]: joint 2 follows joint 1 twice"},
	{"frame: 2", "frame: 3", "robot.yaml:10: capsules[0].frame: there is no frame 3; write 0 for the base up to 2"},
	{"radius_mm: 130", "radius_mm: 0", "capsules[0].radius_mm: the radius must be above 0"},
	{"radius_mm: 25", "radius_mm: -25", "tool.capsules[0].radius_mm: the radius must be above 0"},
	{"radius_mm: 25}]}", "radius_mm: 25}], boxes: [{xyz_mm: [0, 0, 0], size_mm: [10, 0, 10]}]}", "tool.boxes[0].size_mm: every size must be above 0"},
	{"pose_mm: 0.3", "pose_mm: -0.3", "accuracy.pose_mm: the accuracy is negative"},
	{"name: two-axis arm", "name: ''", "name: the name \"\" is empty"},
}

func TestFaultsOfTheCell(t *testing.T) {
	for _, c := range wrongCells {
		if !strings.Contains(fullCell, c.old) {
			t.Fatalf("%q is not in the cell", c.old)
		}
		wantFault(t, folder(t, strings.Replace(fullCell, c.old, c.new, 1), fullRobot), c.words)
	}
	wantFault(t, folder(t, "format: cellwall.cell/1\nname: a\nscans: []\n", ""), "cell.yaml:3: scans: the list is empty")
	wantFault(t, t.TempDir(), "cell.yaml: the file does not exist; name the folder that holds cell.yaml")
}

func TestFaultsOfTheRobot(t *testing.T) {
	for _, c := range wrongRobots {
		if !strings.Contains(fullRobot, c.old) {
			t.Fatalf("%q is not in the robot", c.old)
		}
		wantFault(t, folder(t, fullCell, strings.Replace(fullRobot, c.old, c.new, 1)), c.words)
	}
	wantFault(t, folder(t, fullCell, "format: cellwall.robot/1\nname: a\nconvention: dh-standard\njoints: []\ncapsules: []\n"), "joints: the list is empty")
}

func wantFault(t *testing.T, dir, words string) {
	t.Helper()
	_, err := Open(dir)
	var f *fault.Error
	if !errors.As(err, &f) || !strings.Contains(f.Error(), words) || f.Remedy == "" {
		t.Errorf("got  %v\nwant %s", err, words)
	}
}

// Whatever the two files hold, there is a cell or a fault with a remedy.
func FuzzCell(f *testing.F) {
	f.Add(fullCell, fullRobot)
	f.Add(leastCell, "")
	f.Add("format: [{a: 'b\n", "joints: {")
	dir := folder(f, "", "")
	f.Fuzz(func(t *testing.T, cellText, robotText string) {
		for name, text := range map[string]string{fileName: cellText, "robot.yaml": robotText} {
			if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		c, err := Open(dir)
		var bad *fault.Error
		if err != nil && (!errors.As(err, &bad) || bad.Remedy == "") {
			t.Fatalf("%v is no fault with a remedy", err)
		}
		if err == nil && len(c.Scans) == 0 {
			t.Fatal("a cell without scans")
		}
	})
}

// cell.yaml itself is often named where its folder is meant.
func TestOpenOfAFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "cell.yaml")
	if err := os.WriteFile(path, []byte("format: cellwall.cell/1\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	_, err := Open(path)
	if err == nil || !strings.Contains(err.Error(), path+": it is a file; name the folder that holds cell.yaml") {
		t.Errorf("got %v", err)
	}
}
