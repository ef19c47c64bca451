package colour

import (
	"math"
	"strings"
	"testing"
)

// Chromaticities x, y for the 2-degree observer. Sources: CIE 015:2018 (A, D55, D75, FL; D50 and D65 with the
// five digits of CIE 15:2004) and its LED illuminants to four digits, as transcribed in the BSD-3 data sets of
// github.com/colour-science/colour, colour/colorimetry/datasets/illuminants/chromaticity_coordinates.py.
var chromaticity2 = map[string][2]float64{
	"A": {0.44758, 0.40745}, "D50": {0.34567, 0.35851}, "D55": {0.33243, 0.34744}, "D65": {0.31272, 0.32903},
	"D75": {0.29903, 0.31488}, "E": {1.0 / 3, 1.0 / 3},
	"FL1": {0.3131, 0.3371}, "FL2": {0.3721, 0.3751}, "FL7": {0.3129, 0.3292}, "FL8": {0.3458, 0.3586},
	"FL11": {0.3805, 0.3769}, "FL12": {0.4370, 0.4042},
	"LED-B1": {0.4560, 0.4078}, "LED-B2": {0.4357, 0.4012}, "LED-B3": {0.3756, 0.3723}, "LED-B4": {0.3422, 0.3502},
	"LED-B5": {0.3118, 0.3236}, "LED-BH1": {0.4474, 0.4066}, "LED-RGB1": {0.4557, 0.4211},
	"LED-V1": {0.4548, 0.4044}, "LED-V2": {0.3781, 0.3775},
}

// The same for the 10-degree observer, from the same file (the LED figures were computed there by ASTM E308).
var chromaticity10 = map[string][2]float64{
	"A": {0.45117, 0.40594}, "D50": {0.34773, 0.35952}, "D55": {0.33412, 0.34877}, "D65": {0.31382, 0.33100},
	"D75": {0.29968, 0.31740}, "E": {1.0 / 3, 1.0 / 3},
	"FL2": {0.37925, 0.36733}, "FL7": {0.31569, 0.32960}, "FL11": {0.38541, 0.37123},
	"LED-B1": {0.462504966, 0.403041802}, "LED-B3": {0.380851979, 0.368518549}, "LED-B5": {0.316916877, 0.322060276},
}

func TestLightsHaveTheirPublishedChromaticity(t *testing.T) {
	for _, c := range []struct {
		observer  *Observer
		published map[string][2]float64
		tolerance float64 // rounding, and sums every 5 nm over 380-780 instead of every 1 nm over 360-830
	}{
		{Observer1931(), chromaticity2, 1.5e-4},
		{Observer1964(), chromaticity10, 1.5e-4},
	} {
		for id, want := range c.published {
			l, ok := LightByID(id)
			if !ok {
				t.Errorf("no light %s", id)
				continue
			}
			w := NewViewer(l, c.observer).White()
			sum := w.X + w.Y + w.Z
			x, y := w.X/sum, w.Y/sum
			if math.Abs(x-want[0]) > c.tolerance || math.Abs(y-want[1]) > c.tolerance {
				t.Errorf("%s, %s: x %.5f y %.5f, want %.5f %.5f", id, c.observer.ID, x, y, want[0], want[1])
			}
		}
	}
}

// planckA is illuminant A at a wavelength in nm by its defining formula (ISO/CIE 11664-2:2022).
func planckA(nm float64) float64 {
	const c2 = 1.435e7 // nm K, the value of the definition
	return 100 * math.Pow(560/nm, 5) * math.Expm1(c2/(2848*560)) / math.Expm1(c2/(2848*nm))
}

func TestIlluminantAMeetsItsFormula(t *testing.T) {
	a, _ := LightByID("A")
	for i, power := range a.Power {
		want := planckA(float64(First + Step*i))
		if math.Abs(power/want-1) > 1e-5 { // six digits are printed
			t.Errorf("%d nm: %v, want %v", First+Step*i, power, want)
		}
	}
}

func TestLightsAreFoundAndOwnedByTheCaller(t *testing.T) {
	all := Lights()
	if len(all) != len(chromaticity2) {
		t.Errorf("%d lights, %d have a check", len(all), len(chromaticity2))
	}
	for _, l := range all {
		if l.Name == "" || l.Source == "" {
			t.Errorf("%s lacks a name or a source", l.ID)
		}
		if found, ok := LightByID(strings.ToLower(l.ID)); !ok || found != l {
			t.Errorf("%s is not found in lower case", l.ID)
		}
	}
	if _, ok := LightByID("moon"); ok {
		t.Error("found a light that does not exist")
	}
	all[0].ID, all[0].Power[40] = "mine", 0
	Observer1931().Y[40] = 0
	if l, ok := LightByID("A"); !ok || l.Power[40] == 0 || Observer1931().Y[40] == 0 {
		t.Error("a caller's change reached the tables")
	}
}

func TestTablesRefuseWhatIsNotATable(t *testing.T) {
	line := "380 1 2 3 4 5 6 7 8 9\n"
	for name, text := range map[string]string{
		"short":            "[A] a | b\n" + line,
		"no head":          line,
		"no source":        "[A] a\n" + line,
		"wrong wavelength": "[A] a | b\n400 1\n",
		"no number":        "[A] a | b\n380 1 2 x\n",
		"two heads":        "[A] a | b\n[B] a | b\n",
	} {
		if tables, err := parseTables(text); err == nil {
			t.Errorf("%s: read %v", name, tables)
		}
	}
}
