package geom

import (
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"
)

func close6(a, b float64) bool { return math.Abs(a-b) <= 1e-6*max(math.Abs(a), math.Abs(b), 1) }

func must(t testing.TB, r Region, err error) Region {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func (w wall) region(t testing.TB) Region {
	t.Helper()
	r, err := NewRegion(w.outer, w.holes...)
	return must(t, r, err)
}

func TestRectFigures(t *testing.T) {
	wall := Rect(0, 0, 5000, 2500)
	r, err := NewRegion(wall, Rect(1000, 0, 900, 2000), Rect(2500, 900, 1200, 1000))
	must(t, r, err)
	// 5 x 2.5 - 0.9 x 2 - 1.2 x 1 = 9.5 m2, by hand.
	if got := r.AreaM2(); got != 9.5 {
		t.Errorf("area %v, want 9.5 m2", got)
	}
	if got := r.Perimeter(); got != 15000-900+4900+4400 { // round the door, not along its threshold
		t.Errorf("perimeter %v", got)
	}
	if b := r.Bounds(); b != (Bounds{Point{0, 0}, Point{5000, 2500}}) || b.Width() != 5000 || b.Height() != 2500 {
		t.Errorf("bounds %v", b)
	}
	for p, want := range map[Point]bool{{500, 500}: true, {1400, 1000}: false, {1000, 500}: true, {0, 0}: true, {-1, 0}: false, {3000, 1500}: false, {3000, 2000}: true, {6000, 1000}: false} {
		if r.Contains(p) != want {
			t.Errorf("Contains(%v) = %v", p, !want)
		}
	}
	for x, want := range map[float64][][2]float64{500: {{0, 2500}}, 1400: {{2000, 2500}}, 3000: {{0, 900}, {1900, 2500}}, 1000: {{2000, 2500}}, 1900: {{0, 2500}}, 5000: {{0, 2500}}, 5001: nil, -1: nil} {
		if got := r.SpanAt(x); !reflect.DeepEqual(got, want) {
			t.Errorf("SpanAt(%v) = %v, want %v", x, got, want)
		}
	}
	// Above a reach of 2 m: 5 x 0.5 m.
	if got := CutArea(r, 2000, math.Inf(1)); got != 2.5e6 {
		t.Errorf("above reach %v", got)
	}
	if got := Cut(r, 2000, math.Inf(1)).Area(); got != 2.5e6 {
		t.Errorf("above reach %v as outline", got)
	}
	// The strip from 1500 to 3000: 1.5 x 2.5 - 0.4 x 2 - 0.5 x 1 = 2.45 m2.
	if got := BandArea(r, 1500, 3000); got != 2.45e6 {
		t.Errorf("strip %v", got)
	}
}

// The true areas are pi r^2 and, for the arch, jambs plus the circular segment
// r^2 (angle - sin angle) / 2.
func TestRoundShapes(t *testing.T) {
	for _, r := range []float64{5, 150, 450, 3000} {
		for _, tolerance := range []float64{0.1, 0.5, 2} {
			c := Point{1000, 1200}
			p := Circle(c, r, tolerance)
			if !close6(p.Area(), math.Pi*r*r) {
				t.Errorf("circle %v: area %v, want %v", r, p.Area(), math.Pi*r*r)
			}
			for i := range p {
				for share := 0.0; share < 1; share += 0.25 {
					if off := math.Abs(p.Edge(i).At(share).To(c) - r); off > tolerance {
						t.Fatalf("circle %v leaves the true one by %v, more than %v", r, off, tolerance)
					}
				}
			}
		}
	}
	for _, a := range []struct{ w, h, rise float64 }{{900, 2100, 450}, {900, 2100, 100}, {2400, 2100, 300}, {900, 450, 450}, {60, 900, 30}} {
		p := Arch(100, 0, a.w, a.h, a.rise, 0.5)
		if err := Simple(p); err != nil {
			t.Errorf("arch %v: %v", a, err)
		}
		r := (a.w*a.w/4 + a.rise*a.rise) / (2 * a.rise)
		angle := 2 * math.Asin(a.w/2/r)
		want := a.w*(a.h-a.rise) + r*r*(angle-math.Sin(angle))/2
		if !close6(p.Area(), want) {
			t.Errorf("arch %v: area %v, want %v", a, p.Area(), want)
		}
		if b := p.Bounds(); b.Min.X != 100 || b.Max.X > 100+a.w+0.5 || b.Min.Y != 0 || math.Abs(b.Max.Y-a.h) > 0.5 {
			t.Errorf("arch %v: bounds %v", a, b)
		}
		for i := range p {
			if q := p.Edge(i).At(0.5); q.Y > a.h-a.rise+1 {
				if off := math.Abs(q.To(Point{100 + a.w/2, a.h - r}) - r); off > 0.5 {
					t.Errorf("arch %v leaves the true one by %v", a, off)
				}
			}
		}
	}
	// A hexagon of radius 1 has the area 3 sqrt(3) / 2.
	if got := RegularPolygon(Point{}, 1, 6, 0.3).Area(); !close6(got, 3*math.Sqrt(3)/2) {
		t.Errorf("hexagon %v", got)
	}
	for _, p := range []Polygon{Rect(0, 0, 0, 5), Rect(0, 0, -1, 5), Rect(0, 0, math.NaN(), 5), Rect(math.Inf(1), 0, 1, 1), Circle(Point{}, 0, 1), Circle(Point{}, 5, 0),
		Circle(Point{}, math.Inf(1), 1), Arch(0, 0, 900, 2000, 500, 1), Arch(0, 0, 900, 100, 200, 1), Arch(0, 0, 900, 2000, 0, 1), RegularPolygon(Point{}, 1, 2, 0), RegularPolygon(Point{}, math.NaN(), 5, 0)} {
		if p != nil {
			t.Errorf("a shape without sense gave %v", p)
		}
	}
}

func TestSimpleNamesTheSides(t *testing.T) {
	for _, c := range []struct {
		p    Polygon
		want string
	}{
		{Polygon{{0, 0}, {10, 10}, {10, 0}, {0, 10}}, "side 1, (0, 0) to (10, 10), crosses or touches side 3, (10, 0) to (0, 10)"},
		{Polygon{{0, 0}, {10, 0}}, "needs 3 corners or more and this has 2"},
		{Polygon{{0, 0}, {10, 0}, {10, 0}, {0, 10}}, "corners 2 and 3 are both at (10, 0)"},
		{Polygon{{0, 0}, {10, 0}, {0, 10}, {0, 0}}, "corners 4 and 1"},
		{Polygon{{0, 0}, {10, 0}, {math.NaN(), 10}}, "corner 3"},
		{Polygon{{0, 0}, {10, 0}, {math.Inf(1), 10}}, "corner 3"},
		{Polygon{{0, 0}, {10, 0}, {5, 0}}, "turns back"},
		{Polygon{{0, 0}, {10, 0}, {10, 10}, {5, 0}, {0, 10}}, "side 1, (0, 0) to (10, 0), crosses or touches side 3"},
		{Polygon{{0, 0}, {10, 0}, {10, 10}, {5, Near / 2}, {0, 10}}, "side 1, (0, 0) to (10, 0), crosses or touches side 3"},
	} {
		if err := Simple(c.p); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("Simple(%v): %v; want %q in it", c.p, err, c.want)
		}
	}
	for _, p := range []Polygon{Rect(0, 0, 10, 10), {{0, 0}, {5, 0}, {10, 0}, {10, 10}}, {{0, 0}, {0, 10}, {10, 0}}, Circle(Point{}, 500, 0.1)} {
		if err := Simple(p); err != nil {
			t.Errorf("Simple(%v): %v", p, err)
		}
	}
}

