package film

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"scumble/appearance/colour"
)

// Measured is a film of known recipe, measured on one or more bases.
type Measured struct {
	Name   string
	Shares []float64 // of each pigment of the series, by any measure common to the film
	X      float64   // um, or 1 in every film when films were laid alike but not measured
	On     []Backing
}

// Backing is one base of a film, both measured outside their surface.
type Backing struct{ Bare, Coated colour.Spectrum }

// Model is how a series is fitted.
type Model struct {
	Surface Surface
	// SingleConstant is a control, not for use: it takes the films as hiding and mixes K/S alone. Its
	// glazes have S 1 in every band and are seen at a film of Hiding um.
	SingleConstant bool
}

// Hiding is a film so thick that its base cannot show, um.
const Hiding = thickest

// SeriesFit says how well the glazes of a series give back its films.
type SeriesFit struct {
	// Median and Worst are differences between films measured and given back, CIEDE2000 under D65 for the
	// 2-degree observer; WorstFilm is where.
	Median, Worst float64
	WorstFilm     string
	// Unidentifiable are the pigments, by place, of which only K/S is known: no film they are in, nor any
	// tied to it by a common pigment, lets its base show (contrast ratio of 0.98 or less).
	Unidentifiable []int
}

// FitSeries is the glaze of every pigment in a set of films: the K and S, mixed by share (Duncan 1940),
// that come nearest in lightness to all films on all their bases. Per um of film, or per film when
// every X is 1. Films with a pigment in them that fluoresces cannot be fitted well and spoil the others.
func FitSeries(films []Measured, m Model) ([]Glaze, SeriesFit, error) {
	mixes, err := checkSeries(films, m)
	if err != nil {
		return nil, SeriesFit{}, err
	}
	pigments := len(films[0].Shares)
	glazes := make([]Glaze, pigments)
	mean := 0.0
	for _, f := range films {
		mean += f.X / float64(len(films))
	}
	rows := 2 * pigments
	for _, f := range films {
		rows += len(f.On)
	}
	if m.SingleConstant {
		mean = 1
	}
	for band := range colour.Bands {
		problem := squares{2 * pigments, rows, func(p, miss, slope []float64) {
			m.misses(films, mixes, band, mean, p, miss, slope)
		}}
		p := make([]float64, 2*pigments)
		for i := range p {
			p[i] = 1 // half hiding, half absorbing films
		}
		problem.solve(p)
		for i := range glazes {
			glazes[i].K[band], glazes[i].S[band] = p[2*i]/mean, p[2*i+1]/mean
		}
	}
	fit := m.judge(films, mixes, glazes)
	if !m.SingleConstant {
		fit.Unidentifiable = unidentifiable(films, pigments)
	}
	return glazes, fit, nil
}

// tether draws K and S, in films of mean thickness, weakly towards 0, so that what no film tells (how
// black is black) does not run away. Against misses of some hundredths it is nothing.
const tether = 1e-4

// misses fills rows for every film on every base and one for the tether of every unknown, for squares.
func (m *Model) misses(films []Measured, mixes [][]float64, band int, mean float64, p, miss, slope []float64) {
	row, n := 0, len(p)
	for i, f := range films {
		k, s := 0.0, 0.0
		for j, share := range mixes[i] {
			k += share * p[2*j] / mean
			s += share * p[2*j+1] / mean
		}
		x := f.X
		if m.SingleConstant {
			x = Hiding
		}
		for b := range f.On {
			base, _ := m.Surface.InnerAt(f.On[b].Bare[band])
			measured := f.On[b].Coated[band]
			r, byK, byS := slopes(k, s, x, base)
			weight := lightnessWeight(measured)
			miss[row] = weight * (m.Surface.OuterAt(r) - measured)
			weight *= m.Surface.slope(r) / mean
			for j, share := range mixes[i] {
				slope[row*n+2*j] = weight * byK * share
				if !m.SingleConstant {
					slope[row*n+2*j+1] = weight * byS * share
				}
			}
			row++
		}
	}
	for j, v := range p {
		if m.SingleConstant && j%2 == 1 {
			miss[row] = 0
		} else {
			miss[row] = tether * math.Log1p(v)
			slope[row*n+j] = tether / (1 + v)
		}
		row++
	}
}

