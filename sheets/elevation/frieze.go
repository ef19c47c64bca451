package elevation

import (
	"math"
	"slices"
	"strings"

	"scumble/draw"
	"scumble/geom"
	"scumble/setout"
	"scumble/sheets/drafting"
	"scumble/sheets/pattern"
	"scumble/survey"
)

// FriezeOptions say how the frieze of a job is drawn.
type FriezeOptions struct {
	Width float64 // of the walls, in mm
	// Left and Right let the floor line run on to the edges of the paper, in mm
	// beyond the width.
	Left, Right float64
	Here        string  // ID of one wall that gets the plumb line, "" = none
	Lowest      float64 // least height on paper of the middle wall in mm; 0 = 8
}

// room is a run of walls that stay together.
type room struct {
	name  string
	views []View
	long  float64 // mm of wall
}

// between is the gap between rooms, in mm of wall and at least in mm of paper.
const (
	betweenWalls = 700.0
	betweenPaper = 2.0
)

// Frieze draws all walls of a job in walking order at one scale on one floor line,
// with the rooms' names beneath. Where that would make the walls too small it is
// set in two or more storeys, each on a floor line of its own.
func Frieze(f *draw.Fonts, walls []View, o FriezeOptions) Drawing {
	rooms := roomsOf(walls)
	if len(rooms) == 0 || o.Width <= 0 {
		return Drawing{W: o.Width}
	}
	if o.Lowest == 0 {
		o.Lowest = 8
	}
	var storeys [][]room
	var s float64
	for n := 1; n <= len(rooms); n++ {
		storeys = share(rooms, n)
		s = scaleOf(storeys, o.Width)
		if s*middleHeight(walls) >= o.Lowest {
			break
		}
	}
	d := Drawing{W: o.Width, Scale: 1 / s}
	for i, storey := range storeys {
		if i > 0 {
			d.H += 3
		}
		items, height := storeyOf(f, storey, s, d.H, o)
		d.Items = append(d.Items, items...)
		d.H += height
	}
	return d
}

func roomsOf(walls []View) []room {
	var rooms []room
	for _, v := range walls {
		if n := len(rooms); n == 0 || rooms[n-1].views[0].Room != v.Room {
			rooms = append(rooms, room{name: v.Room.Name})
		}
		r := &rooms[len(rooms)-1]
		r.views = append(r.views, v)
		r.long += float64(v.Wall.Length)
	}
	return rooms
}

// share puts rooms in order on n storeys so that the longest is as short as can be.
func share(rooms []room, n int) [][]room {
	best := map[[2]int]float64{}
	cut := map[[2]int]int{}
	var longest func(from, n int) float64
	longest = func(from, n int) float64 {
		if n == 1 {
			return lengthOf(rooms[from:])
		}
		key := [2]int{from, n}
		if got, ok := best[key]; ok {
			return got
		}
		best[key] = math.Inf(1)
		for to := from + 1; to <= len(rooms)-n+1; to++ {
			if l := max(lengthOf(rooms[from:to]), longest(to, n-1)); l < best[key] {
				best[key], cut[key] = l, to
			}
		}
		return best[key]
	}
	longest(0, n)
	var storeys [][]room
	from := 0
	for ; n > 1; n-- {
		to := cut[[2]int{from, n}]
		storeys = append(storeys, rooms[from:to])
		from = to
	}
	return append(storeys, rooms[from:])
}

func lengthOf(rooms []room) float64 {
	sum := betweenWalls * float64(len(rooms)-1)
	for _, r := range rooms {
		sum += r.long
	}
	return sum
}

// scaleOf is the paper mm that a wall mm takes when the longest storey fills the
// width.
func scaleOf(storeys [][]room, width float64) float64 {
	s := math.Inf(1)
	for _, storey := range storeys {
		gaps := float64(len(storey) - 1)
		long := lengthOf(storey)
		one := width / long
		if one*betweenWalls < betweenPaper {
			one = (width - gaps*betweenPaper) / (long - gaps*betweenWalls)
		}
		s = min(s, one)
	}
	return min(s, 0.02) // a single small wall is not blown up beyond 1:50
}

