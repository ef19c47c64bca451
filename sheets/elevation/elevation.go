// Package elevation draws walls from the values of a plan: the frieze of a job,
// a wall to scale with its marks, a run of walls laid flat, and the same wall for
// a drawing program. It computes nothing about the work.
package elevation

import (
	"strings"
	"unicode"

	"scumble/draw"
	"scumble/geom"
	"scumble/job"
	"scumble/setout"
	"scumble/sheets/drafting"
	"scumble/sheets/pattern"
	"scumble/survey"
)

// View is one wall with all that is drawn on it.
type View struct {
	Room   *survey.Room
	Wall   *survey.Wall
	Fields []Field // one, or two where a dado parts the wall
	// Photo is the computed picture of the wall; nil shows drawn patterns.
	Photo *Photo
	// Unpictured says why a wall with a finish has no picture though one was wanted.
	Unpictured string
}

// What is to stand beside every drawing that shows a computed picture.
const (
	PhotoNote    = "Computed at true scale from the colours entered."
	PhotoDecides = "A print shows colours only roughly; the signed board decides."
)

// Notes are what is to be said about how the finish is shown, sentence by sentence.
func (v View) Notes() []string {
	if v.Photo != nil {
		return []string{PhotoNote, PhotoDecides}
	}
	return []string{pattern.Note}
}

// Field is one face of a wall in its finish.
type Field struct {
	Face   *survey.Face
	Finish *job.Finish    // nil when the job names none
	SetOut *setout.Face   // nil when nothing was set out
	Group  *setout.Group  // nil without strips
	Strips *setout.Strips // of the chosen way; nil without strips
}

// Walls lists every wall of the job in walking order. so may be nil while nothing
// is set out.
func Walls(j *job.Job, s *survey.Survey, so *setout.SetOut) []View {
	finishes := map[string]*job.Finish{}
	for i := range j.Finishes {
		finishes[j.Finishes[i].ID] = &j.Finishes[i]
	}
	var views []View
	for r := range s.Rooms {
		room := &s.Rooms[r]
		for w := range room.Walls {
			view := View{Room: room, Wall: &room.Walls[w]}
			for f := range view.Wall.Faces {
				face := &view.Wall.Faces[f]
				field := Field{Face: face, Finish: finishes[face.Finish]}
				if so != nil {
					field.SetOut, field.Group, field.Strips = so.Of(face.ID)
				}
				view.Fields = append(view.Fields, field)
			}
			views = append(views, view)
		}
	}
	return views
}

// Name is the wall for people: "Breakfast room, North".
func (v View) Name() string { return v.Room.Name + ", " + v.Wall.Name }

