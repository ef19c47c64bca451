// Package plan runs the stages in order and returns one Plan. It does no
// arithmetic of its own; read this file first to see how a job flows.
package plan

import (
	"errors"
	"fmt"
	"sync"

	"scumble/catalog"
	"scumble/experience"
	"scumble/job"
	"scumble/method"
	"scumble/price"
	"scumble/quantity"
	"scumble/schedule"
	"scumble/setout"
	"scumble/survey"
	"scumble/unit"
	"scumble/vapour"
)

// Plan is everything known about a job; every paper is a view of it.
type Plan struct {
	Job          *job.Job
	Catalog      *catalog.Catalog    // with the figures of the job, and what its walls taught
	Learned      []experience.Lesson // from the walls of the crew, by path
	Survey       *survey.Survey
	SetOut       *setout.SetOut
	Method       *method.Method
	Quantities   *quantity.Quantities
	Programme    *schedule.Programme
	Air          *vapour.Air
	Quote        *price.Quote
	Alternatives []Alternative
	Warnings     []job.Warning // of all stages, in order
}

// Alternative is another way of doing the same job, planned whole.
type Alternative struct {
	Name string
	Plan *Plan
}

// Run plans a job with the full effort for its programme. Problems are errors in what was measured or asked, by field
// path; with any of them there is no plan. An error means a stage cannot answer.
func Run(j *job.Job, c *catalog.Catalog) (*Plan, []job.Problem, error) {
	p, problems, err := Only(j, c, schedule.Full)
	if err != nil || len(problems) > 0 {
		return nil, problems, err
	}
	type outcome struct {
		plan     *Plan
		problems []job.Problem
		err      error
	}
	others := make([]outcome, len(j.Alternatives))
	var all sync.WaitGroup
	for i, a := range j.Alternatives {
		all.Go(func() {
			o := &others[i]
			o.plan, o.problems, o.err = run(swapped(j, a.Swap), p.Catalog, schedule.Full)
		})
	}
	all.Wait()
	for i, o := range others {
		if o.err != nil {
			return nil, nil, fmt.Errorf("alternative %q: %w", j.Alternatives[i].Name, o.err)
		}
		if len(o.problems) > 0 {
			return nil, o.problems, nil
		}
		p.Alternatives = append(p.Alternatives, Alternative{Name: j.Alternatives[i].Name, Plan: o.plan})
	}
	return p, nil, nil
}

// Only is Run with an effort for the programme, and without the other ways of the job.
func Only(j *job.Job, c *catalog.Catalog, e schedule.Effort) (*Plan, []job.Problem, error) {
	chosen, err := c.Choose(picks(j))
	if err != nil {
		return nil, nil, err
	}
	lessons, wild, problems := experience.Lessons(j, c, chosen.Defaults)
	if len(problems) > 0 {
		return nil, problems, nil
	}
	if c, err = chosen.Choose(learned(lessons)); err != nil {
		return nil, nil, err
	}
	p, problems, err := run(j, c, e)
	if err != nil || len(problems) > 0 {
		return nil, problems, err
	}
	p.Learned, p.Warnings = lessons, append(wild, p.Warnings...)
	return p, nil, nil
}

// run is the flow: each stage reads the job and the results before it.
func run(j *job.Job, c *catalog.Catalog, e schedule.Effort) (*Plan, []job.Problem, error) {
	d := c.Defaults
	p := &Plan{Job: j, Catalog: c}
	var problems []job.Problem
	var err error
	p.Survey, problems = survey.Measure(j, reaches(d))
	if len(problems) > 0 {
		return nil, problems, nil
	}
	if p.SetOut, err = setout.Divide(p.Survey, j, c); err != nil {
		return nil, nil, fmt.Errorf("setting-out: %w", err)
	}
	if p.Method, err = method.Expand(p.Survey, p.SetOut, j, c); err != nil {
		var faulty *method.Faulty
		if errors.As(err, &faulty) {
			return nil, faulty.Problems, nil
		}
		return nil, nil, fmt.Errorf("method: %w", err)
	}
	if problems = schedule.Contradictions(p.Method, j); len(problems) > 0 {
		return nil, problems, nil
	}
	if p.Quantities, err = quantity.Reckon(p.Survey, p.SetOut, p.Method, j, c); err != nil {
		return nil, nil, fmt.Errorf("quantities: %w", err)
	}
	if p.Programme, err = schedule.Plan(p.Survey, p.Method, j, d, e); err != nil {
		return nil, nil, fmt.Errorf("programme: %w", err)
	}
	if p.Air, err = vapour.Reckon(p.Survey, p.Method, p.Quantities, p.Programme, j, c); err != nil {
		return nil, nil, fmt.Errorf("air: %w", err)
	}
	if p.Quote, err = price.Make(p.Survey, p.Method, p.Quantities, p.Programme, j, c); err != nil {
		return nil, nil, fmt.Errorf("price: %w", err)
	}
	p.gatherWarnings()
	return p, nil, nil
}

