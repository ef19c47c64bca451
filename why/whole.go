package why

import (
	"fmt"
	"strings"

	"scumble/job"
	"scumble/plan"
	"scumble/unit"
)

// product tells what of one product is bought and why.
func product(p *plan.Plan, id string) ([]Reason, error) {
	var out []Reason
	for _, b := range p.Quantities.Purchases {
		if b.Product.ID != id {
			continue
		}
		var packs []string
		for _, k := range b.Packs {
			packs = append(packs, fmt.Sprintf("%d of %s", k.Count, k.Size))
		}
		held := "the cheapest packs that hold " + unit.Figure(b.Need, 2) + " " + b.Unit + "; " + unit.Figure(b.Left, 2) + " " + b.Unit + " left over. "
		if !b.Priced {
			packs, held = []string{unit.Figure(b.Need, 2) + " " + b.Unit}, "the job names no pack of it with a price. "
		}
		r := Reason{
			Figure: strings.TrimSpace(b.Product.Name + " " + b.Colour.Name), Value: strings.Join(packs, " and "),
			How: held + b.Reason,
		}
		for i := range p.Quantities.Mixes {
			m := &p.Quantities.Mixes[i]
			if m.Product.ID == id && m.Colour == b.Colour || m.Thinner != nil && m.Thinner.ID == id {
				r.From = append(r.From, batch(p, m))
			}
		}
		out = append(out, r)
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("nothing called %q is bought for this job", id)
	}
	return out, nil
}

// total tells how the price is built.
func total(p *plan.Plan) Reason {
	q, w := p.Quote, p.Quote.Working
	d := job.Decimals(p.Job.Currency)
	amount := func(what string, m unit.Money, how, path, text string) Reason {
		r := Reason{Figure: what, Value: m.Format(d) + " " + q.Currency, How: how}
		if path != "" {
			r.From = []Reason{typed(what, path, text)}
		}
		return r
	}
	t := p.Job.Terms
	return Reason{
		Figure: "price before tax", Value: q.Net.Format(d) + " " + q.Currency,
		How: fmt.Sprintf("cost, overhead, margin and agreed sums; enough eight times in ten: %s, from %d trials with seed %d", q.EightInTen.Format(d), w.Trials, w.Seed),
		From: []Reason{
			amount("labour", w.Labour, q.Hours.Words(1, "person-hours")+" at the mean rate of the crew", "", ""),
			amount("materials as bought", w.Material, "packs, not litres used", "", ""),
			amount("things used up and tools", w.Goods, "", "", ""),
			amount("access kit", w.Kit, "", "", ""),
			amount("travel", w.Travel, fmt.Sprintf("%d site days", p.Programme.SiteDays), "", ""),
			amount("overhead", w.Overhead, "a share of cost", "terms.overhead", t.Overhead.Text),
			amount("margin", w.Margin, "a share of the price of all above", "terms.margin", t.Margin.Text),
			amount("sample boards", w.Boards, fmt.Sprintf("%d boards at their price, nothing added", t.Boards), "terms.sample-board", t.Board.Text),
			amount("once for the job", w.Once, "as agreed, nothing added", "", ""),
		},
	}
}

// days tells what the length of the programme rests on.
func days(p *plan.Plan) Reason {
	g := p.Programme
	r := Reason{
		Figure: "site days", Value: fmt.Sprintf("%d, ready %s", g.SiteDays, g.Finish.Format("Mon 2 Jan 2006 15:04")),
		How: fmt.Sprintf("no plan needs fewer than %d: %s", g.Bound, g.BoundBy),
	}
	for _, t := range g.Tasks {
		if t.Critical {
			r.From = append(r.From, Reason{Figure: t.Title + ", " + t.Room, Value: t.Start.Format("Mon 2 Jan 15:04"), How: t.Before})
		}
	}
	return r
}
