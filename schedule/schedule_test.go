package schedule_test

import (
	"errors"
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
	"scumble/catalog"
	"scumble/job"
	"scumble/method"
	"scumble/schedule"
	"scumble/schedule/check"
	"scumble/survey"
	"scumble/unit"
)

func h(low, likely, high unit.Hours) unit.Range[unit.Hours] {
	return unit.Range[unit.Hours]{Low: low, Likely: likely, High: high}
}

func clock(s string) job.Clock {
	var a, b int
	fmt.Sscanf(s, "%d:%d", &a, &b)
	return job.Clock(a*60 + b)
}

func typed[T ~float64](v T) job.Typed[T] { return job.Typed[T]{Text: "x", Value: v} }

// twoPeople is a crew of two on ordinary hours; 2027-03-08 is a Monday.
func twoPeople() *job.Job {
	return &job.Job{Crew: job.Crew{
		People: []job.Person{{Name: "Mara"}, {Name: "Ilse"}},
		Start:  "2027-03-08",
		Hours:  []job.Span{{From: clock("08:00"), To: clock("12:00")}, {From: clock("13:00"), To: clock("17:00")}},
		Days:   []string{"Mon", "Tue", "Wed", "Thu", "Fri"},
	}}
}

var glazeOil = &catalog.Product{ID: "oil-glaze", Name: "oil glaze", Family: "oil", Drying: catalog.Drying{Touch: catalog.Figure{Low: 4, Likely: 6, High: 8, Unit: "h"}}}

// oneWall is a wall with primer, ground coat and a pair's glaze.
func oneWall(face string, adjoining ...string) method.Face {
	room, _, _ := strings.Cut(face, "/")
	id := func(rule string) string { return face + "#" + rule }
	return method.Face{ID: face, Room: room, Adjoining: adjoining, Technique: &catalog.Technique{ID: "dragging", Name: "Dragging"}, Steps: []method.Step{
		{ID: id("prime"), Face: face, Room: room, Kind: method.Prime, Title: "Primer", Crew: 1, Skill: "prepare", Work: unit.Exactly[unit.Hours](2)},
		{ID: id("ground"), Face: face, Room: room, Kind: method.Ground, Title: "Ground coat", Crew: 1, Skill: "prepare", Work: unit.Exactly[unit.Hours](2),
			Waits: []method.Wait{{On: id("prime"), From: h(8, 10, 12), Base: "water"}}},
		{ID: id("glaze"), Face: face, Room: room, Kind: method.Glaze, Title: "Glaze", Crew: 2, Skill: "lay", WetEdge: true, Work: unit.Exactly[unit.Hours](3), Product: glazeOil,
			Waits: []method.Wait{{On: id("ground"), From: h(20, 24, 24), Until: 72, Base: "water"}}},
	}}
}

func surveyOf(m *method.Method) *survey.Survey {
	s := &survey.Survey{}
	at := map[string]int{}
	for _, f := range m.Faces {
		if _, known := at[f.Room]; !known {
			at[f.Room] = len(s.Rooms)
			s.Rooms = append(s.Rooms, survey.Room{Name: f.Room, Path: fmt.Sprintf("rooms[%d]", len(s.Rooms)),
				Climate: job.Climate{Temp: typed[unit.Temp](23), Humidity: typed[unit.Humidity](0.5)}})
		}
		r := &s.Rooms[at[f.Room]]
		r.Walls = append(r.Walls, survey.Wall{ID: f.ID, Faces: []survey.Face{{ID: f.ID}}})
	}
	return s
}

func mustPlan(t testing.TB, m *method.Method, j *job.Job) *schedule.Programme {
	t.Helper()
	s := surveyOf(m)
	p, err := schedule.Plan(s, m, j, nil, schedule.Quick)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range check.Programme(s, m, j, nil, p) {
		t.Error(f)
	}
	return p
}

func find(t testing.TB, p *schedule.Programme, step string) *schedule.Task {
	for i := range p.Tasks {
		if p.Tasks[i].Step == step {
			return &p.Tasks[i]
		}
	}
	t.Fatalf("no task %s", step)
	return nil
}

const stamp = "Mon 2 15:04"

