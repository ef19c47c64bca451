package model

import (
	"slices"
	"testing"

	"scumble/schedule/place"
)

// week is a calendar of eight hours from Monday, day 0, to Friday.
func week() *place.Calendar {
	return place.NewCalendar([]place.Span{{From: 480, To: 960}}, 1, [7]bool{false, true, true, true, true, true, false}, nil)
}

func TestContradictionNamesTheRules(t *testing.T) {
	step := func(before ...place.Link) place.Activity {
		return place.Activity{Work: 120, Needs: "p", Kit: -1, Hands: -1, Before: before}
	}
	whole := func(before ...place.Link) place.Activity {
		return place.Activity{Work: 480, Unbroken: true, Needs: "p", Kit: -1, Hands: -1, Before: before}
	}
	everyOther := make([]bool, 30)
	for d := range everyOther {
		everyOther[d] = d%2 == 1
	}
	for name, c := range map[string]struct {
		p    place.Problem
		want []Rule
	}{
		"a window that closes before the coat is dry": {
			place.Problem{Acts: []place.Activity{step(), step(place.Link{On: 0, Lag: 1200}), step(place.Link{On: 0, Until: 1500}, place.Link{On: 1, Lag: 1200})}},
			[]Rule{{By: place.ByWait, Act: 1, On: 0}, {By: place.ByWait, Act: 2, On: 1}, {By: place.ByWindow, Act: 2, On: 0}}},
		"a pin behind a window": {
			place.Problem{Acts: []place.Activity{step(), step(), {Work: 60, Needs: "p", Kit: -1, Hands: -1, From: 3 * place.Day, Before: []place.Link{{On: 3, Until: 1440}}}, step(place.Link{On: 1, Until: 1440}), step()}},
			nil}, // the steps before it can wait
		"two windows and one person": {
			place.Problem{Acts: []place.Activity{whole(), whole(place.Link{On: 0, Until: 1000}), whole(place.Link{On: 0, Until: 1000})}},
			[]Rule{{By: place.ByWindow, Act: 1, On: 0}, {By: place.ByWindow, Act: 2, On: 0}, {By: place.ByPerson, Act: -1, On: -1}}},
		"a window that closes in the night": {
			place.Problem{Acts: []place.Activity{whole(), whole(place.Link{On: 0, Until: 600})}},
			[]Rule{{By: place.ByWindow, Act: 1, On: 0}}},
		"a room shut every other day": {
			place.Problem{Acts: []place.Activity{whole(), whole(place.Link{On: 0, Until: 1000})}, Shut: [][]bool{everyOther}},
			[]Rule{{By: place.ByRoom, Act: -1, On: 0}, {By: place.ByWindow, Act: 1, On: 0}}},
	} {
		c.p.Calendar, c.p.People = week(), []place.Person{{Skills: "p"}}
		if c.p.Shut == nil {
			c.p.Shut = [][]bool{nil}
		}
		if got := Contradiction(&c.p, 0, 20, nil); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", name, got, c.want)
		}
	}
}

// In a problem too large to be asked whole, the rules of one room are found under their own numbers.
func TestContradictionInOneRoomOfMany(t *testing.T) {
	p := place.Problem{Calendar: week(), People: []place.Person{{Skills: "p"}}, Shut: make([][]bool, 2)}
	for range wholeAsked {
		p.Acts = append(p.Acts, place.Activity{Work: 120, Needs: "p", Kit: -1, Hands: -1})
	}
	first := len(p.Acts)
	for _, before := range [][]place.Link{nil, {{On: first, Lag: 1200}}, {{On: first, Until: 1500}, {On: first + 1, Lag: 1200}, {On: 0}}} {
		p.Acts = append(p.Acts, place.Activity{Room: 1, Work: 120, Needs: "p", Kit: -1, Hands: -1, Before: before})
	}
	want := []Rule{{place.ByWait, first + 1, first}, {place.ByWait, first + 2, first + 1}, {place.ByWindow, first + 2, first}}
	if got := Contradiction(&p, first+2, 90, nil); !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
	if got := Contradiction(&p, 0, 90, nil); got != nil {
		t.Errorf("%v in a room without any", got)
	}
}
