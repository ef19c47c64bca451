package client

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"scumble/catalog"
	"scumble/draw"
	"scumble/method"
	"scumble/quantity"
	"scumble/sheets/desk"
	"scumble/sheets/drafting"
	"scumble/unit"
)

// Handover stays with the house: recipes, batches, what is kept, care, touching up.
func Handover(d *desk.Desk) (draw.Doc, error) {
	book := d.Book("Handover")
	fl := book.Part("", d.Upright())
	addHandoverHead(d, fl)
	for i := range d.Plan.Survey.Rooms {
		if finishes := offeredIn(d, d.Plan.Survey.Rooms[i].Name); len(finishes) > 0 {
			addRoomRecipe(d, fl, d.Plan.Survey.Rooms[i].Name, finishes)
		}
	}
	keeping := book.Part("kept, care and touching up", d.Upright())
	addKept(d, keeping)
	addCare(d, keeping)
	addNextDecorator(d, keeping)
	keeping.Keep(func() { addHandedOver(d, keeping) })
	return book.Doc("Recipes, batches, what is kept, care and touching up"), nil
}

// addHandoverHead names the job over its frieze and says what the paper is for.
func addHandoverHead(d *desk.Desk, fl *draw.Flow) {
	j := d.Plan.Job
	drafting.AddTitle(fl, "Handover", "What is on the walls of "+desk.InOneLine(j.Name, j.Place)+", and how to keep it.")
	addFrieze(d, fl)
	fl.Space(3)
	drafting.AddFacts(fl, 36,
		drafting.Fact{Name: "For", Value: j.Client},
		drafting.Fact{Name: "Done by", Value: j.Contractor},
		drafting.Fact{Name: "Reference", Value: j.Reference},
		drafting.Fact{Name: "Work, as planned", Value: desk.Dated(d.Plan.Programme.Start) + " to " + desk.Dated(d.Plan.Programme.Finish)},
	)
	drafting.AddBody(fl, "Keep this paper with the house. Years from now a wall can be touched up or made again only if its recipe, its batches and its tool are known. "+
		"Dates are those of the programme; where the work went otherwise the right day is written in. Empty lines are filled in by hand on the day of handover.")
	wide, high := desk.Chip[0], desk.Chip[1]
	drafting.AddNote(fl, fmt.Sprintf("The small picture at each recipe is %.0f by %.0f mm of wall by daylight, computed from the colours entered. The signed board decides.", wide, high))
	addUnpictured(d, fl)
	addLinesToFill(d, fl, "Signed sample boards, numbers and where they are kept", "Photographs taken on handover, and where they are kept")
}

// addLinesToFill sets words with a line beneath each to write on.
func addLinesToFill(d *desk.Desk, fl *draw.Flow, lines ...string) {
	fl.Block(11*float64(len(lines)), func(b draw.Box) []draw.Item {
		var items []draw.Item
		for i, text := range lines {
			y := b.Y + 11*float64(i)
			items = append(items, draw.Label(b.X, y+3.5, text, drafting.Small().Coloured(drafting.Grey), draw.Left), drafting.WriteOn(b.X, b.X+b.W, y+9.6))
		}
		return items
	})
}

