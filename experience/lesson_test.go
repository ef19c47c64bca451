package experience

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
	"scumble/catalog"
	"scumble/drying"
	"scumble/job"
	"scumble/unit"
)

func builtin(t testing.TB) *catalog.Catalog {
	t.Helper()
	c, err := catalog.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	return c
}

const (
	open   = "products/clear-glaze/drying.open"
	touch  = "products/oil-glaze/drying.touch"
	work   = "techniques/dragging/pair.work"
	refill = "defaults/refill"
)

func seen(of, value string) job.Observed { return job.Observed{Of: of, Value: value} }

func inAir(o job.Observed, temp unit.Temp, humidity unit.Humidity) job.Observed {
	o.Temp, o.Humidity = job.Temp{Text: "typed", Value: temp}, job.Humidity{Text: "typed", Value: humidity}
	return o
}

// Six walls of 10 minutes: the same as Learn of six times a sixth of an hour, by the
// spread of open times.
func TestLessons(t *testing.T) {
	c := builtin(t)
	j := &job.Job{}
	for range 6 {
		j.Observed = append(j.Observed, inAir(seen(open, "10 min"), 23, 0.50), seen(work, "16 m2/h"))
	}
	j.Observed = append(j.Observed, seen(refill, "2 min"))
	lessons, warnings, problems := Lessons(j, c, c.Defaults)
	if len(lessons) != 3 || len(warnings) != 0 || len(problems) != 0 {
		t.Fatalf("%d lessons, warnings %v, problems %v", len(lessons), warnings, problems)
	}
	prior, _ := c.Figure(open)
	want, _ := Learn(prior, slices.Repeat([]float64{10. / 60}, 6), c.Defaults.OpenWall.Likely)
	got := lessons[1]
	if got.Path != open || got.Count != 6 || math.Abs(got.Figure.Likely/want.Figure.Likely-1) > 1e-9 || got.Weight != want.Weight || got.SpreadOf != "defaults/open-wall" {
		t.Errorf("%+v, want %+v", got, want)
	}
	if l := lessons[2]; l.Path != work || l.SpreadOf != "defaults/pace-spread" || l.Spread != c.Defaults.PaceSpread.Likely || l.Walls[1] != (Wall{3, 16, 1}) {
		t.Errorf("%+v", l)
	}
	if l := lessons[0]; l.Path != refill || l.Walls[0].Value != 2 || l.Figure.Unit != "min" {
		t.Errorf("%+v", l)
	}
}

// The air is taken out by the model that puts it in: what the model foretells in an air,
// seen there, is the reference time again.
func TestReferenceRoundTrip(t *testing.T) {
	c := builtin(t)
	rapid.Check(t, func(t *rapid.T) {
		path := rapid.SampledFrom([]string{open, touch, "products/metallic-glaze/drying.touch"}).Draw(t, "figure")
		air := drying.Air{Temp: unit.Temp(rapid.Float64Range(5, 35).Draw(t, "temp")), Humidity: unit.Humidity(rapid.Float64Range(0.2, 0.85).Draw(t, "humidity"))}
		air.Surface = air.Temp
		hours := rapid.Float64Range(0.2, 12).Draw(t, "hours")
		id, _, _ := dryingOf(path)
		window, err := drying.Ready(drying.Coat{Base: drying.Base(c.Products[id]), By: drying.ByModel,
			From: unit.Range[unit.Hours]{Low: unit.Hours(hours), Likely: unit.Hours(hours), High: unit.Hours(hours)}}, drying.Steady(air), 0)
		if err != nil {
			t.Fatal(err)
		}
		o := inAir(seen(path, fmt.Sprintf("%.9f h", window.From.Likely)), air.Temp, air.Humidity)
		lessons, _, problems := Lessons(&job.Job{Observed: []job.Observed{o}}, c, c.Defaults)
		if len(problems) > 0 || math.Abs(lessons[0].Walls[0].Value/hours-1) > 1e-6 || math.Abs(lessons[0].Walls[0].Factor*hours/float64(window.From.Likely)-1) > 1e-6 {
			t.Fatalf("%v h came back as %+v, %v", hours, lessons, problems)
		}
	})
}

