package film

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"scumble/appearance/colour"
)

func TestTilt(t *testing.T) {
	for _, c := range [][2]float64{{-15, -3.57}, {15, 4.33}, {25, 7.47}, {45, 14.06}, {75, 23.80}, {110, 32.65}, {0, 0}} {
		near(t, "tilt", Tilt(c[0]), c[1], .005)
	}
	f := Flake{Sigma: 7}
	for i, want := range []float64{.826, .566, .133, .003, 0} {
		angle := []float64{15, 25, 45, 75, 110}[i]
		near(t, "brightness", f.Brightness(45, 45-angle), want, 6e-4)
	}
	near(t, "light and eye change places", f.Brightness(20, -5), f.Brightness(-5, 20), 1e-15)
	near(t, "no spread", (&Flake{}).Brightness(45, 45), 0, 0)
}

func lightness(r colour.Spectrum) float64 { return colour.Daylight().Lab(&r).L }

func differ(a, b colour.Spectrum) float64 {
	v := colour.Daylight()
	return colour.DeltaE(v.Lab(&a), v.Lab(&b))
}

func TestFitMetallicFindsTheLobe(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		made := Metallic{
			Peak:  bell(draw(t, "low", .1, 1), draw(t, "high", .1, 2), draw(t, "middle", 400, 700), 60),
			Base:  bell(draw(t, "dark", .01, .2), draw(t, "light", .01, .5), draw(t, "hue", 400, 700), 60),
			Sigma: draw(t, "sigma", 4, 12),
		}
		near, middle, far := made.At(15), made.At(45), made.At(110)
		m, err := FitMetallic(&near, &middle, &far)
		if err != nil {
			t.Fatal(err)
		}
		if m.Worst > .01 || math.Abs(m.Sigma-made.Sigma) > .02 {
			t.Fatalf("spread %v for %v, off by %v", m.Sigma, made.Sigma, m.Worst)
		}
		for _, angle := range []float64{25, 75} {
			if e := differ(m.At(angle), made.At(angle)); e > .05 {
				t.Fatalf("at %v degrees off by %v", angle, e)
			}
		}
	})
}

// TestFitMetallicWithNoise: instruments repeat to some tenths; the three angles must still come back to
// 0.5 and those between lie between.
func TestFitMetallicWithNoise(t *testing.T) {
	made := Metallic{Peak: bell(.5, 1.1, 620, 90), Base: bell(.05, .2, 600, 60), Sigma: 7}
	near, middle, far := made.At(15), made.At(45), made.At(110)
	for i := range near {
		near[i] *= 1 + .01*math.Sin(float64(i))
		middle[i] *= 1 + .01*math.Sin(float64(2*i)) + .003*float64(i-40)/40
		far[i] *= 1 - .01*math.Cos(float64(i))
	}
	m, err := FitMetallic(&near, &middle, &far)
	if err != nil {
		t.Fatal(err)
	}
	for _, at := range []struct {
		angle float64
		r     colour.Spectrum
	}{{15, near}, {45, middle}, {110, far}} {
		if e := differ(m.At(at.angle), at.r); e > .5 {
			t.Errorf("at %v degrees off by %.2f", at.angle, e)
		}
	}
	last := math.Inf(1)
	for _, angle := range []float64{15, 25, 45, 75, 110} {
		l := lightness(m.At(angle))
		if l > last {
			t.Errorf("lighter at %v degrees than nearer the mirror direction", angle)
		}
		last = l
	}
}

func TestFitMetallicRefusesInterference(t *testing.T) {
	// Gold towards the mirror direction, green away from it.
	base := flat(.1)
	near, middle := base, base
	gold, green := bell(.1, .9, 620, 60), bell(.1, .9, 530, 50)
	for i := range base {
		near[i] += .8 * gold[i]
		middle[i] += .13 * green[i]
	}
	_, err := FitMetallic(&near, &middle, &base)
	if err == nil {
		t.Fatal("a pigment whose hue travels was fitted")
	}
	for _, want := range []string{"colour goes with the angle", "interference pigment", "travel of", "ASTM E2539"} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("%v does not say %q", err, want)
		}
	}
	t.Log(err)

	bright := flat(.5)
	if _, err = FitMetallic(&base, &bright, &base); err == nil || !strings.Contains(err.Error(), "order of the angles") {
		t.Error("brighter at 45 than at 15 passed:", err)
	}
	near[3] = math.NaN()
	if _, err = FitMetallic(&near, &middle, &base); err == nil || !strings.Contains(err.Error(), "at 15 degrees the film reflects NaN at 395 nm") {
		t.Error("a reading that is no number passed:", err)
	}
}

func TestPlainPaintHasNoLobe(t *testing.T) {
	r := bell(.1, .6, 600, 50)
	m, err := FitMetallic(&r, &r, &r)
	if err != nil || m.Worst > 1e-6 {
		t.Fatal(m.Worst, err)
	}
	near(t, "peak", m.Peak[40], 0, 1e-9)
}

