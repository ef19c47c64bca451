package solve_test

import (
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"scumble/schedule/check"
	"scumble/schedule/place"
	"scumble/schedule/solve"
)

// order is a plan as a crew would weigh it.
func order(p *solve.Plan) []int {
	return []int{p.Late, p.Days*place.MovesWorthADay + p.Moved, p.Visits, (p.Finish - 1) / place.Day, p.Idle, p.Moves}
}

// again is a problem nobody has worked on yet.
func again(p *place.Problem) *place.Problem {
	q := &place.Problem{Calendar: place.NewCalendar(p.Calendar.Spans, p.Calendar.Weekday, p.Calendar.Weekly, p.Calendar.Closed),
		People: p.People, Shut: p.Shut, Kits: p.Kits, Groups: p.Groups, Now: p.Now}
	for _, a := range p.Acts {
		a.After = nil
		q.Acts = append(q.Acts, a)
	}
	return q
}

func TestMoreEffortIsNeverWorse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawProblem(t, 9)
		var before *solve.Plan
		for placements := 0; placements < 2000; placements += 10 + placements/10 {
			plan, _, _ := solve.Search(again(p), solve.Effort{Placements: placements})
			if before != nil && slices.Compare(order(plan), order(before)) > 0 {
				t.Fatalf("%v at %d, %v before", order(plan), placements, order(before))
			}
			before = plan
		}
		once, _, _ := solve.Search(again(p), solve.Effort{Placements: 2000})
		twice, _, _ := solve.Search(again(p), solve.Effort{Placements: 2000})
		if !reflect.DeepEqual(once, twice) {
			t.Fatalf("the same problem has two plans: %+v and %+v", once, twice)
		}
	})
}

func TestWatchIsToldBetterPlansAndStopEndsTheSearch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawProblem(t, 12)
		var told []*solve.Plan
		asked, stopAt := 0, rapid.IntRange(1, 60).Draw(t, "stop")
		plan, _, _ := solve.Search(p, solve.Effort{Placements: 1 << 40,
			Stop:  func() bool { asked++; return asked >= stopAt },
			Watch: func(p *solve.Plan) { told = append(told, p) }})
		if asked > stopAt {
			t.Fatalf("asked %d times, the answer was to stop at %d", asked, stopAt)
		}
		for k, p2 := range told {
			if k > 0 && slices.Compare(order(p2), order(told[k-1])) > 0 {
				t.Fatalf("%v was told after %v", order(p2), order(told[k-1]))
			}
			if faults := check.Plan(hoursOf(p), p, p2); len(faults) > 0 {
				t.Fatal(faults)
			}
		}
		if len(told) == 0 || !reflect.DeepEqual(told[len(told)-1], plan) {
			t.Fatalf("the plan is not the last that was told")
		}
	})
}

// The order in which activities are given is of no account to the rules.
func TestAnyOrderOfActivitiesIsPlanned(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawProblem(t, 9)
		at := rapid.Permutation(numbers(len(p.Acts))).Draw(t, "order")
		q := again(p)
		for i, a := range p.Acts {
			a.Before, a.Wet = slices.Clone(a.Before), slices.Clone(a.Wet)
			for k := range a.Before {
				a.Before[k].On = at[a.Before[k].On]
			}
			for k := range a.Wet {
				a.Wet[k] = at[a.Wet[k]]
			}
			q.Acts[at[i]] = a
		}
		plan, _, failure := solve.Search(q, solve.Effort{Placements: 300})
		if failure != solve.None {
			t.Fatal(failure)
		}
		if faults := check.Plan(hoursOf(q), q, plan); len(faults) > 0 {
			t.Fatal(faults)
		}
		if least := plan.Least.Days; plan.Days < least {
			t.Fatalf("%d days, the bound is %d", plan.Days, least)
		}
	})
}

func numbers(n int) (list []int) {
	for i := range n {
		list = append(list, i)
	}
	return list
}

// Bare promises: with time to spare, everything starts on the day agreed.
func TestAgreedDaysAreKept(t *testing.T) {
	p := &place.Problem{
		Calendar: place.NewCalendar([]place.Span{{From: 480, To: 960}}, 1, [7]bool{false, true, true, true, true, true, false}, nil),
		People:   []place.Person{{Skills: "p"}}, Shut: [][]bool{nil}}
	for k := range 6 {
		p.Acts = append(p.Acts, place.Activity{Work: 160, Needs: "p", Kit: -1, Hands: -1, Agreed: 1 + (k+1)%2})
	}
	plan, _, _ := solve.Search(p, solve.Effort{Placements: 2000})
	if plan.Days != 2 || plan.Moved != 0 {
		t.Errorf("%d days, %d moved: %+v", plan.Days, plan.Moved, plan.Slots)
	}
}
