package solve_test

import (
	"testing"

	"scumble/schedule/check"
	"scumble/schedule/place"
	"scumble/schedule/solve"
)

// On Tuesday at ten: one thing was done on Saturday, out of hours, one is running, one
// was promised for Tuesday and one for Monday, which is over.
func TestFactsStayAndPromisesAreCounted(t *testing.T) {
	now := 3*place.Day + 600 // day 0 is a Saturday
	p := &place.Problem{
		Calendar: place.NewCalendar([]place.Span{{From: 480, To: 720}, {From: 780, To: 1020}}, 6, [7]bool{false, true, true, true, true, true, false}, nil),
		People:   []place.Person{{Skills: "p"}}, Shut: [][]bool{nil}, Now: now,
		Acts: []place.Activity{
			{Work: 60, Needs: "p", Kit: -1, Hands: -1, Fact: &place.Fact{Begin: 1100, End: 1200, People: []int{0}}},
			{Work: 300, Needs: "p", Kit: -1, Hands: -1, Fact: &place.Fact{Begin: 2*place.Day + 960, People: []int{0}, Left: 180}, Before: []place.Link{{On: 2}}},
			{Work: 60, Needs: "p", Kit: -1, Hands: -1, Agreed: 1 + 3},
			{Work: 60, Needs: "p", Kit: -1, Hands: -1, Agreed: 1 + 2}}}
	plan, _, failure := solve.Search(p, solve.Effort{})
	if failure != solve.None {
		t.Fatal(failure)
	}
	if faults := check.Plan(hoursOf(p), p, plan); len(faults) > 0 {
		t.Fatal(faults)
	}
	if s := plan.Slots[0]; s.Begin != 1100 || s.End != 1200 || len(s.Work) != 1 {
		t.Errorf("done: %+v", s)
	}
	// Monday 16:00 to 17:00 and Tuesday 8:00 to 10:00 are over; three hours are left.
	if s := plan.Slots[1]; s.Begin != 2*place.Day+960 || s.End != 3*place.Day+840 || len(s.Work) != 4 {
		t.Errorf("running: %+v", s)
	}
	if plan.Days != 3 || plan.Visits != 1 || plan.Moved != 1 || plan.Slack[0] != 0 {
		t.Errorf("%+v", plan)
	}
	if b := plan.Least; b.Days != 3 {
		t.Errorf("bound %+v", b)
	}
}

// Two who lack the skills may be in the middle of what takes a pair, and one alone, too: by whom it goes on is a
// fact, and no bound counts the teams there could be.
func TestBoundOfWorkInOtherHands(t *testing.T) {
	p := &place.Problem{Calendar: place.NewCalendar([]place.Span{{From: 480, To: 960}}, 1, [7]bool{true, true, true, true, true, true, true}, nil),
		People: []place.Person{{Skills: "lw"}, {Skills: "lw"}, {Skills: "p"}, {Skills: "p"}}, Shut: [][]bool{nil}, Now: 485}
	for _, who := range [][]int{{0, 1}, {2}, {3}} {
		p.Acts = append(p.Acts, place.Activity{Work: 400, Needs: "lw", Kit: -1, Hands: -1, Fact: &place.Fact{Begin: 480, People: who, Left: 395}})
	}
	for _, e := range []solve.Effort{{Placements: 100}, {Placements: 100, Conflicts: 3000}} {
		if plan, _, _ := solve.Search(again(p), e); plan.Days != 1 || plan.Least.Days != 1 {
			t.Errorf("%d days, bound %+v", plan.Days, plan.Least)
		}
	}
}
