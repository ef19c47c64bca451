package appearance

import (
	"scumble/appearance/stroke"
	"scumble/geom"
	"scumble/setout"
	"scumble/survey"
	"scumble/unit"
)

// panel is a face as the tool meets it: what is glazed, in what sections, over which
// joints, rows and sheets.
func panel(face *survey.Face, so *setout.Face, strips *setout.Strips, height float64) stroke.Panel {
	p := stroke.Panel{Seed: stroke.Seed(face.ID), Region: face.Field}
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
