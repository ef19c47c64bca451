package film

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"scumble/appearance/colour"
)

// look is a glaze over a base, both outside the surface.
func look(g *Glaze, x float64, base colour.Spectrum, s Surface) colour.Spectrum {
	f := Finish{Ground: base, Surface: s, Coats: []Coat{{g, x}}}
	return f.Spectrum()
}

func TestFromTwoRoundTrip(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 4))
	tried := 0
	for tried < 300 {
		x, s := 5+40*r.Float64(), Surface{K1: .04, K2: .6, Scattered: r.Float64()}
		g := grey(0, 0)
		k, scatter := math.Pow(10, 3*r.Float64()-2.5)/x, math.Pow(10, 3*r.Float64()-2.5)/x
		for i := range g.K {
			g.K[i], g.S[i] = k*(1+.3*math.Sin(float64(i)/9)), scatter*(1+.2*math.Cos(float64(i)/7))
		}
		white, black := s.Outer(ptr(flat(.85+.1*r.Float64()))), s.Outer(ptr(flat(.05*r.Float64())))
		onWhite, onBlack := look(g, x, white, s), look(g, x, black, s)
		if ratio := ratioOfY(&onBlack, &onWhite); ratio < .05 || ratio > .95 {
			continue
		}
		tried++
		got, fit, err := FromTwo(&onWhite, &onBlack, &white, &black, x, s)
		if err != nil {
			t.Fatal(err)
		}
		if len(fit.Inexact)+len(fit.Held) > 0 || fit.Unidentifiable || fit.Residual > 1e-9 {
			t.Fatalf("a film without noise was not found: %+v", fit)
		}
		for i := range g.K {
			near(t, "K x", got.K[i]*x, g.K[i]*x, 1e-8)
			near(t, "S x", got.S[i]*x, g.S[i]*x, 1e-8)
		}
	}
}

func ptr(s colour.Spectrum) *colour.Spectrum { return &s }

func TestFromTwoFindsSpecialFilms(t *testing.T) {
	s := Usual()
	white, black := s.Outer(ptr(flat(.9))), s.Outer(ptr(flat(.02)))
	for _, g := range []*Glaze{grey(0, 0), grey(.1, 0), grey(0, .1)} {
		onWhite, onBlack := look(g, 10, white, s), look(g, 10, black, s)
		got, _, err := FromTwo(&onWhite, &onBlack, &white, &black, 10, s)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "K x", 10*got.K[0], 10*g.K[0], 1e-7)
		near(t, "S x", 10*got.S[0], 10*g.S[0], 1e-7)
	}
}

// TestFromTwoTakesTheNearest gives colours no film has: darker than the base lets black be, and lighter
// over black than over white. A search over a grid must not find a better film.
func TestFromTwoTakesTheNearest(t *testing.T) {
	s := Usual()
	white, black := flat(.85), flat(.04)
	for _, c := range [][2]float64{{.5, .02}, {.3, .33}, {.6, .6}, {.05, .051}, {.93, .5}} {
		onWhite, onBlack := flat(c[0]), flat(c[1])
		g, fit, err := FromTwo(&onWhite, &onBlack, &white, &black, 1, s)
		if err != nil {
			t.Fatal(err)
		}
		if len(fit.Inexact) != colour.Bands || fit.Inexact[0] != 380 || !(fit.Residual > 0) {
			t.Errorf("%v: %d bands inexact, residual %v", c, len(fit.Inexact), fit.Residual)
		}
		miss := func(g *Glaze) float64 {
			a, b := look(g, 1, white, s), look(g, 1, black, s)
			return math.Hypot(lightnessWeight(c[0])*(a[0]-c[0]), lightnessWeight(c[1])*(b[0]-c[1]))
		}
		found := miss(&g)
		for i := range 60 {
			for j := range 60 {
				other := grey(math.Pow(10, float64(i)/12-3.5), math.Pow(10, float64(j)/12-3.5))
				if miss(other) < found-1e-4 {
					t.Fatalf("%v: K %v S %v misses by %v, but %v %v by %v", c, g.K[0], g.S[0], found, other.K[0], other.S[0], miss(other))
				}
			}
		}
	}
}

