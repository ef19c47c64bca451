package solve

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// drawCalendar makes a calendar and the plain truth about it, minute by minute.
func drawCalendar(t *rapid.T) (*Calendar, []bool) {
	spans := [][]Span{{{480, 720}, {780, 1020}}, {{450, 1000}}, {{0, 60}, {61, 100}, {1380, 1440}}}[rapid.IntRange(0, 2).Draw(t, "spans")]
	weekly := [7]bool{}
	weekly[rapid.IntRange(0, 6).Draw(t, "day")] = true
	for d := range weekly {
		weekly[d] = weekly[d] || rapid.Bool().Draw(t, "open")
	}
	closed := map[int]bool{rapid.IntRange(0, 10).Draw(t, "closed"): true}
	weekday := rapid.IntRange(0, 6).Draw(t, "weekday")
	open := make([]bool, 28*day)
	for n := range 28 {
		for _, s := range spans {
			for m := s.From; m < s.To; m++ {
				open[n*day+m] = weekly[(weekday+n)%7] && !closed[n]
			}
		}
	}
	return NewCalendar(spans, weekday, weekly, closed), open
}

func TestCalendarAgreesWithAMinuteScan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, open := drawCalendar(t)
		var minutes []int // site minute of each work minute
		for at, is := range open {
			if is {
				minutes = append(minutes, at)
			}
		}
		for range 50 {
			w := rapid.IntRange(1, len(minutes)-1).Draw(t, "w")
			if c.begins(w) != minutes[w] || c.ends(w) != minutes[w-1]+1 {
				t.Fatalf("work minute %d begins at %d and ends at %d, want %d and %d", w, c.begins(w), c.ends(w), minutes[w], minutes[w-1]+1)
			}
			at := rapid.IntRange(0, minutes[len(minutes)-1]).Draw(t, "at")
			from, _ := slices.BinarySearch(minutes, at)
			if c.from(at) != from {
				t.Fatalf("from %d: %d, want %d", at, c.from(at), from)
			}
			if got := c.upTo(at); got != from { // as many work minutes have ended as began before
				t.Fatalf("up to %d: %d, want %d", at, got, from)
			}
		}
	})
}

func TestBusyAgreesWithMinutes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var b busy
		taken := make([]bool, 200)
		var in []piece
		for range rapid.IntRange(1, 60).Draw(t, "moves") {
			if len(in) > 0 && rapid.Bool().Draw(t, "remove") {
				k := rapid.IntRange(0, len(in)-1).Draw(t, "which")
				b = b.remove(in[k])
				for w := in[k].from; w < in[k].to; w++ {
					taken[w] = false
				}
				in = slices.Delete(in, k, k+1)
				continue
			}
			from := rapid.IntRange(0, 190).Draw(t, "from")
			p := piece{from, from + rapid.IntRange(1, 10).Draw(t, "length")}
			free := !slices.Contains(taken[p.from:p.to], true)
			got, until := b.free(p)
			if got != free || !free && !taken[until-1] || !free && until < len(taken) && taken[until] {
				t.Fatalf("%v in %v: free %v until %d, want %v", p, b, got, until, free)
			}
			if free {
				b = b.add(p)
				in = append(in, p)
				for w := p.from; w < p.to; w++ {
					taken[w] = true
				}
			}
		}
		for i := 1; i < len(b); i++ {
			if b[i-1].to >= b[i].from {
				t.Fatalf("not joined: %v", b)
			}
		}
	})
}

// Three activities of 4 h for one person, two of them 20 h apart: the third fits
// into the first day, so two days do, and no plan needs fewer.
func TestSearchFillsTheGap(t *testing.T) {
	p := &Problem{
		Calendar: NewCalendar([]Span{{480, 960}}, 1, [7]bool{false, true, true, true, true, true, false}, nil),
		People:   []Person{{Skills: "p"}}, Shut: [][]bool{nil},
		Acts: []Activity{
			{Work: 240, Needs: "p", Kit: -1, Hands: -1},
			{Work: 240, Needs: "p", Kit: -1, Hands: -1, Before: []Link{{On: 0, Lag: 1200}}},
			{Work: 240, Needs: "p", Kit: -1, Hands: -1}},
	}
	plan, _, failure := Search(p, Effort{Placements: 1000})
	if failure != None || plan.Days != 2 || plan.Visits != 1 || plan.Least.Days != 2 {
		t.Fatalf("%+v, %v, bound %+v", plan, failure, plan.Least)
	}
	if b := plan.Slots; b[0].Begin != 480 || b[2].Begin != 720 || b[1].Begin != day+480 {
		t.Errorf("%+v", plan.Slots)
	}
	p.Acts[0].Before = []Link{{On: 1}}
	if _, at, failure := Search(p, Effort{Placements: 1000}); failure != Circle || at > 1 {
		t.Errorf("a circle: %v at %d", failure, at)
	}
	if p.Able("pp") || p.Able("l") || !p.Able("p") {
		t.Error("one person with one skill can do one thing")
	}
}