// gatherWarnings lists those of all stages that have answered, in order.
func (p *Plan) gatherWarnings() {
	p.Warnings = append(p.Warnings, p.Survey.Warnings...)
	if p.SetOut != nil {
		p.Warnings = append(p.Warnings, p.SetOut.Warnings...)
	}
	if p.Method != nil {
		p.Warnings = append(p.Warnings, p.Method.Warnings...)
	}
	if p.Quantities != nil {
		p.Warnings = append(p.Warnings, p.Quantities.Warnings...)
	}
	if p.Programme != nil {
		p.Warnings = append(p.Warnings, p.Programme.Warnings...)
	}
	if p.Air != nil {
		p.Warnings = append(p.Warnings, p.Air.Warnings...)
	}
	if p.Quote != nil {
		p.Warnings = append(p.Warnings, p.Quote.Warnings...)
	}
}

// picks are the catalog figures the job sets for itself.
func picks(j *job.Job) map[string]catalog.Pick {
	picks := map[string]catalog.Pick{}
	for _, f := range j.Figures {
		if f.Of == "" { // of a job still being written
			continue
		}
		pick := catalog.Pick{Use: f.Use, Why: f.Why}
		if f.Use == "" {
			pick.Value = &f.Value
		}
		picks[f.Of] = pick
	}
	return picks
}

// learned are the figures that the crew's walls moved.
func learned(lessons []experience.Lesson) map[string]catalog.Pick {
	picks := map[string]catalog.Pick{}
	for i := range lessons {
		if l := &lessons[i]; !l.Overruled {
			picks[l.Path] = catalog.Pick{Range: &l.Figure}
		}
	}
	return picks
}

// swapped is the job with some walls given other finishes; the job itself stays.
func swapped(j *job.Job, swap map[string]string) *job.Job {
	other := *j
	other.Rooms = append([]job.Room(nil), j.Rooms...)
	for r := range other.Rooms {
		walls := append([]job.Wall(nil), other.Rooms[r].Walls...)
		for w := range walls {
			if to, ok := swap[walls[w].Finish]; ok {
				walls[w].Finish = to
			}
			if d := walls[w].Dado; d != nil && swap[d.Finish] != "" {
				changed := *d
				changed.Finish = swap[d.Finish]
				walls[w].Dado = &changed
			}
		}
		other.Rooms[r].Walls = walls
	}
	return &other
}

// Known lists what the catalog knows, for checking a job against it.
func Known(c *catalog.Catalog) job.Known {
	known := job.Known{
		Techniques: map[string]bool{}, Products: map[string]bool{}, Substrates: map[string]bool{},
		Rules: map[string]bool{}, Goods: map[string]bool{},
		Colours: map[string][]string{}, Glazes: map[string][]string{},
		Variations: map[string][]string{}, Strips: map[string]bool{}, ByMass: map[string]bool{},
		Figure: func(path string) (rivals []string, ok bool) {
			figure, ok := c.Figure(path)
			for _, other := range figure.Others {
				rivals = append(rivals, other.Name)
			}
			return rivals, ok
		},
		Learn: func(path string) (measure string, ok bool, why error) {
			figure, ok, why := experience.Learnable(c, path)
			return figure.Unit, ok, why
		},
	}
	for id, t := range c.Techniques {
		known.Techniques[id] = true
		known.Strips[id] = t.Strips
		known.Glazes[id] = t.Glazes
		for _, role := range t.Colours {
			known.Colours[id] = append(known.Colours[id], string(role))
		}
		for _, v := range t.Variations {
			known.Variations[id] = append(known.Variations[id], v.ID)
		}
	}
	for id, product := range c.Products {
		known.Products[id] = true
		known.ByMass[id] = product.By == "mass"
	}
	for id := range c.Substrates {
		known.Substrates[id] = true
	}
	for id := range c.Rules {
		known.Rules[id] = true
	}
	for id := range c.Goods {
		known.Goods[id] = true
	}
	return known
}

// Measured are the problems of the survey alone, for checking a job that is
// not ready to be planned.
func Measured(j *job.Job, c *catalog.Catalog) []job.Problem {
	_, problems := survey.Measure(j, reaches(c.Defaults))
	return problems
}

// reaches are the heights a person works from each kind of stand.
func reaches(d *catalog.Defaults) survey.Reaches {
	return survey.Reaches{
		Floor:    unit.Length(d.ReachFloor.Likely),
		Steps:    unit.Length(d.ReachSteps.Likely),
		Platform: unit.Length(d.ReachPlatform.Likely),
	}
}