// Worked by hand: primer Mon 8-10; dry 22:00, so ground coat Tue 8-10; dry Wed
// 10:00, but three hours in one go fit only after lunch.
func TestOneWallByHand(t *testing.T) {
	p := mustPlan(t, &method.Method{Faces: []method.Face{oneWall("Hall/North")}}, twoPeople())
	for step, want := range map[string]string{
		"prime":  "Mon 8 08:00 Mon 8 10:00",
		"ground": "Tue 9 08:00 Tue 9 10:00 primer dry",
		"glaze":  "Wed 10 13:00 Wed 10 16:00 ground coat dry",
	} {
		k := find(t, p, "Hall/North#"+step)
		if got := strings.TrimSpace(k.Start.Format(stamp) + " " + k.End.Format(stamp) + " " + k.Before); got != want {
			t.Errorf("%s: %q, want %q", step, got, want)
		}
	}
	if p.SiteDays != 3 || p.Visits != 1 || p.Bound != 3 || p.PersonHours != 10 {
		t.Errorf("%d days, %d visits, bound %d (%s), %v h", p.SiteDays, p.Visits, p.Bound, p.BoundBy, p.PersonHours)
	}
	g := find(t, p, "Hall/North#ground")
	if g.Ready.Earliest.Format(stamp) != "Wed 10 06:00" || g.Ready.Latest.Format(stamp) != "Wed 10 10:00" || g.Ready.Until.Format(stamp) != "Fri 12 10:00" {
		t.Errorf("ready %+v", g.Ready)
	}
	// The ground coat may end at 13:00 on Tuesday for a glaze at 13:00 on
	// Wednesday, hence at 12:00 before lunch: 2 h. The primer may end at 20:00
	// on Monday, hence at 17:00: 6 work hours.
	if s := [3]unit.Hours{find(t, p, "Hall/North#prime").Slack, g.Slack, find(t, p, "Hall/North#glaze").Slack}; s != [3]unit.Hours{6, 2, 0} {
		t.Errorf("slack %v, want 6, 2, 0", s)
	}
	if gl := find(t, p, "Hall/North#glaze"); !gl.Critical || gl.Ready.Latest.Sub(gl.End).Hours() != 8 {
		t.Errorf("glaze %+v", gl)
	}
	if roles := p.Days[2].People; len(roles) != 2 || roles[0].Turns[0].Role != "lays" || roles[1].Turns[0].Role != "works" {
		t.Errorf("roles %+v", roles)
	}
}

// Three hours each, so that both glazes fit on one day, one before lunch and one
// after it, where the walls do not meet. Where they do, the first ends at 11:00
// at the earliest and is wet for 8 h.
func TestWetCorner(t *testing.T) {
	early := func(face string, adjoining ...string) method.Face {
		f := oneWall(face, adjoining...)
		f.Steps[2].Waits[0].From = h(14, 14, 14)
		f.Steps[2].Work = unit.Exactly[unit.Hours](1.5)
		return f
	}
	apart := mustPlan(t, &method.Method{Faces: []method.Face{early("Hall/North"), early("Hall/South")}}, twoPeople())
	meet := mustPlan(t, &method.Method{Faces: []method.Face{early("Hall/North", "Hall/East"), early("Hall/East", "Hall/North")}}, twoPeople())
	if apart.SiteDays != 3 || meet.SiteDays != 4 {
		t.Errorf("apart %d, meeting %d site days", apart.SiteDays, meet.SiteDays)
	}
	a, b := find(t, meet, "Hall/North#glaze"), find(t, meet, "Hall/East#glaze")
	if a.Start.After(b.Start) {
		a, b = b, a
	}
	if b.Start.Sub(a.End).Hours() < 8 || !strings.Contains(b.Before, "wet at the corner") {
		t.Errorf("%v to %v, then %v: %q", a.Start, a.End, b.Start, b.Before)
	}
}

// A ground coat on Thursday would leave Friday out for want of 24 h and so miss
// its 48 h window over the weekend: the chain moves right to Monday.
func TestLatestStartMovesTheChain(t *testing.T) {
	f := oneWall("Hall/North")
	f.Steps[0].Work = unit.Exactly[unit.Hours](24)
	f.Steps[1].Waits[0] = method.Wait{On: f.Steps[0].ID, From: h(1, 1, 1), Base: "none"}
	f.Steps[2].Waits[0] = method.Wait{On: f.Steps[1].ID, From: h(30, 30, 30), Until: 48, Base: "none"}
	p := mustPlan(t, &method.Method{Faces: []method.Face{f}}, twoPeople())
	ground, glaze := find(t, p, f.Steps[1].ID), find(t, p, f.Steps[2].ID)
	if gap := glaze.Start.Sub(ground.End).Hours(); gap > 48 || len(p.Warnings) > 0 || ground.Start.Weekday() >= 4 { // Thursday
		t.Errorf("gap %v h, %q, %v", gap, ground.Before, p.Warnings)
	}
}

