package check

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"scumble/catalog"
	"scumble/drying"
	"scumble/job"
	"scumble/method"
	"scumble/schedule"
	"scumble/survey"
	"scumble/unit"
)

// programme is a programme under the eye. Only clock times are looked at.
type programme struct {
	job    *job.Job
	survey *survey.Survey
	d      *catalog.Defaults
	p      *schedule.Programme
	tasks  map[string]*schedule.Task
	steps  map[string]*method.Step
	list
}

// Programme recomputes every rule of a programme from the job, the method and the figures of the
// catalog, and returns what is broken.
func Programme(s *survey.Survey, m *method.Method, j *job.Job, d *catalog.Defaults, p *schedule.Programme) []string {
	c := &programme{j, s, d, p, map[string]*schedule.Task{}, map[string]*method.Step{}, nil}
	for i := range p.Tasks {
		if c.tasks[p.Tasks[i].Step] != nil {
			c.fault("%s stands twice", p.Tasks[i].Step)
		}
		c.tasks[p.Tasks[i].Step] = &p.Tasks[i]
	}
	all := 0
	for _, r := range m.Rooms {
		for k := range r.Steps {
			c.steps[r.Steps[k].ID] = &r.Steps[k]
			all++
		}
	}
	for _, f := range m.Faces {
		for k := range f.Steps {
			c.steps[f.Steps[k].ID] = &f.Steps[k]
			all++
		}
	}
	if all != len(p.Tasks) {
		c.fault("%d steps, %d tasks", all, len(p.Tasks))
		return c.list
	}
	hours := 0.0
	for id, st := range c.steps {
		if c.begun(id) {
			hours += hoursOf(c.tasks[id], st)
			continue
		}
		c.one(id, st)
		hours += float64(c.minutes(st)) / 60 * float64(max(1, st.Crew))
	}
	if len(c.tasks) != all {
		return c.list
	}
	if math.Abs(hours-float64(p.PersonHours)) > 1e-6 {
		c.fault("person-hours %v, want %v", p.PersonHours, hours)
	}
	c.together()
	c.order(m)
	c.pins()
	c.corners(m)
	c.days()
	return c.list
}

// begun reports whether a step was done, or is in work: it lies where it lay, whatever the rules.
func (c *programme) begun(id string) bool {
	t := c.tasks[id]
	return t != nil && (t.Done || t.Running)
}

// hoursOf is what a step that has begun took and will take.
func hoursOf(t *schedule.Task, st *method.Step) (hours float64) {
	hands := len(t.People)
	if hands == 0 {
		hands = max(1, st.Crew)
	}
	for _, p := range t.Pieces {
		hours += p.To.Sub(p.From).Hours() * float64(hands)
	}
	return hours
}

func (c *programme) minutes(st *method.Step) int {
	five := int(math.Ceil(float64(st.Work.Likely) * 12))
	return 5 * max(1, five)
}

func (c *programme) warned(id string) bool {
	return slices.ContainsFunc(c.p.Warnings, func(w job.Warning) bool { return strings.Contains(w.What, id) && w.Do != "" })
}

func date(t time.Time) job.Date { return job.Date(t.Format("2006-01-02")) }

func (c *programme) siteOpen(t time.Time) bool {
	return slices.Contains(c.job.Crew.Days, t.Format("Mon")) && !slices.Contains(c.job.Crew.Closed, date(t)) && date(t) >= c.job.Crew.Start
}

