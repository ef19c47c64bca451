package finish

import (
	"fmt"
	"math"

	"scumble/appearance/colour"
	"scumble/appearance/stroke"
	"scumble/catalog"
)

// Patch is one colour as it is printed and named.
type Patch struct {
	Name string
	// Spectrum is what everything else follows from.
	Spectrum colour.Spectrum
	// Lab is CIELAB under D65 for the 2-degree observer.
	Lab colour.Lab
	Hex string
	// Clipped says that a screen cannot show it; Hex is then the nearest of the same
	// hue and lightness.
	Clipped bool
	// LRV is the light reflectance value, 0 to 100.
	LRV float64
}

// day is daylight and the 2-degree observer, which Lab and Hex stand for.
var day = colour.Daylight()

func viewerOf(light string) *colour.Viewer {
	l, ok := colour.LightByID(light)
	if !ok {
		return day
	}
	return colour.NewViewer(l, colour.Observer1931())
}

func patch(name string, s colour.Spectrum) Patch {
	p := Patch{Name: name, Spectrum: s, LRV: colour.LRV(&s)}
	xyz := day.XYZ(&s)
	p.Lab = xyz.Lab(day.White())
	rgb, clipped := xyz.RGB(day.White()).Fit()
	p.Hex, p.Clipped = rgb.Hex(), clipped
	return p
}

// Under is how a colour looks under a light to an eye used to that light, brought
// to daylight for comparison.
func (p Patch) Under(light string) (lab colour.Lab, hex string) {
	v := viewerOf(light)
	xyz := v.XYZ(&p.Spectrum)
	rgb, _ := xyz.RGB(v.White()).Fit()
	return colour.Adapt(xyz, v.White(), day.White()).Lab(day.White()), rgb.Hex()
}

// turn is how far a colour goes from daylight to a light, CIEDE2000, and in words which
// way; the words are "" when it hardly moves.
func (p Patch) turn(light string) (difference float64, words string) {
	lab, _ := p.Under(light)
	return colour.DeltaE(p.Lab, lab), change(p.Lab, lab)
}

// change says in words how one colour differs from another.
func change(from, to colour.Lab) string {
	var words []string
	add := func(d float64, more, less string) {
		switch {
		case d > 0.7:
			words = append(words, more)
		case d < -0.7:
			words = append(words, less)
		}
	}
	add(to.A-from.A, "redder", "greener")
	add(to.B-from.B, "yellower", "bluer")
	add(to.L-from.L, "lighter", "darker")
	switch len(words) {
	case 0:
		return ""
	case 1:
		return words[0]
	case 2:
		return words[0] + " and " + words[1]
	}
	return words[0] + ", " + words[1] + " and " + words[2]
}

// Span is a figure with its range.
type Span struct{ Low, Likely, High float64 }

// Swatch is a finish told in colours.
type Swatch struct {
	Finish *Finish
	// Grounds are the bare ground colours.
	Grounds []Patch
	// Drawdowns are the glazes one after the other, laid and not worked, over each
	// ground: Drawdowns[ground][glaze].
	Drawdowns [][]Patch
	// Finished is the mean over each ground; Whole over all of the wall.
	Finished []Patch
	Whole    Patch
	// Light and Dark are the lightest and the darkest tenth over the first ground.
	Light, Dark Patch
	// LRV is the light reflectance value of the whole; the range is that of the film.
	LRV Span
	// Strips is CIEDE2000 between the finished strips, 0 without; Marks between
	// the lightest and darkest tenth.
	Strips, Marks float64
	// Thicker is how the whole looks with a fifth more glaze.
	Thicker           Patch
	ThickerDifference float64
	// Lifted is the share of the glaze the tool took in the simulation.
	Lifted float64
	// Estimated says that some spectrum was not measured.
	Estimated bool
}

// SwatchOf works out the swatch of a finish on a board of a square metre.
func SwatchOf(f *Finish, c *catalog.Catalog) (*Swatch, error) {
	p, _ := BoardPanel(f, c, "swatch of "+f.ID, 1000, 1000)
	worked, err := stroke.New(p, f.Recipe)
	if err != nil {
		return nil, fmt.Errorf("finish %s: %w", f.ID, err)
	}
	return SwatchOfFilm(f, worked), nil
}

// SwatchOfFilm is the swatch of a finish as it lies somewhere else.
func SwatchOfFilm(f *Finish, worked *stroke.Film) *Swatch {
	s := swatch(f, filmsOf(worked))
	s.Lifted = worked.Ledger(4).Share()
	return s
}

func swatch(f *Finish, fs films) *Swatch {
	s := &Swatch{Finish: f}
	var whole, thin, thick, more colour.Spectrum
	low, high := f.Glazes[0].Range.Low/f.Glazes[0].Laid, f.Glazes[0].Range.High/f.Glazes[0].Laid
	for n, g := range f.Grounds {
		s.Estimated = s.Estimated || g.Estimated
		s.Grounds = append(s.Grounds, patch(g.Name, g.Spectrum))
		s.Drawdowns = append(s.Drawdowns, f.drawdowns(n))
		mean := f.whole(n, fs, 1)
		s.Finished = append(s.Finished, patch("finished over "+g.Name, mean))
		for _, sum := range []struct {
			into  *colour.Spectrum
			times float64
		}{{&thin, low}, {&thick, high}, {&more, 1.2}} {
			add(sum.into, f.whole(n, fs, sum.times), 1/float64(len(f.Grounds)))
		}
		add(&whole, mean, 1/float64(len(f.Grounds)))
	}
	for _, g := range f.Glazes {
		s.Estimated = s.Estimated || g.Estimated
	}
	s.Whole, s.Thicker = patch("finished", whole), patch("with a fifth more glaze", more)
	s.ThickerDifference = colour.DeltaE(s.Whole.Lab, s.Thicker.Lab)
	light, dark := f.marks(0, fs)
	s.Light, s.Dark = patch("lightest marks", light), patch("darkest marks", dark)
	s.Marks = colour.DeltaE(s.Light.Lab, s.Dark.Lab)
	a, b := colour.LRV(&thin), colour.LRV(&thick)
	s.LRV = Span{Low: math.Min(a, b), Likely: s.Whole.LRV, High: math.Max(a, b)}
	s.LRV.Low, s.LRV.High = math.Min(s.LRV.Low, s.LRV.Likely), math.Max(s.LRV.High, s.LRV.Likely)
	if len(s.Finished) == 2 {
		s.Strips = colour.DeltaE(s.Finished[0].Lab, s.Finished[1].Lab)
	}
	return s
}

func add(sum *colour.Spectrum, s colour.Spectrum, share float64) {
	for b := range sum {
		sum[b] += share * s[b]
	}
}

// drawdowns are the glazes laid even over a ground, one after the other; where they
// lie side by side in one film, each by itself.
func (f *Finish) drawdowns(ground int) []Patch {
	var out []Patch
	for n, g := range f.Glazes {
		at := lying{first: f.Glazes[0].Laid}
		switch {
		case f.Mixed:
			at.second = float64(n)
		case n == 1:
			at.second = g.Laid
		}
		out = append(out, patch(g.Name+" over "+f.Grounds[ground].Name, f.over(ground, at, 1)))
	}
	return out
}
