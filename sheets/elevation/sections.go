package elevation

import (
	"fmt"
	"slices"

	"scumble/draw"
	"scumble/geom"
	"scumble/sheets/drafting"
	"scumble/sheets/pattern"
	"scumble/unit"
)

// Section is a piece of a field that is laid and worked in one go, mm of wall.
type Section struct {
	Number         int
	Column         int
	X0, X1, Y0, Y1 float64
	Stand          string // floor | steps | platform | scaffold
}

// Joint is where two sections meet; Weak marks the one to look at.
type Joint struct {
	Letter string
	X, Y   float64
	Weak   bool
}

// Map is a field of a wall parted in sections, without its finish.
type Map struct {
	View     View
	Field    geom.Region
	Sections []Section
	Joints   []Joint
}

const (
	mapLeft  = 7.0 // kept for heights
	mapFoot  = 8.5 // kept for widths
	badge    = 2.0 // radius of a joint's letter
	readable = 8.5 // least width of a section that carries its number between two letters
	upright  = 6.0 // the same where columns are not parted, and number and letters keep to other heights
)

// Draw draws the map as large as fits a room in mm. It is not to a scale of the rule.
func (m Map) Draw(f *draw.Fonts, w, h float64) Drawing {
	b := m.View.Wall.Outline.Bounds()
	s := min((w-mapLeft-3)/b.Width(), (h-mapFoot-3)/b.Max.Y)
	c := &canvas{fonts: f, Place: pattern.Place{X: mapLeft - b.Min.X*s, Y: 2 + b.Max.Y*s, S: s}}
	d := Drawing{W: mapLeft + b.Width()*s + 3, H: 2 + b.Max.Y*s + mapFoot, Scale: 1 / s, Origin: draw.Pt(c.X, c.Y)}
	c.add(c.Polygon(m.View.Wall.Outline).Filled(drafting.Wash), draw.Path{Outline: c.Region(m.Field), Fill: drafting.Paper})
	for _, one := range m.Sections {
		for _, side := range [2]geom.Segment{{A: geom.Point{X: one.X1, Y: one.Y0}, B: geom.Point{X: one.X1, Y: one.Y1}}, {A: geom.Point{X: one.X0, Y: one.Y1}, B: geom.Point{X: one.X1, Y: one.Y1}}} {
			c.lineWithin(m.Field, side.A, side.B, drafting.Chalk())
		}
	}
	for i := range m.View.Wall.Openings {
		o := &m.View.Wall.Openings[i]
		c.opening(o, drafting.Edge(), false)
		box, style := o.Outline.Bounds(), drafting.Letters().Coloured(drafting.Grey)
		if at := c.At((box.Min.X+box.Max.X)/2, (box.Min.Y+box.Max.Y)/2); f.Width(o.Name, style)+1.5 < box.Width()*s && box.Height()*s > 4 {
			c.add(draw.Label(at.X, at.Y+style.CapHeight()/2, o.Name, style, draw.Centre))
		}
	}
	c.add(c.Polygon(m.View.Wall.Outline).Stroked(drafting.Edge()), draw.Line(0, c.Y, d.W, c.Y, drafting.Floor()))
	m.numbers(c)
	for _, j := range m.Joints {
		c.add(j.badge(f, c.At(j.X, j.Y))...)
	}
	m.measures(c)
	d.Items = c.items
	return d
}

// Readable reports whether every section on a drawing is wide enough for its number.
func (m Map) Readable(d Drawing) bool {
	least := upright
	for i := range m.Sections[1:] {
		if m.Sections[i].Column == m.Sections[i+1].Column {
			least = readable
		}
	}
	return !slices.ContainsFunc(m.Sections, func(s Section) bool { return (s.X1-s.X0)/d.Scale < least })
}

// numbers sets the number of each section where openings leave room, and beneath it what
// it is reached from.
func (m Map) numbers(c *canvas) {
	style, word := drafting.Letters().Sized(10).InBold(), drafting.Letters().Sized(7)
	roomy := !slices.ContainsFunc(m.Sections, func(s Section) bool {
		return s.Stand != "floor" && ((s.X1-s.X0)*c.S < c.fonts.Width(s.Stand, word)+1.5 || (s.Y1-s.Y0)*c.S < 14)
	})
	for _, s := range m.Sections { // all in one size
		if (s.X1-s.X0)*c.S < c.fonts.Width("88", style)+2*badge+3 {
			style = style.Sized(8.5)
			break
		}
	}
	for _, s := range m.Sections {
		at := m.clear(c, s)
		rungs := map[string]int{"steps": 1, "platform": 2, "scaffold": 3}[s.Stand]
		base := at.Y + style.CapHeight()/2
		if rungs > 0 {
			base -= 0.9
		}
		c.add(draw.Text{At: draw.Pt(at.X, base), Text: fmt.Sprint(s.Number), Style: style, Align: draw.Centre, Halo: 0.5})
		if roomy && rungs > 0 {
			c.add(draw.Text{At: draw.Pt(at.X, base+3.2), Text: s.Stand, Style: word, Align: draw.Centre, Halo: 0.5})
			continue
		}
		c.add(Rungs(at.X, base+0.9, rungs)...)
	}
}

