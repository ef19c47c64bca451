package wall

import (
	"slices"
	"strings"
	"testing"

	"scumble/draw"
	"scumble/job"
	"scumble/sheets/desk"
	"scumble/sheets/elevation"
	"scumble/sheets/internal/papertest"
	"scumble/sheets/pattern"
)

// words are all texts of a page.
func words(items []draw.Item) []string {
	var out []string
	for _, item := range items {
		switch it := item.(type) {
		case draw.Text:
			out = append(out, it.Text)
		case draw.Group:
			out = append(out, words(it.Items)...)
		}
	}
	return out
}

func TestSettingOutShowsEveryWallAndMark(t *testing.T) {
	for _, paper := range []string{"A4", "Letter"} {
		d := papertest.SettingOutDesk(t, paper, nil)
		doc, err := SettingOut(d)
		if err != nil {
			t.Fatal(err)
		}
		pages := map[string][]string{} // words by the wall named in the header
		for _, page := range doc.Pages {
			all := words(page.Items)
			for _, v := range elevation.Walls(d.Plan.Job, d.Plan.Survey, d.Plan.SetOut) {
				if slices.Contains(all, v.Name()) {
					pages[v.Name()] = append(pages[v.Name()], all...)
				}
			}
		}
		for _, v := range elevation.Walls(d.Plan.Job, d.Plan.Survey, d.Plan.SetOut) {
			all := pages[v.Name()]
			if len(v.Fields) > 0 && len(all) == 0 {
				t.Errorf("%s: %s has no page", paper, v.Name())
			}
			for _, f := range v.Fields {
				if f.Strips == nil {
					continue
				}
				for _, m := range f.Strips.Marks {
					if !slices.Contains(all, m.Foot.MM()) || !slices.Contains(all, m.Head.MM()) {
						t.Errorf("%s: %s lacks mark %d, %s and %s", paper, v.Name(), m.Number, m.Foot.MM(), m.Head.MM())
					}
				}
				if !strings.Contains(strings.Join(all, " "), f.Strips.AreaA.Fixed(2)) {
					t.Errorf("%s: %s lacks the area of colour A", paper, v.Name())
				}
			}
			if len(v.Fields) > 0 && !slices.Contains(all, pattern.Note) {
				t.Errorf("%s: %s does not say that the finish is a pattern", paper, v.Name())
			}
		}
		if len(d.Plan.SetOut.Groups) < 2 {
			t.Errorf("the demonstration job has %d runs of strips, want 2 or more", len(d.Plan.SetOut.Groups))
		}
	}
}

func TestSettingOutInFeetAndInches(t *testing.T) {
	d := papertest.SettingOutDesk(t, "Letter", func(j *job.Job) { j.Lengths = "imperial" })
	doc, err := SettingOut(d)
	if err != nil {
		t.Fatal(err)
	}
	all := ""
	for _, page := range doc.Pages {
		all += strings.Join(words(page.Items), "\n") + "\n"
	}
	for _, g := range d.Plan.SetOut.Groups {
		for _, s := range g.Options[g.Chosen].Faces {
			for _, m := range s.Marks {
				if !strings.Contains(all, m.Foot.MM()+"\n") || !strings.Contains(all, m.Foot.FeetInches()+"\n") {
					t.Errorf("%s: mark %d lacks %s or %s", s.Face, m.Number, m.Foot.MM(), m.Foot.FeetInches())
				}
			}
		}
	}
}

func TestWallDrawingsHaveStableNames(t *testing.T) {
	d := papertest.SettingOutDesk(t, "A4", nil)
	files := Drawings(d.Plan)
	names := map[string]bool{}
	for _, f := range files {
		content, err := f.Make(d)
		if err != nil {
			t.Fatal(err)
		}
		if names[f.Name] || len(content) == 0 {
			t.Errorf("%s comes twice or is empty", f.Name)
		}
		names[f.Name] = true
	}
	if want := 2 * len(elevation.Walls(d.Plan.Job, d.Plan.Survey, d.Plan.SetOut)); len(files) != want {
		t.Errorf("%d files, want %d", len(files), want)
	}
	if !names["walls/breakfast-room-north.svg"] || !names["walls/breakfast-room-north.dxf"] {
		t.Error("the breakfast room's north wall is not among them")
	}
}

func TestNoticesGoToTheirOwnWall(t *testing.T) {
	d := papertest.SettingOutDesk(t, "A4", nil)
	said := func(name string) string {
		fl := draw.NewColumn(d.Fonts, 150, false)
		notices(d, fl, []job.Warning{{Name: "Hall/Left", What: "one"}, {Name: "Hall/Left, dado", What: "two"}, {Name: "Hall/Left over", What: "three"}}, name)
		return strings.Join(words(fl.Draw(0, 0)), " ")
	}
	if got := said("Hall/Left"); !strings.Contains(got, "one") || !strings.Contains(got, "two") || strings.Contains(got, "three") {
		t.Errorf("got %q", got)
	}
}

func BenchmarkSettingOut(b *testing.B) {
	d := papertest.SettingOutDesk(b, "A4", nil)
	for b.Loop() {
		if _, err := desk.PDF(SettingOut)(d); err != nil {
			b.Fatal(err)
		}
		for _, f := range Drawings(d.Plan) {
			if _, err := f.Make(d); err != nil {
				b.Fatal(err)
			}
		}
	}
}
