package film

import (
	"errors"
	"fmt"
	"math"

	"scumble/appearance/colour"
)

// linear is the colour of light as tables sum it, before it is rounded to float32.
type linear [3]float64

// mobius is r -> (a + b r) / (c + d r). Everything between a reflectance low in a finish and the one the
// eye meets has this form: films, surfaces, and one after another.
type mobius struct{ a, b, c, d float64 }

// after is m applied to what n gives.
func (m mobius) after(n mobius) mobius {
	return mobius{
		m.a*n.c + m.b*n.a, m.a*n.d + m.b*n.b,
		m.c*n.c + m.d*n.a, m.c*n.d + m.d*n.b,
	}
}

func (s Surface) mobius() mobius {
	seen := s.Scattered * s.K1
	return mobius{seen, (1-s.K1)*(1-s.K2) - seen*s.K2, 1, -s.K2}
}

func filmMobius(k, s, x float64) mobius {
	t, _ := bend(k, s, x)
	return mobius{s * t, 1 - (k+s)*t, 1 + (k+s)*t, -s * t}
}

// scene is a View made ready for summing.
type scene struct {
	ground  colour.Spectrum // inside its surface
	top     [colour.Bands]mobius
	through colour.Spectrum // of light going in and out through the clear coat
	weight  [colour.Bands]linear
}

func (v *View) scene() (*scene, error) {
	problems := []error{v.Surface.check(), checkReflectance("the ground", &v.Ground)}
	if v.Viewer == nil {
		problems = append(problems, errors.New("the picture has no viewer: name a light and an observer"))
	}
	surface, clearGlaze, clearX := v.Surface, &Glaze{}, 0.0
	if v.Clear != nil {
		surface = v.Clear.Surface
		problems = append(problems, surface.check())
		if v.Clear.Glaze != nil {
			clearGlaze, clearX = v.Clear.Glaze, atLeastNothing(v.Clear.X)
			problems = append(problems, clearGlaze.check())
		}
	}
	if err := errors.Join(problems...); err != nil {
		return nil, err
	}
	s := &scene{}
	s.ground, _ = v.Surface.Inner(&v.Ground)
	coat := clearGlaze.Film(clearX)
	white := v.Viewer.White()
	for i := range s.top {
		s.top[i] = surface.mobius().after(filmMobius(clearGlaze.K[i], clearGlaze.S[i], clearX))
		s.through[i] = coat.Through[i] * coat.Through[i]
		// The colour of one band alone: sRGB is linear in the spectrum.
		var one colour.Spectrum
		one[i] = 1
		x := v.Viewer.XYZ(&one)
		c := x.RGB(white)
		if v.Unadapted {
			c = x.RGBUnadapted()
		}
		s.weight[i] = linear{c.R, c.G, c.B}
	}
	return s, nil
}

func checkLargest(name string, x float64) error {
	if !(x > 0 && x <= thickest) {
		return fmt.Errorf("the thickest %s is %v um: give one above 0", name, x)
	}
	return nil
}

func checkGlazes(glazes ...*Glaze) error {
	var problems []error
	for i, g := range glazes {
		if g == nil {
			problems = append(problems, fmt.Errorf("glaze %d is missing", i+1))
		} else if err := g.check(); err != nil {
			problems = append(problems, fmt.Errorf("glaze %d: %w", i+1, err))
		}
	}
	return errors.Join(problems...)
}

// NewTable prepares one glaze up to thick um. The ground, glaze and surfaces are as in Finish; a ground too
// light for its surface counts as 0.999 inside.
func NewTable(v *View, g *Glaze, thick float64) (*Table, error) {
	s, err := v.scene()
	if err := errors.Join(err, checkGlazes(g), checkLargest("film", thick)); err != nil {
		return nil, err
	}
	nodes := make([]linear, steps1+1)
	s.sweep(g, thick, nodes)
	t := &Table{Max: thick, Outside: outside(nodes)}
	t.film = newStrip(nodes, thick)
	clear(nodes)
	if g.Flake != nil {
		s.sweepFlakes(g, thick, nodes)
	}
	t.flakes = newStrip(nodes, thick)
	return t, nil
}

