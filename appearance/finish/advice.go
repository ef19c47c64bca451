package finish

import (
	"fmt"
	"math"

	"scumble/appearance/colour"
	"scumble/appearance/film"
	"scumble/catalog"
	"scumble/job"
	"scumble/unit"
)

// Advice is one thing worth knowing about a finish before it is agreed: a short
// claim, the figure behind it, and what is enough.
type Advice struct {
	// About is weave, lamps, hiding, light, film, screen or spectrum.
	About                 string
	Claim, Figure, Enough string
	// Fits is false where something should be looked at again.
	Fits bool
}

// Advise says what follows from a swatch. lamps is what the room is lit with after
// dark; asked is how much light the finish is to give back.
func Advise(s *Swatch, d *catalog.Defaults, lamps string, asked job.Light) []Advice {
	var list []Advice
	if len(s.Finished) == 2 {
		list = append(list, seenStrips(s, d))
	}
	list = append(list, turning(s, d, lamps))
	if asked.Least.Given() || asked.Most.Given() {
		list = append(list, reflecting(s, asked))
	}
	list = append(list, thicker(s, d))
	if s.Whole.Clipped || s.Dark.Clipped || s.Light.Clipped {
		list = append(list, Advice{About: "screen", Claim: "A screen and a printer cannot show this colour in full", Fits: true,
			Figure: fmt.Sprintf("it is L* %.0f, a* %.0f, b* %.0f", s.Whole.Lab.L, s.Whole.Lab.A, s.Whole.Lab.B), Enough: "judge it on a board"})
	}
	if s.Estimated {
		list = append(list, Advice{About: "spectrum", Claim: "The colours were entered, not measured", Fits: true,
			Figure: "under lamps they may turn by 1 to 2 more than shown, at worst 5 (CIEDE2000, found on 99 measured samples)",
			Enough: "measure the cards, or judge boards under the lamps"})
	}
	return list
}

func seenStrips(s *Swatch, d *catalog.Defaults) Advice {
	a := Advice{About: "weave", Figure: fmt.Sprintf("%.1f CIEDE2000 between the finished strips", s.Strips),
		Enough: fmt.Sprintf("%g is seen from two metres, %g is plain", d.SeenStrips.Likely, d.SeenStrips.High), Fits: s.Strips >= d.SeenStrips.Likely}
	switch {
	case s.Strips >= d.SeenStrips.High:
		a.Claim = "The strips are plain to see"
	case a.Fits:
		a.Claim = "The strips are seen, and quiet"
	case s.Strips >= d.SeenStrips.Low:
		a.Claim = "The strips will hardly be seen: part the two grounds further, or lay a clearer glaze"
	default:
		a.Claim = "The strips will be lost: part the two grounds further, or lay a clearer glaze"
	}
	return a
}

func turning(s *Swatch, d *catalog.Defaults, lamps string) Advice {
	difference, words := s.Whole.turn(lamps)
	a := Advice{About: "lamps", Figure: fmt.Sprintf("%.1f CIEDE2000 from daylight to %s", difference, lamps),
		Enough: fmt.Sprintf("under %g nobody remarks on it", d.SeenTurn.Likely), Fits: difference <= d.SeenTurn.Likely}
	if a.Fits {
		a.Claim = "The colour holds under the lamps"
		return a
	}
	a.Claim = "The colour turns under the lamps"
	if words != "" {
		a.Claim += ": " + words
	}
	return a
}

func reflecting(s *Swatch, asked job.Light) Advice {
	a := Advice{About: "light", Figure: fmt.Sprintf("LRV %.0f, from %.0f to %.0f over the range of films", s.LRV.Likely, s.LRV.Low, s.LRV.High), Fits: true, Claim: "The wall gives back the light asked for"}
	least, most := 100*float64(asked.Least.Value), 100*float64(asked.Most.Value)
	switch {
	case asked.Least.Given() && asked.Most.Given():
		a.Enough = fmt.Sprintf("%.0f to %.0f was asked for", least, most)
	case asked.Least.Given():
		a.Enough = fmt.Sprintf("at least %.0f was asked for", least)
	default:
		a.Enough = fmt.Sprintf("at most %.0f was asked for", most)
	}
	switch {
	case asked.Least.Given() && s.LRV.Likely < least:
		a.Claim, a.Fits = "The wall is darker than asked for: take a lighter ground or less colour in the glaze", false
	case asked.Most.Given() && s.LRV.Likely > most:
		a.Claim, a.Fits = "The wall is lighter than asked for", false
	case asked.Least.Given() && s.LRV.Low < least || asked.Most.Given() && s.LRV.High > most:
		a.Claim = "The wall gives back the light asked for, but not with every film the glaze may be laid at"
	}
	return a
}

