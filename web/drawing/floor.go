package drawing

import (
	"fmt"
	"html/template"
	"math"

	"scumble/geom"
	"scumble/survey"
)

// Floor is a room to be drawn from above.
type Floor struct {
	Plan  *survey.FloorPlan
	Walls []FloorWall // one for each of the plan
	// Label says in words what is shown, for those who do not see it.
	Label string
	// Width and Highest are the px the drawing may take.
	Width, Highest float64
}

// FloorWall is what a wall of the floor plan is called and leads to.
type FloorWall struct {
	Name, Href string
	Here       bool
}

// What stands round the walls of a floor plan, px: room for a number and a name.
const floorAir = 34

// thick is half the thickness of a wall that has an opening, px.
const thick = 5

type floor struct {
	*pen
	sheet
}

// Draw draws the floor plan; the first wall lies at the top, read from left to right.
func (f Floor) Draw() template.HTML {
	var ring geom.Polygon
	for _, w := range f.Plan.Walls {
		ring = append(ring, w.From, w.To)
	}
	if len(ring) == 0 {
		return ""
	}
	b := ring.Bounds()
	scale := math.Min((f.Width-2*floorAir)/math.Max(b.Width(), 1), (f.Highest-2*floorAir)/math.Max(b.Height(), 1))
	d := &floor{&pen{}, sheet{floorAir - b.Min.X*scale, floorAir + b.Max.Y*scale, scale}}
	wide, high := px(math.Ceil(b.Width()*scale)+2*floorAir), px(math.Ceil(b.Height()*scale)+2*floorAir)
	d.put(`<svg class="floorplan" width="%s" height="%s" viewBox="0 0 %s %s" role="group" aria-label="%s">`, wide, high, wide, high, esc(f.Label))
	for i := range f.Plan.Walls {
		d.wall(&f.Plan.Walls[i], f.Walls[i], i+1)
	}
	if f.Plan.Open {
		end := f.Plan.Walls[len(f.Plan.Walls)-1].To
		d.line("wrong", d.x(end.X), d.y(end.Y), d.x(0), d.y(0))
	}
	for i := range f.Plan.Walls {
		d.corner(&f.Plan.Walls[i])
	}
	if first := f.Plan.Walls[0]; f.Plan.Walls[len(f.Plan.Walls)-1].Corner == "open" {
		d.end(first.From, first)
	}
	d.put("</svg>")
	return d.html()
}

// cornerWords say what follows a wall.
var cornerWords = map[string]string{"internal": "then an inside corner", "external": "then an outside corner", "open": "then it ends"}

// wall draws one wall as a link, with its openings.
func (d *floor) wall(w *survey.FloorWall, named FloorWall, number int) {
	current := ""
	if named.Here {
		current = ` aria-current="true"`
	}
	label := fmt.Sprintf("Wall %d, %s, %s", number, named.Name, cornerWords[w.Corner])
	for _, o := range w.Openings {
		label += "; " + o.Kind
	}
	d.put(`<a href="%s" aria-label="%s"%s><title>%s</title>`, esc(named.Href), esc(label), current, esc(label))
	out := d.outside(w)
	x1, y1, x2, y2 := d.x(w.From.X), d.y(w.From.Y), d.x(w.To.X), d.y(w.To.Y)
	class := "floor"
	if !w.Known {
		class = "wrong"
	}
	d.line(class, x1, y1, x2, y2)
	for _, o := range w.Openings {
		d.opening(o, out)
	}
	// A wide band is what a finger finds.
	hit := func(p geom.Point, by float64) string {
		return px(d.x(p.X)+out.X*by) + " " + px(d.y(p.Y)+out.Y*by)
	}
	d.put(`<path class="hit" d="M%sL%sL%sL%sZ"/></a>`, hit(w.From, -10), hit(w.To, -10), hit(w.To, 30), hit(w.From, 30))
	d.lettering(w, named, number)
}

