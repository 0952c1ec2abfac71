package scene

import (
	"encoding/json"
	"fmt"
	"io"
	"math"

	"cellwall/fit"
	"cellwall/fit/surface"
	"cellwall/mapping"
	"cellwall/mapping/geom"
)

// WriteJSON writes scene.json: the same bytes for the same scene. It fails where
// a number is not finite, naming the object.
func (s *Scene) WriteJSON(w io.Writer) error {
	f := fileScene{
		Format: Format, Cell: s.Cell, Frame: "base", Units: fileUnits{Length: "mm", Angle: "deg"},
		Scans:      append([]string{}, s.Scans...),
		Objects:    []fileObject{},
		NotLocated: []fileRefusal{},
		Points:     pointsOf(s.Points),
		Agreement:  []fileAgreement{},
	}
	for i := range s.Objects {
		o, err := s.objectOf(&s.Objects[i])
		if err == nil {
			_, err = json.Marshal(o) // here, so that the error names the object
		}
		if err != nil {
			return fmt.Errorf("object %q: %w", s.Objects[i].Name, err)
		}
		f.Objects = append(f.Objects, o)
	}
	for _, r := range s.NotLocated {
		f.NotLocated = append(f.NotLocated, refusalOf(r))
	}
	for _, a := range s.Agreement {
		f.Agreement = append(f.Agreement, agreementOf(a))
	}
	if p := s.Space; p != nil {
		f.Space = &fileSpace{
			Voxel: mm(p.Voxel), Clear: cubic(p.Clear), Solid: cubic(p.Solid),
			Unseen: cubic(p.Unseen), UnseenInReach: cubic(p.UnseenInReach), LeastObstacle: mm(p.LeastObstacle),
		}
		if p.ByNoReturn != nil {
			by := cubic(*p.ByNoReturn)
			f.Space.ByNoReturn = &by
		}
	}
	return writeLaidOut(w, f)
}

// cubic rounds a volume in m^3 to a cubic centimetre.
func cubic(v float64) float64 { return to(6, v) }

func pointsOf(c mapping.Counts) filePoints {
	f := filePoints{Read: c.Read, Used: c.Used, Dropped: map[string]int64{}}
	for _, r := range mapping.Reasons() {
		f.Dropped[r.String()] = c.Dropped[r]
	}
	return f
}

func (s *Scene) objectOf(o *Object) (fileObject, error) {
	f := fileObject{
		Name: o.Name, Kind: string(o.Kind), Located: o.Kind != Remainder, Inside: o.Inside, NotSeen: o.NotSeen,
		Measures: map[string]fileMeasure{}, Surfaces: []fileSurface{}, Solids: []fileSolid{}, Margin: mm(o.Margin), Origin: string(o.Origin),
		Claims: o.Claims,
	}
	if s.Space != nil {
		taken := cubic(o.ClearTaken)
		f.Taken = &taken
	}
	if o.Kind != Remainder {
		f.Pose = poseOf(o.Pose, o.Cov)
	}
	for name, m := range o.Measures {
		f.Measures[name] = fileMeasure{Value: mm(m.Value), Sigma: figures(sigmaFigures, m.Sigma)}
	}
	if w := o.Opening; w != nil {
		f.Opening, f.AtLeast = openingOf(w)
	}
	for i := range o.Faces {
		f.Surfaces = append(f.Surfaces, s.surfaceOf(&o.Faces[i]))
	}
	for _, x := range o.Solids {
		fs, err := solidOf(x)
		if err != nil {
			return fileObject{}, err
		}
		f.Solids = append(f.Solids, fs)
	}
	return f, nil
}