func TestWarnings(t *testing.T) {
	m := &method.Method{Faces: []method.Face{oneWall("Hall/North")}}
	st := m.Faces[0].Steps
	st[2].Work = unit.Exactly[unit.Hours](5)
	st[2].Stand = "platform"
	st[2].Waits[0].Until, st[2].Waits[0].From = 25, h(24, 24, 24)
	j := twoPeople()
	j.Crew.Days = []string{"Mon", "Thu"} // never 24 to 25 h apart
	p := mustPlan(t, m, j)
	for _, want := range []string{"needs a platform and the job lists none", "does not fit in one stretch: it takes 5 h", "the window closes after 25 h"} {
		found := false
		for _, w := range p.Warnings {
			found = found || strings.Contains(w.What, want) && w.Do != ""
		}
		if !found {
			t.Errorf("no warning %q in %+v", want, p.Warnings)
		}
	}
	if g := find(t, p, st[2].ID); len(g.Pieces) != 1 || g.Start.Format("15:04") != "08:00" || g.End.Format("15:04") != "13:00" {
		t.Errorf("a wall longer than any stretch must run through lunch from the start of a day: %+v", g.Pieces)
	}
}

func TestHoldIsSaidAndPlannedAround(t *testing.T) {
	m := &method.Method{Faces: []method.Face{oneWall("Hall/North")}}
	s := surveyOf(m)
	s.Rooms[0].Climate.Humidity = typed[unit.Humidity](0.95)
	p, err := schedule.Plan(s, m, twoPeople(), nil, schedule.Quick)
	if err != nil {
		t.Fatal(err)
	}
	holds := 0
	for _, w := range p.Warnings {
		if w.Hold && w.Path == "rooms[0]" {
			holds++
		}
	}
	if holds != 2 { // humidity and dew point
		t.Errorf("%d holds: %+v", holds, p.Warnings)
	}
}

func TestRoomAndKit(t *testing.T) {
	m := &method.Method{Faces: []method.Face{oneWall("Hall/North"), oneWall("Tern room/West")}}
	for f := range m.Faces {
		m.Faces[f].Steps[0].Stand = "platform"
	}
	j := twoPeople()
	j.Kit = []job.Kit{{Kind: "platform", Count: 1}}
	j.Rooms = []job.Room{{Name: "Tern room", From: "2027-03-09"}}
	alone := &method.Method{Faces: m.Faces[1:]}
	if b := find(t, mustPlan(t, alone, j), "Tern room/West#prime").Before; b != "room opens Tue 9" {
		t.Errorf("waited for %q", b)
	}
	j.Rooms = nil
	for f := range m.Faces { // half a day each, one after the other, and nothing after it
		m.Faces[f].Steps = m.Faces[f].Steps[:1]
		m.Faces[f].Steps[0].Work = unit.Exactly[unit.Hours](4)
	}
	p := mustPlan(t, m, j)
	first, second := find(t, p, "Hall/North#prime"), find(t, p, "Tern room/West#prime")
	if first.Start.After(second.Start) {
		first, second = second, first
	}
	if second.Before != "platform in "+first.Room {
		t.Errorf("waited for %q", second.Before)
	}
}

func TestSameHandsInARoom(t *testing.T) {
	var faces []method.Face
	for _, w := range []string{"Hall/a", "Hall/b", "Hall/c", "Porch/a", "Porch/b"} {
		faces = append(faces, oneWall(w))
	}
	j := twoPeople()
	j.Crew.People = append(j.Crew.People, job.Person{Name: "Tove"})
	p := mustPlan(t, &method.Method{Faces: faces}, j)
	hands := map[string]string{}
	for _, k := range p.Tasks {
		if k.Kind == method.Glaze {
			who := strings.Join(k.People, "+")
			if hands[k.Room] == "" {
				hands[k.Room] = who
			}
			if hands[k.Room] != who {
				t.Errorf("%s has %s, the room had %s", k.Step, who, hands[k.Room])
			}
		}
	}
	if hands["Hall"] == hands["Porch"] {
		t.Errorf("the same person lays in both rooms: %v", hands)
	}
}

