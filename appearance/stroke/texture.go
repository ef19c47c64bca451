package stroke

import "math"

// texture is how a tool touches the wall: at each place the part of its weight that
// comes down there, 0..1. It repeats at its borders; a print has an empty rim.
type texture struct {
	texel float32 // breadth of one value, mm
	side  int     // values along a side, a power of two
	// values are the texture as it was made.
	values []float32
	// levels are the texture and its averages over 2, 4, 8... values each way.
	levels []fineness
}

// fineness is a texture at one fineness. A word holds four neighbours in 8 bits each, so
// that one look finds all that is needed to go smoothly from one to the next.
type fineness struct {
	words []uint32
	side  int
	texel float32 // mm
}

// newTexture keeps values and averages them; side is a power of two.
func newTexture(values []float32, side int) *texture {
	x := &texture{texel: 1, side: side, values: values}
	for n, fine := side, values; ; {
		x.levels = append(x.levels, packed(fine, n))
		if n /= 2; n < 16 {
			return x
		}
		coarse := make([]float32, n*n)
		for j := range n {
			for i := range n {
				k := 4*n*j + 2*i
				coarse[n*j+i] = (fine[k] + fine[k+1] + fine[k+2*n] + fine[k+2*n+1]) / 4
			}
		}
		fine = coarse
	}
}

func packed(values []float32, side int) fineness {
	bytes := make([]uint32, len(values))
	for k, v := range values {
		bytes[k] = uint32(v*255 + 0.5)
	}
	g := fineness{words: make([]uint32, len(values)), side: side}
	for j := range side {
		up := (j + 1) & (side - 1) * side
		for i := range side {
			right := (i + 1) & (side - 1)
			g.words[j*side+i] = bytes[j*side+i] | bytes[up+i]<<16 | bytes[j*side+right]<<8 | bytes[up+right]<<24
		}
	}
	return g
}

// sized is the same texture with another breadth of its values, mm, and with its
// contrast about the mean of what touches scaled.
func (x *texture) sized(texel, contrast float64) *texture {
	sized := *x
	if contrast != 1 {
		var sum, n float64
		for _, v := range x.values {
			if v > 0 {
				sum += float64(v)
				n++
			}
		}
		mean := float32(sum / max(n, 1))
		values := make([]float32, len(x.values))
		for k, v := range x.values {
			if v > 0 {
				values[k] = min(max(mean+(v-mean)*float32(contrast), 0), 1)
			}
		}
		sized = *newTexture(values, x.side)
	}
	sized.texel = float32(texel)
	return &sized
}

// reach is half the side of the texture, mm.
func (x *texture) reach() float64 { return float64(x.side) / 2 * float64(x.texel) }

// at is the fineness that suits places pitch mm apart.
func (x *texture) at(pitch float32) fineness {
	n, texel := 0, x.texel
	for n+1 < len(x.levels) && pitch > 1.41*texel {
		n, texel = n+1, texel*2
	}
	g := x.levels[n]
	g.texel = texel
	return g
}

// blended goes smoothly between the four neighbours of a word: u and v count 256 from
// the first to the next. Both rows are done at once, in the two halves of a word.
func blended(word, u, v uint32) float32 {
	h := word&0xff00ff*(256-u) + word>>8&0xff00ff*u
	return float32(int32(h&0xffff*(256-v)+h>>16*v)) * (1.0 / (255 * 256 * 256))
}

// unevenness is smooth chance about 0 that repeats at the borders of a square: cells
// along a side, and half as strong again at half the size.
func unevenness(key uint64, side, cells int) []float32 {
	out := make([]float32, side*side)
	for octave, strength := 0, float32(1); octave < 2; octave, strength = octave+1, strength/2 {
		n := cells << octave
		knots := make([]float32, n*n)
		for k := range knots {
			knots[k] = float32(signed(at(key, k, octave)))
		}
		cellSide := float32(side) / float32(n)
		for j := range side {
			y := float32(j) / cellSide
			j0 := int(y)
			ty := smooth(y - float32(j0))
			up, down := knots[j0%n*n:][:n], knots[(j0+1)%n*n:][:n]
			for i := range side {
				x := float32(i) / cellSide
				i0 := int(x)
				tx := smooth(x - float32(i0))
				i1 := (i0 + 1) % n
				a := up[i0] + (up[i1]-up[i0])*tx
				b := down[i0] + (down[i1]-down[i0])*tx
				out[j*side+i] += strength * (a + (b-a)*ty)
			}
		}
	}
	return out
}

// step rises smoothly from 0 at lo to 1 at hi.
func step(lo, hi, v float32) float32 {
	t := min(max((v-lo)/(hi-lo), 0), 1)
	return t * t * (3 - 2*t)
}

// outline is a ragged line about a middle: its distance by direction, about 1.
type outline [256]float32

func newOutline(key uint64, uneven float64) *outline {
	d := dice{key: key}
	var o outline
	for k := 1; k <= 6; k++ {
		size, turn := uneven*d.signed()/math.Sqrt(float64(k)), d.in(0, 2*math.Pi)
		for n := range o {
			o[n] += float32(size * math.Cos(float64(k)*float64(n)*2*math.Pi/256+turn))
		}
	}
	for n := range o {
		o[n] = min(1+o[n], 1.2)
	}
	return &o
}

// off is how far out a place lies: 1 on the line, if that is radius away on average.
func (o *outline) off(x, y, radius float64) float32 {
	direction := math.Atan2(y, x) * (256 / (2 * math.Pi))
	return float32(math.Hypot(x, y)/radius) / o[int(direction+256.5)&255]
}
