// Package pattern draws the sign of a technique on a piece of wall: dragged lines,
// sponge dots, comb waves. It is a drawing convention and no picture of the finish.
package pattern

import (
	"hash/fnv"
	"math"

	"scumble/draw"
	"scumble/geom"
	"scumble/job"
	"scumble/setout"
)

// Note is to stand beside every drawing that shows a finish.
const Note = "The finish is a drawn pattern, not the finished look."

// patterns names the drawn sign of each technique. It is a drawing convention:
// where a technique has none the field is a plain fill.
var patterns = map[string]func(*brush){
	"dragging":              dragged,
	"cross-drag-weave":      woven,
	"rag-rolling":           ragged,
	"sponging-off":          sponged,
	"combing":               combed,
	"colourwash":            washed,
	"frottage":              creased,
	"tissue-relief":         wrinkled,
	"palette-knife":         knifed,
	"two-tone-sponge-blend": blended,
}

// Patch is a piece of wall in a finish. Lengths are mm of wall.
type Patch struct {
	Name    string // what its strokes are shaken from: the same name is drawn the same way
	Region  geom.Region
	Finish  *job.Finish    // nil leaves the wall bare
	Rows    []setout.Row   // as set out, if any
	Strips  []setout.Strip // as set out, if any
	Height  float64        // of the wall, for strips that lean
	Strokes int            // most strokes of one kind
}

// Draw fills the patch in its finish, clipped to it.
func (p Patch) Draw(at Place) draw.Item {
	if p.Finish == nil {
		return draw.Path{Outline: at.Region(p.Region), Fill: bareColour}
	}
	b := brush{Place: at, field: p.Region.Bounds(), finish: p.Finish, rows: p.Rows, strips: p.Strips,
		height: p.Height, strokes: p.Strokes, dice: seed(p.Name)}
	return draw.Group{Clip: at.Region(p.Region), Items: b.paint()}
}

const bareColour draw.Colour = 0xf1f1efff

// brush draws one patch. A pattern has its true size unless that would be too fine
// for the paper or take more strokes than allowed.
type brush struct {
	Place
	field   geom.Bounds
	finish  *job.Finish
	rows    []setout.Row
	strips  []setout.Strip
	height  float64
	strokes int
	dice    dice
	out     []draw.Item
}

// paint is the plain fill and the pattern over it.
func (b *brush) paint() []draw.Item {
	b.fill(b.tone(0.45))
	if draws := patterns[b.finish.Technique]; draws != nil && b.field.Width() > 0 && b.field.Height() > 0 {
		draws(b)
	}
	return b.out
}

// Chip draws a sample of a finish in a fine frame, at 1:25.
func Chip(f *job.Finish, box draw.Box) draw.Item {
	at := Place{X: box.X, Y: box.Y + box.H, S: 0.04}
	wide, high := box.W/at.S, box.H/at.S
	sample := Patch{Name: f.ID, Region: geom.Rect(0, 0, wide, high).Region(), Finish: f, Height: high, Strokes: 60,
		Strips: []setout.Strip{plumb("A", 0, wide/2), plumb("B", wide/2, wide)}} // for techniques that have them
	frame := draw.Rect(box.X, box.Y, box.W, box.H)
	return draw.Group{Items: []draw.Item{
		sample.Draw(at),
		frame.Stroked(draw.Ink(0.18, 0x15191cff)),
	}}
}

func (b *brush) fill(c draw.Colour) {
	b.out = append(b.out, b.Polygon(geom.Rect(b.field.Min.X, b.field.Min.Y, b.field.Width(), b.field.Height())).Filled(c))
}

// tone is the ground colour with a share of the glaze over it.
func (b *brush) tone(share float64) draw.Colour {
	return blend(Colour(b.finish.Ground), Colour(b.finish.Glaze), share)
}

// Colour is a colour of the job; one that was not given is a middle grey.
func Colour(c job.Colour) draw.Colour {
	if got, err := draw.ParseColour(c.Hex); err == nil {
		return got
	}
	return 0xb8b8b6ff
}

// blend mixes two colours of the screen, the second by its share.
func blend(a, b draw.Colour, share float64) draw.Colour {
	var out draw.Colour
	for _, shift := range []uint{24, 16, 8} {
		x, y := float64(a>>shift&0xff), float64(b>>shift&0xff)
		out |= draw.Colour(math.Round(x+(y-x)*share)) << shift
	}
	return out | 0xff
}

// step is the distance between strokes: the true one, not under paper mm on the
// sheet, and wide enough that no more than the allowed strokes cover the field.
func (b *brush) step(wall, paper float64) float64 {
	area := b.field.Width() * b.field.Height()
	return max(wall, paper/b.S, math.Sqrt(area/float64(b.strokes)))
}

// marks gathers strokes of one colour into one path.
type marks struct {
	b *brush
	o draw.Outline
}

func (m *marks) line(x1, y1, x2, y2 float64) {
	p, q := m.b.At(x1, y1), m.b.At(x2, y2)
	m.o = m.o.Move(p.X, p.Y).Line(q.X, q.Y)
}

func (m *marks) curve(x1, y1, cx, cy, x2, y2 float64) {
	p, c, q := m.b.At(x1, y1), m.b.At(cx, cy), m.b.At(x2, y2)
	m.o = m.o.Move(p.X, p.Y).Quad(c.X, c.Y, q.X, q.Y)
}

// put draws the strokes width mm of wall wide, at least thinnest mm on paper.
func (b *brush) put(m marks, width, thinnest float64, c draw.Colour, ends draw.Cap) {
	if len(m.o) > 0 {
		b.out = append(b.out, draw.Path{Outline: m.o, Stroke: draw.Stroke{Width: max(width*b.S, thinnest), Colour: c, Cap: ends}})
	}
}

// scatter calls visit at the points of a shaken grid over the field.
func (b *brush) scatter(step float64, visit func(x, y float64)) {
	for y := b.field.Min.Y + step/2; y < b.field.Max.Y+step/2; y += step {
		for x := b.field.Min.X + step/2; x < b.field.Max.X+step/2; x += step {
			visit(x+(b.dice.roll()-0.5)*step*0.9, y+(b.dice.roll()-0.5)*step*0.9)
		}
	}
}

// dice is a small repeatable source of chance (splitmix64 of Steele, Lea and
// Flood 2014): the same wall is drawn the same way every time.
type dice uint64

func seed(name string) dice {
	h := fnv.New64a()
	h.Write([]byte(name)) // a hash cannot fail
	return dice(h.Sum64())
}

// roll is a number from 0 up to 1.
func (d *dice) roll() float64 {
	*d += 0x9e3779b97f4a7c15
	z := uint64(*d)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return float64((z^z>>31)>>11) / (1 << 53)
}
