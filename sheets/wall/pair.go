package wall

import (
	"fmt"
	"slices"
	"strings"

	"scumble/draw"
	"scumble/method"
	"scumble/sheets/desk"
	"scumble/sheets/drafting"
	"scumble/sheets/elevation"
	"scumble/unit"
	"scumble/wetedge"
)

// pairSheet is the page of a step that keeps a wet edge: the sections, who does what minute
// by minute, how old every joint is, and what to expect.
func pairSheet(d *desk.Desk, book *drafting.Book, face *method.Face, step *method.Step) {
	name := strings.Replace(face.ID, "/", ", ", 1)
	a, err := d.Pair(step.ID)
	fl := book.Part(name, d.Upright())
	if err != nil {
		drafting.AddTitle(fl, "Keeping the edge wet", fmt.Sprintf("%d  %s", step.Number, step.Title))
		drafting.AddNotice(d.Fonts, fl, drafting.Notice{Shape: drafting.CautionShape, Title: "How long the glaze stays open here cannot be told", Text: err.Error() + "."})
		return
	}
	p := &pairPage{desk: d, face: face, answer: a}
	drafting.AddTitle(fl, "Keeping the edge wet", fmt.Sprintf("%d  %s. Begin %s. %s.", step.Number, step.Title, desk.HourOf(a.At), p.roles()))
	p.head(fl)
	for _, h := range a.Holds {
		drafting.AddNotice(d.Fonts, fl, drafting.Notice{Shape: drafting.HoldShape, Title: "Do not open the glaze in this air", Text: desk.Capital(h.Figure) + ". " + h.Do})
	}
	below := draw.NewColumn(d.Fonts, fl.Body().W, false)
	p.joints(below)
	p.rests(below)
	p.turns(fl, fl.Height()+below.Height())
	p.joints(fl)
	p.rests(fl)
}

// pairPage is the page of one answer.
type pairPage struct {
	desk   *desk.Desk
	face   *method.Face
	answer *wetedge.Answer
}

// roles say who does what: Mara lays, Idris works.
func (p *pairPage) roles() string {
	n := p.answer.Names
	switch len(n) {
	case 1:
		return n[0] + " lays and works"
	case 2:
		return n[0] + " lays, " + n[1] + " works"
	}
	return n[0] + " lays, " + n[1] + " works, " + n[2] + " helps"
}

// head shows the sections with the verdict beside them, or beneath them where a long wall
// needs the whole width.
func (p *pairPage) head(fl *draw.Flow) {
	const gap, high = 7, 74
	m, w := p.sections(), fl.Body().W
	drawing := m.Draw(p.desk.Fonts, w*0.56, high)
	if !m.Readable(drawing) {
		for h := 60.0; h <= 104 && !m.Readable(drawing); h += 11 {
			drawing = m.Draw(p.desk.Fonts, w, h)
		}
		drawing.Add(fl)
		p.signs(fl, w)
		fl.Space(2)
		drafting.AddSides(p.desk.Fonts, fl, gap, drafting.Side{Fill: func(fl *draw.Flow) { p.verdict(fl); p.mind(fl) }}, drafting.Side{Fill: func(fl *draw.Flow) { p.facts(fl); p.helps(fl) }})
		return
	}
	beneath, beside := p.mind, func(*draw.Flow) {}
	if len(p.answer.Helps) == 0 { // there is room on the other side
		beneath, beside = beside, p.mind
	}
	drafting.AddSides(p.desk.Fonts, fl, gap,
		drafting.Side{Width: max(drawing.W, w*0.42), Fill: func(fl *draw.Flow) {
			drawing.Add(fl)
			p.signs(fl, max(drawing.W, w*0.42))
			beneath(fl)
		}},
		drafting.Side{Fill: func(fl *draw.Flow) { p.verdict(fl); p.helps(fl); p.facts(fl); beside(fl) }})
}

// sections is the map of the wall as the answer parts it.
func (p *pairPage) sections() elevation.Map {
	_, wall, of := p.desk.Plan.Survey.FaceByID(p.answer.Face)
	m := elevation.Map{Field: of.Field}
	for _, v := range elevation.Walls(p.desk.Plan.Job, p.desk.Plan.Survey, p.desk.Plan.SetOut) {
		if v.Wall.ID == wall.ID {
			m.View = v
		}
	}
	for _, s := range p.answer.Layout.Pieces {
		m.Sections = append(m.Sections, elevation.Section{Number: s.Number, Column: s.Column, X0: s.X0, X1: s.X1, Y0: s.Y0, Y1: s.Y1, Stand: s.Stand})
	}
	for i, j := range p.answer.Joints {
		if j.B > 0 {
			m.Joints = append(m.Joints, elevation.Joint{Letter: j.Letter, X: j.X, Y: j.Y, Weak: i == p.answer.Weakest})
		}
	}
	return m
}

