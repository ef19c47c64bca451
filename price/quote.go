package price

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"scumble/catalog"
	"scumble/job"
	"scumble/method"
	"scumble/quantity"
	"scumble/schedule"
	"scumble/survey"
	"scumble/unit"
)

// ErrTerms is wrapped by every error of Make: the terms of the job contradict
// themselves. The words name the field and what to do.
var ErrTerms = errors.New("no quote can be made")

// usualRule measures for jobs that name no rule.
const usualRule = "din-18363-2006"

// Make turns areas, hours and packs into a quote. All money is whole minor units:
// the lines sum to Asked and the stage payments to Total, to the last one.
//
// Cost is labour at the mean rate of the crew, material as bought, goods, kit,
// travel, boards and the sums of the terms. Overhead is a share of cost. Margin
// is a share of the price before tax, so price = (cost + overhead) / (1 - margin).
// Overhead and margin are inside every line.
//
// The range comes from seeded trials of paces and needs; the same seed gives the
// same figures, whatever the order of rooms and walls.
func Make(s *survey.Survey, m *method.Method, q *quantity.Quantities, p *schedule.Programme, j *job.Job, c *catalog.Catalog) (*Quote, error) {
	r := &quoter{survey: s, method: m, quantity: q, plan: p, job: j, catalog: c, of: map[string]*entry{}, quote: &Quote{Currency: j.Currency}}
	if err := r.terms(); err != nil {
		return nil, err
	}
	r.crewRate()
	r.walls()
	r.once()
	material := r.materials()
	r.uncertain()
	r.total(material)
	r.payments()
	return r.quote, nil
}

// terms checks what the sums rest on, all at once, and picks the measuring rule.
func (q *quoter) terms() error {
	t := &q.job.Terms
	var faults []string
	share := func(name string, r job.Ratio, below unit.Ratio) {
		if !(r.Value >= 0 && r.Value < below) {
			faults = append(faults, fmt.Sprintf("terms.%s: %v is not a share from 0 and below %v: correct it", name, float64(r.Value), float64(below)))
		}
	}
	share("margin", t.Margin, 1)
	share("overhead", t.Overhead, 100)
	share("tax", t.Tax, 100)
	if t.Ask != "" && t.Ask != "likely" && t.Ask != "eight-in-ten" {
		faults = append(faults, fmt.Sprintf("terms.ask: %q is neither likely nor eight-in-ten: write one of them", t.Ask))
	}
	id := t.Rule
	if id == "" {
		id = usualRule
		if q.catalog.Rules[id] == nil && len(q.catalog.Rules) > 0 {
			id = slices.Sorted(maps.Keys(q.catalog.Rules))[0]
		}
		q.warn("terms.rule", "No measuring rule is named; "+id+" is used.", "Agree on a rule with the client and write it as terms.rule.")
	}
	rule := q.catalog.Rules[id]
	if rule == nil {
		faults = append(faults, fmt.Sprintf("terms.rule: the catalog has no rule %q: use one of %s", id, strings.Join(slices.Sorted(maps.Keys(q.catalog.Rules)), ", ")))
	} else if !rule.Verified {
		q.warn("terms.rule", rule.Name+": the text of this rule was not read, or not in full.", "Compare it with the contract before the quote goes out.")
	}
	q.quote.Rule = rule
	if len(faults) > 0 {
		return fmt.Errorf("%w: %s", ErrTerms, strings.Join(faults, "; "))
	}
	return nil
}

