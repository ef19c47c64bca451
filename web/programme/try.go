package programme

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"scumble/job"
	"scumble/method"
	"scumble/plan"
	"scumble/price"
	"scumble/schedule"
	"scumble/unit"
	"scumble/web/frame"
)

// tried is a change that somebody thinks about: what it is, what it would cost, and the form
// that makes it. Nothing is saved by asking.
type tried struct {
	Title string
	Lines []string
	Cost  string
	Costs bool // days, money or a later finish: it is asked once more before it is saved
	Deed  *deed
	Step  *triedStep
}

// triedStep is a step that can be moved: the form that asks what another day would cost, and the
// addresses of the days beside it.
type triedStep struct{ ID, Day, Sooner, Later string }

// deed is a form that saves.
type deed struct {
	Button, Say string
	Fields      []pair
	Name        string // the field for a name, where one is wanted
}

type pair struct{ Name, Value string }

// try answers what the address asks about.
func try(s *frame.Sheet) *tried {
	if s.Board.Plan.Programme == nil {
		return nil
	}
	a := &asked{Sheet: s, job: *s.Board.Job}
	day, err := time.Parse(time.DateOnly, s.Query.Get("day"))
	switch what := s.Query.Get("try"); {
	case what == "step" || what == "move" || what == "free":
		return a.step(what, day)
	case what == "close" && err == nil:
		return a.close(day)
	case what == "open" && err == nil:
		return a.open(day)
	case what == plan.OneMore:
		return a.person()
	case what == plan.Saturdays:
		return a.weekday("Sat")
	case what == plan.AnHour:
		return a.hour()
	case what == plan.NoPins:
		return a.unpin()
	}
	return &tried{Title: "There is nothing of this kind to try."}
}

// asked is a copy of the job in which something is changed.
type asked struct {
	*frame.Sheet
	job job.Job
}

// step tells about a step, and what it would cost to begin it on another day or to free it.
func (a *asked) step(what string, day time.Time) *tried {
	id := a.Query.Get("step")
	t := taskOf(a.Board.Plan.Programme, id)
	if t == nil {
		return &tried{Title: "This step is not in the programme any more."}
	}
	out := &tried{Title: t.Title + ", " + placeOf(t), Lines: []string{fmt.Sprintf("%s to %s, %s.", t.Start.Format("Monday 2 January, 15:04"), t.End.Format("Mon 15:04"), strings.Join(t.People, " and "))}}
	if t.Done || t.Running {
		out.Lines = append(out.Lines, "It has begun, and lies where it was done. The diary below can be corrected.")
		return out
	}
	if t.Before != "" {
		out.Lines = append(out.Lines, "Not sooner because of this: "+t.Before+".")
	}
	pin := slices.IndexFunc(a.job.Crew.Pins, func(p job.Pin) bool { return p.Step == id })
	if pin >= 0 {
		out.Lines = append(out.Lines, "Pinned: "+pinWords(a.job.Crew.Pins[pin])+".")
	}
	now := t.Start.Truncate(24 * time.Hour)
	switch {
	case what == "move" && !day.IsZero():
		a.move(out, id, pin, day)
		now = day
	case pin >= 0: // chosen, or asked to be freed
		a.job.Crew.Pins = slices.Delete(slices.Clone(a.job.Crew.Pins), pin, pin+1)
		a.compare(out, "Without the pin: ", looser)
		out.Deed = &deed{Button: "Free it", Fields: []pair{{"act", fmt.Sprintf("remove:crew.pins[%d]", pin)}}}
	}
	on := func(days int) string {
		return asking(a.Sheet) + "&" + url.Values{"try": {"move"}, "step": {id}, "day": {now.AddDate(0, 0, days).Format(time.DateOnly)}}.Encode() + "#tried"
	}
	out.Step = &triedStep{ID: id, Day: now.Format(time.DateOnly), Sooner: on(-1), Later: on(1)}
	return out
}

// move pins a step to a day in the copy and tells what that does.
func (a *asked) move(out *tried, id string, pin int, day time.Time) {
	date := job.Date(day.Format(time.DateOnly))
	a.job.Crew.Pins = slices.Clone(a.job.Crew.Pins)
	fields := []pair{{"new:crew.pins:step", id}, {"new:crew.pins:day", string(date)}, {"act", "add:crew.pins"}}
	if pin >= 0 && a.job.Crew.Pins[pin].Day != "" {
		a.job.Crew.Pins[pin].Day = date
		fields = []pair{{fmt.Sprintf("set:crew.pins[%d].day", pin), string(date)}}
	} else {
		a.job.Crew.Pins = append(a.job.Crew.Pins, job.Pin{Step: id, Day: date})
	}
	out.Title += ": not before " + day.Format("Monday 2 January")
	changed := a.compare(out, "", tighter)
	if changed == nil {
		return
	}
	begins := taskOf(changed, id)
	if begins == nil {
		return
	}
	if on := begins.Start.Truncate(24 * time.Hour); on.After(day) {
		words := fmt.Sprintf("It would begin on %s all the same", begins.Start.Format("Monday 2 January"))
		if begins.Before != "" {
			words += ": " + begins.Before
		}
		out.Lines = append(out.Lines, words+".")
		if old := taskOf(a.Board.Plan.Programme, id); pin < 0 && !old.Start.Truncate(24*time.Hour).Before(day) {
			out.Cost, out.Costs = "A pin says not before a day; it cannot make anything sooner.", true
			return
		}
	}
	out.Deed = &deed{Button: "Pin it", Fields: fields}
}

