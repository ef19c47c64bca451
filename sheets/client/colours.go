package client

import (
	"fmt"

	"scumble/appearance"
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
	seen := map[string]bool{}
	for i := range d.Plan.Method.Faces {
		f := d.Plan.Method.Faces[i].Finish
		if !seen[f.ID] {
			seen[f.ID] = true
			colourSheet(d, book, f)
		}
	}
	return book.Doc("The finished colours by day and by lamp, in patches, figures and words"), nil
}

func colourSheet(d *desk.Desk, book *drafting.Book, f *job.Finish) {
	fl := book.Part(nameOfFinish(f), d.Upright())
	technique := d.Plan.Catalog.Techniques[f.Technique]
	drafting.AddTitle(fl, nameOfFinish(f), technique.Name+": "+desk.Lowered(technique.Summary))
	s := d.Shown(f.ID)
	if s.Err != nil {
		drafting.AddNotice(d.Fonts, fl, drafting.Notice{Shape: drafting.CautionShape, Title: "No picture can be computed", Text: desk.Capital(s.Err.Error()) + "."})
		return
	}
	addDayAndLamp(d, fl, s)
	addPatches(fl, s)
	addColourAdvice(d, fl, f, s)
	addBasis(fl, s)
}

// addDayAndLamp sets the same piece of wall twice, side by side.
func addDayAndLamp(d *desk.Desk, fl *draw.Flow, s *desk.Shown) {
	const gap = 5.0
	piece := func(content []byte, words string) drafting.Side {
		return drafting.Side{Fill: func(side *draw.Flow) {
			wide := (drafting.PageBody(d.Upright()).W - gap) / 2
			side.Block(wide*desk.Piece[1]/desk.Piece[0], func(b draw.Box) []draw.Item {
				return []draw.Item{draw.Image{Box: b, JPEG: content, Alt: s.Finish.Name + ", " + words}}
			})
			drafting.AddNote(side, desk.Capital(words)+".")
		}}
	}
	drafting.AddSides(d.Fonts, fl, gap, piece(s.Day, "by daylight (D65)"), piece(s.Lamp, "by the lamps of the room ("+s.Lamps[0]+"), to an eye used to them"))
	drafting.AddNote(fl, fmt.Sprintf("A piece of wall of %.0f by %.0f mm. %s The signed board decides.", desk.Piece[0], desk.Piece[1], "Computed; print and screen show colours only roughly."))
}

// addPatches is the table of colours, each with a patch.
func addPatches(fl *draw.Flow, s *desk.Shown) {
	drafting.AddHead(fl, "Colours")
	table := drafting.Table([]draw.Column{{Title: "By day", Width: 17}, {Title: "By lamp", Width: 17}, drafting.Words("Colour", 1), {Title: "Screen", Width: 17},
		drafting.Figures("L*", ""), drafting.Figures("a*", ""), drafting.Figures("b*", ""), drafting.Figures("LRV", "")})
	add := func(p appearance.Patch, bold bool) {
		_, lamp := p.Under(s.Lamps[0])
		table.Rows = append(table.Rows, draw.Row{Cells: []draw.Cell{patchCell(p.Hex), patchCell(lamp), {Text: desk.Capital(p.Name), Bold: bold}, {Text: p.Hex},
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
	fl.Table(table)
	drafting.AddNote(fl, "L*, a*, b* and LRV stand for daylight D65. LRV, the light reflectance value, is the mean over the area. By lamp: to an eye used to it.")
}

func patchCell(hex string) draw.Cell {
	return draw.Cell{Height: 4.6, Draw: func(b draw.Box) []draw.Item {
		c, err := draw.ParseColour(hex)
		if err != nil {
			return nil
		}
		return drafting.Chip(draw.Box{X: b.X, Y: b.Y + 0.4, W: b.W, H: 3.8}, c)
	}}
}

// addColourAdvice lists what is worth knowing; what should be looked at again is marked.
func addColourAdvice(d *desk.Desk, fl *draw.Flow, f *job.Finish, s *desk.Shown) {
	drafting.AddHead(fl, "Worth knowing")
	said := map[string]bool{}
	for _, light := range s.Lamps {
		for _, a := range appearance.Advise(s.Swatch, d.Plan.Catalog.Defaults, light, f.Light) {
			if !said[a.Claim+a.Figure] {
				said[a.Claim+a.Figure] = true
				addAdvice(d, fl, a, "")
			}
		}
	}
	for i := range d.Plan.Job.Rooms {
		room := &d.Plan.Job.Rooms[i]
		if advice, ok := hiding(d, f, s.Finish, room); ok {
			addAdvice(d, fl, advice, room.Name+": ")
		}
	}
}

func addAdvice(d *desk.Desk, fl *draw.Flow, a appearance.Advice, where string) {
	shape := drafting.NoteShape
	if !a.Fits {
		shape = drafting.CautionShape
	}
	fl.Space(0.6)
	d.AddMarked(fl, shape, where+a.Claim+". "+desk.Capital(a.Figure)+"; "+a.Enough+".", drafting.Small())
}

// hiding says how many ground coats hide the old colour of a room that gets a finish.
func hiding(d *desk.Desk, f *job.Finish, finish *appearance.Finish, room *job.Room) (appearance.Advice, bool) {
	old := room.OldColour
	if old.Hex == "" && old.Measured == "" {
		return appearance.Advice{}, false
	}
	for i := range d.Plan.Method.Faces {
		face := &d.Plan.Method.Faces[i]
		if face.Room != room.Name || face.Finish.ID != f.ID {
			continue
		}
		var coat *catalog.Product
		coats := 0
		for _, step := range face.Steps {
			if step.Kind == method.Ground && step.Role == catalog.RoleGround {
				coat = step.Product
				coats++
			}
		}
		ground, err := appearance.GroundOf(d.Plan.Job, old)
		if coat == nil || err != nil {
			return appearance.Advice{}, false
		}
		h, err := appearance.Hide(finish, ground, coat, d.Plan.Catalog.Defaults)
		if err != nil {
			return appearance.Advice{}, false
		}
		return h.Advice(coats), true
	}
	return appearance.Advice{}, false
}

// addBasis says what the colours rest on.
func addBasis(fl *draw.Flow, s *desk.Shown) {
	drafting.AddHead(fl, "What this rests on")
	var facts []drafting.Fact
	for _, g := range s.Finish.Glazes {
		value := fmt.Sprintf("%.0f µm of wet film laid, from %.0f to %.0f; clarity %.0f %%; known from %s.", g.Laid, g.Lowest, g.Highest, 100*g.Clarity, g.Basis)
		if last := len(facts) - 1; last >= 0 && facts[last].Value == value {
			facts[last].Name += ", " + g.Name
			continue
		}
		facts = append(facts, drafting.Fact{Name: g.Name, Value: value})
	}
	facts = append(facts, drafting.Fact{Name: "LRV, the tool", Value: fmt.Sprintf("%.0f, from %.0f to %.0f over the range of films the glaze may be laid at; the tool takes %.0f %% of it away, as the quantities reckon.",
		s.Swatch.LRV.Likely, s.Swatch.LRV.Low, s.Swatch.LRV.High, 100*s.Swatch.Lifted)})
	if s.Adjustment != nil {
		facts = append(facts, drafting.Fact{Name: "Sample boards", Value: "adjusted to them: " + s.Adjustment.Words + "."})
	}
	for _, note := range s.Finish.Notes {
		facts = append(facts, drafting.Fact{Name: "Note", Value: desk.Capital(note) + "."})
	}
	drafting.AddFacts(fl, 30, facts...)
}
