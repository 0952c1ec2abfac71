package cell

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"cellwall/mapping/geom"
)

// The formats that this package reads.
const (
	cellFormat  = "cellwall.cell/1"
	robotFormat = "cellwall.robot/1"
)

// cellFile is cell.yaml as it stands, in mm and degrees.
type cellFile struct {
	Format  string       `yaml:"format,required"`
	Name    string       `yaml:"name,required"`
	Robot   string       `yaml:"robot"`
	Flange  string       `yaml:"flange"`
	Scanner *scannerFile `yaml:"scanner"`
	Scans   []scanFile   `yaml:"scans,required"`
	Objects []objectFile `yaml:"objects"`
	Scene   *sceneFile   `yaml:"scene"`
	Targets []targetFile `yaml:"targets"`
	Ignore  []ignoreFile `yaml:"ignore"`

	Restricted []restrictedFile `yaml:"restricted"`
	Parts      []partFile       `yaml:"parts"`
}

type poseFile struct {
	XYZ [3]float64 `yaml:"xyz_mm,required"`
	RPY [3]float64 `yaml:"rpy_deg,required"`
}

type scannerFile struct {
	Mount   *poseFile   `yaml:"mount"`
	Sure    *sureFile   `yaml:"mount_accuracy"`
	Eye     [3]float64  `yaml:"eye_mm"`
	Latency float64     `yaml:"latency_ms"`
	Range   *[2]float64 `yaml:"range_mm"`
	Noise   *float64    `yaml:"noise_mm"`
	Fan     *float64    `yaml:"fan_deg"`
	Silent  string      `yaml:"no_return"`
}

type sureFile struct {
	Shift float64 `yaml:"shift_mm,required"`
	Turn  float64 `yaml:"turn_deg,required"`
}

type scanFile struct {
	Name   string      `yaml:"name,required"`
	Points string      `yaml:"points,required"`
	Motion string      `yaml:"motion"`
	Units  string      `yaml:"units"`
	Placed *poseFile   `yaml:"placed"`
	Origin *[3]float64 `yaml:"origin_mm"`
	Rough  *roughFile  `yaml:"rough"`
}

type roughFile struct {
	Shift float64 `yaml:"shift_mm,required"`
	Turn  float64 `yaml:"turn_deg,required"`
}

type objectFile struct {
	Name      string      `yaml:"name,required"`
	Kind      string      `yaml:"kind,required"`
	Inside    string      `yaml:"inside"`
	Near      *[3]float64 `yaml:"near_mm"`
	JawWidth  *float64    `yaml:"jaw_width_mm"`
	JawHeight *float64    `yaml:"jaw_height_mm"`
	JawDepth  *float64    `yaml:"jaw_depth_mm"`
	FixedJaw  string      `yaml:"fixed_jaw"`
	Model     string      `yaml:"model"`
}

type sceneFile struct {
	Margin      *float64 `yaml:"margin_mm"`
	Behind      *float64 `yaml:"behind_mm"`
	UnseenVoxel *float64 `yaml:"unseen_voxel_mm"`
	Least       *float64 `yaml:"least_obstacle_mm"`
}

type targetFile struct {
	Name   string   `yaml:"name,required"`
	Shape  string   `yaml:"shape,required"`
	Radius *float64 `yaml:"radius_mm"`
	Scans  []string `yaml:"scans,required"`
}

type ignoreFile struct {
	Name string     `yaml:"name,required"`
	XYZ  [3]float64 `yaml:"xyz_mm,required"` // of the box's centre
	Size [3]float64 `yaml:"size_mm,required"`
	RPY  [3]float64 `yaml:"rpy_deg"`
}

// robotFile is robot.yaml as it stands, in mm and degrees, counting from 1.
type robotFile struct {
	Format     string         `yaml:"format,required"`
	Name       string         `yaml:"name,required"`
	Convention string         `yaml:"convention,required"`
	Joints     []jointFile    `yaml:"joints,required"`
	Couplings  []couplingFile `yaml:"couplings"`
	Capsules   []capsuleFile  `yaml:"capsules"`
	Tool       *toolFile      `yaml:"tool"`
	Accuracy   *accuracyFile  `yaml:"accuracy"`
}

type jointFile struct {
	A        float64  `yaml:"a_mm,required"`
	Alpha    float64  `yaml:"alpha_deg,required"`
	D        float64  `yaml:"d_mm,required"`
	Theta    float64  `yaml:"theta_deg"`
	Min      float64  `yaml:"min_deg,required"`
	Max      float64  `yaml:"max_deg,required"`
	MaxSpeed *float64 `yaml:"max_speed_deg_s"`
}

type couplingFile struct {
	Joint   int     `yaml:"joint,required"`
	Follows int     `yaml:"follows,required"`
	Factor  float64 `yaml:"factor,required"`
}

type capsuleFile struct {
	Frame  int        `yaml:"frame,required"`
	From   [3]float64 `yaml:"from_mm,required"`
	To     [3]float64 `yaml:"to_mm,required"`
	Radius float64    `yaml:"radius_mm,required"`
}

type toolFile struct {
	Point    *poseFile         `yaml:"point"`
	Capsules []heldCapsuleFile `yaml:"capsules"`
	Boxes    []heldBoxFile     `yaml:"boxes"`
}

type accuracyFile struct {
	Pose float64 `yaml:"pose_mm,required"`
}

// degree in rad: a file's angle times degree is ours.
const degree = math.Pi / 180

func vec(v [3]float64) r3.Vec { return r3.Vec{X: v[0], Y: v[1], Z: v[2]} }

// pose turns about fixed X, Y and Z by rpy in deg and puts the origin at xyz.
func pose(xyz, rpy [3]float64) geom.Pose {
	return geom.Pose{R: geom.RotFromRPY(rpy[0]*degree, rpy[1]*degree, rpy[2]*degree), T: vec(xyz)}
}

// orElse is the value behind p, or other where the file has none.
func orElse(p *float64, other float64) float64 {
	if p == nil {
		return other
	}
	return *p
}
