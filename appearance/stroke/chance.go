package stroke

import (
	"hash/fnv"
	"math"
)

// Chance is counted, not drawn: a hash of what it is about. Integer mixing after
// M. Jarzynski and M. Olano, "Hash Functions for GPU Rendering", JCGT 9(3), 2020.

// Seed gives a wall of a name strokes of its own, and always the same.
func Seed(name string) uint64 {
	h := fnv.New64a()
	h.Write([]byte(name))
	return h.Sum64()
}

// mix folds a word into a key.
func mix(key, word uint64) uint64 {
	z := key ^ (word+0x9e3779b97f4a7c15)*0xbf58476d1ce4e5b9
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// at hashes a place of a lattice.
func at(key uint64, i, j int) uint64 { return mix(mix(key, uint64(int64(i))), uint64(int64(j))) }

// Chance is a number from 0 up to, not with, 1 that belongs to a place of a lattice.
func Chance(key uint64, i, j int) float64 { return unit(at(key, i, j)) }

// unit is 0 up to, not with, 1.
func unit(h uint64) float64 { return float64(h>>11) / (1 << 53) }

// signed is -1 up to, not with, 1.
func signed(h uint64) float64 { return 2*unit(h) - 1 }

// dice gives one number after another from a key.
type dice struct{ key, n uint64 }

func (d *dice) next() uint64              { d.n++; return mix(d.key, d.n) }
func (d *dice) unit() float64             { return unit(d.next()) }
func (d *dice) signed() float64           { return signed(d.next()) }
func (d *dice) in(lo, hi float64) float64 { return lo + (hi-lo)*d.unit() }

// normal is a standard normal number (Box and Muller 1958).
func (d *dice) normal() float64 {
	return math.Sqrt(-2*math.Log(1-d.unit())) * math.Cos(2*math.Pi*d.unit())
}

// smooth is the quintic step of K. Perlin, "Improving Noise", 2002.
func smooth(t float32) float32 { return t * t * t * (t*(t*6-15) + 10) }

// noise1 is smooth chance along a line, -1..1, one knot every cell.
func noise1(key uint64, v, cell float64) float64 {
	i := math.Floor(v / cell)
	t := float64(smooth(float32(v/cell - i)))
	a, b := signed(mix(key, uint64(int64(i)))), signed(mix(key, uint64(int64(i)+1)))
	return a + (b-a)*t
}

// addNoise adds smooth chance of the given size of cell and strength to a row of
// places at height y. Its variance is about a quarter of the strength squared.
func addNoise(row, x []float32, y float32, key uint64, cell, strength float32) {
	if len(x) == 0 {
		return
	}
	fj := float32(math.Floor(float64(y / cell)))
	tj := smooth(y/cell - fj)
	j := int(fj)
	last := math.MinInt
	var left, right float32
	inv := 1 / cell
	for k, xk := range x {
		f := xk * inv
		i := int(f)
		if float32(i) > f {
			i--
		}
		if i != last {
			if i == last+1 {
				left = right
			} else {
				left = knot(key, i, j, tj)
			}
			right = knot(key, i+1, j, tj)
			last = i
		}
		row[k] += strength * (left + (right-left)*smooth(f-float32(i)))
	}
}

// knot is the value on a column of the lattice between two of its rows.
func knot(key uint64, i, j int, t float32) float32 {
	a, b := float32(signed(at(key, i, j))), float32(signed(at(key, i, j+1)))
	return a + (b-a)*t
}

// ripples is smooth chance over bins with about so many knots, mean 0, variance 1.
func ripples(d *dice, bins, knots int) []float32 {
	v, at := make([]float64, bins), 0.0
	from, to := d.normal(), d.normal()
	wide := float64(bins) / float64(knots)
	run := wide * d.in(0.4, 1.8)
	for k := range v {
		if at++; at > run {
			at, run = at-run, wide*d.in(0.4, 1.8)
			from, to = to, d.normal()
		}
		v[k] = from + (to-from)*float64(smooth(float32(min(1, at/run))))
	}
	return standard(v)
}