// One wall by itself is glazed on Wednesday; see TestOneWallByHand.
func TestPinMovesTheStep(t *testing.T) {
	m := &method.Method{Faces: []method.Face{oneWall("Hall/North"), oneWall("Porch/West")}}
	free := mustPlan(t, m, twoPeople())
	j := twoPeople()
	j.Crew.Pins = []job.Pin{{Step: "Hall/North#ground", Day: "2027-03-13"}} // a Saturday
	alone := mustPlan(t, &method.Method{Faces: m.Faces[:1]}, j)
	if k := find(t, alone, "Hall/North#ground"); k.Start.Format(stamp) != "Mon 15 08:00" || k.Before != "pinned to Sat 13" {
		t.Errorf("ground coat on %s, %q", k.Start.Format(stamp), k.Before)
	}
	p := mustPlan(t, m, j)
	// The wall without a pin may wait for the other, to share its days, and not longer.
	if k := find(t, p, "Porch/West#ground"); k.Start.After(find(t, p, "Hall/North#glaze").Start) || p.SiteDays > free.SiteDays {
		t.Errorf("the wall without a pin moved to %s; %d days, %d without pins", k.Start.Format(stamp), p.SiteDays, free.SiteDays)
	}
	if !p.Finish.After(free.Finish) || len(p.Warnings) > 0 {
		t.Errorf("ends %s, without pins %s: %+v", p.Finish, free.Finish, p.Warnings)
	}
	j.Crew.Pins = []job.Pin{{Step: "Hall/North#prime", After: "Porch/West#glaze"}}
	p = mustPlan(t, m, j)
	if k := find(t, p, "Hall/North#prime"); k.Start.Before(find(t, p, "Porch/West#glaze").End) || k.Before != "glaze on Porch/West done" || !p.Finish.After(free.Finish) {
		t.Errorf("%+v, ends %s", k, p.Finish)
	}
	j.Crew.Pins = []job.Pin{{Step: "Hall/North#prime", Day: "2027-01-01"}, {Step: "Hall/North#glaze", After: "Hall/North#ground"}}
	if held := mustPlan(t, m, j); !reflect.DeepEqual(held, free) {
		t.Error("pins that hold nothing change the programme")
	}
}

// TestLaterStart: no more than 72 h may lie between ground coat and glaze, so that a glaze held to a Thursday keeps the
// ground coat near it; that one more day at the beginning brings nothing is for the search to see.
func TestLaterStart(t *testing.T) {
	m := &method.Method{Faces: []method.Face{oneWall("Hall/North")}}
	for name, c := range map[string]struct {
		change func(j *job.Job)
		words  string
	}{
		"first day": {func(*job.Job) {}, ""},
		"room":      {func(j *job.Job) { j.Rooms = []job.Room{{Name: "Hall", From: "2027-03-09"}} }, "work could begin on Monday 8 March; room opens Tue 9"},
		"pin": {func(j *job.Job) { j.Crew.Pins = []job.Pin{{Step: "Hall/North#prime", Day: "2027-03-10"}} },
			"work could begin on Monday 8 March; pinned to Wed 10"},
		"window": {func(j *job.Job) { j.Crew.Pins = []job.Pin{{Step: "Hall/North#glaze", Day: "2027-03-18"}} },
			"work could begin on Monday 8 March; no better programme was found that begins then"},
		"weekend": {func(j *job.Job) { j.Crew.Start = "2027-03-06" }, ""},
	} {
		j := twoPeople()
		c.change(j)
		if p := mustPlan(t, m, j); p.Later != c.words {
			t.Errorf("%s: begins %s, %q", name, p.Start.Format(stamp), p.Later)
		}
	}
}

