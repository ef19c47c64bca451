package wall

import (
	"fmt"
	"slices"
	"strings"

	"scumble/catalog"
	"scumble/draw"
	"scumble/method"
	"scumble/schedule"
	"scumble/setout"
	"scumble/sheets/desk"
	"scumble/sheets/drafting"
	"scumble/sheets/elevation"
	"scumble/unit"
	"scumble/wetedge"
)

// Method is a sheet for each face: what is done, in order, when, by whom, with
// what, and what to look out for.
func Method(d *desk.Desk) (draw.Doc, error) {
	book := d.Book("Method")
	for i := range d.Plan.Method.Rooms {
		roomSheet(d, book, &d.Plan.Method.Rooms[i])
		for f := range d.Plan.Method.Faces {
			if face := &d.Plan.Method.Faces[f]; face.Room == d.Plan.Method.Rooms[i].Name {
				methodSheet(d, book, face)
				for _, step := range wetedge.Steps(face) {
					pairSheet(d, book, face, step)
				}
				drySheet(d, book, face)
			}
		}
	}
	return book.Doc("Method sheets: steps in order, with days, mixes, holds, cautions and faults"), nil
}

// roomSheet is the page before the walls of a room: protection, air, order of
// walls, and the cautions of everything done in it.
func roomSheet(d *desk.Desk, book *drafting.Book, room *method.Room) {
	fl := book.Part(room.Name, d.Upright())
	drafting.AddTitle(fl, room.Name, "What is done once for the room, in which order its walls are glazed, and what to mind throughout.")
	if r := d.SurveyRoom(room.Name); r != nil {
		drafting.AddFacts(fl, 44,
			drafting.Fact{Name: "Air the plan rests on", Value: fmt.Sprintf("%s, %s relative humidity", r.Climate.Temp.Value, r.Climate.Humidity.Value)},
			drafting.Fact{Name: "Along the walls", Value: unit.Figure(r.Perimeter.Metres(), 2) + " m"},
		)
	}
	addSteps(d, fl, "Once for the room", room.Steps, true)
	if order := glazeOrder(d, room.Name); len(order) > 0 {
		drafting.AddHead(fl, "Order of the walls")
		table := drafting.Table([]draw.Column{drafting.Words("Wall", 2), drafting.Words("Effect", 4), drafting.Words("Day and hour", 3), drafting.Words("Who", 2)})
		table.Pad = 0.5
		for _, t := range order {
			table.Rows = append(table.Rows, drafting.Row(desk.WallName(t.Face), t.Title, desk.Moment(t.Start, t.End), strings.Join(t.People, " and ")))
		}
		fl.Table(table)
	}
	addPreparation(d, fl, room.Name)
	addCautionList(d, fl, roomCautions(d, room))
}

// addPreparation tells once a room how each coat under the effects is done and how
// each product is handled; the sheets of the walls give days, mixes and holds.
func addPreparation(d *desk.Desk, fl *draw.Flow, room string) {
	drafting.AddHead(fl, "How the coats under the effects are done here")
	said := map[string]bool{}
	var facts, products []drafting.Fact
	for _, f := range d.Plan.Method.Faces {
		for _, s := range f.Steps {
			if f.Room != room || said[s.Rule+s.Do] {
				continue
			}
			said[s.Rule+s.Do] = true
			if s.Product != nil && !said[s.Product.ID] {
				said[s.Product.ID] = true
				name, _, _ := strings.Cut(s.Product.Name, ",")
				products = append(products, drafting.Fact{Name: name, Value: s.Product.Handling})
			}
			if isEffect(s) || s.Kind == method.Inspect {
				continue
			}
			title, _, _ := strings.Cut(s.Title, ",")
			words := s.Do
			if s.Edges != "" {
				words += " " + s.Edges
			}
			if tools := desk.ToolWords(s); tools != "" {
				words += " With: " + tools + "."
			}
			facts = append(facts, drafting.Fact{Name: title, Value: words})
		}
	}
	drafting.AddFacts(fl, 36, facts...)
	drafting.AddHead(fl, "How the products are handled")
	drafting.AddFacts(fl, 36, products...)
}

// isEffect tells the steps that make the finish from those under and after it.
func isEffect(s method.Step) bool { return s.Kind == method.Glaze || s.Kind == method.Relief }

