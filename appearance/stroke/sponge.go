package stroke

import (
	"math"
	"sync"
)

// A natural sponge touches with a lace of ridges and strings; its holes, of many
// sizes and in clusters, leave dots of glaze. Faces of one sponge are kept once: the
// same sponge does every wall. Shapes and numbers of holes were chosen by eye.
const (
	spongeSide   = 256   // values along a side of a print
	spongeRadius = 106.0 // of a whole sponge, in values
	pieceRadius  = 50.0  // of a piece cut off for edges
	spongeFaces  = 6
)

var (
	spongePrints = sync.OnceValue(func() []*texture { return spongeBank(0x5905e, spongeSide, spongeRadius) })
	piecePrints  = sync.OnceValue(func() []*texture { return spongeBank(0x91ece, spongeSide/2, pieceRadius) })
)

func spongeBank(key uint64, side int, radius float64) []*texture {
	var faces []*texture
	for n := range spongeFaces {
		faces = append(faces, newTexture(spongeFace(mix(key, uint64(n)), side, radius), side))
	}
	return faces
}

// lace is how high a sponge stands at each place of a square that repeats: about 0.7,
// and low in its holes.
func lace(key uint64, side int) []float32 {
	height := unevenness(mix(key, 1), side, side/26)
	fine := unevenness(mix(key, 2), side, side/5)
	for k := range height {
		height[k] = 0.74 + 0.3*height[k] + 0.1*fine[k]
	}
	share := float64(side*side) / (spongeSide * spongeSide)
	d := dice{key: mix(key, 3)}
	for _, class := range []struct {
		clusters float64
		each     int
		spread   float64
		size     float64
	}{{16, 2, 20, 8.5}, {34, 5, 15, 4.6}, {50, 12, 13, 2.3}, {40, 16, 16, 1.3}} {
		for range int(share * class.clusters) {
			x, y := d.in(0, float64(side)), d.in(0, float64(side))
			for range class.each {
				pore(height, side, x+class.spread*d.normal(), y+class.spread*d.normal(), class.size*math.Exp(0.35*d.normal()), &d)
			}
		}
	}
	return height
}

// spongeFace is one face of a sponge whose outline has about a radius, in values. The
// sizes of its holes are made for spongeRadius.
func spongeFace(key uint64, side int, radius float64) []float32 {
	height := lace(key, side)
	shape := newOutline(mix(key, 4), 0.09)
	for j := range side {
		for i := range side {
			x, y := float64(i-side/2)+0.5, float64(j-side/2)+0.5
			off := shape.off(x, y, radius)
			k := j*side + i
			pressed := 1 - step(0.7, 1.08, off)
			height[k] = step(0.05, 0.6, height[k]-0.7*(1-pressed)) * step(0, 0.12, pressed)
		}
	}
	return height
}

// pore sinks a hole about a place; borders join.
func pore(height []float32, side int, x, y, radius float64, d *dice) {
	long := radius * (1 + 0.5*d.unit())
	sin, cos := math.Sincos(d.in(0, math.Pi))
	bend := d.signed() * 0.25
	reach := int(long*1.3) + 2
	for dj := -reach; dj <= reach; dj++ {
		for di := -reach; di <= reach; di++ {
			u := (float64(di)*cos + float64(dj)*sin) / long
			v := (float64(dj)*cos-float64(di)*sin)/radius + bend*(u*u-0.5)
			q := u*u + v*v
			if q > 1.6 {
				continue
			}
			k := ((int(y)+dj)&(side-1))*side + (int(x)+di)&(side-1)
			height[k] -= 0.85 * (1 - step(0.45, 1.6, float32(q)))
		}
	}
}

// swirlPrints are faces of the sponge drawn round by a turn of the wrist: every lump
// leaves an arc about the place the wrist turned on.
var swirlPrints = sync.OnceValue(func() []*texture {
	var faces []*texture
	for n := range spongeFaces {
		key := mix(0x5314, uint64(n))
		faces = append(faces, newTexture(swirled(spongeFace(key, spongeSide, spongeRadius), key), spongeSide))
	}
	return faces
})

// swirled turns a face through most of half a turn about a place near its middle.
// The face is unrolled into rings, averaged along them and rolled up again.
func swirled(face []float32, key uint64) []float32 {
	const side, rings, turns = spongeSide, 200, 1024
	d := dice{key: mix(key, 9)}
	x, y := side/2+26*d.normal(), side/2+26*d.normal()
	window := int(turns * d.in(0.12, 0.3))
	unrolled := make([]float32, rings*turns)
	ring := make([]float32, turns)
	for r := range rings {
		for n := range ring {
			sin, cos := math.Sincos(2 * math.Pi * float64(n) / turns)
			u, v := x+float64(r)*cos, y+float64(r)*sin
			ring[n] = 0
			if u > 0 && v > 0 && u < side && v < side {
				ring[n] = face[int(v)*side+int(u)]
			}
		}
		var sum float32
		for n := range window {
			sum += ring[n]
		}
		for n := range ring {
			unrolled[r*turns+n] = sum / float32(window)
			sum += ring[(n+window)%turns] - ring[n]
		}
	}
	out := make([]float32, side*side)
	for j := range side {
		for i := range side {
			dx, dy := float64(i)-x, float64(j)-y
			r := math.Hypot(dx, dy)
			if r0 := int(r); r0+1 < rings {
				n := int((math.Atan2(dy, dx)/(2*math.Pi) + 1) * turns)
				a, b := unrolled[r0*turns+n%turns], unrolled[(r0+1)*turns+n%turns]
				out[j*side+i] = step(0.1, 0.8, a+(b-a)*float32(r-float64(r0)))
			}
		}
	}
	return out
}

// spongingOff dabs wet glaze off with a natural sponge, a cut piece of it along the
// edges and crumpled paper in the corners. Swirl turns the sponge while it touches.
func spongingOff(p *Panel, f *figures) work {
	split, contrast := f.of("split"), f.recipe.Contrast
	pieceWidth, paperWidth := f.of("piece-width"), f.of("paper-width")
	plan := dabbed{whole: 0, piece: 1, paper: 2, pieceWidth: pieceWidth, cleaned: f.of("dabs-per-clean"), corner: f.of("corner-width")}
	turned := f.recipe.Variation == "swirl"
	if turned {
		plan.width, plan.pitch = f.of("swirl-width"), f.of("swirl-pitch")
	} else {
		plan.width, plan.pitch = f.of("tool-width"), f.of("dab-pitch")
	}
	if f.err() != nil {
		return work{}
	}
	// pieces come down closer together than a whole sponge, and so more lightly
	faces, light := spongePrints(), 0.7*split
	if turned {
		faces, light = swirlPrints(), 0.55*split
	}
	w := work{lay: rolled(p, 0, f.recipe.Laid[0], 0.06), tools: []tool{
		&dab{split: split, fade: loadFade, prints: sizedAll(faces, plan.width/(2*spongeRadius), contrast)},
		&dab{split: light, fade: loadFade, prints: sizedAll(piecePrints(), pieceWidth/(2*pieceRadius), contrast)},
		&dab{split: 0.6 * light, fade: loadFade, prints: sizedAll(paperPrints(), paperWidth/(2*paperRadius), contrast)},
	}}
	w.strokes = plan.plan(p, w.tools)
	return w
}

// sizedAll sizes a bank of prints: texel is mm to a value.
func sizedAll(prints []*texture, texel, contrast float64) []*texture {
	out := make([]*texture, len(prints))
	for n, x := range prints {
		out[n] = x.sized(texel, contrast)
	}
	return out
}
