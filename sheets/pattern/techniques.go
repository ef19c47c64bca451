package pattern

import (
	"math"
	"strings"

	"scumble/draw"
	"scumble/geom"
	"scumble/setout"
	"scumble/unit"
)

// plumb is a plumb strip between two places along a wall.
func plumb(colour string, from, to float64) setout.Strip {
	at := [2]unit.Length{unit.Length(from), unit.Length(to)}
	return setout.Strip{Colour: colour, Foot: at, Head: at}
}

// dragged: fine uprights; a criss-cross variation leans them both ways.
func dragged(b *brush) {
	lean := 0.0
	if strings.Contains(b.finish.Variation, "cross") {
		lean = 0.35
	}
	b.uprights(lean, b.tone(0.78), b.tone(0.18))
}

// uprights covers the field with lines from foot to head in a dark and a light
// colour, leaning by a share of their height to either side.
func (b *brush) uprights(lean float64, dark, light draw.Colour) {
	step := max(26, 0.62/b.S, b.field.Width()/float64(b.strokes))
	h := b.field.Height()
	deep, pale := marks{b: b}, marks{b: b}
	for x := b.field.Min.X - lean*h; x < b.field.Max.X+lean*h; x += step * (0.7 + 0.6*b.dice.roll()) {
		y0, y1, m := b.field.Min.Y, b.field.Max.Y, &deep
		if b.dice.roll() < 0.4 {
			m = &pale
		}
		if b.dice.roll() < 0.3 { // a pass that fades before the end
			y1 -= h * (0.15 + 0.5*b.dice.roll())
		}
		run := lean * (y1 - y0)
		if b.dice.roll() < 0.5 {
			run = -run
		}
		m.line(x, y0, x+run, y1)
	}
	b.put(pale, 4, 0.1, light, draw.Butt)
	b.put(deep, 3.5, 0.1, dark, draw.Butt)
}

// woven: strips of two ground colours, level lines of the first glaze, upright
// ones of the second.
func woven(b *brush) {
	ground, groundB := Colour(b.finish.Ground), Colour(b.finish.GroundB)
	glaze, glazeB := Colour(b.finish.Glaze), Colour(b.finish.Glaze)
	if b.finish.GlazeB.Hex != "" {
		glazeB = Colour(b.finish.GlazeB)
	}
	b.fill(blend(ground, glaze, 0.3))
	for _, s := range b.strips {
		c := blend(ground, glaze, 0.3)
		if s.Colour == "B" {
			c = blend(groundB, glaze, 0.3)
		}
		b.out = append(b.out, b.Polygon(StripOutline(s, b.height)).Filled(c))
	}
	level, upright := marks{b: b}, marks{b: b}
	across, up := b.field.Width(), b.field.Height()
	step := max(45, 0.75/b.S, up/float64(b.strokes))
	for y := b.field.Min.Y + step/2; y < b.field.Max.Y; y += step * (0.6 + 0.8*b.dice.roll()) {
		lift := b.field.Min.X + across*b.dice.roll() // the brush is lifted once
		level.line(b.field.Min.X, y, lift-across*0.04, y)
		level.line(lift, y, b.field.Max.X, y)
	}
	step = max(45, 0.75/b.S, across/float64(b.strokes))
	for x := b.field.Min.X + step/2; x < b.field.Max.X; x += step * (0.6 + 0.8*b.dice.roll()) {
		lift := b.field.Min.Y + up*b.dice.roll()
		upright.line(x, b.field.Min.Y, x, lift-up*0.06)
		upright.line(x, lift, x, b.field.Max.Y)
	}
	b.put(level, 5, 0.1, glaze.WithAlpha(0.5), draw.Butt)
	b.put(upright, 4, 0.1, glazeB.WithAlpha(0.55), draw.Butt)
}

// StripOutline is the outline of a strip from the floor to the height of the wall.
func StripOutline(s setout.Strip, height float64) geom.Polygon {
	return geom.Polygon{{X: float64(s.Foot[0])}, {X: float64(s.Foot[1])},
		{X: float64(s.Head[1]), Y: height}, {X: float64(s.Head[0]), Y: height}}
}

