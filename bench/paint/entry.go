package main

import (
	"scumble/appearance/colour"
	"scumble/appearance/film"
)

// Films that let their base show are entered as glazes, films that hide it serve as grounds.
const (
	translucent = 0.90
	opaque      = 0.95
	mostGrounds = 24
)

// entry compares, for every glaze over every ground, the colour told from two entered colours with that told
// from two measured spectra, CIEDE2000; channels is the same for Kubelka-Munk on linear sRGB channels.
type entry struct {
	glazes, grounds int
	off, channels   []float64
	refused         int // glazes some colour of which has no estimate
}

func (s *set) enter() entry {
	var e entry
	grounds := s.grounds()
	e.grounds = len(grounds)
	for _, f := range s.films {
		if len(f.On) != 2 || ratio(f) >= translucent {
			continue
		}
		spectra := [4]colour.Spectrum{f.On[0].Coated, f.On[1].Coated, f.On[0].Bare, f.On[1].Bare}
		measured, err := glaze(spectra, f.X)
		var estimated [4]colour.Spectrum
		for i := range spectra {
			if err == nil {
				estimated[i], err = colour.Estimate(daylight.XYZ(&spectra[i]), daylight)
			}
		}
		var entered, channel film.Glaze
		if err == nil {
			entered, err = glaze(estimated, f.X)
		}
		if err == nil {
			var three [4]colour.Spectrum
			for i := range spectra {
				three[i] = channelsOf(&spectra[i])
			}
			channel, err = glaze(three, f.X)
		}
		if err != nil {
			e.refused++
			continue
		}
		e.glazes++
		for _, ground := range grounds {
			want := laid(&measured, f.X, ground)
			got := laid(&entered, f.X, ground)
			rgb := laid(&channel, f.X, channelsOf(&ground))
			e.off = append(e.off, colour.DeltaE(daylight.Lab(&want), daylight.Lab(&got)))
			shown := daylight.XYZ(&want).RGB(daylight.White())
			e.channels = append(e.channels, colour.DeltaE(shown.Lab(), colour.RGB{R: rgb[0], G: rgb[1], B: rgb[2]}.Lab()))
		}
	}
	return e
}

func glaze(r [4]colour.Spectrum, x float64) (film.Glaze, error) {
	g, _, err := film.FromTwo(&r[0], &r[1], &r[2], &r[3], x, surface())
	return g, err
}

func laid(g *film.Glaze, x float64, ground colour.Spectrum) colour.Spectrum {
	f := film.Finish{Ground: ground, Surface: surface(), Coats: []film.Coat{{Glaze: g, X: x}}}
	return f.Spectrum()
}

// channelsOf puts linear red, green and blue in turn into the bands, so that the optics of spectra can be
// run on channels. Light outside the gamut is cut off, as it is on a screen.
func channelsOf(r *colour.Spectrum) (three colour.Spectrum) {
	c := daylight.XYZ(r).RGB(daylight.White())
	for i := range three {
		three[i] = min(max([3]float64{c.R, c.G, c.B}[i%3], 0), 1)
	}
	return three
}

// grounds are real spectra: hiding films, evenly out of all there are, and the bare bases of the first film.
func (s *set) grounds() (grounds []colour.Spectrum) {
	for _, f := range s.films {
		if len(f.On) == 2 && ratio(f) >= opaque {
			grounds = append(grounds, f.On[0].Coated)
		}
	}
	if n := len(grounds); n > mostGrounds {
		for i := range mostGrounds {
			grounds[i] = grounds[i*n/mostGrounds]
		}
		grounds = grounds[:mostGrounds]
	}
	for _, on := range s.films[0].On {
		grounds = append(grounds, on.Bare)
	}
	return grounds
}

// ratio is the contrast ratio of a film as measured.
func ratio(f film.Measured) float64 {
	return daylight.XYZ(&f.On[1].Coated).Y / daylight.XYZ(&f.On[0].Coated).Y
}
