package film

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"scumble/appearance/colour"
)

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s is %.14g, want %.14g within %g", what, got, want, within)
	}
}

func flat(v float64) (s colour.Spectrum) {
	for i := range s {
		s[i] = v
	}
	return s
}

func grey(k, s float64) *Glaze { return &Glaze{K: flat(k), S: flat(s)} }

func on(k, s, x, g float64) float64 {
	base := flat(g)
	r := grey(k, s).On(x, &base)
	return r[40]
}

// TestFilmValues has Kubelka-Munk worked in 50-digit arithmetic.
func TestFilmValues(t *testing.T) {
	for _, c := range []struct{ k, s, x, g, want float64 }{
		{.1, .5, 1, .8, 0.686768087892},
		{.1, .5, 1, 0, 0.305548660261},
		{1, .05, 1, .9, 0.133379684046},
		{.22, .05, 1, .8, 0.520750012533},
		{1.47, .003, 1, .8, 0.043037053083},
		{.5, .5, 2, .3, 0.268961491284},
		{.001, 10, 1, .05, 0.908887859770},
		{.02, 1.5, .5, .5, 0.627695244302},
		{3, .3, .25, .85, 0.205850605371},
		{1.47, 0, 1, .8, 0.042292582991},
		{0, .5, 1, .8, 0.818181818182},
		{0, 0, 1, .3, 0.3},
		{.5, .5, 1e9, .3, 2 - math.Sqrt(3)},
	} {
		near(t, "reflectance", on(c.k, c.s, c.x, c.g), c.want, 1e-11)
	}
}

func TestStackOfOneGlazeIsAThickerFilm(t *testing.T) {
	g := grey(.3, .4)
	whole, parts := g.Film(1.5), Stack(g.Film(.6), g.Film(.9))
	near(t, "golden reflectance", whole.Over[0], 0.262460848236, 1e-11)
	near(t, "golden transmittance", whole.Through[0], 0.387650265097, 1e-11)
	near(t, "stacked reflectance", parts.Over[0], whole.Over[0], 1e-12)
	near(t, "stacked from below", parts.Under[0], whole.Under[0], 1e-12)
	near(t, "stacked transmittance", parts.Through[0], whole.Through[0], 1e-12)

	rapid.Check(t, func(t *rapid.T) {
		k, s := draw(t, "K", 0, 3), draw(t, "S", 0, 3)
		a, b, base := draw(t, "a", 0, 3), draw(t, "b", 0, 3), flat(draw(t, "base", 0, 1))
		g := grey(k, s)
		whole, parts := g.Film(a+b), Stack(g.Film(a), g.Film(b))
		for _, pair := range [][2]float64{
			{parts.Over[7], whole.Over[7]}, {parts.Under[7], whole.Under[7]}, {parts.Through[7], whole.Through[7]},
			{parts.On(&base)[7], g.On(a+b, &base)[7]},
		} {
			if math.Abs(pair[0]-pair[1]) > 1e-12 {
				t.Fatalf("stacked %.15g, one film %.15g", pair[0], pair[1])
			}
		}
	})
}

func draw(t *rapid.T, name string, from, to float64) float64 {
	return rapid.Float64Range(from, to).Draw(t, name)
}

// TestStackKeepsSidesApart: unlike films look different from below, and laying them on a base one by one
// is laying the stack.
func TestStackKeepsSidesApart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low, high := grey(draw(t, "K1", 0, 2), draw(t, "S1", 0, 2)), grey(draw(t, "K2", 0, 2), draw(t, "S2", 0, 2))
		x1, x2, base := draw(t, "x1", 0, 2), draw(t, "x2", 0, 2), flat(draw(t, "base", 0, .999))
		first := low.On(x1, &base)
		byOne, stacked := high.On(x2, &first), Stack(high.Film(x2), low.Film(x1))
		if got := stacked.On(&base); math.Abs(got[3]-byOne[3]) > 1e-12 {
			t.Fatalf("stack %.15g, one by one %.15g", got[3], byOne[3])
		}
		turned := Stack(low.Film(x1), high.Film(x2))
		if math.Abs(turned.Over[3]-stacked.Under[3])+math.Abs(turned.Through[3]-stacked.Through[3]) > 1e-12 {
			t.Fatal("the stack turned over is not the stack seen from below")
		}
	})
}

// TestFilmSolvesItsEquation integrates dR/dX = S(1+R^2) - 2(K+S)R from the base up (Kubelka and Munk 1931).
func TestFilmSolvesItsEquation(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 14))
	for range 10_000 {
		k, s, x, g := math.Pow(10, 4*r.Float64()-3.4), math.Pow(10, 4*r.Float64()-3.4), r.Float64(), r.Float64()
		rise := func(v float64) float64 { return s*(1+v*v) - 2*(k+s)*v }
		const steps = 500
		h, v := x/steps, g
		for range steps {
			a := rise(v)
			b := rise(v + h/2*a)
			c := rise(v + h/2*b)
			d := rise(v + h*c)
			v += h / 6 * (a + 2*b + 2*c + d)
		}
		if got := on(k, s, x, g); math.Abs(got-v) > 1e-8 {
			t.Fatalf("K %g S %g X %g on %g: %.12g, integrated %.12g", k, s, x, g, got, v)
		}
	}
}

