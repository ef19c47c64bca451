package price

import (
	"cmp"
	"fmt"
	"math"
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

// entry is a line in the making; money is not yet rounded to lines.
type entry struct {
	Line
	key    string             // orders lines that are equal otherwise; the same in any order of the job
	steps  map[string]float64 // person-hours by step, likely
	goods  float64            // money that is neither labour nor material, in minor units
	agreed unit.Money         // a sum that is a price already: no overhead or margin on it
	extra  unit.Hours         // person-hours of travel in it
}

// quoter gathers the cost of a job.
type quoter struct {
	survey   *survey.Survey
	method   *method.Method
	quantity *quantity.Quantities
	plan     *schedule.Programme
	job      *job.Job
	catalog  *catalog.Catalog
	lines    []*entry
	of       map[string]*entry // step ID -> line
	rate     float64           // mean of the crew, minor units an hour
	quote    *Quote
	risk     risk
}

func (q *quoter) warn(path, what, do string) {
	q.quote.Warnings = append(q.quote.Warnings, job.Warning{Path: path, What: what, Do: do})
}

// preparing are the kinds of step in the ground line of a finish; the others make
// the effect.
var preparing = []string{method.Prime, method.Fill, method.Sand, method.Ground, method.Mark, method.Mask, method.Protect}

// crewRate is the mean rate of the people, of whom those without one get the rate
// of the terms.
func (q *quoter) crewRate() {
	sum, missing := unit.Money(0), []string{}
	for _, p := range q.job.Crew.People {
		switch {
		case p.Rate.Given():
			sum += p.Rate.Value
		case q.job.Terms.Rate.Given():
			sum += q.job.Terms.Rate.Value
		default:
			missing = append(missing, p.Name)
		}
	}
	if n := len(q.job.Crew.People); n > 0 {
		q.rate = float64(sum) / float64(n)
	} else {
		q.rate = float64(q.job.Terms.Rate.Value)
	}
	if len(missing) > 0 {
		q.warn("terms.rate", "The quote is incomplete: no hourly rate for "+strings.Join(missing, ", ")+"; their hours count as nothing.",
			"Write a rate for each person or one under terms.")
	}
}

// walls makes the two lines of every room and finish: ground work, and the effect.
func (q *quoter) walls() {
	at := map[string]*entry{}
	line := func(f *method.Face, effect bool) *entry {
		key := fmt.Sprintf("%s\x00%s\x00%s\x00%v", f.Room, f.Technique.ID, f.Finish.ID, effect)
		if at[key] == nil {
			at[key] = &entry{Line: Line{Room: f.Room}, key: key, steps: map[string]float64{}}
			q.lines = append(q.lines, at[key])
		}
		return at[key]
	}
	for i := range q.method.Faces {
		f := &q.method.Faces[i]
		if f.Technique == nil || f.Finish == nil || len(f.Steps) == 0 {
			continue
		}
		// the ground line stands before the line of the effect
		for _, effect := range []bool{false, true} {
			for k := range f.Steps {
				if effect == slices.Contains(preparing, f.Steps[k].Kind) {
					continue
				}
				e := line(f, effect)
				q.addStep(e, &f.Steps[k])
				if !slices.Contains(e.Faces, f.ID) {
					e.Faces = append(e.Faces, f.ID)
				}
				e.Work = title(f, effect)
			}
		}
	}
	q.measureLines()
}

// title says what a line is for.
func title(f *method.Face, effect bool) string {
	glazes, marked, second := 0, false, false
	for _, s := range f.Steps {
		switch {
		case s.Kind == method.Glaze:
			glazes++
		case s.Kind == method.Mark:
			marked = true
		case s.Role == catalog.RoleGroundB:
			second = true
		}
	}
	name := f.Technique.Name
	if f.Finish.Name != "" {
		name = f.Finish.Name + " (" + strings.ToLower(f.Technique.Name) + ")"
	}
	if effect {
		if glazes > 1 {
			return fmt.Sprintf("%s, %d glazes", name, glazes)
		}
		return name
	}
	words := "Preparation and ground coats for "
	if second {
		words = "Preparation and ground in two colours for "
	}
	if marked {
		return words + name + ", marked out"
	}
	return words + name
}

func (q *quoter) addStep(e *entry, s *method.Step) {
	crew := float64(max(1, s.Crew))
	e.Hours = e.Hours.Plus(s.Work.Times(crew))
	e.steps[s.ID] = float64(s.Work.Likely) * crew
	q.of[s.ID] = e
}

// measureLines adds the painted and the paid area of the faces of each line.
func (q *quoter) measureLines() {
	type place struct {
		wall *survey.Wall
		face *survey.Face
	}
	places := map[string]place{}
	for r := range q.survey.Rooms {
		for w := range q.survey.Rooms[r].Walls {
			wall := &q.survey.Rooms[r].Walls[w]
			for f := range wall.Faces {
				places[wall.Faces[f].ID] = place{wall, &wall.Faces[f]}
			}
		}
	}
	measured := map[string]Measured{}
	for _, e := range q.lines {
		hundredths := int64(0)
		for _, id := range e.Faces {
			at, ok := places[id]
			if !ok {
				continue
			}
			m, known := measured[id]
			if !known {
				var warnings []job.Warning
				m, warnings = Measure(q.quote.Rule, at.wall, at.face)
				measured[id] = m
				q.quote.Warnings = append(q.quote.Warnings, warnings...)
			}
			e.Measured = append(e.Measured, m)
			e.Painted += at.face.Painted()
			hundredths += int64(math.Round(float64(m.Paid) * 100))
		}
		e.Paid = paid(hundredths)
	}
}

// once adds what belongs to the whole job: rooms, goods, kit, travel, boards, sums.
func (q *quoter) once() {
	add := func(what string) *entry {
		e := &entry{Line: Line{Work: what, Once: true}, key: "once\x00" + what, steps: map[string]float64{}}
		q.lines = append(q.lines, e)
		return e
	}
	w := &q.quote.Working
	protection := add("Protection, clearing away and things used up")
	for r := range q.method.Rooms {
		for k := range q.method.Rooms[r].Steps {
			q.addStep(protection, &q.method.Rooms[r].Steps[k])
		}
	}
	for _, g := range q.quantity.Goods {
		w.Goods += g.Cost
	}
	for _, t := range q.quantity.Tools {
		if !t.Have {
			w.Goods += t.Cost
		}
	}
	protection.goods = float64(w.Goods)
	for _, k := range q.job.Kit {
		w.Kit += k.Cost.Value
	}
	add("Access equipment").goods = float64(w.Kit)
	q.travel(add(fmt.Sprintf("Travel, %d site days", q.plan.SiteDays)))
	w.Boards = unit.Money(max(0, q.job.Terms.Boards)) * q.job.Terms.Board.Value
	add(fmt.Sprintf("Sample boards, %d", q.job.Terms.Boards)).agreed = w.Boards
	for i, item := range q.job.Terms.Once {
		w.Once += item.Price.Value
		e := add(item.What)
		e.key += fmt.Sprint("\x00", i)
		e.agreed = item.Price.Value
	}
	q.lines = slices.DeleteFunc(q.lines, func(e *entry) bool {
		return e.Once && e.goods == 0 && e.agreed == 0 && e.extra == 0 && len(e.steps) == 0
	})
}

// travel pays each person's way for every day that person comes, and the cost of
// the way for every site day.
func (q *quoter) travel(e *entry) {
	t := q.job.Crew.Travel
	visits := 0
	for _, d := range q.plan.Days {
		visits += len(d.People)
	}
	e.extra = t.Hours.Value * unit.Hours(visits)
	e.Hours = unit.Exactly(e.extra)
	labour := float64(e.extra) * q.rate
	e.goods = float64(money(labour + float64(t.Cost.Value)*float64(q.plan.SiteDays)))
	q.quote.Working.Travel = unit.Money(e.goods)
	if q.plan.SiteDays > 0 {
		q.risk.perDay = e.goods / float64(q.plan.SiteDays)
	}
}

// materials allots what each purchase costs to the lines that use it, by the
// litres they lay.
func (q *quoter) materials() []float64 {
	index := map[*entry]int{}
	for i, e := range q.lines {
		index[e] = i
	}
	costs := make([]float64, len(q.lines))
	var unpriced []string
	for i := range q.quantity.Purchases {
		p := &q.quantity.Purchases[i]
		if !p.Priced {
			name := p.Product.Name
			if p.Colour.Name != "" {
				name += " " + p.Colour.Name
			}
			unpriced = append(unpriced, name)
			continue
		}
		q.quote.Working.Material += p.Cost
		weights := make([]float64, len(q.lines))
		for m := range q.quantity.Mixes {
			for _, u := range q.quantity.Mixes[m].Uses {
				if e := q.of[u.Step]; e != nil {
					weights[index[e]] += float64(u.Laid.Likely) * shareOf(&q.quantity.Mixes[m], p)
				}
			}
		}
		parts := q.apportion(p.Cost, weights)
		whole := unit.Money(0)
		for k, part := range parts {
			costs[k] += float64(part)
			whole += part
		}
		if whole != p.Cost { // nothing is known to use it
			q.spare(p.Cost, costs)
		}
	}
	q.unpriced(unpriced)
	return costs
}

// spare puts the cost of something no step uses on the first line of the whole job.
func (q *quoter) spare(cost unit.Money, costs []float64) {
	for i, e := range q.lines {
		if e.Once {
			costs[i] += float64(cost)
			return
		}
	}
	if len(costs) > 0 {
		costs[0] += float64(cost)
	}
}

// shareOf is how much of a litre of ready mix comes out of a purchase.
func shareOf(m *quantity.Mix, p *quantity.Purchase) float64 {
	parts := max(0, float64(m.Parts))
	switch {
	case m.Product != nil && m.Product.ID == p.Product.ID && m.Colour == p.Colour:
		return 1 / (1 + parts)
	case m.Thinner != nil && m.Thinner.ID == p.Product.ID && p.Colour == job.Colour{}:
		return parts / (1 + parts)
	}
	return 0
}

func (q *quoter) unpriced(materials []string) {
	if len(materials) > 0 {
		slices.Sort(materials)
		q.warn("prices.packs", "The quote is incomplete: no price for "+strings.Join(slices.Compact(materials), ", ")+".",
			"Write a pack of each under prices, packs.")
	}
	var goods []string
	for _, g := range q.quantity.Goods {
		if !g.Priced && g.Need > 0 && g.Good != nil {
			goods = append(goods, g.Good.Name)
		}
	}
	for _, t := range q.quantity.Tools {
		if !t.Priced && !t.Have && t.Good != nil {
			goods = append(goods, t.Good.Name)
		}
	}
	if len(goods) > 0 {
		slices.Sort(goods)
		q.warn("prices.goods", "The quote is incomplete: no price for "+strings.Join(slices.Compact(goods), ", ")+".",
			"Write the price of each under prices, goods, or have: true for what the crew owns.")
	}
}

// uncertain fills in what the trials need: hours by face, needs by purchase.
func (q *quoter) uncertain() {
	r := &q.risk
	face := 0.0
	if q.catalog.Defaults != nil {
		face = q.catalog.Defaults.PaceSpread.Likely
	}
	type hours struct {
		name string
		unit.Range[unit.Hours]
	}
	var list []hours
	add := func(name string, steps []method.Step) {
		h := hours{name: name}
		for i := range steps {
			h.Range = h.Plus(steps[i].Work.Times(float64(max(1, steps[i].Crew))))
		}
		list = append(list, h)
	}
	for i := range q.method.Faces {
		add(q.method.Faces[i].ID, q.method.Faces[i].Steps)
	}
	for i := range q.method.Rooms {
		add(q.method.Rooms[i].Name, q.method.Rooms[i].Steps)
	}
	slices.SortStableFunc(list, func(a, b hours) int { return cmp.Compare(a.name, b.name) })
	for _, h := range list {
		r.hours = append(r.hours, newSpread(float64(h.Low), float64(h.Likely), float64(h.High), face))
		r.planned += float64(h.Likely)
	}
	r.rate = q.rate
	for _, s := range q.job.Crew.Hours {
		r.dayHours += max(0, float64(s.To-s.From)) / 60 * float64(len(q.job.Crew.People))
	}
	purchases := slices.Clone(q.quantity.Purchases)
	slices.SortStableFunc(purchases, func(a, b quantity.Purchase) int {
		return cmp.Or(cmp.Compare(a.Product.ID, b.Product.ID), cmp.Compare(a.Colour.Name, b.Colour.Name), cmp.Compare(a.Colour.Hex, b.Colour.Hex))
	})
	for i := range purchases {
		p := &purchases[i]
		if !p.Priced || !(p.Bought > 0) || p.Cost <= 0 {
			continue
		}
		var low, likely, high float64
		for m := range q.quantity.Mixes {
			share := shareOf(&q.quantity.Mixes[m], p)
			ready := q.quantity.Mixes[m].Ready
			low, likely, high = low+share*float64(ready.Low), likely+share*float64(ready.Likely), high+share*float64(ready.High)
		}
		if !(likely > 0) {
			continue
		}
		scale := 1.0 // litres to what the product is bought by
		if p.Product.By == "mass" && p.Product.Density.Likely > 0 {
			scale = p.Product.Density.Likely
		}
		r.purchases = append(r.purchases, newBought(newSpread(low*scale, likely*scale, high*scale, 0), p.Bought, float64(p.Cost)/p.Bought))
	}
}
