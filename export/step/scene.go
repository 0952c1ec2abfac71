// Package step writes a scene as STEP (ISO 10303-21, application protocol 214):
// an assembly with one part an object, whose coordinate system is the object's
// datum. Boxes, prisms and cylinders are exact solids, hulls solids of plane
// facets, of which each takes some 650 bytes. Lengths are mm.
package step

import (
	"fmt"
	"io"

	"cellwall/export/extent"
	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/solid"
)

// Write writes the scene, its solids in the given extent. Objects without solids
// are left out. The same scene gives the same bytes.
func Write(w io.Writer, s *scene.Scene, e extent.Extent) error {
	f := &file{}
	a := f.assembly(s.Cell)
	for i := range s.Objects {
		o := &s.Objects[i]
		if len(o.Solids) == 0 {
			continue
		}
		datum := extent.Datum(o)
		var bodies []ref
		for k, x := range o.Solids {
			shell := f.body(x, e.Margin(o), datum.Inverse())
			bodies = append(bodies, f.add("MANIFOLD_SOLID_BREP(%s,%v)", text(fmt.Sprintf("%s-%d", o.Name, k+1)), shell))
		}
		a.part(o.Name, fmt.Sprintf("%s, margin %g mm", o.Kind, e.Margin(o)), datum, bodies)
	}
	a.close()
	return f.write(w, []string{
		fmt.Sprintf("cell %q in the base frame, mm", s.Cell), e.Note(), "a part's coordinate system is its object's datum",
	}, s.Cell, "cellwall "+scene.Version)
}

// body is the closed shell of a solid grown by margin, in another frame.
func (f *file) body(x solid.Solid, margin float64, frameFromBase geom.Pose) ref {
	switch x := x.(type) {
	case solid.Box:
		return f.shell(box(x.Grown(margin)).seen(frameFromBase))
	case *solid.Prism:
		return f.shell(prism(x.Grown(margin)).seen(frameFromBase))
	case solid.Cylinder:
		return f.round(solid.Cylinder{
			Centre: frameFromBase.Apply(x.Centre), Axis: frameFromBase.R.Apply(x.Axis),
			Radius: x.Radius + margin, Height: x.Height + 2*margin,
		})
	}
	return f.shell(facets(x.Mesh(margin)).seen(frameFromBase))
}

// assembly is the product that holds the parts, with what all of them share.
type assembly struct {
	*file
	context, design, space ref // of the application, of the design, of the geometry
	name                   string
	origin                 ref
	definition             ref // of the assembly's product
	parts                  []part
}

// part is a product to be placed in the assembly.
type part struct {
	name                   string
	definition, shape, own ref // own is its frame in itself
	place                  ref // and in the assembly
}

// accuracy is the distance below which two points of the file are one, mm: a
// tenth of the resolution of solids.
const accuracy = solid.Resolution / 10

func (f *file) assembly(name string) *assembly {
	a := &assembly{file: f, name: name}
	app := f.add("APPLICATION_CONTEXT('core data for automotive mechanical design processes')")
	f.add("APPLICATION_PROTOCOL_DEFINITION('international standard','automotive_design',2000,%v)", app)
	a.context = f.add("PRODUCT_CONTEXT('',%v,'mechanical')", app)
	a.design = f.add("PRODUCT_DEFINITION_CONTEXT('part definition',%v,'design')", app)
	mm := f.add("(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(.MILLI.,.METRE.))")
	rad := f.add("(NAMED_UNIT(*)PLANE_ANGLE_UNIT()SI_UNIT($,.RADIAN.))")
	sr := f.add("(NAMED_UNIT(*)SI_UNIT($,.STERADIAN.)SOLID_ANGLE_UNIT())")
	near := f.add("UNCERTAINTY_MEASURE_WITH_UNIT(LENGTH_MEASURE(%s),%v,'distance_accuracy_value','')", number(accuracy), mm)
	a.space = f.add("(GEOMETRIC_REPRESENTATION_CONTEXT(3)GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT((%v))"+
		"GLOBAL_UNIT_ASSIGNED_CONTEXT((%v,%v,%v))REPRESENTATION_CONTEXT('',''))", near, mm, rad, sr)
	a.origin = a.frame(geom.Identity())
	a.definition = a.product(name, "cell")
	return a
}

// frame is a pose's placement.
func (a *assembly) frame(p geom.Pose) ref { return a.placement(p.T, p.R.Axis(2), p.R.Axis(0)) }

// product makes a product and returns its definition.
func (a *assembly) product(name, description string) ref {
	p := a.add("PRODUCT(%s,%s,%s,(%v))", text(name), text(name), text(description), a.context)
	a.add("PRODUCT_RELATED_PRODUCT_CATEGORY('part','',(%v))", p)
	return a.add("PRODUCT_DEFINITION('design','',%v,%v)", a.add("PRODUCT_DEFINITION_FORMATION('','',%v)", p), a.design)
}

// shape ties a representation to what it shows.
func (a *assembly) shape(of, representation ref) {
	a.add("SHAPE_DEFINITION_REPRESENTATION(%v,%v)", a.add("PRODUCT_DEFINITION_SHAPE('','',%v)", of), representation)
}

// part adds a part with its bodies, which are in its own frame.
func (a *assembly) part(name, description string, baseFromPart geom.Pose, bodies []ref) {
	p := part{name: name, definition: a.product(name, description), own: a.frame(geom.Identity()), place: a.frame(baseFromPart)}
	p.shape = a.add("ADVANCED_BREP_SHAPE_REPRESENTATION(%s,%s,%v)", text(name), refs(append([]ref{p.own}, bodies...)), a.space)
	a.shape(p.definition, p.shape)
	a.parts = append(a.parts, p)
}

// close writes the assembly's own representation and places every part in it.
func (a *assembly) close() {
	items := []ref{a.origin}
	for _, p := range a.parts {
		items = append(items, p.place)
	}
	whole := a.add("SHAPE_REPRESENTATION(%s,%s,%v)", text(a.name), refs(items), a.space)
	a.shape(a.definition, whole)
	for i, p := range a.parts {
		use := a.add("NEXT_ASSEMBLY_USAGE_OCCURRENCE('%d',%s,'',%v,%v,$)", i+1, text(p.name), a.definition, p.definition)
		move := a.add("ITEM_DEFINED_TRANSFORMATION('','',%v,%v)", p.own, p.place)
		relation := a.add("(REPRESENTATION_RELATIONSHIP('','',%v,%v)REPRESENTATION_RELATIONSHIP_WITH_TRANSFORMATION(%v)"+
			"SHAPE_REPRESENTATION_RELATIONSHIP())", p.shape, whole, move)
		a.add("CONTEXT_DEPENDENT_SHAPE_REPRESENTATION(%v,%v)", relation, a.add("PRODUCT_DEFINITION_SHAPE('','',%v)", use))
	}
}
