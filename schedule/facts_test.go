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
	"scumble/survey"
	"scumble/unit"
)

func date(t time.Time) job.Date { return job.Date(t.Format(time.DateOnly)) }

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

// standing is what counts before idle time: windows missed of what is not begun, site days,
// visits, the day of the finish, moves.
func standing(p *schedule.Programme, begun func(step string) bool) []int {
	late := 0
	for _, w := range p.Warnings {
		if step, rest, ok := strings.Cut(w.What, " begins "); ok && strings.Contains(rest, "the window closes") && !begun(step) {
			late++
		}
	}
	return []int{late, p.SiteDays, p.Visits, int(p.Finish.Truncate(24*time.Hour).Unix() / 86400), len(p.Moved)}
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
		if faults := check.Programme(s, m, j, p); len(faults) > 0 {
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
