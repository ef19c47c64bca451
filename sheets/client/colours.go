package client

import (
	"fmt"
	"slices"
	"strings"

	"scumble/appearance/colour"
	"scumble/appearance/finish"
	"scumble/catalog"
	"scumble/draw"
	"scumble/job"
	"scumble/method"
	"scumble/sheets/desk"
	"scumble/sheets/drafting"
	"scumble/unit"
)

// Colours is the swatch sheet: each finish by day and by lamp, its colours in patches
// and figures, and what is worth knowing before it is agreed.
func Colours(d *desk.Desk) (draw.Doc, error) {
	book := d.Book("Colours")
	for _, f := range finishesOf(d) {
		colourSheet(d, book, f)
	}
	return book.Doc("The finished colours by day and by lamp, in patches, figures and words"), nil
}

func colourSheet(d *desk.Desk, book *drafting.Book, f *job.Finish) {
	fl := book.Part(nameOfFinish(f), d.Upright())
	technique := d.Plan.Catalog.Techniques[f.Technique]
	drafting.AddTitle(fl, nameOfFinish(f), technique.Name+". "+wallsWith(d, f)+".")
	s := d.Shown(f.ID, desk.Daylit, desk.Lamplit)
	if s.Err != nil {
		addWithoutPicture(d, fl, f, s.Err)
		return
	}
	addDayAndLamp(d, fl, s)
	addPatches(fl, s)
	addColourAdvice(d, fl, f, s)
	addBasis(fl, s)
}

// wallsWith names the walls that get a finish, room by room.
func wallsWith(d *desk.Desk, f *job.Finish) string {
	var rooms []string
	for i := range d.Plan.Survey.Rooms {
		room := d.Plan.Survey.Rooms[i].Name
		for _, o := range offeredIn(d, room) {
			if o.finish.ID == f.ID {
				rooms = append(rooms, room+": "+o.walls())
			}
		}
	}
	return strings.Join(rooms, "; ")
}

// addWithoutPicture says why a finish has no colours to show, under the drawn sign of
// its technique.
func addWithoutPicture(d *desk.Desk, fl *draw.Flow, f *job.Finish, why error) {
	fl.Block(32, func(b draw.Box) []draw.Item {
		return []draw.Item{d.Chip(f, draw.Box{X: b.X, Y: b.Y, W: 54, H: 30})}
	})
	drafting.AddNotice(d.Fonts, fl, drafting.Notice{Shape: drafting.CautionShape, Title: "No picture can be computed",
		Text: desk.Capital(why.Error()) + ". What is shown is the drawn sign of the technique, not the finished look; make a board."})
}

// addDayAndLamp sets the same piece of wall twice, side by side.
func addDayAndLamp(d *desk.Desk, fl *draw.Flow, s *desk.Shown) {
	const gap = 4.0
	wide := (drafting.PageBody(d.Upright()).W - gap) / 2
	piece := func(content []byte, words string) drafting.Side {
		return drafting.Side{Fill: func(side *draw.Flow) {
			side.Block(wide*desk.Piece[1]/desk.Piece[0], func(b draw.Box) []draw.Item {
				return []draw.Item{draw.Image{Box: b, JPEG: content, Alt: s.Finish.Name + ", " + words}}
			})
			side.Paragraph(desk.Capital(words), drafting.Small())
		}}
	}
	drafting.AddSides(d.Fonts, fl, gap, piece(s.Pictures[desk.Daylit], fmt.Sprintf("%.0f by %.0f mm of wall by daylight (D65)", desk.Piece[0], desk.Piece[1])), piece(s.Pictures[desk.Lamplit], "by lamp ("+lightWords(s.Lamps[0])+")"))
	drafting.AddNote(fl, "Computed from the colours entered, for an eye used to the light. Print and screen show colours only roughly; the signed board decides.")
}

// lightWords name a light for people, after the name the CIE gives it.
func lightWords(id string) string {
	if l, ok := colour.LightByID(id); ok && l.Name != "" {
		return l.ID + ": " + desk.Lowered(l.Name)
	}
	return id
}