func newStrip(nodes []linear, thick float64) *strip {
	s := &strip{scale: float32(steps1 * steps1 / thick)}
	for i := range s.cells {
		c, from, to := &s.cells[i], nodes[i], nodes[i+1]
		c.r, c.g, c.b = float32(from[0]), float32(from[1]), float32(from[2])
		c.dr, c.dg, c.db = float32(to[0]-from[0]), float32(to[1]-from[1]), float32(to[2]-from[2])
	}
	return s
}

// sweep adds the colours of films from 0 to thick um, spaced by the square root, to nodes. In
// e = exp(-2kX), tanh(kX) is (1-e)/(1+e), so that the colour of a band goes through one mobius of e, and e
// goes from node to node by products alone.
func (s *scene) sweep(g *Glaze, thick float64, nodes []linear) {
	for i := range s.top {
		k, scatter, base := g.K[i], g.S[i], s.ground[i]
		kappa := max(math.Sqrt(k*(k+2*scatter)), 1e-6/thick) // at 0 e says nothing
		ofT := mobius{base, scatter - base*(k+scatter), 1, k + scatter - base*scatter}
		m := s.top[i].after(ofT).after(mobius{1, -1, kappa, kappa})
		addBand(nodes, s.weight[i], 1, m, kappa*thick)
	}
}

// sweepFlakes is sweep for what flakes add.
func (s *scene) sweepFlakes(g *Glaze, thick float64, nodes []linear) {
	for i, w := range s.weight {
		k, scatter := g.K[i], g.S[i]
		kappa := max(math.Sqrt(k*(k+2*scatter)), 1e-6/thick)
		m := mobius{0, 1, 1, k + scatter}.after(mobius{1, -1, kappa, kappa})
		addBand(nodes, w, g.Flake.PerUm[i]*s.through[i], m, kappa*thick)
	}
}

// addBand adds the light of a band to the nodes, whose films grow with the square of their number up to a
// depth kX at the last: a share of the mobius of e = exp(-2kX).
func addBand(nodes []linear, w linear, share float64, m mobius, depth float64) {
	last := float64(len(nodes) - 1)
	e, factor := 1.0, math.Exp(-2*depth/(last*last))
	square := factor * factor
	for n := range nodes {
		r := share * (m.a + m.b*e) / (m.c + m.d*e)
		e *= factor
		factor *= square
		at := &nodes[n]
		at[0] += w[0] * r
		at[1] += w[1] * r
		at[2] += w[2] * r
	}
}

// NewTable2 prepares a first glaze up to thick1 um under a second up to thick2 um. Flakes may be in one of
// them.
func NewTable2(v *View, first, second *Glaze, thick1, thick2 float64) (*Table2, error) {
	s, err := v.scene()
	if err := errors.Join(err, checkGlazes(first, second), checkLargest("first film", thick1), checkLargest("second film", thick2)); err != nil {
		return nil, err
	}
	if first.Flake != nil && second.Flake != nil {
		return nil, errors.New("both glazes have flakes: a table holds one lobe; leave the flakes of the lower glaze out")
	}
	nodes := make([]linear, area)
	s.sumOver(first, second, thick1, thick2, nodes)
	t := &Table2{newSheets(nodes, thick1, thick2)}
	if first.Flake != nil || second.Flake != nil {
		s.sumFlakes(first, second, thick1, thick2, nodes)
		t.flakes = newSheet(nodes)
	}
	return t, nil
}

func newSheets(nodes []linear, thick1, thick2 float64) sheets {
	const cells = side - 1
	return sheets{
		film:    newSheet(nodes),
		scale1:  float32(cells * cells / thick1),
		scale2:  float32(cells * cells / thick2),
		Outside: outside(nodes),
	}
}

func newSheet(nodes []linear) *sheet {
	var s sheet
	for i, c := range nodes {
		s[i] = [4]float32{float32(c[0]), float32(c[1]), float32(c[2])}
	}
	return &s
}

// filmAt is the film at a node of a sheet, um.
func filmAt(node int, thick float64) float64 {
	u := float64(node) / (side - 1)
	return u * u * thick
}