func TestNewRegionRefuses(t *testing.T) {
	wall := Rect(0, 0, 5000, 2500)
	for _, c := range []struct {
		holes []Polygon
		want  string
	}{
		{[]Polygon{Rect(4500, 500, 900, 900)}, "opening 1: does not lie within"},
		{[]Polygon{Rect(6000, 500, 900, 900)}, "opening 1: does not lie within"},
		{[]Polygon{Rect(-100, -100, 9000, 9000)}, "opening 1: does not lie within"},
		{[]Polygon{Rect(500, 500, 900, 900), Rect(1300, 600, 900, 300)}, "opening 2: overlaps opening 1"},
		{[]Polygon{Rect(500, 500, 900, 900), Rect(600, 600, 100, 100)}, "opening 2: overlaps opening 1"},
		{[]Polygon{Rect(500, 500, 900, 900), Rect(500, 500, 900, 900)}, "opening 2: overlaps opening 1"},
		{[]Polygon{nil}, "opening 1: an outline needs 3"},
	} {
		if r, err := NewRegion(wall, c.holes...); r != nil || err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("openings %v: %v; want %q", c.holes, err, c.want)
		}
	}
	if _, err := NewRegion(Polygon{{0, 0}, {1, 1}}); err == nil || !strings.HasPrefix(err.Error(), "outline:") {
		t.Errorf("two corners: %v", err)
	}
	// Doors on the floor and openings side by side are allowed.
	r, err := NewRegion(wall, Rect(0, 0, 900, 2000), Rect(900, 0, 900, 2000), Rect(1000, 2000, 400, 500))
	if must(t, r, err); r.AreaM2() != 12.5-3.6-0.2 {
		t.Errorf("touching openings: %v", r.AreaM2())
	}
}

