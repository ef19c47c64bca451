package appearance

import (
	"fmt"
	"hash/fnv"

	"scumble/appearance/stroke"
	"scumble/catalog"
	"scumble/geom"
	"scumble/job"
	"scumble/setout"
	"scumble/survey"
	"scumble/unit"
)

// seed gives each wall strokes of its own, and always the same.
func seed(face string) uint64 {
	h := fnv.New64a()
	h.Write([]byte(face))
	return h.Sum64()
}

// panel is a face as the tool meets it: what is glazed, in what sections, over which
// joints, rows and sheets.
func panel(face *survey.Face, so *setout.Face, strips *setout.Strips, height float64) stroke.Panel {
	p := stroke.Panel{Seed: seed(face.ID), Region: face.Field}
	if so != nil {
		for _, s := range so.Sections {
			p.Sections = append(p.Sections, geom.Bounds{
				Min: geom.Point{X: float64(s.X0), Y: float64(s.Y0)}, Max: geom.Point{X: float64(s.X1), Y: float64(s.Y1)}})
		}
		for _, r := range so.Rows {
			p.Rows = append(p.Rows, stroke.Row{Y0: float64(r.Y0), Y1: float64(r.Y1), Start: float64(r.Start), Motif: float64(r.Motif)})
		}
		if so.Sheets != nil {
			p.Sheet = stroke.Sheet{Width: float64(so.Sheets.Width), Height: float64(so.Sheets.Height), Overlap: float64(so.Sheets.Overlap)}
		}
	}
	if strips != nil {
		for _, m := range strips.Marks {
			foot, head := m.Joint(unit.Length(height))
			p.Joints = append(p.Joints, geom.Segment{A: foot, B: head})
		}
	}
	return p
}

// uprightJoints are the upright lines where two sections meet.
func uprightJoints(sections []geom.Bounds) []geom.Segment {
	var joints []geom.Segment
	for _, a := range sections {
		for _, b := range sections {
			if from, to := max(a.Min.Y, b.Min.Y), min(a.Max.Y, b.Max.Y); a.Max.X == b.Min.X && to > from {
				joints = append(joints, geom.Segment{A: geom.Point{X: a.Max.X, Y: from}, B: geom.Point{X: a.Max.X, Y: to}})
			}
		}
	}
	return joints
}

// flows is the part of its open time in which a glaze still flows out as it did at
// first, for it thickens all the while; from memory, our own.
const flows = 0.25

// recipe is how a finish is worked, by the figures of its technique.
func recipe(f *job.Finish, t *catalog.Technique, product *catalog.Product, laid [2]float64) stroke.Recipe {
	r := stroke.Recipe{Technique: f.Technique, Variation: f.Variation, Laid: laid, Lifted: t.Lifted.Likely, Figures: map[string]float64{}}
	for name, figure := range t.Strokes {
		r.Figures[name] = figure.Likely
	}
	if product.Body != nil && product.Tension != nil {
		r.Levelling = stroke.Levelling{Viscosity: product.Body.Likely, Tension: product.Tension.Likely / 1000, Time: flows * 3600 * product.Drying.Open.Likely}
	}
	return r
}

// filmAsLaid is the wet film of a role of a technique, um: 1000 over the spreading
// rate of the ready mix (ISO 3233-3), which a step may set for itself.
func filmAsLaid(t *catalog.Technique, product *catalog.Product, role catalog.Role) (Span, error) {
	spread := product.Spread
	for _, s := range t.Steps {
		if s.Role == role && s.Spread != nil {
			spread = *s.Spread
			break
		}
	}
	weight := perKg(product, spread.Unit)
	if !(min(spread.Low, spread.Likely)*weight > 0) {
		return Span{}, fmt.Errorf("products/%s/spread: there is no spreading rate above zero; give one in m2 per litre or, with the density, per kg", product.ID)
	}
	return Span{Low: 1000 / (spread.High * weight), Likely: 1000 / (spread.Likely * weight), High: 1000 / (spread.Low * weight)}, nil
}

// perKg is what makes a spreading rate one by volume: the density, kg/L, where it is
// told by weight, else 1.
func perKg(product *catalog.Product, unit string) float64 {
	if unit == "m2/kg" {
		return product.Density.Likely
	}
	return 1
}
