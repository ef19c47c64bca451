// Package client holds the papers of the client: the quote, with the working behind
// it for the contractor, and the handover.
package client

import (
	"fmt"
	"slices"
	"strings"

	"scumble/catalog"
	"scumble/draw"
	"scumble/job"
	"scumble/method"
	"scumble/price"
	"scumble/sheets/desk"
	"scumble/sheets/drafting"
	"scumble/sheets/elevation"
	"scumble/sheets/pattern"
	"scumble/unit"
)

// Quote is what the client agrees to and pays; behind it, on pages of their own,
// stands the working for the contractor.
func Quote(d *desk.Desk) (draw.Doc, error) {
	book := d.Book("Quote")
	fl := book.Part("", d.Upright())
	addQuoteHead(d, fl)
	addRoomsOffered(d, fl)
	addQuoteLines(d, fl)
	addAreasPaid(d, fl)
	addSpreadOfPrice(d, fl)
	addOtherWays(d, fl)
	addPayments(d, fl)
	addConditions(d, fl)
	fl.Keep(func() {
		addJudging(fl)
		addAgreement(d, fl)
	})
	addWorking(d, book.Part("not for the client", d.Upright()))
	return book.Doc("Quote for painted wall finishes, with the working behind it"), nil
}

// addQuoteHead names the job over its frieze, and says the price once, large.
func addQuoteHead(d *desk.Desk, fl *draw.Flow) {
	j, q := d.Plan.Job, d.Plan.Quote
	drafting.AddTitle(fl, "Quote", "Painted wall finishes for "+desk.InOneLine(j.Name, j.Place)+".")
	addFrieze(d, fl)
	fl.Space(4)
	drafting.AddSides(d.Fonts, fl, 8,
		drafting.Side{Fill: func(side *draw.Flow) {
			drafting.AddFacts(side, 21,
				drafting.Fact{Name: "For", Value: j.Client},
				drafting.Fact{Name: "From", Value: j.Contractor},
				drafting.Fact{Name: "Reference", Value: j.Reference},
				drafting.Fact{Name: "Date", Value: desk.Day(j.Date)},
				drafting.Fact{Name: "Stands until", Value: desk.Day(j.Terms.Until)},
				drafting.Fact{Name: "On site", Value: siteDays(d)},
			)
		}},
		drafting.Side{Width: 72, Fill: func(side *draw.Flow) {
			side.Paragraph("To pay, "+desk.TaxName(j)+" in it", drafting.Small().Coloured(drafting.Grey))
			side.Paragraph(j.Currency+" "+d.Money(q.Total), drafting.Big())
			side.Paragraph(fmt.Sprintf("%s before %s, and %s of it at %s.", d.Money(q.Asked), desk.TaxName(j), d.Money(q.Tax), j.Terms.Tax.Value), drafting.Small())
		}},
	)
	if j.Demo {
		drafting.AddNote(fl, "A demonstration: the house, the people and every price in this quote are invented.")
	}
}

// addFrieze draws all walls of the job on one floor line that runs off the paper.
func addFrieze(d *desk.Desk, fl *draw.Flow) {
	body, paper := drafting.PageBody(d.Upright()), d.Upright()
	wide, _ := paper.Size()
	walls := d.Views()
	elevation.Frieze(d.Fonts, walls, elevation.FriezeOptions{Width: body.W, Left: body.X, Right: wide - body.X - body.W}).Add(fl)
	fl.Space(1)
	for _, note := range notesOn(walls) {
		drafting.AddNote(fl, note)
	}
}

// notesOn say how walls are shown, and why where they have no picture.
func notesOn(walls []elevation.View) []string {
	var notes []string
	for _, v := range walls {
		note := strings.Join(v.Notes(), " ")
		if v.Unpictured != "" {
			note += " No picture can be computed: " + v.Unpictured + "."
		}
		if !slices.Contains(notes, note) && slices.ContainsFunc(v.Fields, func(f elevation.Field) bool { return f.Finish != nil }) {
			notes = append(notes, note)
		}
	}
	return notes
}

// siteDays says from when to when the crew is there, on how many days.
func siteDays(d *desk.Desk) string {
	p := d.Plan.Programme
	return fmt.Sprintf("%s to %s, %s", p.Start.Format("2\u00a0January"), p.Finish.Format("2\u00a0January\u00a02006"), desk.Counted(p.SiteDays, "working day", "working days"))
}