// addRoomRecipe is what lies on the walls of one room, finish by finish: its walls,
// its coats from the wall outwards, care and touching up.
func addRoomRecipe(d *desk.Desk, fl *draw.Flow, room string, finishes []offered) {
	fl.Space(4)
	fl.Heading(room, drafting.Title().Sized(14))
	table := drafting.Table([]draw.Column{{Title: "Coat", Width: 34}, drafting.Words("Product and colour", 1), {Title: "Mix", Width: 8},
		{Title: "Thinned", Width: 30}, {Title: "Planned", Width: 23}, {Title: "Batch number", Width: 22}})
	table.Gap = 3
	for _, o := range finishes {
		table.Rows = append(table.Rows, draw.Row{Kind: draw.GroupRow, Cells: []draw.Cell{finishCell(d, o)}})
		if old := oldOf(d, room); old != "" {
			table.Rows = append(table.Rows, draw.Row{Cells: []draw.Cell{{Text: "Before the work"}, {Text: old, Span: 5}}})
		}
		for _, c := range coatsOf(d, o) {
			table.Rows = append(table.Rows, draw.Row{Cells: []draw.Cell{{Text: c.title}, {Text: c.mix.Product.Name, Note: c.mix.Colour.Name}, {Text: c.mix.ID, Bold: true},
				{Text: thinnedWords(c.mix)}, {Text: days(c.from, c.to)}, writeCell()}})
		}
		table.Rows = append(table.Rows, draw.Row{Cells: []draw.Cell{{Text: "Touching up"}, {Text: o.technique.TouchUp, Span: 5}}},
			draw.Row{Cells: []draw.Cell{{Text: "Care"}, {Text: washWords(d, o), Span: 5}}})
	}
	fl.Table(table)
}

// finishCell shows a finish beside its name and the walls it lies on.
func finishCell(d *desk.Desk, o offered) draw.Cell {
	var areas []string
	for _, face := range o.faces {
		if _, _, f := d.Plan.Survey.FaceByID(face.ID); f != nil {
			areas = append(areas, strings.Replace(desk.WallName(face.ID), ", dado", " below the dado", 1)+" "+f.Painted().String())
		}
	}
	return draw.Cell{Height: 12.5, Draw: func(b draw.Box) []draw.Item {
		name := draw.Style{Size: 10.5, Bold: true, Colour: drafting.Ink}
		walls := d.Fonts.Lines(desk.Capital(desk.Listed(areas))+".", drafting.Small(), b.W-25)
		return append([]draw.Item{d.Chip(o.finish, draw.Box{X: b.X, Y: b.Y, W: 22, H: 12}),
			draw.Label(b.X+25, b.Y+3.6, nameOfFinish(o.finish)+", "+desk.Lowered(o.technique.Name), name, draw.Left)},
			walls.Draw(b.X+25, b.Y+4.8, b.W-25, draw.Left)...)
	}}
}

// oldOf is what was on the walls of a room before the work.
func oldOf(d *desk.Desk, room string) string {
	for _, r := range d.Plan.Job.Rooms {
		if r.Name == room {
			return strings.TrimSuffix(r.Old, ".")
		}
	}
	return ""
}

// laidCoat is a coat of a recipe with the days it is planned for.
type laidCoat struct {
	title    string
	mix      *quantity.Mix
	from, to time.Time
}

// coatsOf lists the coats of a finish in one room in the order they are laid;
// coats of one mix that follow each other stand together.
func coatsOf(d *desk.Desk, o offered) []laidCoat {
	var all []laidCoat
	tasks := d.Tasks()
	for _, face := range o.faces {
		for i := range face.Steps {
			step := &face.Steps[i]
			mix, _ := d.MixOf(step.ID)
			if mix == nil {
				continue
			}
			title := desk.TitleWithout(step.Title, mix)
			at := slices.IndexFunc(all, func(c laidCoat) bool { return c.mix == mix && c.title == title })
			if at < 0 {
				at = len(all)
				all = append(all, laidCoat{title: title, mix: mix})
			}
			if t := tasks[step.ID]; t != nil {
				all[at].during(t.Start, t.End)
			}
		}
	}
	var out []laidCoat
	for _, c := range all {
		if n := len(out) - 1; n >= 0 && out[n].mix == c.mix {
			out[n].title += "; " + desk.Lowered(c.title)
			out[n].during(c.from, c.to)
		} else {
			out = append(out, c)
		}
	}
	return out
}

// during widens the days of a coat to hold a stretch of work.
func (c *laidCoat) during(from, to time.Time) {
	if from.IsZero() {
		return
	}
	if c.from.IsZero() || from.Before(c.from) {
		c.from = from
	}
	if to.After(c.to) {
		c.to = to
	}
}