// Predict is the colour of a film of the series' pigments on a base, both outside the surface.
func (m *Model) Predict(glazes []Glaze, shares []float64, x float64, bare *colour.Spectrum) (colour.Spectrum, error) {
	if len(shares) != len(glazes) {
		return colour.Spectrum{}, fmt.Errorf("%d shares for %d pigments: give one each", len(shares), len(glazes))
	}
	parts := make([]Part, len(glazes))
	for i := range glazes {
		parts[i] = Part{&glazes[i], shares[i]}
	}
	mix, err := Mix(parts)
	if err != nil {
		return colour.Spectrum{}, err
	}
	if m.SingleConstant {
		x = Hiding
	}
	finish := Finish{Ground: *bare, Surface: m.Surface, Coats: []Coat{{&mix, x}}}
	return finish.Spectrum(), nil
}

func (m *Model) judge(films []Measured, mixes [][]float64, glazes []Glaze) SeriesFit {
	v := colour.Daylight()
	var fit SeriesFit
	var all []float64
	for i, f := range films {
		for b := range f.On {
			given, err := m.Predict(glazes, mixes[i], f.X, &f.On[b].Bare)
			if err != nil {
				continue
			}
			off := colour.DeltaE(v.Lab(&f.On[b].Coated), v.Lab(&given))
			all = append(all, off)
			if off >= fit.Worst {
				fit.Worst, fit.WorstFilm = off, f.Name
			}
		}
	}
	slices.Sort(all)
	fit.Median = all[len(all)/2]
	return fit
}

// checkSeries returns the shares of each film as parts of 1.
func checkSeries(films []Measured, m Model) ([][]float64, error) {
	if len(films) == 0 {
		return nil, errors.New("a series needs films: give at least one for every pigment")
	}
	problems := []error{m.Surface.check()}
	seen := make([]bool, len(films[0].Shares))
	mixes := make([][]float64, len(films))
	for i, f := range films {
		complain := func(format string, a ...any) {
			problems = append(problems, fmt.Errorf("film %q: "+format, append([]any{f.Name}, a...)...))
		}
		if len(f.Shares) != len(seen) || len(seen) == 0 {
			complain("%d shares, the first film has %d: give one for every pigment, 0 for those not in it", len(f.Shares), len(seen))
			continue
		}
		total := 0.0
		for _, share := range f.Shares {
			if !(share >= 0) {
				total = math.NaN()
				break
			}
			total += share
		}
		if !(total > 0) || math.IsInf(total, 0) {
			complain("its shares must be 0 or more and not all 0")
			continue
		}
		if err := checkFilm(f.X); err != nil {
			complain("%w", err)
		}
		if len(f.On) == 0 {
			complain("measured on no base: give it on one, better on white and black")
		}
		for _, on := range f.On {
			if err := errors.Join(checkReflectance("bare", &on.Bare), checkReflectance("coated", &on.Coated)); err != nil {
				complain("%w", err)
			}
		}
		mixes[i] = make([]float64, len(seen))
		for j, share := range f.Shares {
			mixes[i][j] = share / total
			seen[j] = seen[j] || share > 0
		}
	}
	if len(problems) == 1 {
		for j, there := range seen {
			if !there {
				problems = append(problems, fmt.Errorf("pigment %d is in no film: leave it out or measure one", j+1))
			}
		}
	}
	return mixes, errors.Join(problems...)
}

// unidentifiable spreads what showing films tell along the pigments films have in common.
func unidentifiable(films []Measured, pigments int) []int {
	known := make([]bool, pigments)
	tell := func(f *Measured) (news bool) {
		for j, share := range f.Shares {
			if share > 0 && !known[j] {
				known[j], news = true, true
			}
		}
		return news
	}
	for i := range films {
		if shows(&films[i]) {
			tell(&films[i])
		}
	}
	for news := true; news; {
		news = false
		for i := range films {
			for j, share := range films[i].Shares {
				if share > 0 && known[j] && tell(&films[i]) {
					news = true
				}
			}
		}
	}
	var unknown []int
	for j, k := range known {
		if !k {
			unknown = append(unknown, j)
		}
	}
	return unknown
}

// shows reports whether a film lets its bases show.
func shows(f *Measured) bool {
	for i := range f.On {
		for j := range f.On {
			if ratioOfY(&f.On[i].Coated, &f.On[j].Coated) <= hides {
				return true
			}
		}
	}
	return false
}
