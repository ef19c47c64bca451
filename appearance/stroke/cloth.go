package stroke

import (
	"math"
	"sync"
)

// Crumpled stuff touches with its folds. They are drawn one over another like fallen
// leaves (G. Matheron's dead leaves, 1968), so that each cuts the ones below it off
// with a crisp edge and fades to its other side. Sizes are in values of the texture;
// shapes and numbers were chosen by eye.
type folds struct {
	long, slim float64 // length of a fold, and its half width as a part of that
	bow        float64 // how far a fold curves, as a part of its length
	lean       float64 // how far folds turn from the first direction, radians
	angular    bool    // straight sided, as plastic and paper are
	fade       float32 // part of a fold over which its soft side fades
	touch      [2]float32
}

// texture draws folds over a square that repeats; layers is how often it is covered.
func (c folds) texture(key uint64, side int, layers float64) []float32 {
	height := make([]float32, side*side)
	for k := range height {
		height[k] = 0.4
	}
	d := dice{key: key}
	count := int(layers * float64(side*side) / (c.long * c.long * c.slim * 1.4))
	for range count {
		c.fold(height, side, &d)
	}
	lumps := unevenness(mix(key, 1), side, side/48)
	for k, v := range height {
		height[k] = step(c.touch[0], c.touch[1], v+0.16*lumps[k])
	}
	return height
}

// fold draws one fold somewhere.
func (c folds) fold(height []float32, side int, d *dice) {
	x, y := d.in(0, float64(side)), d.in(0, float64(side))
	half := c.long / 2 * math.Exp(0.42*d.normal())
	wide := half * 2 * c.slim * math.Exp(0.3*d.normal())
	sin, cos := math.Sincos(c.lean * d.signed())
	bow := c.bow * 2 * half * d.signed()
	base, rise := 0.75*d.unit(), 0.25+0.45*d.unit()
	if d.unit() < 0.5 {
		wide = -wide // crisp on the other side
	}
	skew := 0.5 * d.signed()
	room := math.Abs(wide) + math.Abs(bow)
	reach := math.Hypot(half, room)
	mask := side - 1
	for dj := -int(reach) - 1; dj <= int(reach)+1; dj++ {
		i0, i1 := slab(float64(dj), sin, cos, half, room)
		for di := int(math.Floor(i0)); di <= int(math.Ceil(i1)); di++ {
			s := (float64(di)*cos + float64(dj)*sin) / half
			if s <= -1 || s >= 1 {
				continue
			}
			across := float64(dj)*cos - float64(di)*sin - bow*(1-s*s)
			at := wide * c.outline(s, skew)
			q := across / at // -1 at the soft side, 1 at the crisp one
			if q <= -1 || q >= 1.5 {
				continue
			}
			cover := float32(min(1, math.Abs(at)*(1-q)+0.5))
			if cover <= 0 {
				continue
			}
			cover *= step(-1, -1+2*c.fade, float32(q)) * float32(min(1, math.Abs(at))) // no comb at the tips
			k := ((int(y)+dj)&mask)*side + (int(x)+di)&mask
			height[k] += cover * (float32(base+rise*(0.5+0.5*q)) - height[k])
		}
	}
}

// outline is the half width of a fold along it, from one end -1 to the other 1.
func (c folds) outline(s, skew float64) float64 {
	if !c.angular {
		return (1 - s*s) * (1 + 0.6*skew*s)
	}
	if s < skew {
		return (1 + s) / (1 + skew)
	}
	return (1 - s) / (1 - skew)
}

// slab is where a line at height dy crosses a box turned about its middle.
func slab(dy, sin, cos, half, room float64) (lo, hi float64) {
	lo, hi = math.Inf(-1), math.Inf(1)
	cut := func(slope, offset, limit float64) { // |slope*x + offset| <= limit
		if math.Abs(slope) < 1e-9 {
			if math.Abs(offset) > limit {
				hi = math.Inf(-1)
			}
			return
		}
		a, b := (-limit-offset)/slope, (limit-offset)/slope
		lo, hi = max(lo, min(a, b)), min(hi, max(a, b))
	}
	cut(cos, dy*sin, half)
	cut(-sin, dy*cos, room)
	if !(lo <= hi) {
		return 0, -2
	}
	return lo, hi
}

// stamped cuts prints of a radius out of crumpled stuff: towards the rim only the
// highest folds touch.
func (c folds) stamped(key uint64, count, side int, radius, uneven float64) []*texture {
	var prints []*texture
	flat := c
	flat.touch = [2]float32{0, 1}
	for n := range count {
		own := mix(key, uint64(n))
		values := flat.texture(own, side, 4)
		shape := newOutline(mix(own, 2), uneven)
		for j := range side {
			for i := range side {
				x, y := float64(i)-float64(side)/2+0.5, float64(j)-float64(side)/2+0.5
				off := shape.off(x, y, radius)
				k := j*side + i
				lifted := step(0.72, 1.1, off)
				values[k] = step(c.touch[0], c.touch[1], values[k]-0.7*lifted) * (1 - step(1, 1.12, off))
			}
		}
		prints = append(prints, newTexture(values, side))
	}
	return prints
}

const (
	paperRadius   = 50.0
	plasticRadius = 102.0
)

// paperPrints are balls of crumpled paper for the corners.
var paperPrints = sync.OnceValue(func() []*texture {
	c := folds{long: 21, slim: 0.17, lean: math.Pi, angular: true, fade: 0.3, touch: [2]float32{0.25, 0.8}}
	return c.stamped(0x9a9e, 4, 128, paperRadius, 0.1)
})

// plasticPrints are faces of a bunched plastic bag.
var plasticPrints = sync.OnceValue(func() []*texture {
	c := folds{long: 52, slim: 0.13, lean: math.Pi, angular: true, fade: 0.12, touch: [2]float32{0.39, 0.54}}
	return c.stamped(0xba9, 5, 256, plasticRadius, 0.12)
})

// cloth is crushed rag round a roller, and sausage the rag twisted in the hand, whose
// folds run along it.
var (
	cloth = sync.OnceValue(func() *texture {
		c := folds{long: 62, slim: 0.15, bow: 0.16, lean: math.Pi, fade: 0.4, touch: [2]float32{0.46, 0.68}}
		return newTexture(c.texture(0xc107, 512, 4), 512)
	})
	sausage = sync.OnceValue(func() *texture {
		c := folds{long: 78, slim: 0.12, bow: 0.14, lean: 0.8, fade: 0.45, touch: [2]float32{0.46, 0.68}}
		return newTexture(c.texture(0x5a05a, 512, 4), 512)
	})
)

const clothFold = 62.0 // values in the length of a fold of cloth