func TestFromTwoSaysWhatItCannotTell(t *testing.T) {
	s := Usual()
	white, black := flat(.85), flat(.04)
	thick := grey(.3, .5)
	onWhite, onBlack := look(thick, 20, white, s), look(thick, 20, black, s)
	g, fit, err := FromTwo(&onWhite, &onBlack, &white, &black, 20, s)
	if err != nil || !fit.Unidentifiable || fit.ContrastRatio < .98 {
		t.Errorf("a hiding film passed: %+v %v", fit, err)
	}
	near(t, "K/S of a hiding film", g.K[9]/g.S[9], .6, 1e-3)

	_, _, err = FromTwo(&onWhite, ptr(flat(50)), &white, ptr(flat(math.NaN())), 0, Surface{K1: 2})
	for _, want := range []string{"over black reflects 50 at 380 nm", "black base reflects NaN", "film of 0 um", "K1 2"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v does not say %q", err, want)
		}
	}
	if _, _, err = FromTwo(&onWhite, &onBlack, &white, &white, 20, s); err == nil || !strings.Contains(err.Error(), "must differ") {
		t.Error("one base twice passed:", err)
	}
}

func TestFromColour(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := Surface{K1: .04, K2: .6}
		x, clarity := draw(t, "x", 5, 100), draw(t, "clarity", .01, 1)
		var given colour.Spectrum
		low, high := draw(t, "low", .01, .9), draw(t, "high", .01, .9)
		for i := range given {
			given[i] = low + (high-low)*float64(i)/80
		}
		g, fit, err := FromColour(&given, clarity, x, s)
		if err != nil {
			t.Fatal(err)
		}
		if got := 1 - ContrastRatio(&g, x, s); math.Abs(got-clarity) > 1e-8 || len(fit.Held) > 0 {
			t.Fatalf("clarity %v, want %v; %+v", got, clarity, fit)
		}
		perfect := flat(1)
		r := g.On(x, &perfect)
		r = s.Outer(&r)
		for i := range r {
			if math.Abs(r[i]-given[i]) > 1e-10 {
				t.Fatalf("over white %v at band %d, entered %v", r[i], i, given[i])
			}
		}
		if g.S[0] != g.S[80] {
			t.Fatal("scattering is not flat")
		}
	})
}

func TestFromColourOutOfReach(t *testing.T) {
	matt := Surface{K1: .04, K2: .6, Scattered: 1}
	given := flat(.2)
	_, _, err := FromColour(&given, .9, 20, matt)
	if err == nil || !strings.Contains(err.Error(), "the most is 0.800") { // 1 - .04/.2
		t.Error("a matt surface showed no black:", err)
	}
	if _, _, err = FromColour(&given, 0, 20, Usual()); err == nil || !strings.Contains(err.Error(), "out of reach") {
		t.Error("a film hid without remainder:", err)
	}
	if _, _, err = FromColour(&given, 1.2, 20, Usual()); err == nil || !strings.Contains(err.Error(), "clarity 1.2") {
		t.Error("clarity 1.2 passed:", err)
	}
	given[4] = .99 // brighter than a paint in this surface can be
	g, fit, err := FromColour(&given, .8, 20, Usual())
	if err != nil || len(fit.Held) != 1 || fit.Held[0] != 400 || !(fit.Residual > .02) || !(g.K[4] >= 0) {
		t.Errorf("too light a band: %+v %v", fit, err)
	}
}

func BenchmarkFromTwo(b *testing.B) {
	s, white, black := Usual(), flat(.85), flat(.04)
	onWhite, onBlack := look(grey(.03, .02), 20, white, s), look(grey(.03, .02), 20, black, s)
	for b.Loop() {
		_, _, _ = FromTwo(&onWhite, &onBlack, &white, &black, 20, s)
	}
}

func BenchmarkFromColour(b *testing.B) {
	given := flat(.3)
	for b.Loop() {
		_, _, _ = FromColour(&given, .7, 20, Usual())
	}
}