func (c *programme) one(id string, st *method.Step) {
	t := c.tasks[id]
	if t == nil {
		c.fault("%s is missing", id)
		return
	}
	unbroken := st.Unbroken || st.WetEdge
	longest := 0
	first, last := c.job.Crew.Hours[0].From, c.job.Crew.Hours[0].To
	for _, s := range c.job.Crew.Hours {
		longest = max(longest, int(s.To-s.From))
		first, last = min(first, s.From), max(last, s.To)
	}
	long := unbroken && c.minutes(st) > longest
	if long && !c.warned(words(st)+" does not fit in one stretch") {
		c.fault("%s cannot be done in one stretch and nobody is told", id)
	}
	total := 0
	for k, p := range t.Pieces {
		total += int(p.To.Sub(p.From).Minutes())
		from, to := p.From.Hour()*60+p.From.Minute(), p.To.Hour()*60+p.To.Minute()
		inside := long && from >= int(first) && to <= int(last) && from == int(first)
		for _, s := range c.job.Crew.Hours {
			inside = inside || from >= int(s.From) && to <= int(s.To)
		}
		if !inside || from >= to || date(p.From) != date(p.To) {
			c.fault("%s works %v to %v, outside hours", id, p.From, p.To)
		}
		if !c.siteOpen(p.From) {
			c.fault("%s works on %v, a closed day", id, p.From)
		}
		for _, r := range c.job.Rooms {
			if r.Name == st.Room && (slices.Contains(r.Closes, date(p.From)) || date(p.From) < r.From) {
				c.fault("%s works in a shut room on %v", id, p.From)
			}
		}
		for _, name := range t.People {
			for _, who := range c.job.Crew.People {
				if who.Name == name && slices.Contains(who.Off, date(p.From)) {
					c.fault("%s has %s on %v, a day off", id, name, p.From)
				}
			}
		}
		if k == 0 {
			continue
		}
		if before := t.Pieces[k-1]; date(before.From) == date(p.From) {
			for at := before.To; at.Before(p.From); at = at.Add(time.Minute) {
				m := job.Clock(at.Hour()*60 + at.Minute())
				for _, s := range c.job.Crew.Hours {
					if m >= s.From && m < s.To {
						c.fault("%s pauses in working time at %v", id, at)
						return
					}
				}
			}
		} else if p.From.Hour()*60+p.From.Minute() != int(first) || before.To.Hour()*60+before.To.Minute() != int(last) {
			c.fault("%s pauses %v to %v for more than the night", id, before.To, p.From)
		}
	}
	if total != c.minutes(st) {
		c.fault("%s has %d minutes, needs %d", id, total, c.minutes(st))
	}
	if unbroken && !long && len(t.Pieces) != 1 {
		c.fault("%s is broken", id)
	}
	if !t.Start.Equal(t.Pieces[0].From) || !t.End.Equal(t.Pieces[len(t.Pieces)-1].To) || t.End.After(c.p.Finish) || t.Start.Before(c.p.Start) || t.Slack < 0 {
		c.fault("%s: start, end or slack do not fit: %+v", id, t)
	}
	c.skills(st, t)
}

func (c *programme) skills(st *method.Step, t *schedule.Task) {
	var needs []string
	switch {
	case st.Crew > 1 && st.Skill != "prepare":
		needs = []string{"lay", "work"}
	case st.Crew > 1:
		needs = []string{"prepare", "prepare"}
	case st.Skill != "":
		needs = []string{st.Skill}
	default:
		needs = []string{"prepare"}
	}
	if len(t.People) != len(needs) || len(needs) == 2 && t.People[0] == t.People[1] {
		c.fault("%s has %v, needs %v", st.ID, t.People, needs)
		return
	}
	for k, name := range t.People {
		able := false
		for _, who := range c.job.Crew.People {
			able = able || who.Name == name && (len(who.Skills) == 0 || slices.Contains(who.Skills, needs[k]))
		}
		if !able {
			c.fault("%s: %s cannot %s", st.ID, name, needs[k])
		}
	}
}

// together looks at every pair of tasks for people in two places and kit used twice.
func (c *programme) together() {
	kit := map[string]int{}
	for _, k := range c.job.Kit {
		kit[k.Kind] += k.Count
	}
	for i := range c.p.Tasks {
		a := &c.p.Tasks[i]
		same := 1
		for k := range c.p.Tasks {
			b := &c.p.Tasks[k]
			if k == i || a.Done || b.Done {
				continue
			}
			if !a.Running && !b.Running && a.Stand == b.Stand && !a.Start.Before(b.Start) && a.Start.Before(b.End) && (a.Start.After(b.Start) || k < i) {
				same++
			}
			if !slices.ContainsFunc(a.People, func(n string) bool { return slices.Contains(b.People, n) }) {
				continue
			}
			for _, p := range a.Pieces {
				for _, q := range b.Pieces {
					if p.From.Before(c.p.PlannedFrom) || q.From.Before(c.p.PlannedFrom) {
						continue
					}
					if p.From.Before(q.To) && q.From.Before(p.To) {
						c.fault("%s and %s have the same person at %v", a.Step, b.Step, p.From)
					}
				}
			}
		}
		n, listed := kit[a.Stand]
		if a.Stand == "platform" && !listed {
			n, listed = 1, true
		}
		if listed && same > n {
			c.fault("%s is the %d. at once on %s at %v; there are %d", a.Step, same, a.Stand, a.Start, n)
		}
	}
}

