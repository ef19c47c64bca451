package colour

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func near(a, b XYZ, tolerance float64) bool {
	return math.Abs(a.X-b.X) <= tolerance && math.Abs(a.Y-b.Y) <= tolerance && math.Abs(a.Z-b.Z) <= tolerance
}

func TestAdaptMeetsPublishedFigures(t *testing.T) {
	// A colour from illuminant A to D65 by linear Bradford: test value of github.com/colour-science/colour
	// (colour/adaptation/tests/test_vonkries.py, BSD-3).
	got := Adapt(XYZ{0.07049534, 0.10080000, 0.09558313}, XYZ{1.09846607, 1, 0.35582280}, XYZ{0.95042855, 1, 1.08890037})
	if want := (XYZ{0.08540328, 0.11401229, 0.29721491}); !near(got, want, 1e-8) {
		t.Errorf("A to D65: %v, want %v", got, want)
	}

	// The matrix from D65 to D50, by columns: tag chad of the sRGB v4 profile of the International Color
	// Consortium, in steps of 1/65536.
	for i, want := range []XYZ{
		{1.04788208, 0.02958679, -0.00924683},
		{0.02291870, 0.99047852, 0.01507568},
		{-0.05021667, -0.01707458, 0.75167847},
	} {
		one := [3]XYZ{{X: 1}, {Y: 1}, {Z: 1}}[i]
		if got := Adapt(one, fromXY(0.3127, 0.3290), XYZ{0.9642, 1, 0.8249}); !near(got, want, 2.0/65536) {
			t.Errorf("D65 to D50, column %d: %v, want %v", i+1, got, want)
		}
	}
}

func TestAdaptProperties(t *testing.T) {
	all := Lights()
	whites := make([]XYZ, len(all))
	for i, l := range all {
		whites[i] = NewViewer(l, Observer1931()).White()
	}
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := rapid.SampledFrom(whites).Draw(t, "a"), rapid.SampledFrom(whites).Draw(t, "b"), rapid.SampledFrom(whites).Draw(t, "c")
		x := XYZ{
			X: rapid.Float64Range(0, 1).Draw(t, "X"),
			Y: rapid.Float64Range(0, 1).Draw(t, "Y"),
			Z: rapid.Float64Range(0, 1).Draw(t, "Z"),
		}
		if got := Adapt(a, a, b); got != b {
			t.Fatalf("white became %v, not %v", got, b)
		}
		if got := Adapt(x, a, a); !near(got, x, 1e-12) {
			t.Fatalf("%v changed to %v without a change of white", x, got)
		}
		if got := Adapt(Adapt(x, a, b), b, a); !near(got, x, 1e-10) {
			t.Fatalf("%v came back as %v", x, got)
		}
		if direct, over := Adapt(x, a, c), Adapt(Adapt(x, a, b), b, c); !near(direct, over, 1e-10) {
			t.Fatalf("direct %v, over a third white %v", direct, over)
		}
		half := Adapt(XYZ{a.X / 2, a.Y / 2, a.Z / 2}, a, b)
		if !near(half, XYZ{b.X / 2, b.Y / 2, b.Z / 2}, 1e-12) {
			t.Fatalf("grey became %v under %v", half, b)
		}
	})
}

func TestAdaptedAndUnadaptedViews(t *testing.T) {
	warm := viewer(t, "A", Observer1931())
	grey := warm.XYZ(flat(0.3))
	adapted := grey.RGB(warm.White())
	if math.Abs(adapted.R-0.3)+math.Abs(adapted.G-0.3)+math.Abs(adapted.B-0.3) > 1e-12 {
		t.Errorf("a grey under A, adapted, is %v", adapted)
	}
	cast := grey.RGBUnadapted()
	if !(cast.R > cast.G && cast.G > cast.B) {
		t.Errorf("a grey under A, unadapted, is %v: not warm", cast)
	}
	if back := cast.XYZ(); !near(back, grey, 1e-12) {
		t.Errorf("unadapted %v is %v again, want %v", cast, back, grey)
	}
}
