package schedule_test

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"scumble/job"
	"scumble/method"
	"scumble/schedule"
	"scumble/schedule/check"
	"scumble/schedule/place"
	"scumble/survey"
	"scumble/unit"
)

func moment(t time.Time) job.Moment { return job.Moment(t.Format("2006-01-02 15:04")) }

// diaryOf is what a crew would have written by a moment, had all gone as planned.
func diaryOf(p *schedule.Programme, at time.Time) (list []job.Worked) {
	for _, t := range p.Tasks {
		if !t.Start.Before(at) {
			continue
		}
		w := job.Worked{Step: t.Step, Began: moment(t.Start), By: t.People}
		if !t.End.After(at) {
			w.Ended = moment(t.End)
		} else {
			for _, piece := range t.Pieces {
				if piece.To.After(at) {
					w.Left.Text = "x"
					w.Left.Value += unit.Hours(piece.To.Sub(later(piece.From, at)).Hours())
				}
			}
		}
		list = append(list, w)
	}
	return list
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

// promises are the days of a programme.
func promises(p *schedule.Programme) (list []job.Agreed) {
	for _, t := range p.Tasks {
		list = append(list, job.Agreed{Step: t.Step, Day: date(t.Start)})
	}
	return list
}

// named gives the steps of drawn jobs the ids they have in a technique.
func named(s *survey.Survey, m *method.Method, j *job.Job) (*survey.Survey, *method.Method, *job.Job) {
	for f := range m.Faces {
		for k := range m.Faces[f].Steps {
			_, m.Faces[f].Steps[k].Rule, _ = strings.Cut(m.Faces[f].Steps[k].ID, "#")
		}
	}
	return s, m, j
}

// As long as all goes as planned nothing moves, wherever one stands.
func TestAPrefixMovesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, m, j := named(drawJob(t))
		p, err := schedule.Plan(s, m, j, nil, schedule.Quick)
		if err != nil {
			t.Fatal(err)
		}
		from := rapid.SampledFrom(p.Days).Draw(t, "day").Date.Add(time.Duration(rapid.SampledFrom([]int{0, 24}).Draw(t, "hour")) * time.Hour)
		if parted(p, j) {
			t.Skip("a step leaves a day out, which began and ended of the diary cannot tell")
		}
		later := *j
		later.Diary, later.Agreed, later.Crew.From = diaryOf(p, from), promises(p), moment(from)
		again, err := schedule.Plan(s, m, &later, nil, schedule.Quick)
		if err != nil {
			t.Fatal(err)
		}
		begun := func(step string) bool {
			return slices.ContainsFunc(later.Diary, func(w job.Worked) bool { return w.Step == step })
		}
		before, after := standing(p, begun), standing(again, begun)
		if slices.Compare(after, before) > 0 {
			t.Fatalf("%v, and then %v with %+v", before, after, again.Moved)
		}
	})
}

// standing is what counts before idle time: windows missed of what is not begun, site days and
// moves, visits, the day of the finish.
func standing(p *schedule.Programme, begun func(step string) bool) []int {
	late, steps := 0, map[string]string{}
	for _, k := range p.Tasks {
		where := k.Face
		if where == "" {
			where = k.Room
		}
		steps[fmt.Sprintf("%s (%s)", k.Title, where)] = k.Step
	}
	for _, w := range p.Warnings {
		if step, rest, ok := strings.Cut(w.What, " begins "); ok && strings.Contains(rest, "the window closes") && !begun(steps[step]) {
			late++
		}
	}
	return []int{late, p.SiteDays*place.MovesWorthADay + len(p.Moved), p.Visits, int(p.Finish.Truncate(24*time.Hour).Unix() / 86400)}
}

// parted reports whether a step pauses for a day on which the site is open.
func parted(p *schedule.Programme, j *job.Job) bool {
	for _, t := range p.Tasks {
		for k := 1; k < len(t.Pieces); k++ {
			for at := t.Pieces[k-1].To.AddDate(0, 0, 1); date(at) < date(t.Pieces[k].From); at = at.AddDate(0, 0, 1) {
				if j.Crew.WorksOn(at) {
					return true
				}
			}
		}
	}
	return false
}

