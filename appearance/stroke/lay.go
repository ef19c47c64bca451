package stroke

import (
	"math"
)

// rolled lays the film with a roller: even but for the stipple of the sleeve.
// Strength is the part of the film by which it varies.
func rolled(p *Panel, glaze int, film, strength float64) func(*Tile) {
	key := mix(p.Seed, uint64(0x7011e4+glaze))
	return func(t *Tile) {
		plane := t.plane(glaze)
		for i := range plane {
			plane[i] += float32(film)
		}
		t.stipple(plane, key, 2.6, float32(1.2*strength*film))
		t.stipple(plane, key+1, 90, float32(0.6*strength*film))
	}
}

// stipple adds smooth chance to a whole plane, as addNoise does to a row, with the
// lattice looked up once for all rows. Where it is finer than the pitch it fades.
func (t *Tile) stipple(plane []float32, key uint64, cell, strength float32) {
	w := len(t.X)
	strength *= min(1, cell/t.Pitch)
	number, part, knots := lattice(t.X, cell)
	n := len(knots)
	room := t.room(3 * n)
	low, high, across := room[:n], room[n:2*n], room[2*n:]
	last := math.MinInt
	for j, y := range t.Y {
		below := math.Floor(float64(y / cell))
		if row := int(below); row != last {
			last = row
			for k, i := range knots {
				low[k], high[k] = float32(signed(at(key, i, row))), float32(signed(at(key, i, row+1)))
			}
		}
		up := smooth(y/cell - float32(below))
		for k, v := range low {
			across[k] = strength * (v + (high[k]-v)*up)
		}
		line := plane[j*w : (j+1)*w]
		for i, k := range number {
			v := across[k]
			line[i] += v + (across[k+1]-v)*part[i]
		}
	}
}

// lattice finds for every place the knots it lies between: the number of the left one
// in the list of knots, with the right one next to it, and the part of the way over.
func lattice(x []float32, cell float32) (number []int32, part []float32, knots []int) {
	number, part = make([]int32, len(x)), make([]float32, len(x))
	for i, v := range x {
		below := float32(math.Floor(float64(v / cell)))
		part[i] = smooth(v/cell - below)
		k := int(below)
		if n := len(knots); n == 0 || knots[n-1] < k {
			knots = append(knots, k, k+1)
		} else if knots[n-1] == k {
			knots = append(knots, k+1)
		}
		number[i] = int32(len(knots) - 2)
	}
	return number, part, knots
}

// lapWidth is how far a second film overlaps a set edge, mm, common practice; how ragged
// it is and what part of a film stays there (lapFilm) were chosen by eye.
const lapWidth, lapFilm = 38, 0.75

// lap lays the film twice along every joint whose wet edge was lost.
func (f *Film) lap(t *Tile) { lapped(t, f.panel, f.recipe.Laid[0]) }

// lapped adds what a second film leaves on the set edges of a panel.
func lapped(t *Tile, p *Panel, film float64) {
	for n, joint := range p.Laps {
		reach := around(joint, lapWidth)
		i0, i1, j0, j1 := t.window(reach)
		if i0 == i1 {
			continue
		}
		key := at(p.Seed, n, 0x1a9)
		dx, dy := joint.B.X-joint.A.X, joint.B.Y-joint.A.Y
		long := math.Hypot(dx, dy)
		for j := j0; j < j1; j++ {
			for i := i0; i < i1; i++ {
				x, y := float64(t.X[i])-joint.A.X, float64(t.Y[j])-joint.A.Y
				along, across := (x*dx+y*dy)/long, (x*dy-y*dx)/long
				edge := lapWidth/2 + 7*noise1(key, along, 60) + 3*noise1(key+1, along, 14)
				if d := edge - math.Abs(across+5*noise1(key+2, along, 110)); d > 0 {
					t.First[j*len(t.X)+i] += float32(lapFilm * film * math.Min(1, d/4))
				}
			}
		}
	}
}
