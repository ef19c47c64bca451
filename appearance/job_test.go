package appearance

import (
	"context"
	"math"
	"testing"

	"scumble/appearance/finish"
	"scumble/appearance/internal/finishtest"
	"scumble/catalog"
	"scumble/geom"
	"scumble/job"
	"scumble/method"
	"scumble/quantity"
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
	d := finishtest.Demo(t)
	s, problems := survey.Measure(d.Job, survey.Reaches{})
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	so, err := setout.Divide(s, d.Job, d.Catalog)
	if err != nil {
		t.Fatal(err)
	}
	return planned{d.Job, d.Catalog, s, so}
}

func (p planned) wall(t testing.TB, id string) *Wall {
	t.Helper()
	w, err := Of(p.job, p.catalog, p.survey, p.setOut, id)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// made is a finish of a way, as agreed.
func made(t testing.TB, c *catalog.Catalog, w finishtest.Way, with string) *finish.Finish {
	t.Helper()
	f, err := finish.Resolve(w.Job(c, with), c, w.Technique)
	if err != nil {
		t.Fatalf("%v: %v", w, err)
	}
	return f
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

// The tool takes the share of glaze that the catalog states, in every technique.
func TestToolTakesItsShare(t *testing.T) {
	t.Parallel()
	p := demo(t)
	for _, w := range finishtest.Ways(p.catalog) {
		f := made(t, p.catalog, w, p.catalog.Techniques[w.Technique].Glazes[0])
		film, err := BoardWall(f, p.catalog, "taken", 1500, 1000).Faces[0].film(false)
		if err != nil {
			t.Fatal(err)
		}
		lifted := p.catalog.Techniques[w.Technique].Lifted.Likely
		if got := film.Ledger(2).Share(); math.Abs(got-lifted) > 0.01 {
			t.Errorf("%v: the tool takes %.3f, the catalog says %.3f", w, got, lifted)
		}
	}
}

// On every wall of the job, with its openings, laid less lifted is left, to a millionth of
// what was laid; what is left is counted from the rendered film. The buying list tells the
// same litres and the same share lifted as the picture.
func TestPicturesAndQuantitiesAgree(t *testing.T) {
	t.Parallel()
	p := demo(t)
	m, err := method.Expand(p.survey, p.setOut, p.job, p.catalog)
	if err != nil {
		t.Fatal(err)
	}
	q, err := quantity.Reckon(p.survey, p.setOut, m, p.job, p.catalog)
	if err != nil {
		t.Fatal(err)
	}
	glazes := map[string]bool{} // steps that lay glaze
	for _, f := range m.Faces {
		for _, s := range f.Steps {
			glazes[s.ID] = s.Kind == method.Glaze
		}
	}
	type litres struct{ laid, lifted, film float64 } // film is mL on the m2, of all coats
	bought := map[string]litres{}
	for _, mix := range q.Mixes {
		for _, u := range mix.Uses {
			if glazes[u.Step] {
				of := bought[u.Face]
				laid := float64(u.Laid.Likely)
				bought[u.Face] = litres{of.laid + laid, of.lifted + float64(u.Lifted.Likely), of.film + 1000*laid/float64(u.Area)}
			}
		}
	}
	faces := 0
	for r := range p.survey.Rooms {
		for w := range p.survey.Rooms[r].Walls {
			if len(p.survey.Rooms[r].Walls[w].Faces) == 0 {
				continue
			}
			for _, face := range p.wall(t, p.survey.Rooms[r].Walls[w].ID).Faces {
				faces++
				film, err := face.film(false)
				if err != nil {
					t.Fatal(err)
				}
				pitch := 8.0
				if face.Region.AreaM2() < 2 {
					pitch = 4
				}
				l, list, lifted := film.Ledger(pitch), bought[face.ID], face.Finish.Technique.Lifted.Likely
				if off := l.Laid - l.Lifted() - l.Left; !(l.Laid > 0) || math.Abs(off) > 1e-6*l.Laid {
					t.Errorf("%s: laid %.6f mL, lifted %.6f, left %.6f: off by %g", face.ID, l.Laid, l.Lifted(), l.Left, off)
				}
				if math.Abs(list.lifted-lifted*list.laid) > 1e-9 || math.Abs(l.Share()-lifted) > 0.01 {
					t.Errorf("%s, %s: the list has %.4f L lifted of %.4f, the picture a share of %.3f, the catalog %.3f", face.ID, face.Finish.ID, list.lifted, list.laid, l.Share(), lifted)
				}
				if film := l.Laid / l.Area; math.Abs(film-list.film) > 0.02*list.film { // the list has reveals too, so films are compared
					t.Errorf("%s, %s: %.1f um are laid by the list, %.1f um in the picture", face.ID, face.Finish.ID, list.film, film)
				}
				if area := float64(face.Region.AreaM2()); math.Abs(l.Area-area) > 0.02*area {
					t.Errorf("%s: %.3f m2 in the picture, %.3f m2 measured", face.ID, l.Area, area)
				}
			}
		}
	}
	if faces < 20 {
		t.Errorf("only %d faces", faces)
	}
}

// What the catalog says of the glazes of a technique is what its strokes do: how many
// films there are, and whether two glazes lie in one.
func TestGlazesAreThoseOfTheStrokes(t *testing.T) {
	c := demo(t).catalog
	for _, w := range finishtest.Ways(c) {
		f := made(t, c, w, c.Techniques[w.Technique].Glazes[0])
		film, err := BoardWall(f, c, "glazes", 300, 300).Faces[0].film(false)
		if err != nil {
			t.Fatal(err)
		}
		if film.Mixed() != f.Mixed || film.HasSecond() != (len(f.Glazes) == 2) {
			t.Errorf("%v: %d glazes, mixed %v, but the strokes have a second %v, mixed %v", w, len(f.Glazes), f.Mixed, film.HasSecond(), film.Mixed())
		}
	}
}
