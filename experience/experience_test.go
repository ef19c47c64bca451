package experience

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
	"scumble/catalog"
)

// pace is a figure of the kind the catalog has, invented for these tests.
var pace = catalog.Figure{Low: 5, Likely: 6.5, High: 8, Unit: "m2/h", Kind: catalog.Common}

// byGrid is the posterior by brute force: prior times likelihood, both written out as
// lognormal densities, summed over a fine grid of the logarithm of the median. It
// shares no formula with Learn.
func byGrid(prior catalog.Figure, observed []float64, sd float64) (low, median, high float64) {
	s := math.Log(prior.High/prior.Low) / 3.28970725 // twice the 95 % point to more digits
	const steps = 400_000
	m := math.Log(prior.Likely)
	from, to := m-8*s, m+8*s
	for _, v := range observed {
		from, to = min(from, math.Log(v)), max(to, math.Log(v))
	}
	logs := make([]float64, steps)
	for i := range logs {
		x := from + (to-from)*float64(i)/(steps-1)
		logs[i] = -(x - m) * (x - m) / (2 * s * s)
		for _, v := range observed {
			logs[i] -= (math.Log(v) - x) * (math.Log(v) - x) / (2 * sd * sd)
		}
	}
	top, sum := slices.Max(logs), 0.0
	for i := range logs {
		logs[i] = math.Exp(logs[i] - top)
		sum += logs[i]
	}
	at := func(share float64) float64 {
		part := 0.0
		for i, d := range logs {
			if part += d; part >= share*sum {
				return math.Exp(from + (to-from)*float64(i)/(steps-1))
			}
		}
		return math.NaN()
	}
	return at(0.05), at(0.5), at(0.95)
}

func TestLearnAgainstAGrid(t *testing.T) {
	for _, c := range []struct {
		prior    catalog.Figure
		observed []float64
		sd       float64
	}{
		{pace, []float64{9}, 0.2},
		{pace, []float64{4.1, 5.5, 5.2, 4.8, 6, 5}, 0.2},
		{catalog.Figure{Low: 0.17, Likely: 0.25, High: 0.33, Unit: "h"}, []float64{0.4, 0.35}, 0.25},
		{catalog.Figure{Low: 10, Likely: 12.5, High: 20, Unit: "m2/h"}, []float64{11, 30, 9}, 0.3},
	} {
		got, err := Learn(c.prior, c.observed, c.sd)
		if err != nil {
			t.Fatal(err)
		}
		low, median, high := byGrid(c.prior, c.observed, c.sd)
		for _, pair := range [][2]float64{{got.Figure.Low, low}, {got.Figure.Likely, median}, {got.Figure.High, high}} {
			if math.Abs(pair[0]/pair[1]-1) > 1e-4 {
				t.Errorf("%v, %v: %v; by the grid %v %v %v", c.prior, c.observed, got.Figure, low, median, high)
				break
			}
		}
		if got.Figure.Unit != c.prior.Unit || got.Figure.Kind != catalog.Own || got.Figure.Note != got.Words() || got.Count != len(c.observed) {
			t.Errorf("%+v", got)
		}
	}
}

// By hand: s = ln(8/5)/3.2898 = 0.142867, 1/s² = 48.993; six walls of sd 0.2 weigh
// 6 * 25 = 150, so that the catalog keeps 48.993/198.993 = 24.62 %, and six walls of 4
// give ln 6.5 + 0.7538 ln(4/6.5) = 1.50582, which is 4.5078.
func TestLearnByHand(t *testing.T) {
	got, err := Learn(pace, []float64{4, 4, 4, 4, 4, 4}, 0.2)
	if err != nil || math.Abs(got.Weight-0.2462) > 5e-5 || math.Abs(got.Figure.Likely-4.5078) > 5e-4 {
		t.Errorf("%+v, %v", got, err)
	}
	if got.Words() != "from 6 of your walls; the catalog still counts for 25 %" {
		t.Error(got.Words())
	}
}

func TestLearnLimits(t *testing.T) {
	none, err := Learn(pace, nil, 0.2)
	if err != nil || fmt.Sprint(none.Figure) != fmt.Sprint(pace) || none.Weight != 1 || none.Words() != "from the catalog; none of your walls yet" {
		t.Errorf("no walls: %+v, %v", none, err)
	}
	one, err := Learn(pace, []float64{6.5}, 0.2)
	if err != nil || !strings.HasPrefix(one.Words(), "from 1 of your walls; the catalog still counts for 66 %") || math.Abs(one.Figure.Likely-6.5) > 1e-12 {
		t.Errorf("one wall as foretold: %+v, %v", one, err)
	}
	walls := slices.Repeat([]float64{9, 16}, 5000) // their mean of logarithms is that of 12
	many, err := Learn(pace, walls, 0.2)
	if err != nil || math.Abs(many.Figure.Likely/12-1) > 1e-3 || many.Figure.High/many.Figure.Low > 1.01 || !strings.HasSuffix(many.Words(), "less than 1 %") {
		t.Errorf("many walls: %+v, %v, %s", many.Figure, err, many.Words())
	}
}

