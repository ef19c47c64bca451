package main

import (
	"fmt"

	"scumble/appearance/colour"
	"scumble/appearance/film"
)

// tint is a film of one pigment in one white, foretold by the other films of both.
type tint struct {
	film    film.Measured
	pigment string
	share   float64 // of the pigment, 0..1 by mass
	others  int     // other films of the pigment it was told from
	on      []miss
}

// miss is how far off the colour on one base was, CIEDE2000.
type miss struct {
	white       bool
	off, single float64 // by two constants, and by K/S alone
}

// surface is taken with the mirror image shut out, as for all measured colours: the darkest of real films
// read less than the 4 % that it alone would give.
func surface() film.Surface { return film.Usual() }

// foretell leaves out every tint in turn. Its pigment and white are fitted to the films made of nothing
// else, without the tint itself, and mixed anew: paints with a third pigment would make the fit serve that
// too. Tints whose pigment is in no other such film cannot be foretold.
func (s *set) foretell() (tints []tint, notes []string) {
	whites := s.whites()
	for i, held := range s.films {
		in := present(held.Shares)
		if len(in) != 2 || whites[in[0]] == whites[in[1]] {
			continue
		}
		pigment, white := in[0], in[1]
		if whites[pigment] {
			pigment, white = white, pigment
		}
		family, others := s.family(i, pigment, white)
		if others == 0 {
			notes = append(notes, fmt.Sprintf("film %s: no other film of %s in %s alone to tell it from", held.Name, s.pigments[pigment], s.pigments[white]))
			continue
		}
		t := tint{
			film: held, pigment: s.pigments[pigment], others: others,
			share: held.Shares[pigment] / (held.Shares[pigment] + held.Shares[white]),
		}
		if err := t.foretell(family); err != nil {
			notes = append(notes, fmt.Sprintf("film %s: %v", held.Name, err))
			continue
		}
		tints = append(tints, t)
	}
	return tints, notes
}

// family are the films of the two pigments alone but for the one left out, and how many have the first.
func (s *set) family(left, pigment, white int) (family []film.Measured, others int) {
	for i, f := range s.films {
		outside := false
		for _, p := range present(f.Shares) {
			outside = outside || p != pigment && p != white
		}
		if i == left || outside {
			continue
		}
		if f.Shares[pigment] > 0 {
			others++
		}
		f.Shares = []float64{f.Shares[pigment], f.Shares[white]}
		family = append(family, f)
	}
	return family, others
}

// foretell fits the family, pigment first and white second, and notes how far off the tint it is.
func (t *tint) foretell(family []film.Measured) error {
	shares := []float64{t.share, 1 - t.share}
	t.on = make([]miss, len(t.film.On))
	for _, single := range []bool{false, true} {
		model := film.Model{Surface: surface(), SingleConstant: single}
		glazes, _, err := film.FitSeries(family, model)
		if err != nil {
			return err
		}
		for i, on := range t.film.On {
			told, err := model.Predict(glazes, shares, t.film.X, &on.Bare)
			if err != nil {
				return err
			}
			off := colour.DeltaE(daylight.Lab(&on.Coated), daylight.Lab(&told))
			t.on[i].white = daylight.XYZ(&on.Bare).Y > 0.4
			if single {
				t.on[i].single = off
			} else {
				t.on[i].off = off
			}
		}
	}
	return nil
}
