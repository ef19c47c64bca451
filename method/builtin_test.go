package method

import (
	"maps"
	"slices"
	"testing"

	"scumble/catalog"
	"scumble/job"
	"scumble/setout"
	"scumble/survey"
)

// everyTechnique is a job with a wall for each technique and each glaze of the
// built-in catalog, with a clear coat on every second.
func everyTechnique(t testing.TB, c *catalog.Catalog) (*survey.Survey, *setout.SetOut, *job.Job) {
	t.Helper()
	j, so := &job.Job{Building: job.Building{Built: 1920}}, &setout.SetOut{}
	s := &survey.Survey{}
	for _, id := range slices.Sorted(maps.Keys(c.Techniques)) {
		technique := c.Techniques[id]
		for _, glaze := range technique.Glazes {
			f := job.Finish{ID: id + " " + glaze, Technique: id, With: glaze,
				Ground: job.Colour{Name: "Chalk"}, GroundB: job.Colour{Name: "Sage"}, Glaze: job.Colour{Name: "Umber"}, GlazeB: job.Colour{Name: "Moss"}}
			if len(j.Finishes)%2 == 1 {
				f.Clear = "clear-coat"
			}
			j.Finishes = append(j.Finishes, f)
			wall := plainWall("Room "+f.ID, "North", 4200, 3100, f.ID, "lime-plaster")
			if technique.Strips {
				so.Groups = append(so.Groups, halves(wall, 16))
			}
			s.Rooms = append(s.Rooms, closed("Room "+f.ID, wall))
		}
	}
	return s, so, j
}

func TestEveryTechniqueOfTheCatalog(t *testing.T) {
	c, err := catalog.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	s, so, j := everyTechnique(t, c)
	m := expanded(t, s, so, j, c)
	if len(m.Warnings) > 0 {
		t.Errorf("warnings %+v", m.Warnings)
	}
	checkWellFormed(t, m)
	if len(m.Faces) != len(j.Finishes) || len(m.Faces) < 10 {
		t.Fatalf("%d faces for %d finishes", len(m.Faces), len(j.Finishes))
	}
	for _, f := range m.Faces {
		if f.Steps[0].Rule != "prime" || f.Steps[len(f.Steps)-1].Rule != "inspect" {
			t.Errorf("%s runs from %s to %s", f.ID, f.Steps[0].Rule, f.Steps[len(f.Steps)-1].Rule)
		}
		pairs := 0
		for _, step := range f.Steps {
			if step.Kind == Glaze && step.Crew == 2 {
				pairs++
			}
			for _, w := range step.Waits {
				if _, ok := c.Figure(w.Figure); w.Figure != "" && !ok {
					t.Errorf("%s: no figure at %s", step.ID, w.Figure)
				}
			}
			if step.Product != nil && step.SpreadPath != "" {
				if _, ok := c.Figure(step.SpreadPath); !ok {
					t.Errorf("%s: no figure at %s", step.ID, step.SpreadPath)
				}
			}
			if step.Work.Likely <= 0 || step.Product != nil && step.Area <= 0 {
				t.Errorf("%s takes %v over %v", step.ID, step.Work, step.Area)
			}
		}
		if pairs == 0 {
			t.Errorf("%s: nobody works the glaze as a pair", f.ID)
		}
	}
	for _, r := range m.Rooms {
		if r.Steps[0].Kind != Protect || r.Steps[len(r.Steps)-1].Kind != Unmask {
			t.Errorf("%s begins with %s and ends with %s", r.Name, r.Steps[0].Kind, r.Steps[len(r.Steps)-1].Kind)
		}
	}
}

// TestFactsOfTheTrade are the waits and dilutions applicators work by (common practice).
func TestFactsOfTheTrade(t *testing.T) {
	c, err := catalog.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	s, so, j := everyTechnique(t, c)
	m := expanded(t, s, so, j, c)
	for _, fact := range []struct {
		finish, step, on string
		hours            float64
	}{
		{"dragging oil-glaze", "glaze-1", "ground-2", 24},
		{"dragging metallic-glaze", "glaze-1", "ground-2", 12},
		{"cross-drag-weave oil-glaze", "ground-b", "ground-2", 6},
		{"cross-drag-weave oil-glaze", "glaze-1", "ground-b", 24},
		{"cross-drag-weave metallic-glaze", "glaze-1", "ground-b", 12},
		{"cross-drag-weave oil-glaze", "glaze-2", "glaze-1", 36},
		{"cross-drag-weave metallic-glaze", "glaze-2", "glaze-1", 18},
	} {
		face := "Room " + fact.finish + "/North"
		w := waitOn(m.face(t, face).step(t, fact.step), face+"#"+fact.on)
		if w == nil || float64(w.From.Low) != fact.hours {
			t.Errorf("%s, %s after %s: %+v, want %v h at least", fact.finish, fact.step, fact.on, w, fact.hours)
		}
	}
	for finish, parts := range map[string]float64{
		"dragging oil-glaze": 0.8, "dragging metallic-glaze": 0.1, "colourwash oil-glaze": 0, "two-tone-sponge-blend oil-glaze": 0,
	} {
		if let := m.face(t, "Room "+finish+"/North").step(t, "glaze-1").Let; !near(float64(let.Parts), parts) {
			t.Errorf("%s: %v parts of thinner, want %v", finish, let.Parts, parts)
		}
	}
}
