package model

import (
	"cmp"
	"slices"

	"scumble/schedule/exact"
	"scumble/schedule/place"
)

// Rule is one of several that cannot all hold. By tells its kind: ByWait, Act waits until On
// has dried; ByWindow, Act has to begin soon enough after On; ByWet, Act and On may not touch
// while they are wet; ByPin, Act is held to a day; ByRoom, the room On is shut; ByAbsence, the
// person On is away; ByPerson, there are no more people; ByKitUse, there is no more kit.
type Rule struct{ By, Act, On int }

// trouble is how many dead ends a question about rules may meet (own default).
const trouble = 3000

// wholeAsked is how many activities are asked about all at once; of more, those of one room
// are (own default).
const wholeAsked = 300

// Contradiction is the fewest rules found that cannot all hold, in the order of the work: with
// any of them given up the others can be kept, or nobody knows. It is nil where all can hold, and
// where it is not known. It looks at the plans that end within some open days; of a large problem
// it looks at the room of one activity that came too late.
func Contradiction(p *place.Problem, late, within int, stop func() bool) []Rule {
	q, of := Part(p, func(i int) bool { return len(p.Acts) <= wholeAsked || p.Acts[i].Room == p.Acts[late].Room })
	if at := q.Prepare(); at >= 0 {
		return nil
	}
	for _, s := range []Scope{{rules: true}, {rules: true, Crew: true}, {rules: true, Crew: true, Gear: true}} {
		m := New(q, within, s)
		if m == nil {
			return nil
		}
		rules := m.contradiction(stop)
		if rules == nil {
			continue
		}
		for k := range rules {
			r := &rules[k]
			if r.Act >= 0 {
				r.Act = of[r.Act]
			}
			if r.On >= 0 && (r.By == place.ByWait || r.By == place.ByWindow || r.By == place.ByWet) {
				r.On = of[r.On]
			}
		}
		if s.Crew {
			rules = append(rules, Rule{place.ByPerson, -1, -1})
		}
		if s.Gear {
			rules = append(rules, Rule{place.ByKitUse, -1, -1})
		}
		return rules
	}
	return nil
}

func (m *Model) contradiction(stop func() bool) []Rule {
	var lits []exact.Lit
	for _, a := range *m.asked {
		lits = append(lits, a.lit)
	}
	ask := func(lits []exact.Lit) (exact.Status, []exact.Lit) {
		return m.Solver.Search(exact.Limit{Conflicts: trouble, First: m.Starts(), Stop: stop, Eager: true}, lits...)
	}
	status, core := ask(lits)
	if status != exact.None {
		return nil
	}
	for k := 0; k < len(core); { // without one of them, is it still impossible?
		rest := slices.Delete(slices.Clone(core), k, k+1)
		if status, smaller := ask(rest); status == exact.None {
			core = smaller
			k = 0
		} else {
			k++
		}
	}
	place := make([]int, len(m.Acts))
	for k, i := range m.Order {
		place[i] = k
	}
	rules := []Rule{}
	for _, a := range *m.asked {
		if slices.Contains(core, a.lit) {
			rules = append(rules, a.Rule)
		}
	}
	at := func(r Rule) int {
		if r.Act < 0 {
			return -1
		}
		return place[r.Act]
	}
	slices.SortStableFunc(rules, func(x, y Rule) int { return cmp.Or(at(x)-at(y), x.By-y.By, x.On-y.On) })
	return rules
}