func (a *asked) close(day time.Time) *tried {
	date := day.Format(time.DateOnly)
	out := &tried{Title: "No work on " + day.Format("Monday 2 January")}
	a.job.Crew.Closed = append(slices.Clone(a.job.Crew.Closed), job.Date(date))
	if a.compare(out, "", tighter) != nil {
		out.Deed = &deed{Button: "Close the day", Fields: []pair{{"new:crew.closed:", date}, {"act", "add:crew.closed"}}}
	}
	return out
}

// open opens a closed day; one whose day of the week is never worked opens with all of them.
func (a *asked) open(day time.Time) *tried {
	at := slices.Index(a.job.Crew.Closed, job.Date(day.Format(time.DateOnly)))
	if at < 0 {
		return a.weekday(day.Format("Mon"))
	}
	out := &tried{Title: day.Format("Monday 2 January") + " is worked again"}
	a.job.Crew.Closed = slices.Delete(slices.Clone(a.job.Crew.Closed), at, at+1)
	if a.compare(out, "", looser) != nil {
		out.Deed = &deed{Button: "Open the day", Fields: []pair{{"act", fmt.Sprintf("remove:crew.closed[%d]", at)}}}
	}
	return out
}

// weekday works every day of a name, such as Sat.
func (a *asked) weekday(name string) *tried {
	names := map[string]string{"Mon": "Monday", "Tue": "Tuesday", "Wed": "Wednesday", "Thu": "Thursday", "Fri": "Friday", "Sat": "Saturday", "Sun": "Sunday"}
	out := &tried{Title: "Every " + names[name] + " is worked", Lines: []string{"What such an hour costs above another is not counted."}}
	if slices.Contains(a.job.Crew.Days, name) {
		return &tried{Title: "Every " + names[name] + " is worked already."}
	}
	a.job.Crew.Days = append(slices.Clone(a.job.Crew.Days), name)
	if a.compare(out, "", looser) != nil {
		out.Deed = &deed{Button: "Work every " + names[name]}
		for _, d := range a.job.Crew.Days {
			out.Deed.Fields = append(out.Deed.Fields, pair{"list:crew.days", d})
		}
	}
	return out
}

// hour lets the last hours of the day run an hour on.
func (a *asked) hour() *tried {
	hours, last := slices.Clone(a.job.Crew.Hours), 0
	for i := range hours {
		if hours[i].To > hours[last].To {
			last = i
		}
	}
	if len(hours) == 0 || hours[last].To > 23*60 {
		return &tried{Title: "The day has no hour more."}
	}
	hours[last].To += 60
	a.job.Crew.Hours = hours
	words := func(c job.Clock) string { return fmt.Sprintf("%02d:%02d", int(c)/60, int(c)%60) }
	out := &tried{Title: "The day ends at " + words(hours[last].To), Lines: []string{"What overtime costs above another hour is not counted."}}
	if a.compare(out, "", looser) != nil {
		out.Deed = &deed{Button: "Work an hour more", Fields: []pair{{fmt.Sprintf("set:crew.hours[%d]", last), words(hours[last].From) + "-" + words(hours[last].To)}}}
	}
	return out
}

// person adds somebody who can do everything, for the wage of the best paid.
func (a *asked) person() *tried {
	best := a.job.Terms.Rate
	for _, p := range a.job.Crew.People {
		if p.Rate.Value > best.Value {
			best = p.Rate
		}
	}
	out := &tried{Title: "One more person, who can do everything"}
	d := &deed{Button: "Add to the crew", Name: "new:crew.people:name", Fields: []pair{{"act", "add:crew.people"}}}
	if a.Person.MaySeePrices() {
		out.Lines = append(out.Lines, "For the wage of the best paid; steps, tools and a bed for one more are not counted.")
		d.Fields = append(d.Fields, pair{"new:crew.people:rate", best.Text})
	}
	a.job.Crew.People = append(slices.Clone(a.job.Crew.People), job.Person{Name: "\x00one more", Rate: best})
	if a.compare(out, "", looser) != nil {
		out.Deed = d
	}
	return out
}

// unpin takes all pins out.
func (a *asked) unpin() *tried {
	out := &tried{Title: "No pins"}
	d := &deed{Button: "Take all pins out"}
	for i := len(a.job.Crew.Pins) - 1; i >= 0; i-- { // from the end, so that the others keep their places
		d.Fields = append(d.Fields, pair{"act", fmt.Sprintf("remove:crew.pins[%d]", i)})
	}
	a.job.Crew.Pins = nil
	if a.compare(out, "", looser) != nil {
		out.Deed = d
	}
	return out
}

