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

// Boards are the sample boards to make: how large, what they must show, what to write
// on the back, and what to look for once they are dry.
func Boards(d *desk.Desk) (draw.Doc, error) {
	book := d.Book("Sample boards")
	var cautions []*catalog.Caution
	for _, f := range finishesOf(d) {
		boardSheet(d, book, f)
		for _, c := range boardCautions(d, faceWith(d, f)) {
			if !slices.Contains(cautions, c) {
				cautions = append(cautions, c)
			}
		}
	}
	if len(cautions) > 0 {
		fl := book.Part("cautions", d.Upright())
		drafting.AddTitle(fl, "Mind while a board is made", "What the signs on the sheets before stand for.")
		d.AddSourcedCautions(fl, desk.ByShape(cautions))
	}
	return book.Doc("Sample boards to make, what to write on them, and what they told"), nil
}

func boardSheet(d *desk.Desk, book *drafting.Book, f *job.Finish) {
	fl := book.Part(nameOfFinish(f), d.Upright())
	technique := d.Plan.Catalog.Techniques[f.Technique]
	said := "Sample board of " + desk.Lowered(technique.Name)
	s := d.Shown(f.ID, desk.OfBoard)
	if s.Err != nil {
		drafting.AddTitle(fl, nameOfFinish(f), said+".")
		addWithoutPicture(d, fl, f, s.Err)
		drafting.AddFacts(fl, 18, boardFacts(technique)...)
	} else {
		drafting.AddTitle(fl, nameOfFinish(f), fmt.Sprintf("%s, at least %s by %s mm.", said, unit.Figure(s.Trial.Width, 0), unit.Figure(s.Trial.Height, 0)))
		addTrial(d, fl, technique, s)
	}
	if signs := desk.CautionSigns(desk.ByShape(boardCautions(d, faceWith(d, f)))); len(signs) > 0 {
		_, height := d.LegendPlaces(signs, fl.Body().W, desk.CautionPitch)
		fl.Space(1)
		fl.Block(height, func(b draw.Box) []draw.Item { return d.LegendItems(signs, b, desk.CautionPitch) })
	}
	addBack(d, fl, f, s)
	addJudged(d, fl, f, s)
	if s.Err == nil && s.Adjustment != nil {
		addAdjustment(fl, s.Adjustment)
	}
}

// boardCautions are those of what the finish of a face is made with; the words stand
// at the end of the paper.
func boardCautions(d *desk.Desk, face *method.Face) []*catalog.Caution {
	var out []*catalog.Caution
	for i := range face.Steps {
		step := &face.Steps[i]
		if step.Kind != method.Ground && step.Kind != method.Glaze && step.Kind != method.Relief {
			continue
		}
		if mix, _ := d.MixOf(step.ID); mix != nil {
			for _, c := range d.CautionsIn(mix) {
				if !slices.Contains(out, c) {
					out = append(out, c)
				}
			}
		}
	}
	return out
}

// boardScales are those a board is drawn at.
var boardScales = []float64{5, 10, 15, 20, 25, 50}

