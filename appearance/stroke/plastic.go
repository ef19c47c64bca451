package stroke

import (
	"math"
	"sync"
)

// plastic is the one bank of thin plastic pushed into folds. Its lines are a texel or
// two wide; like paper it is the same for every wall.
var plastic = sync.OnceValue(newPlastic)

// newPlastic draws groups of long bent folds that run side by side, close up and part
// again. A fold gathers glaze in a line and lies firmly on the wall beside it.
func newPlastic() *crumpled {
	line, beside := make([]float32, side*side), make([]float32, side*side)
	d := &dice{key: 0x91a5}
	for range 52 {
		group := vein{x: d.in(0, side), y: d.in(0, side), heading: d.in(0, 2*math.Pi), bend: d.next(), turn: 0.011 * d.in(0.5, 1.5)}
		for range 1 + int(4*d.unit()*d.unit()) {
			v := group
			v.wide, v.length = 0.6+1.9*math.Pow(d.unit(), 3), 120+330*d.unit()
			v.draw(line, beside, d)
			across := d.in(9, 34)
			group.x, group.y = group.x-across*math.Sin(group.heading), group.y+across*math.Cos(group.heading)
			group.heading += 0.12 * d.signed()
		}
	}
	p := &crumpled{}
	p.height[0] = make([]float32, side*side)
	p.touch[0] = make([]touch, side*side)
	for k := range line {
		p.touch[0][k] = touch{
			light: max(-0.6, 0.50-1.3*line[k]+0.35*beside[k]),
			firm:  max(-0.6, 0.68-1.3*line[k]+0.3*beside[k]),
		}
	}
	for n := 1; n < levels; n++ {
		p.height[n] = halved(p.height[n-1], side>>(n-1))
		p.touch[n] = halvedTouch(p.touch[n-1], side>>(n-1))
	}
	return p
}

// vein is one fold of plastic as it runs, in texels.
type vein struct {
	x, y, heading float64
	bend          uint64  // seeds its bends, which a group shares
	turn          float64 // how sharply it bends, radians a texel
	wide, length  float64
}

// draw runs the fold over the bank. Here and there it is double: both sides of a flat
// pleat, which meet at its ends.
func (v vein) draw(line, beside []float32, d *dice) {
	pleat := 0.0
	if d.unit() < 0.45 {
		pleat = d.in(2.5, 6)
	}
	hand := math.Copysign(1, d.signed())
	for run := 0.0; run < v.length; run++ {
		part := run / v.length
		taper := math.Sqrt(math.Sin(math.Pi * part))
		strength := float32(taper * (0.75 + 0.25*noise1(v.bend+1, run, 37)))
		apart := pleat * math.Sin(math.Pi*part)
		sin, cos := math.Sin(v.heading), math.Cos(v.heading)
		for _, off := range []float64{-apart, apart} {
			v.dab(line, v.x-off*sin, v.y+off*cos, v.wide*taper, strength)
			if pleat == 0 {
				break
			}
		}
		v.dab(beside, v.x-hand*4.5*sin, v.y+hand*4.5*cos, 4.5, 0.8*strength)
		v.x, v.y = v.x+cos, v.y+sin
		v.heading += v.turn * noise1(v.bend, run, 110)
	}
}

// dab raises the bank to a soft round spot; the bank meets itself at its borders.
func (v vein) dab(bank []float32, x, y, radius float64, strength float32) {
	reach := radius + 0.7
	for j := int(math.Floor(y - reach)); float64(j) <= y+reach; j++ {
		for i := int(math.Floor(x - reach)); float64(i) <= x+reach; i++ {
			near := ramp(float32((reach - math.Hypot(float64(i)-x, float64(j)-y)) / (0.5*radius + 0.7)))
			k := (j&(side-1))*side + i&(side-1)
			bank[k] = max(bank[k], strength*near)
		}
	}
}