func TestWild(t *testing.T) {
	walls := []float64{6, 6.4, 60, 6.2, 5.9}
	got, err := Learn(pace, walls, 0.2)
	if err != nil || len(got.Wild) != 1 || got.Wild[0].Index != 2 || got.Wild[0].Value != 60 {
		t.Fatalf("%+v, %v", got, err)
	}
	// From the others alone: what was to be expected does not hang on the wild wall.
	again, _ := Learn(pace, []float64{6, 6.4, 6.2, 5.9, 600}, 0.2)
	if w := again.Wild[0]; len(again.Wild) != 1 || w.Index != 4 || math.Abs(w.Low/got.Wild[0].Low-1) > 1e-12 || math.Abs(w.High/got.Wild[0].High-1) > 1e-12 {
		t.Errorf("%+v, was %+v", w, got.Wild[0])
	}
	two, _ := Learn(pace, []float64{0.4, 6, 6.4, 60, 6.2, 5.9}, 0.2)
	if len(two.Wild) != 2 || two.Wild[0].Index != 0 || two.Wild[1].Index != 3 {
		t.Errorf("two wild walls: %+v", two.Wild)
	}
	// A crew that is three times as fast on every wall is not wild.
	if fast, _ := Learn(pace, []float64{19, 20, 21, 19.5, 20.5, 20}, 0.2); len(fast.Wild) != 0 {
		t.Errorf("a fast crew: %+v", fast.Wild)
	}
	without, _ := Learn(pace, []float64{6, 6.4, 6.2, 5.9}, 0.2)
	if !(got.Figure.Likely > without.Figure.Likely) || got.Count != 5 || len(without.Wild) != 0 {
		t.Errorf("the wild wall was dropped: %+v, without it %+v", got, without)
	}
	// The edge, from the posterior of the others worked another way: mean and spread of
	// four walls of 6.5 are ln 6.5 and sqrt(1/(48.993+100) + 0.04), three of it 0.64834.
	for _, c := range []struct {
		times float64
		wild  bool
	}{{math.Exp(0.647), false}, {math.Exp(0.650), true}, {math.Exp(-0.647), false}, {math.Exp(-0.650), true}} {
		got, err := Learn(pace, []float64{6.5, 6.5, 6.5, 6.5, 6.5 * c.times}, 0.2)
		if err != nil || (len(got.Wild) == 1) != c.wild {
			t.Errorf("%v times: %+v, %v", c.times, got.Wild, err)
		}
	}
}

func TestLearnRefuses(t *testing.T) {
	nan := math.NaN()
	_, err := Learn(catalog.Figure{Low: 3, Likely: 2, High: 4, Unit: "h"}, []float64{1, 0, -2, nan, math.Inf(1), 1e7, 2}, -1)
	if err == nil {
		t.Fatal("taken")
	}
	want := `the catalog's figure 3, 2, 4 h does not rise from above zero to below a million: correct it
a spread from wall to wall of -1 is not above 0 and up to 10: give the standard deviation of the logarithm, such as 0.20
observation 2, 0 h, is not above zero and below a million: correct it or leave it out
observation 3, -2 h, is not above zero and below a million: correct it or leave it out
observation 4, NaN h, is not above zero and below a million: correct it or leave it out
observation 5, +Inf h, is not above zero and below a million: correct it or leave it out
observation 6, 1e+07 h, is not above zero and below a million: correct it or leave it out`
	if err.Error() != want {
		t.Errorf("%v\nwant %s", err, want)
	}
	for _, f := range []catalog.Figure{{Low: 8, Likely: 8, High: 8}, {Low: 0, Likely: 1, High: 2}, {Low: nan, Likely: 1, High: 2}, {Low: 1, Likely: 2, High: math.Inf(1)}} {
		if got, err := Learn(f, []float64{1}, 0.2); err == nil || got.Count != 0 {
			t.Errorf("%v was taken: %+v", f, got)
		}
	}
	for _, sd := range []float64{0, nan, math.Inf(1)} {
		if _, err := Learn(pace, nil, sd); err == nil {
			t.Errorf("sd %v was taken", sd)
		}
	}
}

func TestLearnProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low := rapid.Float64Range(0.01, 100).Draw(t, "low")
		likely := low * rapid.Float64Range(1, 3).Draw(t, "likely")
		prior := catalog.Figure{Low: low, Likely: likely, High: likely * rapid.Float64Range(1.01, 3).Draw(t, "high"), Unit: "h"}
		sd := rapid.Float64Range(0.02, 1).Draw(t, "sd")
		walls := rapid.SliceOfN(rapid.Float64Range(0.001, 1000), 1, 12).Draw(t, "walls")
		got, err := Learn(prior, walls, sd)
		if err != nil {
			t.Fatal(err)
		}
		f := got.Figure
		if !(got.Weight > 0 && got.Weight < 1) || !(f.Low > 0 && f.Low < f.Likely && f.Likely < f.High) || math.IsInf(f.High, 1) {
			t.Fatalf("%+v", got)
		}
		if f.High/f.Low > prior.High/prior.Low*(1+1e-12) {
			t.Fatalf("%v to %v is wider than the catalog's %v to %v", f.Low, f.High, prior.Low, prior.High)
		}
		if f.Likely < min(slices.Min(walls), likely)*(1-1e-12) || f.Likely > max(slices.Max(walls), likely)*(1+1e-12) {
			t.Fatalf("%v is outside the catalog's %v and %v", f.Likely, likely, walls)
		}
		more, err := Learn(prior, append(slices.Clone(walls), rapid.Float64Range(0.001, 1000).Draw(t, "another")), sd)
		if err != nil || !(more.Weight < got.Weight) || !(more.Figure.High/more.Figure.Low < f.High/f.Low) {
			t.Fatalf("a wall more: %+v, before %+v", more, got)
		}
		moved := rapid.Permutation(walls).Draw(t, "order")
		again, err := Learn(prior, moved, sd)
		if err != nil || fmt.Sprint(again.Figure) != fmt.Sprint(f) || again.Weight != got.Weight || len(again.Wild) != len(got.Wild) {
			t.Fatalf("in another order %+v, was %+v", again, got)
		}
		for _, w := range again.Wild {
			if moved[w.Index] != w.Value || w.Value >= w.Low && w.Value <= w.High {
				t.Fatalf("%+v of %v", w, moved)
			}
		}
	})
}
