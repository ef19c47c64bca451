package programme

import (
	"fmt"
	"net/http"
	"slices"
	"strings"
	"time"

	"scumble/job"
	"scumble/schedule"
	"scumble/web/board"
	"scumble/web/frame"
)

// today is what stands on the list of the day: what lies behind and is not noted, what is in
// work, what is planned for today, and what was done today.
type today struct {
	Date string
	Left []todo
	More int // that lie behind, beyond the ones listed
	Done []todo
}

// todo is a step of the day, with the one button that is next.
type todo struct {
	Step, When, Title, Where, Who string
	Running, Late                 bool
}

// mostBehind are listed of what was planned for earlier days and is not noted (own default).
const mostBehind = 8

// mostMoved are told without unfolding (own default).
const mostMoved = 8

// moved is a step that begins on another day than was agreed.
type moved struct{ What, Where, From, To, Why string }

// worked is an entry of the diary, to be corrected.
type worked struct {
	Path, What string
	Fields     []frame.Field
}

const moment = "2006-01-02 15:04"

// site is what the page knows of the work that is under way.
func site(s *frame.Sheet, v *view, p *schedule.Programme) {
	v.Today = dayOf(s, p)
	for _, m := range p.Moved {
		t := taskOf(p, m.Step)
		if t == nil {
			continue
		}
		v.Moved = append(v.Moved, moved{t.Title, placeOf(t), frame.Day(m.From), frame.Day(m.To), frame.Sentence(m.Why)})
	}
	if len(v.Moved) > mostMoved {
		v.Moved, v.MovedToo = v.Moved[:mostMoved], v.Moved[mostMoved:]
	}
	v.Agreed = len(s.Board.Job.Agreed)
	for _, t := range p.Tasks {
		if !t.Done {
			v.ToHold++
		}
	}
	if !p.PlannedFrom.IsZero() {
		v.PlannedFrom = p.PlannedFrom.Format("Monday 2 January, 15:04")
	}
	for i := len(s.Board.Job.Diary) - 1; i >= 0; i-- { // the last first
		path := fmt.Sprintf("diary[%d]", i)
		v.Diary = append(v.Diary, worked{path, stepWords(s.Board.Job.Diary[i].Step), []frame.Field{frame.FieldOf(s.Board, path+".began", "Begun", "").Noted("such as 2027-03-08 08:00"),
			frame.FieldOf(s.Board, path+".ended", "Ended", ""), frame.FieldOf(s.Board, path+".left", "Still to do", "h")}})
	}
}

// dayOf is nil before the first day and after the last.
func dayOf(s *frame.Sheet, p *schedule.Programme) *today {
	midnight := s.Now.Truncate(24 * time.Hour)
	tomorrow := midnight.AddDate(0, 0, 1)
	open := slices.ContainsFunc(p.Tasks, func(t schedule.Task) bool { return !t.Done })
	if !open || !p.Start.Before(tomorrow) || len(s.Board.Job.Diary) == 0 && p.Finish.Before(midnight) {
		return nil
	}
	out := &today{Date: s.Now.Format("Monday 2 January")}
	var behind []todo
	for i := range p.Tasks {
		t := &p.Tasks[i]
		one := todo{Step: t.Step, When: t.Start.Format("15:04") + " to " + t.End.Format("15:04"), Title: t.Title, Where: placeOf(t), Who: strings.Join(t.People, " and "), Running: t.Running}
		switch {
		case t.Done && !t.Supposed && !t.End.Before(midnight) && t.End.Before(tomorrow):
			out.Done = append(out.Done, one)
		case t.Done || !t.Start.Before(tomorrow):
		case t.Start.Before(midnight) && !t.Running:
			one.Late, one.When = true, "was planned for "+t.Start.Format("Mon 2 January")
			behind = append(behind, one)
		case t.Running:
			one.When = "begun " + t.Start.Format("Mon 15:04") + ", till " + t.End.Format("Mon 15:04")
			out.Left = append(out.Left, one)
		default:
			out.Left = append(out.Left, one)
		}
	}
	if len(behind) > mostBehind {
		out.More = len(behind) - mostBehind
		behind = behind[:mostBehind]
	}
	slices.SortStableFunc(out.Left, func(a, b todo) int { return rank(a) - rank(b) })
	out.Left = append(out.Left, behind...)
	return out
}