// ragged: short bent strokes in all directions.
func ragged(b *brush) {
	step := b.step(95, 1.3)
	dark, light := marks{b: b}, marks{b: b}
	b.scatter(step, func(x, y float64) {
		angle, long := b.dice.roll()*2*math.Pi, step*(0.45+0.35*b.dice.roll())
		dx, dy := math.Cos(angle)*long/2, math.Sin(angle)*long/2
		bend := (b.dice.roll() - 0.5) * 1.6
		m := &dark
		if b.dice.roll() < 0.4 {
			m = &light
		}
		m.curve(x-dx, y-dy, x-dy*bend, y+dx*bend, x+dx, y+dy)
	})
	b.put(light, step*0.2, 0.25, b.tone(0.15), draw.RoundCap)
	b.put(dark, step*0.16, 0.22, b.tone(0.72), draw.RoundCap)
}

// sponged: dots of two sizes; a swirl variation bends them into short arcs.
func sponged(b *brush) {
	step := b.step(72, 1.1)
	swirl := strings.Contains(b.finish.Variation, "swirl")
	dark, light := marks{b: b}, marks{b: b}
	b.scatter(step, func(x, y float64) {
		m, d := &dark, step*0.04
		if b.dice.roll() < 0.45 {
			m = &light
		}
		if swirl {
			a := b.dice.roll() * 2 * math.Pi
			d = step * 0.4
			m.curve(x-d*math.Cos(a), y-d*math.Sin(a), x-d*math.Sin(a), y+d*math.Cos(a), x+d*math.Cos(a), y+d*math.Sin(a))
			return
		}
		m.line(x-d, y, x+d, y)
	})
	size := 0.36
	if swirl {
		size = 0.2
	}
	b.put(light, step*size*1.2, 0.25, b.tone(0.12), draw.RoundCap)
	b.put(dark, step*size, 0.22, b.tone(0.74), draw.RoundCap)
}

// combed: rows of equal waves, each row set off from the last; a square variation
// turns the teeth from field to field. The rows are those set out, if any.
func combed(b *brush) {
	rows := b.rows
	if len(rows) == 0 {
		for y, odd := b.field.Min.Y, false; y < b.field.Max.Y; y, odd = y+220, !odd {
			row := setout.Row{Y0: unit.Length(y), Y1: unit.Length(y + 220), Start: unit.Length(b.field.Min.X), Motif: 220}
			if odd {
				row.Start -= 110
			}
			rows = append(rows, row)
		}
	}
	square := strings.Contains(b.finish.Variation, "square")
	lines := marks{b: b}
	for i, row := range rows {
		motif, y0, h := float64(row.Motif), float64(row.Y0), float64(row.Y1-row.Y0)
		if motif <= 0 || h <= 0 {
			continue
		}
		across := math.Ceil((b.field.Max.X - float64(row.Start)) / motif)
		spare := float64(6*b.strokes) / max(1, across*float64(len(rows)))
		teeth := int(max(1, min(6, math.Min(motif, h)*b.S/0.8, spare)))
		for n, x := 0, float64(row.Start); x < b.field.Max.X && n < 500; n, x = n+1, x+motif {
			for t := 0; t < teeth; t++ {
				at := (float64(t) + 0.5) / float64(teeth)
				switch {
				case !square:
					y := y0 + at*h
					lines.curve(x, y-0.12*h, x+motif/2, y+0.5*h, x+motif, y-0.12*h)
				case (n+i)%2 == 0:
					lines.line(x, y0+at*h, x+motif, y0+at*h)
				default:
					lines.line(x+at*motif, y0, x+at*motif, y0+h)
				}
			}
		}
	}
	b.put(lines, 9, 0.14, b.tone(0.08), draw.Butt)
}

// washed: wide open arcs that overlap; a swirl variation closes them further.
func washed(b *brush) {
	step := b.step(210, 2.2)
	turn := 110.0
	if strings.Contains(b.finish.Variation, "swirl") {
		turn = 230
	}
	dark, light := marks{b: b}, marks{b: b}
	b.scatter(step, func(x, y float64) {
		m := &dark
		if b.dice.roll() < 0.5 {
			m = &light
		}
		c, r, from := b.At(x, y), step*b.S*(0.4+0.35*b.dice.roll()), b.dice.roll()*360
		sin, cos := math.Sincos(from * math.Pi / 180)
		m.o = m.o.Move(c.X+r*cos, c.Y+r*sin).Arc(c.X, c.Y, r, from, from+turn)
	})
	b.put(light, step*0.3, 0.4, Colour(b.finish.Ground).WithAlpha(0.42), draw.RoundCap)
	b.put(dark, step*0.24, 0.35, Colour(b.finish.Glaze).WithAlpha(0.38), draw.RoundCap)
}

