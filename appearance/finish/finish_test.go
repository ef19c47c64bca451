package finish

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"testing"

	"scumble/appearance/colour"
	"scumble/appearance/film"
	"scumble/appearance/internal/finishtest"
	"scumble/catalog"
	"scumble/job"
	"scumble/unit"

	"pgregory.net/rapid"
)

func hexLab(t testing.TB, hex string) colour.Lab {
	t.Helper()
	c, err := colour.ParseHex(hex)
	if err != nil {
		t.Fatal(err)
	}
	return c.Lab()
}

// made is a finish of a way, as agreed.
func made(t testing.TB, c *catalog.Catalog, w finishtest.Way, with string) *Finish {
	t.Helper()
	f, err := Resolve(w.Job(c, with), c, w.Technique)
	if err != nil {
		t.Fatalf("%v: %v", w, err)
	}
	return f
}

// drag is a job with one dragged finish, changed by a test.
func drag(change func(*job.Job, *job.Finish)) *job.Job {
	j := &job.Job{Lamps: "LED-B2", Finishes: []job.Finish{{ID: "f", Technique: "dragging", With: "oil-glaze",
		Ground: job.Colour{Name: "Mist", Hex: "#dde4ea"}, Glaze: job.Colour{Name: "Slate", Hex: "#4f6f94"}}}}
	change(j, &j.Finishes[0])
	return j
}

func flat(v float64) []float64 { return slices.Repeat([]float64{v}, 31) }

// Laid as it is laid over a white card, a glaze looks as it was entered, and hides as
// much as it was said to.
func TestEnteredGlazeComesBack(t *testing.T) {
	c := finishtest.Demo(t).Catalog
	for _, hex := range []string{"#4f6f94", "#a8452f", "#cf9f45", "#2f7f7c", "#8d8f8c"} {
		for _, clarity := range []float64{0.3, 0.6, 0.85} {
			j := drag(func(_ *job.Job, f *job.Finish) {
				f.Glaze.Hex = hex
				f.Glaze.Clarity = job.Ratio{Text: "x", Value: unit.Ratio(clarity)}
			})
			f, err := Resolve(j, c, "f")
			if err != nil {
				t.Fatal(err)
			}
			g := f.Glazes[0]
			over := film.Finish{Ground: whiteCard, Surface: film.Usual(), Coats: []film.Coat{{Glaze: &g.Glaze, X: g.Laid}}}
			if d := colour.DeltaE(patch("", over.Spectrum()).Lab, hexLab(t, hex)); d > 0.3 {
				t.Errorf("%s, clarity %g: off by %.2f over white", hex, clarity, d)
			}
			if math.Abs(g.Clarity-clarity) > 1e-6 {
				t.Errorf("%s: clarity %g, asked for %g", hex, g.Clarity, clarity)
			}
		}
	}
}

// A glaze told by measured films over white and over black looks as it should over any
// ground and in any film: here over a middle grey in half the film, by the very glaze the
// readings were made with.
func TestGlazeFromTwoReadings(t *testing.T) {
	c := finishtest.Demo(t).Catalog
	for _, hex := range []string{"#4f6f94", "#a8452f", "#cf9f45", "#8d8f8c"} {
		plain, err := Resolve(drag(func(_ *job.Job, f *job.Finish) {
			f.Glaze.Hex, f.Glaze.Clarity = hex, job.Ratio{Text: "55 %", Value: 0.55}
		}), c, "f")
		if err != nil {
			t.Fatal(err)
		}
		known := plain.Glazes[0]
		look := func(g *film.Glaze, ground float64, um float64) colour.Spectrum {
			over := film.Finish{Ground: evenly(ground), Surface: film.Usual(), Coats: []film.Coat{{Glaze: g, X: um}}}
			return over.Spectrum()
		}
		read := func(ground float64) (values []float64) {
			s := look(&known.Glaze, ground, known.Laid)
			for nm := 380; nm <= 730; nm += colour.Step {
				values = append(values, s[(nm-colour.First)/colour.Step])
			}
			return values
		}
		f, err := Resolve(drag(func(j *job.Job, f *job.Finish) {
			j.Measured = []job.Measured{
				{Name: "white", From: 380, Step: colour.Step, Values: read(whiteCard[0])},
				{Name: "black", From: 380, Step: colour.Step, Values: read(0)},
			}
			f.Glaze.Measured, f.Glaze.OverBlack = "white", "black"
		}), c, "f")
		if err != nil {
			t.Fatal(err)
		}
		for _, at := range []struct{ ground, share float64 }{{whiteCard[0], 1}, {0, 1}, {0.4, 0.5}, {0.2, 1.5}} {
			want, got := look(&known.Glaze, at.ground, at.share*known.Laid), look(&f.Glazes[0].Glaze, at.ground, at.share*f.Glazes[0].Laid)
			if d := colour.DeltaE(patch("", want).Lab, patch("", got).Lab); d > 0.1 {
				t.Errorf("%s over %g in %g of the film: off by %.2f", hex, at.ground, at.share, d)
			}
		}
		if f.Glazes[0].Estimated || math.Abs(f.Glazes[0].Clarity-0.55) > 0.01 {
			t.Errorf("%s: estimated %v, clarity %.3f", hex, f.Glazes[0].Estimated, f.Glazes[0].Clarity)
		}
	}
}

