package wall

import (
	"fmt"
	"strings"

	"scumble/draw"
	"scumble/job"
	"scumble/setout"
	"scumble/sheets/desk"
	"scumble/sheets/drafting"
	"scumble/sheets/elevation"
	"scumble/sheets/pattern"
	"scumble/unit"
)

// wallSheet is the layout of one wall: which way the paper lies and how large the
// drawing is.
type wallSheet struct {
	desk    *desk.Desk
	view    elevation.View
	paper   draw.Paper
	body    draw.Box
	drawing elevation.Drawing
	whole   bool // all of it stands on one page
}

const (
	besideWidth = 50.0 // room that facts need beside a drawing
	narrowWidth = 25.0 // room that they need with their names beneath
	factsWidth  = 62.0 // their room beneath a drawing
	columnGap   = 8.0
)

// wallPage is one wall: the elevation, its figures in words and the table of marks,
// on the turn of paper that shows the wall larger. One page is preferred to two
// unless the wall would come out much smaller.
func wallPage(d *desk.Desk, book *drafting.Book, v elevation.View) {
	const muchSmaller = 1.3
	largest := newWallSheet(d, v, d.Upright(), false)
	if turned := newWallSheet(d, v, d.Turned(), false); turned.drawing.Scale < largest.drawing.Scale {
		largest = turned
	}
	best := largest
	for _, paper := range []draw.Paper{d.Turned(), d.Upright()} {
		one := newWallSheet(d, v, paper, true)
		if one.whole && one.drawing.Scale <= muchSmaller*largest.drawing.Scale && (!best.whole || one.drawing.Scale <= best.drawing.Scale) {
			best = one
		}
	}
	best.fill(book.Part(v.Name(), best.paper))
}

// newWallSheet lays a wall out on a paper with the drawing as large as the page allows,
// or, when whole is asked for, small enough that all the rest fits beneath it.
func newWallSheet(d *desk.Desk, v elevation.View, paper draw.Paper, whole bool) wallSheet {
	s := wallSheet{desk: d, view: v, paper: paper, body: drafting.PageBody(paper)}
	room := s.body.H - 14
	for range 4 {
		s.drawing = elevation.Wall(d.Fonts, v, drawn(d, s.body.W, room))
		column := draw.NewColumn(d.Fonts, s.body.W, false)
		s.fill(column)
		over := column.Height() - s.body.H
		s.whole = over <= 0
		if s.whole || !whole {
			break
		}
		room = min(room, s.drawing.H) - max(over, 1)
	}
	return s
}

// fill sets everything about the wall into a flow.
func (s *wallSheet) fill(fl *draw.Flow) {
	d, v := s.desk, s.view
	drafting.AddTitleLine(d.Fonts, fl, v.Name(), wallSaid(d, v))
	drawn := drafting.Side{Width: s.drawing.W, Fill: s.drawing.Add}
	beside := func(facts func(*draw.Flow)) {
		drafting.AddSides(d.Fonts, fl, columnGap, drawn, drafting.Side{Fill: func(fl *draw.Flow) {
			s.colours(fl)
			facts(fl)
		}})
		s.marks(fl, fl.Body().W)
	}
	switch left := s.body.W - s.drawing.W - columnGap; {
	case left >= besideWidth:
		beside(s.facts)
	case left >= narrowWidth:
		beside(s.narrowFacts)
	default:
		s.drawing.Add(fl)
		fl.Space(3)
		s.beneath(fl)
	}
	notices(d, fl, d.Plan.Survey.Warnings, v.Wall.ID)
	notices(d, fl, d.Plan.SetOut.Warnings, v.Wall.ID)
}

// beneath sets the table of marks and the colours with the facts to their right; a
// table in feet and inches takes the whole width.
func (s *wallSheet) beneath(fl *draw.Flow) {
	room := fl.Body().W - factsWidth - columnGap
	beside := s.marked() != nil && !imperial(s.desk)
	if !beside {
		s.marks(fl, fl.Body().W)
		fl.Space(3)
		room = factsWidth
	}
	drafting.AddSides(s.desk.Fonts, fl, columnGap,
		drafting.Side{Width: room, Fill: func(fl *draw.Flow) {
			if beside {
				s.marks(fl, room)
				fl.Space(3)
			}
			s.colours(fl)
		}},
		drafting.Side{Fill: s.facts})
}

// wallSaid is the sentence beside a wall's name.
func wallSaid(d *desk.Desk, v elevation.View) string {
	var parts []string
	for _, f := range v.Fields {
		if f.Finish == nil {
			continue
		}
		technique := f.Finish.Technique
		if t := d.Plan.Catalog.Techniques[technique]; t != nil {
			technique = strings.ToLower(t.Name)
		}
		said := f.Finish.Name + ", " + technique
		if strings.HasSuffix(f.Face.ID, ", dado") {
			said = "below the rail " + said
		}
		parts = append(parts, said)
	}
	return strings.Join(parts, "; ")
}

