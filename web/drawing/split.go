package drawing

import (
	"fmt"
	"html/template"
	"math"
)

// Split is a wall shown twice, parted by a plumb line that can be moved.
type Split struct {
	Elevation
	// Lamp is the address of the second picture, on the right of the line.
	Lamp string
	// Left and Right are the words under the two.
	Left, Right string
}

// Draw draws it, the line in the middle.
func (s Split) Draw() template.HTML {
	d := &elevation{pen: &pen{}, Elevation: s.Elevation, foot: 34}
	d.length, d.height = float64(s.Wall.Length), float64(s.Wall.Height)
	d.scale = math.Min((s.Width-24)/math.Max(d.length, 1), s.Highest/math.Max(d.height, 1))
	d.sheet.left, d.floor = 12, 14+d.height*d.scale
	d.width = 24 + d.length*d.scale
	w, h := px(math.Ceil(d.width)), px(math.Ceil(d.floor+d.foot))
	middle := d.x(d.length / 2)
	d.put(`<svg width="%s" height="%s" viewBox="0 0 %s %s" role="group" aria-label="%s" data-split="%s %s">`, w, h, w, h, esc(s.Label), px(d.x(0)), px(d.x(d.length)))
	lamp := s.Lamp
	if s.Picture != "" {
		d.put(`<g data-try-light="lamp">`)
		day := s.Picture
		d.Picture, d.Name = lamp, s.Name+"l"
		d.tried(`light=lamp`)
		d.put(`</g><clipPath id="k-%s"><rect data-split-clip x="%s" y="0" width="%s" height="%s"/></clipPath><g clip-path="url(#k-%s)">`, s.Name, px(d.x(0)), px(middle-d.x(0)), h, s.Name)
		d.Picture, d.Name = day, s.Name+"d"
		d.tried(`light=D65`)
		d.put("</g>")
	} else {
		d.finish()
	}
	d.trim()
	d.openings()
	d.edges()
	if s.Picture != "" {
		d.put(`<g data-split-handle tabindex="0" role="slider" aria-label="Plumb line between daylight and lamps" aria-valuemin="0" aria-valuemax="100" aria-valuenow="50" data-at="%s" transform="translate(%s 0)">`, px(middle), px(middle))
		d.put(`<path class="hit" d="M-22 0h44V%sh-44z"/>`, px(d.floor))
		d.line("chalk-halo", 0, 2, 0, d.floor)
		d.line("plumb", 0, 2, 0, d.floor)
		d.put(`<use href="#bob" x="-9" y="%s" width="18" height="30"/></g>`, px(d.floor-24))
		d.text(d.x(0), d.floor+24, "t-b", s.Left)
		d.text(d.x(d.length), d.floor+24, "t-b t-e", s.Right)
	}
	d.put("</svg>")
	return d.html()
}

// tried lays a picture that is changed while colours are tried; query tells its light.
func (d *elevation) tried(query string) {
	fields := ""
	for i := range d.Wall.Faces {
		fields += d.region(d.Wall.Faces[i].Field)
	}
	d.put(`<clipPath id="e-%s"><path clip-rule="evenodd" d="%s"/></clipPath><g clip-path="url(#e-%s)"><image class="finish" data-try-picture="%s" href="%s" x="%s" y="%s" width="%s" height="%s" preserveAspectRatio="none"/></g>`,
		d.Name, fields, d.Name, fmt.Sprintf("%s&amp;w=%s", query, px(math.Round(d.length*d.scale))), esc(d.Picture), px(d.x(0)), px(d.y(d.height)), px(d.length*d.scale), px(d.height*d.scale))
}
