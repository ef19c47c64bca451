package colour

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// ASTM E2022-11, Lagrange coefficients at tenths of an interval, as transcribed in the tests of
// github.com/colour-science/colour (LAGRANGE_COEFFICIENTS_A and _B of
// colour/colorimetry/tests/test_tristimulus_values.py, BSD-3).
var (
	lagrangeInner = [9][4]float64{
		{-0.0285, 0.9405, 0.1045, -0.0165},
		{-0.0480, 0.8640, 0.2160, -0.0320},
		{-0.0595, 0.7735, 0.3315, -0.0455},
		{-0.0640, 0.6720, 0.4480, -0.0560},
		{-0.0625, 0.5625, 0.5625, -0.0625},
		{-0.0560, 0.4480, 0.6720, -0.0640},
		{-0.0455, 0.3315, 0.7735, -0.0595},
		{-0.0320, 0.2160, 0.8640, -0.0480},
		{-0.0165, 0.1045, 0.9405, -0.0285},
	}
	lagrangeEdge = [9][3]float64{
		{0.8550, 0.1900, -0.0450},
		{0.7200, 0.3600, -0.0800},
		{0.5950, 0.5100, -0.1050},
		{0.4800, 0.6400, -0.1200},
		{0.3750, 0.7500, -0.1250},
		{0.2800, 0.8400, -0.1200},
		{0.1950, 0.9100, -0.1050},
		{0.1200, 0.9600, -0.0800},
		{0.0550, 0.9900, -0.0450},
	}
)

func TestLagrangeMeetsThePublishedCoefficients(t *testing.T) {
	const n = 8
	for tenth := range 9 {
		at := float64(tenth+1) / 10
		for k := range n {
			unit := make([]float64, n)
			unit[k] = 1
			inner, edge, end := 0.0, 0.0, 0.0
			if i := k - 2; i >= 0 && i < 4 { // between readings 3 and 4
				inner = lagrangeInner[tenth][i]
			}
			if k < 3 {
				edge = lagrangeEdge[tenth][k]
			}
			if i := n - 1 - k; i < 3 { // from the far end the tenths run the other way
				end = lagrangeEdge[8-tenth][i]
			}
			for _, c := range []struct{ place, want float64 }{{3 + at, inner}, {at, edge}, {n - 2 + at, end}} {
				if got := lagrange(c.place, unit); math.Abs(got-c.want) > 1e-12 {
					t.Errorf("reading %d at %.1f: %.4f, want %.4f", k, c.place, got, c.want)
				}
			}
		}
	}
}

// Weights of ASTM E308-15 for D65, 1931 observer, every 20 nm from 360 nm, three digits, from the same
// file (TWF_D65_CIE_1931_2_20). The standard sums every 1 nm, with light between 5 nm values on a straight line.
var weights20 = [24][3]float64{
	{-0.001, -0.000, -0.005}, {-0.008, -0.000, -0.039}, {0.179, 0.002, 0.829}, {2.542, 0.071, 12.203},
	{6.670, 0.453, 33.637}, {6.333, 1.316, 36.334}, {2.213, 2.933, 18.278}, {0.052, 6.866, 5.543},
	{1.348, 14.106, 1.611}, {5.767, 18.981, 0.382}, {11.301, 18.863, 0.068}, {16.256, 15.455, 0.025},
	{17.933, 10.699, 0.013}, {14.020, 6.277, 0.003}, {7.057, 2.743, 0.000}, {2.527, 0.927, -0.000},
	{0.670, 0.242, -0.000}, {0.140, 0.050, 0.000}, {0.035, 0.013, 0.000}, {0.008, 0.003, 0.000},
	{0.002, 0.001, 0.000}, {0.000, 0.000, 0.000}, {0.000, 0.000, 0.000}, {0.000, 0.000, 0.000},
}

func TestResampleGivesTheStandardWeights(t *testing.T) {
	v := Daylight()
	for k, want := range weights20 {
		unit := make([]float64, len(weights20))
		unit[k] = 1
		s, err := Resample(360, 20, unit)
		if err != nil {
			t.Fatal(err)
		}
		x := v.XYZ(&s)
		for i, got := range []float64{100 * x.X, 100 * x.Y, 100 * x.Z} {
			if math.Abs(got-want[i]) > 0.07 { // 5 nm sums for 1 nm sums: 0.5 % at most
				t.Errorf("%d nm, %c: %.4f, want %.3f", 360+20*k, 'X'+i, got, want[i])
			}
		}
	}
}