func TestOverlapAndInside(t *testing.T) {
	square := Rect(0, 0, 100, 100)
	ell := Polygon{{0, 0}, {100, 0}, {100, 40}, {40, 40}, {40, 100}, {0, 100}}
	for _, c := range []struct {
		name            string
		a, b            Polygon
		overlap, inside bool // inside: a within b
	}{
		{"same", square, square, true, true},
		{"beside", Rect(100, 0, 50, 100), square, false, false},
		{"corner", Rect(100, 100, 50, 50), square, false, false},
		{"apart", Rect(300, 0, 50, 100), square, false, false},
		{"shared edge within", Rect(0, 0, 50, 100), square, true, true},
		{"within", Rect(10, 10, 20, 20), square, true, true},
		{"round it", Rect(-10, -10, 200, 200), square, true, false},
		{"diamond on the edges", Polygon{{50, 0}, {100, 50}, {50, 100}, {0, 50}}, square, true, true},
		{"plus", Rect(-10, 40, 120, 20), square, true, false},
		{"over by a hair", Rect(99.9995, 0, 50, 100), square, false, false},
		{"over by a tenth", Rect(99.9, 0, 50, 100), square, true, false},
		{"in the crook", Rect(40, 40, 60, 60), ell, false, false},
		{"across the crook", Rect(30, 30, 60, 60), ell, true, false},
		{"across, all corners in", Polygon{{10, 90}, {10, 10}, {90, 10}}, ell, true, false},
		{"backwards", Polygon{{10, 10}, {10, 30}, {30, 30}, {30, 10}}, square, true, true},
		{"none", nil, square, false, false},
	} {
		if got := Overlap(c.a, c.b); got != c.overlap {
			t.Errorf("%s: Overlap = %v", c.name, got)
		}
		if got := Overlap(c.b, c.a); got != c.overlap {
			t.Errorf("%s: Overlap the other way = %v", c.name, got)
		}
		if got := Inside(c.a, c.b); got != c.inside {
			t.Errorf("%s: Inside = %v", c.name, got)
		}
	}
}

