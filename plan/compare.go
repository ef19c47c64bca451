package plan

import (
	"errors"
	"fmt"
	"maps"
	"slices"

	"scumble/catalog"
	"scumble/price"
	"scumble/schedule"
	"scumble/vapour"
)

// Ruled is the quote of a job measured by one rule, or why there is none.
type Ruled struct {
	Rule  *catalog.MeasuringRule
	Quote *price.Quote
	Err   error
}

// UnderRules prices a plan by every measuring rule of its catalog, in the order of
// their ids; the work, its days and its materials stay as they are. It is nil for a
// plan without a programme or quantities.
func UnderRules(p *Plan) []Ruled {
	if p.Programme == nil || p.Quantities == nil {
		return nil
	}
	var list []Ruled
	for _, id := range slices.Sorted(maps.Keys(p.Catalog.Rules)) {
		one := Ruled{Rule: p.Catalog.Rules[id]}
		if p.Quote != nil && p.Quote.Rule == one.Rule {
			one.Quote = p.Quote
		} else {
			other := *p.Job
			other.Terms.Rule = id
			one.Quote, one.Err = price.Make(p.Survey, p.Method, p.Quantities, p.Programme, &other, p.Catalog)
		}
		list = append(list, one)
	}
	return list
}

// Better is a plan with a longer look for its programme, and what follows from that: the
// air and the price. All before it is shared with the plan given. The error says which
// stage cannot answer; a plan without a programme has none.
func Better(p *Plan, e schedule.Effort) (*Plan, error) {
	if p.Programme == nil {
		return nil, errors.New("there is no programme to make shorter; see to the problems of the job first")
	}
	found, err := schedule.Plan(p.Survey, p.Method, p.Job, p.Catalog.Defaults, e)
	if err != nil {
		return nil, fmt.Errorf("programme: %w", err)
	}
	return p.With(found)
}

// With is a plan with another programme of the same job, and what follows from that.
func (p *Plan) With(programme *schedule.Programme) (*Plan, error) {
	other := *p
	other.Programme = programme
	var err error
	if p.Air != nil {
		if other.Air, err = vapour.Reckon(p.Survey, p.Method, p.Quantities, programme, p.Job, p.Catalog); err != nil {
			return nil, fmt.Errorf("air: %w", err)
		}
	}
	if p.Quote != nil {
		if other.Quote, err = price.Make(p.Survey, p.Method, p.Quantities, programme, p.Job, p.Catalog); err != nil {
			return nil, fmt.Errorf("price: %w", err)
		}
	}
	stages := *p
	stages.Warnings = nil
	stages.gatherWarnings()
	other.Warnings = slices.Clone(p.Warnings[:len(p.Warnings)-len(stages.Warnings)]) // of the lessons, which no stage repeats
	other.gatherWarnings()
	return &other, nil
}

// Ways plans the alternatives of a job, each whole and with the same effort; those that cannot
// be planned are left out. It says nothing of a plan that lacks its price.
func Ways(p *Plan, e schedule.Effort) (list []Alternative) {
	if p.Quote == nil {
		return nil
	}
	for _, a := range p.Job.Alternatives {
		if other, problems, err := run(swapped(p.Job, a.Swap), p.Catalog, e); err == nil && len(problems) == 0 {
			list = append(list, Alternative{Name: a.Name, Plan: other})
		}
	}
	return list
}
