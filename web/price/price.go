// Package price is the open ledger of a job: every line with its working, the range, the
// measuring rule, alternatives, terms and payments.
package price

import (
	_ "embed"
	"fmt"
	"maps"
	"slices"
	"strings"

	"scumble/job"
	"scumble/plan"
	stage "scumble/price"
	"scumble/unit"
	"scumble/web/frame"
)

//go:embed price.html
var page string

// Place is the page.
func Place() *frame.Place {
	return &frame.Place{Slug: "price", Name: "Price", Page: page, Priced: true, Show: show, Routes: routes}
}

type view struct {
	Why                  string
	Currency             string
	Rooms                []room
	Painted, Paid, Hours string
	Net, EightInTen      string
	Low, High            string
	Asked, Tax, Total    string
	TaxName              string
	Range                span
	Ask                  []frame.Choice
	Rules                []rule
	Ways                 []way
	Stages               []stagePay
	Working              []line
	Terms, Rates         []frame.Field
	Once, StageFields    []entry
	Exclude              []string
	ExcludeAt            string
	Finishes             []frame.Choice
	Left                 string
}

// span is where the likely price lies between low and high, in px of a line 300 long.
type span struct{ Likely, Eight string }

type room struct {
	Name  string
	Lines []quoteLine
}

type quoteLine struct {
	Work, Painted, Paid, Rate, Hours, Range, Amount string
	Faces                                           string
	Behind                                          []string
}

type rule struct {
	ID, Name, Paid, Net string
	Used                bool
}

type way struct {
	Name, Days, Net string
	Here            bool
	Path            string
}

type stagePay struct{ Name, Share, Amount string }

type line struct {
	Name, Amount string
	Sum          bool
}

// entry is one entry of a list that can be changed or taken out.
type entry struct {
	Path   string
	Fields []frame.Field
}

func show(s *frame.Sheet) (any, error) {
	j := s.Board.Job
	v := &view{Currency: j.Currency, TaxName: j.Terms.TaxName}
	if v.TaxName == "" {
		v.TaxName = "Tax"
	}
	forms(s, v)
	q := s.Board.Plan.Quote
	if q == nil {
		v.Why = s.Waits("price")
		return v, nil
	}
	money := func(m unit.Money) string { return m.Format(job.Decimals(q.Currency)) }
	var painted unit.Area
	var paid stage.PaidArea
	for _, l := range q.Lines {
		if len(v.Rooms) == 0 || v.Rooms[len(v.Rooms)-1].Name != roomName(l) {
			v.Rooms = append(v.Rooms, room{Name: roomName(l)})
		}
		last := &v.Rooms[len(v.Rooms)-1]
		last.Lines = append(last.Lines, lineOf(l, money))
		painted += l.Painted
		paid += l.Paid
	}
	v.Painted, v.Paid = painted.Fixed(2), unit.Figure(float64(paid), 2)
	v.Hours = q.Hours.Words(1, "h")
	v.Net, v.EightInTen, v.Low, v.High = money(q.Net), money(q.EightInTen), money(q.Low), money(q.High)
	v.Asked, v.Tax, v.Total = money(q.Asked), money(q.Tax), money(q.Total)
	v.Range = spanOf(q)
	for _, p := range q.Stages {
		v.Stages = append(v.Stages, stagePay{p.Name, p.Share.String(), money(p.Amount)})
	}
	w := q.Working
	v.Working = []line{{"Labour", money(w.Labour), false}, {"Paint, as bought", money(w.Material), false}, {"Things used up and tools", money(w.Goods), false}, {"Steps, platform", money(w.Kit), false}, {"Travel", money(w.Travel), false},
		{"Cost", money(w.Cost), true}, {"Overhead, " + j.Terms.Overhead.Value.String(), money(w.Overhead), false}, {"Margin, " + j.Terms.Margin.Value.String() + " of the price", money(w.Margin), false},
		{"Sample boards", money(w.Boards), false}, {"Lump sums", money(w.Once), false}, {"From the likely price to what is asked", money(w.Allowance), false}, {"Before tax", money(q.Asked), true}}
	compare(s, v, money)
	for i := range s.Walls {
		if w := &s.Walls[i]; w.Typed.Finish != "" && (w.Survey == nil || len(w.Survey.Faces) == 0) {
			v.Left = "Walls with a figure that does not fit are not in this price: " + w.Title() + " is one."
		}
	}
	return v, nil
}

func roomName(l stage.Line) string {
	if l.Room == "" {
		return "Once for the job"
	}
	return l.Room
}

