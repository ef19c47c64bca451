// Package finish is what the look of an agreed finish follows from: the optics of its
// grounds and glazes, how the tool leaves the film, and what that is told in colours,
// figures, advice and sample boards. It knows no walls.
package finish

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"scumble/appearance/colour"
	"scumble/appearance/film"
	"scumble/appearance/stroke"
	"scumble/catalog"
	"scumble/job"
)

// Ground is a ground colour with the spectrum it is taken to have.
type Ground struct {
	Name string
	// Spectrum is the reflectance as entered or measured, with the surface.
	Spectrum colour.Spectrum
	// Estimated says that only its look was entered and the spectrum is the smoothest
	// one with that look.
	Estimated bool
}

// Glaze is a glaze with its optics.
type Glaze struct {
	Name string
	film.Glaze
	// Laid is the wet film before the tool, um, and Range what it may lie between.
	Laid  float64
	Range Span
	// Clarity is 1 less the contrast ratio of the laid film.
	Clarity float64
	// Estimated says that its spectrum was not measured.
	Estimated bool
	// Basis says in words what the optics rest on.
	Basis string
}

// Finish is everything the look of a finish follows from.
type Finish struct {
	ID, Name  string
	Technique *catalog.Technique
	Product   *catalog.Product
	// Grounds is one colour, or two where there are strips.
	Grounds []Ground
	// Glazes is one, or two.
	Glazes []Glaze
	// Mixed says that the two glazes lie side by side in one film.
	Mixed  bool
	Recipe stroke.Recipe
	// Notes are what the user should know about the figures behind the picture.
	Notes []string
}

// The cards a film is told from over white and over black: perfect ones, as entered
// colours say nothing of the cards they were seen on.
var whiteCard, blackCard = evenly(film.Usual().OuterAt(1)), evenly(0)

// Resolve works out the optics of a finish of a job. The error names everything
// that is missing or cannot be.
func Resolve(j *job.Job, c *catalog.Catalog, id string) (*Finish, error) {
	var f *job.Finish
	for i := range j.Finishes {
		if j.Finishes[i].ID == id {
			f = &j.Finishes[i]
		}
	}
	if f == nil {
		return nil, fmt.Errorf("the job has no finish %q", id)
	}
	t, product := c.Techniques[f.Technique], c.Products[f.With]
	if t == nil || product == nil {
		return nil, fmt.Errorf("finish %s: technique %q or glaze %q is not in the catalog", id, f.Technique, f.With)
	}
	out := &Finish{ID: f.ID, Name: f.Name, Technique: t, Product: product}
	if out.Name == "" {
		out.Name = f.ID
	}
	var faults []error
	for _, of := range []job.Colour{f.Ground, f.GroundB} {
		if of.Hex == "" && of.Measured == "" {
			continue
		}
		ground, err := GroundOf(j, of)
		faults = append(faults, err)
		out.Grounds = append(out.Grounds, ground)
	}
	var laid [2]float64
	for _, part := range []struct {
		role   catalog.Role
		colour job.Colour
	}{{catalog.RoleGlaze, f.Glaze}, {catalog.RoleGlazeB, f.GlazeB}} {
		if part.colour.Hex == "" && part.colour.Measured == "" || len(out.Glazes) == 1 && oneGlaze(t, f.Variation) {
			continue
		}
		um, err := filmAsLaid(t, product, part.role)
		faults = append(faults, err)
		laid[len(out.Glazes)] = um.Likely
		out.Glazes = append(out.Glazes, Glaze{Name: part.colour.Name, Laid: um.Likely, Range: um})
	}
	if len(out.Grounds) == 0 || len(out.Glazes) == 0 {
		faults = append(faults, fmt.Errorf("finish %s: a ground and a glaze colour are needed for a picture", id))
	}
	if err := errors.Join(faults...); err != nil {
		return nil, err
	}
	out.Recipe = recipe(f, t, product, laid)
	out.Mixed = t.Mixed
	if out.Mixed && len(out.Glazes) == 2 {
		both, one, two := laid[0]+laid[1], out.Glazes[0].Range, out.Glazes[1].Range
		out.Recipe.Laid = [2]float64{both, 0}
		for i := range out.Glazes {
			out.Glazes[i].Laid, out.Glazes[i].Range = both, Span{one.Low + two.Low, both, one.High + two.High}
		}
	}
	for i, c := range []job.Colour{f.Glaze, f.GlazeB}[:len(out.Glazes)] {
		faults = append(faults, out.Glazes[i].resolve(j, c, product))
	}
	if f.Clear != "" {
		out.Notes = append(out.Notes, "the protective coat is taken as perfectly clear, with the sheen of the glaze")
	}
	if product.Flake != nil {
		out.Notes = append(out.Notes, "pictures show the flakes in light from 45 degrees; the figures are of the film without their gleam")
	}
	if len(out.Glazes) == 2 && !out.Mixed {
		out.Glazes[0].Flake = nil // flakes are seen in the film on top
	}
	return out, errors.Join(faults...)
}

