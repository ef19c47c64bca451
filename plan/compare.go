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
	better := *p
	var err error
	if better.Programme, err = schedule.Plan(p.Survey, p.Method, p.Job, p.Catalog.Defaults, e); err != nil {
		return nil, fmt.Errorf("programme: %w", err)
	}
	if p.Air != nil {
		if better.Air, err = vapour.Reckon(p.Survey, p.Method, p.Quantities, better.Programme, p.Job, p.Catalog); err != nil {
			return nil, fmt.Errorf("air: %w", err)
		}
	}
	if p.Quote != nil {
		if better.Quote, err = price.Make(p.Survey, p.Method, p.Quantities, better.Programme, p.Job, p.Catalog); err != nil {
			return nil, fmt.Errorf("price: %w", err)
		}
	}
	better.Warnings = nil
	better.gatherWarnings()
	return &better, nil
}
