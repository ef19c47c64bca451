package solve

import (
	"slices"

	"scumble/schedule/exact"
	"scumble/schedule/model"
	"scumble/schedule/place"
)

// Proof is how much of a plan is known to be as good as can be, of all plans that end within
// the open days looked at: first the windows missed, then the days, and so on.
type Proof struct {
	Late, Days, Visits, Finish bool
	Within                     int // open days
	Conflicts                  int // dead ends met
}

// What the exact search looks at (own defaults).
const (
	provable     = 90   // activities not done that are looked at whole
	largest      = 200  // likewise, where a plan is nearly proved
	moreDays     = 30   // open days beyond the end of the plan it starts from
	easy         = 30   // activities not done; of more, plans nearby are looked for first
	cheap        = 4    // times as many dead ends may be met, up to there
	nearShare    = 2    // part of the effort that goes to them
	roomShare    = 4    // rooms alone, before them
	lateShare    = 3    // part of what is left that windows missed may take, then
	bareShare    = 4    // the work alone, and
	daysShare    = 2    // each question about days, of all work or of a room
	followedEach = 1000 // growths of bounds count for a dead end in a large problem
)

// prove looks for better plans than the best one until there is none, one part of the goal
// after the other, and tells how far it came.
func (s *search) prove() (proof Proof) {
	open := 0
	for i := range s.Acts {
		if !s.Acts[i].Done() {
			open++
		}
	}
	if s.effort.Conflicts <= 0 || open == 0 {
		return Proof{}
	}
	q := &questions{search: s, left: s.effort.Conflicts}
	if open <= easy {
		q.left *= cheap
	}
	all := q.left
	q.look()
	if open > easy && q.left/roomShare >= nearConflicts {
		q.share(roomShare, q.rooms)
	}
	if open > easy && open <= largest {
		q.left -= s.nearby(q.left / nearShare)
	}
	agreed := slices.ContainsFunc(s.Acts, func(a place.Activity) bool { return a.Agreed > 0 })
	if open > provable && (agreed || !q.nearly(open)) {
		s.nearby(q.left)
		return Proof{}
	}
	q.large = open > provable
	defer func() { proof.Within, proof.Conflicts = q.within, all-q.left }()
	q.look()
	proof.Late = q.late()
	if agreed {
		return proof // what was agreed weighs against days
	}
	proof.Days = q.days()
	if m := q.model(s.Problem, s.best.goal.Days); m != nil {
		proof.Visits = q.settle(m, m.Visits, func(g place.Goal) int { return g.Visits })
		proof.Finish = q.settle(m, m.Finish, m.FinishDay) && proof.Visits
	}
	return proof
}

// questions are what is asked of the exact engine about one problem.
type questions struct {
	*search
	within int  // open days looked at
	left   int  // dead ends that may still be met
	large  bool // a dead end takes the longer the larger the problem, so that what it takes is counted, too
}

// nearly tells of a large problem whether its plan is at most a day from being proved. Then it is looked at
// whole: that day, and visits, are often found where no question about neighbours leads.
func (q *questions) nearly(open int) bool {
	g := &q.best.goal
	return open <= largest && q.effort.Conflicts >= nearConflicts && g.Late == 0 && g.Days <= q.least.Days+1
}

// look settles how many open days are looked at.
func (q *questions) look() {
	q.within = q.Calendar.Count((q.best.goal.Finish-1)/place.Day) + 1 + moreDays
}

// rooms asks about each room by itself, with all the crew for it: a job needs no fewer days than one of its rooms.
func (q *questions) rooms() bool {
	for r := range q.Shut {
		if q.best.daysOf(r) <= q.least.Days { // the plan shows that it needs no more
			continue
		}
		room, _ := model.Part(q.Problem, func(i int) bool { return q.Acts[i].Fact != nil || q.Acts[i].Room == r })
		room.Prepare()
		q.bare(room, Bound{By: ByRoom, Who: r})
		for q.best.daysOf(r) > q.least.Days && q.left > 0 && !q.stop() {
			m := q.model(room, q.least.Days)
			if m == nil {
				break
			}
			status, _ := m.Solver.Search(exact.Limit{Conflicts: q.left / daysShare, First: m.Firsts(), Stop: q.stop})
			if q.left -= max(nearLeast, m.Conflicts); status != exact.None {
				break
			}
			q.least = Bound{Days: q.least.Days + 1, By: ByRoom, Who: r, Within: q.within}
		}
	}
	return q.least.Days >= q.best.goal.Days
}

