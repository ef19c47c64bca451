package client

import (
	"fmt"
	"strings"

	"scumble/draw"
	"scumble/price"
	"scumble/sheets/desk"
	"scumble/sheets/drafting"
	"scumble/unit"
)

// addWorking shows the contractor what every line of the quote rests on.
func addWorking(d *desk.Desk, fl *draw.Flow) {
	drafting.AddTitle(fl, "Working behind the quote", "For the contractor: hours, costs and the measured areas behind every line.")
	drafting.AddNotice(d.Fonts, fl, drafting.Notice{Shape: drafting.CautionShape, Title: "Not for the client",
		Text: "Take these pages out before the quote is sent. They begin here and run to the last page."})
	addHoursBehind(d, fl)
	addCostToPrice(d, fl)
	addHowMeasured(d, fl)
	addDoubts(d, fl)
}

// addHoursBehind gives hours, labour and material of each line.
func addHoursBehind(d *desk.Desk, fl *draw.Flow) {
	j, q := d.Plan.Job, d.Plan.Quote
	drafting.AddHead(fl, "Hours and cost of each line")
	table := drafting.Table([]draw.Column{drafting.Words("Work", 1), drafting.Figures("Likely", "h"), {Title: "Low to high", Unit: "h"},
		drafting.Figures("Labour", j.Currency), drafting.Figures("Material", j.Currency), drafting.Figures("Amount", j.Currency)})
	room := ""
	for i, l := range q.Lines {
		if heading := lineGroup(l); i == 0 || heading != room {
			room = heading
			table.Rows = append(table.Rows, drafting.GroupRow(room))
		}
		if l.Once || l.Hours.High == 0 && l.Labour == 0 {
			table.Rows = append(table.Rows, draw.Row{Cells: []draw.Cell{{Text: l.Work, Span: 5}, {Text: d.Money(l.Amount)}}})
			continue
		}
		table.Rows = append(table.Rows, drafting.Row(l.Work, hours(l.Hours.Likely), hours(l.Hours.Low)+" to "+hours(l.Hours.High),
			d.Money(l.Labour), d.Money(l.Material), d.Money(l.Amount)))
	}
	table.Rows = append(table.Rows, drafting.SumRow("Person-hours of the job, and price before "+desk.TaxName(j), hours(q.Hours.Likely),
		hours(q.Hours.Low)+" to "+hours(q.Hours.High), "", "", d.Money(q.Asked)))
	fl.Table(table)
	drafting.AddNote(fl, "Labour and material are costs. The amount is the price of the line: its share of everything in the next table is in it.")
}

func hours(h unit.Hours) string { return unit.Figure(float64(h), 1) }

// addCostToPrice builds the price up from the costs.
func addCostToPrice(d *desk.Desk, fl *draw.Flow) {
	j, q := d.Plan.Job, d.Plan.Quote
	w := q.Working
	fl.Keep(func() {
		drafting.AddHead(fl, "From cost to price")
		table := drafting.Table([]draw.Column{drafting.Words("", 1), drafting.Figures("Likely", j.Currency)})
		add := func(name string, m unit.Money) {
			table.Rows = append(table.Rows, drafting.Row(name, d.Money(m)))
		}
		add("Labour, at the mean rate of the crew", w.Labour)
		add("Coatings and thinners, packs as bought", w.Material)
		add("Goods and tools, as bought", w.Goods)
		add("Access equipment", w.Kit)
		add("Travel", w.Travel)
		table.Rows = append(table.Rows, drafting.SumRow("Cost", d.Money(w.Cost)))
		add(fmt.Sprintf("Overhead, %s of cost", j.Terms.Overhead.Value), w.Overhead)
		add(fmt.Sprintf("Margin, %s of the price of the work", j.Terms.Margin.Value), w.Margin)
		add("Sample boards, as agreed", w.Boards)
		add("Once for the job, as agreed", w.Once)
		table.Rows = append(table.Rows, drafting.SumRow("Price before "+desk.TaxName(j)+", likely", d.Money(q.Net)))
		if q.Asked != q.Net {
			add("Price asked, enough eight times in ten", q.Asked)
		}
		fl.Table(table)
		if p := d.Plan.Programme; p.Bound > 0 && p.BoundBy != "" {
			drafting.AddNote(fl, fmt.Sprintf("Site days: %d in the programme; no plan can need fewer than %d (%s).", p.SiteDays, p.Bound, strings.TrimSuffix(p.BoundBy, ".")))
		}
		if w.Trials > 0 {
			drafting.AddNote(fl, fmt.Sprintf("Range of the price: %s trials of the hours and of what they depend on, random numbers from seed %d; the same seed gives the same figures.",
				unit.Figure(float64(w.Trials), 0), w.Seed))
		}
	})
}

// addHowMeasured shows for every face how its paid area came about.
func addHowMeasured(d *desk.Desk, fl *draw.Flow) {
	q := d.Plan.Quote
	drafting.AddHead(fl, "How each paid area was measured")
	if q.Rule != nil {
		drafting.AddNote(fl, fmt.Sprintf("Rule: %s, edition %s. %s", q.Rule.Name, q.Rule.Edition, desk.Squared(q.Rule.Note)))
	}
	table := drafting.Table([]draw.Column{drafting.Words("Wall", 1), drafting.Figures("Gross", "m²"), drafting.Figures("Opening", "m²"),
		drafting.Figures("Taken off", "m²"), drafting.Figures("Reveals", "m²"), drafting.Figures("Paid", "m²")})
	room, shown := "", map[string]bool{} // several lines can rest on one face
	for _, l := range q.Lines {
		for _, m := range l.Measured {
			if shown[m.Face] {
				continue
			}
			shown[m.Face] = true
			if l.Room != room {
				room = l.Room
				table.Rows = append(table.Rows, drafting.GroupRow(room))
			}
			table.Rows = append(table.Rows, drafting.Row(desk.WallName(m.Face), paid(m.Gross), "", "", paid(m.Reveals), paid(m.Paid)))
			table.Rows = append(table.Rows, deducted(m)...)
		}
	}
	fl.Table(table)
}

// deducted are the rows of the openings of one face, each with its reason.
func deducted(m price.Measured) []draw.Row {
	var rows []draw.Row
	for _, o := range m.Deducted {
		rows = append(rows, draw.Row{Cells: []draw.Cell{{Text: "– " + o.Opening, Note: desk.Squared(o.Why), Colour: drafting.Grey}, {},
			{Text: paid(o.Area), Colour: drafting.Grey}, {Text: paid(o.Taken), Colour: drafting.Grey}}})
	}
	return rows
}

// addDoubts lists what the price stage wants known.
func addDoubts(d *desk.Desk, fl *draw.Flow) {
	if len(d.Plan.Quote.Warnings) == 0 {
		return
	}
	drafting.AddHead(fl, "To look at before it is sent")
	for _, w := range d.Plan.Quote.Warnings {
		drafting.AddNotice(d.Fonts, fl, warned(d, w.Name, w.What, w.Do, w.Hold))
	}
}

// warned is a warning of a stage as a notice.
func warned(d *desk.Desk, name, what, do string, hold bool) drafting.Notice {
	n := drafting.Notice{Shape: drafting.CautionShape, Title: name, Text: desk.Capital(what) + ". " + desk.Capital(do) + "."}
	if hold {
		n.Shape = drafting.HoldShape
	}
	return n
}
