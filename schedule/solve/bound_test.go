package solve_test

import (
	"testing"

	"pgregory.net/rapid"

	"scumble/schedule/place"
	"scumble/schedule/solve"
)

// alone is work of one person in one room.
func alone(work int, unbroken bool, before ...place.Link) place.Activity {
	return place.Activity{Work: work, Unbroken: unbroken, Needs: "p", Kit: -1, Hands: -1, Before: before}
}

func TestBoundsByHand(t *testing.T) {
	for name, c := range map[string]struct {
		acts []place.Activity
		want solve.Bound
	}{
		// 450 of 480 minutes, but each stretch of 240 holds one piece of 150.
		"pieces that leave no room": {[]place.Activity{alone(150, true), alone(150, true), alone(150, true)},
			solve.Bound{Days: 2, By: solve.ByWork, Minutes: 450, Able: 1, Unbroken: true}},
		// Nothing but ten minutes can be done on the first day and on the last: two days for the rest.
		"a head and a tail": {[]place.Activity{alone(10, false), alone(300, false, place.Link{On: 0, Lag: 600}), alone(300, false, place.Link{On: 0, Lag: 600}),
			alone(10, false, place.Link{On: 1, Lag: 600}, place.Link{On: 2, Lag: 600})},
			solve.Bound{Days: 4, By: solve.ByWork, Minutes: 600, Able: 1, Head: 480, Tail: 480}},
	} {
		p := &place.Problem{Calendar: place.NewCalendar([]place.Span{{From: 480, To: 720}, {From: 780, To: 1020}}, 1, [7]bool{true, true, true, true, true, true, true}, nil),
			People: []place.Person{{Skills: "p"}}, Shut: [][]bool{nil}, Acts: c.acts}
		plan, _, _ := solve.Search(p, solve.Effort{Placements: 100})
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
	plan, _, _ := solve.Search(p, solve.Effort{Placements: 100})
	if want := (solve.Bound{Days: 4, By: solve.ByTeam, Needs: "lw", Minutes: 1600, Able: 1}); plan.Least != want || plan.Days != 4 {
		t.Errorf("%+v, want %+v; %d days", plan.Least, want, plan.Days)
	}
}

// No plan that anybody finds, nor one that is proved to be the best, is below the bound.
func TestNoPlanIsBelowTheBound(t *testing.T) {
	met := 0
	rapid.Check(t, func(t *rapid.T) {
		p := drawProblem(t, 7)
		plan, _, failure := solve.Search(p, solve.Effort{Placements: 1000, Conflicts: 300})
		if failure != solve.None {
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

// filler is so much small work in a room that the job is not looked at whole before its rooms are.
func filler(p *place.Problem, room int, needs string) {
	for range 31 {
		p.Acts = append(p.Acts, place.Activity{Room: room, Work: 10, Needs: needs, Kit: -1, Hands: -1})
	}
}

// Three walls that meet, wet until the next morning, take three days, though all the work there is fits on two; work
// of two who are never there together takes two, of one hour and a half in all.
func TestBoundsOfRoomsByHand(t *testing.T) {
	week := [7]bool{true, true, true, true, true, true, true}
	walls := &place.Problem{Calendar: place.NewCalendar([]place.Span{{From: 480, To: 960}}, 1, week, nil),
		People: []place.Person{{Skills: "p"}}, Shut: [][]bool{nil, nil}}
	for i := range 3 {
		a := alone(60, true)
		for k := range 3 {
			if a.Touch = 900; k != i {
				a.Wet = append(a.Wet, k)
			}
		}
		walls.Acts = append(walls.Acts, a)
	}
	filler(walls, 1, "p")
	away := make([]bool, 100)
	for d := range away {
		away[d] = d > 0
	}
	apart := &place.Problem{Calendar: place.NewCalendar([]place.Span{{From: 480, To: 960}}, 1, week, nil),
		People: []place.Person{{Skills: "l", Off: away}, {Skills: "w", Off: []bool{true}}, {Skills: "p"}}, Shut: [][]bool{nil, nil},
		Acts: []place.Activity{{Work: 60, Needs: "l", Kit: -1, Hands: -1}, {Work: 30, Needs: "w", Kit: -1, Hands: -1}}}
	filler(apart, 1, "p")
	for _, c := range []struct {
		name   string
		p      *place.Problem
		days   int
		within bool // dated
	}{{"walls that meet", walls, 3, false}, {"never there together", apart, 2, true}} {
		plan, _, _ := solve.Search(c.p, solve.Effort{Placements: 2000, Conflicts: 4000})
		b := plan.Least
		if b.Days != c.days || b.By != solve.ByRoom || b.Who != 0 || b.Within > 0 != c.within || plan.Days != c.days {
			t.Errorf("%s: %+v; %d days, want %d", c.name, b, plan.Days, c.days)
		}
		if quick, _, _ := solve.Search(c.p, solve.Effort{Placements: 2000}); quick.Least.Days >= c.days {
			t.Errorf("%s: %+v is known without looking at rooms", c.name, quick.Least)
		}
	}
}

// No plan that misses as few windows, and ends in time, is below the bound of a room.
func TestNoPlanIsBelowTheBoundOfARoom(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawProblem(t, 9)
		if !p.Able("p") {
			return
		}
		filler(p, 1, "p")
		plan, _, failure := solve.Search(p, solve.Effort{Placements: 300, Conflicts: 4 * 400})
		if failure != solve.None {
			return
		}
		b := plan.Least
		if b.Days > plan.Days {
			t.Fatalf("bound %+v, a plan has %d days", b, plan.Days)
		}
		other, _, _ := solve.Search(again(p), solve.Effort{Placements: 3000})
		p.Calendar.Extend(other.Finish/place.Day + 1)
		in := b.Within == 0 || p.Calendar.Next[(other.Finish-1)/place.Day] < b.Within
		if other.Days < b.Days && other.Late <= plan.Late && in {
			t.Fatalf("bound %+v with %d windows missed, a plan has %d days with %d", b, plan.Late, other.Days, other.Late)
		}
	})
}