// methodSheet is the sheet of one face: the ground in a table, the effect large.
func methodSheet(d *desk.Desk, book *drafting.Book, face *method.Face) {
	name := strings.Replace(face.ID, "/", ", ", 1)
	fl := book.Part(name, d.Upright())
	drafting.AddTitle(fl, name, fmt.Sprintf("%s: %s in %s.", face.Finish.Name, strings.ToLower(face.Technique.Name), d.GlazeWords(face)))
	var ground, effect, after []method.Step
	for _, s := range face.Steps {
		switch {
		case isEffect(s):
			effect = append(effect, s)
		case len(effect) == 0:
			ground = append(ground, s)
		default:
			after = append(after, s)
		}
	}
	steps := func(fl *draw.Flow) { addSteps(d, fl, "Preparation and ground", ground, false) }
	addWallHead(d, fl, face, steps)
	steps(fl)
	for _, s := range effect {
		addEffect(d, fl, s)
	}
	addAfter(d, fl, after)
	addFaults(fl, face.Technique.Faults)
	addCautionList(d, fl, desk.CautionsOf(effect))
}

// faceFacts are what one wants to know before the first step.
func faceFacts(d *desk.Desk, face *method.Face) []drafting.Fact {
	_, _, f := d.Plan.Survey.FaceByID(face.ID)
	facts := []drafting.Fact{{Name: "To paint", Value: f.Painted().String()}}
	if f.Reveals > 0 {
		facts = append(facts, drafting.Fact{Name: "Of it reveals", Value: f.Reveals.String()})
	}
	facts = append(facts,
		drafting.Fact{Name: "Edges", Value: unit.Figure(f.Edges.Total().Metres(), 1) + " m to cut in"},
		drafting.Fact{Name: "On", Value: face.Substrate.Name + ". " + face.Substrate.Check},
	)
	if stand := highest(face.Steps); stand != "floor" {
		facts = append(facts, drafting.Fact{Name: "Stand", Value: stand})
	}
	if v := desk.Variation(face); v != nil {
		facts = append(facts, drafting.Fact{Name: "Variation", Value: v.Name + ". " + v.Do})
	}
	for _, step := range wetedge.Steps(face) {
		if a, err := d.Pair(step.ID); err == nil && len(a.Layout.Pieces) > 1 {
			facts = append(facts, drafting.Fact{Name: "Sections", Value: fmt.Sprintf("%d in step %d, as on its page", len(a.Layout.Pieces), step.Number)})
		}
	}
	return facts
}

// inSections is a view whose fields are parted as the pair works them, so that every drawing
// shows the sections of the page of the wet edge; where a wall is glazed twice, those of the first.
func inSections(d *desk.Desk, v elevation.View) elevation.View {
	v.Fields = slices.Clone(v.Fields)
	for i := range v.Fields {
		f := &v.Fields[i]
		at := slices.IndexFunc(d.Plan.Method.Faces, func(face method.Face) bool { return face.ID == f.Face.ID })
		if f.SetOut == nil || len(f.SetOut.Rows) > 0 || at < 0 {
			continue
		}
		steps := wetedge.Steps(&d.Plan.Method.Faces[at])
		if len(steps) == 0 {
			continue
		}
		a, err := d.Pair(steps[0].ID)
		if err != nil {
			continue // the page of the wet edge says why
		}
		own := *f.SetOut
		own.Sections = nil
		for _, p := range a.Layout.Pieces {
			own.Sections = append(own.Sections, setout.Section{Number: p.Number, X0: unit.Length(p.X0), X1: unit.Length(p.X1), Y0: unit.Length(p.Y0), Y1: unit.Length(p.Y1), Area: unit.Area(p.Area)})
		}
		f.SetOut = &own
	}
	return v
}