// thinnedWords say how a coat was let down: both volumes of the batch, and the ratio.
func thinnedWords(m *quantity.Mix) string {
	if !desk.Thinned(m) {
		return "as it is"
	}
	return fmt.Sprintf("%s + %s\n%s", desk.Litres(m.Stock), desk.Litres(m.Thin), desk.PartsWords(m))
}

// days says the days of a coat shortly: 10 Mar, or 10 to 12 Mar.
func days(from, to time.Time) string {
	switch {
	case from.IsZero():
		return ""
	case from.Format(time.DateOnly) == to.Format(time.DateOnly):
		return from.Format("2\u00a0Jan")
	case from.Month() == to.Month():
		return from.Format("2") + " to " + to.Format("2\u00a0Jan")
	}
	return from.Format("2\u00a0Jan") + " to " + to.Format("2\u00a0Jan")
}

// writeCell is a line to write on in a table.
func writeCell() draw.Cell {
	return draw.Cell{Height: 5, Draw: func(b draw.Box) []draw.Item {
		return []draw.Item{drafting.WriteOn(b.X, b.X+b.W, b.Y+4.4)}
	}}
}

// washWords say from when and how the wall may be washed, by its outermost coat.
func washWords(d *desk.Desk, o offered) string {
	top := outermost(d, o)
	if top == nil {
		return ""
	}
	if w := top.Drying.Washable; w != nil {
		return fmt.Sprintf("Wash no earlier than %s after the last coat (%s). ", daysOf(w.Likely), rangeOfDays(*w)) + top.Care
	}
	return top.Care
}

// outermost is the last coat of a finish: the protective coat, else the glaze.
func outermost(d *desk.Desk, o offered) *catalog.Product {
	if clear := d.Plan.Catalog.Products[o.finish.Clear]; clear != nil {
		return clear
	}
	return d.Plan.Catalog.Products[o.finish.With]
}

// daysOf prints hours as days.
func daysOf(h float64) string { return unit.Figure(h/24, 0) + "\u00a0days" }

// rangeOfDays says how far a figure in hours runs, and what it rests on.
func rangeOfDays(f catalog.Figure) string {
	text := "figures run from " + unit.Figure(f.Low/24, 0) + " to " + daysOf(f.High)
	if letter := drafting.Footing(string(f.Kind)); letter != "" {
		text += ", " + letter
	}
	return text
}

// addKept lists what stays in the house for touching up.
func addKept(d *desk.Desk, fl *draw.Flow) {
	drafting.AddTitle(fl, "Kept for touching up", "Small tight tins, labelled, upright, free of frost, away from flame and from children.")
	table := drafting.Table([]draw.Column{{Title: "Mix", Width: 9}, {Title: "Colour", Width: 22}, drafting.Words("Product and where it is", 1),
		{Title: "Ready mix kept", Unit: "L", Width: 17, Align: draw.Right}, {Title: "Left as sold", Unit: "L", Width: 15, Align: draw.Right}, {Title: "Tin stands at", Width: 26}})
	table.Pad = 0.6
	for i := range d.Plan.Quantities.Mixes {
		m := &d.Plan.Quantities.Mixes[i]
		if m.Reserve <= 0 {
			continue
		}
		left := "–"
		if p := purchaseOf(d, m); p != nil && p.Priced {
			left = unit.Figure(p.Left, 2)
		}
		table.Rows = append(table.Rows, draw.Row{Cells: []draw.Cell{{Text: m.ID, Bold: true}, desk.MixColour(m), {Text: m.Product.Name, Note: desk.WallsWords(m)},
			{Text: m.Reserve.Fixed(2)}, {Text: left}, writeCell()}})
	}
	fl.Table(table)
	drafting.AddNote(fl, "Ready mix kept is what was made up over the need, as planned. Left as sold is what the packs hold beyond the need they were bought for; it is not thinned. Both are measured again on handover.")
}