// Any colour of a screen with any clarity makes a glaze that is paint: it absorbs and
// scatters, and gives back between nothing and all of the light in any film over its ground.
func TestAnyColourMakesPaint(t *testing.T) {
	c := finishtest.Demo(t).Catalog
	rapid.Check(t, func(t *rapid.T) {
		clarity := rapid.OneOf(rapid.Just(0.0), rapid.Just(1.0), rapid.Float64Range(0, 1)).Draw(t, "clarity")
		f, err := Resolve(drag(func(_ *job.Job, f *job.Finish) {
			f.Ground.Hex = fmt.Sprintf("#%06x", rapid.Uint32Range(0, 0xffffff).Draw(t, "ground"))
			f.Glaze.Hex = fmt.Sprintf("#%06x", rapid.Uint32Range(0, 0xffffff).Draw(t, "glaze"))
			f.Glaze.Clarity = job.Ratio{Text: "x", Value: unit.Ratio(clarity)}
		}), c, "f")
		if err != nil {
			t.Fatal(err)
		}
		g := f.Glazes[0]
		for b := range g.K {
			if !(g.K[b] >= 0 && g.S[b] >= 0) || math.IsInf(g.K[b]+g.S[b], 0) {
				t.Fatalf("band %d: K %g, S %g", b, g.K[b], g.S[b])
			}
		}
		for _, share := range []float64{0, 0.1, 1, 4} {
			for b, r := range f.over(0, lying{first: share * g.Laid}, 1) {
				if !(r >= 0 && r <= 1) {
					t.Fatalf("band %d of %g of the film: %g", b, share, r)
				}
			}
		}
		if !(g.Clarity >= 0 && g.Clarity <= 1) {
			t.Fatalf("clarity %g, asked for %g", g.Clarity, clarity)
		}
	})
}

// A recipe of one tint is that tint; the order of tints does not count, and two in equal
// parts absorb and scatter as the mean of both (Duncan 1940).
func TestRecipes(t *testing.T) {
	c := finishtest.Demo(t).Catalog
	mixed := func(recipe string) Glaze {
		f, err := Resolve(drag(func(j *job.Job, f *job.Finish) {
			j.Tints = []job.Colour{{Name: "Leaf", Hex: "#4f7a3c"}, {Name: "Chalk", Hex: "#d9d7cf"}}
			f.Glaze.Recipe = recipe
		}), c, "f")
		if err != nil {
			t.Fatal(err)
		}
		return f.Glazes[0]
	}
	leaf, chalk, both, turned := mixed("2 Leaf"), mixed("1 Chalk"), mixed("1 Leaf + 1 Chalk"), mixed("3 Chalk + 3 Leaf")
	entered, err := Resolve(drag(func(_ *job.Job, f *job.Finish) { f.Glaze.Hex = "#4f7a3c" }), c, "f")
	if err != nil {
		t.Fatal(err)
	}
	for b := range leaf.K {
		near := func(x, y float64) bool { return math.Abs(x-y) <= 1e-12+1e-9*math.Abs(y) }
		if !near(leaf.K[b], entered.Glazes[0].K[b]) || !near(leaf.S[b], entered.Glazes[0].S[b]) {
			t.Fatalf("band %d: a recipe of Leaf alone is not Leaf", b)
		}
		if !near(both.K[b], (leaf.K[b]+chalk.K[b])/2) || !near(both.S[b], (leaf.S[b]+chalk.S[b])/2) || !near(both.K[b], turned.K[b]) {
			t.Fatalf("band %d: K %g of %g and %g", b, both.K[b], leaf.K[b], chalk.K[b])
		}
	}
}