// addWallHead shows the wall with its facts. It is drawn to 1:50 or larger where the
// rest of the first page still fits beneath, beside the facts or, if long, above them.
func addWallHead(d *desk.Desk, fl *draw.Flow, face *method.Face, rest func(*draw.Flow)) {
	const readable, gap = 50, 6
	body := drafting.PageBody(d.Upright())
	room := body.H - fl.Height()
	facts := faceFacts(d, face)
	beside := func(width, high float64, add func(*draw.Flow)) (float64, func(*draw.Flow)) {
		drawing := drawingOf(d, face.ID, width, high)
		return drawing.Scale, func(fl *draw.Flow) {
			drafting.AddSides(d.Fonts, fl, gap, drafting.Side{Width: drawing.W, Fill: drawing.Add}, drafting.Side{Fill: add})
		}
	}
	wide := func(side *draw.Flow) { drafting.AddFacts(side, 24, facts...) }
	narrow := func(side *draw.Flow) { drafting.AddNarrowFacts(side, facts...) }
	scale, head := beside(body.W*0.52, 96, wide)
	if scale > readable {
		if s, larger := beside(body.W-gap-40, 110, narrow); s <= readable && fits(d, body.W, room, larger, rest) {
			head = larger
		} else if drawing := drawingOf(d, face.ID, body.W, 110); drawing.Scale <= readable {
			above := func(fl *draw.Flow) { drawing.Add(fl); wide(fl) }
			if fits(d, body.W, room, above, rest) {
				head = above
			}
		}
	}
	head(fl)
	if _, wall, _ := d.Plan.Survey.FaceByID(face.ID); wall != nil {
		if v, _ := d.View(wall.ID); v.Unpictured != "" {
			drafting.AddNote(fl, "No picture can be computed: "+v.Unpictured+".")
		}
	}
}

// fits reports whether parts go into a room, in mm.
func fits(d *desk.Desk, width, room float64, parts ...func(*draw.Flow)) bool {
	column := draw.NewColumn(d.Fonts, width, false)
	for _, add := range parts {
		add(column)
	}
	return column.Height() <= room
}

// drawingOf is the wall of a face with its marks and openings.
func drawingOf(d *desk.Desk, face string, w, h float64) elevation.Drawing {
	_, wall, _ := d.Plan.Survey.FaceByID(face)
	if v, there := d.View(wall.ID); there {
		return elevation.Wall(d.Fonts, inSections(d, v), drawn(d, w, h))
	}
	return elevation.Drawing{}
}

// addSteps is the table a person works down, one row a step; with full words, or
// only with what differs from wall to wall.
func addSteps(d *desk.Desk, fl *draw.Flow, head string, steps []method.Step, full bool) {
	if len(steps) == 0 {
		return
	}
	tasks := d.Tasks()
	columns := []draw.Column{{Title: "No", Width: 6, Align: draw.Right}, {Title: "Day, who, hour", Width: 34}, drafting.Words("What to do", 1)}
	mixes := slices.ContainsFunc(steps, func(s method.Step) bool { return d.MixWords(s) != "" })
	if mixes {
		columns = append(columns, draw.Column{Title: "Mix", Width: 44})
	}
	table := drafting.Table(columns)
	table.Gap, table.Pad, table.Style = 3, 0.6, drafting.Small().Sized(8.2)
	for _, s := range steps {
		words, tools := waitWords(s), ""
		if full {
			words, tools = stepWords(s), desk.ToolWords(s)
		}
		cells := []draw.Cell{{Text: fmt.Sprint(s.Number), Bold: true}, {Text: desk.When(tasks[s.ID])},
			{Text: s.Title + "\n" + strings.Join(words, "\n"), Note: tools}}
		if mixes {
			cells = append(cells, draw.Cell{Text: d.MixWords(s)})
		}
		table.Rows = append(table.Rows, draw.Row{Cells: cells})
	}
	drafting.AddHead(fl, head)
	fl.Table(table)
}

// addEffect is a step of the effect, large: who lays, who works, with what.
func addEffect(d *desk.Desk, fl *draw.Flow, s method.Step) {
	fl.Keep(func() {
		drafting.AddHead(fl, fmt.Sprintf("%d  %s", s.Number, s.Title))
		task := d.Tasks()[s.ID]
		said := s.Work.Words(1, "h")
		if task != nil {
			said = desk.Moment(task.Start, task.End) + ", " + strings.Join(task.People, " and ") + ". Work: " + said + "."
		}
		fl.Paragraph(said, drafting.Body().InBold())
		drafting.AddBody(fl, s.Do)
		fl.Space(0.8)
		hand := func(name, does string) drafting.Side {
			return drafting.Side{Fill: func(side *draw.Flow) {
				side.Paragraph(name, drafting.Small().InBold())
				side.Paragraph(does, drafting.Body())
			}}
		}
		if s.Lays != "" && s.Works != "" {
			drafting.AddSides(d.Fonts, fl, 6, hand("One lays", s.Lays), hand("One works", s.Works))
			fl.Space(0.8)
		}
		facts := []drafting.Fact{{Name: "Mix", Value: strings.ReplaceAll(d.MixWords(s), "\n", "; ")}}
		for _, line := range stepWords(s)[1:] {
			name, rest, ok := strings.Cut(line, ": ")
			if !ok {
				name, rest = "Mind", line
			}
			facts = append(facts, drafting.Fact{Name: name, Value: rest})
		}
		facts = append(facts, drafting.Fact{Name: "Tools", Value: desk.ToolWords(s)})
		drafting.AddFacts(fl, 18, facts...)
	})
}

