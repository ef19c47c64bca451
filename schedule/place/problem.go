// Package place lays activities into working time, one after the other, each at its earliest. It
// knows activities, waits, people with skills, shared kit, rooms, calendars and facts, says how good a
// plan is, and knows nothing of paint.
package place

import (
	"fmt"
	"slices"
)

// Activity is one piece of work. Times are minutes.
type Activity struct {
	Room     int
	Work     int    // above zero
	Unbroken bool   // may not be stopped for a break or a night
	Needs    string // one letter a person: the skill needed
	Kit      int    // index into Problem.Kits, -1 = none
	Before   []Link // what must be over before it begins
	Wet      []int  // activities that may not touch it in time, both ways
	Touch    int    // until it may touch those after its end
	Hands    int    // group that should have the same people, -1 = none
	From     int    // site minute before which it does not begin
	Fact     *Fact  // nil = not begun
	Agreed   int    // 1 + number of the day, counted from day 0, its start was promised for; 0 = none

	// Found by Prepare.
	After []Link // what waits for it; On is who waits
	Rest  int    // work minutes still to do
	Long  bool   // unbroken, and longer than any span
}

// Fact is an activity that has begun. One that is done lies where it lay, whatever the
// calendar, its waits and its capacities say. One that is running has worked from Begin
// to Problem.Now in the hours of the site; what is left keeps to all the rules from Now
// on, but for the waits, and is placed before all that has not begun.
type Fact struct {
	Begin  int   // site minutes
	End    int   // 0 = running
	People []int // who did it, who goes on with it; nil = nobody knows, anybody may
	Left   int   // work minutes still to do of what is running
}

// Link is a wait for another activity, in site minutes from its end.
type Link struct {
	On    int
	Lag   int // earliest start
	Until int // latest start, 0 = no limit
	// Times gives both for an end at a site minute, where they change with it; then Lag
	// is not above the least of them, and Until only tells that there is one. A later end
	// never makes an earlier start.
	Times func(end int) (lag, until int)
	Daily bool // Times are those of the same minute of any other day
}

// LagAfter is the earliest start after an end at a site minute.
func (l *Link) LagAfter(end int) int {
	if l.Times == nil {
		return l.Lag
	}
	lag, _ := l.Times(end)
	return lag
}

// LatestAfter is the latest start after an end at a site minute; 0 = no limit.
func (l *Link) LatestAfter(end int) int {
	if l.Times == nil || l.Until == 0 {
		return l.Until
	}
	_, until := l.Times(end)
	return until
}

// Late reports whether a start comes too late after an end.
func (l *Link) Late(end, start int) bool { return l.Until > 0 && start > end+l.LatestAfter(end) }

// Person is somebody with skills, one letter each, and days off by count of
// open days.
type Person struct {
	Skills string
	Off    []bool
}

// Problem is all there is to place.
type Problem struct {
	Calendar *Calendar
	Acts     []Activity
	People   []Person
	Shut     [][]bool // by room, by count of open days
	Kits     []int    // how many there are of each
	Groups   int      // of hands
	Now      int      // site minute before which nothing begins that has not begun; 0 = no matter

	// Found by Prepare.
	Order []int // each after what it waits for
	Teams map[string][]team
	Past  past
}

// team is a set of people who can do an activity together, with the orders in
// which they can fill its needs.
type team struct {
	People []int
	Orders [][]int
}

// Able reports whether the people can fill the needs, each by another person.
func (p *Problem) Able(needs string) bool {
	if p.Teams == nil {
		p.Teams = map[string][]team{}
	}
	if _, known := p.Teams[needs]; !known && len(needs) <= min(6, len(p.People)) {
		p.Teams[needs] = p.teamsFor(needs)
	}
	return len(p.Teams[needs]) > 0
}

func (p *Problem) teamsFor(needs string) []team {
	var teams []team
	at := map[string]int{}
	var fill func(chosen []int)
	fill = func(chosen []int) {
		if len(chosen) == len(needs) {
			set := slices.Sorted(slices.Values(chosen))
			key := fmt.Sprint(set)
			i, known := at[key]
			if !known {
				i = len(teams)
				at[key] = i
				teams = append(teams, team{People: set})
			}
			teams[i].Orders = append(teams[i].Orders, slices.Clone(chosen))
			return
		}
		for k := range p.People {
			if !slices.Contains(chosen, k) && slices.Contains([]byte(p.People[k].Skills), needs[len(chosen)]) {
				fill(append(chosen, k))
			}
		}
	}
	fill(nil)
	return teams
}

// Prepare sorts the activities along their waits. It returns one that waits for
// itself, or -1.
func (p *Problem) Prepare() (circle int) {
	waiting := make([]int, len(p.Acts))
	for i := range p.Acts {
		a := &p.Acts[i]
		a.Rest = a.left()
		a.Long = p.Long(a)
		a.After = nil
		p.Able(a.Needs)
	}
	p.Past = p.attended()
	for i := range p.Acts {
		waiting[i] = len(p.Acts[i].Before)
		for _, l := range p.Acts[i].Before {
			p.Acts[l.On].After = append(p.Acts[l.On].After, Link{i, l.Lag, l.Until, l.Times, l.Daily})
		}
	}
	p.Order = make([]int, 0, len(p.Acts))
	for i, w := range waiting {
		if w == 0 {
			p.Order = append(p.Order, i)
		}
	}
	for k := 0; k < len(p.Order); k++ {
		for _, l := range p.Acts[p.Order[k]].After {
			if waiting[l.On]--; waiting[l.On] == 0 {
				p.Order = append(p.Order, l.On)
			}
		}
	}
	return slices.IndexFunc(waiting, func(w int) bool { return w > 0 })
}

// Long reports whether an activity may not be stopped and what is left of it is longer
// than any span.
func (p *Problem) Long(a *Activity) bool { return a.Unbroken && a.left() > p.Calendar.Longest() }

// left is the work minutes still to do.
func (a *Activity) left() int {
	switch {
	case a.Fact == nil:
		return a.Work
	case a.Done():
		return 0
	}
	return max(Grain, a.Fact.Left)
}

// Known is who goes on with an activity that is running, whatever it needs; nil where that is open.
func (a *Activity) Known() []int {
	if a.Running() {
		return a.Fact.People
	}
	return nil
}

// Takes is how many people an activity takes up.
func (a *Activity) Takes() int {
	if who := a.Known(); who != nil {
		return len(who)
	}
	return len(a.Needs)
}

// Running reports whether an activity has begun and is not done.
func (a *Activity) Running() bool { return a.Fact != nil && a.Fact.End == 0 }

// Done reports whether an activity is a fact from start to end.
func (a *Activity) Done() bool { return a.Fact != nil && a.Fact.End > 0 }

// Least is the fewest work minutes an activity takes up. What runs through
// breaks takes whole days and, of the last one, the work minutes from its start.
func (p *Problem) Least(a *Activity) int {
	if !a.Long {
		return a.Rest
	}
	whole, rest := a.Rest/p.Calendar.Stretch(), a.Rest%p.Calendar.Stretch()
	work := whole * p.Calendar.Length
	for _, s := range p.Calendar.Spans {
		work += max(0, min(s.To, p.Calendar.Spans[0].From+rest)-s.From)
	}
	return work
}
