package stroke

import (
	"math"
	"slices"
	"sync"
)

// crumpled is a square of paper balled up and opened again, one texel to a place,
// that meets itself at its borders. Level k has places twice as far apart as level
// k-1, each the mean of four, so a mean over the wall is the same at any scale.
type crumpled struct {
	// height above a flat sheet: mean 0, standard deviation 1.
	height [levels][]float32
	touch  [levels][]touch
}

// touch is the contact of a place under a light and under a firm palm: 1 is full
// contact; below 0 is where glaze is squeezed to.
type touch struct{ light, firm float32 }

const (
	side      = 512 // texels
	levelBits = 9   // side is 1<<levelBits
	levels    = 6
	creaseRun = 34 // texels from crease to crease, counted along lines across the bank
)

// paper is the one bank of crumpled paper: every sheet is a part of it of its own,
// turned, mirrored and moved. It is the same for every wall, so it is made once.
var paper = sync.OnceValue(newCrumpled)

// wave is a chain of straight facets across the bank, with its creases along one
// direction a, b, in whole turns over the bank.
type wave struct {
	a, b, start float32
	facets      [1024]float32
}

func newWave(d *dice, a, b float64, creases int) *wave {
	w := &wave{a: float32(a) * 1024 / side, b: float32(b) * 1024 / side, start: float32(1024*64 + d.in(0, 1024))}
	at, to := make([]float64, creases+1), make([]float64, creases+1)
	scale := 4 / math.Hypot(a, b) / float64(creases)
	for i := range creases {
		at[i], to[i] = (float64(i)+0.9*d.unit())/float64(creases), scale*d.normal()
	}
	at[creases], to[creases] = at[0]+1, to[0]
	for k := range creases {
		for i := int(math.Ceil(at[k] * 1024)); float64(i) < at[k+1]*1024; i++ {
			part := (float64(i)/1024 - at[k]) / (at[k+1] - at[k])
			w.facets[i&1023] = float32(to[k] + (to[k+1]-to[k])*part)
		}
	}
	return w
}

func (w *wave) at(x, y float32) float32 {
	u := w.a*x + w.b*y + w.start
	i := int32(u)
	one := w.facets[i&1023]
	return one + (w.facets[(i+1)&1023]-one)*(u-float32(i))
}

// newCrumpled folds the bank. Earlier folds shift later ones, so creases bend where
// they cross, and of several folded sheets the highest or lowest shows, so creases
// end in corners: every facet is flat and no step is left between any two.
func newCrumpled() *crumpled {
	d := &dice{key: 0xc2a3}
	waves := func(creases int, directions ...[2]float64) (w []*wave) {
		for _, k := range directions {
			w = append(w, newWave(d, k[0], k[1], creases))
		}
		return w
	}
	shift := waves(3, [2]float64{1, 2}, [2]float64{2, -1}, [2]float64{-2, 2}, [2]float64{3, 1})
	sheets := [4][]*wave{
		waves(3, [2]float64{2, 0}, [2]float64{1, 2}, [2]float64{-1, 2}),
		waves(3, [2]float64{3, 1}, [2]float64{0, 2}, [2]float64{-2, 3}),
		waves(3, [2]float64{1, -2}, [2]float64{3, 2}, [2]float64{-2, 1}),
		waves(3, [2]float64{2, 1}, [2]float64{-1, 3}, [2]float64{-3, 2}),
	}
	small := waves(4, [2]float64{4, 3}, [2]float64{-3, 5}, [2]float64{5, -1})
	sum := func(w []*wave, x, y float32) float32 { return w[0].at(x, y) + w[1].at(x, y) + w[2].at(x, y) }
	const strength = 34 // texels of shift, by eye
	height := make([]float64, side*side)
	for k := range height {
		x, y := float32(k%side), float32(k/side)
		x, y = x+strength*shift[0].at(x, y), y+strength*shift[1].at(x, y)
		x, y = x+strength*shift[2].at(x, y), y+strength*shift[3].at(x, y)
		first := sum(sheets[0], x, y)
		fine := sum(small, x, y)
		both := max(first, sum(sheets[1], x, y)) + min(sum(sheets[2], x, y), sum(sheets[3], x, y))
		height[k] = float64(max(both, -0.6*both+1.5*fine-0.3, 0.6*fine+0.5*first-0.2))
	}
	return pressed(standard(height))
}

