package schedule

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"scumble/catalog"
	"scumble/drying"
	"scumble/job"
	"scumble/method"
	"scumble/schedule/solve"
	"scumble/survey"
	"scumble/unit"
)

// Effort is how long to look for a better programme. It is counted in work and not in
// time, so that the same job gives the same programme on any machine.
type Effort struct {
	Placements int              // steps placed, over all programmes that are tried
	Conflicts  int              // dead ends a proof may meet, and a question about rules that clash
	Stop       func() bool      // asked now and then; true ends the search with the best so far; nil = never
	Watch      func(*Programme) // shown each programme better than all before; nil = nobody
}

// Quick is the effort while somebody types, Full that of the papers (own defaults).
var (
	Quick = Effort{Placements: 12_000, Conflicts: 300}
	Full  = Effort{Placements: 250_000, Conflicts: 12_000}
)

// Plan places every step of the method. Work happens in the hours of the crew
// only and is rounded up to five minutes; the likely time of a step is planned.
// Drying runs through nights and closed days and is planned at its slow end, so
// that the programme never counts on luck; Ready of each task tells the rest.
// Fewest site days come first, weighed against days that were agreed, then fewest visits,
// the finish, idle hours.
//
// An error wraps ErrCannot and lists every rule that makes a programme
// impossible. What can be planned though it should not be stands in Warnings.
func Plan(s *survey.Survey, m *method.Method, j *job.Job, d *catalog.Defaults, e Effort) (*Programme, error) {
	n, err := build(s, m, j, d)
	if err != nil {
		return nil, err
	}
	chosen, solved, err := n.search(e, func() (*network, error) { return build(s, m, unbegun(j), d) })
	if err != nil {
		return nil, err
	}
	p := chosen.programme(solved)
	p.Effort = Effort{Placements: e.Placements, Conflicts: e.Conflicts}
	if solved.Late > 0 && e.Conflicts > 0 {
		p.Conflict = (&result{n, solved}).conflict(e.Stop)
	}
	return p, nil
}

// programme puts a solution into days and words.
func (n *network) programme(solved *solve.Plan) *Programme {
	r := &result{n, solved}
	p := &Programme{SiteDays: solved.Days, Visits: solved.Visits, Start: n.first, Finish: n.at(solved.Finish), PlannedFrom: n.now}
	p.Bound, p.BoundBy, p.Within = r.bound()
	p.Later = r.later()
	for i := range n.Acts {
		p.Tasks = append(p.Tasks, r.task(i))
		p.PersonHours += r.personHours(i)
	}
	slices.SortFunc(p.Tasks, func(x, y Task) int { return cmp.Or(x.Start.Compare(y.Start), strings.Compare(x.Step, y.Step)) })
	if len(p.Tasks) > 0 {
		p.Start = p.Tasks[0].Start
	}
	p.Days = daySheets(n.people, p.Tasks)
	p.Moved = r.moved()
	p.Warnings = append(slices.Clone(n.warn), n.air.placed(solved)...)
	p.Warnings = append(p.Warnings, r.warnings()...)
	return p
}

// result is a network with its solution.
type result struct {
	*network
	*solve.Plan
}

// personHours is the planned work of an activity; of one that has begun, the hours it took and
// will take. Where nobody noted who did it, as many are counted as it needs.
func (r *result) personHours(i int) unit.Hours {
	a, s := &r.Acts[i], &r.Slots[i]
	minutes, hands := a.Work, len(a.Needs)
	if a.Fact != nil {
		minutes = 0
		for _, w := range s.Work {
			minutes += w.To - w.From
		}
		if len(s.People) > 0 {
			hands = len(s.People)
		}
	}
	return unit.Hours(float64(minutes*hands) / 60)
}

func (r *result) done(i int) bool { return r.Acts[i].Fact != nil && r.Acts[i].Fact.End > 0 }

