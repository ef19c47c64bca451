package draw

import (
	"image"

	"scumble/draw/outline"
	"scumble/geom"
)

// Point is a place on the page: millimetres from the top left corner, y down.
// (In DXF layers it is a place on the wall: y up.)
type Point = geom.Point

// Pt makes a Point.
func Pt(x, y float64) Point { return Point{X: x, Y: y} }

// Box is an upright rectangle in mm; X, Y is its top left corner.
type Box struct{ X, Y, W, H float64 }

// Inset is the box made smaller by d mm on all four sides.
func (b Box) Inset(d float64) Box { return Box{b.X + d, b.Y + d, b.W - 2*d, b.H - 2*d} }

// Page is one sheet or picture, in mm.
type Page struct {
	W, H float64
	// ID, if set, can be the target of a Group's Link ("#id") and is put before
	// the generated ids of an SVG so that two pictures can share one HTML page.
	ID string
	// Title is the bookmark in a PDF and the <title> of an SVG; Desc is the <desc>.
	Title, Desc string
	Items       []Item
}

// Doc is a set of pages with what is said about them.
// It carries no dates: the same pages give the same bytes.
type Doc struct {
	Title, Subject, Author string
	// Lang is the main language as a BCP 47 tag, for example "en" or "hi".
	Lang  string
	Pages []Page
}

// Item is anything that lies on a page: Path, Text, Image or Group.
type Item interface{ item() }

func (Path) item()  {}
func (Text) item()  {}
func (Image) item() {}
func (Group) item() {}

// Stroke is a line: Width in mm (zero draws nothing), Dash in mm on, off, on...
// Phase is how far into the dash pattern the line starts, in mm.
type Stroke struct {
	Width  float64
	Colour Colour
	Dash   []float64
	Phase  float64
	Cap    Cap
	Join   Join
}

func (s Stroke) pen() outline.Pen {
	return outline.Pen{Width: s.Width, Dash: s.Dash, Phase: s.Phase, Cap: s.Cap, Join: s.Join}
}

func (s Stroke) visible() bool { return s.Width > 0 && s.Colour.visible() }

// Ink is a solid stroke.
func Ink(width float64, c Colour) Stroke { return Stroke{Width: width, Colour: c} }

// Dashed is the stroke with a dash pattern in mm.
func (s Stroke) Dashed(pattern ...float64) Stroke { s.Dash = pattern; return s }

// Path is an outline, filled (even-odd: a contour inside another is a hole)
// and then stroked. Zero Fill and zero Stroke paint nothing.
type Path struct {
	Outline Outline
	Fill    Colour
	Stroke  Stroke
}

// Filled is the path with a fill.
func (p Path) Filled(c Colour) Path { p.Fill = c; return p }

// Stroked is the path with a stroke.
func (p Path) Stroked(s Stroke) Path { p.Stroke = s; return p }

// Line is a straight line.
func Line(x1, y1, x2, y2 float64, s Stroke) Path {
	return Path{Outline: Outline{}.Move(x1, y1).Line(x2, y2), Stroke: s}
}

// Polyline is an open line through the points.
func Polyline(points []Point, s Stroke) Path {
	return Path{Outline: contour(points), Stroke: s}
}

// Polygon is the closed contours given; further contours cut holes.
func Polygon(contours ...[]Point) Path {
	var o Outline
	for _, points := range contours {
		if len(points) > 0 {
			o = append(o, contour(points).Close()...)
		}
	}
	return Path{Outline: o}
}

func contour(points []Point) Outline {
	o := make(Outline, 0, len(points)+1)
	for i, p := range points {
		if i == 0 {
			o = o.Move(p.X, p.Y)
		} else {
			o = o.Line(p.X, p.Y)
		}
	}
	return o
}

// Rect is a rectangle with its top left corner at (x, y).
func Rect(x, y, w, h float64) Path {
	return Path{Outline: Outline{}.Move(x, y).Line(x+w, y).Line(x+w, y+h).Line(x, y+h).Close()}
}

// Path is the outline of the box.
func (b Box) Path() Path { return Rect(b.X, b.Y, b.W, b.H) }

// Circle is a full circle.
func Circle(cx, cy, r float64) Path {
	return Path{Outline: Outline{}.Arc(cx, cy, r, 0, 360).Close()}
}

// Hatch covers a region with parallel lines, cut at its edges (even-odd).
// spacing in mm, angle in degrees (0 = level lines, 45 = rising to the right).
// Lines of the same spacing and angle meet across neighbouring regions.
func Hatch(region Outline, spacing, angle float64, s Stroke) Path {
	return Path{Outline: outline.Hatch(region, spacing, angle), Stroke: s}
}

// Align places text against a point or a column.
type Align uint8

// Start is left in left-to-right text and right in right-to-left text;
// for a Text item it is left.
const (
	Start Align = iota
	Left
	Centre
	Right
)

// Text is one line of text with its baseline at At.
type Text struct {
	At    Point
	Text  string
	Style Style
	Align Align
	// Rotate turns the text about At, in degrees, clockwise on the page.
	// -90 reads from the right.
	Rotate float64
	// Halo is the width in mm of a pale edge around the letters, for lettering
	// that lies over a finish; HaloColour defaults to White.
	Halo       float64
	HaloColour Colour

	line *TextLine // already shaped, when the text comes from Fonts.Lines
}

// Label is a Text item with its baseline at (x, y).
func Label(x, y float64, text string, style Style, align Align) Text {
	return Text{At: Pt(x, y), Text: text, Style: style, Align: align}
}

// Image is a picture laid in a box. Exactly one of Pixels and JPEG is used;
// JPEG bytes go into a PDF or SVG as they are.
type Image struct {
	Box    Box
	Pixels image.Image
	JPEG   []byte
	// Alt says in words what is shown.
	Alt string
}

// Group holds items that share a name, a link, a placing and a clip.
type Group struct {
	// ID names the group in an SVG and as a link target; Title is read out there.
	ID, Title string
	// Link is a web, mail or telephone address, or "#id" of a group or page
	// in the same document. Other schemes are not written.
	Link string
	// Place maps the group's coordinates to those around it; the zero value
	// leaves them alone.
	Place Transform
	// Clip, in the group's coordinates, hides what lies outside (even-odd).
	Clip  Outline
	Items []Item
}
