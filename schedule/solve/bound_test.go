package solve

import (
	"testing"

	"pgregory.net/rapid"

	"scumble/schedule/place"
)

// alone is work of one person in one room.
func alone(work int, unbroken bool, before ...place.Link) place.Activity {
	return place.Activity{Work: work, Unbroken: unbroken, Needs: "p", Kit: -1, Hands: -1, Before: before}
}

func TestBoundsByHand(t *testing.T) {
	for name, c := range map[string]struct {
		acts []place.Activity
		want Bound
	}{
		// 450 of 480 minutes, but each stretch of 240 holds one piece of 150.
		"pieces that leave no room": {[]place.Activity{alone(150, true), alone(150, true), alone(150, true)},
			Bound{Days: 2, By: ByWork, Minutes: 450, Able: 1, Unbroken: true}},
		// Nothing but ten minutes can be done on the first day and on the last: two days for the rest.
		"a head and a tail": {[]place.Activity{alone(10, false), alone(300, false, place.Link{On: 0, Lag: 600}), alone(300, false, place.Link{On: 0, Lag: 600}),
			alone(10, false, place.Link{On: 1, Lag: 600}, place.Link{On: 2, Lag: 600})},
			Bound{Days: 4, By: ByWork, Minutes: 600, Able: 1, Head: 480, Tail: 480}},
	} {
		p := &place.Problem{Calendar: place.NewCalendar([]place.Span{{From: 480, To: 720}, {From: 780, To: 1020}}, 1, [7]bool{true, true, true, true, true, true, true}, nil),
			People: []place.Person{{Skills: "p"}}, Shut: [][]bool{nil}, Acts: c.acts}
		plan, _, _ := Search(p, Effort{Placements: 100})
		if got := plan.Least; got != c.want || plan.Days != got.Days {
			t.Errorf("%s: %+v, want %+v; %d days", name, got, c.want, plan.Days)
		}
	}
}

// Three people make one pair of layer and worker at a time, though two can lay and two can work.
func TestBoundOfTeamsByHand(t *testing.T) {
	p := &place.Problem{Calendar: place.NewCalendar([]place.Span{{From: 480, To: 960}}, 1, [7]bool{true, true, true, true, true, true, true}, nil),
		People: []place.Person{{Skills: "lwp"}, {Skills: "wp"}, {Skills: "lp"}, {Skills: "p"}}, Shut: [][]bool{nil}}
	for range 4 {
		p.Acts = append(p.Acts, place.Activity{Work: 400, Needs: "lw", Kit: -1, Hands: -1})
	}
	plan, _, _ := Search(p, Effort{Placements: 100})
	if want := (Bound{Days: 4, By: ByTeam, Needs: "lw", Minutes: 1600, Able: 1}); plan.Least != want || plan.Days != 4 {
		t.Errorf("%+v, want %+v; %d days", plan.Least, want, plan.Days)
	}
}

// teamsAtOnce is as many teams as can be picked one after the other, in the best order.
func TestTeamsAtOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := &place.Problem{}
		for range rapid.IntRange(1, 6).Draw(t, "people") {
			p.People = append(p.People, place.Person{Skills: rapid.SampledFrom([]string{"l", "w", "p", "lw", "lp", "wp", "lwp"}).Draw(t, "skills")})
		}
		needs := rapid.SampledFrom([]string{"lw", "ww", "lwp", "lp", "lll"}).Draw(t, "needs")
		p.Able(needs)
		var most func(taken int) int
		most = func(taken int) (best int) {
			for _, team := range p.Teams[needs] {
				set := 0
				for _, who := range team.People {
					set |= 1 << who
				}
				if taken&set == 0 {
					best = max(best, 1+most(taken|set))
				}
			}
			return best
		}
		if got, want := teamsAtOnce(p, needs), most(0); got != want {
			t.Fatalf("%d teams, want %d", got, want)
		}
	})
}

// No plan that anybody finds, nor one that is proved to be the best, is below the bound.
func TestNoPlanIsBelowTheBound(t *testing.T) {
	met := 0
	rapid.Check(t, func(t *rapid.T) {
		p := drawProblem(t, 7)
		plan, _, failure := Search(p, Effort{Placements: 1000, Conflicts: 300})
		if failure != None {
			t.Fatal(failure)
		}
		b := plan.Least
		if b.Days > plan.Days {
			t.Fatalf("bound %+v, a plan has %d days", b, plan.Days)
		}
		if b.Days == plan.Days {
			met++
		}
	})
	if met < 20 {
		t.Errorf("%d bounds of 100 are met", met)
	}
}
