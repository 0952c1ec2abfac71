package scene

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"cellwall/fit"
	"cellwall/fit/surface"
	"cellwall/mapping"
	"cellwall/mapping/fault"
	"cellwall/mapping/geom"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

// Open reads the scene.json at path. Every error is a *fault.Error.
func Open(path string) (*Scene, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fault.OfOpening(path, err)
	}
	defer f.Close()
	s, err := Read(f)
	var bad *fault.Error
	if errors.As(err, &bad) {
		bad.File = path
	}
	return s, err
}

// Read reads what WriteJSON wrote and gives the same scene, to the rounding of
// the file. What only the cloud knows, such as the voxels of a surface, is not
// in it; an object's parts are its boxes. Every error is a *fault.Error.
func Read(r io.Reader) (*Scene, error) {
	data, err := io.ReadAll(r)
	if err != nil {
		return nil, fault.OfOpening("scene.json", err)
	}
	if err := checkFormat(data); err != nil {
		return nil, err
	}
	var f fileScene
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(&f); err != nil {
		return nil, misspelt(data, d, err)
	}
	return f.scene()
}

// checkFormat refuses other files and other versions before anything of them is
// believed.
func checkFormat(data []byte) error {
	var head struct{ Format string }
	if err := json.Unmarshal(data, &head); err != nil {
		f := misspelt(data, nil, err)
		if !bytes.HasPrefix(bytes.TrimSpace(data), []byte("{")) {
			f.Rule, f.Remedy = "it is no JSON, so no scene", "name a map folder, or its scene.json"
		}
		return f
	}
	family, _, _ := strings.Cut(Format, "/")
	switch {
	case head.Format == Format:
		return nil
	case strings.HasPrefix(head.Format, family+"/"):
		return &fault.Error{File: "scene.json", Where: "format",
			Rule:   fmt.Sprintf("it is %q, and this version of cellwall (%s) reads %q", head.Format, Version, Format),
			Remedy: "map the cell again with this version, or use the version that wrote the file"}
	}
	return &fault.Error{File: "scene.json", Where: "format",
		Rule: fmt.Sprintf("it is %q, so this is no scene", head.Format), Remedy: fmt.Sprintf("name a scene.json whose format is %q", Format)}
}

// misspelt turns an error of the JSON decoder into a fault with its line.
func misspelt(data []byte, d *json.Decoder, err error) *fault.Error {
	f := &fault.Error{File: "scene.json", Rule: strings.TrimPrefix(err.Error(), "json: "), Remedy: "map the cell again, or correct the file", Cause: err}
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	switch {
	case errors.As(err, &syntax):
		f.Line = lineAt(data, syntax.Offset)
	case errors.As(err, &kind):
		f.Line, f.Where = lineAt(data, kind.Offset), kind.Field
	case d != nil:
		f.Line = lineAt(data, d.InputOffset())
	}
	return f
}

func lineAt(data []byte, offset int64) int {
	return 1 + bytes.Count(data[:min(int(offset), len(data))], []byte{'\n'})
}

// scene turns the file's content into a scene.
func (f *fileScene) scene() (*Scene, error) {
	if f.Frame != "base" || f.Units != (fileUnits{"mm", "deg"}) {
		return nil, &fault.Error{File: "scene.json", Where: "units",
			Rule:   fmt.Sprintf("frame %q, length %q, angle %q; only base, mm and deg are defined", f.Frame, f.Units.Length, f.Units.Angle),
			Remedy: "write the scene in the base frame, in mm and deg"}
	}
	s := &Scene{Cell: f.Cell, Scans: f.Scans}
	var err error
	if s.Points, err = f.Points.counts(); err != nil {
		return nil, wrong("points", err)
	}
	for i := range f.Objects {
		o, err := f.Objects[i].object(f.Scans)
		if err != nil {
			return nil, wrong(fmt.Sprintf("objects[%d] %q", i, f.Objects[i].Name), err)
		}
		s.Objects = append(s.Objects, o)
	}
	for _, r := range f.NotLocated {
		s.NotLocated = append(s.NotLocated, r.refusal())
	}
	for _, a := range f.Agreement {
		s.Agreement = append(s.Agreement, a.agreement())
	}
	if p := f.Space; p != nil {
		s.Space = &Space{Voxel: p.Voxel, Clear: p.Clear, Solid: p.Solid, Unseen: p.Unseen, UnseenInReach: p.UnseenInReach,
			LeastObstacle: p.LeastObstacle, ByNoReturn: p.ByNoReturn}
	}
	return s, nil
}