// oneGlaze tells whether a variation leaves the second glaze out.
func oneGlaze(t *catalog.Technique, variation string) bool {
	for _, v := range t.Variations {
		if v.ID == variation {
			return v.One
		}
	}
	return false
}

// resolve finds K and S of a glaze from what the job says of its colour: a recipe,
// two colours over white and black, or one colour and how clear it is.
func (g *Glaze) resolve(j *job.Job, c job.Colour, product *catalog.Product) error {
	var err error
	if c.Recipe == "" {
		g.Glaze, g.Estimated, g.Basis, err = optics(j, c, product, g.Laid)
	} else {
		err = g.mix(j, c.Recipe, product)
	}
	switch {
	case err == nil && c.Angles != "":
		err = g.measuredFlakes(j, c, product)
	case product.Flake != nil:
		g.Flake = flakes(product, g.Laid)
	}
	if err != nil {
		return fmt.Errorf("glaze %s: %w", g.Name, err)
	}
	g.Clarity = g.clarity()
	return nil
}

func (g *Glaze) clarity() float64 {
	return math.Max(0, 1-film.ContrastRatio(&g.Glaze, g.Laid, film.Usual())) // rounding may fall below
}

// measuredFlakes takes a metallic glaze from readings at three angles: the base gives K
// and S, the lobe the flakes. It fails for glazes whose hue goes with the angle.
func (g *Glaze) measuredFlakes(j *job.Job, c job.Colour, product *catalog.Product) error {
	var read [3]colour.Spectrum
	names := job.Names(c.Angles)
	if len(names) != 3 {
		return fmt.Errorf("angles %q: three measured colours are needed, at 15, 45 and 110 degrees", c.Angles)
	}
	for i, name := range names {
		var err error
		if read[i], _, err = reflectance(j, name, ""); err != nil {
			return err
		}
	}
	m, err := film.FitMetallic(&read[0], &read[1], &read[2])
	if err != nil {
		return err
	}
	clarity := clarityOf(c, product)
	base, _, err := film.FromColour(&m.Base, clarity, g.Laid, film.Usual())
	if err != nil {
		return err
	}
	g.Glaze, err = m.In(&base, g.Laid)
	g.Basis = fmt.Sprintf("readings at 15, 45 and 110 degrees and a clarity of %.0f %%; flakes tilt by %.1f degrees", 100*clarity, m.Sigma)
	g.Estimated = false
	return err
}

// leastClarity stands for less: no film hides without remainder, and white hides least.
const leastClarity = 0.005

// clarityOf is how clear a glaze is when nothing over black was read.
func clarityOf(c job.Colour, product *catalog.Product) float64 {
	switch {
	case c.Clarity.Given():
		return math.Max(leastClarity, float64(c.Clarity.Value))
	case product.Clarity != nil:
		return product.Clarity.Likely
	}
	return usualClarity
}

// mix makes up a glaze by its recipe.
func (g *Glaze) mix(j *job.Job, recipe string, product *catalog.Product) error {
	list, err := job.Parts(recipe)
	if err != nil {
		return err
	}
	var all float64
	for _, p := range list {
		all += p.Parts
	}
	var parts []film.Part
	var names []string
	for _, p := range list {
		tint := j.Tint(p.Of)
		if tint == nil {
			return fmt.Errorf("%q is no tint of this job", p.Of)
		}
		one, estimated, _, err := optics(j, *tint, product, g.Laid)
		if err != nil {
			return fmt.Errorf("tint %s: %w", tint.Name, err)
		}
		g.Estimated = g.Estimated || estimated
		parts = append(parts, film.Part{Glaze: &one, Share: p.Parts / all})
		names = append(names, fmt.Sprintf("%g %s", p.Parts, tint.Name))
	}
	g.Basis = "mixed from " + strings.Join(names, " + ")
	g.Glaze, err = film.Mix(parts)
	return err
}

