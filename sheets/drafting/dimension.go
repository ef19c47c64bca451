package drafting

import (
	"math"

	"scumble/draw"
)

// tick is half the reach of the oblique stroke that ends a dimension, in mm.
const tick = 1.0

func ticked(x, y float64) draw.Item {
	return draw.Line(x-tick, y+tick, x+tick, y-tick, draw.Ink(0.3, Ink))
}

// LevelChain draws a chain of dimensions along y between the places xs, which
// ascend, with a figure over each stretch. A figure wider than its stretch is
// staggered beneath the line.
func LevelChain(f *draw.Fonts, xs []float64, y float64, figures []string) []draw.Item {
	if len(xs) < 2 {
		return nil
	}
	items := []draw.Item{draw.Line(xs[0]-1.4, y, xs[len(xs)-1]+1.4, y, Fine())}
	for _, x := range xs {
		items = append(items, ticked(x, y))
	}
	below := math.Inf(-1)
	for i, text := range figures {
		if i+1 >= len(xs) || text == "" {
			continue
		}
		mid, w := (xs[i]+xs[i+1])/2, f.Width(text, Letters())
		if w+1.2 <= xs[i+1]-xs[i] {
			items = append(items, lettered(mid, y-0.9, text))
			continue
		}
		if mid-w/2 < below+1.5 { // two narrow stretches side by side: move on a little
			mid = below + 1.5 + w/2
		}
		items = append(items, lettered(mid, y+0.9+Letters().CapHeight(), text))
		below = mid + w/2
	}
	return items
}

// LevelDimension is a single dimension along y.
func LevelDimension(f *draw.Fonts, x1, x2, y float64, figure string) []draw.Item {
	return LevelChain(f, []float64{x1, x2}, y, []string{figure})
}

// UprightChain draws a chain of dimensions along x between the places ys, with
// figures that are read from the right. A figure longer than its stretch stands
// beyond the line.
func UprightChain(f *draw.Fonts, ys []float64, x float64, figures []string) []draw.Item {
	if len(ys) < 2 {
		return nil
	}
	first, last := ys[0], ys[len(ys)-1]
	items := []draw.Item{draw.Line(x, min(first, last)-1.4, x, max(first, last)+1.4, Fine())}
	for _, y := range ys {
		items = append(items, ticked(x, y))
	}
	taken := math.NaN()
	for i, text := range figures {
		if i+1 >= len(ys) || text == "" {
			continue
		}
		at, mid, w := x-0.9, (ys[i]+ys[i+1])/2, f.Width(text, Letters())
		if w+1.2 > math.Abs(ys[i+1]-ys[i]) {
			at = x + 0.9 + Letters().CapHeight()
			if math.Abs(mid-taken) < w+1 {
				mid = taken + math.Copysign(w+1, ys[i+1]-ys[i])
			}
			taken = mid
		}
		items = append(items, draw.Text{At: draw.Pt(at, mid), Text: text, Style: Letters(), Align: draw.Centre, Rotate: -90})
	}
	return items
}

// UprightDimension is a single dimension along x.
func UprightDimension(f *draw.Fonts, y1, y2, x float64, figure string) []draw.Item {
	return UprightChain(f, []float64{y1, y2}, x, []string{figure})
}

// Extension is the grey line from an edge to its dimension; it keeps a gap from
// the edge and runs past the dimension.
func Extension(x1, y1, x2, y2 float64) draw.Item {
	d := math.Hypot(x2-x1, y2-y1)
	if d == 0 {
		return draw.Group{}
	}
	ux, uy := (x2-x1)/d, (y2-y1)/d
	gap := min(0.8, d/2)
	return draw.Line(x1+ux*gap, y1+uy*gap, x2+ux*1.2, y2+uy*1.2, Faint())
}

func lettered(x, y float64, text string) draw.Item {
	return draw.Text{At: draw.Pt(x, y), Text: text, Style: Letters(), Align: draw.Centre, Halo: 0.6}
}

// Cumulative is a rule of marks read off one tape from one dot.
type Cumulative struct {
	Datum  float64   // x of the dot, in mm on paper
	At     []float64 // x of each mark, ascending
	Figure []string  // what the tape reads there
	End    float64   // x of the end of the wall
	Total  string    // what the tape reads there
}

// Draw draws the rule along y with ticks up to top, and figures beneath: all in
// one row where they fit, else in two, else every second, third and so on of the
// inner ones. height is what it takes below y; left is how many figures are left
// to the list beside the drawing.
func (c Cumulative) Draw(f *draw.Fonts, y, top float64) (items []draw.Item, height float64, left int) {
	s, bold := Letters(), Letters().InBold()
	rows, every := c.rows(f)
	items = []draw.Item{draw.Line(c.Datum, y, c.End, y, Fine())}
	row := func(n int) float64 { return y + 2 + s.CapHeight() + float64(n)*3.4 }
	for i, x := range c.At {
		reach := 1.0
		if i%every == 0 {
			n := (i / every) % rows
			if n > 0 {
				reach = row(n) - y - s.CapHeight() - 0.5
			}
			items = append(items, draw.Label(x, row(n), c.Figure[i], s, draw.Centre))
		} else {
			left++
		}
		items = append(items, draw.Line(x, top, x, y+reach, Faint()))
	}
	last := row(rows)
	items = append(items, draw.Line(c.End, top, c.End, last-s.CapHeight()-0.6, Faint()),
		draw.Line(c.Datum, y, c.Datum, last-s.CapHeight()-0.6, Faint()),
		draw.Label(c.End, last, c.Total, bold, draw.Centre),
		draw.Label(c.Datum, last, "0", bold, draw.Centre), Datum(c.Datum, y))
	return items, last - y + 0.8, left
}

// rows finds the fewest rows of figures, then the densest choice, that keeps
// neighbours in a row apart.
func (c Cumulative) rows(f *draw.Fonts) (rows, every int) {
	for every = 1; every <= len(c.At); every++ {
		for rows = 1; rows <= 2; rows++ {
			if c.fits(f, rows, every) {
				return rows, every
			}
		}
	}
	return 1, max(1, len(c.At))
}

func (c Cumulative) fits(f *draw.Fonts, rows, every int) bool {
	const apart = 1.3
	s := Letters()
	ends := make([]float64, rows)
	for i := range ends {
		ends[i] = math.Inf(-1)
	}
	for i := 0; i < len(c.At); i += every {
		n := (i / every) % rows
		w := f.Width(c.Figure[i], s)
		if c.At[i]-w/2 < ends[n]+apart {
			return false
		}
		for lower := n + 1; lower < rows; lower++ { // a longer tick passes here
			if j := i + (lower-n)*every; j < len(c.At) && c.At[j] < c.At[i]+w/2+0.4 {
				return false
			}
		}
		if n > 0 && i >= every && c.At[i] < c.At[i-every]+f.Width(c.Figure[i-every], s)/2+0.4 {
			return false
		}
		ends[n] = c.At[i] + w/2
	}
	return true
}
