package measured

import (
	"math"
	"testing"

	"scumble/appearance/colour"
)

// A reading without a spectrum says the same colour in the job, whatever eye and light
// it was made for.
func TestReadingKeepsItsColour(t *testing.T) {
	grey := colour.Lab{L: 60}
	rgb := colour.FromBytes(200, 120, 90)
	d65, _ := colour.LightByID("D65")
	white := colour.NewViewer(d65, colour.Observer1931()).White()
	xyz := colour.Lab{L: 50, A: 20, B: -10}.XYZ(white)
	for name, c := range map[string]struct {
		sample Sample
		want   colour.Lab
		under  string
		within float64
	}{
		"plain":      {Sample{Lab: &colour.Lab{L: 50, A: 3, B: 4}}, colour.Lab{L: 50, A: 3, B: 4}, "D50", 1e-9},
		"D65":        {Sample{XYZ: &xyz, Light: "D65", Observer: "1931"}, colour.Lab{L: 50, A: 20, B: -10}, "D65", 1e-9},
		"screen":     {Sample{RGB: &rgb}, rgb.Lab(), "D65", 1e-9},
		"10 degrees": {Sample{Lab: &grey, Light: "D65", Observer: "1964"}, grey, "D50", 0.1},
		"lamp":       {Sample{Lab: &grey, Light: "A", Observer: "1931"}, grey, "D50", 0.1},
	} {
		got, under := reading(c.sample)
		if under != c.under || colour.DeltaE(got, c.want) > c.within {
			t.Errorf("%s: %v under %s, want %v under %s", name, got, under, c.want, c.under)
		}
	}
	// A red under lamplight is no longer the same figures by daylight, but it is close.
	red := colour.Lab{L: 45, A: 50, B: 30}
	got, _ := reading(Sample{Lab: &red, Light: "A", Observer: "1931"})
	if d := colour.DeltaE(got, red); d < 0.5 || d > 10 {
		t.Errorf("a red under a filament lamp is off by %.2f by daylight", d)
	}
}

// A spectrum between whole nm comes on the grid of the program.
func TestSpectrumBetweenWholeNanometres(t *testing.T) {
	var flat colour.Spectrum
	for i := range flat {
		flat[i] = 0.4
	}
	m := Sample{Name: "x", Spectrum: &flat, First: 400.5, Step: 3.3, Values: make([]float64, 100)}.ForJob(0, "f")
	if m.From != colour.First || m.Step != colour.Step || len(m.Values) != colour.Bands || math.Abs(m.Values[40]-0.4) > 1e-9 || m.Lab != nil {
		t.Errorf("%+v", m)
	}
}