func thicker(s *Swatch, d *catalog.Defaults) Advice {
	a := Advice{About: "film", Figure: fmt.Sprintf("a fifth more glaze moves the colour by %.1f CIEDE2000, LRV %.0f to %.0f", s.ThickerDifference, s.Whole.LRV, s.Thicker.LRV),
		Enough: fmt.Sprintf("under %g walls match by eye", d.SeenFilm.Likely), Fits: s.ThickerDifference <= d.SeenFilm.Likely}
	a.Claim = "The look forgives an uneven film"
	if !a.Fits {
		a.Claim = "The look hangs on the film: lay every wall by the same litres"
		if w := change(s.Whole.Lab, s.Thicker.Lab); w != "" {
			a.Claim += ", more is " + w
		}
	}
	return a
}

// mostCoats is where counting ends: more coats than anybody lays.
const mostCoats = 6

// Hiding is how many ground coats hide an old colour: fewest, likely and most, by
// the range of how well a coat hides. It is 0 for a figure the old colour needs
// none for, and mostCoats+1 where even six do not do it.
type Hiding struct {
	Old, New Patch
	Coats    Span
	// Left is CIEDE2000 that one, two, three... likely coats leave of the difference.
	Left []float64
	// Film is the wet film of one coat, um.
	Film float64
}

// Hide counts the ground coats that hide an old colour under a ground of the finish.
func Hide(f *Finish, old Ground, coat *catalog.Product, d *catalog.Defaults) (*Hiding, error) {
	rate := coat.Spread.Likely * perKg(coat, coat.Spread.Unit)
	if coat.Clarity == nil || !(rate > 0) {
		return nil, fmt.Errorf("products/%s: how well a coat hides is not known; give its clarity and spread", coat.ID)
	}
	ground := f.Grounds[0]
	h := &Hiding{Old: patch(old.Name, old.Spectrum), New: patch(ground.Name, ground.Spectrum), Film: 1000 / rate}
	count := func(clarity float64) (float64, []float64, error) {
		g, _, err := film.FromColour(&ground.Spectrum, math.Max(leastClarity, clarity), h.Film, film.Usual())
		if err != nil {
			return 0, nil, err
		}
		aim := film.Finish{Ground: ground.Spectrum, Surface: film.Usual(), Coats: []film.Coat{{Glaze: &g, X: 20 * h.Film}}}
		wanted := patch("", aim.Spectrum())
		n, left := float64(mostCoats+1), []float64(nil)
		for coats := 0; coats <= mostCoats; coats++ {
			over := film.Finish{Ground: old.Spectrum, Surface: film.Usual(), Coats: []film.Coat{{Glaze: &g, X: float64(coats) * h.Film}}}
			difference := colour.DeltaE(patch("", over.Spectrum()).Lab, wanted.Lab)
			if coats > 0 {
				left = append(left, difference)
			}
			if difference <= d.SeenThrough.Likely && n > mostCoats {
				n = float64(coats)
			}
		}
		return n, left, nil
	}
	var err error
	for _, end := range []struct {
		clarity float64
		into    *float64
	}{{coat.Clarity.Low, &h.Coats.Low}, {coat.Clarity.Likely, &h.Coats.Likely}, {coat.Clarity.High, &h.Coats.High}} {
		var left []float64
		if *end.into, left, err = count(end.clarity); err != nil {
			return nil, fmt.Errorf("ground %s: %w", ground.Name, err)
		}
		if end.into == &h.Coats.Likely {
			h.Left = left
		}
	}
	return h, nil
}

// Advice is the hiding in words; coats is how many the job lays.
func (h *Hiding) Advice(coats int) Advice {
	a := Advice{About: "hiding", Fits: float64(coats) >= h.Coats.Likely,
		Figure: fmt.Sprintf("%s, from %s to %s", words(h.Coats.Likely), words(h.Coats.Low), words(h.Coats.High)),
		Enough: fmt.Sprintf("%s are in the plan", words(float64(coats)))}
	switch {
	case h.Coats.Likely > mostCoats:
		a.Claim = "The old colour " + h.Old.Name + " shows through any number of ground coats: seal it with a tinted primer first"
	case a.Fits:
		a.Claim = "The ground coats hide the old colour " + h.Old.Name
	default:
		a.Claim = "The old colour " + h.Old.Name + " needs more ground coats than planned"
	}
	return a
}

func words(coats float64) string {
	switch {
	case coats > mostCoats:
		return fmt.Sprintf("more than %d coats", mostCoats)
	case coats == 1:
		return "1 coat"
	}
	return unit.Figure(coats, 0) + " coats"
}
