package geom

import "math"

// mostSides keeps a rounded outline to a drawable number of corners.
const mostSides = 4096

// Rect is the rectangle w wide and h high with its lower left corner at (x, y);
// nil when w or h is not above zero.
func Rect(x, y, w, h float64) Polygon {
	return kept(Polygon{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}}, w > 0 && h > 0)
}

// Circle is a polygon for the circle of radius r. Its area is that of the circle
// (to rounding): the corners stand a little outside, and nowhere does the outline
// leave the circle by more than tolerance millimetres. Nil when r or tolerance is
// not above zero. More than 4096 sides are never used.
func Circle(centre Point, r, tolerance float64) Polygon {
	if !(r > 0) || !(tolerance > 0) {
		return nil
	}
	n := 4 * int(math.Ceil(float64(sidesOf(2*math.Pi, r, tolerance))/4))
	// n triangles of r'^2 sin(2 pi/n)/2 make up pi r^2.
	turn := 2 * math.Pi / float64(n)
	return RegularPolygon(centre, r*math.Sqrt(turn/math.Sin(turn)), n, 0)
}

// sidesOf is the number of chords for an arc of the given angle so that each
// stays within the tolerance of it: a chord over angle a leaves the arc by r(1 - cos(a/2)).
func sidesOf(angle, r, tolerance float64) int {
	chord := 2 * math.Acos(max(1-tolerance/r, 0))
	return int(min(max(math.Ceil(angle/chord), 8), mostSides))
}

// RegularPolygon has n corners at distance r from the centre, the first at angle
// turn (radians, anticlockwise from the right). Nil for fewer than 3 corners or r
// not above zero.
func RegularPolygon(centre Point, r float64, n int, turn float64) Polygon {
	if n < 3 || n > mostSides {
		return nil
	}
	p := make(Polygon, n)
	for i := range p {
		sin, cos := math.Sincos(turn + 2*math.Pi*float64(i)/float64(n))
		p[i] = Point{centre.X + r*cos, centre.Y + r*sin}
	}
	return kept(p, r > 0)
}

// Arch is an opening w wide and h high over all with upright sides and a circular
// head that rises by rise above them: half a circle when rise is w/2, flatter
// when less. (x, y) is the lower left corner. The jambs are exact; the corners of
// the head are placed so that the area is that of the true arch (to rounding), and
// the outline leaves it by no more than tolerance millimetres. Nil when a figure is
// not above zero, rise is above w/2 or above h.
func Arch(x, y, w, h, rise, tolerance float64) Polygon {
	if !(w > 0 && h > 0 && rise > 0 && tolerance > 0) || rise > w/2*(1+1e-9) || rise > h {
		return nil
	}
	r := (w*w/4 + rise*rise) / (2 * rise) // radius through both springings and the crown
	half := math.Asin(min(w/2/r, 1))      // half the angle of the head
	n := sidesOf(2*half, r, tolerance)
	turn := 2 * half / float64(n)
	// Fan of triangles from the centre of the arc: the two end corners stay at r,
	// the others move to q so that (2rq + (n-2)q^2) sin(turn) = r^2 n turn.
	k, total := float64(n-2), r*r*float64(n)*turn/math.Sin(turn)
	q := (-r + math.Sqrt(r*r+k*total)) / k
	left, right, springing := x, x+w, y+h-rise
	p := Polygon{{left, y}, {right, y}}
	if springing > y {
		p = append(p, Point{right, springing})
	}
	centre := Point{x + w/2, y + h - r}
	for i := 1; i < n; i++ {
		sin, cos := math.Sincos(half - float64(i)*turn)
		p = append(p, Point{centre.X + q*sin, centre.Y + q*cos})
	}
	if springing > y {
		p = append(p, Point{left, springing})
	}
	return kept(p, true)
}

// kept returns the polygon when it is wanted and all its corners are places.
func kept(p Polygon, wanted bool) Polygon {
	for _, q := range p {
		wanted = wanted && q.placed()
	}
	if !wanted || p.Area() == 0 {
		return nil
	}
	return p
}
