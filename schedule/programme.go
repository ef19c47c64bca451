package schedule

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"scumble/catalog"
	"scumble/job"
	"scumble/method"
	"scumble/survey"
	"scumble/unit"
)

// Plan places every step of the method. Work happens in the hours of the crew
// only and is rounded up to five minutes; the likely time of a step is planned.
// Drying runs through nights and closed days and is planned at its slow end, so
// that the programme never counts on luck; Ready of each task tells the rest.
// Fewest site days come first, then fewest visits, the finish, idle hours.
//
// An error wraps ErrCannot and lists every rule that makes a programme
// impossible. What can be planned though it should not be stands in Warnings.
func Plan(s *survey.Survey, m *method.Method, j *job.Job, d *catalog.Defaults) (*Programme, error) {
	n, err := build(s, m, j, d)
	if err != nil {
		return nil, err
	}
	if len(n.acts) == 0 {
		return &Programme{Start: n.cal.first, Finish: n.cal.first, BoundBy: "there is no work", Warnings: n.warn}, nil
	}
	b, err := search(n)
	if err != nil {
		return nil, err
	}
	p := &Programme{Warnings: n.warn}
	g := b.goal()
	p.SiteDays, p.Visits = g.days, g.visits
	p.Bound, p.BoundBy = n.bound()
	slack := b.slacks()
	first := b.slots[0].begin
	for i := range b.slots {
		first = min(first, b.slots[i].begin)
	}
	p.Start, p.Finish = n.cal.time(first), n.cal.time(g.finish)
	for i := range n.acts {
		p.Tasks = append(p.Tasks, b.task(i, slack[i]))
		p.PersonHours += unit.Hours(float64(n.acts[i].work*len(n.acts[i].needs)) / 60)
	}
	slices.SortFunc(p.Tasks, func(x, y Task) int { return cmp.Or(x.Start.Compare(y.Start), strings.Compare(x.Step, y.Step)) })
	p.Days = daySheets(n, p.Tasks)
	p.Warnings = append(p.Warnings, b.warnings()...)
	return p, nil
}

func (b *board) task(i, slack int) Task {
	a, s := &b.acts[i], &b.slots[i]
	t := Task{Step: a.step.ID, Face: a.step.Face, Room: a.step.Room, Kind: a.step.Kind, Title: a.step.Title, Stand: a.step.Stand,
		Pieces: b.clockPieces(i), Start: b.cal.time(s.begin), End: b.cal.time(s.end),
		Slack: unit.Hours(float64(slack) / 60), Critical: slack < grain, Before: b.waited(i)}
	for _, p := range s.people {
		t.People = append(t.People, b.network.people[p].Name)
	}
	dry := a.ready
	if dry.From.High == 0 {
		dry.From = a.dry
	}
	if dry.From.High > 0 {
		after := func(h unit.Hours) time.Time { return b.cal.time(s.end + minutesUp(h)) }
		t.Ready = Ready{Earliest: after(dry.From.Low), Likely: after(dry.From.Likely), Latest: after(dry.From.High)}
	}
	if dry.Until > 0 {
		t.Ready.Until = b.cal.time(s.end + int(float64(dry.Until)*60))
	}
	return t
}

// clockPieces parts the work of an activity at breaks and nights; what had to
// run through breaks is parted at nights only.
func (b *board) clockPieces(i int) []Piece {
	a, s := &b.acts[i], &b.slots[i]
	var list []Piece
	s.each(func(p piece) {
		for w := p.from; w < p.to; {
			day := w / b.cal.length
			end := min(p.to, day*b.cal.length+b.cal.before[b.cal.span(w%b.cal.length)+1])
			from, to := b.cal.begins(w), b.cal.ends(end)
			if a.long {
				end = min(p.to, (day+1)*b.cal.length)
				to = min(s.end, b.cal.dayOf(day)*24*60+int(b.cal.spans[len(b.cal.spans)-1].To))
			}
			list = append(list, Piece{b.cal.time(from), b.cal.time(to)})
			w = end
		}
	})
	return list
}

// daySheets turns the programme round: who does what on each attended day.
func daySheets(n *network, tasks []Task) []Day {
	type key struct {
		date time.Time
		name string
	}
	turns := map[key][]Turn{}
	var dates []time.Time
	for _, t := range tasks {
		for _, p := range t.Pieces {
			date := p.From.Truncate(24 * time.Hour)
			dates = append(dates, date)
			for k, name := range t.People {
				role := "alone"
				switch {
				case len(t.People) > 1 && k == 0:
					role = "lays"
				case len(t.People) > 1:
					role = "works"
				}
				turns[key{date, name}] = append(turns[key{date, name}], Turn{p.From, p.To, t.Step, role})
			}
		}
	}
	slices.SortFunc(dates, time.Time.Compare)
	var days []Day
	for _, date := range slices.Compact(dates) {
		d := Day{Date: date}
		for i := range n.people {
			k := key{date, n.people[i].Name}
			if list := turns[k]; len(list) > 0 {
				slices.SortFunc(list, func(x, y Turn) int { return x.From.Compare(y.From) })
				d.People = append(d.People, PersonDay{k.name, list})
				delete(turns, k) // two people of one name share a sheet
			}
		}
		days = append(days, d)
	}
	return days
}

