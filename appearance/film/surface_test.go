package film

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestSurfaceValues(t *testing.T) {
	included := Surface{K1: .04, K2: .6, Scattered: 1}
	for _, c := range [][2]float64{{.05, .059793814}, {.2, .127272727}, {.5, .314285714}, {.9, .791304348}} {
		near(t, "mirror image included", included.OuterAt(c[0]), c[1], 5e-10)
		near(t, "mirror image shut out", Usual().OuterAt(c[0]), c[1]-.04, 5e-10)
	}
	// Fresnel, and Walsh's diffuse reflectance through K2 = 1-(1-r)/n^2.
	for _, c := range []struct{ n, k1, diffuse, k2 float64 }{
		{1.45, .0337, .0844, .5645}, {1.49, .0387, .0903, .5902}, {1.50, .0400, .0918, .5963}, {1.55, .0465, .0991, .6250},
	} {
		s, err := Smooth(c.n)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "K1", s.K1, c.k1, 6e-5)
		near(t, "K2", s.K2, c.k2, 6e-5)
		near(t, "diffuse reflectance", 1-(1-s.K2)*c.n*c.n, c.diffuse, 6e-5)
	}
	if s, err := Smooth(1); err != nil || s != (Surface{}) {
		t.Error("no change of index is a surface:", s, err)
	}
	for _, n := range []float64{0, .9, 4, math.NaN(), math.Inf(1)} {
		if _, err := Smooth(n); err == nil {
			t.Error("index", n, "passed")
		}
	}
}

// TestSmoothByIntegration sums Fresnel's reflectance over all directions.
func TestSmoothByIntegration(t *testing.T) {
	const n, steps = 1.5, 200_000
	sum := 0.0
	for i := range steps {
		angle := (float64(i) + .5) / steps * math.Pi / 2
		sin := math.Sin(angle)
		c, d := math.Cos(angle), math.Sqrt(1-sin*sin/(n*n))
		s, p := (c-n*d)/(c+n*d), (d-n*c)/(d+n*c)
		sum += (s*s + p*p) / 2 * 2 * sin * c * math.Pi / 2 / steps
	}
	s, err := Smooth(n)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "K2", s.K2, 1-(1-sum)/(n*n), 1e-6)
}

func TestSurfaceInverse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := Surface{draw(t, "K1", 0, .1), draw(t, "K2", 0, .7), draw(t, "scattered", 0, 1)}
		r := draw(t, "r", 0, .998)
		back, ok := s.InnerAt(s.OuterAt(r))
		if math.Abs(back-r) > 1e-12 || (!ok && r > 1e-9) {
			t.Fatalf("%v came back %v, %v", r, back, ok)
		}
		if s.OuterAt(r+.001) <= s.OuterAt(r) {
			t.Fatal("lighter inside, not lighter outside")
		}
		const h = 1e-6
		if got, want := s.slope(r), (s.OuterAt(r+h)-s.OuterAt(r))/h; math.Abs(got-want) > 1e-4*(1+want) {
			t.Fatalf("slope %v, want %v", got, want)
		}
	})
}

func TestSurfaceHolds(t *testing.T) {
	r := flat(.5)
	r[0], r[1] = 1.1, -.01
	inner, held := Usual().Inner(&r)
	if held != 2 || inner[0] != .999 || inner[1] != 0 {
		t.Error("held", held, "bands at", inner[0], inner[1])
	}
}