func wrong(where string, err error) error {
	return &fault.Error{File: "scene.json", Where: where, Rule: err.Error(), Remedy: "map the cell again, or correct the file", Cause: err}
}

func (f *filePoints) counts() (mapping.Counts, error) {
	c := mapping.Counts{Read: f.Read, Used: f.Used}
	known := map[string]mapping.Reason{}
	for _, r := range mapping.Reasons() {
		known[r.String()] = r
	}
	for name, n := range f.Dropped {
		r, ok := known[name]
		if !ok {
			return c, fmt.Errorf("points are dropped for the reason %q, which is not known", name)
		}
		c.Dropped[r] = n
	}
	return c, nil
}

// kinds that an object may have.
var kinds = []fit.Kind{fit.Floor, fit.Wall, fit.Ceiling, fit.Table, fit.Enclosure, fit.Vise, fit.Post, fit.Block, fit.Shape, Remainder}

func (f *fileObject) object(scans []string) (Object, error) {
	o := Object{Object: fit.Object{Name: f.Name, Kind: fit.Kind(f.Kind), Inside: f.Inside, NotSeen: f.NotSeen}, Margin: f.Margin, Claims: f.Claims, Origin: Origin(f.Origin)}
	if !slices.Contains(kinds, o.Kind) {
		return o, fmt.Errorf("the kind %q is not known", f.Kind)
	}
	if !slices.Contains([]Origin{"", FromOld, OldMoved, FromNew}, o.Origin) {
		return o, fmt.Errorf("from_map is %q; it is %s, %s or %s", f.Origin, FromOld, OldMoved, FromNew)
	}
	if f.Margin < 0 {
		return o, fmt.Errorf("margin_mm is %g, and must not be negative", f.Margin)
	}
	if f.Taken != nil {
		o.ClearTaken = *f.Taken
	}
	if err := f.Pose.into(&o.Object); err != nil {
		return o, err
	}
	if len(f.Measures) > 0 {
		o.Measures = make(map[string]fit.Measure)
	}
	for name, m := range f.Measures {
		o.Measures[name] = fit.Measure{Value: m.Value, Sigma: m.Sigma}
	}
	var err error
	if o.Opening, err = f.opening(); err != nil {
		return o, err
	}
	for i := range f.Surfaces {
		face, err := f.Surfaces[i].face(scans)
		if err != nil {
			return o, fmt.Errorf("surfaces[%d]: %w", i, err)
		}
		o.Faces = append(o.Faces, face)
	}
	for i := range f.Solids {
		x, err := f.Solids[i].solid()
		if err != nil {
			return o, fmt.Errorf("solids[%d]: %w", i, err)
		}
		o.Solids = append(o.Solids, x)
		if b, ok := x.(solid.Box); ok && o.Kind != Remainder {
			o.Parts = append(o.Parts, b.Box)
		}
	}
	return o, nil
}

// into sets an object's pose and covariance; only the remainder has none.
func (f *filePose) into(o *fit.Object) error {
	if f == nil {
		if o.Kind != Remainder {
			return errors.New("pose is missing")
		}
		return nil
	}
	r, err := f.Quaternion.rotation()
	if err != nil {
		return err
	}
	o.Pose = geom.Pose{R: r, T: f.XYZ.vec()}
	for i := range o.Cov {
		if len(f.Covariance) != 6 || len(f.Covariance[i]) != 6 {
			return errors.New("pose: the covariance is not 6 by 6")
		}
		copy(o.Cov[i][:], f.Covariance[i])
	}
	return nil
}