// rank puts what is in work before what is to be begun.
func rank(t todo) int {
	if t.Running {
		return 0
	}
	return 1
}

// stepWords names a step by its ID: Hall, Left: ground 1.
func stepWords(id string) string {
	where, rule, _ := strings.Cut(id, "#")
	return strings.Replace(where, "/", ", ", 1) + ": " + strings.ReplaceAll(rule, "-", " ")
}

// work notes in the diary that a step was begun or is done, at the time the button was pressed.
func (p *place) work(w http.ResponseWriter, r *http.Request) {
	base, err := p.Base(w, r)
	if err != nil {
		p.Fail(w, r, err)
		return
	}
	b := p.Board(base.Text)
	changes, err := noted(b, r.PostFormValue("step"), r.PostFormValue("deed"), p.Pressed(r))
	if err != nil {
		p.Fail(w, r, err)
		return
	}
	_, clash, problems, err := p.Change(r.Context(), base, changes)
	p.Edited(w, r, clash, problems, err)
}

// noted are the changes that note a step. Of one that is done and was never noted as begun the
// diary has it begun as long before as it was planned to take.
func noted(b *board.Board, step, what string, at time.Time) ([]job.Change, error) {
	var t *schedule.Task
	if b.Plan.Programme != nil {
		t = taskOf(b.Plan.Programme, step)
	}
	if t == nil {
		return nil, &frame.Refused{Status: http.StatusUnprocessableEntity, What: "this step is not in the programme any more", Do: "load the page again"}
	}
	i := slices.IndexFunc(b.Job.Diary, func(e job.Worked) bool { return e.Step == step })
	var changes []job.Change
	switch {
	case what == "began" && i < 0:
		changes = append(changes, job.Change{Do: job.Add, Path: "diary", To: -1, Value: job.Group{{Key: "step", Value: step}, {Key: "began", Value: at.Format(moment)}, {Key: "by", Value: t.People}}})
	case what == "ended" && i < 0:
		took := time.Minute
		for _, piece := range t.Pieces {
			took += piece.To.Sub(piece.From)
		}
		began := at.Add(-took)
		if first, err := time.Parse(time.DateOnly, string(b.Job.Crew.Start)); err == nil && began.Before(first) && first.Before(at) {
			began = first
		}
		changes = append(changes, job.Change{Do: job.Add, Path: "diary", To: -1, Value: job.Group{{Key: "step", Value: step}, {Key: "began", Value: began.Format(moment)}, {Key: "ended", Value: at.Format(moment)}, {Key: "by", Value: t.People}}})
	case what == "ended" && b.Job.Diary[i].Ended == "":
		path := fmt.Sprintf("diary[%d]", i)
		end := at
		if began := b.Job.Diary[i].Began.Time(); !end.After(began) {
			end = began.Add(time.Minute) // begun and done in one minute
		}
		changes = append(changes, job.Change{Do: job.Set, Path: path + ".ended", Value: end.Format(moment)})
		if b.Holds(path + ".left") {
			changes = append(changes, job.Change{Do: job.Clear, Path: path + ".left"})
		}
	default:
		return nil, &frame.Refused{Status: http.StatusConflict, What: "this is noted already", Do: "load the page again; the diary can be corrected"}
	}
	if from := b.Job.Crew.From; from != "" && from < job.Moment(at.Format(moment)) {
		changes = append(changes, job.Change{Do: job.Set, Path: "crew.planned-from", Value: at.Format(moment)})
	}
	return changes, nil
}

// hold writes the days that are shown as those agreed, or lets go of them.
func (p *place) hold(w http.ResponseWriter, r *http.Request) {
	base, err := p.Base(w, r)
	if err != nil {
		p.Fail(w, r, err)
		return
	}
	change := job.Change{Do: job.Clear, Path: "agreed"}
	if programme := p.Board(base.Text).Plan.Programme; r.PostFormValue("deed") == "hold" && programme != nil {
		var list []job.Group
		for _, t := range programme.Tasks {
			if !t.Done {
				list = append(list, job.Group{{Key: "step", Value: t.Step}, {Key: "day", Value: t.Start.Format(time.DateOnly)}})
			}
		}
		change = job.Change{Do: job.Set, Path: "agreed", Value: list}
	}
	_, clash, problems, err := p.Change(r.Context(), base, []job.Change{change})
	p.Edited(w, r, clash, problems, err)
}