func TestPinToNothingIsSaid(t *testing.T) {
	m := &method.Method{Faces: []method.Face{oneWall("Hall/North")}}
	s := surveyOf(m)
	s.Rooms[0].Walls[0].Path = "rooms[0].walls[0]"
	j := twoPeople()
	j.Crew.Pins = []job.Pin{{Step: "Hall/North#glaze-7", Day: "2027-03-15"}, {Step: "Hall/North#glaze", After: "Hall#varnish"}, {Step: "Loft/East#prime", Day: "2027-03-15"}}
	p, err := schedule.Plan(s, m, j, nil, schedule.Quick)
	if err != nil {
		t.Fatal(err)
	}
	want := []string{
		`rooms[0].walls[0] Hall/North: crew.pins[0] names the step "Hall/North#glaze-7", which the job does not have; the programme leaves the pin out. Take the pin out, or write one of prime, ground, glaze in the place of glaze-7.`,
		`rooms[0] Hall: crew.pins[1] names the step "Hall#varnish", which the job does not have; the programme leaves the pin out. Take the pin out, or name another step.`,
		`crew.pins[2] Loft/East: crew.pins[2] names the step "Loft/East#prime", which the job does not have; the programme leaves the pin out. Take the pin out, or name another step.`,
	}
	for i, w := range p.Warnings {
		if got := w.Path + " " + w.Name + ": " + w.What + " " + w.Do; i >= len(want) || got != want[i] {
			t.Error(got)
		}
	}
	if len(p.Warnings) != len(want) || find(t, p, "Hall/North#glaze").Start.Format(stamp) != "Wed 10 13:00" {
		t.Errorf("%d warnings; %+v", len(p.Warnings), find(t, p, "Hall/North#glaze"))
	}
}

func TestCannot(t *testing.T) {
	one := func() (*method.Method, *job.Job) {
		return &method.Method{Faces: []method.Face{oneWall("Hall/North")}}, twoPeople()
	}
	for want, spoil := range map[string]func(*method.Method, *job.Job){
		"one person who lays and one who works the glaze": func(_ *method.Method, j *job.Job) { j.Crew.People = j.Crew.People[:1] },
		"nobody is named":      func(_ *method.Method, j *job.Job) { j.Crew.People = nil },
		"no working hours":     func(_ *method.Method, j *job.Job) { j.Crew.Hours = nil },
		"12:00 to 08:00":       func(_ *method.Method, j *job.Job) { j.Crew.Hours = []job.Span{{From: 720, To: 480}} },
		"no working day":       func(_ *method.Method, j *job.Job) { j.Crew.Days = nil },
		`"Xyz" is not a day`:   func(_ *method.Method, j *job.Job) { j.Crew.Days = []string{"Xyz", "Mon"} },
		`"soon" is not a date`: func(_ *method.Method, j *job.Job) { j.Crew.Start = "soon" },
		"crew.people[1].off":   func(_ *method.Method, j *job.Job) { j.Crew.People[1].Off = []job.Date{"?"} },
		"no other step":        func(m *method.Method, _ *job.Job) { m.Faces[0].Steps[1].Waits[0].On = "nothing" },
		"in a circle": func(m *method.Method, _ *job.Job) {
			m.Faces[0].Steps[0].Waits = []method.Wait{{On: "Hall/North#glaze", Base: "none"}}
		},
		"crew.pins[0]: Primer (Hall/North) cannot come after Glaze (Hall/North), which waits for it": func(_ *method.Method, j *job.Job) {
			j.Crew.Pins = []job.Pin{{Step: "Hall/North#prime", After: "Hall/North#glaze"}}
		},
		"crew.pins[1]: Primer (Hall/North) cannot come after Primer (Porch/West), which waits for it": func(m *method.Method, j *job.Job) {
			m.Faces = append(m.Faces, oneWall("Porch/West"))
			j.Crew.Pins = []job.Pin{{Step: "Porch/West#prime", After: "Hall/North#ground"}, {Step: "Hall/North#prime", After: "Porch/West#prime"}}
		},
		"crew.pins[0]: Primer (Hall/North) cannot come after itself": func(_ *method.Method, j *job.Job) {
			j.Crew.Pins = []job.Pin{{Step: "Hall/North#prime", After: "Hall/North#prime"}}
		},
		"crew.pins[0].day: 2199-01-01 is a century after the start": func(_ *method.Method, j *job.Job) {
			j.Crew.Pins = []job.Pin{{Step: "Hall/North#prime", Day: "2199-01-01"}}
		},
		"two steps have this name":  func(m *method.Method, _ *job.Job) { m.Faces[0].Steps[1].ID = m.Faces[0].Steps[0].ID },
		"of work cannot be planned": func(m *method.Method, _ *job.Job) { m.Faces[0].Steps[1].Work.Likely = 1e9 },
		"a century after the start": func(_ *method.Method, j *job.Job) { j.Rooms = []job.Room{{Name: "Hall", From: "2999-01-01"}} },
		"out of order":              func(m *method.Method, _ *job.Job) { m.Faces[0].Steps[1].Waits[0].From.Low = -1 },
		"a wait of":                 func(m *method.Method, _ *job.Job) { m.Faces[0].Steps[1].Waits[0].From.High = 1e9 },
		"end within a century of open": func(m *method.Method, j *job.Job) {
			for k := range m.Faces[0].Steps {
				m.Faces[0].Steps[k].Work, m.Faces[0].Steps[k].WetEdge = unit.Exactly[unit.Hours](9999), false
			}
			j.Crew.Hours = []job.Span{{From: 480, To: 490}}
		},
	} {
		m, j := one()
		spoil(m, j)
		p, err := schedule.Plan(surveyOf(m), m, j, nil, schedule.Quick)
		if !errors.Is(err, schedule.ErrCannot) || !strings.Contains(err.Error(), want) {
			t.Errorf("want %q, got %v, %v", want, p, err)
		}
	}
	p, err := schedule.Plan(&survey.Survey{}, &method.Method{}, twoPeople(), nil, schedule.Quick)
	if err != nil || len(p.Tasks) != 0 {
		t.Errorf("no work: %+v, %v", p, err)
	}
}