// The wet film is a litre over the square metres it covers; of a product told by weight
// that is the same film.
func TestFilmOfProductsByWeight(t *testing.T) {
	c := finishtest.Demo(t).Catalog
	f, err := Resolve(drag(func(*job.Job, *job.Finish) {}), c, "f")
	if err != nil {
		t.Fatal(err)
	}
	oil := *c.Products["oil-glaze"]
	if want := 1000 / oil.Spread.Likely; math.Abs(f.Glazes[0].Laid-want) > 1e-9 {
		t.Errorf("%g um laid, 1 L on %g m2 make %g", f.Glazes[0].Laid, oil.Spread.Likely, want)
	}
	d := oil.Density.Likely
	oil.By, oil.Spread.Unit = "mass", "m2/kg"
	oil.Spread.Low, oil.Spread.Likely, oil.Spread.High = oil.Spread.Low/d, oil.Spread.Likely/d, oil.Spread.High/d
	weighed := *c
	weighed.Products = maps.Clone(c.Products)
	weighed.Products["oil-glaze"] = &oil
	same, err := Resolve(drag(func(*job.Job, *job.Finish) {}), &weighed, "f")
	if err != nil || d == 1 || math.Abs(same.Glazes[0].Laid-f.Glazes[0].Laid) > 1e-9 {
		t.Errorf("%g um by weight, %g by volume: %v", same.Glazes[0].Laid, f.Glazes[0].Laid, err)
	}
	oil.Spread.Likely = 0
	if _, err := Resolve(drag(func(*job.Job, *job.Finish) {}), &weighed, "f"); err == nil || !strings.Contains(err.Error(), "products/oil-glaze/spread") {
		t.Errorf("no spreading rate: %v", err)
	}
}

// The ways to tell a colour are taken in their order, and say what they rest on.
func TestWaysToTellAGlaze(t *testing.T) {
	c := finishtest.Demo(t).Catalog
	for name, is := range map[string]struct {
		change    func(*job.Job, *job.Finish)
		basis     string
		estimated bool
	}{
		"hex":        {func(*job.Job, *job.Finish) {}, "usual clarity", true},
		"clarity":    {func(_ *job.Job, f *job.Finish) { f.Glaze.Clarity = job.Ratio{Text: "50 %", Value: 0.5} }, "50 %", true},
		"over black": {func(_ *job.Job, f *job.Finish) { f.Glaze.OverBlack = "#1c2836" }, "over black", true},
		"measured": {func(j *job.Job, f *job.Finish) {
			j.Measured = []job.Measured{{Name: "a", From: 400, Step: 10, Values: flat(0.3)}, {Name: "b", From: 400, Step: 10, Values: flat(0.08)}}
			f.Glaze.Measured, f.Glaze.OverBlack, f.Ground.Measured = "a", "b", "a"
		}, "over black", false},
		"recipe": {func(j *job.Job, f *job.Finish) {
			j.Tints = []job.Colour{{Name: "Leaf", Hex: "#4f7a3c"}, {Name: "Chalk", Hex: "#d9d7cf"}}
			f.Glaze.Recipe = "3 Leaf + 1 Chalk"
		}, "3 Leaf + 1 Chalk", true},
		"angles": {func(j *job.Job, f *job.Finish) {
			f.With = "metallic-glaze"
			for name, v := range map[string]float64{"x": 0.62, "y": 0.34, "z": 0.28} {
				j.Measured = append(j.Measured, job.Measured{Name: name, From: 400, Step: 10, Values: flat(v)})
			}
			f.Glaze.Angles = "x, y, z"
		}, "15, 45 and 110", false},
	} {
		f, err := Resolve(drag(is.change), c, "f")
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if g := f.Glazes[0]; !strings.Contains(g.Basis, is.basis) || g.Estimated != is.estimated {
			t.Errorf("%s: rests on %q, estimated %v", name, g.Basis, g.Estimated)
		}
		if name == "angles" && (f.Glazes[0].Flake == nil || f.Glazes[0].Flake.Sigma < 2) {
			t.Error("readings at three angles give no flakes")
		}
	}
	// A measured colour of L*, a* and b* comes back as that colour, under its light.
	for _, under := range []string{"D50", "D65"} {
		f, err := Resolve(drag(func(j *job.Job, f *job.Finish) {
			j.Measured = []job.Measured{{Name: "m", Lab: []float64{70, 8, 22}, Under: under}}
			f.Ground.Measured = "m"
		}), c, "f")
		if err != nil {
			t.Fatal(err)
		}
		light, _ := colour.LightByID(under)
		v := colour.NewViewer(light, colour.Observer1931())
		xyz := v.XYZ(&f.Grounds[0].Spectrum)
		if d := colour.DeltaE(xyz.Lab(v.White()), colour.Lab{L: 70, A: 8, B: 22}); d > 0.01 || !f.Grounds[0].Estimated {
			t.Errorf("a Lab reading under %s comes back %.3f off", under, d)
		}
	}
}

