package measured

import (
	"math"
	"strings"
	"testing"

	"scumble/appearance/colour"
)

func TestLampMeasuredEveryNanometre(t *testing.T) {
	l, notes, problems := ReadLight("measured/site lamp.csv", file(t, "site lamp.csv"))
	if len(notes)+len(problems) > 0 {
		t.Fatalf("notes and problems:\n%s\n%s", list(notes), list(problems))
	}
	if l.ID != "site lamp" || l.Name != "site lamp" || l.Source != "measured, site lamp.csv" {
		t.Errorf("%q, %q, %q", l.ID, l.Name, l.Source)
	}
	// The fixture is (nm/800)^4 and a Gauss line at 546.1 nm, 3 high and 1.5 nm wide at
	// 1/e. Bringing it to 5 nm must keep the power of the line, 3 * 1.5 * sqrt(pi), and
	// leave the smooth part as it is but for its curvature.
	line := 0.0
	for i, v := range l.Power {
		nm := float64(colour.First + colour.Step*i)
		smooth := math.Pow(nm/800, 4)
		if line += (v - smooth) * colour.Step; math.Abs(nm-546.1) > 10 && math.Abs(v-smooth) > 2e-4 {
			t.Errorf("at %g nm: %g, want %g", nm, v, smooth)
		}
	}
	if want := 4.5 * math.Sqrt(math.Pi); math.Abs(line-want) > 0.02 {
		t.Errorf("the line has power %g, want %g", line, want)
	}
}

func TestLampFiles(t *testing.T) {
	power := func(nm float64) any { return 1 + (nm-380)/100 }
	lines := func(sep string, from, to, step int) string {
		return bands(from, to, step, "\n", "%s", func(nm float64) any {
			return strings.Join([]string{bands(int(nm), int(nm), 1, "", "%v", func(nm float64) any { return nm }), bands(int(nm), int(nm), 1, "", "%v", power)}, sep)
		})
	}
	for name, src := range map[string]string{
		"no header":     lines(",", 380, 780, 5),
		"blanks":        lines("  ", 380, 780, 5),
		"tab and comma": strings.ReplaceAll(lines("\t", 380, 780, 5), ".", ","),
		"comma blanks":  "# lamp\n" + strings.ReplaceAll(lines(" ", 380, 780, 5), ".", ","),
		"own words":     "Wellenlänge;Leistung\nnm;W\n" + strings.ReplaceAll(lines(";", 380, 780, 5), ".", ","),
		"wider":         "nm,power\n" + lines(",", 350, 800, 5),
		"units":         "λ,power\nnm,%\n" + lines(",", 380, 780, 10),
		"CGATS row":     cgatsOf(bands(380, 780, 5, " ", "SPEC_%v", func(nm float64) any { return nm }), bands(380, 780, 5, " ", "%v", power)),
		"CGATS down":    cgatsOf("SPECTRAL_NM SPECTRAL_VALUE", strings.Split(lines(" ", 380, 780, 5), "\n")...),
		"CSV row":       bands(380, 780, 5, ",", "%v", func(nm float64) any { return nm }) + "\n" + bands(380, 780, 5, ",", "%v", power),
		"every 2.5 nm": "nm,power\n380,1\n" + bands(0, 159, 1, "\n", "%s", func(i float64) any {
			return strings.Replace(bands(0, 0, 1, "", "%v", func(float64) any { return 382.5 + 2.5*i }), " ", "", 1) + "," + bands(0, 0, 1, "", "%v", func(float64) any { return power(382.5 + 2.5*i) })
		}),
	} {
		t.Run(name, func(t *testing.T) {
			l, _, problems := ReadLight("l.csv", []byte(src))
			if len(problems) > 0 {
				t.Fatalf("problems:\n%s", list(problems))
			}
			for i, v := range l.Power {
				if want := power(float64(380 + 5*i)).(float64); math.Abs(v-want) > 1e-9 && (name != "every 2.5 nm" || i > 0 && i < 80) {
					t.Fatalf("at %d nm: %g, want %g", 380+5*i, v, want)
				}
			}
		})
	}
}

func TestLampMistakes(t *testing.T) {
	lamp := func(from, to string) string {
		return strings.Replace("nm,power\n"+bands(380, 780, 10, "\n", "%s", func(nm float64) any {
			return bands(int(nm), int(nm), 1, "", "%v,5", func(nm float64) any { return nm })
		}), from, to, 1)
	}
	for name, c := range map[string]struct{ src, want string }{
		"XML":          {"<CxF/>", "f:1:1: a lamp cannot be read from XML; give two columns of text: wavelength in nm, and power"},
		"prose":        {"hello", "f:1:1: none of the first 20 lines names columns of colour; give two columns: wavelength in nm, and power"},
		"Lab only":     {cgatsOf("LAB_L LAB_A LAB_B", "1 2 3"), "f:1:1: there is no spectrum in this file; give two columns: wavelength in nm, and power"},
		"below 0":      {lamp("400,5", "400,-5"), "f:4:5: power -5 at 400 nm is below 0; measure again, or mend the number"},
		"word":         {lamp("400,5", "400,5W"), `f:4:5: power: "5W" is not a number; mend it; decimals may follow a point or a comma`},
		"uneven":       {lamp("400,5\n", ""), "f:4:1: from 390 to 410 nm is a step of 20, but the first step is 10; export evenly spaced wavelengths"},
		"unordered":    {lamp("400,5", "380,5"), "f:4:1: 380 nm comes after 390 nm; put the wavelengths in rising order, each once"},
		"dark":         {strings.ReplaceAll(lamp("", ""), ",5", ",0"), "f:2:5: the lamp has no power at any wavelength; measure it again"},
		"few":          {"400,1\n410,2\n", "f:1:1: too few bands: values from 400 to 410 nm: the range must cover 420 to 680 nm; export at least 400 to 700 nm"},
		"not in nm":    {lamp("400,5", "0.4,5"), "f:4:1: 0.4 nm comes after 390 nm; put the wavelengths in rising order, each once"},
		"three values": {lamp("400,5", "400,5,6"), "f:4:1: this row has 3 values, the header has 2 columns; give each column one value; quote names that hold spaces or separators"},
	} {
		t.Run(name, func(t *testing.T) {
			l, _, problems := ReadLight("f", []byte(c.src))
			first, _, _ := strings.Cut(list(problems), "\n")
			if first != c.want || l != (colour.Light{}) {
				t.Errorf("problems:\n%s\nwant:\n%s", list(problems), c.want)
			}
		})
	}
	// A little below 0, coarse, short, and with a second column: notes, no problems.
	_, notes, problems := ReadLight("f", []byte("nm,a,b\n"+bands(400, 700, 10, "\n", "%s", func(nm float64) any {
		return bands(int(nm), int(nm), 1, "", "%v,5,6", func(nm float64) any { return nm })
	})))
	if got := list(notes); len(problems) > 0 || !strings.Contains(got, "every 10 nm") || !strings.Contains(got, "400 to 700 nm only") || !strings.Contains(got, "more than one spectrum") {
		t.Errorf("notes:\n%s\nproblems:\n%s", got, list(problems))
	}
}