// drawFacts writes a diary of anything at all.
func drawFacts(t *rapid.T, m *method.Method, j *job.Job) {
	var steps []string
	for r := range m.Rooms {
		for k := range m.Rooms[r].Steps {
			steps = append(steps, m.Rooms[r].Steps[k].ID)
		}
	}
	for f := range m.Faces {
		for k := range m.Faces[f].Steps {
			steps = append(steps, m.Faces[f].Steps[k].ID)
		}
	}
	first := time.Date(2027, 3, 8, 0, 0, 0, 0, time.UTC)
	at := func(name string) time.Time {
		return first.Add(time.Duration(rapid.IntRange(0, 14*24*12).Draw(t, name)) * 5 * time.Minute)
	}
	noted := map[string]bool{}
	for _, id := range rapid.SliceOfN(rapid.SampledFrom(append(steps, "Room 9/1#prime")), 0, 6).Draw(t, "noted") {
		if noted[id] {
			continue
		}
		noted[id] = true
		began := at("began")
		w := job.Worked{Step: id, Began: moment(began)}
		if rapid.Bool().Draw(t, "over") {
			w.Ended = moment(began.Add(time.Duration(rapid.IntRange(1, 4000).Draw(t, "took")) * time.Minute))
		} else if rapid.Bool().Draw(t, "left known") {
			w.Left = typed(unit.Hours(rapid.Float64Range(0, 30).Draw(t, "left")))
		}
		for k := range j.Crew.People {
			if rapid.Bool().Draw(t, "by") {
				w.By = append(w.By, j.Crew.People[k].Name)
			}
		}
		j.Diary = append(j.Diary, w)
	}
	for _, f := range m.Faces {
		if room, wall, _ := strings.Cut(f.ID, "/"); rapid.IntRange(0, 3).Draw(t, "noted on the wall") == 0 {
			i := slices.IndexFunc(j.Rooms, func(r job.Room) bool { return r.Name == room })
			w := job.Wall{Name: wall, Done: rapid.SampledFrom([]string{"prime", "ground", "glaze-2", "gild"}).Draw(t, "done")}
			if rapid.Bool().Draw(t, "known when") {
				w.Ended = moment(at("ended"))
			}
			j.Rooms[i].Walls = append(j.Rooms[i].Walls, w)
		}
	}
	for _, id := range rapid.SliceOfN(rapid.SampledFrom(append(steps, "Room 9/1#prime")), 0, 6).Draw(t, "agreed") {
		j.Agreed = append(j.Agreed, job.Agreed{Step: id, Day: date(at("day").AddDate(0, 0, -3))})
	}
	if rapid.Bool().Draw(t, "planned from") {
		j.Crew.From = max(j.LastNoted(), moment(at("from")))
	}
}

// Whatever was written down, what is left keeps every rule, and what was done stays.
func TestAnyFactsKeepTheRules(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, m, j := named(drawJob(t))
		drawFacts(t, m, j)
		schedule.Contradictions(m, j)
		before := fmt.Sprintf("%+v%+v", *j, *m)
		p, err := schedule.Plan(s, m, j, nil, schedule.Effort{Placements: 500})
		if err != nil {
			t.Fatal(err)
		}
		if faults := check.Programme(s, m, j, nil, p); len(faults) > 0 {
			t.Fatal(strings.Join(faults, "\n"))
		}
		tasks := map[string]*schedule.Task{}
		for i := range p.Tasks {
			k := &p.Tasks[i]
			tasks[k.Step] = k
			if !k.Done && !k.Running && k.Start.Before(p.PlannedFrom) {
				t.Fatalf("%s begins at %v, planned from %v", k.Step, k.Start, p.PlannedFrom)
			}
		}
		for _, w := range j.Diary {
			k := tasks[w.Step]
			if k == nil {
				continue
			}
			if !k.Start.Equal(w.Began.Time()) || k.Done != (w.Ended != "") || k.Done && !k.End.Equal(w.Ended.Time()) || k.Running && k.End.Before(p.PlannedFrom) || k.Supposed {
				t.Fatalf("%+v became %+v", w, k)
			}
		}
		for _, move := range p.Moved {
			k := tasks[move.Step]
			if move.Why == "" || move.From.Equal(move.To) || !move.To.Equal(k.Start.Truncate(24*time.Hour)) {
				t.Fatalf("%+v of %+v", move, k)
			}
		}
		again, err := schedule.Plan(s, m, j, nil, schedule.Effort{Placements: 500})
		if err != nil || !reflect.DeepEqual(p, again) || fmt.Sprintf("%+v%+v", *j, *m) != before {
			t.Fatal("a second run differs, or the inputs changed")
		}
	})
}

