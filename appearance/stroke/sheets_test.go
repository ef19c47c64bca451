package stroke

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
	"scumble/geom"
)

func TestSheetsLeaveNoBarePlace(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		box := geom.Bounds{Max: geom.Point{X: rapid.Float64Range(300, 3000).Draw(t, "width"), Y: rapid.Float64Range(300, 2600).Draw(t, "height")}}
		size := Sheet{Width: rapid.Float64Range(200, 700).Draw(t, "sheet"), Height: rapid.Float64Range(200, 800).Draw(t, "high")}
		laid := layout(box, nil, size, 30, rapid.Float64Range(0, 0.4).Draw(t, "turn"), rapid.Uint64().Draw(t, "seed"))
		for x := float32(0); x < float32(box.Max.X); x += 17 {
			for y := float32(0); y < float32(box.Max.Y); y += 17 {
				if !slices.ContainsFunc(laid, func(r turned) bool {
					u, v := r.local(y)
					return r.depth(u+r.cos*x, v-r.sin*x) > 0
				}) {
					t.Fatalf("no sheet lies at %v %v", x, y)
				}
			}
		}
	})
}

func TestSheetsAreNotInLine(t *testing.T) {
	laid := layout(geom.Bounds{Max: geom.Point{X: 4000, Y: 2500}}, nil, Sheet{Width: 380, Height: 500}, 30, 0.3, 5)
	for n := 1; n < len(laid); n++ {
		if a, b := laid[n-1], laid[n]; a.x == b.x || a.cos == b.cos {
			t.Errorf("sheets %d and %d are in line", n-1, n)
		}
	}
}

func TestTurnedRowHoldsWhatLiesInside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := newTurned(geom.Point{X: rapid.Float64Range(-50, 150).Draw(t, "x"), Y: rapid.Float64Range(-50, 150).Draw(t, "y")},
			rapid.Float64Range(10, 200).Draw(t, "long"), rapid.Float64Range(10, 90).Draw(t, "wide"), rapid.Float64Range(-7, 7).Draw(t, "angle"))
		tile := Grid(0, 0, 100, 100, 1)
		y := tile.Y[rapid.IntRange(0, 99).Draw(t, "row")]
		from, to := r.row(tile, 0, 100, y)
		for i, x := range tile.X {
			// the oracle turns the place back about the middle
			dx, dy, a := float64(x-r.x), float64(y-r.y), math.Atan2(float64(r.sin), float64(r.cos))
			u, v := dx*math.Cos(a)+dy*math.Sin(a), dy*math.Cos(a)-dx*math.Sin(a)
			depth := math.Min(float64(r.long)-math.Abs(u), float64(r.wide)-math.Abs(v))
			if in := i >= from && i < to; in != (depth > 0) && math.Abs(depth) > 1e-3 {
				t.Fatalf("place %v %v is %.4f mm inside, row says %v", x, y, depth, in)
			}
		}
	})
}

// Contact may be looked up at any level: the mean of the bank is the same.
func TestBanksKeepTheirMean(t *testing.T) {
	for name, bank := range map[string]*crumpled{"paper": paper(), "plastic": plastic()} {
		var want [3]float64
		for level := range levels {
			var sum [3]float64
			for k := range bank.touch[level] {
				sum[0] += float64(bank.touch[level][k].light)
				sum[1] += float64(bank.touch[level][k].firm)
				sum[2] += float64(bank.height[level][k])
			}
			for k := range sum {
				sum[k] /= float64(len(bank.touch[level]))
				if level == 0 {
					want[k] = sum[k]
				} else if math.Abs(sum[k]-want[k]) > 1e-4 {
					t.Errorf("%s, level %d: mean %d is %v, at the finest %v", name, level, k, sum[k], want[k])
				}
			}
		}
		if !(want[0] < want[1]) {
			t.Errorf("%s: a firm palm makes contact %v, a light one %v", name, want[1], want[0])
		}
	}
}

// The bank meets itself at its borders, so a sheet shows no line there.
func TestPaperIsContinuous(t *testing.T) {
	height := paper().height[0]
	step := func(a, b float32) float64 { return math.Abs(float64(a - b)) }
	inside, border := 0.0, 0.0
	for k := range side {
		border = max(border, step(height[k*side], height[k*side+side-1]), step(height[k], height[(side-1)*side+k]))
		for i := 1; i < side; i++ {
			inside = max(inside, step(height[k*side+i], height[k*side+i-1]), step(height[i*side+k], height[(i-1)*side+k]))
		}
	}
	if border > inside {
		t.Errorf("step of %v at the border, at most %v inside", border, inside)
	}
}

func TestEarlierSheetKeepsALaterOneOff(t *testing.T) {
	r := newTurned(geom.Point{X: 100, Y: 100}, 300, 300, 0)
	over := &sheet{turned: r, cut: newCut(paper(), 3, 0, 100, 25), palm: 90, sweep: 1, split: 0.6, contrast: 1, under: []turned{newTurned(geom.Point{X: 0, Y: 100}, 160, 400, 0)}}
	tile := Grid(0, 0, 200, 200, 1)
	tile.First = make([]float32, 40000)
	for k := range tile.First {
		tile.First[k] = 68
	}
	over.mark(tile, &Stroke{Reach: r.reach()}, 1)
	for j := range 200 {
		if got := tile.First[j*200+30]; got != 68 { // 50 mm deep under the earlier sheet
			t.Fatalf("film under the earlier sheet is %v", got)
		}
	}
	var sum float64
	for j := range 200 {
		sum += float64(tile.First[j*200+140])
	}
	if sum/200 > 55 {
		t.Errorf("mean film under the sheet alone is %v of 68", sum/200)
	}
}

func TestReliefIsContinuousAndHigh(t *testing.T) {
	p := wall(t)
	f := planned(t, p, recipe("tissue-relief", ""))
	tile := Grid(0, 2900, 1600, 160, 0.25)
	f.Fill(tile)
	lo, hi, step := float32(9), float32(-9), float32(0)
	for j := range 160 {
		for i := 1; i < 1600; i++ {
			v, before := tile.Relief[j*1600+i], tile.Relief[j*1600+i-1]
			lo, hi, step = min(lo, v), max(hi, v), max(step, abs(v-before))
		}
	}
	// 0.3 mm from valley to ridge, somewhat more where sheets lie over each other; a
	// step over a quarter of a mm must stay a slope.
	if hi-lo < 0.15 || hi-lo > 0.55 || step > 0.12 {
		t.Errorf("relief from %v to %v mm, steepest step %v", lo, hi, step)
	}
}

// Common practice: ridges keep 0.1 to 0.3 of the glaze, valleys 0.6 to 1.
func TestGlazeGathersInValleys(t *testing.T) {
	for _, variation := range []string{"", "brushed-back"} {
		f := planned(t, wall(t), recipe("tissue-relief", variation))
		tile := Grid(0, 360, 700, 240, 2)
		f.Fill(tile)
		var high, low, highs, lows float64
		for k, v := range tile.First {
			switch r := (tile.Relief[k] - bed*0.3) / 0.3; {
			case r > 0.38:
				high, highs = high+float64(v)/68, highs+1
			case r < -0.38:
				low, lows = low+float64(v)/68, lows+1
			}
		}
		if highs < 50 || lows < 50 || high/highs > 0.32 || low/lows < 0.6 {
			t.Errorf("%q: ridges keep %.2f (%v places), valleys %.2f (%v places)", variation, high/highs, highs, low/lows, lows)
		}
	}
}
