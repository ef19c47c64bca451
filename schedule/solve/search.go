// Package solve looks for the best plan of a problem: by rules, by disturbing what it has found, by
// questions to the exact engine about a plan's neighbours and about the whole; and says how near the best
// possible it came.
package solve

import (
	"slices"

	"scumble/schedule/place"
)

// Effort is what a search may spend, counted in placed activities, so that the answer
// does not depend on the machine. One plan is built at least.
type Effort struct {
	Placements int         // activities placed, over all plans that are built
	Conflicts  int         // dead ends the proof may meet; of a small job, where they are cheap, four times as many
	Stop       func() bool // asked between two plans; true ends the search; nil = never
	Watch      func(*Plan) // told each plan that is better than all before; nil = nobody
}

// Plan is a problem solved.
type Plan struct {
	Slots  []place.Slot // by activity
	Slack  []int        // by activity, work minutes: see slacks
	Late   int          // waits whose latest start is missed
	Days   int          // with work in them
	Visits int          // runs of them without an open day left out
	Moved  int          // activities that start on another day than agreed
	Idle   int          // work minutes of people between their first and their last work of a day
	Moves  int          // of people from room to room on one day
	Finish int          // site minute
	Least  Bound
	Proof  Proof
}

// Failure is why there is no plan.
type Failure int

// The failures of Search.
const (
	None    Failure = iota
	Circle          // an activity waits for itself; Search returns which
	Endless         // the work does not end within a century of open days
)

// Search builds plans by several rules and then by disturbing what it has found, asks the exact engine for better
// ones, and tidies the best. What it builds does not depend on how much it may spend, so that more to build
// never gives a worse plan to ask about. Every person's needs must be Able.
func Search(p *place.Problem, e Effort) (plan *Plan, at int, failure Failure) {
	if at := p.Prepare(); at >= 0 {
		return nil, at, Circle
	}
	if len(p.Acts) == 0 {
		return &Plan{Least: bound(p)}, -1, None
	}
	last := 0
	if e.Conflicts >= nearConflicts {
		last = e.Placements / tidyLast
	}
	s := &search{Problem: p, chance: chance{1}, effort: &e, left: e.Placements - last, mirror: &mirror{last: -1}}
	for range 4 {
		s.pool = append(s.pool, &attempt{Board: place.NewBoard(p)})
	}
	s.least = bound(p)
	if s.construct(); s.best == nil {
		return nil, -1, Endless
	}
	s.improve()
	proof := s.prove()
	s.tidy(last)
	made := s.plan()
	made.Proof = proof
	return made, -1, None
}

// search is one run.
type search struct {
	*place.Problem
	chance
	effort *Effort
	left   int  // placements that may still be made
	over   bool // Stop said so
	pool   []*attempt
	best   *attempt
	now    *attempt // what is disturbed next
	mirror *mirror
	found  int // best plans so far
	least  Bound
	moved  int // of them tried on earlier days
}

// attempt is a plan with the way it was built.
type attempt struct {
	*place.Board
	goal   place.Goal
	score  float64
	worked []int // minutes by open day, of all people
}

// going reports whether another plan may be built.
func (s *search) going() bool {
	if s.best == nil {
		return true
	}
	return s.left > len(s.Acts) && !s.stop()
}

// stop reports whether the search is to end; once it is, nobody is asked again.
func (s *search) stop() bool {
	s.over = s.over || s.effort.Stop != nil && s.effort.Stop()
	return s.over
}

// spare is an attempt that is free to be built anew.
func (s *search) spare(not *attempt) *attempt {
	at := slices.IndexFunc(s.pool, func(a *attempt) bool { return a != s.best && a != s.now && a != not })
	return s.pool[at]
}

// build makes the plan of an attempt and notes it if it is the best; false when it does
// not end.
func (s *search) build(a *attempt) bool {
	s.left -= len(s.Acts) + 1
	a.Fill()
	if a.Endless {
		return false
	}
	a.weigh()
	if s.best == nil || a.goal.Less(s.best.goal) {
		s.note(a)
	}
	return true
}

// note keeps a plan that is better than all before.
func (s *search) note(a *attempt) {
	s.best = a
	s.found++
	if a.goal.Days < s.least.Days { // it ends later than was looked at for the bound
		s.least = bound(s.Problem)
	}
	if s.effort.Watch != nil {
		s.effort.Watch(s.plan())
	}
}

// plan is the best plan for those outside.
func (s *search) plan() *Plan {
	a := s.best
	slots := slices.Clone(a.Slots)
	for i := range slots {
		slots[i].Why = a.Why(i)
		slots[i].Work = a.Stretches(&a.Acts[i], &slots[i])
	}
	g := &a.goal
	return &Plan{Slots: slots, Slack: a.Slacks(), Late: g.Late, Days: g.Days, Visits: g.Visits, Moved: g.Moved, Idle: g.Idle, Moves: g.Moves, Finish: g.Finish, Least: s.least}
}

// What the search counts for better while it wanders, in site days (own defaults,
// settled on the demonstration, on parts of it and with other crews).
const (
	scoreLate   = 1    // a window missed
	scoreVisit  = 0.2  // a visit
	scoreFinish = 0.05 // the finish later by a calendar day
	scoreMoved  = 0.05 // a start on another day than agreed
)

// weigh finds how good an attempt is. To the score full days are better than half ones:
// emptying a day by and by is the way to do without it.
func (a *attempt) weigh() {
	a.worked = a.Attendance(a.worked[:0])
	a.goal = a.Measure(a.worked)
	full := float64(a.Calendar.Length * len(a.People))
	a.score = scoreLate*float64(a.goal.Late) + float64(a.goal.Days) + scoreVisit*float64(a.goal.Visits) +
		scoreFinish*float64(a.goal.Finish)/place.Day + scoreMoved*float64(a.goal.Moved)
	for _, m := range a.worked {
		a.score -= float64(m) / full * float64(m) / full
	}
}

// construct builds a plan by each rule, first with what has a latest start at once
// behind what it waits for, then strictly by the rule.
func (s *search) construct() {
	agreed := slices.ContainsFunc(s.Acts, func(a place.Activity) bool { return a.Agreed > 0 })
	for _, w := range []place.Way{{Near: true, Worth: place.MoveWorth}, {Worth: place.MoveWorth}} {
		for _, hold := range []bool{true, false} {
			if hold && !agreed {
				continue
			}
			for _, key := range rules(s.Problem) {
				if !s.going() {
					return
				}
				a := s.spare(nil)
				a.Near, a.Worth, a.Hold, a.Drop = w.Near, w.Worth, hold, a.Drop[:0]
				copy(a.Key, key)
				clear(a.Floor)
				if !s.build(a) && s.left <= len(s.Acts) {
					return
				}
			}
		}
	}
}
