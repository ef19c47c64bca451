package stroke

import (
	"math"
	"testing"

	"scumble/geom"
)

// level film over a tile, um.
func flat(t *Tile, film float32) {
	t.First = make([]float32, len(t.X)*len(t.Y))
	for k := range t.First {
		t.First[k] = film
	}
}

func total(v []float32) (sum float64) {
	for _, x := range v {
		sum += float64(x)
	}
	return sum
}

// toolsOf are the tools of dabs and rolls, each with a stroke in the middle of 400 mm.
func toolsOf() map[string]struct {
	tool tool
	mark Stroke
} {
	middle := geom.Point{X: 200, Y: 200}
	sponge := &dab{prints: sizedAll(spongePrints(), 110/(2*spongeRadius), 1), split: 0.4, fade: 0.2}
	bag := &dab{prints: sizedAll(plasticPrints(), 125/(2*plasticRadius), 1), split: 0.4, fade: 0.2}
	rag := &roller{cloth: cloth().sized(50/clothFold, 1), split: 0.4, fade: 0.2, overlap: 25, slant: 0.2, creep: 0.35, left: -1000, right: 1000}
	return map[string]struct {
		tool tool
		mark Stroke
	}{
		"sponge": {sponge, dabAt(0, 5, middle, sponge.prints[0].reach())},
		"bag":    {bag, dabAt(0, 6, middle, bag.prints[0].reach())},
		"roller": {rag, rag.rolledFrom(0, 7, geom.Point{X: 150, Y: 120}, geom.Point{X: 260, Y: 290}, 150)},
	}
}

// taken is what a tool takes off a level film, in um times places.
func taken(x tool, s Stroke, film float32, press float64, pitch float64) float64 {
	t := Grid(0, 0, int(400/pitch), int(400/pitch), pitch)
	flat(t, film)
	before := total(t.First)
	x.mark(t, &s, press)
	return before - total(t.First)
}

func TestContactTakesAShare(t *testing.T) {
	for name, of := range toolsOf() {
		if got := taken(of.tool, of.mark, 60, 0, 2); got != 0 {
			t.Errorf("%s: takes %v at no pressure", name, got)
		}
		once := taken(of.tool, of.mark, 60, 1, 2)
		if once <= 0 {
			t.Fatalf("%s: takes nothing", name)
		}
		if got := taken(of.tool, of.mark, 120, 1, 2) / once; math.Abs(got-2) > 1e-4 {
			t.Errorf("%s: takes %v times as much of twice the film", name, got)
		}
		if harder := taken(of.tool, of.mark, 60, 2, 2); harder < 1.3*once || harder > 2*once {
			t.Errorf("%s: takes %v pressed twice as hard, %v before", name, harder, once)
		}
		due := of.mark
		due.Load = 1
		if got := taken(of.tool, due, 60, 1, 2) / once; math.Abs(got-0.8) > 1e-3 {
			t.Errorf("%s: due to be cleaned it takes %v of what it took, want 0.8", name, got)
		}
		// the same volume at every scale; a place of 1 mm counts a quarter of one of 2 mm
		for _, pitch := range []float64{0.5, 1, 4} {
			if got := taken(of.tool, of.mark, 60, 1, pitch) * pitch * pitch / (4 * once); math.Abs(got-1) > 0.01 {
				t.Errorf("%s: takes %v of it at a pitch of %v mm", name, got, pitch)
			}
		}
	}
}

func TestGripIsTheSplitAtPressOne(t *testing.T) {
	for _, split := range []float64{0.1, 0.4, 0.7} {
		if got := grip(split, 1); math.Abs(got-split) > 1e-12 {
			t.Errorf("grip %v, want %v", got, split)
		}
		// two contacts at press 1 leave what one at press 2 leaves
		if got, want := 1-grip(split, 2), (1-split)*(1-split); math.Abs(got-want) > 1e-12 {
			t.Errorf("leaves %v at press 2, want %v", got, want)
		}
	}
}

func TestTextureIsAveraged(t *testing.T) {
	const side = 64
	values := unevenness(3, side, 8)
	for k := range values {
		values[k] = min(max(0.5+0.5*values[k], 0), 1)
	}
	x := newTexture(values, side)
	want := total(values) / float64(len(values))
	for n, level := range x.levels {
		var sum float64
		for _, word := range level.words {
			sum += float64(blended(word, 0, 0))
		}
		if got := sum / float64(len(level.words)); math.Abs(got-want) > 0.5/255 {
			t.Errorf("level %d has a mean of %v, want %v", n, got, want)
		}
	}
	// halfway between four values lies their mean, also over the border
	word := x.levels[0].words[side*side-1]
	want = float64(values[side*side-1]+values[side*(side-1)]+values[side-1]+values[0]) / 4
	if got := float64(blended(word, 128, 128)); math.Abs(got-want) > 1.0/255 {
		t.Errorf("between the corners lies %v, want %v", got, want)
	}
}