// TestLobe: the reach of light in a film is the integral of T(z)^2 over it.
func TestLobe(t *testing.T) {
	g := grey(.02, .01)
	g.Flake = &Flake{PerUm: flat(.03), Sigma: 7}
	const x, steps = 40.0, 4000
	sum := 0.0
	for i := range steps {
		through := g.Film((float64(i) + .5) * x / steps).Through[0]
		sum += through * through * x / steps
	}
	near(t, "lobe", g.Lobe(x)[0], .03*sum, 1e-7)
	near(t, "lobe of no film", g.Lobe(0)[0], 0, 0)
	near(t, "lobe of a clear film", (&Glaze{Flake: g.Flake}).Lobe(x)[0], .03*x, 1e-12)
	near(t, "no flakes", grey(1, 1).Lobe(x)[0], 0, 0)

	m := Metallic{Peak: bell(.2, .9, 600, 60), Base: flat(.1), Sigma: 8}
	with, err := m.In(grey(.02, .01), 40)
	if err != nil {
		t.Fatal(err)
	}
	lobe := with.Lobe(40)
	for i := range lobe {
		near(t, "lobe of the film it was told from", lobe[i], m.Peak[i], 1e-14)
	}
	if with.Flake.Sigma != 8 {
		t.Error("spread", with.Flake.Sigma)
	}
	if _, err := m.In(grey(-1, 0), 0); err == nil {
		t.Error("no glaze and no film passed")
	}
}

func TestFlakesMix(t *testing.T) {
	pearl := grey(.01, .02)
	pearl.Flake = &Flake{PerUm: flat(.04), Sigma: 7}
	mix, err := Mix([]Part{{pearl, 1}, {grey(0, 0), 3}})
	if err != nil || mix.Flake == nil {
		t.Fatal(err)
	}
	near(t, "flakes of a quarter", mix.Flake.PerUm[0], .01, 1e-15)
	near(t, "spread", mix.Flake.Sigma, 7, 0)
	near(t, "flakes of the part", pearl.Flake.PerUm[0], .04, 0) // not touched
	both, err := Mix([]Part{{pearl, 1}, {pearl, 1}})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "flakes of both", both.Flake.PerUm[0], .04, 1e-15)
}

func TestFlakesInTables(t *testing.T) {
	v := views(t)[1]
	pearl := umber()
	pearl.Flake = &Flake{PerUm: bell(.01, .04, 600, 60), Sigma: 7}
	plain := stain()
	clear := v.Clear.Glaze.Film(v.Clear.X).Through
	show := func(add colour.Spectrum, over colour.Spectrum) colour.RGB {
		for i := range add {
			add[i] *= over[i] * over[i] * clear[i] * clear[i]
		}
		return v.show(add)
	}
	one, err1 := NewTable(v, pearl, 60)
	under, err2 := NewTable2(v, pearl, plain, 60, 40)
	above, err3 := NewTable2(v, plain, pearl, 60, 40)
	blend, err4 := NewBlendTable(v, plain, pearl, 60)
	dull, err5 := NewTable2(v, plain, plain, 60, 40)
	if err1 != nil || err2 != nil || err3 != nil || err4 != nil || err5 != nil {
		t.Fatal(err1, err2, err3, err4, err5)
	}
	compare := func(what string, want colour.RGB, r, g, b float32) {
		t.Helper()
		if e := off(want, r, g, b); !(e <= mostTableError) || want.G < .01 {
			t.Errorf("%s: %v %v %v, want %v, off by %.3f", what, r, g, b, want, e)
		}
	}
	for _, x := range []float32{5, 20, 60} {
		r, g, b := one.Flake(x)
		compare("alone", show(pearl.Lobe(float64(x)), flat(1)), r, g, b)
		r, g, b = under.Flake(x, 5)
		compare("under a stain", show(pearl.Lobe(float64(x)), plain.Film(5).Through), r, g, b)
		r, g, b = above.Flake(7, min(x, 40))
		compare("over a stain", show(pearl.Lobe(float64(min(x, 40))), flat(1)), r, g, b)
		r, g, b = blend.Flake(x, .3)
		mix, err := Mix([]Part{{plain, .7}, {pearl, .3}})
		if err != nil {
			t.Fatal(err)
		}
		compare("blended", show(mix.Lobe(float64(x)), flat(1)), r, g, b)
	}
	if r, g, b := dull.Flake(20, 20); r != 0 || g != 0 || b != 0 {
		t.Error("flakes where there are none")
	}
	// What At gives is the film without its lobe.
	r, g, b := one.At(20)
	compare("film", direct(v, Coat{umber(), 20}), r, g, b)
}

func BenchmarkFitMetallic(b *testing.B) {
	made := Metallic{Peak: bell(.5, 1.1, 620, 90), Base: bell(.05, .2, 600, 60), Sigma: 7}
	near, middle, far := made.At(15), made.At(45), made.At(110)
	for b.Loop() {
		_, _ = FitMetallic(&near, &middle, &far)
	}
}