// FileName is the stable name of the wall's drawings without an ending:
// "walls/breakfast-room-north". Letters of any script stay; everything else
// becomes a hyphen.
func (v View) FileName() string {
	var b strings.Builder
	for _, r := range strings.ToLower(v.Wall.ID) {
		switch {
		case unicode.IsLetter(r) || unicode.IsMark(r) || unicode.IsDigit(r):
			b.WriteRune(r)
		case !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	return "walls/" + strings.Trim(b.String(), "-")
}

// Drawing is a finished drawing with its top left corner at (0, 0), in mm.
type Drawing struct {
	W, H  float64
	Scale float64 // 25 stands for 1:25
	Items []draw.Item
	// Notes say in words what had no room on the drawing.
	Notes []string
	// Unmarked counts the marks whose figures are left to the list beside it.
	Unmarked int
	// Origin is where the wall's (0, 0), its left end at the floor, lies.
	Origin draw.Point
}

// At places the drawing with its top left corner at (x, y).
func (d Drawing) At(x, y float64) draw.Group {
	return draw.Group{Place: draw.Shift(x, y), Items: d.Items}
}

// Add sets the drawing into a flow at the left of the body.
func (d Drawing) Add(fl *draw.Flow) {
	fl.Block(d.H, func(b draw.Box) []draw.Item { return []draw.Item{d.At(b.X, b.Y)} })
}

// canvas is a drawing at its place on paper.
type canvas struct {
	pattern.Place
	fonts *draw.Fonts
	items []draw.Item
}

func (c *canvas) add(items ...draw.Item) { c.items = append(c.items, items...) }

// finish fills a field in its finish, clipped to it.
func (c *canvas) finish(f Field, height float64, strokes int) {
	patch := pattern.Patch{Name: f.Face.ID, Region: f.Face.Field, Finish: f.Finish, Height: height, Strokes: strokes}
	if f.SetOut != nil {
		patch.Rows = f.SetOut.Rows
	}
	if f.Strips != nil {
		patch.Strips = f.Strips.Strips
	}
	c.add(patch.Draw(c.Place))
}

// wear shows the wall in its finishes: its picture, or else patterns.
func (c *canvas) wear(v View, height float64, strokes int) {
	if v.Photo == nil {
		for _, f := range v.Fields {
			c.finish(f, height, strokes)
		}
		return
	}
	b := v.Photo.Shown
	at := c.At(b.Min.X, b.Max.Y)
	c.add(draw.Image{Box: draw.Box{X: at.X, Y: at.Y, W: b.Width() * c.S, H: b.Height() * c.S}, Pixels: v.Photo.Pixels, JPEG: v.Photo.JPEG, Alt: v.Photo.Alt})
	frame := geom.Rect(b.Min.X, b.Min.Y, b.Width(), b.Height()).Region()
	if outside, err := geom.Subtract(frame, v.Wall.Outline.Region()); err == nil && outside.Area() > 1 {
		c.add(draw.Path{Outline: c.Region(outside), Fill: drafting.Paper})
	}
}

// lineWithin draws what of a straight line lies in a region.
func (c *canvas) lineWithin(r geom.Region, a, b geom.Point, strokes ...draw.Stroke) {
	for _, piece := range (geom.Segment{A: a, B: b}).Within(r) {
		from, to := c.At(piece.A.X, piece.A.Y), c.At(piece.B.X, piece.B.Y)
		for _, s := range strokes {
			c.add(draw.Line(from.X, from.Y, to.X, to.Y, s))
		}
	}
}

// halo is laid under a line or figure that crosses a finish.
func halo(width float64) draw.Stroke { return draw.Ink(width, draw.White.WithAlpha(0.72)) }

// opening fills a hole in the wall and draws its edge; what kind it is shows in
// its lines. bars says whether glazing bars may be drawn.
func (c *canvas) opening(o *survey.Opening, edge draw.Stroke, bars bool) {
	c.add(c.Polygon(o.Outline).Filled(drafting.Paper))
	b := o.Outline.Bounds()
	thin := draw.Ink(min(drafting.FineWidth, edge.Width*0.6), drafting.Line)
	hole := o.Outline.Region()
	mid := geom.Point{X: (b.Min.X + b.Max.X) / 2, Y: (b.Min.Y + b.Max.Y) / 2}
	switch {
	case o.Kind == "window" && bars:
		c.lineWithin(hole, geom.Point{X: mid.X, Y: b.Min.Y}, geom.Point{X: mid.X, Y: b.Max.Y}, thin)
		c.lineWithin(hole, geom.Point{X: b.Min.X, Y: mid.Y}, geom.Point{X: b.Max.X, Y: mid.Y}, thin)
	case o.Kind == "fireplace" && bars:
		c.add(c.Polygon(geom.Rect(b.Min.X+b.Width()*0.2, b.Min.Y, b.Width()*0.6, b.Height()*0.68)).Filled(drafting.Wash).Stroked(thin))
	case o.Kind == "niche":
		c.add(c.Polygon(geom.Rect(b.Min.X+b.Width()*0.06, b.Min.Y+b.Height()*0.06, b.Width()*0.88, b.Height()*0.88)).Filled(drafting.Wash))
	case o.Kind == "fixture" && bars:
		c.lineWithin(hole, b.Min, b.Max, thin)
		c.lineWithin(hole, geom.Point{X: b.Min.X, Y: b.Max.Y}, geom.Point{X: b.Max.X, Y: b.Min.Y}, thin)
	}
	c.add(c.Polygon(o.Outline).Stroked(edge))
}

// lastPart is the wall's own name in an ID.
func lastPart(id string) string {
	if i := strings.LastIndexByte(id, '/'); i >= 0 {
		return id[i+1:]
	}
	return id
}
