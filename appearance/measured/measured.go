// Package measured reads measured colours and lamps from the files instruments and
// their programs write: CGATS.17 / ISO 28178 text, CxF3 / ISO 17972-1 XML, and CSV.
// It tells the three apart by what is in them, not by the file's name.
//
// Files come from anywhere, so they are held to limits: 8 MiB, 20,000 samples, 5,000
// columns, 2,000,000 spectral values, and 200 problems and 200 notes reported.
package measured

import (
	"cmp"
	"fmt"
	"slices"

	"scumble/appearance/colour"
)

const (
	maxBytes   = 8 << 20
	maxSamples = 20_000
	maxColumns = 5_000
	maxValues  = 2_000_000
	maxReports = 200
)

// Place is where something stands in a file, both counted from 1, columns in characters.
type Place struct{ Line, Column int }

// Problem is something wrong in a file, or worth knowing when it is among the notes:
// where, what, and what to do.
type Problem struct {
	File         string
	Line, Column int    // 0 for the whole file
	Field        string // the sample, column or keyword; may be empty
	What, Do     string
}

// String prints the problem in one line: file:line:column: field: what; do.
func (p Problem) String() string {
	s := p.File + ":"
	if p.Line > 0 {
		s += fmt.Sprintf("%d:%d:", p.Line, p.Column)
	}
	if p.Field != "" {
		s += " " + p.Field + ":"
	}
	s += " " + p.What
	if p.Do != "" {
		s += "; " + p.Do
	}
	return s
}

// Sample is one measured colour.
type Sample struct {
	Name        string           // as the file has it, or its number; may be empty
	Spectrum    *colour.Spectrum // on the 5 nm grid; nil when the file has only colour figures
	First, Step float64          // nm, of Values
	Values      []float64        // as measured, reflectance factor 0..1 (to 1.2 for bright white)
	Lab         *colour.Lab
	XYZ         *colour.XYZ // Y is 1 for the perfect white
	RGB         *colour.RGB // linear light, from 8-bit sRGB figures
	Light       string      // of Lab and XYZ, as the CIE writes it: D50, A, FL2; "" unknown
	Observer    string      // of Lab and XYZ: 1931, 1964; "" unknown
	Geometry    string      // of the instrument, as the file words it; "" unknown
	Backing     string      // white, black; "" unknown or neither
	Film        float64     // um, 0 unknown
	At          Place       // where the sample begins
}

// Read takes the measured colours out of a file, whichever of the three kinds it is;
// name is used in problems only. All problems come at once, and what could be read is
// returned beside them: a sample whose spectrum is wrong keeps its other figures. The
// notes say what was assumed.
//
// Spectra must be evenly spaced by 20 nm at most and cover what colour.Resample wants.
// Figures of a device (RGB, CMYK) in CGATS files say nothing of colour and are left out.
func Read(name string, src []byte) (samples []Sample, notes, problems []Problem) {
	r := &reader{file: name}
	if r.decode(src) {
		switch {
		case isXML(r.text):
			r.cxf()
			// CxF3's schema bounds a reflectance factor by 3.
			samples = r.finish(3, 100)
		case isCGATS(r.text):
			r.cgats()
			samples = r.finish(2, 100)
		default:
			r.csv()
			samples = r.finish(2, r.whiteOfXYZ())
		}
	}
	return samples, sorted(r.notes), sorted(r.problems)
}

// reader collects what a file says.
type reader struct {
	file            string
	text            string // UTF-8, lines end with \n
	drafts          []*draft
	values          int
	lamp            bool // the file is of a lamp
	notes, problems []Problem
	seen            map[Problem]bool // what was reported
}

// draft is a sample whose numbers are still as the file has them.
type draft struct {
	Sample
	waves  []float64 // nm
	waveAt []Place
	raw    []float64 // the value at each of waves
	rawAt  []Place
	wrong  bool    // a wavelength or value could not be read, and that was reported
	white  float64 // what the file says perfect white is: 1, 100; 0 when it must be judged
}

// add takes in the value at a wavelength.
func (d *draft) add(v float64, at Place, ok bool) {
	d.raw, d.rawAt = append(d.raw, v), append(d.rawAt, at)
	d.wrong = d.wrong || !ok
}

// last is the longest wavelength, nm.
func (d *draft) last() float64 { return d.First + d.Step*float64(len(d.raw)-1) }

// report takes in a problem whose key was not met before.
func (r *reader) report(list *[]Problem, key, p Problem) {
	if r.seen[key] {
		return
	}
	if r.seen == nil {
		r.seen = map[Problem]bool{}
	}
	switch n := len(*list); {
	case n < maxReports:
		r.seen[key] = true
		*list = append(*list, p)
	case n == maxReports:
		*list = append(*list, Problem{File: p.File, What: "there is more like this", Do: "mend what is listed and read the file again"})
	}
}

func (r *reader) wrong(at Place, field, what, do string) {
	p := Problem{r.file, at.Line, at.Column, field, what, do}
	r.report(&r.problems, p, p)
}

// note takes in something worth knowing, where it is met first.
func (r *reader) note(at Place, field, what, do string) {
	r.report(&r.notes, Problem{What: what}, Problem{r.file, at.Line, at.Column, field, what, do})
}

