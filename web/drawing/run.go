package drawing

import (
	"fmt"
	"html/template"
	"math"

	"scumble/setout"
	"scumble/survey"
)

// Run draws a run of walls laid flat with the strips of one way of dividing them, colour
// B shaded. The walls and their strips go together by index.
func Run(walls []*survey.Wall, strips []setout.Strips, width float64, name string) template.HTML {
	length, high := 0.0, 0.0
	for _, w := range walls {
		length += float64(w.Length)
		high = math.Max(high, float64(w.Height))
	}
	if length <= 0 || len(walls) != len(strips) {
		return ""
	}
	p := &pen{}
	s := sheet{1, 0, (width - 2) / length}
	s.floor = math.Ceil(high*s.scale) + 2
	p.put(`<svg width="%s" height="%s" viewBox="0 0 %s %s" role="img" aria-label="%s">`, px(width), px(s.floor+4), px(width), px(s.floor+4),
		esc(fmt.Sprintf("The run laid flat, %d walls", len(walls))))
	for i, w := range walls {
		id := fmt.Sprintf("%s-%d", name, i)
		p.put(`<clipPath id="%s"><path d="%s"/></clipPath><g clip-path="url(#%s)">`, id, s.ring(w.Outline), id)
		p.path("f-sheet", s.ring(w.Outline))
		for _, strip := range strips[i].Strips {
			x0, x1 := s.x(float64(strip.Foot[0])), s.x(float64(strip.Foot[1]))
			class := "fine"
			if strip.Colour == "B" {
				class = "fine f-line3"
			}
			p.put(`<path class="%s" d="M%s %sH%sV%sH%sZ"/>`, class, px(x0), px(s.floor), px(x1), px(s.y(high)), px(x0))
		}
		p.put("</g>")
		for _, o := range w.Openings {
			p.path("fine f-paper", s.ring(o.Outline))
		}
		p.path("edge", s.ring(w.Outline))
		s.left += float64(w.Length) * s.scale
	}
	p.line("floor", 0, s.floor+1.5, width, s.floor+1.5)
	p.put("</svg>")
	return p.html()
}