// total sums the cost, makes the price and its range, and parts it among the lines.
func (q *quoter) total(material []float64) {
	w, t := &q.quote.Working, &q.job.Terms
	hours := make([]float64, len(q.lines))
	var likely []float64 // of all steps, summed in an order that does not depend on the job's
	for i, e := range q.lines {
		mine := slices.Sorted(maps.Values(e.steps))
		for _, h := range mine {
			hours[i] += h
		}
		likely = append(likely, mine...)
	}
	slices.Sort(likely)
	all := 0.0
	for _, h := range likely {
		all += h
	}
	w.Labour = money(all * q.rate)
	w.Cost = w.Labour + w.Material + w.Goods + w.Kit + w.Travel
	agreed := w.Boards + w.Once
	w.Overhead = money(float64(w.Cost) * float64(t.Overhead.Value))
	price := func(cost float64) unit.Money {
		c := money(cost)
		return money(float64(c+money(float64(c)*float64(t.Overhead.Value)))/(1-float64(t.Margin.Value))) + agreed
	}
	q.quote.Net = price(float64(w.Cost))
	w.Margin = q.quote.Net - agreed - w.Cost - w.Overhead
	q.risk.fixed = float64(w.Cost) - all*q.rate
	w.Trials, w.Seed = trials, t.Seed
	if w.Seed == 0 {
		w.Seed = 1
	}
	q.quote.Low, q.quote.EightInTen, q.quote.High = q.risk.percentiles(w.Seed, price)
	q.quote.Asked = q.quote.Net
	if t.Ask == "eight-in-ten" {
		q.quote.Asked = q.quote.EightInTen
	}
	w.Allowance = q.quote.Asked - q.quote.Net
	q.part(hours, material)
	q.quote.Tax = money(float64(q.quote.Asked) * float64(t.Tax.Value))
	q.quote.Total = q.quote.Asked + q.quote.Tax
}

// part gives every line its money.
func (q *quoter) part(hours, material []float64) {
	cost := make([]float64, len(q.lines))
	for i, labour := range q.apportion(q.quote.Working.Labour, hours) {
		e := q.lines[i]
		cost[i] = float64(labour) + material[i] + e.goods
		e.Labour, e.Material = labour, unit.Money(material[i]+e.goods)
		if e.extra > 0 { // travel is hours for the most part
			way := min(money(float64(e.extra)*q.rate), unit.Money(e.goods))
			e.Labour += way
			e.Material -= way
		}
	}
	w := &q.quote.Working
	for i, amount := range q.apportion(q.quote.Asked-w.Boards-w.Once, cost) {
		e := q.lines[i]
		e.Amount = amount + e.agreed
		e.Material += e.agreed
		if e.Paid > 0 && !e.Once {
			e.Rate = money(float64(amount) / float64(e.Paid))
		}
		q.quote.Lines = append(q.quote.Lines, e.Line)
		q.quote.Hours = q.quote.Hours.Plus(e.Hours)
	}
}

// apportion parts an amount among the lines. It goes by their keys, so that a
// minor unit left over falls on the same line whatever the order of the job.
func (q *quoter) apportion(amount unit.Money, weights []float64) []unit.Money {
	order := make([]int, len(q.lines))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return strings.Compare(q.lines[a].key, q.lines[b].key) })
	sorted := make([]float64, len(order))
	for k, i := range order {
		sorted[k] = weights[i]
	}
	parts := make([]unit.Money, len(order))
	for k, part := range apportion(amount, sorted) {
		parts[order[k]] = part
	}
	return parts
}

// payments parts the total among the stages of the terms.
func (q *quoter) payments() {
	stages := q.job.Terms.Stages
	if len(stages) == 0 {
		q.quote.Stages = []Payment{{Name: "On completion", Share: 1, Amount: q.quote.Total}}
		return
	}
	weights, sum := make([]float64, len(stages)), 0.0
	for i, s := range stages {
		weights[i] = float64(s.Share.Value)
		sum += weights[i]
	}
	if sum < 0.9995 || sum > 1.0005 {
		q.warn("terms.stages", fmt.Sprintf("The shares of the stage payments sum to %s %%; the total is parted in their proportion.", unit.Figure(sum*100, 1)),
			"Correct the shares so that they make 100 %.")
	}
	if !(sum > 0) { // no proportion to go by: the last stage pays
		weights[len(weights)-1] = 1
	}
	for i, amount := range apportion(q.quote.Total, weights) {
		q.quote.Stages = append(q.quote.Stages, Payment{stages[i].Name, stages[i].Share.Value, amount})
	}
}