func lineOf(l stage.Line, money func(unit.Money) string) quoteLine {
	out := quoteLine{Work: l.Work, Amount: money(l.Amount), Faces: strings.Join(l.Faces, "; ")}
	if l.Painted > 0 {
		out.Painted = l.Painted.Fixed(2)
	}
	if l.Paid > 0 {
		out.Paid, out.Rate = unit.Figure(float64(l.Paid), 2), money(l.Rate)
	}
	if l.Hours.Likely > 0 {
		out.Hours = unit.Figure(float64(l.Hours.Likely), 1)
		out.Range = unit.Figure(float64(l.Hours.Low), 1) + " to " + unit.Figure(float64(l.Hours.High), 1)
	}
	if l.Labour > 0 || l.Material > 0 {
		out.Behind = append(out.Behind, fmt.Sprintf("Labour %s and material %s; overhead and margin are in the amount.", money(l.Labour), money(l.Material)))
	}
	for _, m := range l.Measured {
		text := fmt.Sprintf("%s: %s m² over everything", m.Face, unit.Figure(float64(m.Gross), 2))
		for _, d := range m.Deducted {
			if d.Taken > 0 {
				text += fmt.Sprintf("; less %s m² for the %s", unit.Figure(float64(d.Taken), 2), d.Opening)
			} else {
				text += fmt.Sprintf("; nothing off for the %s of %s m²", d.Opening, unit.Figure(float64(d.Area), 2))
			}
			if d.Why != "" {
				text += " (" + d.Why + ")"
			}
		}
		if m.Reveals > 0 {
			text += fmt.Sprintf("; %s m² of reveals", unit.Figure(float64(m.Reveals), 2))
		}
		out.Behind = append(out.Behind, text+fmt.Sprintf(". Paid: %s m².", unit.Figure(float64(m.Paid), 2)))
	}
	return out
}

func spanOf(q *stage.Quote) span {
	at := func(m unit.Money) string {
		if q.High <= q.Low {
			return "150"
		}
		return fmt.Sprintf("%.1f", 20+260*max(0, min(1, float64(m-q.Low)/float64(q.High-q.Low))))
	}
	return span{at(q.Net), at(q.EightInTen)}
}

// compare sets other rules and other ways beside the price.
func compare(s *frame.Sheet, v *view, money func(unit.Money) string) {
	for _, r := range plan.UnderRules(s.Board.Plan) {
		one := rule{ID: r.Rule.ID, Name: r.Rule.Name, Used: r.Rule.ID == s.Board.Job.Terms.Rule}
		if r.Err == nil {
			paid := 0.0
			for _, l := range r.Quote.Lines {
				paid += float64(l.Paid)
			}
			one.Paid, one.Net = unit.Figure(paid, 2), money(r.Quote.Net)
		}
		v.Rules = append(v.Rules, one)
	}
	slices.SortFunc(v.Rules, func(a, b rule) int { return strings.Compare(a.Name, b.Name) })
	days := func(p *plan.Plan) string {
		if p.Programme == nil {
			return ""
		}
		return fmt.Sprint(p.Programme.SiteDays)
	}
	v.Ways = append(v.Ways, way{Name: "As drawn", Days: days(s.Board.Plan), Net: v.Net, Here: true})
	for _, a := range s.Board.Ways() {
		i := slices.IndexFunc(s.Board.Job.Alternatives, func(typed job.Alternative) bool { return typed.Name == a.Name })
		v.Ways = append(v.Ways, way{Name: a.Name, Days: days(a.Plan), Net: money(a.Plan.Quote.Net), Path: fmt.Sprintf("alternatives[%d]", i)})
	}
}

// forms are the terms as they can be changed.
func forms(s *frame.Sheet, v *view) {
	b, j := s.Board, s.Board.Job
	at := func(key, label, unit string) frame.Field { return frame.FieldOf(b, key, label, unit) }
	v.Ask = at("terms.ask", "", "").From(frame.Choice{Value: "likely", Words: "Likely"}, frame.Choice{Value: "eight-in-ten", Words: "Enough 8 times in 10"}).Choices
	if b.Typed("terms.ask") == "" {
		v.Ask = []frame.Choice{{Value: "likely", Words: "Likely", Chosen: true}, {Value: "eight-in-ten", Words: "Enough 8 times in 10"}}
	}
	if b.Plan.Quote == nil {
		for _, id := range slices.Sorted(maps.Keys(b.Plan.Catalog.Rules)) {
			v.Rules = append(v.Rules, rule{ID: id, Name: b.Plan.Catalog.Rules[id].Name, Used: id == j.Terms.Rule})
		}
	}
	v.Terms = []frame.Field{at("terms.rate", "An hour of a person", j.Currency), at("terms.overhead", "Overhead on cost", "%"), at("terms.margin", "Margin of the price", "%"),
		at("terms.tax", "Tax", "%"), at("terms.tax-name", "What the tax is called", ""), at("terms.valid-until", "The quote stands until", "").Noted("a day such as 2027-04-30"),
		at("terms.sample-boards", "Sample boards charged", "number"), at("terms.sample-board", "Price of a board", j.Currency)}
	for i, p := range j.Crew.People {
		v.Rates = append(v.Rates, at(fmt.Sprintf("crew.people[%d].rate", i), p.Name+", an hour", j.Currency))
	}
	for i := range j.Terms.Once {
		path := fmt.Sprintf("terms.once[%d]", i)
		v.Once = append(v.Once, entry{path, []frame.Field{at(path+".what", "What", ""), at(path+".price", "Amount", j.Currency)}})
	}
	for i := range j.Terms.Stages {
		path := fmt.Sprintf("terms.stages[%d]", i)
		v.StageFields = append(v.StageFields, entry{path, []frame.Field{at(path+".name", "Due", ""), at(path+".share", "Share", "%")}})
	}
	v.Exclude, v.ExcludeAt = j.Terms.Exclude, "terms.not-included"
	for _, f := range j.Finishes {
		v.Finishes = append(v.Finishes, frame.Choice{Value: f.ID, Words: f.Name})
	}
}
