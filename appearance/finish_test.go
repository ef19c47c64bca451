package appearance

import (
	"math"
	"slices"
	"strings"
	"testing"

	"scumble/appearance/colour"
	"scumble/appearance/film"
	"scumble/catalog"
	"scumble/job"
	"scumble/unit"
)

func hexLab(t testing.TB, hex string) colour.Lab {
	t.Helper()
	c, err := colour.ParseHex(hex)
	if err != nil {
		t.Fatal(err)
	}
	return c.Lab()
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
	c := demo(t).catalog
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

// The ways to tell a colour are taken in their order, and say what they rest on.
func TestWaysToTellAGlaze(t *testing.T) {
	c := demo(t).catalog
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
	// A measured colour of L*, a* and b* comes back as that colour.
	f, err := Resolve(drag(func(j *job.Job, f *job.Finish) {
		j.Measured = []job.Measured{{Name: "m", Lab: []float64{70, 8, 22}, Under: "D65"}}
		f.Ground.Measured = "m"
	}), c, "f")
	if err != nil {
		t.Fatal(err)
	}
	if d := colour.DeltaE(patch("", f.Grounds[0].Spectrum).Lab, colour.Lab{L: 70, A: 8, B: 22}); d > 0.01 || !f.Grounds[0].Estimated {
		t.Errorf("a Lab reading comes back %.3f off", d)
	}
}

func TestWhatCannotBeResolved(t *testing.T) {
	c := demo(t).catalog
	for says, change := range map[string]func(*job.Job, *job.Finish){
		"no finish":      func(_ *job.Job, f *job.Finish) { f.ID = "other" },
		"not in the":     func(_ *job.Job, f *job.Finish) { f.Technique = "gilding" },
		"are needed":     func(_ *job.Job, f *job.Finish) { f.Glaze = job.Colour{} },
		"no measured":    func(_ *job.Job, f *job.Finish) { f.Ground.Measured = "nothing" },
		"no tint":        func(_ *job.Job, f *job.Finish) { f.Glaze.Recipe = "2 Leaf" },
		"parts of a":     func(_ *job.Job, f *job.Finish) { f.Glaze.Recipe = "Leaf" },
		"three measured": func(_ *job.Job, f *job.Finish) { f.Glaze.Angles = "a, b" },
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
	c := demo(t).catalog
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
		s, err := SwatchOf(f, c, "A")
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
		s, err := SwatchOf(of.f, c, of.lamps)
		if err != nil {
			t.Fatal(err)
		}
		if a := find(Advise(s, c.Defaults, of.lamps, job.Light{}), "lamps"); a.Fits != of.holds {
			t.Errorf("under %s: %v", of.lamps, a)
		}
	}
}

// LRV is the mean of light over the area: of two grounds half each, and never that of
// the mean film.
func TestLRVIsAMeanOfLight(t *testing.T) {
	p := demo(t)
	f, err := Resolve(p.job, p.catalog, "weave-sage")
	if err != nil {
		t.Fatal(err)
	}
	s, err := SwatchOf(f, p.catalog)
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
	c := demo(t).catalog
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
