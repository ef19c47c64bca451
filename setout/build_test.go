package setout

import (
	"fmt"
	"math"
	"testing"

	"scumble/catalog"
	"scumble/job"
	"scumble/survey"
	"scumble/unit"
)

func mm(v float64) job.Length { return job.Length{Text: fmt.Sprint(v), Value: unit.Length(v)} }

func fig(low, likely, high float64, in string) catalog.Figure {
	return catalog.Figure{Low: low, Likely: likely, High: high, Unit: in, Kind: catalog.Demo}
}

func just(v float64, in string) catalog.Figure { return fig(v, v, v, in) }

func one(f catalog.Figure) *catalog.Figure { return &f }

// testCatalog has the default weights and one technique of each kind.
func testCatalog() *catalog.Catalog {
	return &catalog.Catalog{
		Defaults: &catalog.Defaults{
			Sliver: just(60, "mm"), OnEdge: just(3, "mm"),
			WidthWeight: just(1, "ratio"), SliverWeight: just(4, "ratio"), EdgeBonus: just(0.25, "ratio"), SpreadWeight: just(2, "ratio"),
			MarkingPace: fig(20, 30, 45, "m/h"),
		},
		Techniques: map[string]*catalog.Technique{
			"weave": {ID: "weave", Strips: true, Section: catalog.Section{Width: fig(900, 1000, 1200, "mm"), Height: fig(500, 600, 700, "mm")},
				StripWidth: &catalog.StripWidth{Narrowest: just(250, "mm"), Wanted: just(275, "mm"), Widest: just(300, "mm")}},
			"drag": {ID: "drag", Section: catalog.Section{Width: fig(500, 700, 900, "mm"), Height: just(0, "mm")}},
			"comb": {ID: "comb", Section: catalog.Section{Width: just(600, "mm")},
				Rows: &catalog.Rows{Motif: just(200, "mm"), Height: just(100, "mm"), Stagger: just(0.5, "ratio")}},
			"paper": {ID: "paper", Section: catalog.Section{Width: just(1000, "mm"), Height: just(1000, "mm")},
				Sheets: &catalog.Sheets{Good: "greaseproof", Overlap: just(30, "mm"), Layers: just(1.2, "ratio"), Reuse: just(2, "ratio")}},
		},
		Goods: map[string]*catalog.Good{"greaseproof": {ID: "greaseproof", Width: one(just(400, "mm")), Length: one(just(600, "mm"))}},
	}
}

func testFinishes() []job.Finish {
	var list []job.Finish
	for _, t := range []string{"weave", "drag", "comb", "paper"} {
		list = append(list, job.Finish{ID: t, Technique: t})
	}
	return list
}

func measured(t interface {
	Helper()
	Fatalf(string, ...any)
}, j *job.Job) *survey.Survey {
	t.Helper()
	s, problems := survey.Measure(j, survey.Reaches{Floor: 2000, Steps: 2900, Platform: 4000})
	if len(problems) > 0 {
		t.Fatalf("%+v", problems)
	}
	return s
}

func divided(t interface {
	Helper()
	Fatalf(string, ...any)
}, j *job.Job) (*survey.Survey, *SetOut) {
	t.Helper()
	s := measured(t, j)
	so, err := Divide(s, j, testCatalog())
	if err != nil {
		t.Fatalf("%v", err)
	}
	return s, so
}

// breakfast is a room like that of the demonstration: four walls closed round, a
// door, windows, and one corner that leans.
func breakfast() *job.Job {
	window := func(left, width float64) job.Opening {
		return job.Opening{Name: "Window", Kind: "window", Left: mm(left), Sill: mm(900), Width: mm(width), Height: mm(1200)}
	}
	return &job.Job{Finishes: testFinishes(), Rooms: []job.Room{{
		Name: "Breakfast room", Closed: true, Height: mm(2720), Skirting: mm(140),
		Walls: []job.Wall{
			{Name: "North", Length: mm(4830), Finish: "weave", LeanRight: mm(4), Seen: 5},
			{Name: "East", Length: mm(3620), Finish: "weave", Openings: []job.Opening{window(1200, 1220)}},
			{Name: "South", Length: mm(4830), Finish: "weave", Openings: []job.Opening{{Name: "Door", Kind: "door", Left: mm(800), Width: mm(900), Height: mm(2050)}}},
			{Name: "West", Length: mm(3620), Finish: "weave", Seen: 1, Openings: []job.Opening{window(600, 900), window(2100, 900)}},
		},
	}}}
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s = %v, want %v", what, got, want)
	}
}
