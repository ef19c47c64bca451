package measured

import (
	"cmp"
	"fmt"
	"math"
	"path"
	"strings"

	"scumble/appearance/colour"
)

// ReadLight takes the power of a lamp out of a file: two columns of text, wavelength in
// nm and power in any unit, with or without a header; or a CGATS table. The light's ID
// is the file's name without what follows the last point. All problems come at once;
// with any, the light is empty.
func ReadLight(name string, src []byte) (light colour.Light, notes, problems []Problem) {
	r := &reader{file: name, lamp: true}
	if r.decode(src) {
		switch {
		case isXML(r.text):
			r.wrong(Place{1, 1}, "", "a lamp cannot be read from XML", "give two columns of text: wavelength in nm, and power")
		case isCGATS(r.text):
			r.cgats()
		default:
			r.csv()
		}
		light = r.light()
	}
	if len(r.problems) > 0 {
		light = colour.Light{}
	}
	return light, sorted(r.notes), sorted(r.problems)
}

// light makes a light of the first spectrum.
func (r *reader) light() colour.Light {
	var found []*draft
	for _, d := range r.drafts {
		if len(d.raw) > 0 {
			found = append(found, d)
		}
	}
	switch {
	case len(found) == 0:
		if len(r.problems) == 0 {
			r.wrong(Place{1, 1}, "", "there is no spectrum in this file", "give two columns: wavelength in nm, and power")
		}
		return colour.Light{}
	case len(found) > 1:
		r.note(found[1].At, found[1].Name, "the file has more than one spectrum; the first is the lamp", "")
	}
	d := found[0]
	if d.wrong || !r.even(d) || !r.power(d) {
		return colour.Light{}
	}
	power := r.onGrid(d, d.raw)
	if power != nil && d.Step < colour.Step-0.01 {
		*power = d.averaged()
	} else if power == nil {
		return colour.Light{}
	}
	file := plain(r.file[strings.LastIndexAny(r.file, `/\`)+1:])
	id := cmp.Or(strings.TrimSuffix(file, path.Ext(file)), file)
	return colour.Light{ID: id, Name: cmp.Or(d.Name, id), Power: *power, Source: "measured, " + file}
}

// power checks the values of a lamp. A little less than 0, as instruments give where a
// lamp is dark, is taken as 0.
func (r *reader) power(d *draft) bool {
	top := 0.0
	for _, v := range d.raw {
		top = max(top, v)
	}
	right := top > 0
	if !right {
		r.wrong(d.rawAt[0], d.Name, "the lamp has no power at any wavelength", "measure it again")
	}
	for i, v := range d.raw {
		if v < -top/100 {
			right = false
			r.wrong(d.rawAt[i], d.Name, fmt.Sprintf("power %g at %g nm is below 0", v, d.waves[i]), "measure again, or mend the number")
		}
		d.raw[i] = max(v, 0)
	}
	if d.Step > colour.Step+0.01 {
		r.note(d.At, d.Name, fmt.Sprintf("the lamp was measured every %.4g nm", d.Step), "narrow lines of fluorescent and LED lamps want 5 nm or closer")
	}
	r.noteEnds(d)
	return right
}

// averaged brings values closer than 5 nm to the grid: the mean under a triangle 5 nm
// wide at half height, the passband ASTM E308 supposes, so that lines between the grid's
// wavelengths keep their power.
func (d *draft) averaged() (s colour.Spectrum) {
	for i := range s {
		// Beyond the ends, the nearest wavelength that was measured.
		nm := min(max(float64(colour.First+colour.Step*i), d.First), d.last())
		from := max(int((nm-colour.Step-d.First)/d.Step), 0)
		var sum, weights float64
		for j := from; j < len(d.raw) && d.First+d.Step*float64(j) < nm+colour.Step; j++ {
			w := max(1-math.Abs(d.First+d.Step*float64(j)-nm)/colour.Step, 0)
			sum, weights = sum+w*d.raw[j], weights+w
		}
		s[i] = sum / weights
	}
	return s
}