// drawJob makes a random job with everything in it that the checker looks at.
func drawJob(t *rapid.T) (*survey.Survey, *method.Method, *job.Job) {
	pick := func(name string, of ...int) int { return rapid.SampledFrom(of).Draw(t, name) }
	j := twoPeople()
	j.Crew.Days = [][]string{{"Mon", "Tue", "Wed", "Thu", "Fri"}, {"Mon", "Tue", "Wed", "Thu", "Fri", "Sat"}, {"Tue", "Thu"}}[pick("week", 0, 0, 1, 2)]
	if pick("day", 0, 0, 1) == 1 {
		j.Crew.Hours = []job.Span{{From: clock("07:30"), To: clock("10:10")}, {From: clock("10:30"), To: clock("13:00")}, {From: clock("14:00"), To: clock("16:05")}}
	}
	j.Crew.Closed = []job.Date{"2027-03-10", "2027-03-19"}[:pick("closed", 0, 1, 2)]
	j.Crew.People[0].Off = []job.Date{"2027-03-09", "2027-03-15"}[:pick("off", 0, 1, 2)]
	skills := [][]string{nil, {"prepare"}, {"lay", "prepare"}, {"work"}}
	for k := range pick("more", 0, 1, 2) {
		j.Crew.People = append(j.Crew.People, job.Person{Name: fmt.Sprint("P", k), Skills: skills[pick("skills", 0, 1, 2, 3)]})
	}
	j.Kit = []job.Kit{{Kind: "platform", Count: pick("platforms", 1, 2)}, {Kind: "steps", Count: 1}}
	m := &method.Method{}
	s := &survey.Survey{}
	for r := range pick("rooms", 1, 2, 3) {
		room := fmt.Sprint("Room ", r)
		j.Rooms = append(j.Rooms, job.Room{Name: room, Closes: []job.Date{"2027-03-11", "2027-03-17"}[:pick("shut", 0, 0, 1, 2)],
			From: []job.Date{"", "2027-03-09", "2027-03-13"}[pick("from", 0, 0, 1, 2)]})
		sr := survey.Room{Name: room, Climate: job.Climate{Temp: typed(unit.Temp(pick("temp", 14, 18, 23))), Humidity: typed(unit.Humidity(float64(pick("rh", 40, 50, 65)) / 100))}}
		if pick("night", 0, 1) == 1 {
			sr.Climate.Night = typed(sr.Climate.Temp.Value - unit.Temp(pick("fall", 1, 3)))
		}
		step := func(face, rule, kind string) method.Step {
			id := room + "#" + rule
			if face != "" {
				id = face + "#" + rule
			}
			return method.Step{ID: id, Face: face, Room: room, Kind: kind, Title: rule, Crew: 1, Skill: []string{"", "prepare"}[pick("skill", 0, 1)],
				Stand: []string{"floor", "steps", "platform"}[pick("stand", 0, 0, 1, 2)],
				Work:  unit.Exactly(unit.Hours(float64(pick("minutes", 3, 20, 45, 90, 130, 200, 310, 700)) / 60))}
		}
		m.Rooms = append(m.Rooms, method.Room{Name: room, Steps: []method.Step{step("", "protect", method.Protect), step("", "unmask", method.Unmask)}})
		walls := pick("walls", 1, 2, 4)
		for w := range walls {
			face := fmt.Sprintf("%s/%d", room, w)
			f := method.Face{ID: face, Room: room, Technique: &catalog.Technique{ID: "dragging", Name: "Dragging"}}
			if walls > 1 {
				f.Adjoining = []string{fmt.Sprintf("%s/%d", room, (w+1)%walls), fmt.Sprintf("%s/%d", room, (w+walls-1)%walls)}
			}
			f.Steps = []method.Step{step(face, "prime", method.Prime), step(face, "ground", method.Ground), step(face, "glaze-1", method.Glaze), step(face, "glaze-2", method.Glaze)}
			for k := 1; k < 4; k++ {
				low := unit.Hours(pick("lag", 0, 2, 6, 18))
				wait := method.Wait{On: f.Steps[k-1].ID, From: h(low, low*1.2, low*1.5), Base: []string{"water", "oil", "none"}[pick("base", 0, 1, 2)]}
				if low > 0 && pick("limit", 0, 1) == 1 {
					wait.Until = low*2 + unit.Hours(pick("until", 1, 24, 72))
				}
				f.Steps[k].Waits = append(f.Steps[k].Waits, wait)
			}
			for k := 2; k < 4; k++ {
				f.Steps[k].Crew, f.Steps[k].Skill, f.Steps[k].WetEdge, f.Steps[k].Product = 2, "lay", true, glazeOil
			}
			m.Faces = append(m.Faces, f)
			wall := survey.Wall{ID: face, Faces: []survey.Face{{ID: face}}}
			if pick("cold", 0, 0, 1) == 1 {
				wall.Surface = typed(sr.Climate.Temp.Value - 1)
			}
			sr.Walls = append(sr.Walls, wall)
		}
		s.Rooms = append(s.Rooms, sr)
	}
	for range pick("pins", 0, 0, 1, 3) { // to a wall drawn before, so that no circle comes about
		then, first := pick("then", 0, 1, 2, 3, 4), pick("first", 0, 1, 2, 3)
		p := job.Pin{Step: m.Faces[min(then, len(m.Faces)-1)].Steps[pick("rule", 0, 1, 2, 3)].ID}
		if first < then && then < len(m.Faces) {
			p.After = m.Faces[first].Steps[pick("rule", 0, 1, 2, 3)].ID
		} else {
			p.Day = rapid.SampledFrom([]job.Date{"2027-03-01", "2027-03-08", "2027-03-10", "2027-03-13", "2027-04-02"}).Draw(t, "pinned to")
		}
		j.Crew.Pins = append(j.Crew.Pins, p)
	}
	return s, m, j
}