// optics finds K and S of one glaze from its colours.
func optics(j *job.Job, c job.Colour, product *catalog.Product, laid float64) (film.Glaze, bool, string, error) {
	white, estimated, err := reflectance(j, c.Measured, c.Hex)
	if err != nil {
		return film.Glaze{}, false, "", err
	}
	if c.OverBlack != "" {
		name, hex := c.OverBlack, ""
		if strings.HasPrefix(name, "#") {
			name, hex = "", name
		}
		black, guessed, err := reflectance(j, name, hex)
		if err != nil {
			return film.Glaze{}, false, "", err
		}
		g, fit, err := film.FromTwo(&white, &black, &whiteCard, &blackCard, laid, film.Usual())
		basis := "its colours over white and over black"
		if fit.Unidentifiable {
			basis += ", which hardly differ, so that only its hue is sure"
		}
		return g, estimated || guessed, basis, err
	}
	clarity, basis := clarityOf(c, product), "its colour over white, and a clarity of 80 % from memory"
	switch {
	case c.Clarity.Given():
		basis = "its colour over white and a clarity of " + c.Clarity.Text
	case product.Clarity != nil:
		basis = fmt.Sprintf("its colour over white and the usual clarity of its product, %.0f %% (%s)", 100*clarity, product.Clarity.Kind)
	}
	g, fit, err := film.FromColour(&white, clarity, laid, film.Usual())
	if len(fit.Held) > 0 {
		basis += ", which is lighter or darker than a painted surface can be and was held within that"
	}
	return g, estimated, basis, err
}

// GroundOf is a colour of a job as something a finish lies on.
func GroundOf(j *job.Job, c job.Colour) (Ground, error) {
	s, estimated, err := reflectance(j, c.Measured, c.Hex)
	return Ground{Name: c.Name, Spectrum: s, Estimated: estimated}, err
}

// What stands in where a product of the crew's own does not say: spread of the tilt of
// flakes, degrees, and clarity; from memory, as the figures of the catalog are.
const (
	usualTilt    = 7
	usualClarity = 0.8
)

// flakes are those of a metallic product: neutral mirrors that add a share of light
// in the mirror direction to a coat as it is laid.
func flakes(product *catalog.Product, laid float64) *film.Flake {
	f := &film.Flake{PerUm: evenly(product.Flake.Likely / laid), Sigma: usualTilt}
	if product.FlakeTilt != nil {
		f.Sigma = product.FlakeTilt.Likely
	}
	return f
}

func evenly(v float64) (s colour.Spectrum) {
	for b := range s {
		s[b] = v
	}
	return s
}

// reflectance is the spectrum of a colour: as measured, or the smoothest one with
// the look that was entered.
func reflectance(j *job.Job, measured, hex string) (s colour.Spectrum, estimated bool, err error) {
	if measured == "" {
		c, err := colour.ParseHex(hex)
		if err != nil {
			return s, false, err
		}
		s, err = colour.FromRGB(c)
		return s, true, err
	}
	m := j.MeasuredColour(measured)
	if m == nil {
		return s, false, fmt.Errorf("%q is no measured colour of this job", measured)
	}
	if len(m.Values) > 0 {
		s, err = colour.Resample(float64(m.From), float64(m.Step), m.Values)
		return s, false, err
	}
	if len(m.Lab) != 3 {
		return s, false, fmt.Errorf("measured colour %q has neither a spectrum nor three figures of lab", measured)
	}
	light, _ := colour.LightByID(m.Under)
	v := colour.NewViewer(light, colour.Observer1931())
	s, err = colour.Estimate(colour.Lab{L: m.Lab[0], A: m.Lab[1], B: m.Lab[2]}.XYZ(v.White()), v)
	return s, true, err
}