func TestSegmentWithin(t *testing.T) {
	r, err := NewRegion(Rect(0, 0, 5000, 2500), Rect(1000, 0, 900, 2000), Rect(2500, 900, 1200, 1000))
	must(t, r, err)
	for _, c := range []struct {
		s    Segment
		want []Segment
	}{
		{Segment{Point{3000, -100}, Point{3000, 9000}}, []Segment{{Point{3000, 0}, Point{3000, 900}}, {Point{3000, 1900}, Point{3000, 2500}}}},
		{Segment{Point{3000, 9000}, Point{3000, -100}}, []Segment{{Point{3000, 2500}, Point{3000, 1900}}, {Point{3000, 900}, Point{3000, 0}}}},
		{Segment{Point{500, 100}, Point{500, 200}}, []Segment{{Point{500, 100}, Point{500, 200}}}},
		{Segment{Point{1000, 0}, Point{1000, 2500}}, []Segment{{Point{1000, 0}, Point{1000, 2500}}}}, // along a jamb
		{Segment{Point{1400, 100}, Point{1400, 200}}, nil},
		{Segment{Point{1400, 100}, Point{1400, 100}}, nil},
		{Segment{Point{math.NaN(), 100}, Point{1400, 100}}, nil},
	} {
		got := c.s.Within(r)
		same := slices.EqualFunc(got, c.want, func(a, b Segment) bool { return a.A.To(b.A) < 1e-9 && a.B.To(b.B) < 1e-9 })
		if !same {
			t.Errorf("%v within: %v, want %v", c.s, got, c.want)
		}
	}
}

// A U clipped across its arms comes apart, and an opening on the cut joins the outline.
func TestClipMakesCleanParts(t *testing.T) {
	u := Polygon{{0, 0}, {300, 0}, {300, 300}, {200, 300}, {200, 100}, {100, 100}, {100, 300}, {0, 300}}.Region()
	want := Region{{Outer: Polygon{{300, 150}, {300, 300}, {200, 300}, {200, 150}}}, {Outer: Polygon{{100, 150}, {100, 300}, {0, 300}, {0, 150}}}}
	if got := Cut(u, 150, math.Inf(1)); !reflect.DeepEqual(got, want) {
		t.Errorf("arms of a U: %v", got)
	}
	// A notch whose tip lies on the cut parts the strip in two.
	vee := Polygon{{0, 0}, {200, 0}, {200, 200}, {100, 100}, {0, 200}}.Region()
	if got := Cut(vee, 100, 300); len(got) != 2 || got.Area() != 10000 {
		t.Errorf("above the tip of a V: %v", got)
	}
	r, err := NewRegion(Rect(0, 0, 400, 300), Rect(100, 100, 100, 100), Rect(250, 100, 50, 50))
	must(t, r, err)
	if got := ClipBand(r, 150, 400); len(got) != 1 || len(got[0].Holes) != 1 || len(got[0].Outer) != 8 {
		t.Errorf("cut through the first opening: %v", got)
	}
	if got := ClipBand(r, 120, 180); len(got) != 2 {
		t.Errorf("strip across an opening: %v", got)
	}
	// A round light that only touches the cut stays an opening.
	d, err := NewRegion(Rect(0, 0, 400, 300), Polygon{{100, 150}, {150, 100}, {200, 150}, {150, 200}})
	must(t, d, err)
	if got := ClipBand(d, 100, 300); len(got) != 1 || len(got[0].Holes) != 1 || got.Area() != 60000-5000 {
		t.Errorf("opening touching the cut: %v", got)
	}
	// Edges on the cut: nothing is lost, nothing gained.
	if got := ClipBand(d, 0, 400); !close6(got.Area(), d.Area()) {
		t.Errorf("clip at the ends: %v", got)
	}
	if got := ClipBand(d, 400, 500); got != nil {
		t.Errorf("beside the wall: %v", got)
	}
}

// Every part a clip or a set operation returns must be a clean outline again.
func checkClean(t *testing.T, what string, r Region) {
	t.Helper()
	for _, part := range r {
		if err := Simple(part.Outer); err != nil {
			t.Errorf("%s: %v", what, err)
		}
		for _, hole := range part.Holes {
			if !Inside(hole, part.Outer) {
				t.Errorf("%s: opening %v outside its outline", what, hole)
			}
		}
	}
}