// addPatches is the table of colours, each with a patch: its left half by day, its
// right half by lamp.
func addPatches(fl *draw.Flow, s *desk.Shown) {
	drafting.AddHead(fl, "Colours")
	table := drafting.Table([]draw.Column{{Title: "By day", Width: 15}, {Title: "By lamp", Width: 15}, drafting.Words("Colour", 1), drafting.Words("Screen", 0),
		drafting.Figures("L*", ""), drafting.Figures("a*", ""), drafting.Figures("b*", ""), drafting.Figures("LRV", "")})
	table.Pad, table.Style = 0.3, drafting.Small().Sized(8)
	add := func(p finish.Patch, bold bool) {
		_, lamp := p.Under(s.Lamps[0])
		table.Rows = append(table.Rows, draw.Row{Cells: []draw.Cell{halvesCell(p.Hex, lamp), {}, {Text: desk.Capital(p.Name), Bold: bold}, {Text: p.Hex},
			{Text: unit.Figure(p.Lab.L, 1)}, {Text: unit.Figure(p.Lab.A, 1)}, {Text: unit.Figure(p.Lab.B, 1)}, {Text: unit.Figure(p.LRV, 0), Bold: bold}}})
	}
	for n, ground := range s.Swatch.Grounds {
		add(ground, false)
		for _, glaze := range s.Swatch.Drawdowns[n] {
			add(glaze, false)
		}
		add(s.Swatch.Finished[n], true)
	}
	if len(s.Swatch.Finished) > 1 {
		add(s.Swatch.Whole, true)
	}
	add(s.Swatch.Light, false)
	add(s.Swatch.Dark, false)
	add(s.Swatch.Thicker, false)
	fl.Table(table)
	drafting.AddNote(fl, "A glaze over a ground: as laid, before the tool. Figures stand for daylight D65. LRV: light reflectance value, 0 to 100, a mean over the area.")
}

// halvesCell shows a colour by day and by lamp as two halves that touch, reaching into
// the column to the right.
func halvesCell(day, lamp string) draw.Cell {
	return draw.Cell{Height: 3.7, Draw: func(b draw.Box) []draw.Item {
		one, err := draw.ParseColour(day)
		other, err2 := draw.ParseColour(lamp)
		if err != nil || err2 != nil {
			return nil
		}
		return patchIn(draw.Box{X: b.X, Y: b.Y + 0.2, W: 34, H: 3.4}, one, other)
	}}
}

// patchIn lays colours side by side without a line that would change them to the eye.
func patchIn(b draw.Box, colours ...draw.Colour) []draw.Item {
	var items []draw.Item
	for i, c := range colours {
		w := b.W / float64(len(colours))
		items = append(items, draw.Rect(b.X+float64(i)*w, b.Y, w, b.H).Filled(c))
	}
	return append(items, draw.Rect(b.X, b.Y, b.W, b.H).Stroked(draw.Ink(drafting.RuleWidth, drafting.Line)))
}

func patchCell(hex string) draw.Cell {
	return draw.Cell{Height: 3.7, Draw: func(b draw.Box) []draw.Item {
		c, err := draw.ParseColour(hex)
		if err != nil {
			return nil
		}
		return patchIn(draw.Box{X: b.X, Y: b.Y + 0.2, W: b.W, H: 3.4}, c)
	}}
}

