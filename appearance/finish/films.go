package finish

import (
	"cmp"
	"math"
	"slices"

	"scumble/appearance/colour"
	"scumble/appearance/film"
	"scumble/appearance/stroke"
	"scumble/catalog"
	"scumble/geom"
)

// lying is a part of a finish on which the glaze lies alike: um of the first and of
// the second film (or the share of the second glaze where the two lie in one film).
type lying struct{ first, second, share float64 }

// films are how the glaze lies over a finish; the shares add up to 1.
type films []lying

// bins is how finely films are told apart when a finish is averaged: by the root of
// the film, for colour changes fastest where it is thin.
const bins = 40

// filmsOf looks at some hundred thousand places of a film, as sharply as pictures do:
// lines of a brush are as thin and as thick there as on the wall.
func filmsOf(f *stroke.Film) films {
	t, inside := f.Places(480, 240)
	t.Pitch = sharp
	f.Fill(t)
	var thickest [2]float32
	for k, in := range inside {
		if in {
			thickest[0] = max(thickest[0], t.First[k])
			if f.HasSecond() {
				thickest[1] = max(thickest[1], t.Second[k])
			}
		}
	}
	var sums [bins][bins]lying
	count := 0.0
	for k, in := range inside {
		if !in {
			continue
		}
		l, second := lying{first: float64(t.First[k])}, 0
		if f.HasSecond() {
			l.second = float64(t.Second[k])
			second = level(t.Second[k], thickest[1])
		}
		bin := &sums[level(t.First[k], thickest[0])][second]
		bin.first += l.first
		bin.second += l.second
		bin.share++
		count++
	}
	var out films
	for i := range sums {
		for _, l := range sums[i] {
			if l.share > 0 {
				out = append(out, lying{first: l.first / l.share, second: l.second / l.share, share: l.share / count})
			}
		}
	}
	return out
}

// sharp is the width of wall a place stands for when a finish is told in colours, mm: the
// grooves of a comb are about so wide, and an eye two metres off tells 0.6 mm apart (one
// minute of arc).
const sharp = 0.5

// level is the bin of a film among those up to the thickest.
func level(x, thickest float32) int {
	if thickest <= 0 || x <= 0 {
		return 0
	}
	return min(bins-1, int(bins*math.Sqrt(float64(x/thickest))))
}

// over is the reflectance of a finish over one of its grounds where the glaze lies
// so; times says how much more of all glaze there is than that.
func (f *Finish) over(ground int, l lying, times float64) colour.Spectrum {
	finish := film.Finish{Ground: f.Grounds[ground].Spectrum, Surface: film.Usual(), Coats: []film.Coat{{Glaze: &f.Glazes[0].Glaze, X: l.first * times}}}
	switch {
	case len(f.Glazes) < 2:
	case f.Mixed:
		// Both parts come from one product; a share outside 0..1 cannot be.
		mixed := film.Glaze{}
		for b := range mixed.K {
			mixed.K[b] = f.Glazes[0].K[b] + l.second*(f.Glazes[1].K[b]-f.Glazes[0].K[b])
			mixed.S[b] = f.Glazes[0].S[b] + l.second*(f.Glazes[1].S[b]-f.Glazes[0].S[b])
		}
		finish.Coats[0].Glaze = &mixed
	default:
		finish.Coats = append(finish.Coats, film.Coat{Glaze: &f.Glazes[1].Glaze, X: l.second * times})
	}
	return finish.Spectrum()
}

// whole is the mean reflectance over one ground: what an eye far away sees, for
// light adds up over an area and colour does not.
func (f *Finish) whole(ground int, fs films, times float64) colour.Spectrum {
	var mean colour.Spectrum
	for _, l := range fs {
		r := f.over(ground, l, times)
		add(&mean, r, l.share)
	}
	return mean
}

// marks are the mean reflectances of the lightest and of the darkest tenth of the area
// over one ground.
func (f *Finish) marks(ground int, fs films) (light, dark colour.Spectrum) {
	type place struct {
		r                colour.Spectrum
		lightness, share float64
	}
	places := make([]place, len(fs))
	for i, l := range fs {
		r := f.over(ground, l, 1)
		places[i] = place{r, colour.LRV(&r), l.share}
	}
	tenth := func(order func(a, b place) int) (mean colour.Spectrum) {
		slices.SortStableFunc(places, order)
		const part = 0.1
		left := part
		for _, p := range places {
			share := min(p.share, left)
			add(&mean, p.r, share/part)
			if left -= share; left <= 0 {
				break
			}
		}
		return mean
	}
	light = tenth(func(a, b place) int { return cmp.Compare(b.lightness, a.lightness) })
	dark = tenth(func(a, b place) int { return cmp.Compare(a.lightness, b.lightness) })
	return light, dark
}

// BoardPanel is a piece of wall a finish is tried on: a sample board, or a swatch
// that belongs to no wall. Its strips, where the finish has any, are as wide as the
// catalog wants them.
func BoardPanel(f *Finish, c *catalog.Catalog, name string, width, height float64) (stroke.Panel, []float64) {
	p := stroke.Panel{Seed: stroke.Seed(name), Region: geom.Rect(0, 0, width, height).Region()}
	p.Sections = []geom.Bounds{p.Region.Bounds()}
	t := f.Technique
	if rows := t.Rows; rows != nil {
		motif, high := Repeat(f)
		for n, top := 0, height; top > 0; n, top = n+1, top-high {
			start := -motif * math.Mod(float64(n)*rows.Stagger.Likely, 1)
			p.Rows = append(p.Rows, stroke.Row{Y0: top - high, Y1: top, Start: start, Motif: motif})
		}
	}
	if t.Sheets != nil {
		if good := c.Goods[t.Sheets.Good]; good != nil && good.Width != nil && good.Length != nil {
			p.Sheet = stroke.Sheet{Width: good.Width.Likely, Height: good.Length.Likely, Overlap: t.Sheets.Overlap.Likely}
		}
	}
	var joints []float64
	if t.StripWidth != nil && len(f.Grounds) > 1 {
		n := max(2, math.Round(width/t.StripWidth.Wanted.Likely))
		for k := 1.0; k < n; k++ {
			x := k * width / n
			joints = append(joints, x)
			p.Joints = append(p.Joints, geom.Segment{A: geom.Point{X: x}, B: geom.Point{X: x, Y: height}})
		}
	}
	return p, joints
}

// Repeat is the motif and the height of a row of a finish, mm.
func Repeat(f *Finish) (motif, high float64) {
	motif, high = f.Technique.Rows.Motif.Likely, f.Technique.Rows.Height.Likely
	if f.Recipe.Variation != "squares" {
		return motif, high
	}
	for _, o := range f.Technique.Rows.Motif.Others {
		if o.Name == "squares" {
			motif = o.Likely
		}
	}
	for _, o := range f.Technique.Rows.Height.Others {
		if o.Name == "squares" {
			high = o.Likely
		}
	}
	return motif, high
}