func TestBandsPartitionWalls(t *testing.T) {
	for seed := range uint64(200) {
		r := randomWall(seed).region(t)
		b, n := r.Bounds(), 3+int(seed%17)
		sum, clipped, left := 0.0, 0.0, 0.0
		for i := range n {
			x0, x1 := b.Min.X+b.Width()*float64(i)/float64(n), b.Min.X+b.Width()*float64(i+1)/float64(n)
			if i == n-1 {
				x1 = b.Max.X
			}
			band, piece := BandArea(r, x0, x1), ClipBand(r, x0, x1)
			checkClean(t, "band", piece)
			if !close6(band, piece.Area()) {
				t.Errorf("wall %d band %d: %v by sums, %v by outline", seed, i, band, piece.Area())
			}
			quad, err := ClipConvex(r, Rect(x0, b.Min.Y-10, x1-x0, b.Height()+20))
			if must(t, quad, err); !close6(quad.Area(), band) {
				t.Errorf("wall %d band %d: %v by sums, %v by quad", seed, i, band, quad.Area())
			}
			sum, clipped = sum+band, clipped+piece.Area()
			left += CutArea(piece, b.Min.Y, b.Min.Y+b.Height()/3) + CutArea(piece, b.Min.Y+b.Height()/3, b.Max.Y)
		}
		if !close6(sum, r.Area()) || !close6(clipped, r.Area()) || !close6(left, r.Area()) {
			t.Errorf("wall %d: bands %v, outlines %v, cut bands %v, whole %v", seed, sum, clipped, left, r.Area())
		}
	}
}

func TestLeaningStripsPartitionWalls(t *testing.T) {
	for seed := range uint64(100) {
		r := randomWall(seed).region(t)
		b := r.Bounds()
		lean := float64(seed) - 50
		sum := 0.0
		for i := -1; i < 9; i++ {
			x := b.Min.X + b.Width()*float64(i)/8
			w := b.Width() / 8
			got, err := ClipConvex(r, Polygon{{x, b.Min.Y}, {x + w, b.Min.Y}, {x + w + lean, b.Max.Y}, {x + lean, b.Max.Y}})
			checkClean(t, "leaning strip", must(t, got, err))
			sum += got.Area()
		}
		if !close6(sum, r.Area()) {
			t.Errorf("wall %d lean %v: strips %v, whole %v", seed, lean, sum, r.Area())
		}
	}
	if _, err := ClipConvex(Rect(0, 0, 9, 9).Region(), Polygon{{0, 0}, {9, 0}, {2, 2}, {0, 9}}); err == nil || !strings.Contains(err.Error(), "convex") {
		t.Errorf("a dart passed as convex: %v", err)
	}
}

func TestClipOrderDoesNotMatter(t *testing.T) {
	rnd := rand.New(rand.NewPCG(7, 7))
	for seed := range uint64(100) {
		r := randomWall(seed).region(t)
		b := r.Bounds()
		x0, y0 := b.Min.X+b.Width()*rnd.Float64()*0.6, b.Min.Y+b.Height()*rnd.Float64()*0.6
		x1, y1 := x0+b.Width()*0.3, y0+b.Height()*0.3
		p, q := Point{b.Min.X, b.Min.Y + 100}, Point{b.Max.X, b.Max.Y - 100}
		one := ClipLeft(Cut(ClipBand(r, x0, x1), y0, y1), p, q)
		two := ClipBand(Cut(ClipLeft(r, p, q), y0, y1), x0, x1)
		if !close6(one.Area(), two.Area()) {
			t.Errorf("wall %d: %v and %v", seed, one.Area(), two.Area())
		}
		if whole := ClipLeft(r, p, q).Area() + ClipLeft(r, q, p).Area(); !close6(whole, r.Area()) {
			t.Errorf("wall %d: halves %v, whole %v", seed, whole, r.Area())
		}
	}
}

