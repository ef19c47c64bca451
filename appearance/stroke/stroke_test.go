package stroke

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"
	"testing"

	"scumble/geom"
)

// wall is a panel of the tests with a door in it, 1.4 by 1.2 m.
func wall(t testing.TB) Panel {
	region, err := geom.NewRegion(geom.Polygon{
		{X: 0, Y: 0}, {X: 800, Y: 0}, {X: 800, Y: 700}, {X: 1150, Y: 700}, {X: 1150, Y: 0}, {X: 1400, Y: 0}, {X: 1400, Y: 1200}, {X: 0, Y: 1200}})
	if err != nil {
		t.Fatal(err)
	}
	return furnished(region)
}

// furnished sets out all that any technique asks of a panel.
func furnished(region geom.Region) Panel {
	box := region.Bounds()
	p := Panel{Seed: 20, Region: region, Sheet: Sheet{Width: 508, Height: 762, Overlap: 20}}
	for x := box.Min.X + 280; x < box.Max.X; x += 280 {
		p.Joints = append(p.Joints, geom.Segment{A: geom.Point{X: x, Y: box.Min.Y}, B: geom.Point{X: x, Y: box.Max.Y}})
	}
	for y, n := box.Max.Y, 0; y > box.Min.Y; y, n = y-100, n+1 {
		p.Rows = append(p.Rows, Row{Y0: y - 100, Y1: y, Start: box.Min.X - float64(n%2)*100, Motif: 200})
	}
	for x := box.Min.X; x < box.Max.X; x += 700 {
		for y := box.Max.Y; y > box.Min.Y; y -= 600 {
			p.Sections = append(p.Sections, geom.Bounds{Min: geom.Point{X: x, Y: max(box.Min.Y, y-600)}, Max: geom.Point{X: min(box.Max.X, x+700), Y: y}})
		}
	}
	return p
}

// recipe is a technique as tried, lifting the middle of what it may.
func recipe(technique, variation string) Recipe {
	tried := trials[technique]
	return Recipe{Technique: technique, Variation: variation, Laid: [2]float64{68, 68}, Lifted: (tried.low + tried.high) / 2, Figures: tried.figures}
}

