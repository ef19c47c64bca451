package film

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"scumble/appearance/colour"
)

// series makes films of three pigments by the forward model: two tints each of the first two in the third.
func series(s Surface, x float64) (glazes []Glaze, films []Measured) {
	glazes = []Glaze{
		{K: bell(.005, .06, 450, 60), S: bell(.004, .01, 640, 80)},
		{K: bell(.01, .05, 600, 50), S: flat(.003)},
		{K: bell(.0001, .002, 400, 30), S: flat(.03)},
	}
	white, black := s.Outer(ptr(flat(.85))), s.Outer(ptr(flat(.03)))
	for _, recipe := range [][]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}, {1, 0, 9}, {5, 0, 5}, {0, 1, 4}, {0, 2, 1}} {
		parts := []Part{}
		for i := range glazes {
			parts = append(parts, Part{&glazes[i], recipe[i]})
		}
		mix, err := Mix(parts)
		if err != nil {
			panic(err)
		}
		films = append(films, Measured{
			Name: fmt.Sprint(recipe), Shares: recipe, X: x,
			On: []Backing{{white, look(&mix, x, white, s)}, {black, look(&mix, x, black, s)}},
		})
	}
	return glazes, films
}

func TestFitSeriesFindsThePigments(t *testing.T) {
	for _, s := range []Surface{Usual(), {}, {K1: .04, K2: .6, Scattered: 1}} {
		made, films := series(s, 30)
		model := Model{Surface: s}
		got, fit, err := FitSeries(films, model)
		if err != nil {
			t.Fatal(err)
		}
		if len(fit.Unidentifiable) > 0 || fit.Worst > .02 || fit.Median > fit.Worst {
			t.Errorf("%+v", fit)
		}
		for i, g := range got {
			for band := range g.K { // to a hundredth of a film; the tether moves strong pigments a little
				near(t, "K x", 30*g.K[band], 30*made[i].K[band], .02)
				near(t, "S x", 30*g.S[band], 30*made[i].S[band], .02)
			}
		}
		// A recipe and a film that were not in the series.
		mix, err := Mix([]Part{{&made[0], 1}, {&made[1], 1}, {&made[2], 3}})
		if err != nil {
			t.Fatal(err)
		}
		bare := flat(.4)
		told, err := model.Predict(got, []float64{1, 1, 3}, 15, &bare)
		if err != nil {
			t.Fatal(err)
		}
		if e := differ(look(&mix, 15, bare, s), told); e > .05 {
			t.Errorf("a new mix is off by %.3f", e)
		}
	}
}

func TestFitSeriesIsTheSameTwice(t *testing.T) {
	_, films := series(Usual(), 30)
	for i := range films {
		films[i].On[0].Coated[3] *= 1.01
	}
	a, fa, _ := FitSeries(films, Model{Surface: Usual()})
	b, fb, _ := FitSeries(films, Model{Surface: Usual()})
	if !slices.Equal(a, b) || fa.Worst != fb.Worst {
		t.Error("two fits of one series differ")
	}
}

func TestSingleConstant(t *testing.T) {
	// Hiding films are what it is made for: it must find K/S there.
	s := Usual()
	made := []Glaze{*grey(.3, .3), *grey(.02, 2)}
	var films []Measured
	for _, recipe := range [][]float64{{1, 0}, {0, 1}} {
		g := made[0]
		if recipe[1] > 0 {
			g = made[1]
		}
		bare := flat(.5)
		films = append(films, Measured{Shares: recipe, X: 1000, On: []Backing{{bare, look(&g, 1000, bare, s)}}})
	}
	model := Model{Surface: s, SingleConstant: true}
	got, fit, err := FitSeries(films, model)
	if err != nil || fit.Worst > .05 {
		t.Fatal(fit, err)
	}
	near(t, "K/S of the dark one", got[0].K[0]/got[0].S[0], 1, .01)
	near(t, "K/S of the light one", got[1].K[0]/got[1].S[0], .01, .001)
	// And it must be wrong where the base shows.
	_, thin := series(s, 10)
	if _, fit, err = FitSeries(thin, model); err != nil || fit.Median < 3 {
		t.Error("K/S alone told films that show their base:", fit, err)
	}
}

func TestSeriesSaysWhatItCannotTell(t *testing.T) {
	s := Usual()
	_, films := series(s, 30)
	thick := flat(.3)
	bare := [2]colour.Spectrum{flat(.85), flat(.03)}
	for i := range films {
		films[i].Shares = append(slices.Clone(films[i].Shares), 0)
	}
	films = append(films, Measured{Name: "hiding", Shares: []float64{0, 0, 0, 1}, X: 30, On: []Backing{{bare[0], thick}, {bare[1], thick}}})
	_, fit, err := FitSeries(films, Model{Surface: s})
	if err != nil || !slices.Equal(fit.Unidentifiable, []int{3}) {
		t.Errorf("%+v %v", fit, err)
	}
	films = append(films, Measured{Name: "tint", Shares: []float64{0, 0, 1, 1}, X: 30, On: []Backing{{bare[0], thick}, {bare[1], thick}}})
	if _, fit, err = FitSeries(films, Model{Surface: s}); err != nil || len(fit.Unidentifiable) > 0 {
		t.Errorf("a tint in a known white tells: %+v %v", fit, err)
	}
}

func TestFitSeriesRefuses(t *testing.T) {
	if _, _, err := FitSeries(nil, Model{}); err == nil {
		t.Error("no films passed")
	}
	one := []Backing{{flat(.8), flat(.5)}}
	_, _, err := FitSeries([]Measured{
		{Name: "a", Shares: []float64{1, 0}, X: 30, On: one},
		{Name: "b", Shares: []float64{1}, X: 30, On: one},
		{Name: "c", Shares: []float64{math.NaN(), 1}, X: 30, On: one},
		{Name: "d", Shares: []float64{0, 0}, X: 30, On: one},
		{Name: "e", Shares: []float64{1, 0}, X: 0},
		{Name: "f", Shares: []float64{1, 0}, X: 1, On: []Backing{{flat(.8), flat(50)}}},
	}, Model{Surface: Surface{K1: -1}})
	for _, want := range []string{"K1 -1", `film "b": 1 shares`, `film "c": its shares`, `film "d": its shares`,
		`film "e": film of 0 um`, `film "e": measured on no base`, `film "f": coated reflects 50`} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v does not say %q", err, want)
		}
	}
	_, _, err = FitSeries([]Measured{{Name: "a", Shares: []float64{1, 0}, X: 30, On: one}}, Model{})
	if err == nil || !strings.Contains(err.Error(), "pigment 2 is in no film") {
		t.Error("a pigment without a film passed:", err)
	}
	model := Model{}
	bare := flat(.5)
	if _, err = model.Predict([]Glaze{{}}, []float64{1, 2}, 1, &bare); err == nil {
		t.Error("two shares for one pigment passed")
	}
	if _, err = model.Predict([]Glaze{{}}, []float64{-1}, 1, &bare); err == nil {
		t.Error("a negative share passed")
	}
}

func BenchmarkFitSeries(b *testing.B) {
	_, films := series(Usual(), 30)
	for b.Loop() {
		_, _, _ = FitSeries(films, Model{Surface: Usual()})
	}
}
