package plan_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"scumble/job"
	"scumble/plan"
	"scumble/schedule"
)

const minute = "2006-01-02 15:04"

// after is the demonstration on the evening of a day: one wall of that day takes twice the
// time and is still in work, what its people were to do after it is not begun, and its room
// has gone cold. It returns the job, the slow step, and what the diary holds by step.
func after(t *testing.T, j *job.Job, p *schedule.Programme, day int) (*job.Job, *schedule.Task, map[string]job.Worked) {
	t.Helper()
	var slow *schedule.Task
	evening := p.Days[day-1].Date.Add(24 * time.Hour)
	for i := range p.Tasks {
		k := &p.Tasks[i]
		if k.Face == "" || !k.Start.After(p.Days[day-1].Date) || k.End.After(evening) {
			continue
		}
		if slow == nil || k.End.Sub(k.Start) > slow.End.Sub(slow.Start) {
			slow = k
		}
	}
	later := *j
	diary := map[string]job.Worked{}
	for _, k := range p.Tasks {
		later.Agreed = append(later.Agreed, job.Agreed{Step: k.Step, Day: job.Date(k.Start.Format(time.DateOnly))})
		behind := !k.Start.Before(slow.End) && (k.Face == slow.Face || slices.ContainsFunc(k.People, func(n string) bool { return slices.Contains(slow.People, n) }))
		if !k.Start.Before(evening) || behind {
			continue
		}
		w := job.Worked{Step: k.Step, Began: job.Moment(k.Start.Format(minute)), Ended: job.Moment(k.End.Format(minute)), By: k.People}
		if k.Step == slow.Step {
			w.Ended, w.Left = "", job.Hours{Text: "2 h", Value: 2}
		}
		diary[k.Step] = w
		later.Diary = append(later.Diary, w)
	}
	later.Crew.From = job.Moment(evening.Format(minute))
	later.Rooms = slices.Clone(j.Rooms)
	r := slices.IndexFunc(later.Rooms, func(r job.Room) bool { return r.Name == slow.Room })
	for h := range 8 * 30 { // a day and a night of cold, then as before
		reading := job.Reading{At: job.Moment(evening.Add(time.Duration(3*h-24) * time.Hour).Format(minute)),
			Temp: job.Temp{Text: "17 C", Value: 17}, Humidity: job.Humidity{Text: "57 %", Value: 0.57}}
		if h >= 4 && h < 14 {
			reading.Temp, reading.Humidity = job.Temp{Text: "12 C", Value: 12}, job.Humidity{Text: "70 %", Value: 0.7}
		}
		later.Rooms[r].Climate.Log = append(later.Rooms[r].Climate.Log, reading)
	}
	return &later, slow, diary
}

// TestTheDemonstrationAfterDaySix: what was done stays, most of the agreed days are kept, and
// the list of moves is what the days say.
func TestTheDemonstrationAfterDaySix(t *testing.T) {
	file, c := demo(t)
	first := planned(t, file.Job, c).Programme
	later, slow, diary := after(t, file.Job, first, 6)
	p, problems, err := plan.Only(later, c, schedule.Full)
	if err != nil || len(problems) > 0 {
		t.Fatal(problems, err)
	}
	g := p.Programme
	agreed := map[string]string{}
	for _, a := range later.Agreed {
		agreed[a.Step] = string(a.Day)
	}
	moves := map[string]schedule.Move{}
	for _, m := range g.Moved {
		moves[m.Step] = m
	}
	left, moved := 0, 0
	for _, k := range g.Tasks {
		if w, noted := diary[k.Step]; noted {
			if k.Done != (w.Ended != "") || k.Start.Format(minute) != string(w.Began) || k.Done && k.End.Format(minute) != string(w.Ended) {
				t.Errorf("%+v became %+v", w, k)
			}
			if m, told := moves[k.Step]; told {
				t.Errorf("done on its day, and told as moved: %+v", m)
			}
			continue
		}
		left++
		if k.Done || k.Running || k.Start.Before(g.PlannedFrom) {
			t.Errorf("%s is not in the diary and begins %v", k.Step, k.Start)
		}
		m, told := moves[k.Step]
		if day := k.Start.Format(time.DateOnly); told != (day != agreed[k.Step]) || told && (m.To.Format(time.DateOnly) != day || m.From.Format(time.DateOnly) != agreed[k.Step] || m.Why == "") {
			t.Errorf("%s agreed for %s begins %s: %+v", k.Step, agreed[k.Step], day, m)
		} else if told {
			moved++
		}
	}
	t.Logf("%d site days, then %d; %d of %d steps moved; %s was slow", first.SiteDays, g.SiteDays, moved, left, slow.Step)
	if moved == 0 || 2*moved > left {
		t.Errorf("%d of %d steps moved", moved, left)
	}
	if !slices.ContainsFunc(g.Moved, func(m schedule.Move) bool { return strings.Contains(m.Why, slow.Face) }) {
		t.Errorf("no move goes back to %s: %+v", slow.Face, g.Moved)
	}
	find := func(step string) *schedule.Task {
		i := slices.IndexFunc(g.Tasks, func(k schedule.Task) bool { return k.Step == step })
		return &g.Tasks[i]
	}
	if k := find(slow.Step); !k.Running || k.End.Sub(g.PlannedFrom) < 2*time.Hour {
		t.Errorf("the slow step: %+v", k)
	}
	// The same evening without the cold: what the wall waits for is dry sooner.
	warm := *later
	warm.Rooms = file.Job.Rooms
	same, problems, err := plan.Only(&warm, c, schedule.Quick)
	if err != nil || len(problems) > 0 {
		t.Fatal(problems, err)
	}
	for _, k := range same.Programme.Tasks {
		if cold := find(k.Step); k.Done && k.Room == slow.Room && k.Ready.Latest.After(cold.Ready.Latest) {
			t.Errorf("%s is dry %v, and in the cold %v", k.Step, k.Ready.Latest, cold.Ready.Latest)
		}
	}
}

