package schedule

import (
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
	"scumble/job"
	"scumble/method"
	"scumble/survey"
	"scumble/unit"
)

func moment(t time.Time) job.Moment { return job.Moment(t.Format("2006-01-02 15:04")) }

// diaryOf is what a crew would have written by a moment, had all gone as planned.
func diaryOf(p *Programme, at time.Time) (list []job.Worked) {
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
func promises(p *Programme) (list []job.Agreed) {
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
		p, err := Plan(s, m, j, nil, Quick)
		if err != nil {
			t.Fatal(err)
		}
		from := rapid.SampledFrom(p.Days).Draw(t, "day").Date.Add(time.Duration(rapid.SampledFrom([]int{0, 24}).Draw(t, "hour")) * time.Hour)
		if parted(p, j) {
			t.Skip("a step leaves a day out, which began and ended of the diary cannot tell")
		}
		later := *j
		later.Diary, later.Agreed, later.Crew.From = diaryOf(p, from), promises(p), moment(from)
		again, err := Plan(s, m, &later, nil, Quick)
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
func standing(p *Programme, begun func(step string) bool) []int {
	late := 0
	for _, w := range p.Warnings {
		if step, rest, ok := strings.Cut(w.What, " begins "); ok && strings.Contains(rest, "the window closes") && !begun(step) {
			late++
		}
	}
	return []int{late, p.SiteDays, p.Visits, int(p.Finish.Truncate(24*time.Hour).Unix() / 86400), len(p.Moved)}
}

// parted reports whether a step pauses for a day on which the site is open.
func parted(p *Programme, j *job.Job) bool {
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