// offered is one finish in one room with the walls that get it.
type offered struct {
	finish    *job.Finish
	technique *catalog.Technique
	faces     []*method.Face
}

// offeredIn lists the finishes of a room in walking order.
func offeredIn(d *desk.Desk, room string) []offered {
	var out []offered
	for i := range d.Plan.Method.Faces {
		face := &d.Plan.Method.Faces[i]
		if face.Room != room {
			continue
		}
		at := slices.IndexFunc(out, func(o offered) bool { return o.finish.ID == face.Finish.ID })
		if at < 0 {
			at = len(out)
			out = append(out, offered{finish: face.Finish, technique: face.Technique})
		}
		out[at].faces = append(out[at].faces, face)
	}
	return out
}

// walls names the walls of a finish: "North, East and South".
func (o offered) walls() string {
	var faces []string
	for _, f := range o.faces {
		faces = append(faces, f.ID)
	}
	return desk.WallsListed(faces)
}

// addRoomsOffered says in plain words what each room gets.
func addRoomsOffered(d *desk.Desk, fl *draw.Flow) {
	drafting.AddHead(fl, "What is done")
	drafting.AddBody(fl, "Every wall is protected, made good with filler, sanded, primed and given its ground coat before the finish. "+
		"Two people make each finish together: one lays the glaze, the other works it while it is wet.")
	table := drafting.Table([]draw.Column{{Title: "Picture", Width: 22}, {Title: "Finish and walls", Width: 42}, drafting.Words("What it is", 1), {Title: "Colours", Width: 38}})
	for _, room := range d.Plan.Survey.Rooms {
		finishes := offeredIn(d, room.Name)
		if len(finishes) > 0 {
			table.Rows = append(table.Rows, drafting.GroupRow(room.Name))
		}
		for _, o := range finishes {
			table.Rows = append(table.Rows, draw.Row{Cells: []draw.Cell{
				{Height: 13, Draw: func(b draw.Box) []draw.Item {
					return []draw.Item{d.Chip(o.finish, draw.Box{X: b.X, Y: b.Y + 0.6, W: b.W, H: 12})}
				}},
				{Text: nameOfFinish(o.finish), Bold: true, Note: desk.Capital(o.walls())},
				{Text: inPlainWords(d, o)},
				colourCell(coloursOf(o.finish)),
			}})
		}
	}
	fl.Table(table)
	wide, high := desk.Chip[0], desk.Chip[1]
	drafting.AddNote(fl, fmt.Sprintf("The pictures are %.0f by %.0f mm of wall by daylight, computed from the colours entered. Colours printed or on a screen are near, not exact; "+
		"what counts is the sample board that both sides sign. Larger pictures, also by lamp, and the figures are in colours.pdf.", wide, high))
	addUnpictured(d, fl)
}

// addUnpictured names the finishes that keep their drawn sign, and why.
func addUnpictured(d *desk.Desk, fl *draw.Flow) {
	for _, f := range finishesOf(d) {
		if s := d.Shown(f.ID, desk.Sample); s.Err != nil {
			drafting.AddNote(fl, nameOfFinish(f)+" is shown by the drawn sign of its technique; no picture can be computed: "+s.Err.Error()+".")
		}
	}
}

// finishesOf lists the finishes on the walls of the job, each once, in walking order.
func finishesOf(d *desk.Desk) []*job.Finish {
	var out []*job.Finish
	for i := range d.Plan.Method.Faces {
		f := d.Plan.Method.Faces[i].Finish
		if !slices.ContainsFunc(out, func(o *job.Finish) bool { return o.ID == f.ID }) {
			out = append(out, f)
		}
	}
	return out
}

// inPlainWords say what a finish is.
func inPlainWords(d *desk.Desk, o offered) string {
	text := o.technique.Name + ": " + desk.Lowered(o.technique.Summary)
	if v := desk.Variation(o.faces[0]); v != nil {
		text += " Variation: " + strings.ToLower(v.Name) + "."
	}
	if clear := d.Plan.Catalog.Products[o.finish.Clear]; clear != nil {
		text += " Over it: " + desk.Lowered(clear.Name) + "."
	}
	return text
}

// coat is a colour of a finish and the part it plays.
type coat struct {
	part   string
	colour job.Colour
}

