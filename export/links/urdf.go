package links

import (
	"encoding/xml"

	"cellwall/export/extent"
	"cellwall/scene"
)

// URDF spells the scene as a robot description without moving parts. Meshes are
// named relative to the file, in the folder given.
func URDF(s *scene.Scene, e extent.Extent, folder string) ([]byte, []File, error) {
	links, files, err := model(s, e, folder)
	if err != nil {
		return nil, nil, err
	}
	robot := urdfRobot{Name: title(s), Links: []urdfLink{{Name: Base}}}
	for i := range links {
		l := &links[i]
		out := urdfLink{Name: l.name}
		for k := range l.shapes {
			out.Visual = append(out.Visual, l.shapes[k].urdf())
		}
		out.Collision = out.Visual
		robot.Links = append(robot.Links, out)
		robot.Joints = append(robot.Joints, urdfJoint{
			Name: Base + "-to-" + l.name, Type: "fixed", Parent: urdfRef{Base}, Child: urdfRef{l.name},
			Origin: urdfOrigin{XYZ: point(l.baseFromLink.T), RPY: angles(l.baseFromLink.R)},
		})
	}
	text, err := encode(comment(s, e), robot)
	return text, files, err
}

func (s *shape) urdf() urdfShape {
	out := urdfShape{Name: s.name, Origin: urdfOrigin{XYZ: point(s.linkFromShape.T), RPY: angles(s.linkFromShape.R)}}
	switch {
	case s.box != nil:
		out.Geometry.Box = &urdfBox{Size: point(s.box.Size)}
	case s.cylinder != nil:
		out.Geometry.Cylinder = &urdfCylinder{Radius: metres(s.cylinder.Radius), Length: metres(s.cylinder.Height)}
	default:
		out.Geometry.Mesh = &urdfMesh{File: s.mesh}
	}
	return out
}

// The types below spell out what of URDF is used.
type urdfRobot struct {
	XMLName xml.Name    `xml:"robot"`
	Name    string      `xml:"name,attr"`
	Links   []urdfLink  `xml:"link"`
	Joints  []urdfJoint `xml:"joint"`
}

type urdfLink struct {
	Name      string      `xml:"name,attr"`
	Visual    []urdfShape `xml:"visual"`
	Collision []urdfShape `xml:"collision"`
}

type urdfShape struct {
	Name     string       `xml:"name,attr"`
	Origin   urdfOrigin   `xml:"origin"`
	Geometry urdfGeometry `xml:"geometry"`
}

type urdfOrigin struct {
	XYZ string `xml:"xyz,attr"`
	RPY string `xml:"rpy,attr"`
}

type urdfGeometry struct {
	Box      *urdfBox      `xml:"box"`
	Cylinder *urdfCylinder `xml:"cylinder"`
	Mesh     *urdfMesh     `xml:"mesh"`
}

type urdfBox struct {
	Size string `xml:"size,attr"`
}

type urdfCylinder struct {
	Radius string `xml:"radius,attr"`
	Length string `xml:"length,attr"`
}

type urdfMesh struct {
	File string `xml:"filename,attr"`
}

type urdfJoint struct {
	Name   string     `xml:"name,attr"`
	Type   string     `xml:"type,attr"`
	Parent urdfRef    `xml:"parent"`
	Child  urdfRef    `xml:"child"`
	Origin urdfOrigin `xml:"origin"`
}

type urdfRef struct {
	Link string `xml:"link,attr"`
}
