package survey

import (
	"fmt"
	"strings"
	"testing"

	"scumble/job"
)

func at(left, sill, width, height float64) job.Opening {
	return job.Opening{Left: mm(left), Sill: mm(sill), Width: mm(width), Height: mm(height)}
}

// Every problem names the wall, the numbers and what to do.
func TestProblems(t *testing.T) {
	wall := func(change func(w *job.Wall)) *job.Job {
		w := job.Wall{Name: "N", Length: mm(4000), Finish: "f"}
		change(&w)
		return oneRoom(w)
	}
	open := func(o job.Opening) *job.Job {
		o.Name = "Hole"
		return wall(func(w *job.Wall) { w.Openings = []job.Opening{o} })
	}
	cases := []struct {
		name string
		job  *job.Job
		path string
		what string
	}{
		{"no length", wall(func(w *job.Wall) { w.Length = job.Length{} }), "walls[0].length", "the length is missing"},
		{"zero length", wall(func(w *job.Wall) { w.Length = mm(0) }), "walls[0].length", "length is 0 mm"},
		{"negative length", wall(func(w *job.Wall) { w.Length = mm(-20) }), "walls[0].length", "−20 mm"},
		{"kilometres", wall(func(w *job.Wall) { w.Length = mm(4e9) }), "walls[0].length", "more than a kilometre"},
		{"negative height", wall(func(w *job.Wall) { w.Height = mm(-1) }), "walls[0].height", "−1 mm"},
		{"no height", wall(func(w *job.Wall) { w.Height = mm(0) }), "walls[0].height", "no height"},
		{"right of the wall", open(at(3500, 0, 900, 2000)), "openings[0].width", "400 mm beyond the right end"},
		{"left of the wall", open(at(-120, 0, 900, 2000)), "openings[0].left", "120 mm beyond the left end"},
		{"above the wall", open(at(100, 1000, 900, 2000)), "openings[0].height", "300 mm above the wall"},
		{"below the floor", open(at(100, -50, 900, 2000)), "openings[0].sill", "50 mm below the floor"},
		{"no width", open(job.Opening{Left: mm(1), Height: mm(2)}), "openings[0].width", "width of the opening is missing"},
		{"no left", open(job.Opening{Width: mm(500), Height: mm(2)}), "openings[0].left", "left end of the wall is missing"},
		{"no sill", open(job.Opening{Kind: "window", Left: mm(5), Width: mm(500), Height: mm(2)}), "openings[0].sill", "sill is missing"},
		{"strange shape", open(job.Opening{Shape: "star", Left: mm(5), Width: mm(500), Height: mm(2)}), "openings[0].shape", `"star" is not known`},
		{"strange side", open(job.Opening{Left: mm(5), Width: mm(500), Height: mm(2), Reveal: mm(5), Paint: []string{"top"}}), "openings[0].paint[0]", `"top" of its reveal`},
		{"reveal", open(job.Opening{Left: mm(5), Width: mm(500), Height: mm(2), Reveal: mm(-5)}), "openings[0].reveal", "−5 mm deep"},
		{"steep arch", open(job.Opening{Shape: "arch", Rise: mm(600), Left: mm(5), Width: mm(1000), Height: mm(2000)}), "openings[0].rise", "rises 600 mm"},
		{"tall arch", open(job.Opening{Shape: "arch", Left: mm(5), Width: mm(1000), Height: mm(400)}), "openings[0].rise", "only 400 mm high"},
		{"flat arch", open(job.Opening{Shape: "arch", Rise: mm(0), Left: mm(5), Width: mm(1000), Height: mm(400)}), "openings[0].rise", "is 0 mm"},
		{"oval", open(job.Opening{Shape: "round", Left: mm(5), Sill: mm(5), Width: mm(1000), Height: mm(400)}), "openings[0].height", "cannot be 400 mm high"},
		{"crossing outline of an opening", open(job.Opening{Shape: "outline", Outline: outline(0, 0, 100, 100, 100, 0, 0, 100)}), "openings[0].outline[2]", "crosses"},
		{"out of a gable", wall(func(w *job.Wall) {
			w.Height, w.Ridge = mm(2000), &job.Ridge{At: mm(2000), Height: mm(4000)}
			w.Openings = []job.Opening{at(100, 1500, 600, 1000)}
		}), "openings[0].sill", "out of the wall at 100 mm from the left and 2 500 mm up"},
		{"overlap", wall(func(w *job.Wall) {
			w.Openings = []job.Opening{at(1500, 900, 900, 900), at(700, 0, 900, 2000)}
			w.Openings[0].Name, w.Openings[1].Name = "Hatch", "Door"
		}), "openings[0]", "Door and Hatch overlap by 100 mm across and 900 mm up"},
		{"crossing outline", wall(func(w *job.Wall) { w.Outline = outline(0, 0, 4000, 2500, 4000, 0, 0, 2500) }), "walls[0].outline[2]", "crosses"},
		{"two corners", wall(func(w *job.Wall) { w.Outline = outline(0, 0, 4000, 2500) }), "walls[0].outline", "3 corners"},
		{"outline set off", wall(func(w *job.Wall) { w.Length = job.Length{}; w.Outline = outline(200, 0, 4000, 0, 4000, 2700) }), "walls[0].outline[0].x", "starts 200 mm"},
		{"outline below", wall(func(w *job.Wall) { w.Outline = outline(0, -300, 4000, 0, 4000, 2700) }), "walls[0].outline[0].y", "300 mm below 0"},
		{"outline and length", wall(func(w *job.Wall) { w.Outline = outline(0, 0, 4100, 0, 4100, 2700) }), "walls[0].length", "4 000 mm but the outline is 4 100 mm"},
		{"dado above", wall(func(w *job.Wall) { w.Dado = &job.Dado{Height: mm(2800), Rail: mm(50)} }), "walls[0].dado.height", "2 800 mm leaves nothing above"},
		{"dado in the skirting", wall(func(w *job.Wall) { w.Skirting = mm(200); w.Dado = &job.Dado{Height: mm(250), Rail: mm(90)} }), "walls[0].dado.height", "nothing is left"},
		{"dado missing", wall(func(w *job.Wall) { w.Dado = &job.Dado{} }), "walls[0].dado.height", "is missing"},
		{"rail", wall(func(w *job.Wall) { w.Dado = &job.Dado{Height: mm(900), Rail: mm(-9)} }), "walls[0].dado.rail", "−9 mm"},
		{"tall skirting", wall(func(w *job.Wall) { w.Skirting = mm(2700) }), "walls[0].skirting", "as high as the wall"},
		{"deep cornice", wall(func(w *job.Wall) { w.Skirting, w.Cornice = mm(1700), mm(1000) }), "walls[0].cornice", "leave nothing"},
		{"negative skirting", wall(func(w *job.Wall) { w.Skirting = mm(-1) }), "walls[0].skirting", "−1 mm"},
		{"ridge outside", wall(func(w *job.Wall) { w.Ridge = &job.Ridge{At: mm(4200), Height: mm(3000)} }), "walls[0].ridge.at", "4 200 mm lies outside"},
		{"ridge low", wall(func(w *job.Wall) { w.Ridge = &job.Ridge{At: mm(2000), Height: mm(2000)} }), "walls[0].ridge.height", "not above the ends"},
		{"leans across", wall(func(w *job.Wall) { w.LeanLeft, w.LeanRight = mm(2000), mm(2000) }), "walls[0].lean-left", "more than its length"},
		{"heights do not meet", oneRoom(job.Wall{Name: "N", Length: mm(4000), HeightRight: mm(2400)}, job.Wall{Name: "E", Length: mm(3000)}), "walls[0]", "N is 2 400 mm high at its right end, E is 2 700 mm at its left end, 300 mm apart"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, problems := Measure(c.job, stands)
			for _, p := range problems {
				what := strings.NewReplacer("\u202f", " ", "\u00a0", " ").Replace(p.What)
				if strings.HasSuffix(p.Path, c.path) && strings.Contains(what, c.what) {
					if p.Do == "" || !strings.Contains(what, "R") {
						t.Errorf("does not say what to do, or where: %+v", p)
					}
					return
				}
			}
			t.Errorf("want %q at %s, got %+v", c.what, c.path, problems)
		})
	}
}

