package draw

import (
	"io"

	"scumble/draw/dxffile"
)

// Layer is one layer of a DXF drawing, in wall coordinates: mm at full size, y up.
type Layer struct {
	// Name is cut down to what R12 allows: capitals, digits, $ - _, 31 characters.
	Name string
	// Colour is a DXF colour index, 1 to 255; zero means 7 (black or white).
	Colour int
	Dashed bool
	Shapes []Shape
}

// Shape is a thing on a Layer: CADLine, CADPolyline, CADCircle, CADArc or CADText.
type Shape interface{ draw(d *dxffile.Drawing) }

// CADLine is a straight line.
type CADLine struct{ From, To Point }

// CADPolyline joins points by straight edges.
type CADPolyline struct {
	Points []Point
	Closed bool
}

// CADCircle is a circle of radius R mm.
type CADCircle struct {
	Centre Point
	R      float64
}

// CADArc runs anticlockwise From one angle To another, in degrees, 0 to the right.
type CADArc struct {
	Centre   Point
	R        float64
	From, To float64
}

// CADText is one line of lettering; Height is that of capitals in mm, Rotation
// in degrees anticlockwise.
type CADText struct {
	At       Point
	Height   float64
	Text     string
	Rotation float64
	Align    Align
}

func (l CADLine) draw(d *dxffile.Drawing) { d.Line(l.From, l.To) }

func (l CADPolyline) draw(d *dxffile.Drawing) { d.Polyline(l.Points, l.Closed) }

func (c CADCircle) draw(d *dxffile.Drawing) { d.Circle(c.Centre, c.R) }

func (a CADArc) draw(d *dxffile.Drawing) { d.Arc(a.Centre, a.R, a.From, a.To) }

func (t CADText) draw(d *dxffile.Drawing) {
	anchor := map[Align]dxffile.Anchor{Centre: dxffile.Centre, Right: dxffile.Right}[t.Align] // else left
	d.Text(t.At, t.Height, t.Text, t.Rotation, anchor)
}

// WriteDXF writes an ASCII DXF R12 (AC1009) drawing in millimetres. Layers whose
// names come out the same are one layer. Measures that are not numbers become 0.
func WriteDXF(w io.Writer, layers []Layer) error {
	d := dxffile.New()
	for _, l := range layers {
		d.Layer(l.Name, l.Colour, l.Dashed)
		for _, s := range l.Shapes {
			s.draw(d)
		}
	}
	_, err := w.Write(d.Bytes())
	return err
}
