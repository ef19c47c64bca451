package colour

import (
	"math"
	"strings"
	"testing"

	"github.com/lucasb-eyer/go-colorful"
	"pgregory.net/rapid"
)

func TestMatrixMeetsTheStandard(t *testing.T) {
	// IEC 61966-2-1:1999, equations 7 and 8, four digits.
	for name, m := range map[string]struct{ got, want matrix }{
		"to XYZ":   {toXYZ, matrix{{0.4124, 0.3576, 0.1805}, {0.2126, 0.7152, 0.0722}, {0.0193, 0.1192, 0.9505}}},
		"from XYZ": {fromXYZ, matrix{{3.2406, -1.5372, -0.4986}, {-0.9689, 1.8758, 0.0415}, {0.0557, -0.2040, 1.0570}}},
	} {
		for r := range m.want {
			for c, want := range m.want[r] {
				if got := m.got[r][c]; math.Abs(got-want) > 5e-4 {
					t.Errorf("%s row %d column %d: %.5f, want %.4f", name, r+1, c+1, got, want)
				}
			}
		}
	}
	if lab := (RGB{1, 1, 1}).Lab(); math.Abs(lab.L-100) > 1e-12 || lab.Chroma() > 1e-10 {
		t.Errorf("white is %v", lab)
	}
}

func TestRGBAgreesWithGoColorful(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := screenColour(t, "colour")
		theirs, err := colorful.Hex(c.Hex())
		if err != nil {
			t.Fatal(err)
		}
		r, g, b := theirs.LinearRgb()
		if math.Abs(r-c.R)+math.Abs(g-c.G)+math.Abs(b-c.B) > 1e-12 {
			t.Fatalf("%s is %v, go-colorful %v %v %v", c.Hex(), c, r, g, b)
		}
		x, y, z := theirs.Xyz()
		if got := c.XYZ(); !near(got, XYZ{x, y, z}, 1e-4) { // its matrix is rounded otherwise
			t.Fatalf("%s is %v, go-colorful %v %v %v", c.Hex(), got, x, y, z)
		}
	})
}

func TestEveryByteComesBack(t *testing.T) {
	for n := range 1 << 24 {
		r, g, b := uint8(n>>16), uint8(n>>8), uint8(n)
		if r2, g2, b2 := FromBytes(r, g, b).Bytes(); r2 != r || g2 != g || b2 != b {
			t.Fatalf("%d %d %d came back as %d %d %d", r, g, b, r2, g2, b2)
		}
	}
}

func TestEncodeByteRoundsTheStandardCurve(t *testing.T) {
	check := func(light float64) {
		exact := 255 * encode(light)
		if tie := math.Abs(exact - math.Floor(exact) - 0.5); tie < 1e-9 {
			return
		}
		if got, want := EncodeByte(light), uint8(math.Round(exact)); got != want {
			t.Fatalf("light %v is byte %d, want %d", light, got, want)
		}
	}
	for i := range 200_001 {
		check(float64(i) / 200_000)
	}
	for _, edge := range byteEdges[1:256] {
		for _, nudge := range []float64{-1e-9, 1e-9} {
			check(edge + nudge)
		}
	}
	for light, want := range map[float64]uint8{-1: 0, 0: 0, 1: 255, 2: 255, math.Inf(1): 255, math.Inf(-1): 0} {
		if got := EncodeByte(light); got != want {
			t.Errorf("light %v is byte %d, want %d", light, got, want)
		}
	}
	if got := EncodeByte(math.NaN()); got != 0 {
		t.Errorf("not a number is byte %d", got)
	}
}