// addTrial draws the board to scale beside what it must show.
func addTrial(d *desk.Desk, fl *draw.Flow, technique *catalog.Technique, s *desk.Shown) {
	const widest, left, below = 76.0, 7.0, 6.5
	highest := fl.Body().H * 0.235
	if s.Adjustment != nil { // it is to stand on the same page
		highest *= 0.75
	}
	t := s.Trial
	scale := boardScales[0]
	for _, scale = range boardScales {
		if t.Width/scale <= widest && t.Height/scale <= highest {
			break
		}
	}
	w, h := t.Width/scale, t.Height/scale
	board := func(b draw.Box) []draw.Item {
		x, y := b.X+left, b.Y
		items := []draw.Item{draw.Image{Box: draw.Box{X: x, Y: y, W: w, H: h}, JPEG: s.Pictures[desk.OfBoard], Alt: s.Finish.Name + ", board as expected"},
			drafting.Extension(x, y, x-5, y), drafting.Extension(x, y+h, x-5, y+h), drafting.Extension(x, y+h, x, y+h+5), drafting.Extension(x+w, y+h, x+w, y+h+5)}
		items = append(items, drafting.UprightDimension(d.Fonts, y+h, y, x-4, unit.Length(t.Height).MM())...)
		return append(items, drafting.LevelDimension(d.Fonts, x, x+w, y+h+4, unit.Length(t.Width).MM())...)
	}
	facts := append([]drafting.Fact{{Name: "Size", Value: desk.Capital(t.Why) + "."}}, boardFacts(technique)...)
	switch {
	case t.Repeat[0] > 0 && t.Repeat[1] > 0:
		facts = append(facts, drafting.Fact{Name: "Repeat", Value: unit.Figure(t.Repeat[0], 0) + " mm across, " + unit.Figure(t.Repeat[1], 0) + " mm up."})
	case t.Repeat[0] > 0:
		facts = append(facts, drafting.Fact{Name: "Repeat", Value: unit.Figure(t.Repeat[0], 0) + " mm across."})
	}
	facts = append(facts, drafting.Fact{Name: "Picture", Value: "Scale 1:" + unit.Figure(scale, 0) + ", by daylight. Computed from the colours entered; a print shows colours only roughly. Your hand's marks will be others of the same kind."})
	drafting.AddSides(d.Fonts, fl, 7,
		drafting.Side{Width: left + w, Fill: func(side *draw.Flow) { side.Block(h+below, board) }},
		drafting.Side{Fill: func(side *draw.Flow) { drafting.AddFacts(side, 17, facts...) }})
}

// boardFacts say what a board must show, how it is made and how it is judged.
func boardFacts(technique *catalog.Technique) []drafting.Fact {
	return []drafting.Fact{
		{Name: "Show", Value: technique.Board},
		{Name: "Make it", Value: "With the ground, glaze, batch, tool and hand the wall will get; let it dry before it is judged."},
		{Name: "Judge it", Value: "Upright on its own wall, from two metres and from four, morning, noon and evening, and by the lamps of the room."},
	}
}

// addBack is the form for the back of the board: what the plan says beside what was done.
func addBack(d *desk.Desk, fl *draw.Flow, f *job.Finish, s *desk.Shown) {
	drafting.AddHead(fl, "On the back of the board")
	table := drafting.Table([]draw.Column{{Title: "", Width: 25}, drafting.Words("As planned", 6), drafting.Words("On this board", 5)})
	table.Gap, table.Pad, table.RowRule = 4, 0.5, noRule
	add := func(what, planned, write string) {
		table.Rows = append(table.Rows, draw.Row{Cells: []draw.Cell{{Text: what, Colour: drafting.Grey}, {Text: planned}, promptCell(write, writeHeight)}})
	}
	add("Job and finish", desk.InOneLine(d.Plan.Job.Name, d.Plan.Job.Reference, nameOfFinish(f)), "board number")
	face := faceWith(d, f)
	for _, c := range coloursOf(f) {
		role := map[string]catalog.Role{"ground": catalog.RoleGround, "ground 2": catalog.RoleGroundB}[c.part]
		if role == "" {
			continue
		}
		planned := c.colour.Name
		if product, coats := groundOf(face, role); product != nil {
			planned += ", " + desk.Counted(coats, "coat", "coats") + " of " + desk.Lowered(shortName(product))
		}
		add(desk.Capital(c.part), planned, "batch, coats")
	}
	for _, glaze := range glazesOf(d, face) {
		add(glaze.name, glaze.planned, "batch, parts of thinner")
	}
	if s.Err == nil {
		g := s.Finish.Glazes[0]
		area := s.Trial.Width * s.Trial.Height / 1e6
		of := "glaze"
		switch {
		case s.Finish.Mixed:
			of = "both glazes together"
		case len(s.Finish.Glazes) > 1:
			of = "each glaze"
		}
		add("Wet film", fmt.Sprintf("%s µm, from %s to %s: about %s mL of %s on a board of this size", unit.Figure(g.Laid, 0), unit.Figure(g.Range.Low, 0), unit.Figure(g.Range.High, 0), unit.Figure(g.Laid*area, 0), of), "mL or grams laid")
	}
	add("Tool", toolsOf(d.Plan.Catalog, face), "tool")
	add("Hand and day", "", "made by, date, dried until")
	light := ""
	if s.Err == nil {
		light = "daylight, and " + desk.Listed(s.Lamps)
	}
	add("Judged in", light, "light, date")
	table.Rows = append(table.Rows, draw.Row{Cells: []draw.Cell{{Text: "Agreed", Colour: drafting.Grey}, promptCell("for the client", signHeight), promptCell("for the contractor", signHeight)}})
	fl.Table(table)
}

