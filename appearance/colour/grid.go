package colour

import (
	"fmt"
	"math"
)

// Readings must reach this far for their colour to mean anything, nm. Below lie 3 % of Z and 1 % of X of
// white under D65, above lie 0.4 % of X: a held end value can stand in for those.
const (
	neededFrom = 420
	neededTo   = 680
)

// Resample brings values measured every step nm from first nm on to the grid. Between readings it takes
// Lagrange's cubic through the four nearest, in the first and last interval the parabola through three
// (ASTM E2022-11); beyond the readings it holds the end value (ASTM E308-15). Steps up to 20 nm suit
// reflectances; a value can overshoot its neighbours a little and is not clipped.
// It fails when step is not above 0, a value is not a number, there are fewer than 2 values, or they do
// not reach from 420 to 680 nm.
func Resample(first, step float64, values []float64) (Spectrum, error) {
	if !(step > 0) || math.IsInf(step, 0) || math.IsNaN(first) || math.IsInf(first, 0) {
		return Spectrum{}, fmt.Errorf("wavelengths start at %g nm in steps of %g nm: a start in nm and a step above 0 nm are needed", first, step)
	}
	if len(values) < 2 {
		return Spectrum{}, fmt.Errorf("%d spectral values: at least 2 are needed, better one every 10 nm from 400 to 700 nm", len(values))
	}
	last := first + step*float64(len(values)-1)
	if first > neededFrom || last < neededTo {
		return Spectrum{}, fmt.Errorf("values from %g to %g nm: the range must cover %d to %d nm", first, last, neededFrom, neededTo)
	}
	for i, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return Spectrum{}, fmt.Errorf("the value at %g nm is %v: a finite number is needed", first+step*float64(i), v)
		}
	}
	var s Spectrum
	for i := range s {
		s[i] = lagrange((float64(First+Step*i)-first)/step, values)
	}
	return s, nil
}

// lagrange is the value at a place counted in steps from the first reading.
func lagrange(place float64, values []float64) float64 {
	last := len(values) - 1
	switch {
	case place <= 0:
		return values[0]
	case place >= float64(last):
		return values[last]
	}
	k := int(place)
	if math.Abs(place-math.Round(place)) < 1e-9 { // on a reading, but for rounding
		return values[int(math.Round(place))]
	}
	from, to := max(k-1, 0), min(k+2, last)
	sum := 0.0
	for i := from; i <= to; i++ {
		weight := 1.0
		for j := from; j <= to; j++ {
			if j != i {
				weight *= (place - float64(j)) / float64(i-j)
			}
		}
		sum += weight * values[i]
	}
	return sum
}
