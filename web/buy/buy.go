// Package buy is the shopping list of a job: what is needed, in which packs, what is left
// over, and what the supplier asks.
package buy

import (
	_ "embed"
	"fmt"
	"maps"
	"slices"
	"strings"

	"scumble/job"
	"scumble/unit"
	"scumble/web/frame"
	"scumble/why"
)

//go:embed buy.html
var page string

// Place is the page.
func Place() *frame.Place {
	return &frame.Place{Slug: "buy", Name: "Buy", Page: page, Show: show}
}

type view struct {
	Why       string
	Prices    bool
	Currency  string
	Purchases []purchase
	Goods     []good
	Tools     []tool
	Total     string
	Unpriced  int
	Packs     []pack
	Products  []frame.Choice
	GoodNames []frame.Choice
	Papers    []paper
	Asked     string
	Reasons   []why.Reason
}

type purchase struct {
	Product, Colour, Hex, Need, Bought, Left, Cost, Reason string
	Packs                                                  []string
	Priced                                                 bool
	WhyHref                                                string
}

type good struct {
	Name, Need, Packs, Cost, Reason string
	Priced                          bool
}

type tool struct {
	Name, Count, Cost, Reason string
	Have                      bool
}

// pack is one price as it can be changed.
type pack struct {
	Path   string
	Title  string
	Fields []frame.Field
	Wrong  []string
	// Breaks are the lower prices for more packs; New is the form that adds one, "" for
	// what has none.
	Breaks []priceBreak
	New    string
}

// priceBreak is one lower price as it can be changed.
type priceBreak struct {
	Path, Title string
	Fields      []frame.Field
}

type paper struct{ Href, Words string }

func show(s *frame.Sheet) (any, error) {
	v := &view{Prices: s.Person.MaySeePrices(), Currency: s.Board.Job.Currency}
	if v.Prices {
		packs(s, v)
	}
	q := s.Board.Plan.Quantities
	if q == nil {
		v.Why = s.Waits("quantities")
		return v, nil
	}
	money := func(m unit.Money) string { return m.Format(job.Decimals(v.Currency)) }
	var total unit.Money
	for i := range q.Purchases {
		p := &q.Purchases[i]
		one := purchase{Product: p.Product.Name, Colour: p.Colour.Name, Hex: p.Colour.Hex, Priced: p.Priced, Reason: frame.Sentence(p.Reason),
			Need: unit.Figure(p.Need, 2) + " " + p.Unit, WhyHref: s.URL("buy") + mark(s) + "why=" + p.Product.ID}
		for _, n := range p.Packs {
			if n.Count > 0 {
				text := fmt.Sprintf("%d × %s", n.Count, n.Size)
				if v.Prices {
					text += " at " + money(n.Each)
				}
				one.Packs = append(one.Packs, text)
			}
		}
		if p.Priced {
			one.Bought, one.Left, one.Cost = unit.Figure(p.Bought, 2)+" "+p.Unit, unit.Figure(p.Left, 2)+" "+p.Unit, money(p.Cost)
		} else {
			v.Unpriced++
		}
		total += p.Cost
		v.Purchases = append(v.Purchases, one)
	}
	for _, g := range q.Goods {
		one := good{Name: g.Good.Name, Need: unit.Figure(g.Need, 0) + " " + unitWords(g.Good.Unit), Priced: g.Priced, Reason: frame.Sentence(g.Reason)}
		if g.Priced {
			one.Packs, one.Cost = fmt.Sprintf("%d of %s", g.Packs, unit.Figure(g.PackOf, 0)), money(g.Cost)
		} else {
			v.Unpriced++
		}
		total += g.Cost
		v.Goods = append(v.Goods, one)
	}
	for _, t := range q.Tools {
		v.Tools = append(v.Tools, tool{Name: t.Good.Name, Count: fmt.Sprint(t.Count), Have: t.Have, Cost: money(t.Cost), Reason: frame.Sentence(t.Reason)})
		total += t.Cost
	}
	v.Total = money(total)
	v.Papers = []paper{{s.Paper("buying.pdf"), "The list on paper"}, {s.Paper("buying.csv"), "The same for a spreadsheet"}}
	asked(s, v)
	return v, nil
}

func mark(s *frame.Sheet) string {
	if s.Wall == nil {
		return "?"
	}
	return "&"
}

func unitWords(u string) string {
	return map[string]string{"each": "", "m": "m", "m2": "m²", "sheet": "sheets"}[u]
}

// asked answers why so much of a product is needed; the chain tells no money.
func asked(s *frame.Sheet, v *view) {
	id := s.Query.Get("why")
	product := s.Board.Plan.Catalog.Products[id]
	if product == nil || s.Board.Plan.Quote == nil || !v.Prices {
		return
	}
	if reasons, err := why.Ask(s.Board.Plan, []string{"product", id}); err == nil {
		v.Asked, v.Reasons = product.Name, reasons
	}
}

// packs are the prices of the supplier as fields.
func packs(s *frame.Sheet, v *view) {
	b, c := s.Board, s.Board.Plan.Catalog
	for i, p := range b.Job.Prices.Packs {
		path := fmt.Sprintf("prices.packs[%d]", i)
		title := p.Product
		if known := c.Products[p.Product]; known != nil {
			title = known.Name
		}
		one := pack{Path: path, Title: title + ", " + p.Size, Wrong: frame.WrongAt(b, path), New: fmt.Sprintf("break-%d", i),
			Fields: []frame.Field{frame.FieldOf(b, path+".size", "Pack", ""), frame.FieldOf(b, path+".price", "Price", v.Currency), frame.FieldOf(b, path+".stock", "At most to be had", "number")}}
		for k := range p.Breaks {
			at := fmt.Sprintf("%s.breaks[%d]", path, k)
			one.Breaks = append(one.Breaks, priceBreak{at, fmt.Sprintf("Lower price %d", k+1),
				[]frame.Field{frame.FieldOf(b, at+".from", "From so many packs on", "number"), frame.FieldOf(b, at+".price", "Price of each", v.Currency)}})
		}
		v.Packs = append(v.Packs, one)
	}
	for i, g := range b.Job.Prices.Goods {
		path := fmt.Sprintf("prices.goods[%d]", i)
		title := g.Good
		if known := c.Goods[g.Good]; known != nil {
			title = known.Name
		}
		v.Packs = append(v.Packs, pack{Path: path, Title: title, Wrong: frame.WrongAt(b, path), Fields: []frame.Field{frame.FieldOf(b, path+".pack", "Pack of", "number"), frame.FieldOf(b, path+".price", "Price", v.Currency)}})
	}
	for _, id := range slices.Sorted(maps.Keys(c.Products)) {
		v.Products = append(v.Products, frame.Choice{Value: id, Words: c.Products[id].Name})
	}
	for _, id := range slices.Sorted(maps.Keys(c.Goods)) {
		v.GoodNames = append(v.GoodNames, frame.Choice{Value: id, Words: c.Goods[id].Name})
	}
	slices.SortStableFunc(v.Packs, func(a, b pack) int { return strings.Compare(a.Title, b.Title) })
}