// coloursOf lists the colours of a finish from the wall outwards.
func coloursOf(f *job.Finish) []coat {
	var out []coat
	for _, c := range []coat{{"ground", f.Ground}, {"ground 2", f.GroundB}, {"glaze", f.Glaze}, {"glaze 2", f.GlazeB}} {
		if c.colour.Name != "" {
			out = append(out, c)
		}
	}
	return out
}

// colourCell lists colours with a chip each, a line for each.
func colourCell(coats []coat) draw.Cell {
	const line = 4.4
	return draw.Cell{Height: line * float64(len(coats)), Draw: func(b draw.Box) []draw.Item {
		var items []draw.Item
		for i, c := range coats {
			y := b.Y + line*float64(i)
			items = append(items, drafting.Chip(draw.Box{X: b.X, Y: y + 0.5, W: 6, H: 3.2}, pattern.Colour(c.colour))...)
			items = append(items, draw.Label(b.X+7.6, y+3.2, c.colour.Name+", "+c.part, drafting.Letters(), draw.Left))
		}
		return items
	}}
}

// addQuoteLines is the table of what is paid for, room by room.
func addQuoteLines(d *desk.Desk, fl *draw.Flow) {
	j, q := d.Plan.Job, d.Plan.Quote
	drafting.AddHead(fl, "The price, line by line")
	table := drafting.Table([]draw.Column{drafting.Words("Work", 1), drafting.Figures("Painted", "m²"),
		drafting.Figures("Paid", "m²"), drafting.Figures("Rate", j.Currency+"/m²"), drafting.Figures("Amount", j.Currency)})
	room := ""
	for i, l := range q.Lines {
		if heading := lineGroup(l); i == 0 || heading != room {
			room = heading
			table.Rows = append(table.Rows, drafting.GroupRow(room))
		}
		if l.Paid == 0 {
			table.Rows = append(table.Rows, draw.Row{Cells: []draw.Cell{{Text: l.Work, Span: 4}, {Text: d.Money(l.Amount)}}})
			continue
		}
		table.Rows = append(table.Rows, drafting.Row(l.Work, l.Painted.Fixed(2), paid(l.Paid), d.Money(l.Rate), d.Money(l.Amount)))
	}
	table.Rows = append(table.Rows, draw.Row{Kind: draw.SumRow, Cells: []draw.Cell{
		{Text: fmt.Sprintf("Before %s\n%s, %s\nTo pay", desk.TaxName(j), desk.Capital(desk.TaxName(j)), j.Terms.Tax.Value), Span: 4},
		{Text: d.Money(q.Asked) + "\n" + d.Money(q.Tax) + "\n" + d.Money(q.Total)},
	}})
	fl.Table(table)
}

// lineGroup is the heading a line of the quote stands under.
func lineGroup(l price.Line) string {
	if l.Room == "" {
		return "Once for the job"
	}
	return l.Room
}

// addAreasPaid says by which rule the paid area is measured.
func addAreasPaid(d *desk.Desk, fl *draw.Flow) {
	rule := d.Plan.Quote.Rule
	drafting.AddHead(fl, "How the areas are measured")
	text := "The painted area is what paint covers; material is reckoned from it. The paid area is what the measuring rule counts; the rate is for that one. " +
		"The two stand side by side and are never mixed. "
	if rule != nil {
		text += fmt.Sprintf("Paid areas follow %s (edition: %s). ", rule.Name, rule.Edition)
		for _, class := range rule.Classes {
			text += desk.Squared(class.Why) + " "
		}
		if !rule.Verified {
			text += "The rule itself was not read, only papers that quote it. "
		}
	}
	drafting.AddBody(fl, strings.TrimSpace(text))
}

// addSpreadOfPrice draws how far the cost of the work may run.
func addSpreadOfPrice(d *desk.Desk, fl *draw.Flow) {
	j, q := d.Plan.Job, d.Plan.Quote
	fl.Keep(func() {
		drafting.AddHead(fl, "How sure the price is")
		asked := "The price asked is the likely one."
		if j.Terms.Ask == "eight-in-ten" {
			asked = "The price asked is the one that is enough eight times in ten."
		}
		drafting.AddBody(fl, fmt.Sprintf("Before %s, %s %s is likely and %s is enough eight times in ten; one time in ten it comes to less than %s, one time in ten to more than %s. %s",
			desk.TaxName(j), j.Currency, d.Money(q.Net), d.Money(q.EightInTen), d.Money(q.Low), d.Money(q.High), asked))
		fl.Block(21, func(b draw.Box) []draw.Item { return rangeBar(d, b) })
	})
}