func TestRandomJobsKeepEveryRule(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, m, j := drawJob(t)
		before := fmt.Sprintf("%+v%+v", *j, *m)
		p, err := schedule.Plan(s, m, j, nil, schedule.Quick)
		if err != nil {
			t.Fatal(err)
		}
		if faults := check.Programme(s, m, j, nil, p); len(faults) > 0 {
			t.Fatal(strings.Join(faults, "\n"))
		}
		again, err := schedule.Plan(s, m, j, nil, schedule.Quick)
		if err != nil || !reflect.DeepEqual(p, again) {
			t.Fatal("a second run differs")
		}
		if fmt.Sprintf("%+v%+v", *j, *m) != before {
			t.Fatal("the inputs changed")
		}
	})
}

// walls makes n walls in rooms of four, ten steps each, with rooms' own steps.
func walls(n int) *method.Method {
	m := &method.Method{}
	for w := range n {
		room := fmt.Sprint("Room ", w/4)
		face := fmt.Sprintf("%s/%d", room, w%4)
		f := method.Face{ID: face, Room: room, Technique: &catalog.Technique{ID: "weave", Name: "Weave"}}
		if n%4 == 0 {
			f.Adjoining = []string{fmt.Sprintf("%s/%d", room, (w+1)%4), fmt.Sprintf("%s/%d", room, (w+3)%4)}
		}
		for k, r := range []struct {
			rule, kind string
			work, wait unit.Hours
			crew       int
		}{{"prime", method.Prime, 0.6, 0, 1}, {"fill-1", method.Fill, 0.8, 4, 1}, {"fill-2", method.Fill, 0.7, 4, 1}, {"sand", method.Sand, 0.4, 4, 1},
			{"ground-1", method.Ground, 0.7, 0, 1}, {"ground-2", method.Ground, 0.7, 6, 1}, {"mark", method.Mark, 0.5, 6, 1}, {"ground-b", method.Ground, 0.6, 0, 1},
			{"glaze-1", method.Glaze, 1.4, 24, 2}, {"glaze-2", method.Glaze, 1.6, 36, 2}} {
			st := method.Step{ID: face + "#" + r.rule, Face: face, Room: room, Kind: r.kind, Title: r.rule, Crew: r.crew, Skill: "prepare",
				Work: unit.Exactly(r.work * unit.Hours(0.7+0.1*float64(w%7)))}
			if r.crew == 2 {
				st.Skill, st.WetEdge, st.Product = "lay", true, glazeOil
			}
			if k > 0 {
				st.Waits = []method.Wait{{On: f.Steps[k-1].ID, From: h(r.wait, r.wait, r.wait*1.25), Base: "water"}}
				if r.wait == 36 {
					st.Waits[0].Until = 240
				}
			}
			f.Steps = append(f.Steps, st)
		}
		m.Faces = append(m.Faces, f)
		if w%4 == 0 {
			m.Rooms = append(m.Rooms, method.Room{Name: room, Steps: []method.Step{
				{ID: room + "#protect", Room: room, Kind: method.Protect, Title: "Protect", Crew: 1, Work: unit.Exactly[unit.Hours](0.8)},
				{ID: room + "#unmask", Room: room, Kind: method.Unmask, Title: "Unmask", Crew: 1, Work: unit.Exactly[unit.Hours](0.5)}}})
		}
	}
	return m
}

