package site

import (
	"fmt"
	"slices"
	"strings"

	"scumble/draw"
	"scumble/job"
	"scumble/method"
	"scumble/schedule"
	"scumble/sheets/desk"
	"scumble/sheets/drafting"
	"scumble/survey"
	"scumble/unit"
)

// checkText is the type of the checks.
var checkText = draw.Style{Size: 8.8, Colour: drafting.Ink, Leading: 1.17}

// Inspection is what is looked at before each coat, after the ground, during the
// glaze and at the end, room by room and wall by wall, with room to tick and sign.
func Inspection(d *desk.Desk) (draw.Doc, error) {
	book := d.Book("Inspection")
	for i := range d.Plan.Method.Rooms {
		room := &d.Plan.Method.Rooms[i]
		roomReadings(d, book, room)
		for f := range d.Plan.Method.Faces {
			if face := &d.Plan.Method.Faces[f]; face.Room == room.Name {
				wallChecks(d, book, face)
			}
		}
		snags(d, book, room)
	}
	acceptance(d, book)
	return book.Doc("Checks before each coat, after the ground, during the glaze and at the end, with readings and signatures"), nil
}

// roomReadings are the air the plan rests on, its limits, and a line for each
// day and coat to write down what was measured.
func roomReadings(d *desk.Desk, book *drafting.Book, room *method.Room) {
	fl := book.Part(room.Name, d.Upright())
	drafting.AddTitle(fl, room.Name, "Measure before each coat, where it will go on: the air in the middle of the room, the surface at the coldest place of the wall.")
	addAirFacts(d, fl, room.Name)
	tasks := d.Tasks()
	if len(room.Steps) > 0 {
		drafting.AddHead(fl, "The room")
		fl.Space(1)
		for _, s := range room.Steps {
			if s.Begin != "" || s.Hold != "" {
				addInspected(d, fl, tasks[s.ID], strings.TrimSpace(s.Title+". "+s.Begin+" "+s.Hold))
			}
		}
	}
	drafting.AddHead(fl, "Readings")
	table := drafting.Table([]draw.Column{{Title: "Day", Width: 18}, drafting.Words("Coat and walls", 1),
		{Title: "Air", Unit: "°C", Width: 13, Align: draw.Right}, {Title: "Humidity", Unit: "%", Width: 15, Align: draw.Right}, {Title: "Wall", Unit: "°C", Width: 13, Align: draw.Right},
		{Title: "Dew point", Unit: "°C", Width: 16, Align: draw.Right}, {Title: "Margin", Unit: "K", Width: 13, Align: draw.Right}, {Title: "Who", Width: 15}})
	table.Gap, table.Pad = 2.5, 1.3
	last := ""
	for _, r := range coatDays(d, room.Name) {
		day := draw.Cell{Text: r.from.Format("Mon 2 Jan"), Bold: true}
		if day.Text == last {
			day = draw.Cell{}
		} else {
			last = day.Text
		}
		table.Rows = append(table.Rows, draw.Row{Cells: []draw.Cell{day, {Text: r.title + ": " + desk.Listed(r.walls)}, {}, {}, {}, {}, {}, {}}})
	}
	fl.Table(table)
	drafting.AddNote(fl, "Margin: wall less dew point; the meter gives the dew point, or a table for the air and humidity read. A reading outside the limits is a hold: no coat until it is right. Each reading goes with the hour the coat began.")
}