func TestWhatCannotBeResolved(t *testing.T) {
	c := finishtest.Demo(t).Catalog
	// Every fault is told at once.
	_, err := Resolve(drag(func(_ *job.Job, f *job.Finish) { f.Ground.Measured, f.GroundB = "here", job.Colour{Measured: "there"} }), c, "f")
	if err == nil || !strings.Contains(err.Error(), "here") || !strings.Contains(err.Error(), "there") {
		t.Errorf("two faults: %v", err)
	}
	for says, change := range map[string]func(*job.Job, *job.Finish){
		"no finish":       func(_ *job.Job, f *job.Finish) { f.ID = "other" },
		"not in the":      func(_ *job.Job, f *job.Finish) { f.Technique = "gilding" },
		"are needed":      func(_ *job.Job, f *job.Finish) { f.Glaze = job.Colour{} },
		"no measured":     func(_ *job.Job, f *job.Finish) { f.Ground.Measured = "nothing" },
		"no tint":         func(_ *job.Job, f *job.Finish) { f.Glaze.Recipe = "2 Leaf" },
		"parts of a":      func(_ *job.Job, f *job.Finish) { f.Glaze.Recipe = "Leaf" },
		"three measured":  func(_ *job.Job, f *job.Finish) { f.Glaze.Angles = "a, b" },
		"six hexadecimal": func(_ *job.Job, f *job.Finish) { f.Ground.Hex = "#12" },
		"over black card": func(_ *job.Job, f *job.Finish) { f.Glaze.OverBlack = "over black card" },
		"tint Leaf": func(j *job.Job, f *job.Finish) {
			j.Tints = []job.Colour{{Name: "Leaf", Hex: "green"}}
			f.Glaze.Recipe = "2 Leaf"
		},
		"neither a spectrum": func(j *job.Job, f *job.Finish) {
			j.Measured = []job.Measured{{Name: "m", Lab: []float64{50, 0}}}
			f.Glaze.Measured = "m"
		},
		"420 to 680 nm": func(j *job.Job, f *job.Finish) {
			j.Measured = []job.Measured{{Name: "m", From: 500, Step: 10, Values: []float64{0.5, 0.5}}}
			f.Glaze.Measured = "m"
		},
		"15, 45 and 110": func(_ *job.Job, f *job.Finish) { f.Glaze.Angles = "a, b, c, d" },
		"is no measured": func(_ *job.Job, f *job.Finish) { f.Glaze.Angles = "a, b, c" },
		"hue": func(j *job.Job, f *job.Finish) { // interference: red near the mirror, blue away from it
			f.With = "metallic-glaze"
			for i, name := range []string{"x", "y", "z"} {
				v := make([]float64, 31)
				for k := range v {
					red := float64(k) / 30
					v[k] = []float64{0.1 + 0.8*red, 0.25, 0.1 + 0.3*(1-red)}[i]
				}
				j.Measured = append(j.Measured, job.Measured{Name: name, From: 400, Step: 10, Values: v})
			}
			f.Glaze.Angles = "x, y, z"
		},
	} {
		if _, err := Resolve(drag(change), c, "f"); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v", says, err)
		}
	}
}