// creased: the open net of folds a crumpled paper leaves.
func creased(b *brush) {
	step := b.step(150, 1.5)
	folds, soft := b.net(step, 0.78)
	b.put(soft, step*0.3, 0.3, b.tone(0.62).WithAlpha(0.6), draw.RoundCap)
	b.put(folds, 5, 0.13, b.tone(0.05), draw.RoundCap)
}

// wrinkled: a finer net, with a shade beside each ridge.
func wrinkled(b *brush) {
	step := b.step(100, 1.2)
	ridges, shade := b.net(step, 0.7)
	b.put(shade, step*0.12, 0.16, b.tone(0.8), draw.RoundCap)
	b.put(ridges, 6, 0.13, b.tone(0.1), draw.RoundCap)
}

// net joins a shaken grid of points to their neighbours with a chance, and adds
// loose short strokes.
func (b *brush) net(step, chance float64) (net, loose marks) {
	net, loose = marks{b: b}, marks{b: b}
	var above []geom.Point
	for y := b.field.Min.Y; y < b.field.Max.Y+step; y += step {
		var row []geom.Point
		for x := b.field.Min.X; x < b.field.Max.X+step; x += step {
			p := geom.Point{X: x + (b.dice.roll()-0.5)*step*0.9, Y: y + (b.dice.roll()-0.5)*step*0.9}
			if n := len(row); n > 0 && b.dice.roll() < chance {
				net.line(row[n-1].X, row[n-1].Y, p.X, p.Y)
			}
			if n := len(row); n < len(above) && b.dice.roll() < chance {
				net.line(above[n].X, above[n].Y, p.X, p.Y)
			} else if n+1 < len(above) && b.dice.roll() < 0.5 {
				net.line(above[n+1].X, above[n+1].Y, p.X, p.Y)
			}
			if b.dice.roll() < 0.55 {
				loose.line(p.X+step*0.2, p.Y-step*0.15, p.X+step*(0.2+0.4*b.dice.roll()), p.Y-step*(0.1+0.4*b.dice.roll()))
			}
			row = append(row, p)
		}
		above = row
	}
	return net, loose
}

// knifed: squarish strokes, none in the direction of the last.
func knifed(b *brush) {
	step := b.step(105, 1.3)
	dark, light := marks{b: b}, marks{b: b}
	b.scatter(step, func(x, y float64) {
		m := &dark
		if b.dice.roll() < 0.5 {
			m = &light
		}
		sin, cos := math.Sincos(b.dice.roll() * math.Pi)
		long := step * (0.3 + 0.12*b.dice.roll())
		m.line(x-long*cos, y-long*sin, x+long*cos, y+long*sin)
	})
	b.put(light, step*0.55, 0.5, b.tone(0.2).WithAlpha(0.75), draw.Butt)
	b.put(dark, step*0.5, 0.45, b.tone(0.72).WithAlpha(0.7), draw.Butt)
}

// blended: soft patches of two glazes merged with diagonal strokes.
func blended(b *brush) {
	second := Colour(b.finish.GlazeB)
	if b.finish.GlazeB.Hex == "" {
		second = b.tone(0.9)
	}
	step := b.step(190, 2)
	one, two, merge := marks{b: b}, marks{b: b}, marks{b: b}
	b.scatter(step, func(x, y float64) {
		m := &one
		if b.dice.roll() < 0.5 {
			m = &two
		}
		bend := step * (b.dice.roll() - 0.5)
		m.curve(x-step*0.3, y-step*0.1, x, y+bend, x+step*0.3, y+step*0.1)
		d := step * (0.25 + 0.2*b.dice.roll())
		merge.line(x+step*0.4-d, y-d, x+step*0.4+d, y+d)
	})
	b.put(one, step*0.55, 0.7, Colour(b.finish.Glaze).WithAlpha(0.6), draw.RoundCap)
	b.put(two, step*0.5, 0.6, second.WithAlpha(0.5), draw.RoundCap)
	b.put(merge, step*0.07, 0.15, Colour(b.finish.Ground).WithAlpha(0.6), draw.RoundCap)
}