// bare lifts the bound by the work of some activities alone, with no room shut, nobody away and no window.
func (q *questions) bare(p *place.Problem, by Bound) {
	before := q.Past.Before
	days, spent := model.Fewest(p, max(1, q.least.Days-before), q.left/bareShare, q.stop)
	if q.left -= max(nearLeast, spent); before+days > q.least.Days {
		by.Days = before + days
		q.least = by
	}
}

// daysOf counts the days on which somebody is at work in a room or on what has begun.
func (a *attempt) daysOf(room int) int {
	days := map[int]bool{}
	for d, open := range a.Past.Open {
		if open {
			days[d] = true
		}
	}
	for i := range a.Slots {
		if a.Acts[i].Room == room || a.Acts[i].Fact != nil {
			a.Slots[i].Days(a.Calendar.Length, func(d int) { days[d] = true })
		}
	}
	return len(days) + len(a.Past.Closed)
}

// late finds the fewest windows missed.
func (q *questions) late() bool {
	if q.best.goal.Late == 0 {
		return true
	}
	m := model.New(q.Problem, q.within, model.Scope{Crew: true, Gear: true})
	if m == nil {
		return false
	}
	return q.share(lateShare, func() bool {
		return q.settle(m, m.Lates, func(g place.Goal) int { return g.Late })
	})
}

// share lets a question spend a part of what is left.
func (q *questions) share(part int, ask func() bool) bool {
	kept := q.left - q.left/part
	q.left -= kept
	done := ask()
	q.left += kept
	return done
}

// days finds the fewest days: first for the work alone, then with rooms shut, people away and windows.
func (q *questions) days() bool {
	if q.least.Days < q.best.goal.Days && !q.large {
		q.bare(q.Problem, Bound{By: ByOrder})
	}
	for q.best.goal.Days > q.least.Days {
		m := q.model(q.Problem, q.best.goal.Days-1)
		if m == nil {
			return false
		}
		var status exact.Status
		q.share(daysShare, func() bool { status = q.ask(m); return true })
		switch status {
		case exact.None:
			return true
		case exact.Open:
			return !q.large && q.share(daysShare, q.fewer) || q.best.goal.Days <= q.least.Days
		}
	}
	return true
}

// fewer looks for fewer days, however many.
func (q *questions) fewer() bool {
	m := model.New(q.Problem, q.within, model.Scope{Crew: true, Gear: true})
	m.Clause(m.Lates.AtMost(q.best.goal.Late))
	return q.settle(m, m.Days, func(g place.Goal) int { return g.Days - len(q.Past.Closed) })
}

// model is the problem, or a part of it, with so many days attended and no more windows missed than by the best plan.
func (q *questions) model(p *place.Problem, days int) *model.Model {
	sc := model.Scope{Crew: true, Gear: true}
	if p.Past.Days == 0 {
		sc.Attend = days
	}
	m := model.New(p, q.within, sc)
	if m != nil {
		m.Clause(m.Days.AtMost(days - len(p.Past.Closed)))
		m.Clause(m.Lates.AtMost(q.best.goal.Late))
	}
	return m
}

// settle makes one part of the goal as small as can be, and keeps it so.
func (q *questions) settle(m *model.Model, v exact.Var, now func(g place.Goal) int) bool {
	for {
		status := q.ask(m, v.AtMost(now(q.best.goal)-1))
		if status != exact.Found {
			m.Clause(v.AtMost(now(q.best.goal)))
			return status == exact.None
		}
	}
}

// ask looks for a plan that is better than the best.
func (q *questions) ask(m *model.Model, assumed ...exact.Lit) exact.Status {
	m.GuideBy(q.best.Board)
	conflicts, followed := m.Conflicts, m.Followed
	limit := exact.Limit{Conflicts: q.left, First: m.Firsts(), Stop: q.stop}
	if q.large {
		limit.Followed = q.left * followedEach
	}
	status, _ := m.Solver.Search(limit, assumed...)
	spent := m.Conflicts - conflicts
	if q.large {
		spent = max(spent, (m.Followed-followed)/followedEach)
	}
	if q.left -= spent; status != exact.Found {
		return status
	}
	a := &attempt{Board: m.Board(q.Problem)}
	if a.Endless {
		return exact.Open // the model is looser than a plan can be
	}
	if a.weigh(); !a.goal.Less(q.best.goal) {
		return exact.Open
	}
	q.note(a)
	return status
}
