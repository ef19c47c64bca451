package check_test

import (
	"slices"
	"strings"
	"testing"

	"scumble/schedule/check"
	"scumble/schedule/place"
	"scumble/schedule/project"
	"scumble/schedule/solve"
)

// A checker that finds nothing in what is spoilt checks nothing.
func TestFindsSpoiltSchedules(t *testing.T) {
	p := &project.Project{Time: []int{2, 3, 0, 2}, Needs: [][]int{{1}, {2}, {0}, {1}}, Capacity: []int{2}, Then: [][]int{{1}, {2}, nil, nil}}
	p.Lags = []project.Lag{{From: 0, To: 3, Least: 0}, {From: 2, To: 1, Least: -3}} // 2 begins within 3 of 1
	if found := check.Project(p, []int{0, 2, 5, 0}, 5); len(found) > 0 {
		t.Fatalf("nothing is wrong, found %q", found)
	}
	for want, start := range map[string][]int{
		"before the project":            {-1, 2, 5, 0},
		"before 0 ends at 2":            {0, 1, 5, 5},
		"it ends at 6 and not at 5":     {0, 3, 6, 0},
		"is used 3 times of 2 at 2":     {0, 2, 5, 1},
		"begins -4 after 2, and -3":     {0, 2, 6, 0},
		"begins -1 after 0, and 0":      {1, 3, 6, 0},
		"3 starts for 4 activities":     {0, 2, 5},
		"begins at 4, before 1 ends at": {0, 2, 4, 0},
	} {
		if found := strings.Join(check.Project(p, start, 5), "\n"); !strings.Contains(found, want) {
			t.Errorf("want %q, found %q", want, found)
		}
	}
}

// hours of the plan below: day 0 is a Friday, day 4 a Tuesday that is closed.
var hours = check.Hours{Spans: []place.Span{{From: 480, To: 720}, {From: 780, To: 1020}}, Weekday: 5,
	Weekly: [7]bool{1: true, 2: true, 3: true, 4: true, 5: true}, Closed: map[int]bool{4: true}}

const day = 24 * 60

// byHand is a problem with a plan worked out by hand. Ada prepares and lays, Bo works.
// Bo is off on Friday 0, room 1 is shut on Monday 3. Worked at are Friday, Monday,
// Wednesday and Thursday; Tuesday is closed and parts no visit. Ada stands idle from 9:00 to
// 11:40 on Friday and then changes the room, Bo from 13:00 to 14:00 on Monday.
func byHand() (*place.Problem, *solve.Plan) {
	p := &place.Problem{
		People: []place.Person{{Skills: "pl"}, {Skills: "pw", Off: []bool{true}}},
		Shut:   [][]bool{nil, {false, true}}, Kits: []int{1},
		Acts: []place.Activity{
			{Work: 60, Needs: "p", Kit: 0},
			{Work: 300, Needs: "p", Kit: 0, Room: 1, Before: []place.Link{{On: 0, Lag: 30}}},                                // over the break and a weekend with a shut Monday
			{Work: 240, Needs: "lw", Kit: -1, Unbroken: true, Touch: 120, Wet: []int{3}, From: 3 * day},                     // Monday
			{Work: 60, Needs: "p", Kit: -1, Unbroken: true, Touch: 60, Before: []place.Link{{On: 2, Lag: 60, Until: 2900}}}, // its corner: two hours later, same day
			{Work: 500, Needs: "p", Kit: -1, Unbroken: true, Before: []place.Link{{On: 3, Times: func(end int) (int, int) { return end%day - 900, 0 }}}},
		},
	}
	slot := func(unit int, people []int, work ...place.Span) place.Slot {
		return place.Slot{Begin: work[0].From, End: work[len(work)-1].To, Work: work, People: people, Unit: unit}
	}
	return p, &solve.Plan{Days: 4, Visits: 1, Finish: 6*day + 980, Idle: 220, Moves: 1, Slack: []int{0, 0, 0, 0, 0}, Slots: []place.Slot{
		slot(0, []int{0}, place.Span{From: 480, To: 540}),
		slot(0, []int{0}, place.Span{From: 700, To: 720}, place.Span{From: 780, To: 1020}, place.Span{From: 5*day + 480, To: 5*day + 520}),
		slot(-1, []int{0, 1}, place.Span{From: 3*day + 480, To: 3*day + 720}),
		slot(-1, []int{1}, place.Span{From: 3*day + 840, To: 3*day + 900}),
		slot(-1, []int{1}, place.Span{From: 6*day + 480, To: 6*day + 980}),
	}}
}

