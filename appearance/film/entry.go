package film

import (
	"errors"
	"fmt"
	"math"

	"scumble/appearance/colour"
)

// Above this contrast ratio the base hardly shows, and colours of the film tell K/S but not K and S.
const hides = 0.98

// Fit says how well a glaze gives back the colours it was told from.
type Fit struct {
	// Inexact are the bands, nm, where no film has exactly these colours and the nearest was taken.
	Inexact []int
	// Held are the bands, nm, where a colour was lighter or darker than its surface lets a paint look; it
	// was held within what does (see Surface.InnerAt), so these bands come back changed.
	Held []int
	// Residual is the largest difference in any band between a colour given and the one the glaze gives
	// back, as reflectance 0..1 outside the surface.
	Residual float64
	// ContrastRatio is Y over the black base by Y over the white one, of the colours given.
	ContrastRatio float64
	// Unidentifiable says that the film hides its base (contrast ratio above 0.98), so that only K/S is
	// known: enter a thinner film, or a tint with a known white.
	Unidentifiable bool
}

// FromTwo is the glaze of which x um look overWhite on a white base and overBlack on a black one. All four
// are reflectances outside surface s, as entered or measured; the bases need not be perfect, only
// different in every band. Where no film has these colours the glaze with the least squares of lightness
// is taken, never a clamped one. It fails for x not above 0 and for bases that do not differ.
func FromTwo(overWhite, overBlack, white, black *colour.Spectrum, x float64, s Surface) (Glaze, Fit, error) {
	problems := []error{s.check(), checkFilm(x)}
	for _, given := range []struct {
		name string
		r    *colour.Spectrum
	}{{"over white", overWhite}, {"over black", overBlack}, {"white base", white}, {"black base", black}} {
		problems = append(problems, checkReflectance(given.name, given.r))
	}
	if err := errors.Join(problems...); err != nil {
		return Glaze{}, Fit{}, err
	}
	fit := Fit{ContrastRatio: ratioOfY(overBlack, overWhite)}
	fit.Unidentifiable = !(fit.ContrastRatio <= hides)
	var g Glaze
	for i := range g.K {
		on := [2]backed{{overWhite[i], 0, 0}, {overBlack[i], 0, 0}}
		held := false
		for n, pair := range [2][2]float64{{white[i], overWhite[i]}, {black[i], overBlack[i]}} {
			base, ok := s.InnerAt(pair[0])
			coated, ok2 := s.InnerAt(pair[1])
			on[n] = backed{pair[1], base, coated}
			held = held || !ok || !ok2
		}
		if !(on[0].base-on[1].base > 0.01) {
			return Glaze{}, Fit{}, fmt.Errorf("at %d nm the white base reflects %.3f and the black one %.3f: they must differ by more than 0.01",
				nanometres(i), white[i], black[i])
		}
		k, scatter, ok := unlayer(on, x)
		if !ok {
			k, scatter = nearest(on, x, s)
			fit.Inexact = append(fit.Inexact, nanometres(i))
		}
		if held {
			fit.Held = append(fit.Held, nanometres(i))
		}
		g.K[i], g.S[i] = k, scatter
		for _, b := range on {
			fit.Residual = max(fit.Residual, math.Abs(s.OuterAt(over(k, scatter, x, b.base))-b.measured))
		}
	}
	return g, fit, nil
}

// backed is a film on one base: as measured outside the surface, and base and film inside it.
type backed struct{ measured, base, coated float64 }

// unlayer finds K and S of x um from two bases. With p = (K+S)t and q = St, t as in bend, the film on a
// base g measures r where p(r+g) - q(1+rg) = g - r: two bases, two linear equations, with no special case
// for clear or purely scattering films. Then p^2-q^2 = tanh(kX)^2. It is not ok where that is no film.
func unlayer(on [2]backed, x float64) (k, s float64, ok bool) {
	sum, product, difference := [2]float64{}, [2]float64{}, [2]float64{}
	for i, b := range on {
		sum[i], product[i], difference[i] = b.coated+b.base, 1+b.coated*b.base, b.base-b.coated
	}
	det := sum[1]*product[0] - sum[0]*product[1]
	p := (product[0]*difference[1] - product[1]*difference[0]) / det
	q := (sum[0]*difference[1] - sum[1]*difference[0]) / det
	const rounding = 1e-13
	if !(p >= q-rounding && q >= -rounding) {
		return 0, 0, false
	}
	q = max(q, 0)
	p = max(p, q)
	h := math.Sqrt((p - q) * (p + q))
	if !(h < 1-1e-9) {
		return 0, 0, false
	}
	t := x
	if h > 1e-6 {
		t = x * h / math.Atanh(h)
	}
	return (p - q) / t, q / t, true
}

// nearest is the film with the least squares of lightness on all its bases.
func nearest(on [2]backed, x float64, s Surface) (k, scatter float64) {
	problem := squares{unknowns: 2, rows: 2, look: func(p, miss, slope []float64) {
		for i, b := range on {
			weight := lightnessWeight(b.measured)
			r, byK, byS := slopes(p[0]/x, p[1]/x, x, b.base)
			miss[i] = weight * (s.OuterAt(r) - b.measured)
			slope[2*i] = weight * s.slope(r) * byK / x
			slope[2*i+1] = weight * s.slope(r) * byS / x
		}
	}}
	var best []float64
	least := math.Inf(1)
	miss, slope := make([]float64, 2), make([]float64, 4)
	// Clear, half hiding and hiding films to start from, each of the hue of the colour over white.
	ratio := absorption(on[0].coated)
	for _, start := range []float64{0.05, 1, 5} {
		p := []float64{min(start*ratio, 10), start}
		problem.solve(p)
		problem.look(p, miss, slope)
		if sum := sumOfSquares(miss); sum < least {
			best, least = p, sum
		}
	}
	if best == nil {
		return 0, 0
	}
	return best[0] / x, best[1] / x
}

