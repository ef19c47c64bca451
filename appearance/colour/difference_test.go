package colour

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Sharma, Wu, Dalal, Color Res. Appl. 30(1), 21-30, 2005, table 1: L a b, L a b, CIEDE2000.
var sharma = [34][7]float64{
	{50, 2.6772, -79.7751, 50, 0, -82.7485, 2.0425},
	{50, 3.1571, -77.2803, 50, 0, -82.7485, 2.8615},
	{50, 2.8361, -74.0200, 50, 0, -82.7485, 3.4412},
	{50, -1.3802, -84.2814, 50, 0, -82.7485, 1.0000},
	{50, -1.1848, -84.8006, 50, 0, -82.7485, 1.0000},
	{50, -0.9009, -85.5211, 50, 0, -82.7485, 1.0000},
	{50, 0, 0, 50, -1, 2, 2.3669},
	{50, -1, 2, 50, 0, 0, 2.3669},
	{50, 2.4900, -0.0010, 50, -2.4900, 0.0009, 7.1792},
	{50, 2.4900, -0.0010, 50, -2.4900, 0.0010, 7.1792},
	{50, 2.4900, -0.0010, 50, -2.4900, 0.0011, 7.2195},
	{50, 2.4900, -0.0010, 50, -2.4900, 0.0012, 7.2195},
	{50, -0.0010, 2.4900, 50, 0.0009, -2.4900, 4.8045},
	{50, -0.0010, 2.4900, 50, 0.0010, -2.4900, 4.8045},
	{50, -0.0010, 2.4900, 50, 0.0011, -2.4900, 4.7461},
	{50, 2.5000, 0, 50, 0, -2.5000, 4.3065},
	{50, 2.5000, 0, 73, 25, -18, 27.1492},
	{50, 2.5000, 0, 61, -5, 29, 22.8977},
	{50, 2.5000, 0, 56, -27, -3, 31.9030},
	{50, 2.5000, 0, 58, 24, 15, 19.4535},
	{50, 2.5000, 0, 50, 3.1736, 0.5854, 1.0000},
	{50, 2.5000, 0, 50, 3.2972, 0, 1.0000},
	{50, 2.5000, 0, 50, 1.8634, 0.5757, 1.0000},
	{50, 2.5000, 0, 50, 3.2592, 0.3350, 1.0000},
	{60.2574, -34.0099, 36.2677, 60.4626, -34.1751, 39.4387, 1.2644},
	{63.0109, -31.0961, -5.8663, 62.8187, -29.7946, -4.0864, 1.2630},
	{61.2901, 3.7196, -5.3901, 61.4292, 2.2480, -4.9620, 1.8731},
	{35.0831, -44.1164, 3.7933, 35.0232, -40.0716, 1.5901, 1.8645},
	{22.7233, 20.0904, -46.6940, 23.0331, 14.9730, -42.5619, 2.0373},
	{36.4612, 47.8580, 18.3852, 36.2715, 50.5065, 21.2231, 1.4146},
	{90.8027, -2.0831, 1.4410, 91.1528, -1.6435, 0.0447, 1.4441},
	{90.9257, -0.5406, -0.9208, 88.6381, -0.8985, -0.7239, 1.5381},
	{6.7747, -0.2908, -2.4247, 5.8714, -0.0985, -2.2286, 0.6377},
	{2.0776, 0.0795, -1.1350, 0.9033, -0.0636, -0.5514, 0.9082},
}

func TestDeltaEMeetsThePublishedPairs(t *testing.T) {
	const printed = 5e-5
	for i, p := range sharma {
		a, b := Lab{p[0], p[1], p[2]}, Lab{p[3], p[4], p[5]}
		there, back := DeltaE(a, b), DeltaE(b, a)
		if i == 13 {
			// The hues of pair 14 are 180 degrees apart: the last bit of an arctangent decides the side.
			for _, d := range []float64{there, back} {
				if math.Abs(d-4.8045) > printed && math.Abs(d-4.7461) > printed {
					t.Errorf("pair 14: %.5f, want 4.8045 or 4.7461", d)
				}
			}
			continue
		}
		if math.Abs(there-p[6]) > printed || math.Abs(back-p[6]) > printed {
			t.Errorf("pair %d: %.5f and %.5f turned, want %.4f", i+1, there, back, p[6])
		}
	}
}

func TestDeltaEIsADifference(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := anyLab(t, "a"), anyLab(t, "b")
		d := DeltaE(a, b)
		if !(d >= 0) || math.IsInf(d, 0) {
			t.Fatalf("difference of %v and %v is %v", a, b, d)
		}
		if same := DeltaE(a, a); same != 0 {
			t.Fatalf("difference of %v from itself is %v", a, same)
		}
		if opposite := math.Abs(math.Abs(a.Hue()-b.Hue()) - 180); opposite > 1 && math.Abs(DeltaE(b, a)-d) > 1e-9 {
			t.Fatalf("difference of %v and %v changes with their order", a, b)
		}
	})
}

func anyLab(t *rapid.T, name string) Lab {
	return Lab{
		L: rapid.Float64Range(0, 100).Draw(t, name+" L"),
		A: rapid.Float64Range(-120, 120).Draw(t, name+" a"),
		B: rapid.Float64Range(-120, 120).Draw(t, name+" b"),
	}
}

func BenchmarkDeltaE(b *testing.B) {
	one, two := Lab{60, -34, 36}, Lab{60.5, -34.2, 39.4}
	for b.Loop() {
		DeltaE(one, two)
	}
}