func TestFindsSpoiltPlans(t *testing.T) {
	p, plan := byHand()
	if found := check.Plan(hours, p, plan); len(found) > 0 || check.Missed(p, plan) != nil {
		t.Fatalf("nothing is wrong, found %q, missed %v", found, check.Missed(p, plan))
	}
	move := func(s *place.Slot, by int) {
		s.Begin, s.End, s.Work = s.Begin+by, s.End+by, slices.Clone(s.Work)
		for k := range s.Work {
			s.Work[k] = place.Span{From: s.Work[k].From + by, To: s.Work[k].To + by}
		}
	}
	for want, spoil := range map[string]func(*place.Problem, *solve.Plan){
		"4 slots and":                         func(_ *place.Problem, m *solve.Plan) { m.Slots = m.Slots[:4] },
		"0: from 480 to 541":                  func(_ *place.Problem, m *solve.Plan) { m.Slots[0].End++ },
		"1: stretches out of order":           func(_ *place.Problem, m *solve.Plan) { m.Slots[1].Work[1].From = 700 },
		"0: works {475 535}, outside hours":   func(_ *place.Problem, m *solve.Plan) { move(&m.Slots[0], -5) },
		"0: works {700 760}, outside hours":   func(_ *place.Problem, m *solve.Plan) { move(&m.Slots[0], 220) },
		"0: works on day 1,":                  func(_ *place.Problem, m *solve.Plan) { move(&m.Slots[0], day) },
		"3: works on day 4,":                  func(_ *place.Problem, m *solve.Plan) { move(&m.Slots[3], day) },
		"3: works on day 0,":                  func(_ *place.Problem, m *solve.Plan) { move(&m.Slots[3], -3*day) },
		"1: works on day 3,":                  func(_ *place.Problem, m *solve.Plan) { move(&m.Slots[1], 3*day) },
		"0: works 60 minutes of 65":           func(p *place.Problem, _ *solve.Plan) { p.Acts[0].Work = 65 },
		"1: is broken":                        func(p *place.Problem, _ *solve.Plan) { p.Acts[1].Unbroken, p.Acts[1].Work = true, 240 },
		"4: works {9100 9600}, outside hours": func(_ *place.Problem, m *solve.Plan) { move(&m.Slots[4], -20) },
		"1: pauses in working time from 1000": func(_ *place.Problem, m *solve.Plan) {
			m.Slots[1].Work = []place.Span{{From: 700, To: 720}, {From: 780, To: 1000}, {From: 1010, To: 1020}, {From: 7680, To: 7720}}
		},
		"1: goes on for 10 minutes after a break": func(_ *place.Problem, m *solve.Plan) {
			m.Slots[1].Begin, m.Slots[1].End = 670, 7690
			m.Slots[1].Work = []place.Span{{From: 670, To: 720}, {From: 780, To: 1020}, {From: 7680, To: 7690}}
		},
		"1: pauses from 1020 to 7685 for more": func(_ *place.Problem, m *solve.Plan) { m.Slots[1].Work[2].From += 5 },
		"1: pauses from 1010 to 7680 for more": func(_ *place.Problem, m *solve.Plan) { m.Slots[1].Work[1].To -= 10 },
		"1: pauses on day 3, when it could":    func(p *place.Problem, _ *solve.Plan) { p.Shut[1] = nil },
		"2: begins at 4800, may from 4805":     func(p *place.Problem, _ *solve.Plan) { p.Acts[2].From += 485 },
		"1: begins for 10 minutes before":      func(_ *place.Problem, m *solve.Plan) { m.Slots[1].Begin += 10; m.Slots[1].Work[0].From += 10 },
		`2: people [1 0] cannot do "lw"`:       func(_ *place.Problem, m *solve.Plan) { m.Slots[2].People = []int{1, 0} },
		`0: people [] for "p"`:                 func(_ *place.Problem, m *solve.Plan) { m.Slots[0].People = nil },
		`3: people [2] cannot do "p"`:          func(_ *place.Problem, m *solve.Plan) { m.Slots[3].People = []int{2} },
		"4: begins at 9120, 3900 minutes after 3, needs 4000": func(p *place.Problem, _ *solve.Plan) {
			p.Acts[4].Before[0].Times = func(int) (int, int) { return 4000, 0 }
		},
		"3: begins at 5160, 120 minutes after":  func(p *place.Problem, _ *solve.Plan) { p.Acts[3].Before[0].Lag = 121 },
		"0 and 1 have the same person at":       func(_ *place.Problem, m *solve.Plan) { m.Slots[0] = m.Slots[1] },
		"0 and 1 have piece 0 of kit 0 at once": func(_ *place.Problem, m *solve.Plan) { m.Slots[0].Begin, m.Slots[0].End = 5*day+480, 5*day+540 },
		"0: has piece -1 of kit 0":              func(_ *place.Problem, m *solve.Plan) { m.Slots[0].Unit = -1 },
		"3: has piece 0 of kit -1":              func(_ *place.Problem, m *solve.Plan) { m.Slots[3].Unit = 0 },
		"2 and 3 are wet":                       func(p *place.Problem, m *solve.Plan) { p.Acts[2].Touch = 121 },
		"has 4 days and says 3":                 func(_ *place.Problem, m *solve.Plan) { m.Days = 3 },
		"has 1 late starts and says 0":          func(p *place.Problem, _ *solve.Plan) { p.Acts[3].Before[0].Until = 119 },
		"has 1 days not kept and says 0":        func(p *place.Problem, _ *solve.Plan) { p.Acts[2].Agreed = 3 },
		"has 220 minutes idle and says 219":     func(_ *place.Problem, m *solve.Plan) { m.Idle-- },
		"has 1 moves and says 2":                func(_ *place.Problem, m *solve.Plan) { m.Moves++ },
		"has 1 visits and says 2":               func(_ *place.Problem, m *solve.Plan) { m.Visits = 2 },
		"has 9620 as finish and says 9621":      func(_ *place.Problem, m *solve.Plan) { m.Finish++ },
		"4: has a slack of 5":                   func(_ *place.Problem, m *solve.Plan) { m.Slack[4] = 5 },
		"0: has a slack of -1":                  func(_ *place.Problem, m *solve.Plan) { m.Slack[0] = -1 },
	} {
		p, plan := byHand()
		spoil(p, plan)
		if found := strings.Join(check.Plan(hours, p, plan), "\n"); !strings.Contains(found, want) {
			t.Errorf("want %q, found %q", want, found)
		}
	}
	p.Acts[3].Before[0].Until = 119
	p.Acts[4].Before = append(p.Acts[4].Before, place.Link{On: 0, Until: 1, Times: func(end int) (int, int) { return 0, 9120 - end - 1 }})
	if late := check.Missed(p, plan); !slices.Equal(late, []int{3, 4}) {
		t.Errorf("missed %v, want 3 and 4", late)
	}
}