// Each piece of advice can come out both ways.
func TestAdvice(t *testing.T) {
	c := finishtest.Demo(t).Catalog
	find := func(list []Advice, about string) Advice {
		for _, a := range list {
			if a.About == about {
				return a
			}
		}
		t.Fatalf("no advice about %s in %v", about, list)
		return Advice{}
	}
	weave := func(groundB, glaze string) *Swatch {
		f, err := Resolve(drag(func(_ *job.Job, f *job.Finish) {
			f.Technique, f.GroundB = "cross-drag-weave", job.Colour{Name: "B", Hex: groundB}
			f.Glaze.Hex, f.GlazeB = glaze, job.Colour{Name: "G", Hex: glaze}
		}), c, "f")
		if err != nil {
			t.Fatal(err)
		}
		s, err := SwatchOf(f, c)
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	far, near := weave("#8090a0", "#c9d3de"), weave("#d9e0e7", "#4f6f94")
	if !find(Advise(far, c.Defaults, "A", job.Light{}), "weave").Fits || find(Advise(near, c.Defaults, "A", job.Light{}), "weave").Fits {
		t.Errorf("strips %.1f apart and %.1f apart", far.Strips, near.Strips)
	}
	if far.LRV.Low > far.LRV.Likely || far.LRV.Likely > far.LRV.High || far.LRV.Likely <= near.LRV.Likely {
		t.Errorf("LRV %v and %v", far.LRV, near.LRV)
	}
	ratio := func(v float64) job.Ratio { return job.Ratio{Text: "x", Value: unit.Ratio(v)} }
	at := far.LRV.Likely / 100
	for _, l := range []struct {
		light job.Light
		fits  bool
	}{{job.Light{Least: ratio(at - 0.1)}, true}, {job.Light{Least: ratio(at + 0.1)}, false}, {job.Light{Most: ratio(at - 0.1)}, false}, {job.Light{Least: ratio(at - 0.1), Most: ratio(at + 0.1)}, true}} {
		if a := find(Advise(far, c.Defaults, "A", l.light), "light"); a.Fits != l.fits {
			t.Errorf("LRV %.2f against %v: %v", at, l.light, a)
		}
	}
	grey, err := Resolve(drag(func(_ *job.Job, f *job.Finish) { f.Ground.Hex, f.Glaze.Hex = "#e0e0e0", "#b0b0b0" }), c, "f")
	if err != nil {
		t.Fatal(err)
	}
	red, err := Resolve(drag(func(_ *job.Job, f *job.Finish) { f.Ground.Hex, f.Glaze.Hex = "#efe6cf", "#d98a55" }), c, "f")
	if err != nil {
		t.Fatal(err)
	}
	for _, of := range []struct {
		f     *Finish
		lamps string
		holds bool
	}{{grey, "LED-B1", true}, {red, "LED-B1", false}} {
		s, err := SwatchOf(of.f, c)
		if err != nil {
			t.Fatal(err)
		}
		if a := find(Advise(s, c.Defaults, of.lamps, job.Light{}), "lamps"); a.Fits != of.holds {
			t.Errorf("under %s: %v", of.lamps, a)
		}
	}
}

// What follows from a swatch alone also comes out both ways.
func TestAdviceOnFilmScreenAndSpectrum(t *testing.T) {
	c := finishtest.Demo(t).Catalog
	told := func(change func(*job.Job, *job.Finish)) (*Swatch, map[string]Advice) {
		f, err := Resolve(drag(change), c, "f")
		if err != nil {
			t.Fatal(err)
		}
		s, err := SwatchOf(f, c)
		if err != nil {
			t.Fatal(err)
		}
		byName := map[string]Advice{}
		for _, a := range Advise(s, c.Defaults, "A", job.Light{}) {
			byName[a.About] = a
		}
		return s, byName
	}
	strong, hangs := told(func(_ *job.Job, f *job.Finish) { f.Ground.Hex, f.Glaze.Hex = "#f4f1ea", "#38577c" })
	weak, forgives := told(func(_ *job.Job, f *job.Finish) { f.Ground.Hex, f.Glaze.Hex = "#dde4ea", "#c4cfda" })
	if hangs["film"].Fits || !forgives["film"].Fits || strong.ThickerDifference <= weak.ThickerDifference {
		t.Errorf("a fifth more film: %v and %v", hangs["film"], forgives["film"])
	}
	if !strings.Contains(hangs["film"].Claim, "darker") || strong.Thicker.LRV >= strong.Whole.LRV {
		t.Errorf("more of a dark glaze: %v", hangs["film"])
	}
	if _, of := hangs["spectrum"]; !of || !strong.Estimated {
		t.Error("entered colours pass for measured ones")
	}
	measured, known := told(func(j *job.Job, f *job.Finish) {
		deep := make([]float64, 31) // a saturated orange, from 400 nm
		for k := range deep {
			deep[k] = 0.02 + 0.93/(1+math.Exp(-(float64(k)-16)/0.6))
		}
		j.Measured = []job.Measured{{Name: "a", From: 400, Step: 10, Values: deep}}
		f.Ground.Measured, f.Glaze.Measured, f.Glaze.Clarity = "a", "a", job.Ratio{Text: "80 %", Value: 0.8}
	})
	if _, of := known["spectrum"]; of || measured.Estimated {
		t.Errorf("measured colours are told to be estimated: %v", known)
	}
	if a, of := known["screen"]; !of || !measured.Whole.Clipped || !strings.Contains(a.Figure, "L*") {
		t.Errorf("a colour no screen shows: %v, %v", measured.Whole.Lab, known)
	}
	if _, of := forgives["screen"]; of {
		t.Error("a quiet grey cannot be shown on a screen")
	}
	if len(weak.Finished) != 1 || forgives["weave"].About != "" {
		t.Error("a finish without strips is advised on strips")
	}
}

// LRV is 100 times Y under D65 for the 10-degree observer (BS 8493): 100 r of a flat
// reflectance r, and not what the 2-degree observer sees of a colour.
func TestLRVIsYOfTheLargeField(t *testing.T) {
	for _, r := range []float64{0, 0.05, 0.5, 0.9} {
		if got := patch("", evenly(r)).LRV; math.Abs(got-100*r) > 1e-6 {
			t.Errorf("LRV %g of a flat %g", got, r)
		}
	}
	var blue colour.Spectrum
	for b := range blue {
		blue[b] = 0.05 + 0.6*hump(float64(colour.First+colour.Step*b), 460)
	}
	d65, _ := colour.LightByID("D65")
	large, small := colour.NewViewer(d65, colour.Observer1964()).XYZ(&blue), colour.NewViewer(d65, colour.Observer1931()).XYZ(&blue)
	white := colour.NewViewer(d65, colour.Observer1964()).White().Y
	if got := patch("", blue).LRV; math.Abs(got-100*large.Y/white) > 1e-6 || math.Abs(large.Y-small.Y)/white < 0.005 {
		t.Errorf("LRV %.3f, Y of the 10-degree observer %.3f, of the 2-degree one %.3f", got, large.Y, small.Y)
	}
}

// LRV is the mean of light over the area: of two grounds half each, and never that of
// the mean film.
func TestLRVIsAMeanOfLight(t *testing.T) {
	p := finishtest.Demo(t)
	f, err := Resolve(p.Job, p.Catalog, "weave-sage")
	if err != nil {
		t.Fatal(err)
	}
	s, err := SwatchOf(f, p.Catalog)
	if err != nil {
		t.Fatal(err)
	}
	if want := (s.Finished[0].LRV + s.Finished[1].LRV) / 2; math.Abs(s.Whole.LRV-want) > 1e-9 {
		t.Errorf("LRV %.3f of the whole, %.3f is the mean of the strips", s.Whole.LRV, want)
	}
	fs := films{{first: 20, share: 0.5}, {first: 100, share: 0.5}}
	one := &Finish{Grounds: f.Grounds[:1], Glazes: f.Glazes[:1]}
	mean := one.whole(0, fs, 1)
	thin, thick, middle := one.over(0, fs[0], 1), one.over(0, fs[1], 1), one.over(0, lying{first: 60, share: 1}, 1)
	if want := (colour.LRV(&thin) + colour.LRV(&thick)) / 2; math.Abs(colour.LRV(&mean)-want) > 1e-9 || math.Abs(want-colour.LRV(&middle)) < 0.5 {
		t.Errorf("LRV %.3f, mean of light %.3f, of the mean film %.3f", colour.LRV(&mean), want, colour.LRV(&middle))
	}
}

// More coats never hide less; white over black takes more than white over cream; a
// coat that hides less takes more of them.
func TestHiding(t *testing.T) {
	c := finishtest.Demo(t).Catalog
	j := drag(func(_ *job.Job, f *job.Finish) { f.Ground.Hex = "#f1efe9" })
	f, err := Resolve(j, c, "f")
	if err != nil {
		t.Fatal(err)
	}
	coats := func(hex string) *Hiding {
		old, err := GroundOf(j, job.Colour{Name: "old", Hex: hex})
		if err != nil {
			t.Fatal(err)
		}
		h, err := Hide(f, old, c.Products["satin-ground-coat"], c.Defaults)
		if err != nil {
			t.Fatal(err)
		}
		return h
	}
	black, cream, same := coats("#1d1d1b"), coats("#efe3c8"), coats("#f1efe9")
	if black.Coats.Likely <= cream.Coats.Likely || same.Coats.Likely != 0 {
		t.Errorf("over black %v, cream %v, the same %v", black.Coats, cream.Coats, same.Coats)
	}
	for _, h := range []*Hiding{black, cream, same} {
		if h.Coats.Low > h.Coats.Likely || h.Coats.Likely > h.Coats.High {
			t.Errorf("the range does not rise: %v", h.Coats)
		}
		for n := 1; n < len(h.Left); n++ {
			if h.Left[n] > h.Left[n-1]+1e-9 {
				t.Errorf("coat %d hides less: %v", n+1, h.Left)
			}
		}
	}
	if a := black.Advice(1); a.Fits {
		t.Errorf("one coat over black: %v", a)
	}
	if a := cream.Advice(5); !a.Fits {
		t.Errorf("five coats over cream: %v", a)
	}
	if _, err := Hide(f, Ground{}, &catalog.Product{ID: "x"}, c.Defaults); err == nil {
		t.Error("a coat of unknown clarity hides")
	}
}

// The range of a film is that of the spreading rate it is laid at: of the step where the
// step sets one, else of the product; two glazes in one film add up.
func TestFilmsLieInTheirRange(t *testing.T) {
	c := finishtest.Demo(t).Catalog
	for _, w := range finishtest.Ways(c) {
		f := made(t, c, w, c.Techniques[w.Technique].Glazes[0])
		for _, g := range f.Glazes {
			if !(0 < g.Range.Low && g.Range.Low <= g.Laid && g.Laid <= g.Range.High) {
				t.Errorf("%v: %g um in %v", w, g.Laid, g.Range)
			}
		}
	}
	wash := made(t, c, finishtest.Way{Technique: "colourwash"}, "clear-glaze").Glazes[0] // 15 to 20 m2 a litre in its step
	if math.Abs(wash.Range.Low-50) > 1e-9 || math.Abs(wash.Range.High-1000.0/15) > 1e-9 {
		t.Errorf("a wash lies %v um thick", wash.Range)
	}
	blend := made(t, c, finishtest.Way{Technique: "two-tone-sponge-blend"}, "clear-glaze").Glazes[0] // 30 to 40 for each tone
	if math.Abs(blend.Range.Low-50) > 1e-9 || math.Abs(blend.Range.High-2000.0/30) > 1e-9 {
		t.Errorf("both tones lie %v um thick", blend.Range)
	}
}

// The lightest marks are the lightest whatever makes them so: a thin film, a lighter
// glaze over a dark ground, or the lighter of two glazes.
func TestMarksAreByLightness(t *testing.T) {
	c := finishtest.Demo(t).Catalog
	over := &Finish{Grounds: []Ground{{Spectrum: evenly(0.1)}}}
	g, _, err := film.FromColour(&whiteCard, 0.5, 60, film.Usual())
	if err != nil {
		t.Fatal(err)
	}
	over.Glazes = []Glaze{{Glaze: g, Laid: 60}}
	light, dark := over.marks(0, films{{first: 10, share: 0.5}, {first: 90, share: 0.5}})
	thick, thin := over.over(0, lying{first: 90, share: 1}, 1), over.over(0, lying{first: 10, share: 1}, 1)
	if math.Abs(colour.LRV(&light)-colour.LRV(&thick)) > 1e-9 || math.Abs(colour.LRV(&dark)-colour.LRV(&thin)) > 1e-9 {
		t.Errorf("LRV %.1f and %.1f, want %.1f and %.1f", colour.LRV(&light), colour.LRV(&dark), colour.LRV(&thick), colour.LRV(&thin))
	}
	s, err := SwatchOf(made(t, c, finishtest.Way{Technique: "two-tone-sponge-blend"}, "clear-glaze"), c)
	if err != nil {
		t.Fatal(err)
	}
	alone := s.Drawdowns[0]
	if between := colour.DeltaE(alone[0].Lab, alone[1].Lab); s.Marks < 0.4*between || s.Light.Lab.L < s.Dark.Lab.L {
		t.Errorf("marks differ by %.1f, the tones by %.1f", s.Marks, between)
	}
}
