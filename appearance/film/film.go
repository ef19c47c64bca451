// Package film is the optics of glaze films: what colour a base takes under one or more of them
// (Kubelka-Munk with two constants a band), how a glaze is told from its colours or from a series of
// tints, and the tables a picture looks films up in. It knows no walls and no strokes.
//
// The theory leaves out the gloss of the surface, fluorescence, interference and strongly directed light,
// and the colour of wet paint is not that of dry paint. Another binder or extender changes K and S.
package film

import (
	"errors"
	"fmt"
	"math"

	"scumble/appearance/colour"
)

// Glaze is what one glaze does to light: K takes it away and S scatters it back, both per um of wet film
// as laid and not below 0. The zero Glaze is perfectly clear. Flake is nil without flakes.
type Glaze struct {
	K, S  colour.Spectrum
	Flake *Flake
}

// Layer is a film by itself, without a surface to air: the reflectance from above and from below, and the
// share of light let through, each 0..1.
type Layer struct{ Over, Under, Through colour.Spectrum }

// Coat is a glaze laid at X um of wet film.
type Coat struct {
	Glaze *Glaze
	X     float64
}

// Clear is the coat that closes a finish. It may scatter or tint slightly through its Glaze, and its
// Surface takes the place of the surface below it.
type Clear struct {
	Coat
	Surface Surface
}

// Finish is a coat system: glazes over a ground.
type Finish struct {
	Ground  colour.Spectrum // as measured or entered, outside its surface
	Surface Surface         // of the ground when it was seen bare, and of the last glaze
	Coats   []Coat          // in the order laid
	Clear   *Clear          // nil without one
}

// thickest stands for films without end, um: a kilometre, where 1/X still keeps its digits.
const thickest = 1e9

// bend is t = tanh(kX)/k in um and sech(kX), with k = sqrt(K(K+2S)). In t every formula of Kubelka-Munk
// is free of 0/0, with K or S or both 0 and for any film (rearranged from Kubelka, J. Opt. Soc. Am. 38,
// 448, 1948, eq. 21-29; why the textbook forms fail: Viggiano 2021).
func bend(k, s, x float64) (t, sech float64) {
	kappa := math.Sqrt(k * (k + 2*s))
	y := kappa * x
	if y < 1e-6 {
		return x * (1 - y*y/3), 1 - y*y/2
	}
	q := math.Expm1(-y)
	e := 1 + q
	return -q * (2 + q) / (1 + e*e) / kappa, 2 * e / (1 + e*e)
}

// over is the reflectance of a film on a base of reflectance g, both inside the surface.
func over(k, s, x, g float64) float64 {
	t, _ := bend(k, s, x)
	return (s*t + g*(1-(k+s)*t)) / (1 + (k+s-g*s)*t)
}

// slopes is over with its derivatives by K and by S, um.
func slopes(k, s, x, g float64) (r, byK, byS float64) {
	t, _ := bend(k, s, x)
	square := k * (k + 2*s)
	bySquare := -x*x*x/3 + 4*square*x*x*x*x*x/15 // of t, by k squared
	if square*x*x > 1e-4 {
		bySquare = (x*(1-square*t*t) - t) / (2 * square)
	}
	top, bottom := s*t+g*(1-(k+s)*t), 1+(k+s-g*s)*t
	r = top / bottom
	byT := (s - g*(k+s) - r*(k+s-g*s)) / bottom
	byK = (-g*t-r*t)/bottom + byT*bySquare*2*(k+s)
	byS = (t*(1-g)-r*t*(1-g))/bottom + byT*bySquare*2*k
	return r, byK, byS
}

func atLeastNothing(x float64) float64 { return min(max(x, 0), thickest) }

// Film is the glaze laid at x um, by itself.
func (g *Glaze) Film(x float64) Layer {
	var l Layer
	x = atLeastNothing(x)
	for i := range l.Over {
		k, s := g.K[i], g.S[i]
		t, sech := bend(k, s, x)
		l.Over[i] = s * t / (1 + (k+s)*t)
		l.Through[i] = sech / (1 + (k+s)*t)
	}
	l.Under = l.Over
	return l
}

// On is the reflectance of x um of the glaze on a base, both inside the surface (see Surface.Inner).
func (g *Glaze) On(x float64, base *colour.Spectrum) colour.Spectrum {
	var r colour.Spectrum
	x = atLeastNothing(x)
	for i := range r {
		r[i] = over(g.K[i], g.S[i], x, base[i])
	}
	return r
}

// On is the reflectance of the film on a base, both inside the surface.
func (l Layer) On(base *colour.Spectrum) colour.Spectrum {
	var r colour.Spectrum
	for i := range r {
		r[i] = l.Over[i] + between(l.Through[i]*l.Through[i]*base[i], l.Under[i]*base[i])
	}
	return r
}

