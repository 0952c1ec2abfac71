package links

import (
	"encoding/xml"

	"cellwall/export/extent"
	"cellwall/mapping/geom"
	"cellwall/scene"
)

// sdfVersion is the oldest in which a link's pose may be said to be relative to
// the model, so that the most readers take it.
const sdfVersion = "1.7"

// SDF spells the scene as a static model. Meshes are named relative to the file,
// in the folder given.
func SDF(s *scene.Scene, e extent.Extent, folder string) ([]byte, []File, error) {
	links, files, err := model(s, e, folder)
	if err != nil {
		return nil, nil, err
	}
	m := sdfModel{Name: title(s), Static: true, Links: []sdfLink{{Name: Base}}}
	for i := range links {
		l := &links[i]
		out := sdfLink{Name: l.name, Pose: &sdfPose{Of: "__model__", Text: pose(l.baseFromLink)}}
		for k := range l.shapes {
			out.Visual = append(out.Visual, l.shapes[k].sdf())
		}
		out.Collision = out.Visual
		m.Links = append(m.Links, out)
		m.Joints = append(m.Joints, sdfJoint{Name: Base + "-to-" + l.name, Type: "fixed", Parent: Base, Child: l.name})
	}
	text, err := encode(comment(s, e), sdfRoot{Version: sdfVersion, Model: m})
	return text, files, err
}

func pose(p geom.Pose) string { return point(p.T) + " " + angles(p.R) }

func (s *shape) sdf() sdfShape {
	out := sdfShape{Name: s.name, Pose: sdfPose{Text: pose(s.linkFromShape)}}
	switch {
	case s.box != nil:
		out.Geometry.Box = &sdfBox{Size: point(s.box.Size)}
	case s.cylinder != nil:
		out.Geometry.Cylinder = &sdfCylinder{Radius: metres(s.cylinder.Radius), Length: metres(s.cylinder.Height)}
	default:
		out.Geometry.Mesh = &sdfMesh{URI: s.mesh}
	}
	return out
}

// The types below spell out what of SDF is used.
type sdfRoot struct {
	XMLName xml.Name `xml:"sdf"`
	Version string   `xml:"version,attr"`
	Model   sdfModel `xml:"model"`
}

type sdfModel struct {
	Name   string     `xml:"name,attr"`
	Static bool       `xml:"static"`
	Links  []sdfLink  `xml:"link"`
	Joints []sdfJoint `xml:"joint"`
}

type sdfLink struct {
	Name      string     `xml:"name,attr"`
	Pose      *sdfPose   `xml:"pose"`
	Visual    []sdfShape `xml:"visual"`
	Collision []sdfShape `xml:"collision"`
}

type sdfPose struct {
	Of   string `xml:"relative_to,attr,omitempty"`
	Text string `xml:",chardata"`
}

type sdfShape struct {
	Name     string      `xml:"name,attr"`
	Pose     sdfPose     `xml:"pose"`
	Geometry sdfGeometry `xml:"geometry"`
}

type sdfGeometry struct {
	Box      *sdfBox      `xml:"box"`
	Cylinder *sdfCylinder `xml:"cylinder"`
	Mesh     *sdfMesh     `xml:"mesh"`
}

type sdfBox struct {
	Size string `xml:"size"`
}

type sdfCylinder struct {
	Radius string `xml:"radius"`
	Length string `xml:"length"`
}

type sdfMesh struct {
	URI string `xml:"uri"`
}

type sdfJoint struct {
	Name   string `xml:"name,attr"`
	Type   string `xml:"type,attr"`
	Parent string `xml:"parent"`
	Child  string `xml:"child"`
}
