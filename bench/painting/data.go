package main

import (
	"fmt"
	"slices"
	"strings"

	"scumble/schedule/place"
	"scumble/schedule/trial"
)

const (
	day  = 24 * 60
	slot = 30 // minutes of the other solver's clock
)

// clock is the calendar of a job in slots, as far as the other solver looks.
type clock struct {
	open   []int // day numbers of the open days
	begins []int // minute of the day at which a working slot begins
	ends   []int // by slots done, from 1: minute of the day at which they are
}

// newClock reaches so far that no plan of at most so many days with work gains by going
// further. Beyond the last day that differs from its weekday every week is alike, so that a
// gap between two days with work that is longer than the longest wait and a week can be
// made shorter by a week with all behind it.
func newClock(j *trial.Job, days int) *clock {
	gap, special := 0, 0
	for number := range j.Hours.Closed {
		special = max(special, number)
	}
	open, number := []int{}, 0
	upTo := func(last int) {
		for ; number <= last || len(open) == 0; number++ {
			if j.Hours.Open(number) {
				open = append(open, number)
			}
		}
	}
	masks := slices.Clone(j.Problem.Shut)
	for _, who := range j.Problem.People {
		masks = append(masks, who.Off)
	}
	for _, mask := range masks {
		for len(open) < len(mask) {
			upTo(number)
		}
		if len(mask) > 0 {
			special = max(special, open[len(mask)-1])
		}
	}
	for i := range j.Problem.Acts {
		a := &j.Problem.Acts[i]
		special, gap = max(special, a.From/day), max(gap, a.Touch)
		for _, l := range a.Before {
			for at := range day { // the waits of a day are those of all days
				gap = max(gap, l.LagAfter(at))
			}
		}
	}
	upTo(special + 7 + days*(7+(gap+day-1)/day))
	c := &clock{open: open}
	for _, s := range j.Hours.Spans {
		for at := s.From; at < s.To; at += slot {
			c.begins, c.ends = append(c.begins, at), append(c.ends, at+slot)
		}
	}
	return c
}

// bounds are what the other solver is asked for and what stands already.
type bounds struct {
	relaxed                          bool
	goal, days                       int
	mostLate, mostVisits, mostFinish int
}

// data writes a job for painting.mzn.
func data(j *trial.Job, c *clock, b bounds) string {
	p, n := j.Problem, len(j.Problem.Acts)
	var out strings.Builder
	put := func(name string, value any) { fmt.Fprintf(&out, "%s=%v;\n", name, value) }
	put("n", n)
	put("D", len(c.open))
	put("L", len(c.begins))
	put("C", (c.open[len(c.open)-1]+15)*day/slot)
	put("P", len(p.People))
	dawn := make([]int, len(c.open))
	for k, number := range c.open {
		dawn[k] = number * day
	}
	put("dawn", fmt.Sprintf("array1d(0..D-1,%s)", slots(dawn)))
	put("begins", fmt.Sprintf("array1d(0..L-1,%s)", slots(c.begins)))
	put("ends", slots(c.ends))
	var work, least, kit []int
	var offsets, shut, teamsOf, off []string
	var breakable []bool
	teams := newTeams(p)
	for i := range p.Acts {
		a := &p.Acts[i]
		work, least, kit = append(work, a.Work), append(least, a.From), append(kit, a.Kit+1)
		breakable = append(breakable, !a.Unbroken)
		offsets = append(offsets, set(c.offsets(j, a)))
		shut = append(shut, set(marks(p.Shut[a.Room])))
		teamsOf = append(teamsOf, set(teams.of(a.Needs)))
	}
	for _, who := range p.People {
		off = append(off, set(marks(who.Off)))
	}
	put("work", slots(work))
	put("breakable", list(breakable))
	put("offsets", list(offsets))
	put("shut", list(shut))
	put("least", slots(least))
	put("M", len(teams.sets))
	var sets []string
	for _, t := range teams.sets {
		sets = append(sets, set(t))
	}
	put("team", list(sets))
	put("teams", list(teamsOf))
	put("off", list(off))
	put("G", len(p.Kits))
	put("kits", list(p.Kits))
	put("kit", list(kit))
	waits(p, c, put)
	put("relaxed", b.relaxed)
	put("goal", b.goal)
	put("mostLate", b.mostLate)
	put("K", b.days)
	put("mostVisits", b.mostVisits)
	put("mostFinish", b.mostFinish/slot)
	return out.String()
}