// Rungs are short bars beneath a number, one for steps, two for a platform, three for a scaffold.
func Rungs(x, y float64, n int) []draw.Item {
	var items []draw.Item
	for i := range n {
		items = append(items, draw.Line(x-1.4, y+0.8*float64(i), x+1.4, y+0.8*float64(i), draw.Ink(0.3, drafting.Ink)))
	}
	return items
}

// clear is the middle of a section, or as near to it as openings and slopes allow.
func (m Map) clear(c *canvas, s Section) draw.Point {
	shares := []float64{0.5, 0.35, 0.65, 0.22, 0.78, 0.12, 0.88}
	dx, dy, down := 1.8/c.S, 2/c.S, 2/c.S
	if s.Stand != "floor" { // what it is reached from stands beneath
		down = 4.8 / c.S
	}
	for _, up := range shares {
		for _, across := range shares {
			x, y := s.X0+across*(s.X1-s.X0), s.Y0+up*(s.Y1-s.Y0)
			all := true
			for _, p := range [5]geom.Point{{X: x, Y: y}, {X: x - dx, Y: y - down}, {X: x + dx, Y: y - down}, {X: x - dx, Y: y + dy}, {X: x + dx, Y: y + dy}} {
				all = all && m.Field.Contains(p)
			}
			touched := slices.ContainsFunc(m.Joints, func(j Joint) bool {
				off := c.At(j.X, j.Y)
				at := c.At(x, y)
				return max(abs(off.X-at.X)-badge-1.6, abs(off.Y-at.Y)-badge-1.6) < 0
			})
			if all && !touched {
				return c.At(x, y)
			}
		}
	}
	return c.At((s.X0+s.X1)/2, (s.Y0+s.Y1)/2)
}

func abs(x float64) float64 { return max(x, -x) }

// badge is the letter of a joint: in a circle, or where it is the weakest in a triangle.
func (j Joint) badge(f *draw.Fonts, at draw.Point) []draw.Item {
	if j.Weak {
		return WeakMark(at, j.Letter)
	}
	style := drafting.Letters().Sized(7)
	r := max(badge-0.2, f.Width(j.Letter, style)/2+0.5)
	return []draw.Item{draw.Circle(at.X, at.Y, r).Filled(drafting.Paper).Stroked(drafting.Fine()),
		draw.Label(at.X, at.Y+style.CapHeight()/2-0.2, j.Letter, style, draw.Centre)}
}

// WeakMark is the triangle that stands for the weakest joint, with its letter.
func WeakMark(at draw.Point, letter string) []draw.Item {
	const r = 3.0
	style := drafting.Letters().Sized(7).InBold().Coloured(drafting.Paper)
	return []draw.Item{draw.Polygon([]draw.Point{draw.Pt(at.X, at.Y-r), draw.Pt(at.X+r*1.15, at.Y+r*0.75), draw.Pt(at.X-r*1.15, at.Y+r*0.75)}).Filled(drafting.Oxide),
		draw.Label(at.X, at.Y+r*0.75-0.8, letter, style, draw.Centre)}
}

// measures sets the widths of the columns along the foot and the heights of the sections of
// the first column at its left.
func (m Map) measures(c *canvas) {
	var xs, ys []float64
	var widths, heights []string
	column := -1
	for _, s := range m.Sections {
		if s.Column != column {
			if column = s.Column; len(xs) == 0 {
				xs = append(xs, c.At(s.X0, 0).X)
			}
			xs, widths = append(xs, c.At(s.X1, 0).X), append(widths, unit.Length(s.X1-s.X0).MM())
		}
		if s.Column == m.Sections[0].Column {
			if len(ys) == 0 {
				ys = append(ys, c.At(0, s.Y1).Y)
			}
			ys, heights = append(ys, c.At(0, s.Y0).Y), append(heights, unit.Length(s.Y1-s.Y0).MM())
		}
	}
	c.add(drafting.LevelChain(c.fonts, xs, c.Y+4.6, widths)...)
	c.add(drafting.UprightChain(c.fonts, ys, c.X-3, heights)...)
}
