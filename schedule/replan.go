package schedule

import (
	"slices"

	"scumble/job"
	"scumble/schedule/place"
	"scumble/schedule/solve"
)

// search looks for a programme. Where days were agreed it looks at three, for nothing is to
// move without need: the one there would be had nothing been done and nothing agreed, where
// it fits what was done; one with its order, in which no step begins before its time there;
// and one without regard to it, which may be shorter. Each has the whole effort.
func (n *network) search(e Effort, before func() (*network, error)) (*network, *solve.Plan, error) {
	if !slices.ContainsFunc(n.Acts, func(a place.Activity) bool { return a.Fact == nil && a.Agreed > 0 }) {
		solved, err := n.solve(e, nil)
		return n, solved, err
	}
	at, best, err := n, (*solve.Plan)(nil), error(nil)
	try := func(n *network, p *solve.Plan, wrong error) {
		switch {
		case wrong != nil:
			err = wrong
		case best == nil || better(p, best):
			at, best = n, p
		}
	}
	var was *solve.Plan
	if first, wrong := before(); wrong == nil {
		was, _ = first.solve(Effort{Placements: e.Placements, Conflicts: e.Conflicts, Stop: e.Stop}, nil)
	}
	if was != nil && n.fits(was) {
		best = n.asAgreed(was)
	} else {
		kept, own := n.keeping(was), e
		own.Conflicts = 0 // what is proved where days are kept holds nowhere else
		p, wrong := kept.solve(own, nil)
		try(kept, p, wrong)
	}
	p, wrong := n.solve(e, best)
	if try(n, p, wrong); best == nil {
		return n, nil, err
	}
	return at, best, nil
}

// solve is one search; those watching see only what is better than a plan found before.
func (n *network) solve(e Effort, before *solve.Plan) (*solve.Plan, error) {
	spend := solve.Effort{Placements: e.Placements, Conflicts: e.Conflicts, Stop: e.Stop}
	if e.Watch != nil {
		spend.Watch = func(p *solve.Plan) {
			if before == nil || better(p, before) {
				e.Watch(n.programme(p))
			}
		}
	}
	solved, at, failure := solve.Search(&n.Problem, spend)
	switch failure {
	case solve.Circle:
		n.fault("%s: waits in a circle for itself: correct the waits of its technique", n.planned[at].step.ID)
	case solve.Endless:
		n.fault("the work does not end within a century of open days: check the dates on which rooms are shut and people are off")
	}
	return solved, n.err()
}

// better is the order of solve, as far as those outside can see it.
func better(a, b *solve.Plan) bool {
	return slices.Compare([]int{a.Late, a.Days*place.MovesWorthADay + a.Moved, a.Visits, (a.Finish - 1) / day, a.Idle, a.Moves, a.Finish},
		[]int{b.Late, b.Days*place.MovesWorthADay + b.Moved, b.Visits, (b.Finish - 1) / day, b.Idle, b.Moves, b.Finish}) < 0
}

// unbegun is a job with nothing done and nothing agreed.
func unbegun(j *job.Job) *job.Job {
	was := *j
	was.Diary, was.Agreed, was.Crew.From = nil, nil, ""
	was.Rooms = slices.Clone(j.Rooms)
	for r := range was.Rooms {
		was.Rooms[r].Walls = slices.Clone(was.Rooms[r].Walls)
		for k := range was.Rooms[r].Walls {
			w := &was.Rooms[r].Walls[k]
			w.Done, w.Ended = "", ""
			if w.Dado != nil {
				d := *w.Dado
				d.Done, d.Ended = "", ""
				w.Dado = &d
			}
		}
	}
	return &was
}

// fits reports whether all that has begun went as in a plan, and the rest of it is still ahead.
func (n *network) fits(p *solve.Plan) bool {
	for i := range n.Acts {
		f, s := n.Acts[i].Fact, &p.Slots[i]
		if f == nil {
			if s.Begin < n.Now {
				return false
			}
			continue
		}
		left := 0
		for _, w := range s.Work {
			left += max(0, w.To-max(w.From, n.Now))
		}
		if f.Begin != s.Begin || !sameHands(f.People, s.People) || f.End > 0 && f.End != s.End || f.End == 0 && f.Left != left {
			return false
		}
	}
	return true
}

func sameHands(noted, planned []int) bool {
	return noted == nil || slices.Equal(noted, planned)
}

// asAgreed is a plan with the agreed days counted.
func (n *network) asAgreed(p *solve.Plan) *solve.Plan {
	kept := *p
	kept.Moved, kept.Proof = 0, solve.Proof{}
	for i := range n.Acts {
		if a := n.Acts[i].Agreed; a > 0 && p.Slots[i].Begin/day != a-1 {
			kept.Moved++
		}
	}
	return &kept
}

// keeping is the network with no step begun before the day agreed for it, nor where a plan of
// before has it on that day before its hour there.
func (n *network) keeping(was *solve.Plan) *network {
	kept := *n
	kept.Acts = slices.Clone(n.Acts)
	kept.faults = nil
	for i := range kept.Acts {
		a := &kept.Acts[i]
		if a.Fact != nil || a.Agreed == 0 {
			continue
		}
		from := (a.Agreed - 1) * day
		if was != nil && was.Slots[i].Begin/day == a.Agreed-1 {
			from = was.Slots[i].Begin
		}
		a.From = max(a.From, from)
	}
	return &kept
}
