package solve_test

import (
	"testing"

	"scumble/schedule/place"
	"scumble/schedule/solve"
)

// Three activities of 4 h for one person, two of them 20 h apart: the third fits
// into the first day, so two days do, and no plan needs fewer.
func TestSearchFillsTheGap(t *testing.T) {
	p := &place.Problem{
		Calendar: place.NewCalendar([]place.Span{{From: 480, To: 960}}, 1, [7]bool{false, true, true, true, true, true, false}, nil),
		People:   []place.Person{{Skills: "p"}}, Shut: [][]bool{nil},
		Acts: []place.Activity{
			{Work: 240, Needs: "p", Kit: -1, Hands: -1},
			{Work: 240, Needs: "p", Kit: -1, Hands: -1, Before: []place.Link{{On: 0, Lag: 1200}}},
			{Work: 240, Needs: "p", Kit: -1, Hands: -1}},
	}
	plan, _, failure := solve.Search(p, solve.Effort{Placements: 1000})
	if failure != solve.None || plan.Days != 2 || plan.Visits != 1 || plan.Least.Days != 2 {
		t.Fatalf("%+v, %v, bound %+v", plan, failure, plan.Least)
	}
	if b := plan.Slots; b[0].Begin != 480 || b[2].Begin != 720 || b[1].Begin != place.Day+480 {
		t.Errorf("%+v", plan.Slots)
	}
	p.Acts[0].Before = []place.Link{{On: 1}}
	if _, at, failure := solve.Search(p, solve.Effort{Placements: 1000}); failure != solve.Circle || at > 1 {
		t.Errorf("a circle: %v at %d", failure, at)
	}
	if p.Able("pp") || p.Able("l") || !p.Able("p") {
		t.Error("one person with one skill can do one thing")
	}
}
