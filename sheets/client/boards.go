package client

import (
	"fmt"

	"scumble/appearance"
	"scumble/appearance/colour"
	"scumble/draw"
	"scumble/job"
	"scumble/sheets/desk"
	"scumble/sheets/drafting"
	"scumble/unit"
)

// Boards are the sample boards to make: how large, what they must show, what to write
// on the back, and what to look for once they are dry.
func Boards(d *desk.Desk) (draw.Doc, error) {
	book := d.Book("Sample boards")
	seen := map[string]bool{}
	for i := range d.Plan.Method.Faces {
		f := d.Plan.Method.Faces[i].Finish
		if !seen[f.ID] {
			seen[f.ID] = true
			boardSheet(d, book, f)
		}
	}
	return book.Doc("Sample boards to make, what to write on them, and what they told"), nil
}

func boardSheet(d *desk.Desk, book *drafting.Book, f *job.Finish) {
	fl := book.Part(nameOfFinish(f), d.Upright())
	technique := d.Plan.Catalog.Techniques[f.Technique]
	drafting.AddTitle(fl, nameOfFinish(f), "Sample board of "+desk.Lowered(technique.Name)+".")
	s := d.Shown(f.ID)
	if s.Err != nil {
		drafting.AddNotice(d.Fonts, fl, drafting.Notice{Shape: drafting.CautionShape, Title: "No picture can be computed", Text: desk.Capital(s.Err.Error()) + "."})
	} else {
		addTrial(d, fl, f, s)
	}
	addBack(d, fl, f)
	addJudged(fl)
	if s.Err == nil && s.Adjustment != nil {
		addAdjustment(fl, s.Adjustment)
	}
}

// addTrial shows the board beside its size and what it must show.
func addTrial(d *desk.Desk, fl *draw.Flow, f *job.Finish, s *desk.Shown) {
	t := appearance.TrialOf(s.Finish, d.Plan.Catalog)
	// The picture is that of the colours sheet: a piece of the same wall.
	drafting.AddSides(d.Fonts, fl, 6,
		drafting.Side{Width: 72, Fill: func(side *draw.Flow) {
			side.Block(72*desk.Piece[1]/desk.Piece[0], func(b draw.Box) []draw.Item {
				return []draw.Item{draw.Image{Box: b, JPEG: s.Day, Alt: f.Name}}
			})
			drafting.AddNote(side, fmt.Sprintf("What is expected: %.0f by %.0f mm of wall, computed.", desk.Piece[0], desk.Piece[1]))
		}},
		drafting.Side{Fill: func(side *draw.Flow) {
			facts := []drafting.Fact{{Name: "Size", Value: fmt.Sprintf("at least %s by %s mm: %s.", unit.Figure(t.Width, 0), unit.Figure(t.Height, 0), t.Why)}}
			if t.Repeat[0] > 0 {
				facts = append(facts, drafting.Fact{Name: "Repeat", Value: unit.Figure(t.Repeat[0], 0) + " mm across"})
			}
			facts = append(facts,
				drafting.Fact{Name: "Show", Value: d.Plan.Catalog.Techniques[f.Technique].Board},
				drafting.Fact{Name: "Make it", Value: "with the ground, glaze, batch, tool and hand the wall will get, and let it dry before it is judged."},
				drafting.Fact{Name: "Judge it", Value: "on its own wall, from two metres and from four, morning, noon and evening, and by the lamps of the room."})
			drafting.AddFacts(side, 18, facts...)
		}})
}

// addBack is the form for the back of the board.
func addBack(d *desk.Desk, fl *draw.Flow, f *job.Finish) {
	drafting.AddHead(fl, "On the back")
	drafting.AddFacts(fl, 30,
		drafting.Fact{Name: "Job", Value: desk.InOneLine(d.Plan.Job.Name, d.Plan.Job.Reference)},
		drafting.Fact{Name: "Finish", Value: nameOfFinish(f) + ", " + d.Plan.Catalog.Products[f.With].Name})
	for _, c := range coloursOf(f) {
		drafting.AddFacts(fl, 30, drafting.Fact{Name: desk.Capital(c.part), Value: c.colour.Name})
	}
	addLinesToFill(d, fl, "Board number, date, made by (the hand)", "Batch numbers of ground and glaze; parts of thinner", "Tool; grams of glaze before and after, on what area")
}

// addJudged is what the crew fills in after looking, and how it goes into the job.
func addJudged(fl *draw.Flow) {
	drafting.AddHead(fl, "When it is dry")
	drafting.AddBody(fl, "Tick what is seen against the picture, or read three colours with an instrument, and write them into the job under the finish. The pictures and figures are then adjusted to the board.")
	ticks := []string{"lighter", "darker", "more contrast", "less contrast", "as expected"}
	fl.Block(6, func(b draw.Box) []draw.Item {
		var items []draw.Item
		for i, word := range ticks {
			x := b.X + float64(i)*b.W/float64(len(ticks))
			items = append(items, draw.Rect(x, b.Y+1, 3.4, 3.4).Stroked(drafting.Edge()), draw.Label(x+5, b.Y+3.8, word, drafting.Small(), draw.Left))
		}
		return items
	})
	table := drafting.Table([]draw.Column{drafting.Words("Read at", 2), drafting.Words("L*", 1), drafting.Words("a*", 1), drafting.Words("b*", 1), drafting.Words("In the job", 3)})
	table.Pad = 1.2
	for _, r := range [][2]string{{"the lightest marks", "light"}, {"the whole, mean of ten places or more", "whole"}, {"the darkest marks", "dark"}} {
		table.Rows = append(table.Rows, draw.Row{Cells: []draw.Cell{{Text: r[0]}, writeCell(), writeCell(), writeCell(), {Text: "boards: - name: ...  " + r[1] + ": \"#......\""}}})
	}
	fl.Table(table)
	fl.Space(2)
	drafting.AddNote(fl, "Signed by both sides, the board is what is agreed. It stays with the job and comes back with the kept glaze.")
}

// addAdjustment shows what boards that are in the job already changed.
func addAdjustment(fl *draw.Flow, a *appearance.Adjustment) {
	drafting.AddHead(fl, "What the boards told")
	drafting.AddBody(fl, "Found by least squares: "+a.Words+".")
	if len(a.Compared) == 0 {
		return
	}
	table := drafting.Table([]draw.Column{drafting.Words("Board", 2), drafting.Words("Read at", 1), {Title: "Read", Width: 17}, {Title: "Picture before", Width: 24}, drafting.Figures("Off by", "CIEDE2000"), {Title: "Picture now", Width: 22}, drafting.Figures("Off by", "CIEDE2000")})
	for _, c := range a.Compared {
		table.Rows = append(table.Rows, draw.Row{Cells: []draw.Cell{{Text: c.Board}, {Text: c.What}, patchCell(c.ReadHex), patchCell(c.BeforeHex), {Text: unit.Figure(colour.DeltaE(c.Read, c.Before), 1)},
			patchCell(c.NowHex), {Text: unit.Figure(colour.DeltaE(c.Read, c.After), 1)}}})
	}
	fl.Table(table)
}