func (r *result) task(i int) Task {
	p, s := &r.planned[i], &r.Slots[i]
	t := Task{Step: p.step.ID, Face: p.step.Face, Room: p.step.Room, Kind: p.step.Kind, Title: p.step.Title, Stand: p.step.Stand,
		Start: r.at(s.Begin), End: r.at(s.End), People: r.names(s.People), Before: r.waited(i),
		Slack: unit.Hours(float64(r.Slack[i]) / 60), Critical: r.Slack[i] < grain && !r.done(i),
		Done: r.done(i), Running: r.Acts[i].Fact != nil && !r.done(i), Supposed: r.supposed[i]}
	for _, w := range s.Work {
		t.Pieces = append(t.Pieces, Piece{r.at(w.From), r.at(w.To)})
	}
	if dry := p.dries(s.End); dry.From.High > 0 {
		after := func(h unit.Hours) time.Time { return r.at(s.End + minutesUp(h)) }
		t.Ready = Ready{Earliest: after(dry.From.Low), Likely: after(dry.From.Likely), Latest: after(dry.From.High)}
		if dry.Until > 0 {
			t.Ready.Until = r.at(s.End + int(float64(dry.Until)*60))
		}
	}
	return t
}

// dries is when the last of what waits for an activity may begin, and by when the first
// has to; where nothing waits, when it is touch-dry.
func (p *planned) dries(end int) (all drying.Window) {
	for i := range p.leaves {
		w := p.leaves[i].window(end)
		all.From.Low, all.From.Likely, all.From.High = max(all.From.Low, w.From.Low), max(all.From.Likely, w.From.Likely), max(all.From.High, w.From.High)
		if w.Until > 0 && (all.Until == 0 || w.Until < all.Until) {
			all.Until = w.Until
		}
	}
	if all.From.High == 0 && p.touch != nil {
		all.From = p.touch.window(end).From
	}
	return all
}

func (r *result) names(people []int) []string {
	names := make([]string, len(people))
	for k, p := range people {
		names[k] = r.people[p].Name
	}
	return names
}

// daySheets turns the programme round: who does what on each attended day. Two
// people of one name share a sheet.
func daySheets(people []job.Person, tasks []Task) []Day {
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
				turns[key{date, name}] = append(turns[key{date, name}], Turn{p.From, p.To, t.Step, role(k, len(t.People))})
			}
		}
	}
	slices.SortFunc(dates, time.Time.Compare)
	var days []Day
	for _, date := range slices.Compact(dates) {
		d := Day{Date: date}
		for i := range people {
			k := key{date, people[i].Name}
			if list := turns[k]; len(list) > 0 {
				slices.SortFunc(list, func(x, y Turn) int { return x.From.Compare(y.From) })
				d.People = append(d.People, PersonDay{k.name, list})
				delete(turns, k)
			}
		}
		days = append(days, d)
	}
	return days
}

// role is what the k-th of some people does: the first lays.
func role(k, people int) string {
	switch {
	case people == 1:
		return "alone"
	case k == 0:
		return "lays"
	}
	return "works"
}

// coat names what a step leaves to dry, with its number where the face has
// several of the kind: "ground coat 2".
func coat(p *planned) string {
	name, known := map[string]string{method.Protect: "protection", method.Prime: "primer", method.Fill: "filler", method.Sand: "sanding",
		method.Ground: "ground coat", method.Mark: "setting-out", method.Mask: "masking", method.Relief: "relief", method.Glaze: "glaze",
		method.Clear: "clear coat", method.Inspect: "inspection", method.Unmask: "clearing"}[p.step.Kind]
	if !known {
		name = strings.ToLower(p.step.Title)
	}
	if p.face == nil {
		return name
	}
	same, mine := 0, 0
	for k := range p.face.Steps {
		if s := &p.face.Steps[k]; s.Kind == p.step.Kind {
			same++
			if s.ID == p.step.ID {
				mine = same
			}
		}
	}
	if same > 1 {
		name += " " + unit.Figure(float64(mine), 0)
	}
	return name
}