// colours shows the chips of each finish on the wall with the names of its colours.
func (s *wallSheet) colours(fl *draw.Flow) {
	t := draw.Table{Columns: []draw.Column{{Width: 6}, {Flex: 1}}, Style: drafting.Small(), NoHead: true,
		Pad: 0.6, Gap: 2, RowRule: draw.Ink(drafting.RuleWidth, drafting.Pale)}
	for _, f := range s.view.Fields {
		if f.Finish == nil {
			continue
		}
		ground := "ground"
		if f.Strips != nil {
			ground = "ground A"
		}
		for _, c := range []struct {
			colour job.Colour
			part   string
		}{{f.Finish.Ground, ground}, {f.Finish.GroundB, "ground B"}, {f.Finish.Glaze, "glaze"}, {f.Finish.GlazeB, "second glaze"}} {
			if c.colour.Name == "" && c.colour.Hex == "" {
				continue
			}
			chip := func(b draw.Box) []draw.Item {
				return drafting.Chip(draw.Box{X: b.X, Y: b.Y + 0.4, W: 6, H: 3.2}, pattern.Colour(c.colour))
			}
			t.Rows = append(t.Rows, draw.Row{Cells: []draw.Cell{{Draw: chip}, {Text: c.colour.Name + ", " + c.part}}})
		}
	}
	if len(t.Rows) > 0 {
		fl.Table(t)
		fl.Space(2)
	}
}

// facts are the figures of the wall in words.
func (s *wallSheet) facts(fl *draw.Flow) {
	s.eachField(fl, true, func(facts []drafting.Fact) { drafting.AddFacts(fl, 15, facts...) })
}

// narrowFacts are the same beside a wide drawing, without what it shows itself.
func (s *wallSheet) narrowFacts(fl *draw.Flow) {
	s.eachField(fl, imperial(s.desk), func(facts []drafting.Fact) { drafting.AddNarrowFacts(fl, facts...) })
}

func (s *wallSheet) eachField(fl *draw.Flow, sizes bool, add func([]drafting.Fact)) {
	for i, f := range s.view.Fields {
		if len(s.view.Fields) > 1 {
			drafting.AddHead(fl, desk.WallName(f.Face.ID))
		}
		facts := s.fieldFacts(f)
		if i == 0 && sizes {
			facts = append([]drafting.Fact{{Name: "Wall", Value: s.size()}}, facts...)
		}
		add(facts)
		fl.Space(2)
	}
	for _, n := range s.drawing.Notes {
		drafting.AddNote(fl, n)
	}
	if s.drawing.Unmarked > 0 {
		drafting.AddNote(fl, fmt.Sprintf("%d marks stand only in the table, for want of room on the drawing.", s.drawing.Unmarked))
	}
}

// size are the measures of the wall in words.
func (s *wallSheet) size() string {
	wall := s.view.Wall
	size := length(s.desk, wall.Length) + " long, " + length(s.desk, wall.Height) + " high"
	if wall.Skirting > 0 {
		size += "; skirting " + wall.Skirting.MM()
	}
	if wall.Cornice > 0 {
		size += "; cornice " + wall.Cornice.MM()
	}
	return size
}

// fieldFacts are the figures of one field.
func (s *wallSheet) fieldFacts(f elevation.Field) []drafting.Fact {
	area := f.Face.Net.String() + " without openings"
	if f.Strips != nil {
		area += ": A\u00a0" + f.Strips.AreaA.Fixed(2) + ", B\u00a0" + f.Strips.AreaB.Fixed(2)
	}
	facts := []drafting.Fact{{Name: "Field", Value: area}}
	if f.Face.Reveals > 0 {
		facts = append(facts, drafting.Fact{Name: "Reveals", Value: f.Face.Reveals.String() + ", " + painted(s.view, f)})
	}
	if f.Strips != nil {
		return append(facts, stripFacts(s.desk, f)...)
	}
	return append(facts, sectionFacts(f.SetOut)...)
}

// painted names the sides of the reveals that get the finish.
func painted(v elevation.View, f elevation.Field) string {
	var parts []string
	for _, i := range f.Face.Openings {
		if o := &v.Wall.Openings[i]; len(o.Painted) > 0 {
			parts = append(parts, strings.Join(o.Painted, " and ")+" of "+o.Name)
		}
	}
	return strings.Join(parts, "; ")
}