// sumOver fills nodes with the colours of both films: the first on the ground is worked out once, the
// second and all above it are one mobius a band.
func (s *scene) sumOver(first, second *Glaze, thick1, thick2 float64, nodes []linear) {
	var below [side]colour.Spectrum
	for i := range below {
		below[i] = first.On(filmAt(i, thick1), &s.ground)
	}
	var a, b, d colour.Spectrum
	for j := range side {
		x := filmAt(j, thick2)
		for band, top := range s.top {
			m := top.after(filmMobius(second.K[band], second.S[band], x))
			a[band], b[band], d[band] = m.a/m.c, m.b/m.c, m.d/m.c
		}
		for i := range below {
			r0 := &below[i]
			var red, green, blue float64
			for band := range r0 {
				r := (a[band] + b[band]*r0[band]) / (1 + d[band]*r0[band])
				w := &s.weight[band]
				red += w[0] * r
				green += w[1] * r
				blue += w[2] * r
			}
			nodes[j*side+i] = linear{red, green, blue}
		}
	}
}

// sumFlakes fills nodes with what flakes in either film add. Those of the first are seen through the
// second; light that goes to and fro is left out.
func (s *scene) sumFlakes(first, second *Glaze, thick1, thick2 float64, nodes []linear) {
	var below [side]colour.Spectrum
	for i := range below {
		below[i] = first.Lobe(filmAt(i, thick1))
	}
	for j := range side {
		x := filmAt(j, thick2)
		above, cover := second.Lobe(x), second.Film(x)
		for i := range below {
			var sum linear
			for band, w := range s.weight {
				r := s.through[band] * (above[band] + cover.Through[band]*cover.Through[band]*below[i][band])
				sum[0] += w[0] * r
				sum[1] += w[1] * r
				sum[2] += w[2] * r
			}
			nodes[j*side+i] = sum
		}
	}
}

// NewBlendTable prepares two glazes worked into each other, up to thick um together. Flakes of both must
// spread alike.
func NewBlendTable(v *View, first, second *Glaze, thick float64) (*BlendTable, error) {
	s, err := v.scene()
	if err := errors.Join(err, checkGlazes(first, second), checkLargest("film", thick)); err != nil {
		return nil, err
	}
	nodes, flakes := make([]linear, area), make([]linear, area)
	for j := range side {
		share := unfold(j)
		mix, err := Mix([]Part{{first, 1 - share}, {second, share}})
		if err != nil {
			return nil, err
		}
		s.sweep(&mix, thick, nodes[j*side:(j+1)*side])
		if mix.Flake != nil {
			s.sweepFlakes(&mix, thick, flakes[j*side:(j+1)*side])
		}
	}
	t := &BlendTable{newSheets(nodes, thick, 1)}
	if first.Flake != nil || second.Flake != nil {
		t.flakes = newSheet(flakes)
	}
	return t, nil
}

// outside is the share of colours outside the gamut of sRGB.
func outside(nodes []linear) float64 {
	n := 0
	for _, c := range nodes {
		if min(c[0], c[1], c[2]) < -gamutNoise || max(c[0], c[1], c[2]) > 1+gamutNoise {
			n++
		}
	}
	return float64(n) / float64(len(nodes))
}

// gamutNoise is linear light too little to count as outside.
const gamutNoise = 1e-6

// Fit is the table with every entry brought into the gamut (see colour.RGB.Fit), flakes aside.
func (t *Table) Fit() *Table {
	fitted, film := *t, *t.film
	for i := range film.cells {
		c := &film.cells[i]
		r, g, b := fitEntry(c.r+c.dr, c.g+c.dg, c.b+c.db)
		c.r, c.g, c.b = fitEntry(c.r, c.g, c.b)
		c.dr, c.dg, c.db = r-c.r, g-c.g, b-c.b
	}
	fitted.film = &film
	return &fitted
}

// Fit is the table with every entry brought into the gamut (see colour.RGB.Fit), flakes aside.
func (t *Table2) Fit() *Table2 { return &Table2{t.fit()} }

// Fit is the table with every entry brought into the gamut (see colour.RGB.Fit), flakes aside.
func (t *BlendTable) Fit() *BlendTable { return &BlendTable{t.fit()} }

func (t sheets) fit() sheets {
	film := *t.film
	for i := range film {
		c := &film[i]
		c[0], c[1], c[2] = fitEntry(c[0], c[1], c[2])
	}
	t.film = &film
	return t
}

func fitEntry(r, g, b float32) (float32, float32, float32) {
	c, _ := colour.RGB{R: float64(r), G: float64(g), B: float64(b)}.Fit()
	return float32(c.R), float32(c.G), float32(c.B)
}