func (f *fileSurface) face(scans []string) (fit.Face, error) {
	s := surface.Surface{
		Plane:  geom.Plane{Normal: f.Normal.vec(), Offset: f.Offset},
		Centre: f.Centre.vec(), Outline: vecs(f.Outline), Area: f.Area, Points: f.Points, RMS: f.RMS,
	}
	if n := r3.Norm(s.Plane.Normal); !(n > 1-1e-6 && n < 1+1e-6) {
		return fit.Face{}, fmt.Errorf("the normal has length %g, not 1", n)
	}
	var err error
	if s.Cov, err = cov3(f.Covariance); err != nil {
		return fit.Face{}, err
	}
	if s.Budget, err = f.Budget.budget(); err != nil {
		return fit.Face{}, fmt.Errorf("budget: %w", err)
	}
	for _, h := range f.Holes {
		s.Holes = append(s.Holes, vecs(h))
	}
	for _, name := range f.Scans {
		k := slices.Index(scans, name)
		if k < 0 {
			return fit.Face{}, fmt.Errorf("the scan %q is not among the scene's scans", name)
		}
		s.Scans = append(s.Scans, int32(k))
	}
	if c := f.Cylinder; c != nil {
		if c.Radius <= 0 {
			return fit.Face{}, fmt.Errorf("the cylinder's radius is %g mm, and must be more than 0", c.Radius)
		}
		s.Cylinder = &surface.Cylinder{Point: c.Point.vec(), Axis: c.Axis.vec(), Radius: c.Radius, SigmaRadius: c.SigmaRadius, Length: c.Length}
	}
	if (f.Shape == "cylinder") != (f.Cylinder != nil) || f.Shape != "cylinder" && f.Shape != "plane" {
		return fit.Face{}, fmt.Errorf("shape %q does not fit its members; it is plane, or cylinder with the member cylinder", f.Shape)
	}
	return fit.Face{Name: f.Name, Surface: s}, nil
}

// budget of a surface, zero where the file has none.
func (f *fileBudget) budget() (b surface.Budget, err error) {
	if f == nil {
		return b, nil
	}
	var errs [4]error
	b.Noise, errs[0] = cov3(f.Noise)
	b.Sweep, errs[1] = cov3(f.Sweep)
	b.Arm, errs[2] = cov3(f.Arm)
	if f.Mount != nil {
		b.Mount, errs[3] = cov3(f.Mount)
	}
	return b, errors.Join(errs[:]...)
}

func cov3(rows []numbers) (c surface.Cov3, err error) {
	for i := range c {
		if len(rows) != 3 || len(rows[i]) != 3 {
			return c, errors.New("the covariance is not 3 by 3")
		}
		copy(c[i][:], rows[i])
	}
	return c, nil
}

func (f *fileRefusal) refusal() fit.Refusal {
	r := fit.Refusal{Name: f.Name, Kind: fit.Kind(f.Kind), Reason: f.Reason, ScanNext: f.ScanNext, Candidates: f.Candidates}
	if f.Near != nil {
		v := f.Near.vec()
		r.Near = &v
	}
	return r
}

func (f *fileAgreement) agreement() Agreement {
	a := Agreement{Scan: f.Scan, Aligned: f.Aligned, Middle: f.Middle.vec(), Surfaces: f.Surfaces, Before: f.Before, After: f.After}
	if f.Shift != nil && f.Rotation != nil {
		r := *f.Rotation
		a.Moved = &Shift{T: f.Shift.vec(), R: r3.Vec{X: radians(r[0]), Y: radians(r[1]), Z: radians(r[2])}}
	}
	return a
}