// A change makes a programme tighter or looser.
const (
	tighter = iota
	looser
)

// compare plans the copy with a short look and says what it costs against the programme of a
// short look; nil when it cannot be planned. A short look may find the better one for a tighter
// job by luck, but that can be worked to in the looser one, too: of two programmes where one is
// better in everything, the change is told as making no difference.
func (a *asked) compare(out *tried, before string, change int) *schedule.Programme {
	p, quick := a.Board.Plan, a.Board.Quick
	changed, err := schedule.Plan(p.Survey, p.Method, &a.job, p.Catalog.Defaults, schedule.Quick)
	if err != nil {
		what := strings.TrimPrefix(err.Error(), schedule.ErrCannot.Error()+": ")
		out.Cost, out.Costs = "This cannot be planned. "+frame.Sentence(what), true
		return nil
	}
	if shown := p.Programme; shown.SiteDays != quick.SiteDays || !shown.Finish.Equal(quick.Finish) {
		out.Lines = append(out.Lines, "Told by a short look at both. A long look follows when it is saved, as for what is shown.")
	}
	all := steps(p.Method)
	old, fresh := quick, changed
	switch {
	case change == tighter && noWorse(all, changed, quick):
		old = changed
	case change == looser && noWorse(all, quick, changed):
		fresh = quick
	}
	c := cost{missed: len(missed(all, fresh)) - len(missed(all, old)), days: fresh.SiteDays - old.SiteDays, visits: fresh.Visits - old.Visits, was: old.Finish, finish: fresh.Finish}
	if p.Quote != nil && a.Person.MaySeePrices() {
		without, err := price.Make(p.Survey, p.Method, p.Quantities, old, p.Job, p.Catalog)
		with, err2 := price.Make(p.Survey, p.Method, p.Quantities, fresh, &a.job, p.Catalog)
		if err == nil && err2 == nil {
			c.money, c.currency = with.Net-without.Net, with.Currency
		}
	}
	out.Cost, out.Costs = frame.Sentence(before+c.words()), c.dear()
	return changed
}

// noWorse reports whether a programme is as good as another in everything that is told of them.
func noWorse(all map[string]*method.Step, p, other *schedule.Programme) bool {
	return len(missed(all, p)) <= len(missed(all, other)) && p.SiteDays <= other.SiteDays && p.Visits <= other.Visits && !p.Finish.After(other.Finish)
}

// cost is what a change does to a programme.
type cost struct {
	missed       int // windows
	days, visits int
	was, finish  time.Time
	money        unit.Money // before tax
	currency     string
}

// dear reports whether it costs anything.
func (c cost) dear() bool {
	return c.missed > 0 || c.days > 0 || c.visits > 0 || c.finish.After(c.was) || c.money > 0
}

func (c cost) words() string {
	var costs, saves []string
	add := func(n int, words string) {
		if n > 0 {
			costs = append(costs, words)
		} else if n < 0 {
			saves = append(saves, words)
		}
	}
	add(c.days, frame.Counted(max(c.days, -c.days), "site day", "site days"))
	add(c.visits, frame.Counted(max(c.visits, -c.visits), "visit", "visits"))
	if c.currency != "" {
		add(int(c.money), max(c.money, -c.money).Format(job.Decimals(c.currency))+" "+c.currency+" before tax")
	}
	var words []string
	if len(costs) > 0 {
		words = append(words, "costs "+strings.Join(costs, " and "))
	}
	if len(saves) > 0 {
		words = append(words, "saves "+strings.Join(saves, " and "))
	}
	if len(words) == 0 {
		words = append(words, "costs nothing")
	}
	switch many := frame.Counted(max(c.missed, -c.missed), "coat comes", "coats come"); {
	case c.missed > 0:
		words = slices.Insert(words, 0, many+" too late on the one below")
	case c.missed < 0:
		words = slices.Insert(words, 0, many+" in time that would be too late")
	}
	ready := "ready " + c.finish.Format("Monday 2 January, 15:04")
	switch {
	case c.finish.Equal(c.was):
		ready += ", no later"
	default:
		ready += " instead of " + c.was.Format("Monday 2 January, 15:04")
	}
	return strings.Join(append(words, ready), "; ")
}

func taskOf(p *schedule.Programme, step string) *schedule.Task {
	for i := range p.Tasks {
		if p.Tasks[i].Step == step {
			return &p.Tasks[i]
		}
	}
	return nil
}

// asking is the address of the page to ask about something, to which more is added.
func asking(s *frame.Sheet) string {
	here := s.Here()
	if !strings.Contains(here, "?") {
		here += "?by=wall"
	}
	return here
}

// tries answers the same without the page round it, while a hand moves.
func (p *place) tries(w http.ResponseWriter, r *http.Request) {
	s, err := p.Open(r, p.here)
	if err != nil {
		p.Fail(w, r, err)
		return
	}
	p.Write(w, p.page, "tried", http.StatusOK, shown{s, &view{Tried: try(s), Asking: asking(s)}})
}

// shown is what a part of the page is given, as the whole page is.
type shown struct {
	Sheet *frame.Sheet
	Data  *view
}