// pressed finds the contact and the relief of a folded sheet and the coarser levels
// of the bank. The figures of shape are by eye.
func pressed(height []float32) *crumpled {
	p := &crumpled{}
	gap := gaps(height)
	sorted := slices.Clone(gap)
	slices.Sort(sorted)
	at := func(share float64) float32 { return sorted[int(share*float64(len(sorted)-1))] }
	none, full, noneFirm, fullFirm := at(0.84), at(0.56), at(0.985), at(0.90)
	touches := make([]touch, len(height))
	raised := make([]float64, len(height))
	sharp := make([]float32, len(height))
	for k, h := range gap {
		x, y := k%side, k/side
		right, left := height[y*side+(x+1)%side], height[y*side+(x+side-1)%side]
		up, down := height[(y+1)%side*side+x], height[(y+side-1)%side*side+x]
		sharp[k] = right + left + up + down - 4*height[k]
		facet := max(-0.25, min(0.25, 1.8*(right-left+up-down)))
		crease := max(-0.6, min(0.45, 4.5*sharp[k]))
		contact := func(none, full float32) float32 {
			return max(-0.15, min(1.15, ramp((none-h)/(none-full))*(0.85+facet)+crease))
		}
		touches[k] = touch{contact(none, full), contact(noneFirm, fullFirm)}
	}
	for k := range raised { // bedded paper lies flat but for its folds, which stand up
		x, y := k%side, k/side
		fold := float32(0)
		for j := -1; j <= 1; j++ {
			for i := -1; i <= 1; i++ {
				fold += max(-0.5, min(1, -5*sharp[(y+j+side)%side*side+(x+i+side)%side]))
			}
		}
		raised[k] = float64(0.45*gap[k] + 0.32*fold)
	}
	p.height[0], p.touch[0] = standard(raised), rounded(touches)
	for n := 1; n < levels; n++ {
		p.height[n] = halved(p.height[n-1], side>>(n-1))
		p.touch[n] = halvedTouch(p.touch[n-1], side>>(n-1))
	}
	return p
}

// rounded takes the steps of the texels out of slanting creases.
func rounded(sharp []touch) []touch {
	out := make([]touch, len(sharp))
	for k := range out {
		row, x := k&^(side-1), k&(side-1)
		left, right := sharp[row|(x-1)&(side-1)], sharp[row|(x+1)&(side-1)]
		down, up := sharp[(k+side*(side-1))&(side*side-1)], sharp[(k+side)&(side*side-1)]
		here := sharp[k]
		out[k] = touch{
			light: 0.4*here.light + 0.15*(left.light+right.light+down.light+up.light),
			firm:  0.4*here.firm + 0.15*(left.firm+right.firm+down.firm+up.firm),
		}
	}
	return out
}

// gaps is how far each place of a folded sheet stands off the wall: the sheet gives
// way to its broad waves more than to its folds.
func gaps(height []float32) []float32 {
	const level = 4
	broad, wide := height, side
	for range level {
		broad = halved(broad, wide)
		wide /= 2
	}
	gap := make([]float32, len(height))
	for k, h := range height {
		u, v := (float32(k%side)+0.5)/(1<<level)+float32(wide)-0.5, (float32(k/side)+0.5)/(1<<level)+float32(wide)-0.5
		i, j := int(u), int(v)
		fu, fv := u-float32(i), v-float32(j)
		low, high := broad[j%wide*wide:], broad[(j+1)%wide*wide:]
		one := low[i%wide] + fu*(low[(i+1)%wide]-low[i%wide])
		two := high[i%wide] + fu*(high[(i+1)%wide]-high[i%wide])
		gap[k] = h - 0.65*(one+fv*(two-one))
	}
	return gap
}

// halved is a level with places twice as far apart.
func halved(fine []float32, wide int) []float32 {
	out := make([]float32, len(fine)/4)
	for k := range out {
		at := k/(wide/2)*2*wide + k%(wide/2)*2
		out[k] = (fine[at] + fine[at+1] + fine[at+wide] + fine[at+wide+1]) / 4
	}
	return out
}

func halvedTouch(fine []touch, wide int) []touch {
	out := make([]touch, len(fine)/4)
	for k := range out {
		at := k/(wide/2)*2*wide + k%(wide/2)*2
		a, b, c, d := fine[at], fine[at+1], fine[at+wide], fine[at+wide+1]
		out[k] = touch{(a.light + b.light + c.light + d.light) / 4, (a.firm + b.firm + c.firm + d.firm) / 4}
	}
	return out
}