// TestContradictionsAreProblems: with a plan there is none, and the draft has no programme.
func TestContradictionsAreProblems(t *testing.T) {
	file, c := demo(t)
	steps := planned(t, file.Job, c).Method.Faces[0].Steps
	j := *file.Job
	j.Rooms = slices.Clone(j.Rooms)
	j.Rooms[0].Walls = slices.Clone(j.Rooms[0].Walls)
	j.Rooms[0].Walls[0].Done, j.Rooms[0].Walls[0].Ended = steps[len(steps)-1].Rule, "2027-03-10 12:00"
	j.Diary = []job.Worked{{Step: steps[0].ID, Began: "2027-03-09 08:00"}, {Step: steps[1].ID, Began: "2027-03-09 08:00", Ended: "2027-03-11 09:00"}}
	_, problems, err := plan.Run(&j, c)
	var paths []string
	for _, p := range problems {
		paths = append(paths, p.Path)
	}
	if want := []string{"rooms[0].walls[0].done", "diary[1].ended"}; err != nil || !slices.Equal(paths, want) {
		t.Errorf("%v, %v", problems, err)
	}
	p, problems := plan.AsFar(&j, c, nil)
	if p.Programme != nil || p.Quantities == nil || len(problems) < 2 {
		t.Errorf("a programme in spite of %v", problems)
	}
}

// TestWhatIf: each case is what planning the changed job gives, in the same bytes again.
func TestWhatIf(t *testing.T) {
	file, c := demo(t)
	j := *file.Job
	p := planned(t, &j, c)
	last := p.Programme.Tasks[len(p.Programme.Tasks)-1]
	j.Crew.Pins = []job.Pin{{Step: last.Step, Day: job.Date(last.Start.AddDate(0, 0, 14).Format(time.DateOnly))}}
	p, problems, err := plan.Only(&j, c, schedule.Quick)
	if err != nil || len(problems) > 0 {
		t.Fatal(problems, err)
	}
	before := text(t, p.Job)
	cases, err := plan.WhatIf(p, schedule.Quick)
	if err != nil {
		t.Fatal(err)
	}
	if text(t, p.Job) != before {
		t.Error("asking changed the job")
	}
	again, err := plan.WhatIf(p, schedule.Quick)
	if err != nil || text(t, again) != text(t, cases) {
		t.Errorf("asked again it is another table: %v", err)
	}
	byID := map[string]plan.Case{}
	var ids []string
	for _, k := range cases {
		ids, byID[k.ID] = append(ids, k.ID), k
		if k.Why != "" || k.SiteDays < 1 || k.Verdict == "" || k.Programme == nil {
			t.Errorf("%+v", k)
		}
	}
	if want := []string{plan.AsItIs, plan.OneMore, plan.Saturdays, plan.AnHour, plan.Heater, plan.WaterBase, plan.NoPins}; !slices.Equal(ids, want) {
		t.Errorf("cases %v", ids)
	}
	if base := byID[plan.AsItIs]; text(t, base.Programme) != text(t, p.Programme) || base.Cost != 0 {
		t.Error("as it is, it is another programme")
	}
	alone := func(id string, change func(*job.Job)) {
		other := j
		change(&other)
		own, problems, err := plan.Only(&other, c, schedule.Quick)
		if err != nil || len(problems) > 0 {
			t.Fatal(problems, err)
		}
		k := byID[id]
		if text(t, own.Programme) != text(t, k.Programme) || !k.Priced || own.Quote.Net-p.Quote.Net != k.Cost {
			t.Errorf("%s: planned by itself it is another programme or price", id)
		}
	}
	alone(plan.NoPins, func(j *job.Job) { j.Crew.Pins = nil })
	alone(plan.Saturdays, func(j *job.Job) { j.Crew.Days = append(slices.Clone(j.Crew.Days), "Sat") })
	alone(plan.Heater, func(j *job.Job) { heated, _ := schedule.Heated(j); *j = *heated })
	alone(plan.OneMore, func(j *job.Job) {
		j.Crew.People = append(slices.Clone(j.Crew.People), job.Person{Name: "One more", Rate: j.Crew.People[0].Rate})
	})
	for _, f := range byID[plan.WaterBase].Programme.Tasks {
		if f.Step == "" {
			t.Error("a step without a name")
		}
	}
	if free, err := plan.WithoutPins(p); err != nil || text(t, free) != text(t, byID[plan.NoPins].Programme) {
		t.Errorf("without pins it is another programme than in the table: %v", err)
	}
	if !byID[plan.NoPins].Finish.Before(byID[plan.AsItIs].Finish) {
		t.Error("the pin costs nothing")
	}
	p.Programme = nil
	if _, err := plan.WhatIf(p, schedule.Quick); err == nil {
		t.Error("a table without a programme")
	}
}
