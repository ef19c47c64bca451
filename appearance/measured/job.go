package measured

import (
	"fmt"
	"math"
	"strings"

	"scumble/appearance/colour"
	"scumble/job"
)

// ForJob is a sample as a job writes it: the i-th of a file, from whose name it has its own
// where it has none.
func (s Sample) ForJob(i int, file string) job.Measured {
	m := job.Measured{Name: s.Name, Under: "D50", Source: file}
	if m.Name == "" {
		m.Name = fmt.Sprintf("%s %d", file, i+1)
	}
	if s.Backing != "" {
		m.Source += ", over " + s.Backing
	}
	switch {
	case s.Spectrum == nil:
		var lab colour.Lab
		lab, m.Under = reading(s)
		m.Lab = []float64{rounded(lab.L), rounded(lab.A), rounded(lab.B)}
	case s.First >= 300 && s.First == math.Trunc(s.First) && s.Step >= 1 && s.Step == math.Trunc(s.Step):
		m.From, m.Step, m.Values = int(s.First), int(s.Step), s.Values
	default: // between whole nm: as brought to the grid of the program
		m.From, m.Step = colour.First, colour.Step
		for _, v := range s.Spectrum {
			m.Values = append(m.Values, math.Max(0, rounded(v)))
		}
	}
	return m
}

// reading is the CIELAB reading of a sample without a spectrum, and the light it stands
// for, D50 or D65 and the 2-degree observer. One for other eyes or lights is brought to
// D50 by the smoothest spectrum with that reading, or else by adaptation.
func reading(s Sample) (lab colour.Lab, under string) {
	if s.Lab == nil && s.XYZ == nil {
		return s.RGB.Lab(), "D65" // sRGB is of daylight
	}
	under = strings.ToUpper(s.Light)
	light, known := colour.LightByID(under)
	if !known {
		under = "D50"
		light, _ = colour.LightByID(under)
	}
	observer := colour.Observer1931()
	if s.Observer == "1964" {
		observer = colour.Observer1964()
	}
	seen := colour.NewViewer(light, observer)
	var xyz colour.XYZ
	if s.Lab != nil {
		xyz = s.Lab.XYZ(seen.White())
	} else {
		xyz = *s.XYZ
	}
	if s.Observer != "1964" && (under == "D50" || under == "D65") {
		return xyz.Lab(seen.White()), under
	}
	d50, _ := colour.LightByID("D50")
	graphic := colour.NewViewer(d50, colour.Observer1931())
	if spectrum, err := colour.Estimate(xyz, seen); err == nil {
		return graphic.Lab(&spectrum), "D50"
	}
	return colour.Adapt(xyz, seen.White(), graphic.White()).Lab(graphic.White()), "D50"
}

func rounded(v float64) float64 { return math.Round(v*1000) / 1000 }