// cut is a part of the bank as it lies on the wall.
type cut struct {
	paper      *crumpled
	ux, uy, u0 float32 // texels along the bank at a place x, y
	vx, vy, v0 float32
	texel      float32 // mm
	middle     float32 // where across the wall it lies, mm
	key        uint64  // of how it bends
}

// Over a length of bendLength mm the crumpling shifts by up to bend texels, so that a
// long sheet does not show the bank again as it was; chosen by eye.
const bend, bendLength = 70, 420

// newCut takes a part of the bank by chance, with creases every cell mm, for the
// n-th sheet, which lies at x. Sheets that follow each other are turned by the golden
// section of a turn, so that none lies as its neighbours do.
func newCut(bank *crumpled, key uint64, n int, x, cell float64) cut {
	d := dice{key: key}
	texel := cell / creaseRun
	turn, mirror := 2*math.Pi*(float64(n)/math.Phi+d.in(0, 0.1)), 1.0
	if d.unit() < 0.5 {
		mirror = -1
	}
	c, s := math.Cos(turn)/texel, math.Sin(turn)/texel
	return cut{
		paper: bank, texel: float32(texel), middle: float32(x), key: key,
		ux: float32(c), uy: float32(s), u0: float32(d.in(0, side)),
		vx: float32(-s * mirror), vy: float32(c * mirror), v0: float32(d.in(0, side)),
	}
}

// level is the level of the bank for places pitch mm apart.
func (c *cut) level(pitch float32) int {
	n := 0
	for wide := c.texel; n < levels-1 && wide*1.5 < pitch; n++ {
		wide *= 2
	}
	return n
}

// foot is where a row of places begins on a level, in its texels, and how they run.
// The large whole number keeps all of a row above 0; it comes from the sheet, not from
// the row, so that a place is looked up the same in every tile.
func (c *cut) foot(y float32, level int) (u0, v0, ux, vx float32) {
	inv := 1 / float32(int(1)<<level)
	wide := float32(int(side) >> level)
	ux, vx = c.ux*inv, c.vx*inv
	du := float32(bend * noise1(c.key^0xbe, float64(y), bendLength))
	dv := float32(bend * noise1(c.key^0xbd, float64(y), bendLength))
	u0 = (c.u0+du+c.uy*y)*inv - 0.5*(1-inv) // the middle of the first texel
	v0 = (c.v0+dv+c.vy*y)*inv - 0.5*(1-inv)
	u0 += wide * (16 - float32(math.Floor(float64((u0+ux*c.middle)/wide))))
	v0 += wide * (16 - float32(math.Floor(float64((v0+vx*c.middle)/wide))))
	return u0, v0, ux, vx
}

// heights looks up the paper along a row.
func (c *cut) heights(out, x []float32, y float32, level int) {
	bank, mask, across := c.paper.height[level], int32(side>>level-1), levelBits-uint(level)
	u0, v0, ux, vx := c.foot(y, level)
	for k, xk := range x {
		u, v := ux*xk+u0, vx*xk+v0
		i, j := int32(u), int32(v)
		fu, fv := u-float32(i), v-float32(j)
		low, high := (j&mask)<<across, ((j+1)&mask)<<across
		i0, i1 := i&mask, (i+1)&mask
		one := bank[low|i0] + fu*(bank[low|i1]-bank[low|i0])
		two := bank[high|i0] + fu*(bank[high|i1]-bank[high|i0])
		out[k] = one + fv*(two-one)
	}
}

// touches looks up the contact of the paper along a row.
func (c *cut) touches(out []touch, x []float32, y float32, level int) {
	bank, mask, across := c.paper.touch[level], int32(side>>level-1), levelBits-uint(level)
	u0, v0, ux, vx := c.foot(y, level)
	for k, xk := range x {
		u, v := ux*xk+u0, vx*xk+v0
		i, j := int32(u), int32(v)
		fu, fv := u-float32(i), v-float32(j)
		low, high := (j&mask)<<across, ((j+1)&mask)<<across
		i0, i1 := i&mask, (i+1)&mask
		a, b, p, q := bank[low|i0], bank[low|i1], bank[high|i0], bank[high|i1]
		light, firm := a.light+fu*(b.light-a.light), a.firm+fu*(b.firm-a.firm)
		out[k].light = light + fv*(p.light+fu*(q.light-p.light)-light)
		out[k].firm = firm + fv*(p.firm+fu*(q.firm-p.firm)-firm)
	}
}
