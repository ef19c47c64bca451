package colour

import (
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func viewer(t testing.TB, light string, o *Observer) *Viewer {
	t.Helper()
	l, ok := LightByID(light)
	if !ok {
		t.Fatalf("no light %s", light)
	}
	return NewViewer(l, o)
}

func flat(r float64) *Spectrum {
	var s Spectrum
	for i := range s {
		s[i] = r
	}
	return &s
}

// readRows reads a comma-separated file of testdata without its comments.
func readRows(t testing.TB, name string) [][]string {
	t.Helper()
	text, err := os.ReadFile("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	var rows [][]string
	for line := range strings.Lines(string(text)) {
		if !strings.HasPrefix(line, "#") {
			rows = append(rows, strings.Split(strings.TrimRight(line, "\r\n"), ","))
		}
	}
	return rows
}

func number(t testing.TB, s string) float64 {
	t.Helper()
	f, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// column is a spectrum from a file whose rows are wavelengths.
func column(t testing.TB, rows [][]string, c int) []float64 {
	t.Helper()
	var values []float64
	for _, row := range rows {
		values = append(values, number(t, row[c]))
	}
	return values
}

func chart24(t testing.TB) (spectra []Spectrum) {
	t.Helper()
	rows := readRows(t, "chart24_10nm.csv")[1:]
	for c := 1; c <= 24; c++ {
		s, err := Resample(380, 10, column(t, rows, c))
		if err != nil {
			t.Fatal(err)
		}
		spectra = append(spectra, s)
	}
	return spectra
}

func samples99(t testing.TB) (spectra []Spectrum) {
	t.Helper()
	rows := readRows(t, "ces99_5nm.csv")
	for c := 1; c <= 99; c++ {
		s, err := Resample(First, Step, column(t, rows, c))
		if err != nil {
			t.Fatal(err)
		}
		spectra = append(spectra, s)
	}
	return spectra
}

func TestPerfectWhiteIsExactlyNeutral(t *testing.T) {
	for _, l := range Lights() {
		for _, o := range []*Observer{Observer1931(), Observer1964()} {
			v := NewViewer(l, o)
			white := v.XYZ(flat(1))
			if white != v.White() {
				t.Errorf("%s, %s: white %v is not the white %v", l.ID, o.ID, white, v.White())
			}
			if math.Abs(white.Y-1) > 1e-14 {
				t.Errorf("%s, %s: white has Y %v", l.ID, o.ID, white.Y)
			}
			if lab := v.Lab(flat(1)); lab != (Lab{L: 100}) {
				t.Errorf("%s, %s: white is %v", l.ID, o.ID, lab)
			}
			if c := white.RGB(v.White()); c != (RGB{1, 1, 1}) {
				t.Errorf("%s, %s: white shows as %v", l.ID, o.ID, c)
			}
			if grey := v.Lab(flat(0.2)); grey.Chroma() > 1e-12 {
				t.Errorf("%s, %s: grey is %v", l.ID, o.ID, grey)
			}
		}
	}
}

func TestLightWithoutPowerSeesBlack(t *testing.T) {
	v := NewViewer(Light{ID: "none"}, Observer1931())
	if x := v.XYZ(flat(1)); x != (XYZ{}) {
		t.Errorf("got %v", x)
	}
}

// The sample of ASTM E308-15 in the tests of github.com/colour-science/colour (SD_SAMPLE of
// colour/colorimetry/tests/test_tristimulus_values.py, BSD-3): 400 to 700 nm every 5 nm, zero outside.
var e308Sample = [61]float64{
	0.0641, 0.0650, 0.0654, 0.0652, 0.0645, 0.0629, 0.0605, 0.0581, 0.0562, 0.0551,
	0.0543, 0.0539, 0.0537, 0.0538, 0.0541, 0.0547, 0.0559, 0.0578, 0.0603, 0.0629,
	0.0651, 0.0667, 0.0680, 0.0691, 0.0705, 0.0720, 0.0736, 0.0753, 0.0772, 0.0791,
	0.0809, 0.0833, 0.0870, 0.0924, 0.0990, 0.1061, 0.1128, 0.1190, 0.1251, 0.1308,
	0.1360, 0.1403, 0.1439, 0.1473, 0.1511, 0.1550, 0.1590, 0.1634, 0.1688, 0.1753,
	0.1828, 0.1909, 0.1996, 0.2088, 0.2187, 0.2291, 0.2397, 0.2505, 0.2618, 0.2733,
	0.2852,
}

func TestE308Sample(t *testing.T) {
	// Answer for A by its formula, 1931 observer, sum every 5 nm over 360-780 nm, from the same file.
	want := XYZ{0.1446372173, 0.1085832502, 0.0204664734}

	light := Light{ID: "A by formula"}
	for i := range light.Power {
		light.Power[i] = planckA(float64(First + Step*i))
	}
	var sample Spectrum
	copy(sample[(400-First)/Step:], e308Sample[:])
	got := NewViewer(light, Observer1931()).XYZ(&sample)

	// The sample is zero below 380 nm, so the four bands that this grid lacks change the white alone:
	// y of ISO/CIE 11664-1:2019 at 360, 365, 370 and 375 nm.
	o, below, sum := Observer1931(), 0.0, 0.0
	for i, y := range []float64{3.917e-6, 6.965e-6, 1.239e-5, 2.202e-5} {
		below += y * planckA(float64(360+5*i))
	}
	for i, power := range light.Power {
		sum += power * o.Y[i]
	}
	share := sum / (sum + below)
	got = XYZ{got.X * share, got.Y * share, got.Z * share}
	for i, d := range []float64{got.X - want.X, got.Y - want.Y, got.Z - want.Z} {
		if math.Abs(d) > 1e-9 {
			t.Errorf("%c is off by %g", 'X'+i, d)
		}
	}
}

// testdata/reference.py computes the same figures with exact fractions.
func TestColoursMeetTheReference(t *testing.T) {
	spectra := map[string]Spectrum{"flat 1": *flat(1), "flat 0.03": *flat(0.03)}
	for i, s := range chart24(t) {
		spectra["chart "+strconv.Itoa(i+1)] = s
	}
	for i, s := range samples99(t) {
		spectra["ces "+strconv.Itoa(i+1)] = s
	}
	edge := *flat(0.9)
	for i := range (600 - First) / Step {
		edge[i] = 0.004
	}
	spectra["edge 600"] = edge

	observers := map[string]*Observer{"1931": Observer1931(), "1964": Observer1964()}
	viewers := map[string]*Viewer{}
	rows := readRows(t, "reference.csv")[1:]
	if len(rows) != 38*6*2 {
		t.Fatalf("%d rows", len(rows))
	}
	worst := 0.0
	for _, row := range rows {
		s, known := spectra[row[0]]
		if !known {
			t.Fatalf("unknown spectrum %q", row[0])
		}
		key := row[1] + row[2]
		if viewers[key] == nil {
			viewers[key] = viewer(t, row[1], observers[row[2]])
		}
		v := viewers[key]
		var want [7]float64
		for i := range want {
			want[i] = number(t, row[3+i])
		}
		x := v.XYZ(&s)
		for i, d := range []float64{x.X - want[0], x.Y - want[1], x.Z - want[2], (LRV(&s) - want[6]) / 100} {
			if math.Abs(d) > 1e-9 {
				t.Errorf("%v: figure %d is off by %g", row[:3], i, d)
			}
		}
		d := DeltaE(v.Lab(&s), Lab{want[3], want[4], want[5]})
		worst = math.Max(worst, d)
		if d > 0.001 {
			t.Errorf("%v: %v is %.6f from the reference", row[:3], v.Lab(&s), d)
		}
	}
	t.Logf("%d colours, largest CIEDE2000 %.2g", len(rows), worst)
}

func TestChartMeetsItsPublishedColours(t *testing.T) {
	v := viewer(t, "D50", Observer1931())
	published := readRows(t, "chart24_xyY_D50.csv")[1:]
	worst, sum := 0.0, 0.0
	for i, s := range chart24(t) {
		x, y, lum := number(t, published[i][1]), number(t, published[i][2]), number(t, published[i][3])
		want := XYZ{lum * x / y, lum, lum * (1 - x - y) / y}
		d := DeltaE(v.Lab(&s), want.Lab(v.White()))
		worst, sum = math.Max(worst, d), sum+d
	}
	if mean := sum / 24; worst > 0.2 || mean > 0.1 { // four digits are printed
		t.Errorf("CIEDE2000 mean %.3f, largest %.3f", mean, worst)
	} else {
		t.Logf("CIEDE2000 mean %.3f, largest %.3f", mean, worst)
	}
}

func TestLRV(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rapid.Float64Range(0, 1).Draw(t, "r")
		if got := LRV(flat(r)); math.Abs(got-100*r) > 1e-12 {
			t.Fatalf("a grey of %v has LRV %v", r, got)
		}
	})
	if got := LRV(flat(1)); got != 100 {
		t.Errorf("white has LRV %v", got)
	}
}

func BenchmarkViewerXYZ(b *testing.B) {
	v, s := Daylight(), flat(0.4)
	for b.Loop() {
		v.XYZ(s)
	}
}