// air is the climate a step dries in, read from the survey anew, and which time counts there. Air in which
// nobody may paint is put right while somebody is there, or for good where it never changes.
func (c *programme) air(st *method.Step) (drying.Climate, string) {
	first, _ := time.Parse(time.DateOnly, string(c.job.Crew.Start))
	place := drying.Place{Air: c.job.Climate, First: first}
	for _, r := range c.survey.Rooms {
		if r.Name == st.Room {
			place.Air = r.Climate
		}
	}
	if _, wall, _ := c.survey.FaceByID(st.Face); wall != nil {
		place.Surface, place.Outside = wall.Surface, wall.Outside
	}
	measured := place.Climate(c.d)
	steady := measured.Steadily()
	return measured.With(func(hour int, a drying.Air) drying.Air {
		from := job.Clock((hour%24 + 24) % 24 * 60)
		if steady || slices.ContainsFunc(c.job.Crew.Hours, func(s job.Span) bool { return s.From < from+60 && s.To > from }) {
			return drying.Better(a, c.d)
		}
		return a
	}), place.WaitBy()
}

func (c *programme) hour(at time.Time) float64 {
	first, _ := time.Parse(time.DateOnly, string(c.job.Crew.Start))
	return at.Sub(first).Hours()
}

func (c *programme) window(on *method.Step, w method.Wait) drying.Window {
	air, by := c.air(on)
	coat := drying.Coat{Base: w.Base, From: w.From, Until: w.Until, By: by}
	if on.Product != nil {
		coat.Closes = unit.Hours(on.Product.Drying.Touch.Likely)
	}
	win, err := drying.Ready(coat, air, c.hour(c.tasks[on.ID].End))
	if err != nil {
		c.fault("%v", err)
	}
	return win
}

func hours(h unit.Hours) time.Duration { return time.Duration(float64(h) * float64(time.Hour)) }

// pins looks at every pin whose steps are there.
func (c *programme) pins() {
	for _, p := range c.job.Crew.Pins {
		t, first := c.tasks[p.Step], c.tasks[p.After]
		switch {
		case t == nil || p.After != "" && first == nil:
			if !c.warned(fmt.Sprintf("%q", p.Step)) && !c.warned(fmt.Sprintf("%q", p.After)) {
				c.fault("%+v names a step that is not there and nobody is told", p)
			}
		case c.begun(p.Step):
		case p.Day != "" && date(t.Start) < p.Day:
			c.fault("%s begins on %s, pinned to %s", p.Step, date(t.Start), p.Day)
		case first != nil && t.Start.Before(first.End):
			c.fault("%s begins before %s ends, against its pin", p.Step, p.After)
		}
	}
}

// words name a step as people do.
func words(st *method.Step) string {
	if st.Face == "" {
		return fmt.Sprintf("%s (%s)", st.Title, st.Room)
	}
	return fmt.Sprintf("%s (%s)", st.Title, st.Face)
}

func (c *programme) order(m *method.Method) {
	after := func(first, then string) {
		if !c.begun(then) && c.tasks[then].Start.Before(c.tasks[first].End) {
			c.fault("%s starts before %s ends", then, first)
		}
	}
	for id, st := range c.steps {
		for _, w := range st.Waits {
			if c.begun(id) {
				continue
			}
			win := c.window(c.steps[w.On], w)
			gap := c.tasks[id].Start.Sub(c.tasks[w.On].End)
			if gap < hours(win.From.High)-time.Second {
				c.fault("%s starts %v after %s, needs %v h", id, gap, w.On, win.From.High)
			}
			if win.Until > 0 && gap > hours(win.Until)+time.Second && !c.warned(words(st)+" begins ") {
				c.fault("%s starts %v after %s, the latest is %v h, and nobody is told", id, gap, w.On, win.Until)
			}
			if r := c.tasks[w.On].Ready; r.Earliest.After(r.Likely) || r.Likely.After(r.Latest) || win.From.High > 0 && r.Latest.Sub(c.tasks[w.On].End) < hours(win.From.High)-time.Second {
				c.fault("%s: ready %+v", w.On, r)
			}
		}
	}
	for _, f := range m.Faces {
		for k := 1; k < len(f.Steps); k++ {
			after(f.Steps[k-1].ID, f.Steps[k].ID)
		}
		for _, r := range m.Rooms {
			for k := range r.Steps {
				if r.Name != f.Room {
					continue
				}
				if r.Steps[k].Kind == method.Protect {
					after(r.Steps[k].ID, f.Steps[0].ID)
				} else {
					after(f.Steps[len(f.Steps)-1].ID, r.Steps[k].ID)
				}
			}
		}
	}
}

