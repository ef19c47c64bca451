package geom

import "testing"

// A 12 m wall with a door, five windows and a round light: 64 corners.
func benchWall(b *testing.B) Region {
	holes := []Polygon{Rect(300, 0, 900, 2050), Circle(Point{11000, 1400}, 400, 0.5)}
	for i := range 5 {
		holes = append(holes, Rect(1800+1700*float64(i), 900, 1100, 1200))
	}
	r, err := NewRegion(Rect(0, 0, 12000, 2700), holes...)
	if err != nil {
		b.Fatal(err)
	}
	return r
}

func BenchmarkBandArea(b *testing.B) {
	r := benchWall(b)
	b.ReportAllocs()
	for i := range b.N {
		x := float64(i % 38 * 315)
		BandArea(r, x, x+315)
	}
}

func BenchmarkClipBand(b *testing.B) {
	r := benchWall(b)
	b.ReportAllocs()
	for i := range b.N {
		x := float64(i % 38 * 315)
		ClipBand(r, x, x+315)
	}
}

func BenchmarkClipConvex(b *testing.B) {
	r := benchWall(b)
	b.ReportAllocs()
	for i := range b.N {
		x := float64(i % 38 * 315)
		if _, err := ClipConvex(r, Polygon{{x, 0}, {x + 315, 0}, {x + 323, 2700}, {x + 8, 2700}}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSubtract(b *testing.B) {
	r := benchWall(b)
	for range b.N {
		if _, err := Subtract(r, Rect(1000, 500, 500, 500).Region()); err != nil {
			b.Fatal(err)
		}
	}
}
