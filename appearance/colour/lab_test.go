package colour

import (
	"math"
	"testing"

	"github.com/lucasb-eyer/go-colorful"
	"pgregory.net/rapid"
)

func TestLabGoesThereAndBack(t *testing.T) {
	white := Daylight().White()
	rapid.Check(t, func(t *rapid.T) {
		l := anyLab(t, "colour")
		back := l.XYZ(white).Lab(white)
		if d := math.Abs(back.L-l.L) + math.Abs(back.A-l.A) + math.Abs(back.B-l.B); d > 1e-10 {
			t.Fatalf("%v came back as %v", l, back)
		}
	})
}

func TestLabOfKnownGreys(t *testing.T) {
	white := XYZ{0.95, 1, 1.09}
	for _, c := range []struct{ y, l float64 }{
		{0, 0}, {1, 100},
		{0.008856451679, 8},  // where the two branches meet: (6/29)^3 and L* 8 (CIE 015:2018)
		{0.184186518512, 50}, // ((50 + 16) / 116)^3
	} {
		got := XYZ{white.X * c.y, c.y, white.Z * c.y}.Lab(white)
		if math.Abs(got.L-c.l) > 1e-9 || got.Chroma() > 1e-12 {
			t.Errorf("Y %v is %v, want L* %v", c.y, got, c.l)
		}
	}
}

func TestHueAndChroma(t *testing.T) {
	for _, c := range []struct{ a, b, hue, chroma float64 }{
		{0, 0, 0, 0}, {3, 4, 53.13010235415598, 5}, {0, 2, 90, 2}, {-1, 0, 180, 1}, {0, -1, 270, 1},
		{1, -1e-300, 0, 1}, // rounds to the full circle, which is 0
	} {
		l := Lab{50, c.a, c.b}
		if math.Abs(l.Hue()-c.hue) > 1e-12 || l.Chroma() != c.chroma {
			t.Errorf("a %v b %v: hue %v chroma %v, want %v %v", c.a, c.b, l.Hue(), l.Chroma(), c.hue, c.chroma)
		}
	}
}

// The module go-colorful is other people's work on the same formulas. Its white and its matrix are rounded
// otherwise, so Lab of a screen colour differs a little.
func TestLabAndDeltaEAgreeWithGoColorful(t *testing.T) {
	white := XYZ{colorful.D65[0], colorful.D65[1], colorful.D65[2]}
	rapid.Check(t, func(t *rapid.T) {
		x := XYZ{
			X: rapid.Float64Range(0, 0.95).Draw(t, "X"),
			Y: rapid.Float64Range(0, 1).Draw(t, "Y"),
			Z: rapid.Float64Range(0, 1.08).Draw(t, "Z"),
		}
		got := x.Lab(white)
		l, a, b := colorful.XyzToLab(x.X, x.Y, x.Z)
		if d := math.Abs(got.L-100*l) + math.Abs(got.A-100*a) + math.Abs(got.B-100*b); d > 1e-9 {
			t.Fatalf("%v: %v, go-colorful %v %v %v", x, got, 100*l, 100*a, 100*b)
		}

		one, theirOne := screenPair(t, "one")
		two, theirTwo := screenPair(t, "two")
		if d := DeltaE(one.Lab(), theirOne); d > 0.05 {
			t.Fatalf("%s is %v, go-colorful %v", one.Hex(), one.Lab(), theirOne)
		}
		theirs := 100 * colorful.LinearRgb(one.R, one.G, one.B).DistanceCIEDE2000(colorful.LinearRgb(two.R, two.G, two.B))
		opposite := math.Abs(math.Abs(theirOne.Hue()-theirTwo.Hue())-180) < 1 // either branch
		if ours := DeltaE(theirOne, theirTwo); math.Abs(ours-theirs) > 1e-6 && !opposite {
			t.Fatalf("%s to %s: CIEDE2000 %v, go-colorful %v", one.Hex(), two.Hex(), ours, theirs)
		}
	})
}

func screenColour(t *rapid.T, name string) RGB {
	b := rapid.Uint32Range(0, 0xffffff).Draw(t, name)
	return FromBytes(uint8(b>>16), uint8(b>>8), uint8(b))
}

// screenPair is a screen colour and what go-colorful takes for its Lab.
func screenPair(t *rapid.T, name string) (RGB, Lab) {
	c := screenColour(t, name)
	l, a, b := colorful.LinearRgb(c.R, c.G, c.B).Lab()
	return c, Lab{100 * l, 100 * a, 100 * b}
}
