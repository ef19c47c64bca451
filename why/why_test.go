package why_test

import (
	"strings"
	"testing"

	"scumble/catalog"
	"scumble/examples"
	"scumble/job"
	"scumble/plan"
	"scumble/why"
)

func demo(t *testing.T) (*job.File, *plan.Plan) {
	t.Helper()
	c, err := catalog.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	file, problems := job.Read(examples.BellwetherName, examples.Bellwether)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	p, problems, err := plan.Run(file.Job, c)
	if err != nil || len(problems) > 0 {
		t.Fatal(problems, err)
	}
	return file, p
}

// TestEveryFigureCanBeAsked asks everything of every face. Each chain of a coat
// ends at something typed and at a figure of the catalog, and no catalog path in
// it is missing.
func TestEveryFigureCanBeAsked(t *testing.T) {
	file, p := demo(t)
	for _, r := range p.Survey.Rooms {
		for _, w := range r.Walls {
			for _, f := range w.Faces {
				for _, what := range []string{"area", "strips", "primer", "ground", "glaze", "hours", "waits", "day", "paid", "edge", "dry"} {
					reasons, err := why.Ask(p, []string{"wall", f.ID, what})
					if err != nil {
						t.Errorf("%s %s: %v", f.ID, what, err)
						continue
					}
					text := why.Text(reasons, file)
					if strings.Contains(text, "not in the catalog") {
						t.Errorf("%s %s names a figure the catalog has not:\n%s", f.ID, what, text)
					}
					switch what {
					case "edge", "dry":
						if !strings.Contains(text, "[") || !strings.Contains(text, "min") && what == "edge" || !strings.Contains(text, "recoat") && what == "dry" {
							t.Errorf("%s %s rests on nothing:\n%s", f.ID, what, text)
						}
					case "glaze", "ground", "primer":
						if !strings.Contains(text, "["+string(catalog.Common)) && !strings.Contains(text, "["+string(catalog.Published)) && !strings.Contains(text, "["+string(catalog.Memory)) {
							t.Errorf("%s %s rests on nothing:\n%s", f.ID, what, text)
						}
						if !strings.Contains(text, examples.BellwetherName+":") {
							t.Errorf("%s %s does not lead back to what was typed:\n%s", f.ID, what, text)
						}
					}
				}
			}
		}
	}
}

func TestWhole(t *testing.T) {
	file, p := demo(t)
	for question, want := range map[string]string{
		"price":                            "margin",
		"days":                             "no plan needs fewer",
		"product oil-glaze":                "cheapest packs",
		"product thinner":                  "cheapest packs",
		"figure products/oil-glaze/spread": "m²/L",
	} {
		reasons, err := why.Ask(p, strings.Fields(question))
		if err != nil {
			t.Errorf("%s: %v", question, err)
			continue
		}
		if text := why.Text(reasons, file); !strings.Contains(text, want) {
			t.Errorf("%s does not say %q:\n%s", question, want, text)
		}
	}
}

func TestWrongQuestions(t *testing.T) {
	_, p := demo(t)
	for question, want := range map[string]string{
		"":                               "ask one of",
		"wall":                           "ask one of",
		"wall Nowhere/North glaze":       "Breakfast room/North",
		"wall Landing/Long tint":         "ask one of",
		"wall Landing/Short relief":      "no such coat",
		"product gold-leaf":              "nothing called",
		"figure products/gold/leafiness": "has no figure",
	} {
		_, err := why.Ask(p, strings.Fields(question))
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %q", question, err, want)
		}
	}
}

// The air of a room leads to its limits and to the figures of the catalog.
func TestAirCanBeAsked(t *testing.T) {
	file, p := demo(t)
	for room, want := range map[string][]string{"breakfast room": {"products/oil-glaze/voc", "limit, ", "air-shut", "m³"}, "Dining room": {"none"}} {
		reasons, err := why.Ask(p, []string{"air", room})
		text := why.Text(reasons, file)
		if err != nil || strings.Contains(text, "not in the catalog") {
			t.Fatal(err, text)
		}
		for _, w := range want {
			if !strings.Contains(text, w) {
				t.Errorf("%s does not say %q:\n%s", room, w, text)
			}
		}
	}
	if _, err := why.Ask(p, []string{"air", "Cellar"}); err == nil || !strings.Contains(err.Error(), "Breakfast room") {
		t.Error(err)
	}
}
