package solve_test

import (
	"testing"

	"pgregory.net/rapid"

	"scumble/schedule/check"
	"scumble/schedule/place"
	"scumble/schedule/solve"
)

// drawProblem makes a small problem with everything a problem can have.
func drawProblem(t *rapid.T, most int) *place.Problem {
	p := &place.Problem{Calendar: drawHours(t)}
	mask := func(label string) (m []bool) {
		for range rapid.IntRange(0, 4).Draw(t, label) {
			m = append(m, rapid.IntRange(0, 3).Draw(t, label) == 0)
		}
		return m
	}
	for range rapid.IntRange(1, 3).Draw(t, "people") {
		p.People = append(p.People, place.Person{Skills: rapid.SampledFrom([]string{"p", "lwp", "lp", "wp"}).Draw(t, "skills"), Off: mask("off")})
	}
	p.Kits = []int{1, 2}
	p.Shut = [][]bool{mask("shut"), nil, mask("shut")}
	p.Groups = 2
	var able []string
	for _, needs := range []string{"p", "pp", "l", "w", "lw"} {
		if p.Able(needs) {
			able = append(able, needs)
		}
	}
	for i := range rapid.IntRange(1, most).Draw(t, "activities") {
		a := place.Activity{Room: rapid.IntRange(0, 2).Draw(t, "room"), Work: place.Grain * rapid.IntRange(1, 60).Draw(t, "work"),
			Unbroken: rapid.Bool().Draw(t, "unbroken"), Needs: rapid.SampledFrom(able).Draw(t, "needs"),
			Kit: rapid.IntRange(-1, 1).Draw(t, "kit"), Hands: rapid.IntRange(-1, 1).Draw(t, "hands")}
		if rapid.IntRange(0, 5).Draw(t, "pinned") == 0 {
			a.From = rapid.IntRange(0, 4*place.Day).Draw(t, "from")
		}
		if rapid.IntRange(0, 2).Draw(t, "promised") == 0 {
			a.Agreed = rapid.IntRange(1, 8).Draw(t, "agreed")
		}
		for on := range i {
			if rapid.IntRange(0, i).Draw(t, "waits") > 1 {
				continue
			}
			l := place.Link{On: on, Lag: rapid.SampledFrom([]int{0, 60, 700, 1500}).Draw(t, "lag")}
			if rapid.IntRange(0, 2).Draw(t, "window") == 0 {
				l.Until = l.Lag + rapid.IntRange(60, 2000).Draw(t, "until")
			}
			if least, most := l.Lag, l.Until; rapid.IntRange(0, 2).Draw(t, "air") == 0 {
				l.Times = func(end int) (int, int) { // slower towards noon
					more := min(end%place.Day, place.Day-end%place.Day) / 20
					return least + more, most + more
				}
				l.Daily = rapid.Bool().Draw(t, "daily")
			}
			a.Before = append(a.Before, l)
		}
		if i > 0 && rapid.IntRange(0, 3).Draw(t, "corner") == 0 {
			a.Touch = 100
			k := rapid.IntRange(0, i-1).Draw(t, "meets")
			a.Wet = []int{k}
			p.Acts[k].Wet = append(p.Acts[k].Wet, i)
		}
		p.Acts = append(p.Acts, a)
	}
	if rapid.Bool().Draw(t, "begun") {
		drawFacts(t, p)
	}
	return p
}

// hoursOf is when the site of a problem works, for the checker.
func hoursOf(p *place.Problem) check.Hours {
	return check.Hours{Spans: p.Calendar.Spans, Weekday: p.Calendar.Weekday, Weekly: p.Calendar.Weekly, Closed: p.Calendar.Closed}
}

func drawHours(t *rapid.T) *place.Calendar {
	spans := [][]place.Span{{{From: 480, To: 720}, {From: 780, To: 1020}}, {{From: 450, To: 1000}}, {{From: 0, To: 60}, {From: 65, To: 100}, {From: 1380, To: 1440}}}[rapid.IntRange(0, 2).Draw(t, "spans")]
	weekly := [7]bool{}
	weekly[rapid.IntRange(0, 6).Draw(t, "day")] = true
	for d := range weekly {
		weekly[d] = weekly[d] || rapid.Bool().Draw(t, "open")
	}
	return place.NewCalendar(spans, rapid.IntRange(0, 6).Draw(t, "weekday"), weekly, map[int]bool{rapid.IntRange(0, 10).Draw(t, "closed"): true})
}

// drawFacts lets some activities have begun, out of hours and out of order, too.
func drawFacts(t *rapid.T, p *place.Problem) {
	p.Now = place.Grain * rapid.IntRange(0, 4*place.Day/place.Grain).Draw(t, "now")
	until := 0 // nobody is at two things at once
	for i := range p.Acts {
		if p.Now < until+2*place.Grain || rapid.IntRange(0, 2).Draw(t, "fact") > 0 {
			continue
		}
		f := &place.Fact{Begin: rapid.IntRange(until, p.Now-1).Draw(t, "began")}
		if rapid.Bool().Draw(t, "done") {
			f.End = rapid.IntRange(f.Begin+1, p.Now).Draw(t, "ended")
		} else {
			f.Left = place.Grain * rapid.IntRange(1, 30).Draw(t, "left")
		}
		if until = f.End; until == 0 {
			until = p.Now
		}
		if teams := p.Teams[p.Acts[i].Needs]; rapid.Bool().Draw(t, "known") {
			f.People = teams[0].Orders[0]
		}
		p.Acts[i].Fact = f
	}
}

func TestPlansObeyEveryRule(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawProblem(t, 9)
		plan, _, failure := solve.Search(p, solve.Effort{Placements: rapid.IntRange(0, 500).Draw(t, "effort")})
		if failure != solve.None {
			t.Fatal(failure)
		}
		if faults := check.Plan(hoursOf(p), p, plan); len(faults) > 0 {
			t.Fatalf("%v", faults)
		}
		if b := plan.Least; b.Days > plan.Days {
			t.Fatalf("bound %+v of %d days", b, plan.Days)
		}
		for i, s := range plan.Slack {
			if s < 0 {
				t.Fatalf("%d has slack %d", i, s)
			}
		}
	})
}