// waited says in words what held a task back last.
func (b *board) waited(i int) string {
	a, s := &b.acts[i], &b.slots[i]
	switch s.why.by {
	case heldByStep:
		l := a.before[s.why.who]
		o := &b.acts[l.other]
		words := strings.ToLower(o.step.Title)
		if o.step.Face != a.step.Face && o.step.Face != "" {
			words += " on " + o.step.Face
		}
		if l.dries {
			return words + " dry"
		}
		return words + " done"
	case heldByPerson:
		return b.network.people[s.why.who].Name + " busy"
	case heldByKit:
		kind := b.kits[s.why.who].kind
		for k := range b.slots {
			if o := &b.slots[k]; k != i && b.acts[k].kit == s.why.who && o.unit == s.unit && o.to == s.from {
				return kind + " in " + b.acts[k].step.Room
			}
		}
		return kind + " in use"
	case heldByRoom:
		return "room opens " + dateWords(s, b)
	case heldByAbsence:
		return "somebody off until " + dateWords(s, b)
	case heldByCorner:
		return "glaze on " + b.acts[s.why.who].step.Face + " wet at the corner"
	case heldByBreak:
		if a.unbroken {
			return "a stretch long enough to do it in one go"
		}
		return "day left free to save a site day"
	case heldByNext:
		return "kept back so that the next coat comes in time"
	}
	return ""
}

func dateWords(s *slot, b *board) string { return b.cal.time(s.begin).Format("Mon 2") }

// warnings says what the programme could not keep.
func (b *board) warnings() []job.Warning {
	var list []job.Warning
	say := func(a *activity, what, do string) {
		w := job.Warning{Name: a.step.Room, What: what, Do: do}
		if a.face != nil {
			w.Path, w.Name = a.face.Path, a.face.ID
		}
		list = append(list, w)
	}
	hands := make([][]int, b.groups)
	told := make([]bool, b.groups)
	for i := range b.acts {
		a, s := &b.acts[i], &b.slots[i]
		for _, l := range a.before {
			if o := &b.slots[l.other]; l.until > 0 && s.begin > o.end+l.until {
				say(a, fmt.Sprintf("%s begins %s h after %s ends; the window closes after %s h.", a.step.ID, figure(s.begin-o.end), b.acts[l.other].step.ID, figure(l.until)),
					"Open more hours or days, add hands, or have the room open sooner; if it cannot be, sand or renew the coat below as its sheet says.")
			}
		}
		if a.long {
			say(a, fmt.Sprintf("%s does not fit in one stretch: it takes %s h without a stop and the longest stretch is %s h. It is planned from the start of a day, through the break.",
				a.step.ID, figure(a.work), figure(b.cal.longest())),
				"Break the wall at "+b.breakAt(a)+", or bring more hands, or let one relieve the other so that everybody rests.")
		}
		if a.hands < 0 {
			continue
		}
		g := a.hands
		if hands[g] == nil {
			hands[g] = s.people
		} else if !slices.Equal(hands[g], s.people) && !told[g] {
			told[g] = true
			say(a, fmt.Sprintf("%s in %s cannot have the same hands on every wall: %s here, %s before.",
				a.face.Technique.Name, a.step.Room, b.names(s.people), b.names(hands[g])),
				"Compare with the finished wall before starting, or move somebody's day off.")
		}
	}
	return list
}

// breakAt names a place where a lap shows least.
func (b *board) breakAt(a *activity) string {
	if a.face != nil {
		if at, ok := b.walls[a.face.ID]; ok {
			for _, o := range at.wall.Openings {
				if o.Kind == "door" || o.Kind == "window" {
					return "the edge of " + o.Name
				}
			}
		}
	}
	return "a strip joint or a corner"
}

func (b *board) names(people []int) string {
	var names []string
	for _, p := range people {
		names = append(names, b.network.people[p].Name)
	}
	return strings.Join(names, " and ")
}

// figure prints minutes as hours.
func figure(minutes int) string {
	if minutes%60 == 0 {
		return unit.Figure(float64(minutes)/60, 0)
	}
	return unit.Figure(float64(minutes)/60, 1)
}

func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
