package film

import (
	"fmt"
	"math"

	"scumble/appearance/colour"
)

// Surface is what a paint does to light where it meets air (Saunderson, J. Opt. Soc. Am. 32, 727, 1942,
// eq. 1). K1 is the share of light turned back before it enters and K2 the share of light from inside that
// is turned back in. Scattered is the share of K1 that reaches the eye or the instrument: 0 for colours
// entered or measured with the mirror image shut out, 1 measured with it included. A dead-matt paint
// spreads its mirror image over all directions, so it has some of it in every view, and lighter darks.
type Surface struct{ K1, K2, Scattered float64 }

// Usual is the surface of entered and measured colours unless more is known: K1 of a binder of index 1.5
// and K2 for diffuse light within it, with the mirror image shut out. K2 in practice is 0.4 to 0.6
// (Allen, in Optical Radiation Measurements 2, 1980).
func Usual() Surface { return Surface{K1: 0.04, K2: 0.6} }

// Smooth is the smooth surface of a binder of refractive index n against air, the mirror image shut out:
// K1 by Fresnel for light along the normal, K2 for diffuse light from inside (Walsh 1926 as in Duntley,
// J. Opt. Soc. Am. 32, 61, 1942; K2 = 1 - (1 - r)/n^2 with r the diffuse reflectance from outside).
func Smooth(n float64) (Surface, error) {
	if !(n >= 1 && n <= 3) {
		return Surface{}, fmt.Errorf("refractive index %v: binders lie between 1.4 and 1.6", n)
	}
	if n == 1 {
		return Surface{}, nil
	}
	n2 := n * n
	n4 := n2 * n2
	r := 0.5 + (n-1)*(3*n+1)/(6*(n+1)*(n+1)) +
		n2*(n2-1)*(n2-1)/math.Pow(n2+1, 3)*math.Log((n-1)/(n+1)) -
		2*n2*n*(n2+2*n-1)/((n2+1)*(n4-1)) +
		8*n4*(n4+1)/((n2+1)*(n4-1)*(n4-1))*math.Log(n)
	k1 := (n - 1) / (n + 1)
	return Surface{K1: k1 * k1, K2: 1 - (1-r)/n2}, nil
}

// lightestInside is the most an inner reflectance may be; more would be a base brighter than any paint.
const lightestInside = 0.999

// OuterAt is the reflectance outside the surface of a paint with reflectance r inside it.
func (s Surface) OuterAt(r float64) float64 {
	return s.Scattered*s.K1 + between((1-s.K1)*(1-s.K2)*r, s.K2*r)
}

// InnerAt is the inverse of OuterAt, held within 0 and 0.999; ok is false where it had to be.
func (s Surface) InnerAt(measured float64) (r float64, ok bool) {
	m := measured - s.Scattered*s.K1
	r = m / ((1-s.K1)*(1-s.K2) + s.K2*m)
	switch {
	case !(m >= 0):
		return 0, false
	case r > lightestInside:
		return lightestInside, false
	}
	return r, true
}

// Outer is OuterAt in every band.
func (s Surface) Outer(r *colour.Spectrum) colour.Spectrum {
	var outer colour.Spectrum
	for i, v := range r {
		outer[i] = s.OuterAt(v)
	}
	return outer
}

// Inner is InnerAt in every band; held counts the bands that had to be held within 0 and 0.999. Held
// bands will not come back from Outer as they went in: say so to whoever entered the colour.
func (s Surface) Inner(measured *colour.Spectrum) (r colour.Spectrum, held int) {
	for i, v := range measured {
		inner, ok := s.InnerAt(v)
		if !ok {
			held++
		}
		r[i] = inner
	}
	return r, held
}

// slope is the derivative of OuterAt.
func (s Surface) slope(r float64) float64 {
	d := 1 - s.K2*r
	return (1 - s.K1) * (1 - s.K2) / (d * d)
}

func (s Surface) check() error {
	if !(s.K1 >= 0 && s.K1 < 1 && s.K2 >= 0 && s.K2 < 1 && s.Scattered >= 0 && s.Scattered <= 1) {
		return fmt.Errorf("surface with K1 %v, K2 %v and %v of K1 seen: K1 and K2 lie from 0 to below 1, the share from 0 to 1",
			s.K1, s.K2, s.Scattered)
	}
	return nil
}
