package plan

import (
	"errors"
	"fmt"
	"runtime"
	"slices"
	"strings"
	"sync"
	"time"

	"scumble/catalog"
	"scumble/job"
	"scumble/method"
	"scumble/price"
	"scumble/quantity"
	"scumble/schedule"
	"scumble/setout"
	"scumble/survey"
	"scumble/unit"
)

// The cases of WhatIf.
const (
	AsItIs    = "as-it-is"
	OneMore   = "one-more-person"
	Saturdays = "saturdays"
	AnHour    = "an-hour-more"
	Heater    = "heater"
	WaterBase = "water-borne"
	NoPins    = "without-pins"
)

// Case is what one change would make of the programme and the price.
type Case struct {
	ID   string `json:"id"`
	Name string `json:"name"`          // a few words
	What string `json:"what"`          // what is changed, in a sentence
	Why  string `json:"why,omitempty"` // why it cannot be planned; "" = it can, and what follows holds

	SiteDays int        `json:"siteDays"`
	Visits   int        `json:"visits"`
	Finish   time.Time  `json:"finish"`
	Verdict  string     `json:"verdict"`
	Priced   bool       `json:"priced"`
	Cost     unit.Money `json:"cost"`              // more than as it is, before tax, on the same terms; below zero: less
	Without  string     `json:"without,omitempty"` // what the cost does not hold: words

	Programme *schedule.Programme `json:"-"`
	Quote     *price.Quote        `json:"-"`
}

// change is a case before it is planned.
type change struct {
	Case
	job *job.Job
}

// WhatIf plans a job with one thing changed at a time, each whole and with the same effort: one
// more person, Saturdays, an hour more a day, a heater, water-borne glaze for oil, no pins. The
// first case is the job as it is; cases that would change nothing are left out. Stop of the
// effort is asked from several goroutines; Watch is told nothing.
func WhatIf(p *Plan, e schedule.Effort) ([]Case, error) {
	if p.Method == nil || p.Programme == nil {
		return nil, errors.New("there is no programme to compare with; see to the problems of the job first")
	}
	e.Watch = nil
	list := p.changes()
	var wait sync.WaitGroup
	free := make(chan struct{}, runtime.GOMAXPROCS(0))
	for i := range list {
		wait.Add(1)
		go func() {
			defer wait.Done()
			free <- struct{}{}
			defer func() { <-free }()
			p.plan(&list[i], e)
		}()
	}
	wait.Wait()
	cases := make([]Case, len(list))
	for i := range list {
		cases[i] = list[i].Case
		if base := list[0].Quote; base != nil && cases[i].Quote != nil {
			cases[i].Priced, cases[i].Cost = true, cases[i].Quote.Net-base.Net
		}
	}
	if cases[0].Why != "" {
		return nil, errors.New(cases[0].Why)
	}
	return cases, nil
}

// plan finds the programme and the price of a case, from the walls on; no price where the plan
// has none.
func (p *Plan) plan(c *change, e schedule.Effort) {
	other, err := p.otherwise(c.job, e)
	if err != nil {
		c.Why = err.Error()
		return
	}
	c.Programme, c.Quote = other.Programme, other.Quote
	c.SiteDays, c.Visits, c.Finish, c.Verdict = c.Programme.SiteDays, c.Programme.Visits, c.Programme.Finish, c.Programme.Verdict()
	c.Without = join(c.Without, unpriced(p, other))
}

// otherwise runs the stages that programme and price need.
func (p *Plan) otherwise(j *job.Job, e schedule.Effort) (*Plan, error) {
	other := &Plan{Job: j, Catalog: p.Catalog}
	c := p.Catalog
	var problems []job.Problem
	if other.Survey, problems = survey.Measure(j, reaches(c.Defaults)); len(problems) > 0 {
		return nil, errors.New(problems[0].What + ": " + problems[0].Do)
	}
	var err error
	if other.SetOut, err = setout.Divide(other.Survey, j, c); err != nil {
		return nil, err
	}
	if other.Method, err = method.Expand(other.Survey, other.SetOut, j, c); err != nil {
		return nil, err
	}
	if other.Programme, err = schedule.Plan(other.Survey, other.Method, j, c.Defaults, e); err != nil || p.Quote == nil {
		return other, err
	}
	if other.Quantities, err = quantity.Reckon(other.Survey, other.SetOut, other.Method, j, c); err != nil {
		return nil, err
	}
	other.Quote, err = price.Make(other.Survey, other.Method, other.Quantities, other.Programme, j, c)
	return other, err
}

// unpriced names what another plan buys and the job has no price of, where the plan itself
// does not buy it.
func unpriced(p, other *Plan) string {
	if p.Quantities == nil || other.Quantities == nil {
		return ""
	}
	var names []string
	for _, b := range other.Quantities.Purchases {
		known := b.Priced || slices.Contains(names, b.Product.Name)
		for _, own := range p.Quantities.Purchases {
			known = known || own.Product.ID == b.Product.ID && !own.Priced
		}
		if !known {
			names = append(names, b.Product.Name)
		}
	}
	if len(names) == 0 {
		return ""
	}
	return strings.Join(names, " and ") + ", which has no price in the job"
}

func join(a, b string) string {
	if a == "" || b == "" {
		return a + b
	}
	return a + "; " + b
}

