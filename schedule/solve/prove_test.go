package solve_test

import (
	"testing"

	"pgregory.net/rapid"

	"scumble/schedule/check"
	"scumble/schedule/model"
	"scumble/schedule/place"
	"scumble/schedule/solve"
)

// No plan that another search finds is better than one that was proved, in what was proved.
func TestNothingBeatsAProof(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawProblem(t, 8)
		proved, _, failure := solve.Search(p, solve.Effort{Placements: 20, Conflicts: 3000})
		if failure != solve.None {
			return
		}
		if faults := check.Plan(hoursOf(p), p, proved); len(faults) > 0 {
			t.Fatalf("%v", faults)
		}
		other, _, _ := solve.Search(p, solve.Effort{Placements: rapid.IntRange(1, 3000).Draw(t, "placements")})
		p.Calendar.Extend(other.Finish/place.Day + 1)
		if p.Calendar.Next[(other.Finish-1)/place.Day] >= proved.Proof.Within {
			return
		}
		a := []int{proved.Late, proved.Days, proved.Visits, (proved.Finish - 1) / place.Day}
		b := []int{other.Late, other.Days, other.Visits, (other.Finish - 1) / place.Day}
		for k, sure := range []bool{proved.Proof.Late, proved.Proof.Days, proved.Proof.Visits, proved.Proof.Finish} {
			if !sure || b[k] > a[k] {
				return
			}
			if b[k] < a[k] {
				t.Fatalf("part %d of %v is said to be the least, and there is %v", k, a, b)
			}
		}
	})
}

// What cannot all hold is not kept by any plan that is found.
func TestContradictionsAreReal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawProblem(t, 7)
		plan, _, failure := solve.Search(p, solve.Effort{Placements: 2000})
		if failure != solve.None {
			return
		}
		p.Calendar.Extend(plan.Finish/place.Day + 1)
		rules := model.Contradiction(p, 0, p.Calendar.Next[plan.Finish/place.Day]+2, nil)
		if len(rules) > 0 && plan.Late == 0 {
			t.Fatalf("%v cannot all hold, and %+v keeps them", rules, plan)
		}
	})
}