// stripFacts say where the tape is hooked and what the strips come to.
func stripFacts(d *desk.Desk, f elevation.Field) []drafting.Fact {
	option := f.Group.Options[f.Group.Chosen]
	facts := []drafting.Fact{
		{Name: "Datum", Value: f.Strips.Datum},
		{Name: "Strips", Value: fmt.Sprintf("%d here, %s mm wide on average", len(f.Strips.Strips), unit.Figure(float64(option.Width), 1))},
		{Name: "Corner", Value: f.Strips.Lean},
	}
	if step := markStep(d, f.Face.ID); step != nil {
		facts = append(facts, drafting.Fact{Name: "Marking",
			Value: unit.Figure(step.Length.Metres(), 1) + " m of tape along the joints; " + step.Work.Words(1, "h")})
	}
	return facts
}

// sectionFacts say in what pieces a field without strips is worked.
func sectionFacts(s *setout.Face) []drafting.Fact {
	if s == nil {
		return nil
	}
	var facts []drafting.Fact
	if n := len(s.Sections); n > 1 && len(s.Rows) == 0 {
		one := s.Sections[0]
		facts = append(facts, drafting.Fact{Name: "Sections", Value: fmt.Sprintf("%d, the first %s × %s mm, laid in the order of their numbers", n, (one.X1 - one.X0).MM(), (one.Y1 - one.Y0).MM())})
	}
	if n := len(s.Rows); n > 0 {
		facts = append(facts, drafting.Fact{Name: "Rows", Value: fmt.Sprintf("%d, %s mm high, %s mm a motif; no row begins under the last", n, (s.Rows[0].Y1 - s.Rows[0].Y0).MM(), s.Rows[0].Motif.MM())})
	}
	if p := s.Sheets; p != nil {
		facts = append(facts, drafting.Fact{Name: "Papers", Value: fmt.Sprintf("%d laid, %d to have, each %s × %s mm, overlap %s", p.Count, p.Need, p.Width.MM(), p.Height.MM(), p.Overlap.MM())})
	}
	return facts
}

// marked is the field of the wall that carries marks, or nil.
func (s *wallSheet) marked() *elevation.Field {
	for i := range s.view.Fields {
		if f := &s.view.Fields[i]; f.Strips != nil && len(f.Strips.Marks) > 0 {
			return f
		}
	}
	return nil
}

// marks lists the marks of the wall, large enough to read at arm's length, in as
// many columns as fit a width.
func (s *wallSheet) marks(fl *draw.Flow, width float64) {
	f := s.marked()
	if f == nil {
		return
	}
	const gap = 6
	each := 47.0
	imperial := imperial(s.desk)
	if imperial {
		each = 103
	}
	marks := f.Strips.Marks
	columns := max(1, min(int((width+gap)/(each+gap)), (len(marks)+3)/4))
	perColumn := (len(marks) + columns - 1) / columns
	var sides []drafting.Side
	for from := 0; from < len(marks); from += perColumn {
		part := marks[from:min(from+perColumn, len(marks))]
		sides = append(sides, drafting.Side{Width: each, Fill: func(fl *draw.Flow) { fl.Table(marksColumn(part, imperial)) }})
	}
	fl.Space(1)
	drafting.AddSides(s.desk.Fonts, fl, gap, sides...)
	if imperial {
		drafting.AddNote(fl, "Feet and inches are rounded to the nearest sixteenth; the millimetres are the figures to mark by.")
	}
}

// marksColumn is one column of the table of marks; feet and inches stand beside the
// millimetres if wanted.
func marksColumn(marks []setout.Mark, imperial bool) draw.Table {
	columns := []draw.Column{{Title: "Mark", Align: draw.Right, Width: 8.5}}
	for _, where := range []string{"Skirting", "Ceiling"} {
		columns = append(columns, draw.Column{Title: where, Unit: "mm", Align: draw.Right, Width: 12})
		if imperial {
			columns = append(columns, draw.Column{Unit: "ft in", Align: draw.Right, Width: 26})
		}
	}
	t := drafting.Table(append(columns, draw.Column{Title: "Sides", Align: draw.Right, Width: 8.5}))
	t.Style = drafting.Body()
	t.Gap, t.Pad = 2, 0.55
	for _, m := range marks {
		cells := []string{fmt.Sprint(m.Number)}
		for _, l := range []unit.Length{m.Foot, m.Head} {
			cells = append(cells, l.MM())
			if imperial {
				cells = append(cells, l.FeetInches())
			}
		}
		row := drafting.Row(append(cells, m.Left+"\u00a0|\u00a0"+m.Right)...)
		row.Cells[1].Bold = true
		t.Rows = append(t.Rows, row)
	}
	return t
}