func TestThirtyWalls(t *testing.T) {
	m, j := walls(30), twoPeople()
	j.Crew.People = append(j.Crew.People, job.Person{Name: "Tove", Skills: []string{"prepare"}})
	p := mustPlan(t, m, j)
	t.Logf("%d site days, bound %d by %s, %d visits, %v h", p.SiteDays, p.Bound, p.BoundBy, p.Visits, p.PersonHours)
}

func BenchmarkPlan(b *testing.B) {
	for _, n := range []int{10, 30, 100, 1000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			m, j := walls(n), twoPeople()
			j.Crew.People = append(j.Crew.People, job.Person{Name: "Tove", Skills: []string{"prepare"}})
			s := surveyOf(m)
			for b.Loop() {
				if _, err := schedule.Plan(s, m, j, nil, schedule.Quick); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// Whoever primes the attic is there on the first day and not again before August, whoever glazes it on any day but the
// first: it takes two days, of all plans that end in spring; what there is to do in the barn fits beside.
func TestARoomTellsTheFewestDays(t *testing.T) {
	j, m := twoPeople(), &method.Method{}
	j.Crew.People = []job.Person{{Name: "Mara", Skills: []string{"prepare"}}, {Name: "Ilse", Skills: []string{"lay"}, Off: []job.Date{"2027-03-08"}}, {Name: "Tove", Skills: []string{"work"}}}
	for day := time.Date(2027, 3, 9, 0, 0, 0, 0, time.UTC); day.Month() < 8; day = day.AddDate(0, 0, 1) {
		j.Crew.People[0].Off = append(j.Crew.People[0].Off, job.Date(day.Format(time.DateOnly)))
	}
	wall := func(face, skill string) {
		room, _, _ := strings.Cut(face, "/")
		m.Faces = append(m.Faces, method.Face{ID: face, Room: room, Technique: &catalog.Technique{ID: "dragging", Name: "Dragging"}, Steps: []method.Step{
			{ID: face + "#" + skill, Face: face, Room: room, Kind: method.Mask, Title: "Masking", Crew: 1, Skill: skill, Work: unit.Exactly[unit.Hours](0.25)}}})
	}
	wall("Attic/North", "prepare")
	wall("Attic/South", "lay")
	for k := range 31 {
		wall(fmt.Sprint("Barn/", k), "work")
	}
	s := surveyOf(m)
	p, err := schedule.Plan(s, m, j, nil, schedule.Effort{Placements: 3000, Conflicts: 4000})
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range check.Programme(s, m, j, nil, p) {
		t.Error(f)
	}
	last := p.Within.Format("Monday 2 January")
	if p.SiteDays != 2 || p.BoundBy != "Attic by itself, with the whole crew for it, cannot be done on fewer days by "+last ||
		p.Verdict() != "proved: no plan that ends by "+last+" needs fewer than 2 site days" || p.Within.Month() != time.April {
		t.Errorf("%d days, %s; %s", p.SiteDays, p.Verdict(), p.BoundBy)
	}
}