// TestTextbookForm compares with Kubelka 1948 as printed, where that has digits.
func TestTextbookForm(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 48))
	for range 2000 {
		k, s, x, g := .05+2*r.Float64(), .05+2*r.Float64(), .1+2*r.Float64(), r.Float64()
		a := (k + s) / s
		b := math.Sqrt(a*a - 1)
		sinh, cosh := math.Sinh(b*s*x), math.Cosh(b*s*x)
		coth := cosh / sinh
		l := grey(k, s).Film(x)
		near(t, "R", on(k, s, x, g), (1-g*(a-b*coth))/(a-g+b*coth), 1e-11)
		near(t, "R0", l.Over[0], 1/(a+b*coth), 1e-11)
		near(t, "T", l.Through[0], b/(a*sinh+b*cosh), 1e-11)
	}
}

// TestPublishedPigments has K and S of Curtis et al., SIGGRAPH 1997, figure 5, for red, green and blue at a
// film of 1, worked forward over perfect white and black.
func TestPublishedPigments(t *testing.T) {
	for _, c := range []struct {
		name                   string
		k, s, onWhite, onBlack [3]float64
	}{
		{"quinacridone rose", [3]float64{.22, 1.47, .57}, [3]float64{.05, .003, .03}, [3]float64{.646119, .053565, .324216}, [3]float64{.038659, .000965, .017473}},
		{"ultramarine", [3]float64{.86, .86, .06}, [3]float64{.005, .005, .09}, [3]float64{.180087, .180087, .887302}, [3]float64{.002378, .002378, .077936}},
		{"arylide yellow", [3]float64{.06, .21, 1.78}, [3]float64{.50, .88, .009}, [3]float64{.889003, .687556, .030446}, [3]float64{.316233, .395641, .002445}},
		{"indian red", [3]float64{.46, 1.07, 1.50}, [3]float64{1.28, .38, .21}, [3]float64{.511979, .192693, .095011}, [3]float64{.404403, .125380, .059575}},
	} {
		for i := range c.k {
			near(t, c.name+" on white", on(c.k[i], c.s[i], 1, 1), c.onWhite[i], 1e-6)
			near(t, c.name+" on black", on(c.k[i], c.s[i], 1, 0), c.onBlack[i], 1e-6)
		}
	}
}

func TestLimits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k, s, x, g := draw(t, "K", 0, 5), draw(t, "S", 0, 5), draw(t, "X", 0, 5), draw(t, "g", 0, 1)
		check := func(what string, got, want, within float64) {
			if !(math.Abs(got-want) <= within) {
				t.Fatalf("%s: %.14g, want %.14g", what, got, want)
			}
		}
		check("no film", on(k, s, 0, g), g, 0)
		check("less than no film", on(k, s, -1, g), g, 0)
		check("no scattering", on(k, 0, x, g), g*math.Exp(-2*k*x), 1e-12)
		check("no absorption", on(0, s, x, g), (g+s*x*(1-g))/(1+s*x*(1-g)), 1e-12)
		check("nothing", on(0, 0, x, g), g, 0)
		if s > .01 {
			q := k / s
			check("hiding", on(k, s, math.Inf(1), g), 1/(1+q+math.Sqrt(q*q+2*q)), 1e-6)
		}
		// Where the formula changes over, nothing shows.
		small := 1e-6 / x
		if x > .1 {
			check("either side of the seam", on(small*.999999, 0, x, g), on(small*1.000001, 0, x, g), 1e-11)
		}
	})
}

func TestFilmIsMonotoneAndWithinBounds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k, s, x, g := draw(t, "K", 0, 20), draw(t, "S", 0, 20), draw(t, "X", 0, 20), draw(t, "g", 0, 1)
		more := 1 + draw(t, "more", 0, 1)
		r := on(k, s, x, g)
		const eps = 1e-13
		if !(r >= 0 && r <= 1+eps) {
			t.Fatalf("reflectance %v", r)
		}
		l := grey(k, s).Film(x)
		if !(l.Over[0] >= 0 && l.Through[0] >= 0 && l.Over[0]+l.Through[0] <= 1+eps) {
			t.Fatalf("a film that gives %v and %v of the light", l.Over[0], l.Through[0])
		}
		if on(k*more, s, x, g) > r+eps {
			t.Fatal("more absorption made it lighter")
		}
		if on(k, s*more, x, 0) < on(k, s, x, 0)-eps {
			t.Fatal("more scattering made it darker over black")
		}
		if on(k, s, x, g*.9) > r+eps {
			t.Fatal("a darker base made it lighter")
		}
		q := k / s
		settled := 1 / (1 + q + math.Sqrt(q*q+2*q))
		if s > 0 && math.Abs(on(k, s, x*more, g)-settled) > math.Abs(r-settled)+1e-12 {
			t.Fatal("a thicker film is further from the colour of a hiding one")
		}
	})
}