// noRule leaves a form without rules between its rows: the lines to write on part them.
var noRule = draw.Ink(drafting.RuleWidth, drafting.Paper)

// Room for handwriting and for a signature, mm.
const writeHeight, signHeight = 5.2, 9

// promptCell is a line to write on, with what belongs there small at its end.
func promptCell(prompt string, high float64) draw.Cell {
	return draw.Cell{Height: high, Draw: func(b draw.Box) []draw.Item {
		y := b.Y + high - 0.5
		return []draw.Item{drafting.WriteOn(b.X, b.X+b.W, y), draw.Label(b.X+b.W, y-0.6, prompt, drafting.Letters().Coloured(drafting.Grey).Sized(7), draw.Right)}
	}}
}

// faceWith is the first face that gets a finish.
func faceWith(d *desk.Desk, f *job.Finish) *method.Face {
	for i := range d.Plan.Method.Faces {
		if d.Plan.Method.Faces[i].Finish.ID == f.ID {
			return &d.Plan.Method.Faces[i]
		}
	}
	return &method.Face{Finish: f}
}

// shortName is a product without what its name adds after a comma.
func shortName(p *catalog.Product) string {
	name, _, _ := strings.Cut(p.Name, ",")
	return name
}

// plannedGlaze is a glaze of a finish as it is planned.
type plannedGlaze struct{ name, planned string }

// glazesOf lists the glazes laid on a face with how they are let down.
func glazesOf(d *desk.Desk, face *method.Face) []plannedGlaze {
	var out []plannedGlaze
	said := map[string]bool{}
	for i := range face.Steps {
		step := &face.Steps[i]
		if step.Role != catalog.RoleGlaze && step.Role != catalog.RoleGlazeB || step.Product == nil || said[step.Colour.Name] {
			continue
		}
		said[step.Colour.Name] = true
		planned := step.Colour.Name + ", " + desk.Lowered(shortName(step.Product))
		if mix, _ := d.MixOf(step.ID); mix != nil {
			planned += ", " + desk.PartsWords(mix)
		}
		name := "Glaze"
		if step.Role == catalog.RoleGlazeB {
			name = "Glaze 2"
		}
		out = append(out, plannedGlaze{name, planned})
	}
	return out
}

// toolsOf names the tools that make a finish, each once, without those most techniques
// need: trays, buckets, scales.
func toolsOf(c *catalog.Catalog, face *method.Face) string {
	var names []string
	for _, step := range face.Steps {
		if step.Kind != method.Glaze && step.Kind != method.Relief {
			continue
		}
		for _, tool := range step.Tools {
			if name := strings.ToLower(tool.Name); !common(c, tool) && !slices.Contains(names, name) {
				names = append(names, name)
			}
		}
	}
	return strings.Join(names, "; ")
}

// common tells the tools that more than half of the techniques need.
func common(c *catalog.Catalog, tool *catalog.Good) bool {
	with := 0
	for _, t := range c.Techniques {
		if slices.ContainsFunc(t.Steps, func(s catalog.StepRule) bool { return slices.Contains(s.Tools, tool.ID) }) {
			with++
		}
	}
	return 2*with > len(c.Techniques)
}

// addJudged is what the crew fills in after looking, beside how it is typed into the job.
func addJudged(d *desk.Desk, fl *draw.Flow, f *job.Finish, s *desk.Shown) {
	fl.Keep(func() {
		drafting.AddHead(fl, "When it is dry")
		drafting.AddSides(d.Fonts, fl, 8,
			drafting.Side{Fill: func(side *draw.Flow) {
				side.Paragraph("Tick how the board differs from the picture, or read three colours. Type them into the job; pictures and figures are then adjusted to the board.", drafting.Small())
				side.Space(1)
				side.Block(11.5, func(b draw.Box) []draw.Item {
					var items []draw.Item
					for i, word := range []string{"lighter", "darker", "as expected", "more contrast", "less contrast"} {
						x, y := b.X+float64(i%3)*b.W/3, b.Y+0.6+5.6*float64(i/3)
						items = append(items, drafting.TickBox(x, y, 3.2), draw.Label(x+4.6, y+2.7, word, drafting.Small(), draw.Left))
					}
					return items
				})
				table := drafting.Table([]draw.Column{drafting.Words("Read at", 1), {Title: "L*", Width: 13}, {Title: "a*", Width: 13}, {Title: "b*", Width: 13}})
				table.Gap, table.Pad, table.RowRule = 3, 0.5, noRule
				for _, what := range []string{"lightest marks", "whole, mean of ten", "darkest marks"} {
					table.Rows = append(table.Rows, draw.Row{Cells: []draw.Cell{{Text: what}, writeCell(), writeCell(), writeCell()}})
				}
				side.Table(table)
			}},
			drafting.Side{Width: 66, Fill: func(side *draw.Flow) { addTyped(side, f, s) }})
		drafting.AddNote(fl, "Signed by both sides, the board is what is agreed. It stays with the job, and with the kept glaze afterwards.")
	})
}