// addColourAdvice lists what is worth knowing, claim by claim with its figure and what
// is enough; what should be looked at again comes first and is marked.
func addColourAdvice(d *desk.Desk, fl *draw.Flow, f *job.Finish, s *desk.Shown) {
	var list []finish.Advice
	for _, light := range s.Lamps {
		for _, a := range finish.Advise(s.Swatch, d.Plan.Catalog.Defaults, light, f.Light) {
			if !slices.Contains(list, a) {
				list = append(list, a)
			}
		}
	}
	var unknown []string
	for i := range d.Plan.Job.Rooms {
		room := &d.Plan.Job.Rooms[i]
		advice, told, err := hiding(d, f, s.Finish, room)
		switch {
		case err != nil:
			unknown = append(unknown, room.Name+": whether the old colour is hidden cannot be said, "+err.Error()+".")
		case told:
			advice.Claim = room.Name + ": " + desk.Small(advice.Claim)
			list = append(list, advice)
		}
	}
	slices.SortStableFunc(list, func(a, b finish.Advice) int {
		switch {
		case a.Fits == b.Fits:
			return 0
		case b.Fits:
			return -1
		}
		return 1
	})
	drafting.AddHead(fl, "Worth knowing")
	table := drafting.Table([]draw.Column{{Width: 3.4}, drafting.Words("What follows", 10), {Title: "The figure", Unit: "CIEDE2000: 1 is just seen side by side", Flex: 13}, drafting.Words("What is enough", 10)})
	table.Gap, table.Pad, table.Style = 3, 0.5, drafting.Small().Sized(8)
	for _, a := range list {
		shape := drafting.NoteShape
		if !a.Fits {
			shape = drafting.CautionShape
		}
		table.Rows = append(table.Rows, draw.Row{Cells: []draw.Cell{
			{Height: 3.4, Draw: func(b draw.Box) []draw.Item { return shape.Mark(b.X+1.6, b.Y+1.8, 3) }},
			{Text: a.Claim, Bold: true}, {Text: desk.Capital(a.Figure)}, {Text: desk.Capital(a.Enough)}}})
	}
	fl.Table(table)
	if len(unknown) > 0 {
		drafting.AddNote(fl, strings.Join(unknown, " "))
	}
}

// hiding says how many ground coats hide the old colour of a room that gets a finish;
// told is false where nothing is known of an old colour, or the room does not get it.
func hiding(d *desk.Desk, f *job.Finish, under *finish.Finish, room *job.Room) (advice finish.Advice, told bool, err error) {
	old := room.OldColour
	if old.Hex == "" && old.Measured == "" {
		return advice, false, nil
	}
	at := slices.IndexFunc(d.Plan.Method.Faces, func(face method.Face) bool { return face.Room == room.Name && face.Finish.ID == f.ID })
	if at < 0 {
		return advice, false, nil
	}
	coat, coats := groundOf(&d.Plan.Method.Faces[at], catalog.RoleGround)
	if coat == nil {
		return advice, false, nil
	}
	ground, err := finish.GroundOf(d.Plan.Job, old)
	if err != nil {
		return advice, false, err
	}
	h, err := finish.Hide(under, ground, coat, d.Plan.Catalog.Defaults)
	if err != nil {
		return advice, false, err
	}
	return h.Advice(coats), true, nil
}

// groundOf is what a ground of a face is laid with, and in how many coats.
func groundOf(face *method.Face, role catalog.Role) (product *catalog.Product, coats int) {
	for _, step := range face.Steps {
		if step.Kind == method.Ground && step.Role == role {
			product = step.Product
			coats++
		}
	}
	return product, coats
}

// addBasis says what the colours rest on.
func addBasis(fl *draw.Flow, s *desk.Shown) {
	drafting.AddHead(fl, "What this rests on")
	var facts []drafting.Fact
	for _, g := range s.Finish.Glazes {
		value := fmt.Sprintf("%s µm of wet film laid, from %s to %s; clarity %s %%; known from %s.", unit.Figure(g.Laid, 0), unit.Figure(g.Range.Low, 0), unit.Figure(g.Range.High, 0), unit.Figure(100*g.Clarity, 0), g.Basis)
		if last := len(facts) - 1; last >= 0 && facts[last].Value == value {
			facts[last].Name += ", " + g.Name
			continue
		}
		facts = append(facts, drafting.Fact{Name: g.Name, Value: value})
	}
	facts = append(facts, drafting.Fact{Name: "LRV", Value: fmt.Sprintf("%s, from %s to %s over the range of films. The tool takes %s %% of the laid glaze away, stroke by stroke.",
		unit.Figure(s.Swatch.LRV.Likely, 0), unit.Figure(s.Swatch.LRV.Low, 0), unit.Figure(s.Swatch.LRV.High, 0), unit.Figure(100*s.Swatch.Lifted, 0))})
	if s.Adjustment != nil {
		facts = append(facts, drafting.Fact{Name: "Sample boards", Value: "adjusted to them: " + s.Adjustment.Words + "."})
	}
	for _, note := range s.Finish.Notes {
		facts = append(facts, drafting.Fact{Name: "Note", Value: desk.Capital(note) + "."})
	}
	drafting.AddFacts(fl, 30, facts...)
}
