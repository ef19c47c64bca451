package geom

import (
	"encoding/binary"
	"math"
	"testing"
)

// pointsOf reads corners from bytes: small whole numbers, so that corners meet and
// lie in line often, with a rare figure that is no place at all.
func pointsOf(data []byte) Polygon {
	var p Polygon
	for ; len(data) >= 2 && len(p) < 40; data = data[2:] {
		q := Point{float64(data[0] % 16), float64(data[1] % 16)}
		switch data[0] {
		case 255:
			q.X = math.NaN()
		case 254:
			q.Y = math.Inf(1)
		case 253:
			q.X = 1e300
		case 252:
			q.X += 1e-4
		}
		p = append(p, q)
	}
	return p
}

// Nothing panics on any outline; on simple ones the clips also add up.
func FuzzClips(f *testing.F) {
	f.Add([]byte{0, 0, 10, 0, 10, 10, 0, 10}, []byte{2, 2, 4, 2, 4, 4, 2, 4}, int8(3), int8(7))
	f.Add([]byte{0, 0, 10, 10, 10, 0, 0, 10}, []byte{255, 2, 4, 254}, int8(3), int8(3))
	f.Add([]byte{0, 0, 5, 0, 5, 0, 5, 9, 252, 9}, []byte{}, int8(-3), int8(5))
	f.Fuzz(func(t *testing.T, a, b []byte, low, high int8) {
		outer, hole := pointsOf(a), pointsOf(b)
		x0, x1 := float64(low), float64(high)
		raw := Region{{Outer: outer, Holes: []Polygon{hole}}, {Outer: hole}, {}}
		raw.Area()
		raw.Perimeter()
		raw.Bounds()
		raw.Contains(Point{x0, x1})
		raw.SpanAt(x0)
		raw.InnerPoint()
		BandArea(raw, x0, x1)
		ClipBand(raw, x0, x1)
		Cut(raw, x1, x0)
		ClipLeft(raw, Point{x0, 0}, Point{x1, 5})
		Segment{Point{x0, 0}, Point{x1, 20}}.Within(raw)
		Overlap(outer, hole)
		Inside(outer, hole)
		if _, err := Subtract(outer.Region(), hole.Region()); err == nil && Simple(outer) == nil && Simple(hole) == nil {
			addUp(t, outer, hole)
		}
		if _, err := ClipConvex(raw, hole); err == nil && Simple(hole) != nil {
			t.Errorf("clipped by %v", hole)
		}
		r, err := NewRegion(outer, hole)
		if err != nil {
			if r, err = NewRegion(outer); err != nil {
				return
			}
		}
		parts := ClipBand(r, math.Inf(-1), x0).Area() + ClipBand(r, x0, math.Inf(1)).Area()
		sums := BandArea(r, math.Inf(-1), x0) + BandArea(r, x0, math.Inf(1))
		slack := hair*r.Perimeter() + 1e-9 // what moving a corner by a hair may cost
		if math.Abs(parts-r.Area()) > slack || math.Abs(sums-r.Area()) > 1e-9 {
			t.Errorf("%v cut at %v: outlines %v, sums %v, whole %v", r, x0, parts, sums, r.Area())
		}
		p, q := Point{x0, 0}, Point{x1, 15}
		if p != q {
			if halves := ClipLeft(r, p, q).Area() + ClipLeft(r, q, p).Area(); math.Abs(halves-r.Area()) > slack {
				t.Errorf("%v cut from %v to %v: halves %v, whole %v", r, p, q, halves, r.Area())
			}
		}
	})
}

func addUp(t *testing.T, a, b Polygon) {
	cut, err := Subtract(a.Region(), b.Region())
	if err != nil {
		t.Errorf("%v less %v: %v", a, b, err)
	}
	common, err := Intersect(a.Region(), b.Region())
	if err != nil {
		t.Errorf("%v and %v: %v", a, b, err)
	}
	if math.Abs(cut.Area()+common.Area()-a.Area()) > 1e-3 {
		t.Errorf("%v and %v: left %v + common %v is not %v", a, b, cut.Area(), common.Area(), a.Area())
	}
	// A common surface a micrometre deep is none to Overlap; these corners stand a tenth of that off.
	if common.Area() > 0.02 != Overlap(a, b) && (common.Area() > 0.02 || common.Area() < 1e-6) {
		t.Errorf("%v and %v: Overlap is %v, the common area %v", a, b, Overlap(a, b), common.Area())
	}
	if cut.Area() < 1e-6 != Inside(a, b) && (cut.Area() > 0.02 || cut.Area() < 1e-6) {
		t.Errorf("%v in %v: Inside is %v, outside it lies %v", a, b, Inside(a, b), cut.Area())
	}
}

func FuzzShapes(f *testing.F) {
	f.Add(binary.BigEndian.AppendUint64(nil, math.Float64bits(900)), 2100.0, 450.0, 0.5)
	f.Add([]byte{}, 0.0, math.Inf(1), 1e-300)
	f.Fuzz(func(t *testing.T, raw []byte, h, rise, tolerance float64) {
		w := 1.0
		if len(raw) >= 8 {
			w = math.Float64frombits(binary.BigEndian.Uint64(raw))
		}
		for _, p := range []Polygon{Rect(w, h, rise, tolerance), Circle(Point{w, h}, rise, tolerance), Arch(0, 0, w, h, rise, tolerance), RegularPolygon(Point{w, h}, rise, len(raw), tolerance)} {
			if p == nil {
				continue
			}
			if a := p.Area(); !(a > 0) || math.IsInf(a, 0) {
				t.Errorf("a shape with area %v: %v", a, p)
			}
		}
	})
}