func middleHeight(walls []View) float64 {
	var hs []float64
	for _, v := range walls {
		hs = append(hs, v.Wall.Outline.Bounds().Max.Y)
	}
	slices.Sort(hs)
	return hs[len(hs)/2]
}

// storeyOf draws one storey with its top at y and returns how high it is.
func storeyOf(f *draw.Fonts, rooms []room, s, y float64, o FriezeOptions) ([]draw.Item, float64) {
	tall := 0.0
	for _, r := range rooms {
		for _, v := range r.views {
			tall = max(tall, v.Wall.Outline.Bounds().Max.Y)
		}
	}
	c := &canvas{fonts: f, Place: pattern.Place{Y: y + 1 + tall*s, S: s}}
	here := math.NaN()
	var names []name
	x := 0.0
	for _, r := range rooms {
		n := name{text: r.name, x: x, style: drafting.Letters()}
		for _, v := range r.views {
			c.X = x
			c.small(v)
			if v.Wall.ID == o.Here {
				here = x + float64(v.Wall.Length)*s/2
				n.style = n.style.InBold()
			}
			x += float64(v.Wall.Length) * s
		}
		names = append(names, n)
		x += max(betweenWalls*s, betweenPaper)
	}
	c.add(draw.Line(-o.Left, c.Y, o.Width+o.Right, c.Y, drafting.Floor()))
	if !math.IsNaN(here) {
		c.add(drafting.PlumbBob(here, y, c.Y-0.4)...)
	}
	low := c.names(names, o.Width)
	return c.items, c.Y + low - y
}

// small draws a wall without words.
func (c *canvas) small(v View) {
	h := v.Wall.Outline.Bounds().Max.Y
	c.add(c.Polygon(v.Wall.Outline).Filled(drafting.Bare))
	c.wear(v, h, 90)
	thin := draw.Ink(0.12, drafting.Ink)
	if d := float64(v.Wall.Dado); d > 0 {
		for _, y := range []float64{d, d - float64(v.Wall.DadoRail)} {
			c.lineWithin(v.Wall.Outline.Region(), geom.Point{Y: y}, geom.Point{X: float64(v.Wall.Length), Y: y}, thin)
		}
	}
	for i := range v.Wall.Openings {
		c.opening(&v.Wall.Openings[i], draw.Ink(0.18, drafting.Ink), true)
	}
	c.add(c.Polygon(v.Wall.Outline).Stroked(draw.Ink(0.28, drafting.Ink)))
}

// name is a room's name beneath the floor at x.
type name struct {
	text     string
	x        float64
	style    draw.Style
	from, to float64
	row      int
}

// names sets the rooms' names in as many rows as keep them apart; from the second
// row on a grey line leads up to the room. It returns how far down they reach.
func (c *canvas) names(names []name, width float64) float64 {
	const apart, rowHeight = 1.6, 3.6
	for i := range names {
		n := &names[i]
		w := c.fonts.Width(n.text, n.style)
		n.from, n.to = n.x, n.x+w
		if over := n.to - width; over > 0 {
			n.from, n.to = n.from-over, n.to-over
		}
	}
	rows := 0
	for i := len(names) - 1; i >= 0; i-- {
		n := &names[i]
		same := func(o name) bool { return o.row == n.row && n.from < o.to+apart && o.from < n.to+apart }
		clash := func(o name) bool {
			switch {
			case o.row > n.row: // its leader comes down through this row
				return o.x > n.from-0.5 && o.x < n.to+0.5
			case o.row < n.row:
				return n.x > o.from-0.5 && n.x < o.to+0.5
			}
			return same(o)
		}
		for n.row = 0; n.row < len(names) && slices.ContainsFunc(names[i+1:], clash); n.row++ {
		}
		if n.row == len(names) { // let a leader cross a name rather than a name another
			for n.row = 0; slices.ContainsFunc(names[i+1:], same); n.row++ {
			}
		}
		rows = max(rows, n.row+1)
	}
	base := func(row int) float64 { return c.Y + 4.2 + float64(row)*rowHeight }
	for _, n := range names {
		if n.row > 0 {
			c.add(draw.Line(n.x+0.1, c.Y+0.8, n.x+0.1, base(n.row)-n.style.CapHeight()-0.4, drafting.Faint()))
		}
		c.add(draw.Label(n.from, base(n.row), n.text, n.style, draw.Left))
	}
	return 4.2 + float64(rows-1)*rowHeight + 1.2
}