// Stack lays one film on another (Kubelka, J. Opt. Soc. Am. 44, 330, 1954, eq. 5-8).
func Stack(top, bottom Layer) Layer {
	var l Layer
	for i := range l.Over {
		up, down := top.Through[i], bottom.Through[i]
		again := top.Under[i] * bottom.Over[i]
		l.Over[i] = top.Over[i] + between(up*up*bottom.Over[i], again)
		l.Under[i] = bottom.Under[i] + between(down*down*top.Under[i], again)
		l.Through[i] = between(up*down, again)
	}
	return l
}

// between sums light going to and fro: first + first*again + first*again^2 and so on. Two perfect mirrors
// let nothing in between them.
func between(first, again float64) float64 {
	if again >= 1 {
		return 0
	}
	return first / (1 - again)
}

// Spectrum is the reflectance of the finish as an eye or an instrument sees it, outside its surface and
// without the lobe of flakes. A ground too light for its surface counts as 0.999 inside (see Surface.Inner).
func (f *Finish) Spectrum() colour.Spectrum {
	r, _ := f.Surface.Inner(&f.Ground)
	for _, c := range f.Coats {
		if c.Glaze != nil {
			r = c.Glaze.On(c.X, &r)
		}
	}
	surface := f.Surface
	if f.Clear != nil {
		surface = f.Clear.Surface
		if f.Clear.Glaze != nil {
			r = f.Clear.Glaze.On(f.Clear.X, &r)
		}
	}
	return surface.Outer(&r)
}

// ContrastRatio is how far x um of the glaze hides, 0 to 1: Y over perfect black by Y over perfect white,
// seen through surface s (ISO 6504-3; D65, 10 degrees). It is 1 for a film that is black over both.
func ContrastRatio(g *Glaze, x float64, s Surface) float64 {
	var black, white colour.Spectrum
	for i := range white {
		white[i] = 1
	}
	white, black = g.On(x, &white), g.On(x, &black)
	white, black = s.Outer(&white), s.Outer(&black)
	return ratioOfY(&black, &white)
}

func ratioOfY(black, white *colour.Spectrum) float64 {
	y := colour.LRV(white)
	if y <= 0 {
		return 1
	}
	return colour.LRV(black) / y
}

// Part is a glaze in a recipe; Share is its volume by any measure common to the recipe.
type Part struct {
	Glaze *Glaze
	Share float64
}

// Mix is the glaze of a recipe: K and S are means by volume (Duncan, Proc. Phys. Soc. 52, 390, 1940).
// Flakes mix too when they lie alike. All parts must come from one binder and extender: measured films
// show that figures of a pigment do not carry over to another extender.
func Mix(parts []Part) (Glaze, error) {
	var mix Glaze
	var problems []error
	total := 0.0
	for i, p := range parts {
		switch {
		case p.Glaze == nil:
			problems = append(problems, fmt.Errorf("part %d has no glaze: name one", i+1))
		case !(p.Share >= 0) || math.IsInf(p.Share, 0):
			problems = append(problems, fmt.Errorf("part %d has a share of %v: give its volume, 0 or more", i+1, p.Share))
		default:
			if err := p.Glaze.check(); err != nil {
				problems = append(problems, fmt.Errorf("part %d: %w", i+1, err))
			}
			total += p.Share
		}
	}
	if len(problems) == 0 && !(total > 0) {
		problems = append(problems, errors.New("the recipe has no volume: give at least one part a share above 0"))
	}
	if len(problems) > 0 {
		return Glaze{}, errors.Join(problems...)
	}
	for i, p := range parts {
		share := p.Share / total
		if share == 0 {
			continue
		}
		for band := range mix.K {
			mix.K[band] += share * p.Glaze.K[band]
			mix.S[band] += share * p.Glaze.S[band]
		}
		if p.Glaze.Flake == nil {
			continue
		}
		both, err := mix.Flake.with(share, p.Glaze.Flake)
		if err != nil {
			return Glaze{}, fmt.Errorf("part %d: %w", i+1, err)
		}
		mix.Flake = both
	}
	return mix, nil
}

func (g *Glaze) check() error {
	for i := range g.K {
		for _, v := range [2]float64{g.K[i], g.S[i]} {
			if !(v >= 0) || math.IsInf(v, 0) {
				return fmt.Errorf("the glaze has K %v and S %v per um at %d nm: both must be finite and not below 0",
					g.K[i], g.S[i], nanometres(i))
			}
		}
	}
	return nil
}

func nanometres(band int) int { return colour.First + colour.Step*band }