func TestAllProblemsAtOnce(t *testing.T) {
	j := oneRoom(
		job.Wall{Name: "a", Length: mm(-1), Openings: []job.Opening{{Name: "o", Left: mm(1), Width: mm(0), Height: mm(-5)}}},
		job.Wall{Name: "b", Length: mm(3000), Skirting: mm(5000), Openings: []job.Opening{door(2900)}},
	)
	_, problems := Measure(j, stands)
	if len(problems) != 5 {
		t.Errorf("%d problems, want 5: %+v", len(problems), problems)
	}
}

func TestOpenCornersNeedNotMeet(t *testing.T) {
	j := oneRoom(job.Wall{Name: "N", Length: mm(4000), HeightRight: mm(2400), Corner: "open"}, job.Wall{Name: "E", Length: mm(3000), Height: mm(2710)}, job.Wall{Name: "S", Length: mm(3000)})
	measured(t, j)
}

func TestWarnings(t *testing.T) {
	lean := oneRoom(job.Wall{Name: "N", Length: mm(4000), LeanLeft: mm(140)})
	two := oneRoom(job.Wall{Name: "N", Length: mm(4000)}, job.Wall{Name: "S", Length: mm(4000)})
	two.Rooms[0].Closed = true
	long := oneRoom(job.Wall{Name: "N", Length: mm(9000)}, job.Wall{Name: "S", Length: mm(4000)}, job.Wall{Name: "E", Length: mm(4000)})
	long.Rooms[0].Closed = true
	flat := oneRoom(job.Wall{Name: "N", Length: mm(4000), Openings: []job.Opening{{Name: "o", Left: mm(1), Width: mm(500), Height: mm(5), Paint: []string{"head"}}}})
	drawn := oneRoom(job.Wall{Name: "N", Outline: outline(0, 0, 4000, 0, 4000, 2700, 0, 2700), LeanLeft: mm(4)})
	for want, j := range map[string]*job.Job{"5 in 100": lean, "mean nothing": drawn, "2 walls": two, "cannot be closed": long, "no depth": flat} {
		s := measured(t, j)
		if len(s.Warnings) != 1 || !strings.Contains(s.Warnings[0].What, want) || s.Warnings[0].Do == "" || s.Warnings[0].Name == "" {
			t.Errorf("want %q, got %+v", want, s.Warnings)
		}
	}
}

func TestFeetAreSpokenInFeet(t *testing.T) {
	j := oneRoom(job.Wall{Name: "N", Length: mm(3048), Openings: []job.Opening{door(2500)}})
	j.Lengths = "imperial"
	_, problems := Measure(j, stands)
	if got := fmt.Sprint(problems); !strings.Contains(got, "10\u00a0ft") {
		t.Error(got)
	}
}