func TestSpongeIsALace(t *testing.T) {
	for n, face := range spongePrints() {
		var open, firm, in int
		for j := range spongeSide {
			for i := range spongeSide {
				if math.Hypot(float64(i)-spongeSide/2, float64(j)-spongeSide/2) > 0.6*spongeRadius {
					continue
				}
				in++
				switch v := face.values[j*spongeSide+i]; {
				case v < 0.1:
					open++
				case v > 0.7:
					firm++
				}
			}
		}
		// a sea sponge prints 40 to 60 % of its face: common practice; here with a margin
		if part := float64(firm) / float64(in); part < 0.3 || part > 0.75 {
			t.Errorf("face %d touches firmly with %.2f of itself", n, part)
		}
		if part := float64(open) / float64(in); part < 0.1 {
			t.Errorf("face %d has holes over %.2f of itself", n, part)
		}
	}
}

func TestRollerDoesNotRepeat(t *testing.T) {
	r := &roller{cloth: cloth().sized(50/clothFold, 1), split: 0.5, overlap: 25, slant: 0.2, creep: 0.35, left: -1000, right: 1000}
	const wide, high, pitch = 65, 1000, 2
	tile := Grid(0, 0, wide, high, pitch)
	flat(tile, 1)
	s := r.rolledFrom(0, 99, geom.Point{X: 65, Y: -100}, geom.Point{X: 65, Y: 2100}, 180)
	r.mark(tile, &s, 1)
	mean := total(tile.First) / (wide * high)
	like := func(lag int) float64 {
		var both, all float64
		for k, v := range tile.First {
			all += (float64(v) - mean) * (float64(v) - mean)
			if k+lag*wide < len(tile.First) {
				both += (float64(v) - mean) * (float64(tile.First[k+lag*wide]) - mean)
			}
		}
		return both / all
	}
	if got := like(1); got < 0.5 {
		t.Fatalf("neighbours are alike by %v only: nothing to compare", got)
	}
	// 150 mm round the core of a rag in the hand, up to three turns of a roller
	for lag := 75; lag <= 450; lag++ {
		if got := like(lag); got > 0.25 {
			t.Errorf("the print comes back after %d mm: alike by %.2f", lag*pitch, got)
		}
	}
}

func TestEdgesAndCornersAreWorked(t *testing.T) {
	p := Panel{Seed: 4, Region: geom.Rect(0, 0, 2000, 1600).Region()}
	for _, way := range [][2]string{{"sponging-off", ""}, {"sponging-off", "swirl"}, {"rag-rolling", ""}, {"rag-rolling", "hand-rag"}, {"rag-rolling", "bagging"}} {
		f := planned(t, p, recipe(way[0], way[1]))
		field := mean(f, 400, 400, 1200, 800, 4)
		for name, band := range map[string][4]float64{
			"ceiling": {200, 1540, 1600, 60}, "skirting": {200, 0, 1600, 60}, "left": {0, 200, 60, 1200}, "right": {1940, 200, 60, 1200},
		} {
			if got := mean(f, band[0], band[1], band[2], band[3], 4) / field; got < 0.8 || got > 1.2 {
				t.Errorf("%v: film along %s is %.2f of that of the field", way, name, got)
			}
		}
	}
}

func TestSectionsAreWorkedInOrderAndLeaveNoSeam(t *testing.T) {
	plain := Panel{Seed: 9, Region: geom.Rect(0, 0, 1800, 1000).Region()}
	cut := plain
	cut.Sections = []geom.Bounds{
		{Min: geom.Point{X: 900}, Max: geom.Point{X: 1800, Y: 1000}}, {Max: geom.Point{X: 900, Y: 1000}},
	}
	for _, technique := range []string{"sponging-off", "rag-rolling", "two-tone-sponge-blend"} {
		f := planned(t, cut, recipe(technique, ""))
		last := 0
		for _, s := range f.Strokes() {
			n := cut.section(s)
			if n < last {
				t.Fatalf("%s: a stroke of section %d after section %d", technique, n, last)
			}
			last = n
		}
		if last != 1 {
			t.Errorf("%s: the second section is not worked", technique)
		}
		// cut into sections, the wall has as much film at the seam as without
		seam := mean(f, 860, 100, 80, 800, 4) / mean(planned(t, plain, recipe(technique, "")), 860, 100, 80, 800, 4)
		if math.Abs(seam-1) > 0.05 {
			t.Errorf("%s: film at the seam is %.3f of what it is without one", technique, seam)
		}
	}
}

