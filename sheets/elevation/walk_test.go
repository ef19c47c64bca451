package elevation

import (
	"math"

	"scumble/draw"
)

// placed is something found on a drawing, in the drawing's own mm.
type placed struct {
	text   *draw.Text
	path   *draw.Path
	points []draw.Point
	box    draw.Box
	alone  bool // not inside a clip
}

// walk lists what lies on a drawing with groups and their placings undone.
func walk(f *draw.Fonts, items []draw.Item) []placed {
	var out []placed
	var visit func(items []draw.Item, to draw.Transform, alone bool)
	visit = func(items []draw.Item, to draw.Transform, alone bool) {
		for _, item := range items {
			switch it := item.(type) {
			case draw.Group:
				visit(it.Items, it.Place.Then(to), alone && len(it.Clip) == 0)
			case draw.Path:
				p := placed{path: &it, alone: alone}
				for _, s := range it.Outline {
					n := map[draw.Op]int{draw.MoveTo: 1, draw.LineTo: 1, draw.QuadTo: 2, draw.CubeTo: 3}[s.Op]
					for _, q := range s.P[:n] {
						p.points = append(p.points, to.Apply(q))
					}
				}
				p.box = around(p.points)
				out = append(out, p)
			case draw.Text:
				out = append(out, placed{text: &it, alone: alone, box: textBox(f, it, to)})
			}
		}
	}
	visit(items, draw.Transform{}, true)
	return out
}

func around(points []draw.Point) draw.Box {
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, p := range points {
		x0, y0, x1, y1 = min(x0, p.X), min(y0, p.Y), max(x1, p.X), max(y1, p.Y)
	}
	return draw.Box{X: x0, Y: y0, W: x1 - x0, H: y1 - y0}
}

// textBox is the room of the capitals and figures of a line of text.
func textBox(f *draw.Fonts, t draw.Text, to draw.Transform) draw.Box {
	w, h := f.Width(t.Text, t.Style), t.Style.CapHeight()
	from := 0.0
	switch t.Align {
	case draw.Centre:
		from = -w / 2
	case draw.Right:
		from = -w
	}
	sin, cos := math.Sincos(t.Rotate * math.Pi / 180)
	var points []draw.Point
	for _, p := range []draw.Point{{X: from}, {X: from + w}, {X: from, Y: -h}, {X: from + w, Y: -h}} {
		points = append(points, to.Apply(draw.Pt(t.At.X+p.X*cos-p.Y*sin, t.At.Y+p.X*sin+p.Y*cos)))
	}
	return around(points)
}

func overlap(a, b draw.Box) bool {
	const touch = 0.1
	return a.X+touch < b.X+b.W && b.X+touch < a.X+a.W && a.Y+touch < b.Y+b.H && b.Y+touch < a.Y+a.H
}

func textsOf(f *draw.Fonts, items []draw.Item) []string {
	var out []string
	for _, p := range walk(f, items) {
		if p.text != nil {
			out = append(out, p.text.Text)
		}
	}
	return out
}