// addTyped shows how a board is typed into the job file.
func addTyped(fl *draw.Flow, f *job.Finish, s *desk.Shown) {
	const indent, line = 1.9, 3.6
	lines := typedBoard(f, s)
	fl.Paragraph("In the job file, for example", drafting.Small().InBold())
	fl.Block(line*float64(len(lines))+1, func(b draw.Box) []draw.Item {
		items := []draw.Item{draw.Line(b.X, b.Y+0.6, b.X, b.Y+line*float64(len(lines))+0.4, drafting.Faint())}
		for i, text := range lines {
			in := len(text) - len(strings.TrimLeft(text, " "))
			items = append(items, draw.Label(b.X+2+indent*float64(in)/2, b.Y+line*float64(i)+3, text[in:], drafting.Letters(), draw.Left))
		}
		return items
	})
}

// typedBoard is the text of a board in the job file, with the colours expected where
// those read are to stand.
func typedBoard(f *job.Finish, s *desk.Shown) []string {
	light, dark, lab := "#93acc6", "#496b90", [3]float64{55.9, -2.3, -20.7}
	if s.Err == nil {
		whole := s.Swatch.Whole.Lab
		light, dark, lab = s.Swatch.Light.Hex, s.Swatch.Dark.Hex, [3]float64{whole.L, whole.A, whole.B}
	}
	return []string{
		"measured:",
		"  - name: " + f.ID + "-whole",
		fmt.Sprintf("    lab: [%.1f, %.1f, %.1f]", lab[0], lab[1], lab[2]),
		"    under: D65",
		"finishes:",
		"  - id: " + f.ID,
		"    boards:",
		"      - name: \"1\"",
		"        seen: [lighter, more-contrast]",
		"        light: \"" + light + "\"",
		"        whole: " + f.ID + "-whole",
		"        dark: \"" + dark + "\"",
	}
}

// addAdjustment shows what boards that are in the job already changed.
func addAdjustment(fl *draw.Flow, a *finish.Adjustment) {
	fl.Keep(func() {
		drafting.AddHead(fl, "What the boards told")
		said := "Changed in the pictures: " + a.Words + "."
		if len(a.Compared) > 0 {
			said += fmt.Sprintf(" They were off by %s CIEDE2000 in the mean, and are off by %s now.", unit.Figure(a.Before, 1), unit.Figure(a.After, 1))
		}
		fl.Paragraph(said, drafting.Small())
		if len(a.Compared) == 0 {
			return
		}
		table := drafting.Table([]draw.Column{drafting.Words("Board", 2), drafting.Words("Read at", 1), {Title: "Read", Width: 20}, {Title: "Picture before", Width: 20}, drafting.Figures("Off by", ""), {Title: "Read", Width: 20}, {Title: "Picture now", Width: 20}, drafting.Figures("Off by", "")})
		table.Pad, table.Gap = 0.5, 3
		for _, c := range a.Compared {
			table.Rows = append(table.Rows, draw.Row{Cells: []draw.Cell{{Text: c.Board}, {Text: c.What}, patchCell(c.ReadHex), patchCell(c.BeforeHex), {Text: unit.Figure(colour.DeltaE(c.Read, c.Before), 1)},
				patchCell(c.ReadHex), patchCell(c.NowHex), {Text: unit.Figure(colour.DeltaE(c.Read, c.After), 1)}}})
		}
		fl.Table(table)
	})
}