// tallestRun is how high a run laid flat may come out, in mm of paper.
const tallestRun = 38.0

// Unrolled draws a run of walls laid flat with the strips of one way of dividing
// them, at most as wide as given. A triangle marks the corner where one colour
// meets itself, if there is one.
func Unrolled(f *draw.Fonts, walls []View, option setout.Option, width float64) Drawing {
	if len(walls) == 0 {
		return Drawing{W: width}
	}
	long, tall := 0.0, 0.0
	for _, v := range walls {
		long += float64(v.Wall.Length)
		tall = max(tall, v.Wall.Outline.Bounds().Max.Y)
	}
	c := &canvas{fonts: f, Place: pattern.Place{S: min(width/long, 0.02, tallestRun/tall)}}
	c.Y = 1 + tall*c.S
	for i, v := range walls {
		c.flat(v, option.Faces)
		mid := c.X + float64(v.Wall.Length)*c.S/2
		text := v.Wall.Name
		if f.Width(text, drafting.Letters()) > float64(v.Wall.Length)*c.S-1 {
			text = string([]rune(text)[:1])
		}
		c.add(draw.Label(mid, c.Y+3.9, text, drafting.Letters().Coloured(drafting.Grey), draw.Centre))
		c.X += float64(v.Wall.Length) * c.S
		if clashes(option.Clash, walls, i) {
			c.add(drafting.CautionShape.Mark(c.X, c.Y+3, 3)...)
		}
	}
	c.add(draw.Line(0, c.Y, c.X, c.Y, drafting.Floor()))
	return Drawing{W: c.X, H: c.Y + 5.4, Scale: 1 / c.S, Items: c.items}
}

// clashes reports whether the corner after wall i is the one named.
func clashes(corner string, walls []View, i int) bool {
	if corner == "" {
		return false
	}
	next := walls[(i+1)%len(walls)].Wall.Name
	return strings.Contains(corner, walls[i].Wall.Name) && strings.Contains(corner, next)
}

// flat draws one wall with plain strips and no pattern.
func (c *canvas) flat(v View, strips []setout.Strips) {
	h := v.Wall.Outline.Bounds().Max.Y
	c.add(c.Polygon(v.Wall.Outline).Filled(drafting.Bare))
	for _, field := range v.Fields {
		s := stripsFor(field.Face, strips)
		if s == nil || field.Finish == nil {
			continue
		}
		var bands []draw.Item
		for _, one := range s.Strips {
			colour := pattern.Colour(field.Finish.Ground)
			if one.Colour == "B" {
				colour = pattern.Colour(field.Finish.GroundB)
			}
			bands = append(bands, c.Polygon(pattern.StripOutline(one, h)).Filled(colour))
		}
		for _, m := range s.Marks {
			a, b := m.Joint(v.Wall.Height)
			p, q := c.At(a.X, a.Y), c.At(b.X, b.Y)
			bands = append(bands, draw.Line(p.X, p.Y, q.X, q.Y, draw.Ink(0.12, drafting.Ink)))
		}
		c.add(draw.Group{Clip: c.Region(field.Face.Field), Items: bands})
	}
	for i := range v.Wall.Openings {
		c.opening(&v.Wall.Openings[i], draw.Ink(0.18, drafting.Ink), false)
	}
	c.add(c.Polygon(v.Wall.Outline).Stroked(draw.Ink(0.28, drafting.Ink)))
}

func stripsFor(face *survey.Face, strips []setout.Strips) *setout.Strips {
	for i := range strips {
		if strips[i].Face == face.ID {
			return &strips[i]
		}
	}
	return nil
}