// rangeBar is a bar of money whose slanted end is the range: its foot the low
// price, its head the high one. The axis is broken: it does not begin at nothing.
func rangeBar(d *desk.Desk, b draw.Box) []draw.Item {
	q := d.Plan.Quote
	left, right := b.X+b.W*0.16, b.X+b.W-14
	from, to := float64(min(q.Low, q.Net)), float64(max(q.High, q.EightInTen, q.Net))
	at := func(m unit.Money) float64 {
		if to <= from {
			return left
		}
		return left + (float64(m)-from)/(to-from)*(right-left)
	}
	top, bottom := b.Y+3, b.Y+9
	bar := drafting.Slanted(b.X, at(q.Low), b.X, at(q.High), top, bottom)
	items := []draw.Item{draw.Path{Outline: bar, Fill: drafting.Wash, Stroke: drafting.Edge()}}
	gap := b.X + b.W*0.05
	items = append(items, draw.Rect(gap-0.9, top-1, 1.8, bottom-top+2).Filled(drafting.Paper),
		drafting.BreakMark(gap-0.9, (top+bottom)/2, bottom-top+2), drafting.BreakMark(gap+0.9, (top+bottom)/2, bottom-top+2))
	mark := func(m unit.Money, what string, row float64, style draw.Style) {
		x := at(m)
		y := bottom + 4.2 + row*3.6
		align := draw.Centre
		if half := d.Fonts.Width(d.Money(m)+" "+what, style) / 2; x+half > b.X+b.W {
			x, align = b.X+b.W, draw.Right
		}
		items = append(items, draw.Line(at(m), bottom+0.4, at(m), y-3, drafting.Faint()), draw.Label(x, y, d.Money(m)+" "+what, style, align))
	}
	line := func(m unit.Money, s draw.Stroke) {
		items = append(items, draw.Line(at(m), top-1.2, at(m), bottom+1.2, s))
	}
	plain := drafting.Letters().Coloured(drafting.Grey)
	mark(q.Low, "low", 0, plain)
	mark(q.High, "high", 0, plain)
	mark(q.Net, "likely", 1, drafting.Letters().InBold())
	mark(q.EightInTen, "eight in ten", 2, drafting.Letters())
	line(q.Net, drafting.Edge())
	line(q.EightInTen, drafting.Chalk())
	return items
}

// addOtherWays sets the alternatives beside the way that is quoted.
func addOtherWays(d *desk.Desk, fl *draw.Flow) {
	if len(d.Plan.Alternatives) == 0 {
		return
	}
	j, q := d.Plan.Job, d.Plan.Quote
	drafting.AddHead(fl, "Other ways to do it")
	table := drafting.Table([]draw.Column{drafting.Words("Way", 1), drafting.Figures("On site", "days"), drafting.Words("Last day", 0),
		drafting.Figures("Before "+desk.TaxName(j), j.Currency), drafting.Figures("Difference", j.Currency)},
		drafting.Row("As quoted", fmt.Sprint(d.Plan.Programme.SiteDays), desk.Dated(d.Plan.Programme.Finish), d.Money(q.Asked), ""))
	for _, a := range d.Plan.Alternatives {
		diff := d.Money(a.Plan.Quote.Asked - q.Asked)
		if a.Plan.Quote.Asked > q.Asked {
			diff = "+" + diff
		}
		table.Rows = append(table.Rows, drafting.Row(a.Name, fmt.Sprint(a.Plan.Programme.SiteDays), desk.Dated(a.Plan.Programme.Finish), d.Money(a.Plan.Quote.Asked), diff))
	}
	fl.Table(table)
	drafting.AddNote(fl, "Each way is planned and priced whole; everything else in this quote stays as it is.")
}

// addPayments are the stage payments and the sum they make.
func addPayments(d *desk.Desk, fl *draw.Flow) {
	q, j := d.Plan.Quote, d.Plan.Job
	if len(q.Stages) == 0 {
		return
	}
	drafting.AddHead(fl, "Payments")
	table := drafting.Table([]draw.Column{drafting.Words("When", 1), drafting.Figures("Share", ""), drafting.Figures("Amount, "+desk.TaxName(j)+" in it", j.Currency)})
	for _, s := range q.Stages {
		table.Rows = append(table.Rows, drafting.Row(s.Name, s.Share.String(), d.Money(s.Amount)))
	}
	table.Rows = append(table.Rows, drafting.SumRow("To pay", "", d.Money(q.Total)))
	fl.Table(table)
}

