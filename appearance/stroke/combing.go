package stroke

import (
	"math"

	"scumble/geom"
)

// combing cuts rows of equal arcs with a toothed comb, after one level pass along the
// ceiling. Squares combs a basket weave; straight pulls from top to bottom and then
// across with a slow wave.
func combing(p *Panel, f *figures) work {
	c := combs{panel: p, figures: f, pitch: f.of("tooth-pitch"), groove: f.of("groove"), ridge: f.of("ridge"),
		tremor: f.of("tremor"), shake: f.of("tremor-length")}
	f.wider("tool-width", "tooth-pitch")
	lay := rolled(p, 0, f.recipe.Laid[0], 0.06)
	c.lay = func(t *Tile) {
		lay(t)
		t.last = zeroed(t.last, len(t.First))
		for i := range t.last {
			t.last[i] = 1
		}
	}
	c.settle = func(t *Tile, _ float64) {
		for i, v := range t.last {
			t.First[i] *= v
		}
	}
	c.even = combEven
	width := f.of("tool-width")
	switch f.recipe.Variation {
	case "squares":
		if f.err() == nil {
			c.squares(width)
		}
	case "straight":
		coarse, wave, waveLength := f.of("coarse-pitch"), f.of("wave"), f.of("wave-length")
		if f.err() == nil {
			c.straight(width, coarse, wave, waveLength)
		}
	default:
		if f.err() == nil {
			c.arcs(width)
		}
	}
	return c.work
}

// combs plans the pulls on a panel.
type combs struct {
	work
	panel         *Panel
	figures       *figures
	pitch         float64
	groove, ridge float64
	tremor, shake float64
}

// comb adds a comb and says its number.
func (c *combs) comb(width, first, last float64) (*comb, int) {
	n := len(c.tools)
	made := newComb(mix(c.panel.Seed, uint64(0xc0b+n)), width, first, last, c.groove, c.ridge, c.figures.recipe.Contrast)
	made.tremor, made.shake = c.tremor, c.shake
	c.tools = append(c.tools, made)
	return made, n
}

// pull adds a straight pull.
func (c *combs) pull(tool int, key uint64, from, to geom.Point) {
	k := c.tools[tool].(*comb)
	s := straight(key, from, to, k.width, k.side+4*k.tremor+1.2*k.wave)
	s.Tool = tool
	c.strokes = append(c.strokes, s)
}

// rows are those of the setting-out, or rows of the comb where there are none.
func (c *combs) rows(height float64) []Row {
	if len(c.panel.Rows) > 0 {
		return c.panel.Rows
	}
	box := c.panel.Region.Bounds()
	var rows []Row
	for n, y := 0, box.Max.Y; y > box.Min.Y; n, y = n+1, y-height {
		rows = append(rows, Row{Y0: y - height, Y1: y, Start: box.Min.X - float64(n%2)*height, Motif: 2 * height})
	}
	return rows
}

// arcs swings the comb round its heel, motif by motif: the first row touches the
// ceiling, and each lower row cuts into the one above.
func (c *combs) arcs(width float64) {
	box := c.panel.Region.Bounds()
	made, tool := c.comb(width, 0.75*c.pitch, 1.3*c.pitch)
	y := box.Max.Y - width/2
	c.pull(tool, mix(c.panel.Seed, 0xce1), geom.Point{X: box.Min.X, Y: y}, geom.Point{X: box.Max.X + heapLength, Y: y})
	for n, row := range c.rows(0.8 * width) {
		for m := 0; row.Motif > 0; m++ {
			left := row.Start + float64(m)*row.Motif
			if left >= box.Max.X+width-row.Motif/2 {
				break
			}
			d := dice{key: at(mix(c.panel.Seed, 0xa2c5), n, m)}
			heel := geom.Point{X: left + row.Motif/2 + 1.5*d.signed(), Y: row.Y1 - width + d.signed()}
			s := Stroke{Tool: tool, Key: d.next(), From: heel, To: heel, Width: 2 * (width + 0.8*d.signed())}
			s.Reach = around(geom.Segment{A: heel, B: heel}, s.Width/2+made.side+4*made.tremor)
			s.Reach.Min.Y = heel.Y - below*width
			c.strokes = append(c.strokes, s)
		}
	}
}

// squares combs squares of one size, one upright and the next level; without rows from
// the setting-out they are as high as told, mm.
func (c *combs) squares(height float64) {
	box := c.panel.Region.Bounds()
	sizes := map[float64]int{}
	cut := func(width float64) int {
		size := math.Round(width*2) / 2
		if _, ok := sizes[size]; !ok {
			_, sizes[size] = c.comb(size, c.pitch, c.pitch)
		}
		return sizes[size]
	}
	for n, row := range c.rows(height) {
		if !(row.Motif > 0) || !(row.Y1 > row.Y0) {
			continue
		}
		high := row.Y1 - row.Y0
		wide := row.Motif / math.Max(1, math.Round(row.Motif/high))
		for m := 0; row.Start+float64(m)*wide < box.Max.X; m++ {
			d := dice{key: at(mix(c.panel.Seed, 0x59a2), n, m)}
			left := row.Start + float64(m)*wide
			middle := geom.Point{X: left + wide/2 + d.signed(), Y: row.Y0 + high/2 + d.signed()}
			if m%2 == 0 {
				c.pull(cut(wide), d.next(), geom.Point{X: middle.X, Y: row.Y1 + 0.7*d.signed()}, geom.Point{X: middle.X, Y: row.Y0 + 0.7*d.signed()})
			} else {
				c.pull(cut(high), d.next(), geom.Point{X: left + 0.7*d.signed(), Y: middle.Y}, geom.Point{X: left + wide + 0.7*d.signed(), Y: middle.Y})
			}
		}
	}
}

// straight pulls a coarse comb from top to bottom, then a finer one with a slow wave.
func (c *combs) straight(width, coarse, wave, waveLength float64) {
	_, first := c.comb(width, coarse, coarse)
	second, over := c.comb(width, c.pitch, c.pitch)
	second.wave, second.waveLength, second.over = wave, waveLength, true
	box := c.panel.Region.Bounds()
	cut := newColumns(c.panel.Region)
	for _, tool := range []int{first, over} {
		n := 0
		for x := box.Min.X + width/2; x-width/2 < box.Max.X+c.tools[tool].(*comb).wave; x += width {
			for _, span := range cut.uprights(x-width/2, x+width/2) {
				n++
				key := at(mix(c.panel.Seed, uint64(tool)), n, 0x57a1)
				line := x + 0.7*signed(mix(key, 1))
				c.pull(tool, key, geom.Point{X: line, Y: span[1]}, geom.Point{X: line, Y: span[0]})
			}
		}
	}
}