func TestTenNanometresAreEnough(t *testing.T) {
	for _, light := range []string{"D65", "A", "LED-B1", "LED-B2", "LED-B3", "LED-B4", "LED-B5"} {
		v := viewer(t, light, Observer1931())
		sum, worst := 0.0, 0.0
		samples := samples99(t)
		for _, s := range samples {
			var coarse []float64
			for i := 0; i < Bands; i += 2 {
				coarse = append(coarse, s[i])
			}
			fine, err := Resample(380, 10, coarse)
			if err != nil {
				t.Fatal(err)
			}
			d := DeltaE(v.Lab(&s), v.Lab(&fine))
			sum, worst = sum+d, math.Max(worst, d)
		}
		mean := sum / float64(len(samples))
		if mean > 0.03 || worst > 0.15 {
			t.Errorf("%s: mean %.4f, largest %.3f", light, mean, worst)
		}
		t.Logf("%s: mean %.4f, largest %.3f", light, mean, worst)
	}
}

func TestResampleMeetsACubicExactly(t *testing.T) {
	cubic := func(nm float64) float64 {
		u := (nm - 560) / 200
		return 0.4 + 0.2*u - 0.1*u*u + 0.15*u*u*u
	}
	for _, c := range []struct{ first, step, last float64 }{
		{380, 1, 780}, {380, 5, 780}, {380, 10, 780}, {380, 20, 780}, {360, 10, 830}, {400, 10, 700},
		{400, 20, 700}, {361.5, 3.3, 750}, {350, 1, 850},
	} {
		var values []float64
		for i := 0; ; i++ {
			nm := c.first + c.step*float64(i)
			if nm > c.last {
				break
			}
			values = append(values, cubic(nm))
		}
		end := c.first + c.step*float64(len(values)-1)
		s, err := Resample(c.first, c.step, values)
		if err != nil {
			t.Fatal(err)
		}
		for i, got := range s {
			nm := float64(First + Step*i)
			want, tolerance := cubic(nm), 1e-12
			switch {
			case nm <= c.first:
				want = values[0]
			case nm >= end:
				want = values[len(values)-1]
			case nm < c.first+c.step || nm > end-c.step:
				tolerance = 1e-4 // a parabola there
			}
			if math.Abs(got-want) > tolerance {
				t.Errorf("from %v every %v nm: %v at %v nm, want %v", c.first, c.step, got, nm, want)
			}
		}
	}
}

func TestResampleKeepsAFlatSpectrumFlat(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		first := rapid.Float64Range(300, neededFrom).Draw(t, "first")
		step := rapid.Float64Range(0.5, 40).Draw(t, "step")
		r := rapid.Float64Range(0, 1).Draw(t, "r")
		values := make([]float64, 1+int(math.Ceil((neededTo-first)/step)))
		for i := range values {
			values[i] = r
		}
		s, err := Resample(first, step, values)
		if err != nil {
			t.Fatal(err)
		}
		for i, got := range s {
			if math.Abs(got-r) > 1e-12 {
				t.Fatalf("%v at band %d, want %v", got, i, r)
			}
		}
	})
}

func TestResampleSaysWhatItNeeds(t *testing.T) {
	many := make([]float64, 31)
	holed := make([]float64, 31)
	holed[3] = math.NaN()
	for _, c := range []struct {
		first, step float64
		values      []float64
		say         string
	}{
		{400, 0, many, "step above 0 nm"},
		{400, -10, many, "step above 0 nm"},
		{400, math.NaN(), many, "step above 0 nm"},
		{math.Inf(1), 10, many, "step above 0 nm"},
		{400, 10, nil, "at least 2"},
		{400, 10, many[:1], "at least 2"},
		{430, 10, many, "420 to 680 nm"},
		{400, 5, many, "420 to 680 nm"},
		{900, 10, many, "420 to 680 nm"},
		{400, 10, holed, "at 430 nm"},
	} {
		_, err := Resample(c.first, c.step, c.values)
		if err == nil {
			t.Errorf("from %v every %v nm, %d values: taken", c.first, c.step, len(c.values))
		} else if !strings.Contains(err.Error(), c.say) {
			t.Errorf("from %v every %v nm, %d values: %v does not say %q", c.first, c.step, len(c.values), err, c.say)
		}
	}
}