// addAirFacts says which air was planned and what the limits are.
func addAirFacts(d *desk.Desk, fl *draw.Flow, name string) {
	own := d.Plan.Catalog.Defaults
	var facts []drafting.Fact
	if r := d.SurveyRoom(name); r != nil {
		facts = append(facts, drafting.Fact{Name: "Planned air", Value: fmt.Sprintf("%s, %s relative humidity. If it is colder or damper, drying takes longer: ask before the next coat.", r.Climate.Temp.Value, r.Climate.Humidity.Value)})
		if cold := coldWalls(r); cold != "" {
			facts = append(facts, drafting.Fact{Name: "Cold walls", Value: cold})
		}
	}
	facts = append(facts,
		drafting.Fact{Name: "Dew point", Value: fmt.Sprintf("the wall at least %s K above it %s", unit.Figure(own.DewMargin.Likely, 1), drafting.Footing(string(own.DewMargin.Kind)))},
		drafting.Fact{Name: "Humidity", Value: fmt.Sprintf("below %s %s, or what the product's sheet says if that is less", unit.Humidity(own.HumidityHold.Likely), drafting.Footing(string(own.HumidityHold.Kind)))})
	var coldest []string
	for _, p := range productsUsed(d) {
		used := slices.Contains(roomsWhere(d, func(s placed) bool { return s.step.Product == p }), name)
		if used && p.MinTemp.Unit != "" {
			coldest = append(coldest, fmt.Sprintf("%s %s %s", p.Name, unit.Temp(p.MinTemp.Likely), drafting.Footing(string(p.MinTemp.Kind))))
		}
	}
	facts = append(facts, drafting.Fact{Name: "Not colder than", Value: strings.Join(coldest, "; ")})
	drafting.AddFacts(fl, 32, facts...)
	drafting.AddNote(fl, "The product's own sheet comes first. "+drafting.FootingKey)
}

// coldWalls names walls measured colder than the air.
func coldWalls(r *survey.Room) string {
	var names []string
	for _, w := range r.Walls {
		if w.Surface.Given() && w.Surface.Value < r.Climate.Temp.Value {
			names = append(names, w.Name+" "+w.Surface.Value.String())
		}
	}
	return desk.Listed(names)
}

// coatDays are the coats of a room by day, walls together.
func coatDays(d *desk.Desk, room string) []roomDay {
	var days []roomDay
	for _, p := range placedSteps(d) {
		if p.step.Room != room || p.step.Product == nil {
			continue
		}
		for _, piece := range desk.ByDay(p.task.Pieces) {
			at := slices.IndexFunc(days, func(r roomDay) bool { return r.title == plainTitle(p.step) && desk.SameDay(r.from, piece.From) })
			if at < 0 {
				at = len(days)
				days = append(days, roomDay{from: piece.From, title: plainTitle(p.step)})
			}
			days[at].walls = append(days[at].walls, desk.WallName(p.step.Face))
		}
	}
	slices.SortStableFunc(days, func(a, b roomDay) int { return a.from.Compare(b.from) })
	return days
}

// addInspected is a check with its box, its day and a line for initials.
func addInspected(d *desk.Desk, fl *draw.Flow, task *schedule.Task, words string) {
	drafting.AddSides(d.Fonts, fl, 2,
		drafting.Side{Width: 5, Fill: func(side *draw.Flow) {
			side.Block(6, func(b draw.Box) []draw.Item { return []draw.Item{drafting.TickBox(b.X, b.Y+0.3, 5)} })
		}},
		drafting.Side{Width: 19, Fill: func(side *draw.Flow) {
			if task != nil {
				side.Paragraph(task.Start.Format("Mon 2 Jan\n15:04"), drafting.Small().Coloured(drafting.Grey))
			}
		}},
		drafting.Side{Fill: func(side *draw.Flow) { side.Paragraph(words, checkText) }},
		drafting.Side{Width: 16, Fill: func(side *draw.Flow) {
			side.Block(6, func(b draw.Box) []draw.Item { return []draw.Item{drafting.WriteOn(b.X, b.X+b.W, b.Y+5.2)} })
		}})
	fl.Space(0.2)
}

// wallChecks is the page of one face.
func wallChecks(d *desk.Desk, book *drafting.Book, face *method.Face) {
	name := strings.Replace(face.ID, "/", ", ", 1)
	fl := book.Part(name, d.Upright())
	drafting.AddTitle(fl, name, "")
	drafting.AddBody(fl, fmt.Sprintf("%s: %s in %s.", face.Finish.Name, desk.Small(face.Technique.Name), d.GlazeWords(face)))
	tasks := d.Tasks()
	drafting.AddHead(fl, "Before each coat, and when it is done")
	for i := range face.Steps {
		if s := &face.Steps[i]; s.Kind != method.Inspect {
			addInspected(d, fl, tasks[s.ID], checkWords(s, tasks))
		}
		if lastGround(face.Steps, i) {
			addChecks(d, fl, "After the ground coat", groundChecks)
			drafting.AddHead(fl, "Before the glaze and after it")
		}
	}
	addChecks(d, fl, "While the glaze goes on", glazeChecks(face))
	addChecks(d, fl, "At the end", endChecks(d, face, tasks))
}

