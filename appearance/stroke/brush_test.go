package stroke

import (
	"math"
	"testing"

	"scumble/geom"
)

func tryBrush(contrast float64) *brush {
	b := &brush{keeps: stiff, width: 100, overlap: 15, keep: 0.62, knot: 420, wander: 4, sway: 500, take: 1, fills: 0.15}
	b.bristles(5, 1.6, 0.4, 1.3, contrast)
	return b
}

// A brush that carries nothing away only moves the film, drawn upright and level, and
// told at any pitch.
func TestBrushMovesFilm(t *testing.T) {
	b := tryBrush(1)
	for _, level := range []bool{false, true} {
		for _, pitch := range []float64{0.5, 1, 4} {
			from, to := geom.Point{X: 200, Y: 400}, geom.Point{X: 200}
			if level {
				from, to = geom.Point{Y: 200}, geom.Point{X: 400, Y: 200}
			}
			s := straight(99, from, to, b.width, b.wander)
			if off := meanOf(worked(b, &s, 0, pitch))/68 - 1; math.Abs(off) > 0.002 {
				t.Errorf("level %v, pitch %v: the mean film changed by %.5f", level, pitch, off)
			}
		}
	}
}

// A full brush takes less than a clean one.
func TestFullBrushTakesLess(t *testing.T) {
	b := tryBrush(1)
	s := straight(99, geom.Point{X: 200, Y: 400}, geom.Point{X: 200}, b.width, b.wander)
	clean := 68 - meanOf(worked(b, &s, 0.2, 1))
	s.Load = 1
	full := 68 - meanOf(worked(b, &s, 0.2, 1))
	if full >= clean || full < 0.8*clean {
		t.Errorf("a clean brush takes %.3f um, a full one %.3f", clean, full)
	}
}

// A line in the wall: its places in lines across or along, um of standard deviation.
func spread(f *Film, from geom.Point, upright bool, second bool) float64 {
	tile := Grid(int(from.X), int(from.Y), 240, 1, 1)
	if upright {
		tile = Grid(int(from.X), int(from.Y), 1, 240, 1)
	}
	f.Fill(tile)
	film := tile.First
	if second {
		film = tile.Second
	}
	var sum, squares float64
	for _, v := range film {
		sum += float64(v)
		squares += float64(v) * float64(v)
	}
	n := float64(len(film))
	return math.Sqrt(squares/n - sum/n*sum/n)
}

// Dragged lines run upright: the film hardly changes down the wall and much across it.
func TestDraggedLinesAreUpright(t *testing.T) {
	f := planned(t, furnished(geom.Rect(0, 0, 1400, 2400).Region()), recipe("dragging", ""))
	var across, down float64
	for n := range 12 {
		at := geom.Point{X: 100 + 90*float64(n), Y: 800 + 60*float64(n)}
		across += spread(f, at, false, false)
		down += spread(f, at, true, false)
	}
	if down > 0.65*across {
		t.Errorf("lines vary by %.2f um across the wall and %.2f um down it", across/12, down/12)
	}
}

// The level lines of the weave are calmer than the upright ones: 0.5 to 0.7 of them,
// common practice.
func TestWeaveIsCalmerLevel(t *testing.T) {
	f := planned(t, furnished(geom.Rect(0, 0, 1400, 2400).Region()), recipe("cross-drag-weave", ""))
	var level, upright float64
	for n := range 40 {
		at := geom.Point{X: 50 + 27*float64(n), Y: 100 + 50*float64(n)}
		level += spread(f, at, true, false)
		upright += spread(f, at, false, true)
	}
	if ratio := level / upright; ratio < 0.5 || ratio > 0.75 {
		t.Errorf("level lines are %.3f as strong as upright ones", ratio)
	}
}

// Level strokes are lifted at strip joints and nowhere else.
func TestWeaveIsLiftedAtJoints(t *testing.T) {
	p := furnished(geom.Rect(0, 0, 4200, 1200).Region())
	f := planned(t, p, recipe("cross-drag-weave", ""))
	lifted := 0
	for _, s := range f.Strokes() {
		if s.From.X == s.To.X {
			continue
		}
		for _, x := range []float64{s.From.X, s.To.X} {
			if off := math.Abs(x - 280*math.Round(x/280)); off > 25 {
				t.Errorf("a level stroke ends at %.0f mm, %.0f mm off a joint", x, off)
			}
		}
		if s.To.X < 4200 {
			lifted++
		}
		if long := s.To.X - s.From.X; long > 1000+60 {
			t.Errorf("a level stroke is %.0f mm long", long)
		}
	}
	if lifted < 20 {
		t.Errorf("the brush is lifted %d times", lifted)
	}
}

// Film heaps up in the last 75 mm above the skirting, less at the ceiling and not in
// the middle; over a door it heaps up at the door head.
func TestDraggingHeapsUpAtItsEnds(t *testing.T) {
	p := wall(t)
	f := planned(t, p, recipe("dragging", ""))
	middle := mean(f, 100, 500, 600, 200, 2)
	for _, end := range []struct {
		where     string
		x, y      float64
		low, high float64
	}{
		{"skirting", 100, 0, 1.12, 1.35},
		{"ceiling", 100, 1180, 0.99, 1.2},
		{"door head", 850, 700, 1.12, 1.35},
	} {
		if got := mean(f, end.x, end.y, 250, 20, 2) / middle; got < end.low || got > end.high {
			t.Errorf("film at the %s is %.3f of that in the middle, want %v to %v", end.where, got, end.low, end.high)
		}
	}
}

// Passes stop at openings: over the door none reaches below its head, and no pass
// beside it stops short of the skirting.
func TestPassesStopAtOpenings(t *testing.T) {
	f := planned(t, wall(t), recipe("dragging", ""))
	over, beside := 0, 0
	for _, s := range f.Strokes() {
		foot := math.Min(s.From.Y, s.To.Y)
		switch x := s.From.X; {
		case x > 860 && x < 1090:
			over++
			if foot != 700 {
				t.Errorf("a pass over the door at %v ends at %v", x, foot)
			}
		case x < 740 || x > 1210:
			beside++
			if foot != 0 {
				t.Errorf("a pass beside the door at %v ends at %v", x, foot)
			}
		}
	}
	if over == 0 || beside == 0 {
		t.Errorf("%d strokes over the door, %d beside it", over, beside)
	}
}