// addConditions are boards, days on site and what is left out.
func addConditions(d *desk.Desk, fl *draw.Flow) {
	t := d.Plan.Job.Terms
	drafting.AddHead(fl, "Sample boards")
	boards := "A sample board is made with the same ground, glaze, tool and hand as the wall, looked at on its own wall by day and by lamp, and signed by both sides before that finish is mixed. " +
		"The signed board is what the wall is compared with; where no board was ordered, the first wall that is accepted takes its place. A change after that is extra work."
	if t.Boards > 0 {
		boards = fmt.Sprintf("%s in the price, for the finishes you choose; more of them are charged. ", desk.Capital(desk.Counted(t.Boards, "board is", "boards are"))) + boards
	}
	drafting.AddBody(fl, boards)
	drafting.AddHead(fl, "Days on site")
	drafting.AddBody(fl, daysWords(d))
	if len(t.Exclude) > 0 {
		drafting.AddHead(fl, "Not included")
		var left []string
		for _, e := range t.Exclude {
			left = append(left, strings.TrimSuffix(e, ".")+".")
		}
		drafting.AddBody(fl, strings.Join(left, " "))
	}
}

// addJudging says how the finished work is looked at.
func addJudging(fl *draw.Flow) {
	drafting.AddHead(fl, "How the work is judged")
	drafting.AddBody(fl, "The walls are compared with the signed boards by the unaided eye, from 1 to 2 m away, in diffuse light and with the finished lighting of the room. "+
		"In light that grazes the wall even faultless handwork shows its overlaps; evenness in grazing light is judged only where it was agreed in writing before the start. "+
		"The hand leaves small differences from wall to wall; they belong to the finish.")
	drafting.AddNote(fl, "Common practice; no standard is claimed.")
}

// daysWords tell when the crew is there and what the rooms need from the house.
func daysWords(d *desk.Desk) string {
	p := d.Plan.Programme
	text := fmt.Sprintf("The crew is on site on %s in %s, from %s to %s. ",
		desk.Counted(p.SiteDays, "day", "days"), desk.Counted(p.Visits, "visit", "visits"), desk.Dated(p.Start), desk.Dated(p.Finish))
	return text + "Between coats the walls dry, through nights and days off too; nobody touches them then. The rooms are kept heated and aired as agreed, and other trades are out of them."
}

// addAgreement is where both sides sign.
func addAgreement(d *desk.Desk, fl *draw.Flow) {
	j, q := d.Plan.Job, d.Plan.Quote
	drafting.AddHead(fl, "Agreed")
	drafting.AddBody(fl, fmt.Sprintf("The work as described, for %s %s with %s in it. This quote stands until %s.", j.Currency, d.Money(q.Total), desk.TaxName(j), desk.Day(j.Terms.Until)))
	addSigning(d, fl, "For the client", j.Client, "For the contractor", j.Contractor)
}

// addSigning draws lines for two people to sign on, side by side.
func addSigning(d *desk.Desk, fl *draw.Flow, one, oneName, other, otherName string) {
	fl.Space(2)
	fl.Block(31, func(b draw.Box) []draw.Item {
		var items []draw.Item
		w := (b.W - 12) / 2
		for i, who := range [][2]string{{one, oneName}, {other, otherName}} {
			x := b.X + float64(i)*(w+12)
			items = append(items, draw.Label(x, b.Y+3.5, who[0], drafting.Small().InBold(), draw.Left),
				draw.Label(x, b.Y+7.5, who[1], drafting.Small(), draw.Left))
			for n, line := range []string{"name", "place and date", "signature"} {
				y := b.Y + 14 + float64(n)*8
				items = append(items, drafting.WriteOn(x+22, x+w, y), draw.Label(x, y, line, drafting.Note(), draw.Left))
			}
		}
		return items
	})
}

// nameOfFinish is what the job calls a finish.
func nameOfFinish(f *job.Finish) string {
	if f.Name != "" {
		return f.Name
	}
	return f.ID
}

// paid prints a paid area without its unit.
func paid(a price.PaidArea) string { return unit.Figure(float64(a), 2) }