func poseOf(p geom.Pose, c geom.Cov6) *filePose {
	f := &filePose{XYZ: tripleOf(p.T, lengthDecimals), Quaternion: quaternionOf(p.R)}
	for _, row := range c {
		f.Covariance = append(f.Covariance, covRow(row[:]))
	}
	t, r := c.SigmaT(), c.SigmaR()
	for i, v := range [3]float64{t.X, t.Y, t.Z} {
		f.Sigma.XYZ[i] = figures(sigmaFigures, v)
	}
	for i, v := range [3]float64{r.X, r.Y, r.Z} {
		f.Sigma.Rotation[i] = figures(sigmaFigures, degrees(v))
	}
	return f
}

func quaternionOf(r geom.Rot) numbers {
	q := r.Quat()
	out := make(numbers, 4)
	for i := range q {
		out[i] = to(quaternion, q[i])
	}
	return out
}

func covRow(row []float64) numbers {
	out := make(numbers, len(row))
	for i, v := range row {
		out[i] = figures(covFigures, v)
	}
	return out
}

func covRows(c surface.Cov3) (out []numbers) {
	for _, row := range c {
		out = append(out, covRow(row[:]))
	}
	return out
}

func (s *Scene) surfaceOf(face *fit.Face) fileSurface {
	f := fileSurface{
		Name: face.Name, Shape: "plane",
		Normal: tripleOf(face.Plane.Normal, directionDecimals), Offset: mm(face.Plane.Offset),
		Centre:  tripleOf(face.Centre, lengthDecimals),
		Outline: triples(face.Outline, seenDecimals), Area: to(0, face.Area),
		Points: face.Points, Scans: []string{}, RMS: mm(face.RMS),
		Sigma: fileSurfaceSigma{
			Offset: figures(sigmaFigures, math.Sqrt(face.Cov[0][0])),
			Tilt:   figures(sigmaFigures, degrees(tilt(face.Cov))),
		},
	}
	f.Covariance = covRows(face.Cov)
	if b := face.Budget; b != (surface.Budget{}) {
		f.Budget = &fileBudget{Noise: covRows(b.Noise), Sweep: covRows(b.Sweep), Arm: covRows(b.Arm), Mount: covRows(b.Mount)}
	}
	for _, h := range face.Holes {
		f.Holes = append(f.Holes, triples(h, seenDecimals))
	}
	for _, k := range face.Scans {
		f.Scans = append(f.Scans, s.Scans[k])
	}
	if c := face.Cylinder; c != nil {
		f.Shape = "cylinder"
		f.Cylinder = &fileCylinder{
			Point: tripleOf(c.Point, lengthDecimals), Axis: tripleOf(c.Axis, directionDecimals),
			Radius: mm(c.Radius), SigmaRadius: figures(sigmaFigures, c.SigmaRadius), Length: mm(c.Length),
		}
	}
	return f
}

// tilt is the standard uncertainty of a plane's direction in the worst way to
// turn it, rad: the greater root of the two turns' covariance.
func tilt(c surface.Cov3) float64 {
	mean, half := (c[1][1]+c[2][2])/2, (c[1][1]-c[2][2])/2
	return math.Sqrt(max(0, mean+math.Hypot(half, c[1][2])))
}

func degrees(rad float64) float64 { return rad * 180 / math.Pi }
func radians(deg float64) float64 { return deg * math.Pi / 180 }

func refusalOf(r fit.Refusal) fileRefusal {
	f := fileRefusal{Name: r.Name, Kind: string(r.Kind), Reason: r.Reason, ScanNext: r.ScanNext, Candidates: r.Candidates}
	if r.Near != nil {
		t := tripleOf(*r.Near, lengthDecimals)
		f.Near = &t
	}
	return f
}

func agreementOf(a Agreement) fileAgreement {
	f := fileAgreement{
		Scan: a.Scan, Aligned: a.Aligned, Middle: tripleOf(a.Middle, lengthDecimals), Surfaces: a.Surfaces,
		Before: mm(a.Before), After: mm(a.After),
	}
	if m := a.Moved; m != nil {
		t, r := tripleOf(m.T, lengthDecimals), turnOf(m.R)
		f.Shift, f.Rotation = &t, &r
	}
	return f
}