// addAfter sets the steps after the effect close, in its numbering.
func addAfter(d *desk.Desk, fl *draw.Flow, steps []method.Step) {
	var facts []drafting.Fact
	for _, s := range steps {
		words := waitWords(s)
		if mix := d.MixWords(s); mix != "" {
			words = append([]string{strings.ReplaceAll(mix, "\n", "; ") + "."}, words...)
		}
		if t := d.Tasks()[s.ID]; t != nil {
			words = append([]string{desk.Moment(t.Start, t.End) + ", " + strings.Join(t.People, " and ") + "."}, words...)
		}
		facts = append(facts, drafting.Fact{Name: fmt.Sprintf("%d  %s", s.Number, s.Title), Value: strings.Join(words, " ")})
	}
	fl.Space(1)
	drafting.AddFacts(fl, 40, facts...)
}

// stepWords are the instructions of a step in the order the hands need them: what
// to do first, then edges, dwell, waits and holds.
func stepWords(s method.Step) []string {
	lines := []string{s.Do}
	if s.Edges != "" {
		lines = append(lines, "Edges: "+s.Edges)
	}
	if s.Dwell.High > 0 {
		lines = append(lines, fmt.Sprintf("Dwell: %s.", s.Dwell.Times(60).Words(0, "min")))
	}
	return append(lines, waitWords(s)...)
}

// waitWords say what has to be dry before a step, and what is checked before and after it.
func waitWords(s method.Step) []string {
	var lines []string
	for _, w := range s.Waits {
		if w.From.High <= 0 && w.Until <= 0 {
			continue
		}
		line := "Wait: "
		if w.From.High > 0 {
			line += w.From.Words(0, "h") + " after " + desk.StepName(w.On)
		}
		if w.Until > 0 {
			line += ", and start within " + unit.Figure(float64(w.Until), 0) + " h"
		}
		if line = strings.TrimSpace(line + ". " + w.Why); !slices.Contains(lines, line) {
			lines = append(lines, line)
		}
	}
	if s.Begin != "" {
		lines = append(lines, "Check before you begin: "+s.Begin)
	}
	if s.Hold != "" {
		lines = append(lines, "Check before you go on: "+s.Hold)
	}
	return lines
}

// roomCautions are those of the room's own steps and of every face in it.
func roomCautions(d *desk.Desk, room *method.Room) []*catalog.Caution {
	steps := append([]method.Step(nil), room.Steps...)
	for _, f := range d.Plan.Method.Faces {
		if f.Room == room.Name {
			steps = append(steps, f.Steps...)
		}
	}
	return desk.CautionsOf(steps)
}

// addCautionList sets cautions short, for the wall: the sign, what it is, what to do.
func addCautionList(d *desk.Desk, fl *draw.Flow, cautions []*catalog.Caution) {
	if len(cautions) == 0 {
		return
	}
	fl.Keep(func() {
		drafting.AddHead(fl, "Mind here")
		d.AddCautionColumns(fl, desk.ByShape(cautions), true)
	})
}

func addFaults(fl *draw.Flow, faults []catalog.Fault) {
	table := drafting.Table([]draw.Column{drafting.Words("What you see", 2), drafting.Words("Why", 3), drafting.Words("How to put it right", 4)})
	table.Pad, table.Style = 0.4, drafting.Small().Sized(8.2)
	for _, f := range faults {
		table.Rows = append(table.Rows, drafting.Row(f.Fault, f.Cause, f.Correct))
	}
	drafting.AddHead(fl, "Faults")
	fl.Table(table)
}

// highest is the highest stand any step needs.
func highest(steps []method.Step) string {
	order := map[string]int{"floor": 0, "": 0, "steps": 1, "platform": 2, "scaffold": 3}
	best := "floor"
	for _, s := range steps {
		if order[s.Stand] > order[best] {
			best = s.Stand
		}
	}
	return best
}

// glazeOrder are the glaze steps of a room by hour.
func glazeOrder(d *desk.Desk, room string) []schedule.Task {
	var out []schedule.Task
	for _, t := range d.Plan.Programme.Tasks {
		if t.Room == room && t.Kind == method.Glaze {
			out = append(out, t)
		}
	}
	return out
}
