package elevation

import (
	"strings"

	"bytes"
	"fmt"

	"scumble/draw"
	"scumble/geom"
	"scumble/survey"
	"scumble/unit"
)

// SVG is the elevation of a wall as a picture of its own.
func SVG(f *draw.Fonts, v View, o Options) ([]byte, error) {
	d := Wall(f, v, o)
	var b bytes.Buffer
	page := draw.Page{W: d.W, H: d.H, ID: "wall", Title: v.Name(), Desc: strings.Join(v.Notes(), " "), Items: d.Items}
	if err := f.WriteSVG(&b, page); err != nil {
		return nil, fmt.Errorf("%s: %w", v.Name(), err)
	}
	return b.Bytes(), nil
}

// DXF is the wall at full size, in mm, for a drawing program.
func DXF(v View) ([]byte, error) {
	var b bytes.Buffer
	if err := draw.WriteDXF(&b, DXFLayers(v)); err != nil {
		return nil, fmt.Errorf("%s: %w", v.Name(), err)
	}
	return b.Bytes(), nil
}

const cadLetter = 40.0 // height of capitals in mm of wall

// DXFLayers are the layers of a wall at full size: WALL, FLOOR, OPENINGS,
// TRIM (skirting, cornice, rail), JOINTS, MARKS, STRIPS, SECTIONS and ROWS. Layers
// with nothing on them are left out.
func DXFLayers(v View) []draw.Layer {
	long := float64(v.Wall.Length)
	wall := draw.Layer{Name: "WALL", Colour: 7, Shapes: []draw.Shape{draw.CADPolyline{Points: v.Wall.Outline, Closed: true}}}
	floor := draw.Layer{Name: "FLOOR", Colour: 7, Shapes: []draw.Shape{draw.CADLine{From: draw.Pt(-300, 0), To: draw.Pt(long+300, 0)}}}
	openings := draw.Layer{Name: "OPENINGS", Colour: 4}
	for i := range v.Wall.Openings {
		openings.Shapes = append(openings.Shapes, cadOpening(&v.Wall.Openings[i]))
	}
	trim := draw.Layer{Name: "TRIM", Colour: 8}
	joints := draw.Layer{Name: "JOINTS", Colour: 5, Dashed: true}
	marks := draw.Layer{Name: "MARKS", Colour: 7}
	strips := draw.Layer{Name: "STRIPS", Colour: 8}
	sections := draw.Layer{Name: "SECTIONS", Colour: 3, Dashed: true}
	rows := draw.Layer{Name: "ROWS", Colour: 3, Dashed: true}
	for _, f := range v.Fields {
		trim.Shapes = append(trim.Shapes, draw.CADPolyline{Points: f.Face.Gross, Closed: true})
		if f.Strips != nil {
			cadStrips(f, v.Wall, &joints, &marks, &strips)
		} else if f.SetOut != nil {
			cadSections(f, &sections, &rows)
		}
	}
	if len(marks.Shapes) > 0 {
		marks.Shapes = append(marks.Shapes, draw.CADCircle{R: 12},
			cadText(0, -90, "0"), cadText(long, -90, cadFigure(v.Wall.Length)))
	}
	var out []draw.Layer
	for _, l := range []draw.Layer{wall, floor, openings, trim, joints, marks, strips, sections, rows} {
		if len(l.Shapes) > 0 {
			out = append(out, l)
		}
	}
	return out
}

func cadOpening(o *survey.Opening) draw.Shape {
	if o.Shape == "round" {
		b := o.Outline.Bounds()
		return draw.CADCircle{Centre: draw.Pt(float64(o.Left+o.Right)/2, float64(o.Sill+o.Head)/2), R: min(b.Width(), float64(o.Right-o.Left)) / 2}
	}
	return draw.CADPolyline{Points: o.Outline, Closed: true}
}

// cadFigure is a length without thin spaces: the lettering of R12 has none.
func cadFigure(l unit.Length) string { return fmt.Sprintf("%.0f", float64(l)) }

func cadText(x, y float64, text string) draw.Shape {
	return draw.CADText{At: draw.Pt(x, y), Height: cadLetter, Text: text, Align: draw.Centre}
}

func cadStrips(f Field, wall *survey.Wall, joints, marks, strips *draw.Layer) {
	for _, m := range f.Strips.Marks {
		foot, head := m.Joint(unit.Length(wall.Outline.Bounds().Max.Y))
		for _, p := range (geom.Segment{A: foot, B: head}).Within(f.Face.Field) {
			joints.Shapes = append(joints.Shapes, draw.CADLine{From: p.A, To: p.B})
		}
		if m.Foot > 0.5 && m.Foot < wall.Length-0.5 {
			marks.Shapes = append(marks.Shapes, draw.CADLine{From: draw.Pt(float64(m.Foot), -20), To: draw.Pt(float64(m.Foot), 0)},
				cadText(float64(m.Foot), -90, cadFigure(m.Foot)))
		}
	}
	for _, s := range f.Strips.Strips {
		mid := float64(s.Head[0]+s.Head[1]) / 2
		if spans := f.Face.Field.SpanAt(mid); len(spans) > 0 {
			strips.Shapes = append(strips.Shapes, cadText(mid, spans[len(spans)-1][1]-120, s.Colour))
		}
	}
}

func cadSections(f Field, sections, rows *draw.Layer) {
	for _, s := range f.SetOut.Sections {
		box := geom.Rect(float64(s.X0), float64(s.Y0), float64(s.X1-s.X0), float64(s.Y1-s.Y0))
		if box != nil {
			sections.Shapes = append(sections.Shapes, draw.CADPolyline{Points: box, Closed: true},
				cadText(float64(s.X0+s.X1)/2, float64(s.Y0+s.Y1)/2, fmt.Sprint(s.Number)))
		}
	}
	b := f.Face.Field.Bounds()
	for _, r := range f.SetOut.Rows {
		rows.Shapes = append(rows.Shapes, draw.CADLine{From: draw.Pt(b.Min.X, float64(r.Y0)), To: draw.Pt(b.Max.X, float64(r.Y0))})
	}
}
