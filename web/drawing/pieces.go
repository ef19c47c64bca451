package drawing

import (
	"math"

	"scumble/geom"
)

// pieces draws sections as they are worked, and the letters of their joints.
func (d *elevation) pieces() {
	if len(d.Pieces) == 0 {
		return
	}
	id := "pc-" + d.Name
	d.put(`<clipPath id="%s"><path clip-rule="evenodd" d="%s"/></clipPath><g clip-path="url(#%s)">`, id, d.region(d.Within), id)
	for _, class := range []string{"chalk-halo", "chalk"} {
		for _, p := range d.Pieces {
			x0, x1, y0, y1 := d.x(p.X0), d.x(p.X1), d.y(p.Y0), d.y(p.Y1)
			if p.X0 > 1 {
				d.line(class, x0, y0, x0, y1)
			}
			if p.X1 < d.length-1 {
				d.line(class, x1, y0, x1, y1)
			}
			if p.Y0 > 200 { // the foot of the lowest is the skirting
				d.line(class, x0, y0, x1, y0)
			}
		}
	}
	d.put("</g>")
	narrow, low := math.Inf(1), math.Inf(1)
	for _, p := range d.Pieces {
		narrow, low = min(narrow, (p.X1-p.X0)*d.scale), min(low, (p.Y1-p.Y0)*d.scale)
	}
	big := narrow > 62 && low > 64
	for _, p := range d.Pieces {
		x, y := d.x((p.X0+p.X1)/2), d.y(d.clear((p.X0+p.X1)/2, p.Y0, p.Y1))
		wide, high := (p.X1-p.X0)*d.scale, (p.Y1-p.Y0)*d.scale
		w, h := math.Min(wide-6, 24), math.Min(high-4, 22)
		if big {
			w, h = 60, 46
		}
		if w < 10 || h < 12 {
			continue
		}
		d.put(`<path class="f-sheet" d="M%s %sh%sv%sh-%sz"/>`, px(x-w/2), px(y-h/2), px(w), px(h), px(w))
		if big {
			d.put(`<text class="t-c t-xl" x="%s" y="%s">%d</text>`, px(x), px(y+4), p.Number)
			d.text(x, y+18, "t-c", p.Words)
			continue
		}
		d.put(`<text class="t-b t-c" x="%s" y="%s">%d</text>`, px(x), px(y+4.5), p.Number)
	}
	for _, l := range d.Letters {
		x, y := d.x(l.X), d.y(d.clear(l.X, l.Y-l.Half, l.Y+l.Half))
		if narrow < 62 && l.Half > 0 { // under the numbers, where both do not fit side by side
			y += 28
		}
		if l.Weak {
			d.put(`<path class="f-oxide" d="M%s %sl15 26h-30z"/><text class="t-b t-c t-inv" x="%s" y="%s">%s</text>`, px(x), px(y-16), px(x), px(y+7), esc(l.Text))
			continue
		}
		d.put(`<circle class="fine f-paper" cx="%s" cy="%s" r="10"/>`, px(x), px(y))
		d.text(x, y+4.5, "t-c", l.Text)
	}
}

// clear is the height of a place on the field between two heights of a wall: their middle,
// or, where that is in an opening, the highest that is not.
func (d *elevation) clear(x, low, high float64) float64 {
	for _, share := range []float64{0.5, 0.88, 0.94, 0.12, 0.7, 0.3} {
		at := geom.Point{X: x, Y: low + share*(high-low)}
		if d.Within.Contains(at) {
			return at.Y
		}
	}
	return (low + high) / 2
}