// lettering is the number of a wall and, where there is room, its name. It stands beside
// the link, which says the same.
func (d *floor) lettering(w *survey.FloorWall, named FloorWall, number int) {
	out := d.outside(w)
	x1, y1, x2, y2 := d.x(w.From.X), d.y(w.From.Y), d.x(w.To.X), d.y(w.To.Y)
	long := math.Hypot(x2-x1, y2-y1)
	away := 19.0
	if long < 40 {
		away = -19 // behind a short wall stands the number of the next one
	}
	mx, my := (x1+x2)/2+out.X*away, (y1+y2)/2+out.Y*away
	d.put(`<g aria-hidden="true" pointer-events="none">`)
	d.put(`<circle class="fine %s" cx="%s" cy="%s" r="10"/>`, map[bool]string{true: "f-chalk", false: "f-paper"}[named.Here], px(mx), px(my))
	d.text(mx, my+4.5, map[bool]string{true: "t-b t-c t-inv", false: "t-b t-c"}[named.Here], fmt.Sprint(number))
	if room := 7.5*float64(len([]rune(named.Name))) + 16; room < long/2+10 {
		if out.X == 0 {
			d.text(mx+15, my+4.5, "", named.Name)
		} else {
			d.upright(mx+4.5, my-15, "", named.Name)
		}
	}
	d.put("</g>")
}

// outside is the step of a px away from the room.
func (d *floor) outside(w *survey.FloorWall) geom.Point {
	dx, dy := d.x(w.To.X)-d.x(w.From.X), d.y(w.To.Y)-d.y(w.From.Y)
	long := math.Hypot(dx, dy)
	if long == 0 {
		return geom.Point{}
	}
	return geom.Point{X: math.Round(dy / long), Y: math.Round(-dx / long)}
}

// opening breaks the wall: a way through stays empty, a window has its pane, anything
// else stands before the wall.
func (d *floor) opening(o survey.FloorOpening, out geom.Point) {
	x1, y1, x2, y2 := d.x(o.From.X), d.y(o.From.Y), d.x(o.To.X), d.y(o.To.Y)
	side := func(by float64) string {
		return "M" + px(x1+out.X*by) + " " + px(y1+out.Y*by) + "L" + px(x2+out.X*by) + " " + px(y2+out.Y*by)
	}
	box := side(-thick) + "L" + px(x2+out.X*thick) + " " + px(y2+out.Y*thick) + "L" + px(x1+out.X*thick) + " " + px(y1+out.Y*thick) + "Z"
	switch o.Kind {
	case "door", "hatch":
		d.path("f-paper", box)
		d.path("fine", "M"+px(x1-out.X*thick)+" "+px(y1-out.Y*thick)+"L"+px(x1+out.X*thick)+" "+px(y1+out.Y*thick)+"M"+px(x2-out.X*thick)+" "+px(y2-out.Y*thick)+"L"+px(x2+out.X*thick)+" "+px(y2+out.Y*thick))
	case "window":
		d.path("fine f-paper", box)
		d.path("fine", side(0))
	default:
		d.path("fine f-wash", box)
	}
}

// corner marks what kind of corner follows a wall.
func (d *floor) corner(w *survey.FloorWall) {
	x, y := d.x(w.To.X), d.y(w.To.Y)
	switch w.Corner {
	case "internal":
		d.put(`<circle class="fine f-paper" cx="%s" cy="%s" r="4" pointer-events="none"/>`, px(x), px(y))
	case "external":
		d.put(`<path class="f-ink" d="M%s %sh10v10h-10z" pointer-events="none"/>`, px(x-5), px(y-5))
	default:
		d.end(w.To, *w)
	}
}

// end is the short bar across a wall that ends.
func (d *floor) end(at geom.Point, w survey.FloorWall) {
	out := d.outside(&w)
	x, y := d.x(at.X), d.y(at.Y)
	d.line("edge", x-out.X*7, y-out.Y*7, x+out.X*7, y+out.Y*7)
}
