package drawing

import (
	"fmt"
	"html/template"
	"math"

	"scumble/geom"
	"scumble/survey"
)

// FriezeWall is one wall of the frieze.
type FriezeWall struct {
	ID, Title string
	Href      string
	Survey    *survey.Wall // nil while its figures do not fit
	State     string       // measured | chosen | setout | work | drying | done
	Words     string       // its state for people: drying until Thursday 09:30
	Beside    string       // what stands beside the mark: Thu 09:30, 5 of 10
	Share     float64      // of the steps that are finished
	Picture   string       // address of its picture, "" = none
	Joints    []geom.Segment
	Wrong     bool
	Here      bool
}

// FriezeRoom is one room of the frieze.
type FriezeRoom struct {
	Name string
	Here bool
	SVG  template.HTML
}

// Scale is the px to the mm at which walls of so many mm in all, in so many rooms,
// fit a page of a laptop: never under 16 px to the metre, never over 34.
func Scale(length float64, rooms int) float64 {
	const page = 1360
	if length <= 0 {
		return 0.034
	}
	return math.Max(0.016, math.Min(0.034, (page-16*float64(rooms))/length))
}

// What stands above and below the walls of a frieze, px.
const (
	friezeAir   = 14
	friezeUnder = 30
	unknownWall = 3000.0 // mm drawn for a wall whose figures do not fit
	unknownHigh = 2400.0
)

// Highest is the greatest height of walls, mm, by which all rooms share one floor.
func Highest(walls []FriezeWall) float64 {
	high := unknownHigh
	for _, w := range walls {
		if w.Survey != nil {
			high = math.Max(high, float64(w.Survey.Height))
		}
	}
	return high
}

// Frieze draws the walls of one room on their floor line. highest is that of the
// whole job; name keeps the ids of several friezes on a page apart.
func Frieze(walls []FriezeWall, scale, highest float64, name string) template.HTML {
	p := &pen{}
	floor := friezeAir + highest*scale
	width := 1.0
	for i := range walls {
		width += wallWidth(&walls[i]) * scale
	}
	w, h := px(math.Ceil(width)+1), px(math.Ceil(floor)+friezeUnder)
	p.put(`<svg width="%s" height="%s" viewBox="0 0 %s %s">`, w, h, w, h)
	left := 1.0
	for i := range walls {
		wall := &walls[i]
		friezeWall(p, wall, sheet{left, floor, scale}, fmt.Sprintf("%s-%d", name, i))
		left += wallWidth(wall) * scale
	}
	p.put("</svg>")
	return p.html()
}

func wallWidth(w *FriezeWall) float64 {
	if w.Survey == nil {
		return unknownWall
	}
	return float64(w.Survey.Length)
}

func friezeWall(p *pen, w *FriezeWall, s sheet, id string) {
	current := ""
	if w.Here {
		current = ` aria-current="true"`
	}
	label := esc(w.Title + ": " + w.Words)
	p.put(`<a href="%s" data-wall="%s" aria-label="%s"%s><title>%s</title>`, esc(w.Href), esc(w.ID), label, current, label)
	wide := wallWidth(w) * s.scale
	top := s.y(unknownHigh)
	if w.Survey == nil {
		p.path("wrong", "M"+px(s.left)+" "+px(s.floor)+"V"+px(top)+"H"+px(s.left+wide)+"V"+px(s.floor))
	} else {
		top = s.y(float64(w.Survey.Height))
		friezeFace(p, w, s, id)
	}
	mark := math.Max(6, math.Min(18, wide-4))
	p.put(`<use href="#s-%s" x="%s" y="%s" width="%s" height="%s"/>`, w.State, px(s.left+2), px(s.floor+9), px(mark), px(mark*14/18))
	if w.Wrong {
		p.put(`<use href="#i-tri" x="%s" y="%s" width="14" height="12"/>`, px(s.left+24), px(s.floor+10))
	}
	p.put(`<path class="hit" d="M%s %sh%sV%sh-%sz"/></a>`, px(s.left), px(top), px(wide), px(s.floor+friezeUnder-2), px(wide))
	if w.Beside != "" && !w.Wrong && wide > 24+7*float64(len(w.Beside)) {
		p.put(`<text x="%s" y="%s" class="t-2" aria-hidden="true" pointer-events="none">%s</text>`, px(s.left+24), px(s.floor+21), esc(w.Beside))
	}
	if w.Here {
		x := s.left + wide/2
		p.put(`<g aria-hidden="true" pointer-events="none">`)
		p.line("plumb", x, 0, x, s.floor-16)
		p.put(`<use href="#bob" x="%s" y="%s" width="12" height="20"/></g>`, px(x-6), px(s.floor-20))
	}
}

// friezeFace draws the wall as far as it has come.
func friezeFace(p *pen, w *FriezeWall, s sheet, id string) {
	wall := w.Survey
	outline := s.ring(wall.Outline)
	p.path("f-sheet", outline)
	high, wide := float64(wall.Height)*s.scale, float64(wall.Length)*s.scale
	if w.Picture != "" && len(wall.Faces) > 0 {
		fields := ""
		for i := range wall.Faces {
			fields += s.region(wall.Faces[i].Field)
		}
		p.put(`<clipPath id="c-%s"><path clip-rule="evenodd" d="%s"/></clipPath><g clip-path="url(#c-%s)">`, id, fields, id)
		p.put(`<image href="%s" x="%s" y="%s" width="%s" height="%s" preserveAspectRatio="none"/>`,
			esc(w.Picture), px(s.left), px(s.floor-high), px(wide), px(high))
		friezeState(p, w, s, outline, wide, high)
		p.put("</g>")
	}
	for _, o := range wall.Openings {
		p.path("fine f-paper", s.ring(o.Outline))
		if o.Kind == "window" && o.Shape != "round" {
			x, y := s.x(float64(o.Left+o.Right)/2), s.y(float64(o.Sill+o.Head)/2)
			p.path("rule", "M"+px(x)+" "+px(s.y(float64(o.Sill)))+"V"+px(s.y(float64(o.Head)))+"M"+px(s.x(float64(o.Left)))+" "+px(y)+"H"+px(s.x(float64(o.Right))))
		}
	}
	class := "edge"
	if w.State == "chosen" || w.State == "setout" && w.Picture == "" {
		class = "edge dashed"
	}
	p.path(class, outline)
}

// friezeState is what tells the states of a wall with a finish apart: a veil, the
// lines that are set out, a jagged wet edge, a hatch, or the clear finish.
func friezeState(p *pen, w *FriezeWall, s sheet, outline string, wide, high float64) {
	switch w.State {
	case "chosen":
		p.path("veil", outline)
	case "setout":
		p.path("veil", outline)
		for _, j := range w.Joints {
			p.line("fine", s.x(j.A.X), s.y(j.A.Y), s.x(j.B.X), s.y(j.B.Y))
		}
	case "work":
		x := s.left + wide*w.Share
		data, y, out := "M"+px(x)+" "+px(s.floor), s.floor, true
		for ; y > s.floor-high; y -= 4 {
			dx := -2.0
			if out {
				dx = 2
			}
			data, out = data+"L"+px(x+dx)+" "+px(y-2), !out
		}
		p.path("veil", data+"H"+px(s.left+wide+2)+"V"+px(s.floor)+"Z")
		p.path("wet", data)
	case "drying":
		p.put(`<path fill="url(#h-dry)" d="%s"/>`, outline)
	}
}