// On Tuesday 3 at ten: one thing was done on Saturday 0 out of hours, one is running since
// Monday with three hours left, one has not begun.
func begun() (check.Hours, *place.Problem) {
	h := check.Hours{Spans: hours.Spans, Weekday: 6, Weekly: hours.Weekly}
	return h, &place.Problem{
		Calendar: place.NewCalendar(h.Spans, h.Weekday, h.Weekly, nil),
		People:   []place.Person{{Skills: "p"}}, Shut: [][]bool{nil}, Kits: []int{1}, Now: 3*day + 600,
		Acts: []place.Activity{
			{Work: 60, Needs: "p", Kit: 0, Hands: -1, Fact: &place.Fact{Begin: 1100, End: 1200, People: []int{0}}},
			{Work: 300, Needs: "p", Kit: 0, Hands: -1, Fact: &place.Fact{Begin: 2*day + 960, People: []int{0}, Left: 180}, Before: []place.Link{{On: 2}}, Touch: 60, Wet: []int{2}},
			{Work: 60, Needs: "p", Kit: 0, Hands: -1, Agreed: 1 + 2, Wet: []int{1}}}}
}

func TestFindsSpoiltFacts(t *testing.T) {
	for want, spoil := range map[string]func(*place.Problem, *solve.Plan){
		"":                                      func(*place.Problem, *solve.Plan) {},
		"0: is 1100 to 1200 by [0], the fact":   func(p *place.Problem, _ *solve.Plan) { p.Acts[0].Fact.Begin++ },
		"0: is 1100 to 1200 by [0], the fact i": func(p *place.Problem, _ *solve.Plan) { p.Acts[0].Fact.End++ },
		"1: works 180 minutes of 185":           func(p *place.Problem, _ *solve.Plan) { p.Acts[1].Fact.Left = 185 },
		"may from 4925 on": func(p *place.Problem, m *solve.Plan) {
			m.Slots[1].Work[2].From -= 5
			p.Now = 4925
			m.Slots[1].Work[1].To -= 5
		},
		"1 and 2 have the same person":   func(_ *place.Problem, m *solve.Plan) { m.Slots[1].Work[3].To, m.Slots[1].End = 3*day+920, 3*day+920 },
		"1 and 2 have piece 0 of kit 0":  func(_ *place.Problem, m *solve.Plan) { m.Slots[1].Work[3].To, m.Slots[1].End = 3*day+920, 3*day+920 },
		"1 and 2 are wet":                func(p *place.Problem, _ *solve.Plan) { p.Acts[1].Touch = 65 },
		"has 1 days not kept and says 0": func(_ *place.Problem, m *solve.Plan) { m.Moved = 0 },
		"has 3 days and says 2":          func(_ *place.Problem, m *solve.Plan) { m.Days = 2 },
	} {
		h, p := begun()
		made, _, failure := solve.Search(p, solve.Effort{})
		if failure != solve.None {
			t.Fatal(failure)
		}
		spoil(p, made)
		if found := strings.Join(check.Plan(h, p, made), "\n"); !strings.Contains(found, want) || want == "" && found != "" {
			t.Errorf("want %q, found %q", want, found)
		}
	}
}