// snags is the list of what is still to be put right in a room, and its acceptance.
func snags(d *desk.Desk, book *drafting.Book, room *method.Room) {
	fl := book.Part(room.Name, d.Upright())
	drafting.AddTitle(fl, room.Name+": snags", "What was seen when the walls were looked at, what is to be done about it, and by whom.")
	table := drafting.Table([]draw.Column{{Title: "No", Width: 7, Align: draw.Right}, {Title: "Wall", Width: 30}, drafting.Words("What is seen", 4), drafting.Words("What is to be done", 4), {Title: "By", Width: 18}, {Title: "Done", Width: 12}})
	table.Pad = 2.2
	for n := range 14 {
		table.Rows = append(table.Rows, draw.Row{Cells: []draw.Cell{{Text: fmt.Sprint(n + 1)}, {}, {}, {}, {},
			{Height: 4.4, Draw: func(b draw.Box) []draw.Item { return []draw.Item{drafting.TickBox(b.X+2, b.Y, 4.4)} }}}})
	}
	fl.Table(table)
	drafting.AddNote(fl, "Looking distance: PDCA P1 asks for 1 m or more in the finished lighting; AS/NZS 2311:2009 is quoted with 1.5 to 2 m in even light that does not graze (both read second-hand). "+
		"Two and four metres, by day and by lamp, are common practice. Evenness in grazing light is judged only where it was agreed in writing.")
	addSignature(d, fl, "Accepted, for the house")
	addSignature(d, fl, "For the crew")
}

// checkWords are the checks before one step and after it, in a sentence or two.
func checkWords(s *method.Step, tasks map[string]*schedule.Task) string {
	words := fmt.Sprintf("%d  %s.", s.Number, s.Title)
	for _, w := range s.Waits {
		if on := tasks[w.On]; on != nil && w.From.High > 0 && !on.Ready.Latest.IsZero() {
			words += fmt.Sprintf(" Dry: %s, %s.", withoutColour(desk.Small(on.Title)), desk.BetweenWords(on.Ready.Earliest, on.Ready.Latest))
		}
	}
	if s.Product != nil {
		words += " Readings within limits."
	}
	if s.Begin != "" {
		words += " " + s.Begin
	}
	if s.Hold != "" {
		words += " When it is done: " + desk.Small(s.Hold)
	}
	return words
}

// withoutColour is the title of a coat without its colour, which is seen.
func withoutColour(title string) string {
	coat, _, _ := strings.Cut(title, ",")
	return coat
}

// lastGround reports whether step i is the last coat of ground.
func lastGround(steps []method.Step, i int) bool {
	return steps[i].Kind == method.Ground && !slices.ContainsFunc(steps[i+1:], func(s method.Step) bool { return s.Kind == method.Ground })
}

// groundChecks are those of the ground before anything is glazed.
var groundChecks = []string{
	"One colour and one sheen over the whole wall, nothing shows through, seen from 1 m or more in finished lighting.",
	"No runs, dust, roller edges or brush bands; edges cut in straight; repairs do not show.",
	"Dry and hard enough: a thumb leaves no mark, tape pulled from a corner lifts nothing.",
}

// glazeChecks are those during the work, with the faults this technique is prone to.
func glazeChecks(face *method.Face) []string {
	checks := []string{
		"Batch on the bucket is the one of this wall, boxed and stirred; the board lies beside the wall.",
		"Corners and edges done, wall next door guarded.",
	}
	joints := ""
	if slices.ContainsFunc(face.Steps, func(s method.Step) bool { return s.WetEdge }) {
		joints = "Edge wet at every joint, no stop before a corner. "
	}
	if face.Technique.Strips {
		joints += "Every joint stands on its mark."
	}
	if joints != "" {
		checks = append(checks, strings.TrimSpace(joints))
	}
	var faults []string
	for _, f := range face.Technique.Faults {
		faults = append(faults, desk.Small(strings.TrimSuffix(f.Fault, ".")))
	}
	if len(faults) > 0 {
		checks = append(checks, "Looked for and put right while wet: "+strings.Join(faults, "; ")+".")
	}
	return checks
}