func planned(t testing.TB, p Panel, r Recipe) *Film {
	t.Helper()
	f, err := New(p, r)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// everyWay runs a test for every technique and variation.
func everyWay(t *testing.T, test func(t *testing.T, technique, variation string)) {
	for _, technique := range Techniques() {
		tried, ok := trials[technique]
		if !ok {
			t.Errorf("%s has no trial; add its figures to recipes_test.go", technique)
			continue
		}
		for _, variation := range append([]string{""}, tried.variations...) {
			t.Run(strings.TrimSuffix(technique+"/"+variation, "/"), func(t *testing.T) {
				t.Parallel()
				test(t, technique, variation)
			})
		}
	}
}

// planes are the films and the relief of a tile.
func planes(t *Tile) [][]float32 { return [][]float32{t.First, t.Second, t.Relief} }

// sameAt checks that a tile shows what a larger one shows in the same places, byte for byte.
func sameAt(t *testing.T, what string, part, whole *Tile) {
	t.Helper()
	for k, plane := range planes(part) {
		of := planes(whole)[k]
		if (len(plane) == 0) != (len(of) == 0) {
			t.Fatalf("%s: one tile has a plane %d and the other has none", what, k)
		}
		for n := range plane {
			x, y := part.X[n%len(part.X)], part.Y[n/len(part.X)]
			i, okX := slices.BinarySearch(whole.X, x)
			j, okY := slices.BinarySearch(whole.Y, y)
			if !okX || !okY {
				t.Fatalf("%s: place %v %v is not in the larger tile", what, x, y)
			}
			if got, want := plane[n], of[j*len(whole.X)+i]; math.Float32bits(got) != math.Float32bits(want) {
				t.Fatalf("%s: plane %d at %v %v mm is %v, want %v", what, k, x, y, got, want)
			}
		}
	}
}

// every is a tile of every so many columns and rows of another.
func every(of *Tile, columns, rows int) *Tile {
	t := &Tile{Pitch: of.Pitch}
	for i := 1; i < len(of.X); i += columns + i%3 {
		t.X = append(t.X, of.X[i])
	}
	for j := 2; j < len(of.Y); j += rows + j%2 {
		t.Y = append(t.Y, of.Y[j])
	}
	return t
}

func TestSameFilmThroughEveryTile(t *testing.T) {
	p := wall(t)
	everyWay(t, func(t *testing.T, technique, variation string) {
		f := planned(t, p, recipe(technique, variation))
		const pitch, wide, high = 4, 350, 300
		whole := Grid(0, 0, wide, high, pitch)
		f.Fill(whole)
		var wait sync.WaitGroup
		var tiles []*Tile
		for j := high - 90; j > -90; j -= 90 { // from the top, in columns of odd width
			for i := 0; i < wide; i += 47 {
				tiles = append(tiles, Grid(i, max(0, j), min(47, wide-i), 90+min(0, j), pitch))
			}
		}
		for _, tile := range tiles {
			wait.Go(func() { f.Fill(tile) })
		}
		wait.Wait()
		for _, tile := range tiles {
			sameAt(t, "a tile filled beside others", tile, whole)
		}
		sparse := every(whole, 5, 7)
		f.Fill(sparse)
		sameAt(t, "places unevenly apart", sparse, whole)
		used := tiles[3] // a tile may be filled again, by another film too
		planned(t, p, recipe(technique, variation)).Fill(used)
		sameAt(t, "planned and filled again", used, whole)
		single := &Tile{X: whole.X[211:212], Y: whole.Y[87:88], Pitch: pitch}
		f.Fill(single)
		sameAt(t, "a single place", single, whole)
	})
}

func TestFilmIsNeverNegative(t *testing.T) {
	p := wall(t)
	everyWay(t, func(t *testing.T, technique, variation string) {
		for _, contrast := range []float64{0.3, 1, 2.5} {
			r := recipe(technique, variation)
			r.Contrast = contrast
			f := planned(t, p, r)
			tile := Grid(0, 0, 280, 240, 5)
			f.Fill(tile)
			for k, plane := range planes(tile) {
				for n, v := range plane {
					if !(v >= 0) || math.IsInf(float64(v), 0) {
						t.Fatalf("contrast %v: plane %d at %v %v mm is %v", contrast, k, tile.X[n%280], tile.Y[n/280], v)
					}
				}
			}
		}
	})
}

func TestLedgerBalances(t *testing.T) {
	p := wall(t)
	everyWay(t, func(t *testing.T, technique, variation string) {
		f := planned(t, p, recipe(technique, variation))
		const pitch = 4
		l := f.Ledger(pitch)
		if l.Laid <= 0 {
			t.Fatalf("laid %v mL", l.Laid)
		}
		if off := l.Laid - l.Taken + l.PutBack - l.Left; math.Abs(off) > 1e-6*l.Laid {
			t.Errorf("laid %v - taken %v + put back %v is not left %v mL: off by %v", l.Laid, l.Taken, l.PutBack, l.Left, off)
		}
		if !trials[technique].adds && l.PutBack > l.Taken {
			t.Errorf("put back %v mL but took only %v", l.PutBack, l.Taken)
		}
		if want := recipe(technique, variation).Lifted; math.Abs(l.Share()-want) > 0.01 {
			t.Errorf("carried away %.4f of the laid film, want %.4f", l.Share(), want)
		}
		// The film left, added up without the ledger: other tiles, and Contains for the wall.
		var left, area float64
		for i := 0; i < 350; i += 70 {
			tile := Grid(i, 0, 70, 300, pitch)
			f.Fill(tile)
			for n, v := range tile.First {
				if !p.Region.Contains(geom.Point{X: float64(tile.X[n%70]), Y: float64(tile.Y[n/70])}) {
					continue
				}
				left += float64(v)
				area++
				if f.HasSecond() && !f.Mixed() {
					left += float64(tile.Second[n])
				}
			}
		}
		left, area = left*pitch*pitch*1e-6, area*pitch*pitch*1e-6
		if math.Abs(left-l.Left) > 1e-6*left || math.Abs(area-l.Area) > 1e-9 || math.Abs(area-p.Region.Area()/1e6) > 0.005*area {
			t.Errorf("left %v mL on %v m2, the ledger says %v on %v", left, area, l.Left, l.Area)
		}
	})
}

func TestLiftsWhatIsAsked(t *testing.T) {
	p := wall(t)
	everyWay(t, func(t *testing.T, technique, variation string) {
		for _, want := range []float64{trials[technique].low, trials[technique].high} {
			r := recipe(technique, variation)
			r.Lifted = want
			if got := planned(t, p, r).Ledger(4).Share(); math.Abs(got-want) > 0.01 {
				t.Errorf("carried away %.4f of the laid film, want %.4f", got, want)
			}
		}
	})
}

// mean is the mean film over a stretch of wall, um.
func mean(f *Film, x, y, wide, high, pitch float64) float64 {
	tile := Grid(int(math.Round(x/pitch)), int(math.Round(y/pitch)), int(math.Round(wide/pitch)), int(math.Round(high/pitch)), pitch)
	f.Fill(tile)
	var sum float64
	for n, v := range tile.First {
		sum += float64(v)
		if f.HasSecond() && !f.Mixed() {
			sum += float64(tile.Second[n])
		}
	}
	return sum / float64(len(tile.First))
}

func TestMeanFilmAgreesAtEveryScale(t *testing.T) {
	p := wall(t)
	everyWay(t, func(t *testing.T, technique, variation string) {
		f := planned(t, p, recipe(technique, variation))
		fine := mean(f, 80, 720, 400, 400, 1)
		for _, pitch := range []float64{0.5, 2, 4} {
			if got := mean(f, 80, 720, 400, 400, pitch); math.Abs(got-fine) > 0.01*fine {
				t.Errorf("%.3f um at a pitch of %v mm, %.3f at 1 mm", got, pitch, fine)
			}
		}
		near, nearer := mean(f, 240, 760, 80, 80, 0.5), mean(f, 240, 760, 80, 80, 0.25)
		if math.Abs(near-nearer) > 0.01*near {
			t.Errorf("%.3f um at a pitch of 0.25 mm, %.3f at 0.5 mm", nearer, near)
		}
	})
}

func TestLapAddsFilmAtTheJoint(t *testing.T) {
	everyWay(t, func(t *testing.T, technique, variation string) {
		p := wall(t)
		plain := planned(t, p, recipe(technique, variation))
		p.Laps = []geom.Segment{{A: geom.Point{X: 500}, B: geom.Point{X: 500, Y: 1200}}}
		lapped := planned(t, p, recipe(technique, variation))
		gain := func(x, wide float64) float64 {
			return mean(lapped, x, 0, wide, 1200, 4) / mean(plain, x, 0, wide, 1200, 4)
		}
		if g := gain(492, 16); g < 1.15 {
			t.Errorf("film at the lap is %.3f of what it was", g)
		}
		if g := gain(100, 200); math.Abs(g-1) > 0.05 {
			t.Errorf("film away from the lap is %.3f of what it was", g)
		}
	})
}

func TestSeedsAndVariationsDiffer(t *testing.T) {
	p := wall(t)
	everyWay(t, func(t *testing.T, technique, variation string) {
		film := func(p Panel, r Recipe) []float32 {
			tile := Grid(100, 100, 60, 60, 4)
			planned(t, p, r).Fill(tile)
			return append(slices.Clone(tile.First), tile.Second...)
		}
		own := film(p, recipe(technique, variation))
		other := p
		other.Seed++
		if slices.Equal(own, film(other, recipe(technique, variation))) {
			t.Error("another seed gives the same film")
		}
		if variation != "" && slices.Equal(own, film(p, recipe(technique, ""))) {
			t.Error("the variation gives the film of the plain way")
		}
	})
}

func TestRefusals(t *testing.T) {
	p := wall(t)
	if _, err := New(p, Recipe{Technique: "gilding"}); err == nil || !strings.Contains(err.Error(), "gilding") || !strings.Contains(err.Error(), "dragging") {
		t.Errorf("an unknown technique gives %v", err)
	}
	everyWay(t, func(t *testing.T, technique, variation string) {
		bare := recipe(technique, variation)
		bare.Figures = nil
		_, err := New(p, bare)
		if err == nil {
			t.Fatal("no error without figures")
		}
		// Each figure the error names is needed on its own, and no other.
		for name := range trials[technique].figures {
			r := recipe(technique, variation)
			r.Figures = map[string]float64{}
			for k, v := range trials[technique].figures {
				r.Figures[k] = v
			}
			r.Figures[name] = math.NaN()
			_, one := New(p, r)
			if named := slices.Contains(strings.FieldsFunc(err.Error(), func(c rune) bool { return c == ' ' || c == ',' }), name); named != (one != nil) {
				t.Errorf("%s named in %q: %v, but a bad one gives %v", name, err, named, one)
			}
			if one != nil && !strings.Contains(one.Error(), name) {
				t.Errorf("a bad %s gives %v", name, one)
			}
		}
	})
}

func TestStrokesStayInReach(t *testing.T) {
	p := wall(t)
	everyWay(t, func(t *testing.T, technique, variation string) {
		f := planned(t, p, recipe(technique, variation))
		// Every change must lie within the reach of the stroke that made it.
		tile := Grid(0, 0, 280, 240, 5)
		before := make([][]float32, 2)
		f.fill(tile, f.press, func(tile *Tile, s *Stroke) {
			for k, plane := range [][]float32{tile.First, tile.Second} {
				if before[k] == nil {
					before[k] = make([]float32, len(plane))
				}
				for n, v := range plane {
					x, y := float64(tile.X[n%280]), float64(tile.Y[n/280])
					out := s != nil && (x < s.Reach.Min.X-0.01 || x > s.Reach.Max.X+0.01 || y < s.Reach.Min.Y-0.01 || y > s.Reach.Max.Y+0.01)
					if out && v != before[k][n] {
						t.Fatalf("a stroke from %v to %v with reach %v changed plane %d at %v %v", s.From, s.To, s.Reach, k, x, y)
					}
				}
				copy(before[k], plane)
			}
		})
	})
}

func BenchmarkFill(b *testing.B) {
	p := furnished(geom.Rect(0, 0, 5000, 2400).Region())
	for _, technique := range Techniques() {
		for _, variation := range append([]string{""}, trials[technique].variations...) {
			f := planned(b, p, recipe(technique, variation))
			b.Run(fmt.Sprintf("%s/%s", technique, variation), func(b *testing.B) {
				tile := Grid(700, 1200, 1024, 64, 1)
				for b.Loop() {
					f.Fill(tile)
				}
				b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(len(tile.First)), "ns/place")
			})
		}
	}
}

func BenchmarkPlan(b *testing.B) {
	p := furnished(geom.Rect(0, 0, 5000, 2400).Region())
	for _, technique := range Techniques() {
		for _, variation := range append([]string{""}, trials[technique].variations...) {
			b.Run(fmt.Sprintf("%s/%s", technique, variation), func(b *testing.B) {
				for b.Loop() {
					planned(b, p, recipe(technique, variation))
				}
			})
		}
	}
}