func TestDistanceToTheEdge(t *testing.T) {
	p := wall(t)
	e := newEdges(p.Region)
	outline := geom.Polygon{{X: 0, Y: 0}, {X: 800, Y: 0}, {X: 800, Y: 700}, {X: 1150, Y: 700}, {X: 1150, Y: 0}, {X: 1400, Y: 0}, {X: 1400, Y: 1200}, {X: 0, Y: 1200}}
	for x := 13.0; x < 1400; x += 37 {
		for y := 11.0; y < 1200; y += 41 {
			at, want := geom.Point{X: x, Y: y}, math.Inf(1)
			for n, a := range outline {
				b := outline[(n+1)%len(outline)]
				dx, dy := b.X-a.X, b.Y-a.Y
				along := min(max(((x-a.X)*dx+(y-a.Y)*dy)/(dx*dx+dy*dy), 0), 1)
				want = min(want, math.Hypot(x-a.X-along*dx, y-a.Y-along*dy))
			}
			if !p.Region.Contains(at) {
				want = 0
			}
			// steps of 45 degrees are up to 8 % too long, and a cell is 10 mm
			if got := e.distance(at); got < want-edgeCell-1 || got > 1.09*want+edgeCell {
				t.Errorf("%v is %v mm from the edge, want %v", at, got, want)
			}
		}
	}
}

func TestPartOfADiscBeyondALine(t *testing.T) {
	for _, over := range []float64{-60, -50, -20, 0, 30, 50, 70} {
		var past, all float64
		for x := -49.5; x < 50; x++ {
			for y := -49.5; y < 50; y++ {
				if x*x+y*y < 2500 {
					all++
					if x < over {
						past++
					}
				}
			}
		}
		if got := beyond(over, 50); math.Abs(got-past/all) > 0.005 {
			t.Errorf("%v of the disc lies past a line %v mm over its middle, want %v", got, over, past/all)
		}
	}
}

func TestTwoTonesShareTheWall(t *testing.T) {
	for seed := uint64(1); seed <= 4; seed++ {
		pure := map[string]float64{} // part of the wall that is nearly of one tone
		for _, variation := range []string{"", "soft"} {
			p := Panel{Seed: seed, Region: geom.Rect(0, 0, 3600, 2500).Region()}
			f := planned(t, p, recipe("two-tone-sponge-blend", variation))
			tile := Grid(0, 0, 450, 312, 8)
			f.Fill(tile)
			var light, dark int
			for _, v := range tile.Second {
				switch {
				case v < 0 || v > 1:
					t.Fatalf("a share of %v", v)
				case v < 0.25:
					light++
				case v > 0.75:
					dark++
				}
			}
			n := float64(len(tile.Second))
			if got := total(tile.Second) / n; math.Abs(got-0.5) > 0.03 {
				t.Errorf("seed %d %s: the darker glaze has %.3f of the film, want half", seed, variation, got)
			}
			if l, d := float64(light)/n, float64(dark)/n; l < 0.1 || d < 0.1 || l+d > 0.85 {
				t.Errorf("seed %d %s: %.2f of the wall is light and %.2f dark: no two tones, or not merged", seed, variation, l, d)
			}
			pure[variation] = float64(light+dark) / n
			if !f.Mixed() || !f.HasSecond() {
				t.Error("the second plane is not told to be a share")
			}
		}
		if pure["soft"] > 0.8*pure[""] {
			t.Errorf("seed %d: %.2f of the wall is of one tone, softened still %.2f", seed, pure[""], pure["soft"])
		}
	}
	// the ledger counts the one film: 68 um on 9 m2 are 612 mL
	p := Panel{Seed: 1, Region: geom.Rect(0, 0, 3600, 2500).Region()}
	if l := planned(t, p, recipe("two-tone-sponge-blend", "")).Ledger(10); math.Abs(l.Laid-612) > 6 {
		t.Errorf("laid %v mL, want 612", l.Laid)
	}
}