// purchaseOf is the purchase a mix is made from, or nil.
func purchaseOf(d *desk.Desk, m *quantity.Mix) *quantity.Purchase {
	for i := range d.Plan.Quantities.Purchases {
		if p := &d.Plan.Quantities.Purchases[i]; p.Product.ID == m.Product.ID && p.Colour == m.Colour {
			return p
		}
	}
	return nil
}

// addCare says how to live with the walls, and what to know before touching up.
func addCare(d *desk.Desk, fl *draw.Flow) {
	drafting.AddHead(fl, "Living with the walls")
	for _, line := range []string{
		"Let the walls harden before anything leans on them, is taped to them or hung against them; the day from which each may be washed stands with its recipe.",
		"Dust with a soft dry brush or cloth, from the top down, once or twice a year.",
		"Wash only where needed: soft cloth, lukewarm water, a little mild soap, no scouring, no solvent. Try it first where nobody sees it.",
		"Air rooms after bathing and cooking. Water that stands on a wall or runs down behind it spoils any finish.",
		"Look over corners, door edges and places where chairs touch once a year, and touch up while the marks are small.",
	} {
		fl.Hanging("–", line, drafting.Body(), 4)
	}
	drafting.AddHead(fl, "Touching up")
	for _, line := range []string{
		"Take the tin of the same mix and batch, stir it to the bottom and strain it. Try it on the back of the signed board and let it dry before judging.",
		"Use the tool and the movement named in the recipe. Dab the ragged edge of the patch out; a straight edge shows.",
		"An old wall has faded and yellowed a little: a fresh patch may look darker or cooler for good. Making a whole wall again, corner to corner, is often easier than hiding a patch.",
		"If none of the batch is left, make a board first and compare it on the wall, by day and by lamp.",
	} {
		fl.Hanging("–", line, drafting.Body(), 4)
	}
	fl.Space(1)
	d.AddSourcedCautions(fl, slices.DeleteFunc(d.ThinningCautions(), func(c *catalog.Caution) bool { return c.Shape == "note" }))
	drafting.AddNote(fl, drafting.FootingKey+" The product's own sheet comes first.")
}

// addNextDecorator is for whoever covers or strips these walls one day.
func addNextDecorator(d *desk.Desk, fl *draw.Flow) {
	drafting.AddHead(fl, "To whoever decorates here next")
	for _, line := range []string{
		"The coats stand in each room's recipe from the wall outwards, with what was on the wall before.",
		"Glaze is thin and hard: wash, scuff it evenly and prime before anything goes over it. Oil glaze under a water-borne coat needs a primer that holds on oil; try a small patch and pull tape off it.",
		"Raised finishes are filled and sanded or taken off, not painted over.",
	} {
		fl.Hanging("–", line, drafting.Body(), 4)
	}
	fl.Space(1)
	d.AddSourcedCautions(fl, stepCautions(d, "lead-paint", "sanding-dust"))
}

// stepCautions are those of the cautions named that any step of the job carries.
func stepCautions(d *desk.Desk, ids ...string) []*catalog.Caution {
	var steps []method.Step
	for _, r := range d.Plan.Method.Rooms {
		steps = append(steps, r.Steps...)
	}
	for _, f := range d.Plan.Method.Faces {
		steps = append(steps, f.Steps...)
	}
	return slices.DeleteFunc(desk.CautionsOf(steps), func(c *catalog.Caution) bool { return !slices.Contains(ids, c.ID) })
}

// addHandedOver is where both sides sign that the walls were looked at together.
func addHandedOver(d *desk.Desk, fl *draw.Flow) {
	j := d.Plan.Job
	drafting.AddHead(fl, "Handed over")
	drafting.AddBody(fl, "The walls were looked at together against the signed boards, from 1 to 2 m away in diffuse light. What was found and what is still to be done:")
	addLinesToFill(d, fl, "", "")
	fl.Space(2)
	addSigning(d, fl, "For the client", j.Client, "For the contractor", j.Contractor)
}