func (c *programme) corners(m *method.Method) {
	touch := func(st *method.Step) time.Duration {
		f := st.Product.Drying.Touch
		air, by := c.air(st)
		from := unit.Range[unit.Hours]{Low: unit.Hours(f.Low), Likely: unit.Hours(f.Likely), High: unit.Hours(max(f.High, f.Likely))}
		win, err := drying.Ready(drying.Coat{Base: drying.Base(st.Product), From: from, By: by}, air, c.hour(c.tasks[st.ID].End))
		if err != nil {
			c.fault("%v", err)
		}
		return hours(win.From.High)
	}
	faces := map[string]method.Face{}
	for _, f := range m.Faces {
		faces[f.ID] = f
	}
	for _, f := range m.Faces {
		for _, other := range f.Adjoining {
			for i := range f.Steps {
				for k := range faces[other].Steps {
					a, b := &f.Steps[i], &faces[other].Steps[k]
					if a.Kind != method.Glaze || b.Kind != method.Glaze || c.begun(a.ID) && c.begun(b.ID) {
						continue
					}
					x, y := c.tasks[a.ID], c.tasks[b.ID]
					if x.Start.Before(y.End.Add(touch(b)-time.Second)) && y.Start.Before(x.End.Add(touch(a)-time.Second)) {
						c.fault("%s and %s are wet in one corner", a.ID, b.ID)
					}
				}
			}
		}
	}
	c.dust(m, touch)
}

// dust looks for sanding in a room with a coat that is wet and will not be sanded.
func (c *programme) dust(m *method.Method, touch func(*method.Step) time.Duration) {
	for _, f := range m.Faces {
		for _, other := range m.Faces {
			if f.Room != other.Room || f.ID == other.ID {
				continue
			}
			for i := range f.Steps {
				for k := range other.Steps {
					a, b := &f.Steps[i], &other.Steps[k]
					later := slices.ContainsFunc(other.Steps[k:], func(st method.Step) bool { return st.Kind == method.Sand })
					if a.Kind != method.Sand || later || b.Product == nil || !slices.Contains([]string{method.Ground, method.Relief, method.Glaze, method.Clear}, b.Kind) || c.begun(a.ID) && c.begun(b.ID) {
						continue
					}
					x, y := c.tasks[a.ID], c.tasks[b.ID]
					if x.Start.Before(y.End.Add(touch(b)-time.Second)) && y.Start.Before(x.End.Add(-time.Second)) {
						c.fault("%s makes dust while %s is wet", a.ID, b.ID)
					}
				}
			}
		}
	}
}

// days recomputes site days, visits and the day sheets.
func (c *programme) days() {
	worked := map[job.Date]bool{}
	minutes := map[string]int{}
	for _, t := range c.p.Tasks {
		for _, p := range t.Pieces {
			worked[date(p.From)] = true
			for _, name := range t.People {
				minutes[string(date(p.From))+name+t.Step] += int(p.To.Sub(p.From).Minutes())
			}
		}
	}
	visits, on := 0, false
	for at := c.p.Start; !at.After(c.p.Finish.Add(24 * time.Hour)); at = at.Add(24 * time.Hour) {
		switch {
		case worked[date(at)] && !on:
			visits++
			on = true
		case !worked[date(at)] && c.siteOpen(at):
			on = false
		}
	}
	if len(worked) != c.p.SiteDays || visits != c.p.Visits || len(c.p.Days) != len(worked) {
		c.fault("%d days in %d visits on %d sheets, want %d in %d", c.p.SiteDays, c.p.Visits, len(c.p.Days), len(worked), visits)
	}
	if c.p.Bound > c.p.SiteDays || c.p.Bound < 1 || c.p.BoundBy == "" {
		c.fault("bound %d (%s) of %d days", c.p.Bound, c.p.BoundBy, c.p.SiteDays)
	}
	for _, d := range c.p.Days {
		for _, who := range d.People {
			for k, turn := range who.Turns {
				minutes[string(date(d.Date))+who.Name+turn.Step] -= int(turn.To.Sub(turn.From).Minutes())
				if k > 0 && !turn.From.Before(c.p.PlannedFrom) && turn.From.Before(who.Turns[k-1].To) {
					c.fault("%s has two turns at %v", who.Name, turn.From)
				}
			}
		}
	}
	for key, left := range minutes {
		if left != 0 {
			c.fault("day sheets differ from tasks by %d minutes at %s", left, key)
		}
	}
	if !slices.ContainsFunc(c.p.Tasks, func(t schedule.Task) bool { return !t.Done }) {
		return
	}
	critical := slices.ContainsFunc(c.p.Tasks, func(t schedule.Task) bool { return t.Critical })
	if !critical {
		c.fault("no task is critical")
	}
}