// changes lists the cases.
func (p *Plan) changes() []change {
	list := []change{{Case: Case{ID: AsItIs, Name: "as it is", What: "The job as it is written."}, job: p.Job}}
	add := func(c change, ok bool) {
		if ok {
			list = append(list, c)
		}
	}
	add(oneMore(p.Job))
	add(saturdays(p.Job))
	add(anHour(p.Job))
	add(heater(p.Job))
	add(waterborne(p))
	if len(p.Job.Crew.Pins) > 0 {
		list = append(list, change{Case: Case{ID: NoPins, Name: "without the pins", What: "No step is tied to a day or to another step."}, job: unpinned(p.Job)})
	}
	return list
}

// oneMore adds somebody who can do everything, for the wage of the best paid.
func oneMore(j *job.Job) (change, bool) {
	other := *j
	name := "One more"
	for slices.ContainsFunc(j.Crew.People, func(p job.Person) bool { return p.Name == name }) {
		name += " more"
	}
	best := j.Terms.Rate
	for _, p := range j.Crew.People {
		if p.Rate.Value > best.Value {
			best = p.Rate
		}
	}
	other.Crew.People = append(slices.Clone(j.Crew.People), job.Person{Name: name, Rate: best})
	return change{Case: Case{ID: OneMore, Name: "one more person", What: "Somebody more who can do everything, for the wage of the best paid.",
		Without: "access and tools for one more"}, job: &other}, true
}

func saturdays(j *job.Job) (change, bool) {
	if slices.Contains(j.Crew.Days, "Sat") {
		return change{}, false
	}
	other := *j
	other.Crew.Days = append(slices.Clone(j.Crew.Days), "Sat")
	return change{Case: Case{ID: Saturdays, Name: "Saturdays", What: "Every Saturday is worked.", Without: "what a Saturday hour costs above another"}, job: &other}, true
}

// anHour lets the last hours of the day run an hour on.
func anHour(j *job.Job) (change, bool) {
	last := 0
	for i, s := range j.Crew.Hours {
		if s.To > j.Crew.Hours[last].To {
			last = i
		}
	}
	if len(j.Crew.Hours) == 0 || j.Crew.Hours[last].To > 23*60 {
		return change{}, false
	}
	other := *j
	other.Crew.Hours = slices.Clone(j.Crew.Hours)
	other.Crew.Hours[last].To += 60
	to := other.Crew.Hours[last].To
	return change{Case: Case{ID: AnHour, Name: "an hour more a day", What: fmt.Sprintf("The day ends at %02d:%02d.", int(to)/60, int(to)%60), Without: "what overtime costs above another hour"}, job: &other}, true
}

func heater(j *job.Job) (change, bool) {
	other, warmer := schedule.Heated(j)
	return change{Case: Case{ID: Heater, Name: "a heater", What: "The rooms are kept at the temperature of the day through the night.", Without: "the heater and what it burns"}, job: other}, warmer
}

// waterborne gives finishes in oil glaze the first water-borne glaze their technique can be
// done with, as the catalog thins it. Finishes whose glazing has begun stay.
func waterborne(p *Plan) (change, bool) {
	begun := map[string]bool{}
	for f := range p.Method.Faces {
		face := &p.Method.Faces[f]
		for _, t := range p.Programme.Tasks {
			if t.Face == face.ID && t.Kind == "glaze" && (t.Done || t.Running) {
				begun[face.Finish.ID] = true
			}
		}
	}
	other := *p.Job
	other.Finishes = slices.Clone(p.Job.Finishes)
	var names []string
	for i := range other.Finishes {
		f := &other.Finishes[i]
		to := instead(p.Catalog, f)
		if to == nil || begun[f.ID] {
			continue
		}
		f.With, f.LetDown = to.ID, job.LetDown{}
		if !slices.Contains(names, to.Name) {
			names = append(names, to.Name)
		}
	}
	return change{Case: Case{ID: WaterBase, Name: "water-borne glaze", What: strings.Join(names, " and ") + " wherever oil glaze is asked for.",
		Without: "sample boards in the other glaze"}, job: &other}, len(names) > 0
}

// instead is the water-borne glaze for a finish in oil; nil where there is none.
func instead(c *catalog.Catalog, f *job.Finish) *catalog.Product {
	now, t := c.Products[f.With], c.Techniques[f.Technique]
	if now == nil || t == nil || now.Family != "oil" {
		return nil
	}
	for _, id := range t.Glazes {
		if other := c.Products[id]; other != nil && other.Family == "water" {
			return other
		}
	}
	return nil
}

func unpinned(j *job.Job) *job.Job {
	free := *j
	free.Crew.Pins = nil
	return &free
}

// WithoutPins is the programme as it would be if no step were tied to a day or to
// another step, found with the effort of the plan's own: set beside that it shows what the
// pins cost. Without pins it is the plan's own. The error says why there is none.
func WithoutPins(p *Plan) (*schedule.Programme, error) {
	if p.Programme != nil && len(p.Job.Crew.Pins) == 0 {
		return p.Programme, nil
	}
	if p.Method == nil {
		return nil, errors.New("there is no method to make a programme of; see to the problems of the job first")
	}
	e := schedule.Quick
	if p.Programme != nil {
		e = p.Programme.Effort
	}
	return schedule.Plan(p.Survey, p.Method, unpinned(p.Job), p.Catalog.Defaults, e)
}