func date(t time.Time) job.Date { return job.Date(t.Format(time.DateOnly)) }

func wall(name, done string, ended job.Moment) job.Wall {
	return job.Wall{Name: name, Done: done, Ended: ended}
}

// Worked by hand. The primer took four hours instead of two and ended on Monday at 12:00; it is
// dry 12 h later. The ground coat goes on as before on Tuesday; so does the glaze.
func TestFactsByHand(t *testing.T) {
	s, m, j := named(surveyOf(&method.Method{Faces: []method.Face{oneWall("Hall/North")}}), &method.Method{Faces: []method.Face{oneWall("Hall/North")}}, twoPeople())
	j.Rooms = []job.Room{{Name: "Hall", Walls: []job.Wall{wall("North", "", "")}}}
	j.Agreed = []job.Agreed{{Step: "Hall/North#ground", Day: "2027-03-09"}, {Step: "Hall/North#glaze", Day: "2027-03-10"}}
	plan := func() *schedule.Programme {
		t.Helper()
		p, err := schedule.Plan(s, m, j, nil, schedule.Quick)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range check.Programme(s, m, j, nil, p) {
			t.Error(f)
		}
		return p
	}
	said := func(p *schedule.Programme, step string) string {
		k := find(t, p, step)
		return k.Start.Format(stamp) + " to " + k.End.Format(stamp) + " " + k.Before
	}
	j.Diary = []job.Worked{{Step: "Hall/North#prime", Began: "2027-03-08 08:00", Ended: "2027-03-08 12:00", By: []string{"Ilse"}}}
	p := plan()
	if k := find(t, p, "Hall/North#prime"); !k.Done || k.Critical || len(k.People) != 1 || k.People[0] != "Ilse" || k.Ready.Latest.Format(stamp) != "Tue 9 00:00" {
		t.Errorf("primer %+v", k)
	}
	if got := said(p, "Hall/North#ground"); got != "Tue 9 08:00 to Tue 9 10:00 agreed for Tue 9" || len(p.Moved) > 0 || p.SiteDays != 3 || p.PersonHours != 12 {
		t.Errorf("%s; moved %+v; %d days, %v", got, p.Moved, p.SiteDays, p.PersonHours)
	}
	if p.PlannedFrom.Format(stamp) != "Mon 8 12:00" {
		t.Errorf("planned from %v", p.PlannedFrom)
	}

	// It is still in work on Tuesday at 10:00, with an hour left: dry at 23:00, so that the ground
	// coat goes on on Wednesday at 8:00, is dry on Thursday at 10:00, and the glaze fits after lunch.
	j.Diary[0].Ended, j.Diary[0].Left = "", typed(unit.Hours(1))
	j.Crew.From = "2027-03-09 10:00"
	p = plan()
	if k := find(t, p, "Hall/North#prime"); !k.Running || k.End.Format(stamp) != "Tue 9 11:00" || p.PersonHours != 8+2+1+2+6 {
		t.Errorf("primer %+v, %v h", k, p.PersonHours)
	}
	if got := said(p, "Hall/North#glaze"); got != "Thu 11 13:00 to Thu 11 16:00 ground coat dry" {
		t.Error(got)
	}
	want := []string{
		"Hall/North#ground Tue 9 to Wed 10: primer dry; primer on Hall/North is in work until Tue 9 March, 11:00",
		"Hall/North#glaze Wed 10 to Thu 11: ground coat dry; ground coat on Hall/North begins Wed 10 March, 08:00, 1 day later than agreed",
	}
	var got []string
	for _, m := range p.Moved {
		got = append(got, m.Step+" "+m.From.Format("Mon 2")+" to "+m.To.Format("Mon 2")+": "+m.Why)
	}
	if !strings.HasPrefix(got[1], want[1][:30]) || got[0] != want[0] {
		t.Errorf("moved:\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}

	// The short way: the ground coat ended on Tuesday at 12:00; the primer was before it.
	j.Diary, j.Crew.From = nil, ""
	j.Rooms[0].Walls[0] = wall("North", "ground", "2027-03-09 12:00")
	p = plan()
	if k := find(t, p, "Hall/North#ground"); k.Start.Format(stamp) != "Tue 9 10:00" || !k.Done || !k.Supposed {
		t.Errorf("ground coat %+v", k)
	}
	if k := find(t, p, "Hall/North#prime"); k.End.Format(stamp) != "Tue 9 10:00" || !k.Done || !k.Supposed {
		t.Errorf("primer %+v", k)
	}
	if got := said(p, "Hall/North#glaze"); got != "Wed 10 13:00 to Wed 10 16:00 agreed for Wed 10" {
		t.Error(got)
	}
	if w := p.Warnings; len(w) != 1 || w[0].Name != "Hall/North" || !strings.HasPrefix(w[0].What, "When prime, ground was done is not noted whole") {
		t.Errorf("%+v", w)
	}
	// The diary has the ground coat, begun earlier; its times count.
	j.Diary = []job.Worked{{Step: "Hall/North#ground", Began: "2027-03-09 08:00", Ended: "2027-03-09 09:30"}}
	if k := find(t, plan(), "Hall/North#ground"); k.End.Format(stamp) != "Tue 9 09:30" || k.Supposed {
		t.Errorf("ground coat %+v", k)
	}
	// Nobody says when: nothing can be planned from it, and that is said.
	j.Diary = nil
	j.Rooms[0].Walls[0] = wall("North", "ground", "")
	p = plan()
	if w := p.Warnings; len(w) != 1 || !strings.Contains(w[0].What, "nothing says when") || find(t, p, "Hall/North#prime").Done {
		t.Errorf("%+v", w)
	}
}

// Nobody came on Tuesday. Begun on Monday at 16:30 and gone on with on Wednesday, the primer seems to
// have had the whole of Tuesday, until the day is closed in the crew's calendar afterwards.
func TestADayNobodyCame(t *testing.T) {
	m := &method.Method{Faces: []method.Face{oneWall("Hall/North")}}
	s, m, j := named(surveyOf(m), m, twoPeople())
	j.Crew.From = "2027-03-10 08:30"
	for name, c := range map[string]struct {
		entry  job.Worked
		closed []job.Date
		pieces string
		left   time.Duration
		days   int
	}{
		"as if they came":           {job.Worked{Began: "2027-03-08 16:30"}, nil, "Mon 8 16:30 Tue 9 08:00 Tue 9 13:00 Wed 10 08:00 Wed 10 08:30", 5 * time.Minute, 5},
		"closed afterwards":         {job.Worked{Began: "2027-03-08 16:30"}, []job.Date{"2027-03-09"}, "Mon 8 16:30 Wed 10 08:00 Wed 10 08:30", time.Hour, 4},
		"done, as if they came":     {job.Worked{Began: "2027-03-08 16:30", Ended: "2027-03-10 08:30"}, nil, "Mon 8 16:30 Tue 9 08:00 Tue 9 13:00 Wed 10 08:00", 0, 5},
		"done, closed afterwards":   {job.Worked{Began: "2027-03-08 16:30", Ended: "2027-03-10 08:30"}, []job.Date{"2027-03-09"}, "Mon 8 16:30 Wed 10 08:00", 0, 4},
		"left as somebody noted it": {job.Worked{Began: "2027-03-08 16:30", Left: typed(unit.Hours(2))}, []job.Date{"2027-03-09"}, "Mon 8 16:30 Wed 10 08:00 Wed 10 08:30", 2 * time.Hour, 4},
	} {
		c.entry.Step = "Hall/North#prime"
		j.Diary, j.Crew.Closed = []job.Worked{c.entry}, c.closed
		p, err := schedule.Plan(s, m, j, nil, schedule.Quick)
		if err != nil {
			t.Fatal(err)
		}
		k := find(t, p, "Hall/North#prime")
		var pieces []string
		for _, piece := range k.Pieces {
			pieces = append(pieces, piece.From.Format(stamp))
		}
		if got := strings.Join(pieces, " "); got != c.pieces || k.End.Sub(p.PlannedFrom) != c.left || p.SiteDays != c.days {
			t.Errorf("%s: begins at %s, %v left, %d site days; want %s, %v, %d", name, got, k.End.Sub(p.PlannedFrom), p.SiteDays, c.pieces, c.left, c.days)
		}
		for _, f := range check.Programme(s, m, j, nil, p) {
			t.Errorf("%s: %s", name, f)
		}
	}
}

// All is done: nothing is left to plan.
func TestAllDone(t *testing.T) {
	m := &method.Method{Faces: []method.Face{oneWall("Hall/North")}}
	s, m, j := named(surveyOf(m), m, twoPeople())
	first := mustPlan(t, m, j)
	j.Diary = diaryOf(first, first.Finish)
	p, err := schedule.Plan(s, m, j, nil, schedule.Quick)
	if err != nil || !p.Proved() || p.SiteDays != first.SiteDays || !p.Finish.Equal(first.Finish) || p.BoundBy != "nothing is left to do on another day" {
		t.Errorf("%+v, %v", p, err)
	}
}

func TestVerdict(t *testing.T) {
	for want, p := range map[string]schedule.Programme{
		"there is no work": {},
		"proved: no plan needs fewer than 1 site day":  {SiteDays: 1, Bound: 1},
		"proved: no plan needs fewer than 9 site days": {SiteDays: 9, Bound: 9},
		"within 1 day of the best possible":            {SiteDays: 9, Bound: 8},
		"within 3 days of the best possible":           {SiteDays: 9, Bound: 6},
	} {
		if got := p.Verdict(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// A heated room has the air of the day at night; a log is raised with its moisture kept.
func TestHeated(t *testing.T) {
	j := twoPeople()
	if same, warmer := schedule.Heated(j); warmer || same == j {
		t.Error("no nights, and a heater changes them")
	}
	j.Climate = job.Climate{Temp: typed(unit.Temp(18)), Night: typed(unit.Temp(13)), Humidity: typed(unit.Humidity(0.55))}
	j.Rooms = []job.Room{{Name: "Hall"}, {Name: "Attic", Climate: job.Climate{Log: []job.Reading{
		{At: "2027-03-08 00:00", Temp: typed(unit.Temp(8)), Humidity: typed(unit.Humidity(0.9))},
		{At: "2027-03-08 12:00", Temp: typed(unit.Temp(20)), Humidity: typed(unit.Humidity(0.5))},
	}}}}
	before := fmt.Sprintf("%+v", *j)
	warm, warmer := schedule.Heated(j)
	if !warmer || warm.Climate.Night.Given() || fmt.Sprintf("%+v", *j) != before {
		t.Errorf("%+v, and the job was %s", warm.Climate, before)
	}
	log := warm.Rooms[1].Climate.Log
	// psat(8 C) = 1.0730 kPa and psat(18 C) = 2.0647 kPa (ASHRAE 2017, table 3): 0.9 becomes 0.468.
	if h := float64(log[0].Humidity.Value); log[0].Temp.Value != 18 || h < 0.465 || h > 0.471 || log[1] != j.Rooms[1].Climate.Log[1] {
		t.Errorf("%+v", log)
	}
}
