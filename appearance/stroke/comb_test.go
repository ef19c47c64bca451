package stroke

import (
	"math"
	"testing"

	"scumble/geom"
)

// Between arcs of the sizes a setting-out gives no glaze stays smooth.
func TestArcsLeaveNoSmoothGlaze(t *testing.T) {
	for _, stagger := range []float64{0.3, 0.5, 0.7} {
		for _, size := range []struct{ motif, height float64 }{{185, 96}, {200, 100}, {210, 104}} {
			p := furnished(geom.Rect(0, 0, 1400, 1200).Region())
			p.Rows = nil
			for y, n := 1200.0, 0; y > 0; y, n = y-size.height, n+1 {
				p.Rows = append(p.Rows, Row{Y0: y - size.height, Y1: y, Start: -math.Mod(float64(n)*stagger, 1) * size.motif, Motif: size.motif})
			}
			f := planned(t, p, recipe("combing", ""))
			tile := Grid(0, 0, 700, 600, 2)
			f.Fill(tile)
			smooth := 0
			for _, left := range tile.last {
				if left == 1 {
					smooth++
				}
			}
			if smooth > 0 {
				t.Errorf("stagger %v, motif %v by %v: %d of %d places stay smooth", stagger, size.motif, size.height, smooth, len(tile.last))
			}
		}
	}
}

// What the teeth plough out stands in the ridges: a comb pressed so that it carries
// nothing away leaves all the film, and its grooves and ridges are as deep as stated.
func TestCombMovesFilm(t *testing.T) {
	c := newComb(3, 125, 4.5, 4.5, 0.1, 1.45, 1)
	var sum float64
	deepest, highest := 9.0, 0.0
	n := len(c.teeth.sum) - 1
	for i := range n {
		v := c.teeth.sum[i+1] - c.teeth.sum[i]
		sum += v
		deepest, highest = math.Min(deepest, v), math.Max(highest, v)
	}
	if math.Abs(sum/float64(n)-1) > 1e-9 {
		t.Errorf("the profile leaves %.9f of the film", sum/float64(n))
	}
	// Table of the trade: grooves 0.05 to 0.15 of the film, ridges 1.3 to 1.6; common practice.
	if deepest < 0.05 || deepest > 0.15 || highest < 1.3 || highest > 1.9 {
		t.Errorf("grooves down to %.3f, ridges up to %.3f of the film", deepest, highest)
	}
	// Over every tooth it evens out: windows of five teeth.
	for at := 20.0; at < 100; at += 5 {
		if m := c.teeth.mean(at, 22.5); math.Abs(m-1) > 0.12 {
			t.Errorf("%.3f of the film round %v mm of the comb", m, at)
		}
	}
}

// A row starts at its motif: each pull of squares begins at the edge of its square.
func TestPullsFollowTheRows(t *testing.T) {
	p := furnished(geom.Rect(0, 0, 1400, 1200).Region())
	f := planned(t, p, recipe("combing", "squares"))
	for _, s := range f.Strokes() {
		x, y := s.From.X/100, s.From.Y/100
		if s.From.X == s.To.X {
			x -= 0.5 // an upright pull begins in the middle of the top
		} else {
			y -= 0.5
		}
		if off := math.Max(math.Abs(x-math.Round(x)), math.Abs(y-math.Round(y))); off > 0.02 {
			t.Errorf("a pull begins at %v, %.1f mm off the grid", s.From, 100*off)
		}
	}
}