func TestSlopes(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 71))
	for range 2000 {
		k, s, x, g := math.Pow(10, 3*r.Float64()-2.5), math.Pow(10, 3*r.Float64()-2.5), 2*r.Float64(), r.Float64()
		_, byK, byS := slopes(k, s, x, g)
		const h = 1e-5
		near(t, "slope by K", byK, (over(k*(1+h), s, x, g)-over(k*(1-h), s, x, g))/(2*h*k), 1e-6*max(1, x/(k+s)))
		near(t, "slope by S", byS, (over(k, s*(1+h), x, g)-over(k, s*(1-h), x, g))/(2*h*s), 1e-6*max(1, x/(k+s)))
	}
}

func TestContrastRatio(t *testing.T) {
	for _, c := range []struct{ k, s, want float64 }{
		{0, 0, 0},    // clear
		{.5, 0, 0},   // a stain: black over black
		{0, 1, .5},   // R0 = SX/(1+SX), and 1 over white
		{0, 99, .99}, //
	} {
		near(t, "contrast ratio", ContrastRatio(grey(c.k, c.s), 1, Surface{}), c.want, 1e-12)
	}
	// A matt surface shows over black whatever the film.
	matt := Surface{K1: .04, K2: .6, Scattered: 1}
	near(t, "contrast ratio of a bare matt surface", ContrastRatio(grey(0, 0), 1, matt), .04/(.04+.96), 1e-12)
}

func TestMix(t *testing.T) {
	red, blue := grey(.2, .1), grey(.01, .3)
	mix, err := Mix([]Part{{red, 3}, {blue, 1}})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "K", mix.K[5], .75*.2+.25*.01, 1e-15)
	near(t, "S", mix.S[5], .75*.1+.25*.3, 1e-15)

	rapid.Check(t, func(t *rapid.T) {
		a, b := grey(draw(t, "Ka", 0, 2), draw(t, "Sa", 0, 2)), grey(draw(t, "Kb", 0, 2), draw(t, "Sb", 0, 2))
		m, n, scale := draw(t, "m", .01, 5), draw(t, "n", 0, 5), draw(t, "scale", .1, 10)
		one, err1 := Mix([]Part{{a, m}, {b, n}})
		two, err2 := Mix([]Part{{b, n * scale}, {a, m * scale / 2}, {a, m * scale / 2}})
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		if math.Abs(one.K[0]-two.K[0])+math.Abs(one.S[0]-two.S[0]) > 1e-12 {
			t.Fatal("a mix hangs on the measure, the order or the parting of its parts")
		}
		alone, err := Mix([]Part{{a, m}, {b, 0}})
		if err != nil || alone != *a {
			t.Fatal("a part without volume changed the mix")
		}
	})
}

func TestMixRefuses(t *testing.T) {
	bad := grey(-1, 0)
	_, err := Mix([]Part{{nil, 1}, {grey(1, 1), math.NaN()}, {bad, 1}})
	for _, want := range []string{"part 1 has no glaze", "part 2 has a share of NaN", "part 3: the glaze has K -1"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v does not say %q", err, want)
		}
	}
	if _, err := Mix(nil); err == nil || !strings.Contains(err.Error(), "no volume") {
		t.Error("an empty recipe passed:", err)
	}
}

// TestFinish builds ground, two glazes and a clear coat by layers.
func TestFinish(t *testing.T) {
	first, second, dulled := grey(.02, .01), grey(.05, .004), grey(0, .002)
	satin := Surface{K1: .04, K2: .6, Scattered: .3}
	f := Finish{
		Ground: flat(.7), Surface: Usual(), Coats: []Coat{{first, 20}, {second, 10}},
		Clear: &Clear{Coat{dulled, 30}, satin},
	}
	bare, _ := f.Surface.Inner(&f.Ground)
	layers := Stack(dulled.Film(30), Stack(second.Film(10), first.Film(20)))
	inner := layers.On(&bare)
	want, got := satin.Outer(&inner), f.Spectrum()
	near(t, "finish", got[11], want[11], 1e-12)

	nothing := Finish{Ground: flat(.7), Surface: Usual(), Coats: []Coat{{first, 0}, {nil, 3}}}
	r := nothing.Spectrum()
	near(t, "ground without films", r[0], .7, 1e-12)

	// The clear coat changes the surface alone: a matt one makes a dark finish lighter.
	dark := Finish{Ground: flat(.7), Surface: Usual(), Coats: []Coat{{grey(.5, 0), 20}}}
	gloss := dark.Spectrum()
	dark.Clear = &Clear{Surface: Surface{K1: .04, K2: .6, Scattered: 1}}
	matt := dark.Spectrum()
	near(t, "what a matt surface adds", matt[0]-gloss[0], .04, 1e-12)
}