// sorted returns problems in the order of the file.
func sorted(list []Problem) []Problem {
	slices.SortStableFunc(list, func(a, b Problem) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	return list
}

// keep takes a draft in.
func (r *reader) keep(d *draft) {
	if r.values += len(d.raw); len(r.drafts) >= maxSamples || r.values > maxValues {
		r.wrong(Place{}, "", fmt.Sprintf("the file has more than %d samples or %d values", maxSamples, maxValues), "part it into smaller files")
		return
	}
	r.drafts = append(r.drafts, d)
}

// finish judges the scale of the whole file, checks the numbers and brings spectra to
// the grid.
func (r *reader) finish(percentAbove, xyzWhite float64) []Sample {
	percent := r.whiteOfReflectances(percentAbove)
	var samples []Sample
	for _, d := range r.drafts {
		if d.XYZ != nil {
			d.XYZ = &colour.XYZ{X: d.XYZ.X / xyzWhite, Y: d.XYZ.Y / xyzWhite, Z: d.XYZ.Z / xyzWhite}
		}
		if len(d.raw) > 0 && !d.wrong && r.even(d) {
			r.reflectances(d, cmp.Or(d.white, percent))
		}
		if d.Spectrum == nil {
			d.First, d.Step = 0, 0
		} else {
			r.noteEnds(d)
		}
		if d.Spectrum != nil || d.Lab != nil || d.XYZ != nil || d.RGB != nil {
			samples = append(samples, d.Sample)
		}
	}
	if len(samples) == 0 && len(r.problems) == 0 {
		r.wrong(Place{1, 1}, "", "there is no measured colour in this file", "export reflectances, L*a*b*, XYZ or sRGB figures with it")
	}
	return samples
}

func (r *reader) noteEnds(d *draft) {
	if d.First > colour.First || d.last() < colour.First+colour.Step*(colour.Bands-1) {
		r.note(d.At, d.Name, fmt.Sprintf("measured from %g to %g nm only", d.First, d.last()), "outside that, the nearest value is held")
	}
}

// whiteOfReflectances is what perfect white is in this file: 1, or 100 when any value
// is above the bound.
func (r *reader) whiteOfReflectances(bound float64) float64 {
	var all, small int
	var top float64
	var at Place
	for _, d := range r.drafts {
		for i, v := range d.raw {
			if all++; v <= 1.2 {
				small++
			}
			if v > top && d.white == 0 {
				top, at = v, d.rawAt[i]
			}
		}
	}
	if top <= bound {
		return 1
	}
	do := ""
	if small*2 > all {
		do = "but most values are below 1.2: if they are reflectances 0..1, mend this one"
	}
	r.note(at, "", fmt.Sprintf("reflectances are taken as percent, because %g is above %g", top, bound), do)
	return 100
}

// whiteOfXYZ is the Y of white in a file without a standard to say so: 1, or 100 when
// any Y is above 2.
func (r *reader) whiteOfXYZ() float64 {
	white, at := 1.0, Place{}
	for _, d := range r.drafts {
		if d.XYZ == nil {
			continue
		}
		at = cmp.Or(at, d.At)
		if d.XYZ.Y > 2 {
			white = 100
		}
	}
	if at != (Place{}) {
		r.note(at, "XYZ", fmt.Sprintf("XYZ are taken with Y = %g for white", white), "")
	}
	return white
}

// reflectances checks the values of a draft and sets its spectrum if they are right.
func (r *reader) reflectances(d *draft, white float64) {
	values := make([]float64, len(d.raw))
	right := true
	for i, v := range d.raw {
		values[i] = max(v/white, 0)
		if v < 0 && v/white >= -0.01 {
			r.note(d.At, d.Name, "reflectances a little below 0, as instruments give for black, are taken as 0", "")
		} else if v < 0 || v/white > 1.2 {
			right = false
			r.wrong(d.rawAt[i], d.Name, fmt.Sprintf("reflectance %g at %g nm is not within 0 and %g", v, d.waves[i], 1.2*white), "measure again, or mend the number; fluorescent colours cannot be used")
		}
	}
	if right {
		d.Values = values
		d.Spectrum = r.onGrid(d, values)
	}
}

// onGrid brings values to the 5 nm grid, none below 0; nil if the colour package will
// not have them.
func (r *reader) onGrid(d *draft, values []float64) *colour.Spectrum {
	s, err := colour.Resample(d.First, d.Step, values)
	if err != nil {
		r.wrong(d.waveAt[0], "", "too few bands: "+err.Error(), "export at least 400 to 700 nm")
		d.Values = nil
		return nil
	}
	for i := range s {
		s[i] = max(s[i], 0) // a cubic may dip below a zero it passes beside
	}
	return &s
}

// even sets the first wavelength and the step of a draft. It reports wavelengths that do
// not rise evenly by 20 nm at most, the widest step ASTM E308 has weights for.
func (r *reader) even(d *draft) bool {
	n := len(d.waves)
	for i := 1; i < n; i++ {
		gap, want := d.waves[i]-d.waves[i-1], d.waves[1]-d.waves[0]
		if gap <= 0 {
			r.wrong(d.waveAt[i], "", fmt.Sprintf("%g nm comes after %g nm", d.waves[i], d.waves[i-1]), "put the wavelengths in rising order, each once")
			return false
		}
		if gap > want*1.02 || gap < want*0.98 {
			r.wrong(d.waveAt[i], "", fmt.Sprintf("from %g to %g nm is a step of %.4g, but the first step is %.4g", d.waves[i-1], d.waves[i], gap, want), "export evenly spaced wavelengths")
			return false
		}
	}
	if n > 1 {
		d.First, d.Step = d.waves[0], (d.waves[n-1]-d.waves[0])/float64(n-1)
	}
	if n < 2 || d.Step > 20.01 {
		r.wrong(d.waveAt[0], "", fmt.Sprintf("too few bands: %d, one every %.4g nm", n, d.Step), "export one every 20 nm or closer, best 10 or 5")
		return false
	}
	return true
}