// waits writes the links and the wet corners.
func waits(p *place.Problem, c *clock, put func(string, any)) {
	var on, next, lag, until, changing, a, b, touchA, touchB []int
	var dry []int
	for i := range p.Acts {
		for _, l := range p.Acts[i].Before {
			limit := -slot
			if l.Until > 0 {
				limit = l.LatestAfter(0) // the same for every end, see trial
			}
			on, next, lag, until = append(on, l.On+1), append(next, i+1), append(lag, l.Lag), append(until, limit)
			if l.Times == nil {
				continue
			}
			changing = append(changing, len(on))
			for _, end := range c.ends {
				dry = append(dry, l.LagAfter(end))
			}
		}
		for _, k := range p.Acts[i].Wet {
			if k < i {
				a, b = append(a, k+1), append(b, i+1)
				touchA, touchB = append(touchA, p.Acts[k].Touch), append(touchB, p.Acts[i].Touch)
			}
		}
	}
	put("A", len(on))
	put("on", list(on))
	put("next", list(next))
	put("lag", slots(lag))
	put("until", slots(until))
	put("V", len(changing))
	put("changing", list(changing))
	put("dry", fmt.Sprintf("array2d(1..V,1..L,%s)", slots(dry)))
	put("U", len(a))
	put("wetA", list(a))
	put("wetB", list(b))
	put("touchA", slots(touchA))
	put("touchB", slots(touchB))
}

// offsets are the slots of a day at which a step may begin.
func (c *clock) offsets(j *trial.Job, a *place.Activity) (may []int) {
	at := 0
	for _, s := range j.Hours.Spans {
		for m := s.From; m < s.To; m += slot {
			if !a.Unbroken || m+a.Work <= s.To { // what may stop goes on for a slot at least
				may = append(may, at)
			}
			at++
		}
	}
	return may
}

// marks are the days that are marked.
func marks(mask []bool) (list []int) {
	for d, is := range mask {
		if is {
			list = append(list, d)
		}
	}
	return list
}

// teams are the sets of people, numbered from 1, that can fill some needs.
type teams struct {
	p    *place.Problem
	sets [][]int
	by   map[string][]int
}

func newTeams(p *place.Problem) *teams { return &teams{p: p, by: map[string][]int{}} }

func (t *teams) of(needs string) []int {
	if t.by[needs] == nil {
		for mask := range 1 << len(t.p.People) {
			var people []int
			for k := range t.p.People {
				if mask>>k&1 == 1 {
					people = append(people, k)
				}
			}
			if len(people) == len(needs) && t.order(people, needs) != nil {
				for k := range people {
					people[k]++
				}
				t.sets = append(t.sets, people)
				t.by[needs] = append(t.by[needs], len(t.sets))
			}
		}
	}
	return t.by[needs]
}

// order is the people in an order in which each has the skill in that place; nil = none.
func (t *teams) order(people []int, needs string) []int {
	if needs == "" {
		return []int{}
	}
	for k, who := range people {
		if strings.Contains(t.p.People[who].Skills, needs[:1]) {
			rest := t.order(slices.Delete(slices.Clone(people), k, k+1), needs[1:])
			if rest != nil {
				return append([]int{who}, rest...)
			}
		}
	}
	return nil
}

func list[T any](values []T) string {
	words := make([]string, len(values))
	for k, v := range values {
		words[k] = fmt.Sprint(v)
	}
	return "[" + strings.Join(words, ",") + "]"
}

// slots writes minutes in slots. They are multiples, or the other solver would answer
// another question.
func slots(minutes []int) string {
	whole := make([]int, len(minutes))
	for k, m := range minutes {
		if m%slot != 0 {
			panic(fmt.Sprintf("%d minutes are no multiple of %d", m, slot))
		}
		whole[k] = m / slot
	}
	return list(whole)
}

func set(values []int) string {
	return "{" + strings.Trim(list(values), "[]") + "}"
}
