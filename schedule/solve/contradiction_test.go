package solve

import (
	"slices"
	"testing"
)

// week is a calendar of eight hours from Monday, day 0, to Friday.
func week() *Calendar {
	return NewCalendar([]Span{{480, 960}}, 1, [7]bool{false, true, true, true, true, true, false}, nil)
}

func TestContradictionNamesTheRules(t *testing.T) {
	step := func(before ...Link) Activity {
		return Activity{Work: 120, Needs: "p", Kit: -1, Hands: -1, Before: before}
	}
	whole := func(before ...Link) Activity {
		return Activity{Work: 480, Unbroken: true, Needs: "p", Kit: -1, Hands: -1, Before: before}
	}
	everyOther := make([]bool, 30)
	for d := range everyOther {
		everyOther[d] = d%2 == 1
	}
	for name, c := range map[string]struct {
		p    Problem
		want []Rule
	}{
		"a window that closes before the coat is dry": {
			Problem{Acts: []Activity{step(), step(Link{On: 0, Lag: 1200}), step(Link{On: 0, Until: 1500}, Link{On: 1, Lag: 1200})}},
			[]Rule{{ByWait, 1, 0}, {ByWait, 2, 1}, {ByWindow, 2, 0}}},
		"a pin behind a window": {
			Problem{Acts: []Activity{step(), step(), {Work: 60, Needs: "p", Kit: -1, Hands: -1, From: 3 * day, Before: []Link{{On: 3, Until: 1440}}}, step(Link{On: 1, Until: 1440}), step()}},
			nil}, // the steps before it can wait
		"two windows and one person": {
			Problem{Acts: []Activity{whole(), whole(Link{On: 0, Until: 1000}), whole(Link{On: 0, Until: 1000})}},
			[]Rule{{ByWindow, 1, 0}, {ByWindow, 2, 0}, {ByPerson, -1, -1}}},
		"a window that closes in the night": {
			Problem{Acts: []Activity{whole(), whole(Link{On: 0, Until: 600})}},
			[]Rule{{ByWindow, 1, 0}}},
		"a room shut every other day": {
			Problem{Acts: []Activity{whole(), whole(Link{On: 0, Until: 1000})}, Shut: [][]bool{everyOther}},
			[]Rule{{ByRoom, -1, 0}, {ByWindow, 1, 0}}},
	} {
		c.p.Calendar, c.p.People = week(), []Person{{Skills: "p"}}
		if c.p.Shut == nil {
			c.p.Shut = [][]bool{nil}
		}
		if got := Contradiction(&c.p, 20, nil); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", name, got, c.want)
		}
	}
}
