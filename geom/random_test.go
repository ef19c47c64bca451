package geom

import (
	"math"
	"math/rand/v2"
)

// wall is a random outline with openings that lie in it and may touch its edge or
// each other.
type wall struct {
	outer Polygon
	holes []Polygon
}

// randomWall draws from one seed: a rectangle, a gable, a stair wall or an L, with
// doors, windows, arches and round lights set in separate bays.
func randomWall(seed uint64) wall {
	rnd := rand.New(rand.NewPCG(seed, 1))
	between := func(low, high float64) float64 { return low + (high-low)*rnd.Float64() }
	w, h := between(2000, 12000), between(2200, 4000)
	var out wall
	switch seed % 4 {
	case 0:
		out.outer = Rect(0, 0, w, h)
	case 1:
		out.outer = Polygon{{0, 0}, {w, 0}, {w, h}, {w * between(0.3, 0.7), h + between(200, 2500)}, {0, h}}
	case 2:
		out.outer = Polygon{{0, 0}, {w, -between(100, 1500)}, {w, h}, {0, h}}
	case 3:
		out.outer = Polygon{{0, 0}, {w, 0}, {w, h}, {w * 0.6, h}, {w * 0.6, h + 900}, {0, h + 900}}
	}
	bays := 1 + rnd.IntN(8)
	for i := range bays {
		bay := w / float64(bays)
		x, ow := bay*float64(i)+between(0, 0.2)*bay, bay*between(0.2, 0.8)
		if rnd.IntN(2) == 0 { // whole millimetres, as measured
			x, ow = math.Ceil(x), math.Floor(ow)
		}
		switch rnd.IntN(5) {
		case 0: // a door on the floor line
			if seed%4 != 2 {
				out.holes = append(out.holes, Rect(x, 0, ow, between(1900, 2150)))
			}
		case 1:
			out.holes = append(out.holes, Rect(x, between(600, 1000), ow, between(300, 1000)))
		case 2:
			out.holes = append(out.holes, Arch(x, 300, ow, between(0.5, 0.9)*h-300, min(ow/2, h/4), 0.5))
		case 3:
			r := min(ow, h/2) / 2 * 0.95
			out.holes = append(out.holes, Circle(Point{x + ow/2, h / 2}, r, 0.5))
		}
	}
	return out
}

// randomRing is a star-shaped simple polygon round a random centre.
func randomRing(rnd *rand.Rand, corners int) Polygon {
	cx, cy := 4000*rnd.Float64(), 3000*rnd.Float64()
	p := make(Polygon, corners)
	for i := range p {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.8*rnd.Float64()) / float64(corners))
		r := 300 + 2500*rnd.Float64()
		p[i] = Point{cx + r*cos, cy + r*sin}
	}
	return p
}
