package appearance

import (
	"context"
	"testing"

	"scumble/catalog"
	"scumble/examples"
	"scumble/geom"
	"scumble/job"
	"scumble/setout"
	"scumble/survey"
)

// planned is the demonstration as far as pictures need it.
type planned struct {
	job     *job.Job
	catalog *catalog.Catalog
	survey  *survey.Survey
	setOut  *setout.SetOut
}

func demo(t testing.TB) planned {
	t.Helper()
	c, err := catalog.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	file, problems := job.Read(examples.BellwetherName, examples.Bellwether)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	s, problems := survey.Measure(file.Job, survey.Reaches{})
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	so, err := setout.Divide(s, file.Job, c)
	if err != nil {
		t.Fatal(err)
	}
	return planned{file.Job, c, s, so}
}

func (p planned) wall(t testing.TB, id string) *Wall {
	t.Helper()
	w, err := Of(p.job, p.catalog, p.survey, p.setOut, id)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// way is a technique in one of its variations.
type way struct{ technique, variation string }

func ways(c *catalog.Catalog) []way {
	var all []way
	for _, id := range sortedKeys(c.Techniques) {
		all = append(all, way{id, ""})
		for _, v := range c.Techniques[id].Variations {
			all = append(all, way{id, v.ID})
		}
	}
	return all
}

// finish makes up a finish in plain colours.
func (w way) finish(t testing.TB, c *catalog.Catalog, with string) *Finish {
	t.Helper()
	colours := map[catalog.Role]job.Colour{
		catalog.RoleGround: {Name: "Mist", Hex: "#e4e7e2"}, catalog.RoleGroundB: {Name: "Stone", Hex: "#a9b4a4"},
		catalog.RoleGlaze: {Name: "Fern", Hex: "#7f9f86"}, catalog.RoleGlazeB: {Name: "Moss", Hex: "#5f8068"},
	}
	f := job.Finish{ID: w.technique, Technique: w.technique, Variation: w.variation, With: with}
	for _, role := range c.Techniques[w.technique].Colours {
		switch role {
		case catalog.RoleGround:
			f.Ground = colours[role]
		case catalog.RoleGroundB:
			f.GroundB = colours[role]
		case catalog.RoleGlaze:
			f.Glaze = colours[role]
		case catalog.RoleGlazeB:
			f.GlazeB = colours[role]
		}
	}
	out, err := Resolve(&job.Job{Finishes: []job.Finish{f}}, c, f.ID)
	if err != nil {
		t.Fatalf("%v: %v", w, err)
	}
	return out
}

func paint(t testing.TB, w *Wall, o Options) *Picture {
	t.Helper()
	p, err := Paint(context.Background(), w, o)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func box(x, y, w, h float64) geom.Bounds {
	return geom.Bounds{Min: geom.Point{X: x, Y: y}, Max: geom.Point{X: x + w, Y: y + h}}
}

// The picture and the buying list tell one story: the tool takes the share of glaze
// that quantities reckon with, in every technique.
func TestToolTakesWhatQuantitiesReckon(t *testing.T) {
	p := demo(t)
	for _, w := range ways(p.catalog) {
		f := w.finish(t, p.catalog, p.catalog.Techniques[w.technique].Glazes[0])
		film, err := BoardWall(f, p.catalog, "taken", 1500, 1000).Faces[0].film(false)
		if err != nil {
			t.Fatal(err)
		}
		lifted := p.catalog.Techniques[w.technique].Lifted
		if got := film.Ledger(2).Share(); got < lifted.Likely-0.012 || got > lifted.Likely+0.012 {
			t.Errorf("%v: the tool takes %.3f, quantities reckon with %.3f", w, got, lifted.Likely)
		}
	}
}

// Laid less lifted is left, to a millionth of what was laid, on real walls with
// openings; what is left is counted from the rendered film.
func TestGlazeIsConserved(t *testing.T) {
	p := demo(t)
	for _, id := range []string{"Dining room/East", "Sitting room/South", "Tern room/Gable", "Heron room/South", "Landing/Long", "Eider room/North"} {
		for _, face := range p.wall(t, id).Faces {
			film, err := face.film(false)
			if err != nil {
				t.Fatal(err)
			}
			l := film.Ledger(4)
			if off := l.Laid - l.Lifted() - l.Left; l.Laid <= 0 || off > 1e-6*l.Laid || off < -1e-6*l.Laid {
				t.Errorf("%s: laid %.6f mL, lifted %.6f, left %.6f: off by %g", face.ID, l.Laid, l.Lifted(), l.Left, off)
			}
			laid := face.Finish.Recipe.Laid[0] + face.Finish.Recipe.Laid[1]
			if want := laid * l.Area; l.Laid < 0.97*want || l.Laid > 1.03*want {
				t.Errorf("%s: %.1f mL laid on %.3f m2, but %.0f um make %.1f", face.ID, l.Laid, l.Area, laid, want)
			}
		}
	}
}