// area(A-B) + area(A and B) = area(A); area(A or B) = area(A) + area(B) - area(A and B).
func TestSetOperationsAddUp(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 4))
	for seed := range uint64(150) {
		a := randomWall(seed).region(t)
		b := randomRing(rnd, 3+int(seed%12)).Region()
		if seed%3 == 0 { // whole figures and shared edges
			b = Rect(math.Round(a.Bounds().Width()/3), 0, 1000, math.Round(2500*rnd.Float64()+1)).Region()
		}
		cut, err := Subtract(a, b)
		must(t, cut, err)
		common, err := Intersect(a, b)
		must(t, common, err)
		all, err := Union(a, b)
		must(t, all, err)
		if !close6(cut.Area()+common.Area(), a.Area()) {
			t.Errorf("wall %d: left %v + common %v is not %v", seed, cut.Area(), common.Area(), a.Area())
		}
		if !close6(all.Area()+common.Area(), a.Area()+b.Area()) {
			t.Errorf("wall %d: all %v + common %v is not %v + %v", seed, all.Area(), common.Area(), a.Area(), b.Area())
		}
		again, err := Subtract(a, b)
		if must(t, again, err); !reflect.DeepEqual(again, cut) {
			t.Errorf("wall %d: the same subtraction gave another outline", seed)
		}
	}
}

func TestSubtractOpeningsLikeNewRegion(t *testing.T) {
	for seed := range uint64(60) {
		w := randomWall(seed)
		r := w.outer.Region()
		for _, hole := range w.holes {
			var err error
			r, err = Subtract(r, hole.Region())
			must(t, r, err)
		}
		if want := w.region(t).Area(); !close6(r.Area(), want) {
			t.Errorf("wall %d: %v one by one, %v at once", seed, r.Area(), want)
		}
	}
}

func TestInnerPointLiesInside(t *testing.T) {
	for seed := range uint64(100) {
		r := randomWall(seed).region(t)
		p, ok := r.InnerPoint()
		near := math.Inf(1)
		r.each(func(ring Polygon, _ float64) { near = min(near, ring.edgeDistance(p)) })
		if !ok || !r.Contains(p) || near < 1 {
			t.Errorf("wall %d: inner point %v, %v, %v mm from an edge", seed, p, ok, near)
		}
	}
	if _, ok := Region(nil).InnerPoint(); ok {
		t.Error("the empty region has an inner point")
	}
}

// Inputs stay as they were.
func TestNothingIsMutated(t *testing.T) {
	w := randomWall(5)
	r := w.region(t)
	same := randomWall(5)
	before := same.region(t)
	ClipBand(r, 100, 900)
	Cut(r, 100, 900)
	if _, err := ClipConvex(r, Rect(100, 100, 500, 500)); err != nil {
		t.Fatal(err)
	}
	if _, err := Subtract(r, Rect(100, 100, 500, 500).Region()); err != nil {
		t.Fatal(err)
	}
	w.outer.Moved(3, 4)
	if !reflect.DeepEqual(r, before) || !reflect.DeepEqual(w, same) {
		t.Error("an input was changed")
	}
}

// A level line through a region finds what an upright one finds in the region laid on
// its side.
func TestSpanAcross(t *testing.T) {
	lying := func(p Polygon) Polygon {
		out := make(Polygon, len(p))
		for i, q := range p {
			out[len(p)-1-i] = Point{X: q.Y, Y: q.X}
		}
		return out
	}
	outer, hole := Polygon{{0, 0}, {4000, 0}, {4000, 2500}, {2000, 3300}, {0, 2500}}, Rect(700, 400, 900, 1200)
	region, err := NewRegion(outer, hole)
	if err != nil {
		t.Fatal(err)
	}
	turned, err := NewRegion(lying(outer), lying(hole))
	if err != nil {
		t.Fatal(err)
	}
	for y := -100.0; y < 3400; y += 37 {
		got, want := region.SpanAcross(y), turned.SpanAt(y)
		same := len(got) == len(want)
		for i := 0; same && i < len(got); i++ {
			same = math.Abs(got[i][0]-want[i][0]) < 1e-9 && math.Abs(got[i][1]-want[i][1]) < 1e-9
		}
		if !same {
			t.Errorf("SpanAcross(%v) = %v, want %v", y, got, want)
		}
	}
	if got := region.SpanAcross(800); len(got) != 2 || got[0] != [2]float64{0, 700} {
		t.Errorf("beside a window: %v", got)
	}
}