func TestFitHoldsLightnessAndHue(t *testing.T) {
	// The tolerance of the gamut's edge, 1e-6 of full light, in CIELAB near black.
	const edge = 0.02
	rapid.Check(t, func(t *rapid.T) {
		full := anyLab(t, "colour")
		c := full.XYZ(srgbWhite).RGBUnadapted()
		fitted, had := c.Fit()
		if low, high := min(fitted.R, fitted.G, fitted.B), max(fitted.R, fitted.G, fitted.B); low < 0 || high > 1 {
			t.Fatalf("%v fitted to %v, which is outside", c, fitted)
		}
		if again, twice := fitted.Fit(); twice || again != fitted {
			t.Fatalf("%v fitted a second time to %v", fitted, again)
		}
		got := fitted.Lab()
		if !had {
			if DeltaE(got, full) > edge {
				t.Fatalf("%v was inside and still became %v", full, got)
			}
			return
		}
		if math.Abs(got.L-full.L) > edge {
			t.Fatalf("lightness of %v became %v", full, got.L)
		}
		if got.Chroma() > full.Chroma()+edge {
			t.Fatalf("chroma of %v rose to %v", full, got.Chroma())
		}
		across := math.Abs(full.A*got.B-full.B*got.A) / full.Chroma() // how far off the line of hue
		if across > edge {
			t.Fatalf("hue %v of %v became %v", full.Hue(), full, got.Hue())
		}
		more := 1.01 + 2*edge/got.Chroma()
		fuller := Lab{full.L, got.A * more, got.B * more}
		if fuller.Chroma() < full.Chroma() && fuller.XYZ(srgbWhite).RGBUnadapted().inside() {
			t.Fatalf("%v fitted to %v, though more chroma was inside", full, got)
		}
	})
}

func TestFitAtTheEnds(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		in, want RGB
		had      bool
	}{
		{RGB{1, 1, 1}, RGB{1, 1, 1}, false},
		{RGB{}, RGB{}, false},
		{RGB{1 + 1e-9, 0.5, -1e-9}, RGB{1, 0.5, 0}, false}, // noise is no reason to warn
		{RGB{2, 2, 2}, RGB{1, 1, 1}, true},
		{RGB{-1, -1, -1}, RGB{}, true},
		{RGB{nan, 0.5, 0.5}, RGB{}, true},
	} {
		if got, had := c.in.Fit(); got != c.want || had != c.had {
			t.Errorf("%v fitted to %v, %v; want %v, %v", c.in, got, had, c.want, c.had)
		}
	}
}

func TestParseHex(t *testing.T) {
	for in, want := range map[string]string{
		"#c8b8a0": "#c8b8a0", "C8B8A0": "#c8b8a0", "#fA3": "#ffaa33", "000": "#000000",
	} {
		if c, err := ParseHex(in); err != nil || c.Hex() != want {
			t.Errorf("%q read as %s, %v; want %s", in, c.Hex(), err, want)
		}
	}
	for _, in := range []string{"", "#", "#12", "#12345", "#1234567", "red", "#12_456", "+12345", "#-12345", "##12345", "# 12345", "#é12"} {
		c, err := ParseHex(in)
		if err == nil {
			t.Errorf("%q read as %s", in, c.Hex())
		} else if !strings.Contains(err.Error(), "hexadecimal digits") {
			t.Errorf("%q: %v does not say what to write", in, err)
		}
	}
}

func FuzzParseHex(f *testing.F) {
	for _, s := range []string{"#c8b8a0", "fff", "", "#", "#12_456", "é12", "#ABCDEF"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		c, err := ParseHex(s)
		if err != nil {
			return
		}
		digits := strings.ToLower(strings.TrimPrefix(s, "#"))
		hex := c.Hex()
		if len(digits) == 6 && hex != "#"+digits {
			t.Fatalf("%q is %s", s, hex)
		}
		if again, err := ParseHex(hex); err != nil || again != c {
			t.Fatalf("%q is %s, which reads as %v, %v", s, hex, again, err)
		}
	})
}

func BenchmarkEncodeByte(b *testing.B) {
	light := 0.0
	for b.Loop() {
		EncodeByte(light)
		if light += 0.001; light > 1 {
			light = 0
		}
	}
}

func BenchmarkFit(b *testing.B) {
	c := RGB{1.2, 0.4, -0.1}
	for b.Loop() {
		c.Fit()
	}
}

// encode is the sRGB value of a light, both 0..1 (IEC 61966-2-1:1999, 5.2): what
// EncodeByte is held against.
func encode(light float64) float64 {
	if light <= 0.0031308 {
		return light * 12.92
	}
	return 1.055*math.Pow(light, 1/2.4) - 0.055
}