// signs explain the map: numbers, letters and what is stood on.
func (p *pairPage) signs(fl *draw.Flow, width float64) {
	style := drafting.Letters().Sized(7)
	signs := []desk.Sign{{Words: "order of work", Width: 3, Draw: func(x, y float64) []draw.Item {
		return []draw.Item{draw.Label(x+1.5, y, "1", drafting.Letters().Sized(9).InBold(), draw.Centre)}
	}}}
	if p.answer.Joints[0].B > 0 {
		signs = append(signs, desk.Sign{Words: "joint", Width: 3.6, Draw: func(x, y float64) []draw.Item {
			return []draw.Item{draw.Circle(x+1.8, y-0.9, 1.8).Stroked(drafting.Fine()), draw.Label(x+1.8, y-0.2, "a", style, draw.Centre)}
		}}, desk.Sign{Words: "the weakest joint", Width: 4, Draw: func(x, y float64) []draw.Item {
			return []draw.Item{draw.Polygon([]draw.Point{draw.Pt(x+2, y-2.8), draw.Pt(x+4, y+0.2), draw.Pt(x, y+0.2)}).Filled(drafting.Oxide)}
		}})
	}
	for i, stand := range []string{"steps", "platform", "scaffold"} {
		if slices.ContainsFunc(p.answer.Layout.Pieces, func(s wetedge.Piece) bool { return s.Stand == stand }) {
			signs = append(signs, desk.Sign{Words: "from " + stand, Width: 3, Draw: func(x, y float64) []draw.Item { return elevation.Rungs(x+1.5, y-1.6, i+1) }})
		}
	}
	if len(signs) > 1 || len(p.answer.Layout.Pieces) > 1 {
		_, high := p.desk.LegendPlaces(signs, width, 4.2)
		fl.Block(high, func(b draw.Box) []draw.Item {
			return p.desk.LegendItems(signs, draw.Box{X: b.X, Y: b.Y, W: width, H: b.H}, 4.2)
		})
	}
}

// verdict is the answer in words, with the chance as the one large figure.
func (p *pairPage) verdict(fl *draw.Flow) {
	a := p.answer
	fl.Paragraph(a.Verdict, drafting.Lead().InBold())
	figure, big := wetedge.InHundred(a.Chance.Likely), drafting.Big()
	if strings.Contains(figure, " ") { // words beside the figure need room
		big = drafting.Title()
	}
	drafting.AddSides(p.desk.Fonts, fl, 2.5,
		drafting.Side{Width: p.desk.Fonts.Width(figure, big) + 0.5, Fill: func(fl *draw.Flow) { fl.Paragraph(figure, big) }},
		drafting.Side{Fill: func(fl *draw.Flow) {
			fl.Space(1.6)
			low, high := wetedge.InHundred(a.Chance.Low), wetedge.InHundred(a.Chance.High)
			spread := "from " + low + " to " + high
			if low == high {
				spread = "over the whole range of open times"
			}
			drafting.AddBody(fl, fmt.Sprintf("in 100: the chance of at least one lap mark here, %s. Up to %s counts as safe.", spread, wetedge.InHundred(a.Chance.Target)))
		}})
	fl.Space(1)
	if len(a.Holds) == 0 {
		drafting.AddBody(fl, a.Advice)
	}
	fl.Space(1)
}

// facts are what the answer is given for.
func (p *pairPage) facts(fl *draw.Flow) {
	a := p.answer
	open := fmt.Sprintf("%s min, from %s to %s", unit.Figure(a.Open.Likely, 0), unit.Figure(a.Open.Low, 0), unit.Figure(a.Open.High, 0))
	if last := unit.Figure(a.Open.Last, 0); last != unit.Figure(a.Open.Likely, 0) {
		open += "; " + last + " for the last of it"
	}
	fl.Space(1.5)
	drafting.AddFacts(fl, 19,
		drafting.Fact{Name: "Takes", Value: unit.Figure(a.Minutes, 0) + " min"},
		drafting.Fact{Name: "Glaze open", Value: open},
		drafting.Fact{Name: "In air of", Value: fmt.Sprintf("%s, wall %s, %s humidity", a.Air.Temp, a.Air.Surface, a.Air.Humidity)})
}

// helps are the three changes that help most.
func (p *pairPage) helps(fl *draw.Flow) {
	if len(p.answer.Helps) == 0 {
		return
	}
	fl.Space(1)
	t := drafting.Table([]draw.Column{drafting.Words("What helps most", 1), drafting.Figures("", "in 100")})
	t.Pad, t.Gap = 0.5, 2
	for _, h := range p.answer.Helps[:min(3, len(p.answer.Helps))] {
		t.Rows = append(t.Rows, draw.Row{Cells: []draw.Cell{{Text: h.Do, Note: h.Cost}, {Text: wetedge.InHundred(h.Chance), Bold: true}}})
	}
	fl.Table(t)
}

// mind is the caution where hands are busy above reach.
func (p *pairPage) mind(fl *draw.Flow) {
	if p.answer.Mind == "" {
		return
	}
	const mark = 5.0
	fl.Space(1.5)
	column := draw.NewColumn(p.desk.Fonts, fl.Body().W-mark-2.5, false)
	column.Paragraph(p.answer.Mind, drafting.Small().InBold())
	fl.Block(max(column.Height(), mark)+1, func(b draw.Box) []draw.Item {
		return append(drafting.CautionShape.Mark(b.X+mark/2+0.3, b.Y+mark/2+0.4, mark), column.Draw(b.X+mark+2.5, b.Y)...)
	})
}

// rests say what the answer rests on.
func (p *pairPage) rests(fl *draw.Flow) {
	others := slices.DeleteFunc(slices.Clone(p.answer.Rests), func(r string) bool { return r == p.answer.Mind })
	fl.Keep(func() { drafting.AddNote(fl, "Rests on: "+strings.Join(others, " ")) })
}