// absorption is K/S of an opaque paint of inner reflectance r (Kubelka and Munk, Z. tech. Phys. 12, 593, 1931).
func absorption(r float64) float64 {
	r = max(r, 1e-4)
	return (1 - r) * (1 - r) / (2 * r)
}

// lightnessWeight makes misses of reflectance into misses of about equal lightness: CIELAB lightness goes
// with the cube root of Y, whose slope this is but for a factor.
func lightnessWeight(measured float64) float64 {
	return math.Pow(max(measured, 0.003), -2.0/3)
}

// darkestEntered is as near to a perfect black as an entered colour is taken, inside its surface.
const darkestEntered = 1e-6

// FromColour is the glaze of which x um laid over perfect white look overWhite, and which lets its base
// show by clarity: 1 less the contrast ratio of that film (see ContrastRatio), 1 a clear stain and 0 a
// hiding paint. Scattering is taken as equal in all bands; K then follows band by band, so the colour over
// white comes back exactly, save in the bands that Fit.Held names. Colours that sit in a matt surface
// cannot be quite clear, because the surface itself shows over black: where the clarity is out of reach it
// fails and says what the most is. Clarity 0 is out of reach, as no film hides without remainder.
func FromColour(overWhite *colour.Spectrum, clarity, x float64, s Surface) (Glaze, Fit, error) {
	problems := []error{s.check(), checkFilm(x), checkReflectance("over white", overWhite)}
	if !(clarity >= 0 && clarity <= 1) {
		problems = append(problems, fmt.Errorf("clarity %v: give 0 for hiding to 1 for clear", clarity))
	}
	if err := errors.Join(problems...); err != nil {
		return Glaze{}, Fit{}, err
	}
	var fit Fit
	var wanted colour.Spectrum // K t, see absorbing
	for i, measured := range overWhite {
		r, ok := s.InnerAt(measured)
		if !ok || r < darkestEntered {
			r = max(r, darkestEntered)
			fit.Held = append(fit.Held, nanometres(i))
		}
		fit.Residual = max(fit.Residual, math.Abs(s.OuterAt(r)-measured))
		wanted[i] = (1 - r) / (1 + r)
	}
	laid := func(scatter float64) (g Glaze, clear float64) {
		for i, kt := range wanted {
			g.S[i] = scatter
			g.K[i] = absorbing(kt, scatter, x)
		}
		return g, 1 - ContrastRatio(&g, x, s)
	}
	g, most := laid(0)
	_, least := laid(mostScatter / x)
	const close = 1e-9
	switch {
	case clarity > most+close:
		return Glaze{}, Fit{}, fmt.Errorf("clarity %.3f is out of reach for this colour in this surface: the most is %.3f", clarity, most)
	case clarity < least:
		return Glaze{}, Fit{}, fmt.Errorf("clarity %.5f is out of reach: no film of this colour hides more than to %.5f", clarity, least)
	case clarity < most-close:
		low, high := math.Log(1e-12/x), math.Log(mostScatter/x)
		for range 60 {
			middle := (low + high) / 2
			if _, clear := laid(math.Exp(middle)); clear > clarity {
				low = middle
			} else {
				high = middle
			}
		}
		g, _ = laid(math.Exp((low + high) / 2))
	}
	fit.ContrastRatio = ContrastRatio(&g, x, s)
	fit.Unidentifiable = fit.ContrastRatio > hides
	return g, fit, nil
}

// mostScatter is S times the film that a search goes to: over black it leaves a thousandth to be hidden.
const mostScatter = 1000

// absorbing is the K with which x um that scatter s have K t = kt, t as in bend: over perfect white they
// reflect (1-kt)/(1+kt). K t rises with K and bends down, and is at most K x, so Newton's steps from
// below never pass the answer.
func absorbing(kt, s, x float64) float64 {
	k := kt / x
	for range 100 {
		t, _ := bend(k, s, x)
		square := k * (k + 2*s)
		bySquare := -x*x*x/3 + 4*square*x*x*x*x*x/15
		if square*x*x > 1e-4 {
			bySquare = (x*(1-square*t*t) - t) / (2 * square)
		}
		step := (kt - k*t) / (t + k*bySquare*2*(k+s))
		if !(step > 1e-15*k) {
			break
		}
		k += step
	}
	return k
}

func checkFilm(x float64) error {
	if !(x > 0 && x <= thickest) {
		return fmt.Errorf("film of %v um: give the wet film of the colours entered, above 0", x)
	}
	return nil
}

// checkReflectance allows what instruments report a little outside 0..1.
func checkReflectance(name string, r *colour.Spectrum) error {
	for i, v := range r {
		if !(v >= -0.01 && v <= 1.2) {
			return fmt.Errorf("%s reflects %v at %d nm: give reflectance as a ratio, 0 to 1", name, v, nanometres(i))
		}
	}
	return nil
}
