package appearance

import (
	"fmt"
	"math"

	"scumble/appearance/colour"
	"scumble/appearance/film"
	"scumble/appearance/finish"
	"scumble/appearance/stroke"
)

// palette gives the colours of a finish under one light: for each ground a table
// from films to linear light.
type palette struct {
	seen    []seen
	flake   *film.Flake
	flakes  float32 // mean brightness of the lobe as the wall is looked at
	grain   uint64
	clipped float64
}

// seen looks up the linear light of a row of films, and what flakes add to it.
type seen interface {
	Row(rgb, first, second []float32)
	FlakeRow(rgb, first, second []float32)
}

// alone is a table of one film.
type alone struct{ *film.Table }

func (a alone) Row(rgb, first, _ []float32)      { a.Table.Row(rgb, first) }
func (a alone) FlakeRow(rgb, first, _ []float32) { a.Table.FlakeRow(rgb, first) }

// thickestSeen is up to how many times the laid film the tables reach; what is
// thicker looks like that.
const thickestSeen = 4

// Light falls on a wall from above and is looked at straight on: 45 degrees and 0,
// the geometry of most colour readings.
const lightFrom = 45

// light finds the light of a picture.
func (o Options) light() (colour.Light, error) {
	if o.Lamp != nil {
		return *o.Lamp, nil
	}
	name := o.Light
	if name == "" {
		name = "D65"
	}
	l, ok := colour.LightByID(name)
	if !ok {
		return l, fmt.Errorf("there is no light %q; %s", name, lightNames())
	}
	return l, nil
}

// newPalette works out the tables of a finish under the light of a picture.
func newPalette(f *finish.Finish, o Options) (*palette, error) {
	l, err := o.light()
	if err != nil {
		return nil, err
	}
	// Flakes are seen in the film on top.
	p := &palette{flake: f.Glazes[len(f.Glazes)-1].Flake, grain: stroke.Seed("flakes")}
	if p.flake != nil {
		p.flakes = float32(p.flake.Brightness(lightFrom, 0))
	}
	for _, ground := range f.Grounds {
		v := film.View{Ground: ground.Spectrum, Surface: film.Usual(), Viewer: colour.NewViewer(l, colour.Observer1931()), Unadapted: o.Fresh && l.ID != "D65"}
		table, outside, err := tableOf(f, &v)
		if err != nil {
			return nil, fmt.Errorf("finish %s: %w", f.ID, err)
		}
		p.seen = append(p.seen, table)
		p.clipped = math.Max(p.clipped, outside)
	}
	return p, nil
}

func tableOf(f *finish.Finish, v *film.View) (seen, float64, error) {
	first := &f.Glazes[0].Glaze
	switch {
	case len(f.Glazes) < 2:
		t, err := film.NewTable(v, first, thickestSeen*f.Glazes[0].Laid)
		if err != nil {
			return nil, 0, err
		}
		t = t.Fit()
		return alone{t}, t.Outside, nil
	case f.Mixed:
		t, err := film.NewBlendTable(v, first, &f.Glazes[1].Glaze, thickestSeen*f.Glazes[0].Laid)
		if err != nil {
			return nil, 0, err
		}
		t = t.Fit()
		return t, t.Outside, nil
	}
	t, err := film.NewTable2(v, first, &f.Glazes[1].Glaze, thickestSeen*f.Glazes[0].Laid, thickestSeen*f.Glazes[1].Laid)
	if err != nil {
		return nil, 0, err
	}
	t = t.Fit()
	return t, t.Outside, nil
}

func lightNames() string {
	text := "take one of"
	for _, l := range colour.Lights() {
		text += " " + l.ID
	}
	return text
}

// look fills rgb with the linear light of a run of places over one ground.
func (p *palette) look(rgb, spare []float32, ground int, first, second, x []float32, y, pitch float32) {
	table := p.seen[min(ground, len(p.seen)-1)]
	table.Row(rgb, first, second)
	if p.flake == nil {
		return
	}
	table.FlakeRow(spare, first, second)
	g := p.glintsAt(y, pitch)
	for i, xi := range x[:len(first)] {
		bright := p.flakes * g.at(xi)
		to, add := rgb[3*i:3*i+3:3*i+3], spare[3*i:3*i+3:3*i+3]
		to[0] += float32(bright * add[0])
		to[1] += float32(bright * add[1])
		to[2] += float32(bright * add[2])
	}
}

// sparkle is the side of a cell in which flakes lie alike, mm: a real flake is far
// smaller than can be seen, so a cell stands for the chance of many (chosen by eye).
const sparkle = 1.1

// glints are how much brighter or darker than their mean the flakes of a row are.
type glints struct {
	grain  uint64
	spread float32
	row    int
	// cell is the one last looked at, and glint what it was.
	cell  int
	glint float32
}

func (p *palette) glintsAt(y, pitch float32) glints {
	g := glints{grain: p.grain, spread: 0.55, row: int(math.Floor(float64(y / sparkle))), cell: math.MinInt}
	if pitch > sparkle { // a wide place sees the mean of many cells
		g.spread *= sparkle / pitch
	}
	return g
}

func (g *glints) at(x float32) float32 {
	if cell := int(math.Floor(float64(x / sparkle))); cell != g.cell {
		n := float32(stroke.Chance(g.grain, cell, g.row))
		g.cell, g.glint = cell, 1+float32(g.spread*(2*n-1))
	}
	return g.glint
}