// endChecks are those of the finished wall.
func endChecks(d *desk.Desk, face *method.Face, tasks map[string]*schedule.Task) []string {
	checks := []string{
		"Even in colour, contrast and scale over the whole wall, seen from 1 to 2 m in the light of the room.",
		"Agrees with the signed board from 2 m and from 4 m: by day.",
		"Agrees with the signed board from 2 m and from 4 m: by the lamps of the room.",
		"Corners, ceiling line and skirting: no bands, no bare places, no glaze beyond the edge.",
	}
	_, wall, f := d.Plan.Survey.FaceByID(face.ID)
	var doors, others []string
	for _, i := range f.Openings {
		if o := wall.Openings[i]; o.Kind == "door" {
			doors = append(doors, openingName(o))
		} else {
			others = append(others, openingName(o))
		}
	}
	if len(doors) > 0 {
		checks = append(checks, "Behind and beside: "+desk.Listed(doors)+".")
	}
	if len(others) > 0 {
		checks = append(checks, "Round, and in the reveals where painted: "+desk.Listed(others)+".")
	}
	if len(face.Adjoining) > 0 {
		var names []string
		for _, id := range face.Adjoining {
			names = append(names, desk.WallName(id))
		}
		checks = append(checks, "Goes with its neighbours: "+desk.Listed(names)+".")
	}
	for _, s := range face.Steps {
		if s.Kind == method.Inspect {
			line := s.Do + " " + s.Hold
			if t := tasks[s.ID]; t != nil {
				line = desk.HourOf(t.Start) + ". " + line
			}
			checks = append(checks, line)
		}
	}
	return checks
}

func openingName(o survey.Opening) string {
	if o.Name != "" {
		return o.Name
	}
	return o.Kind
}

// addChecks sets checks under a head, kept together.
func addChecks(d *desk.Desk, fl *draw.Flow, head string, checks []string) {
	fl.Keep(func() {
		drafting.AddHead(fl, head)
		for _, line := range checks {
			d.AddCheck(fl, line, checkText, 4)
			fl.Space(0.2)
		}
	})
}

// acceptance is the last page: the whole job, the agreed terms, the signatures.
func acceptance(d *desk.Desk, book *drafting.Book) {
	fl := book.Part("acceptance", d.Upright())
	drafting.AddTitle(fl, "Acceptance", "The whole job, walked through together when the last wall is dry.")
	table := drafting.Table([]draw.Column{drafting.Words("Room", 3), drafting.Words("Walls", 6), {Title: "Snags left", Width: 20}, {Title: "Accepted", Width: 17}, {Title: "Date", Width: 24}})
	table.Pad = 2
	for _, r := range d.Plan.Method.Rooms {
		var walls []string
		for _, f := range d.Plan.Method.Faces {
			if f.Room == r.Name {
				walls = append(walls, desk.WallName(f.ID))
			}
		}
		table.Rows = append(table.Rows, draw.Row{Cells: []draw.Cell{{Text: r.Name, Bold: true}, {Text: strings.Join(walls, "; ")}, {},
			{Height: 5, Draw: func(b draw.Box) []draw.Item { return []draw.Item{drafting.TickBox(b.X+3, b.Y, 5)} }}, {}}})
	}
	fl.Table(table)
	if out := notIncluded(d.Plan.Job); out != "" {
		drafting.AddNote(fl, "Not part of the work: "+out)
	}
	fl.Space(2)
	for _, line := range []string{"Kept mixes, labelled, handed over with the handover sheet.", "Rooms uncovered, plates back, floors clean, waste taken away.", "Care of the finishes explained."} {
		d.AddCheck(fl, line, drafting.Body(), 5)
		fl.Space(1)
	}
	for _, line := range []string{"Remarks", "", ""} {
		addBlank(d, fl, line, 22)
	}
	addSignature(d, fl, "Accepted, for the house")
	addSignature(d, fl, "For the crew")
}

func notIncluded(j *job.Job) string {
	if len(j.Terms.Exclude) == 0 {
		return ""
	}
	return strings.Join(j.Terms.Exclude, "; ") + "."
}