func TestLessonsInAnyOrder(t *testing.T) {
	c := builtin(t)
	walls := []job.Observed{inAir(seen(open, "14 min"), 17, 0.6), inAir(seen(open, "13 min"), 26, 0.4), seen(work, "16 m2/h"), seen(work, "13 m2/h"), inAir(seen(open, "12 min"), 20, 0.5), seen(work, "90 m2/h")}
	first, _, _ := Lessons(&job.Job{Observed: walls}, c, c.Defaults)
	rapid.Check(t, func(t *rapid.T) {
		again, warnings, _ := Lessons(&job.Job{Observed: rapid.Permutation(walls).Draw(t, "order")}, c, c.Defaults)
		if len(again) != len(first) || len(warnings) != 1 {
			t.Fatalf("%+v, warnings %v", again, warnings)
		}
		for i := range again {
			if fmt.Sprint(again[i].Figure) != fmt.Sprint(first[i].Figure) || again[i].Weight != first[i].Weight || len(again[i].Wild) != len(first[i].Wild) {
				t.Fatalf("%+v, was %+v", again[i], first[i])
			}
		}
	})
}

func TestLessonWarnings(t *testing.T) {
	c := builtin(t)
	j := &job.Job{
		Figures:  []job.Choice{{Of: refill, Value: 3, Why: "ours"}},
		Observed: []job.Observed{seen(work, "15 m2/h"), seen(work, "150 m2/h"), seen(open, "14 min"), seen(refill, "2 min")},
	}
	lessons, warnings, problems := Lessons(j, c, c.Defaults)
	if len(problems) != 0 || len(lessons) != 3 || !lessons[0].Overruled || lessons[1].Overruled || lessons[2].Overruled {
		t.Fatalf("%+v, %v", lessons, problems)
	}
	if l := lessons[1]; l.Path != open || l.Span(l.Catalog) != "15 min, from 10.2 to 19.8" || lessons[2].Span(lessons[2].Catalog) != "15 m²/h, from 12 to 18" || lessons[2].Say(1e4) != "10000 m²/h" {
		t.Errorf("%q %q", l.Span(l.Catalog), lessons[2].Span(lessons[2].Catalog))
	}
	for i, want := range []string{"figures[0] the job sets this figure itself", "observed[1] 150 m2/h is outside ", "observed[2] 14 min is taken as seen at 23 °C and 50 %"} {
		if len(warnings) != 3 || !strings.HasPrefix(warnings[i].Path+" "+warnings[i].What, want) {
			t.Errorf("%+v, want %s", warnings, want)
		}
	}
}

// What cannot be used is named at its place, all at once, and the rest is learned.
func TestLessonProblems(t *testing.T) {
	c := builtin(t)
	j := &job.Job{Observed: []job.Observed{
		seen("products/nothing/drying.open", "1 h"), seen("defaults/sliver", "1 h"), seen("products/clear-glaze/drying.recoat-from", "20 h"),
		seen("products/clear-glaze/drying.washable", "700 h"), seen("techniques/dragging/steps.glaze-1.wait.oil.from", "20 h"),
		seen(open, "14"), inAir(seen(open, "14 min"), 20, 0.97), {}, seen(work, "14 m2/h"),
	}}
	lessons, _, problems := Lessons(j, c, c.Defaults)
	if len(lessons) != 1 || lessons[0].Walls[0].Entry != 8 {
		t.Errorf("%+v", lessons)
	}
	want := []string{"observed[0].of is no figure", "observed[1].of neither a pace nor a time", "observed[2].of no width", "observed[3].of a limit", "observed[4].of a wait is a rule",
		"observed[5].value has no unit", "observed[6].temp no drying time can be given"}
	for i, w := range want {
		path, what, _ := strings.Cut(w, " ")
		if len(problems) != len(want) || problems[i].Path != path || !strings.Contains(problems[i].What, what) || problems[i].Do == "" {
			t.Fatalf("%+v, want %s", problems, w)
		}
	}
}
