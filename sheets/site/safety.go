// Package site holds the papers that hang on site: safety and inspection.
package site

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"scumble/catalog"
	"scumble/draw"
	"scumble/method"
	"scumble/schedule"
	"scumble/sheets/desk"
	"scumble/sheets/drafting"
	"scumble/unit"
)

// oilyRags is the caution that asks for a rag log.
const oilyRags = "oily-rags"

// Safety is what the job can do to people, where and when, and whose word comes
// first. It is hung up on site.
func Safety(d *desk.Desk) (draw.Doc, error) {
	book := d.Book("Safety")
	fl := book.Part("", d.Upright())
	addDangers(d, fl)
	addAllNotices(d, fl)
	whereAndWhen(d, book)
	addAir(d, book)
	addProductSheets(d, book.Part("products", d.Upright()))
	if rags := ragDays(d); len(rags) > 0 {
		addRagLog(d, book.Part("rag log", d.Upright()), rags)
	}
	addEmergency(d, book.Part("in an emergency", d.Upright()))
	return book.Doc("What the job can do to people, where and when, with a rag log and lines for an emergency"), nil
}

// placed is a step with its place in the programme.
type placed struct {
	step *method.Step
	task *schedule.Task
}

// placedSteps are all steps in the order of the programme.
func placedSteps(d *desk.Desk) []placed {
	steps := d.AllSteps()
	var list []placed
	for i := range d.Plan.Programme.Tasks {
		task := &d.Plan.Programme.Tasks[i]
		if s := steps[task.Step]; s != nil {
			list = append(list, placed{s, task})
		}
	}
	return list
}

func (p placed) has(caution string) bool {
	return slices.ContainsFunc(p.step.Cautions, func(c *catalog.Caution) bool { return c.ID == caution })
}

// jobCautions are all cautions of the job, each once, holds first.
func jobCautions(d *desk.Desk) []*catalog.Caution {
	var steps []method.Step
	for _, r := range d.Plan.Method.Rooms {
		steps = append(steps, r.Steps...)
	}
	for _, f := range d.Plan.Method.Faces {
		steps = append(steps, f.Steps...)
	}
	return desk.ByShape(desk.CautionsOf(steps))
}

// addDangers is the first page: each danger with its rooms and its days.
func addDangers(d *desk.Desk, fl *draw.Flow) {
	j := d.Plan.Job
	drafting.AddTitle(fl, "Safety", "What this job brings, where, when, and what to do about it. Read it before the first day and hang it where all can see it.")
	facts := []drafting.Fact{{Name: "People", Value: crewNames(d)}, {Name: "Building", Value: buildingWords(j.Building.Built, j.Building.Occupied)}}
	if rooms := occupiedRooms(d); len(rooms) > 0 {
		facts = append(facts, drafting.Fact{Name: "Rooms in use", Value: desk.Listed(rooms) + ": people are in them during the job"})
	}
	for _, stand := range []string{"scaffold", "platform", "steps"} {
		if rooms := roomsWhere(d, func(p placed) bool { return p.step.Stand == stand }); len(rooms) > 0 {
			facts = append(facts, drafting.Fact{Name: "From " + stand, Value: desk.Listed(rooms)})
		}
	}
	if rooms := roomsWhere(d, func(p placed) bool { return p.step.Product != nil && p.step.Product.Family == "oil" }); len(rooms) > 0 {
		facts = append(facts, drafting.Fact{Name: "Oil glaze, solvent", Value: desk.Listed(rooms)})
	}
	var old []string
	for _, r := range j.Rooms {
		if r.Old != "" {
			old = append(old, r.Name+" ("+r.Old+")")
		}
	}
	facts = append(facts, drafting.Fact{Name: "On the walls now", Value: strings.Join(old, "; ")})
	drafting.AddFacts(fl, 34, facts...)
	drafting.AddNotice(d.Fonts, fl, drafting.Notice{Shape: drafting.HoldShape, Title: "This paper comes second",
		Text: "It repeats what is published or said in the trade, at the place where it is needed. The safety sheet of each product, the local codes for work, fire, waste and height, " +
			"and the word of licensed people come first. Where they differ from this paper, they are right.",
		Defers: "The pages on the air of the rooms are worked out from figures of the catalog and measure nothing. A licensed hygienist measures; the hours in this paper are hours of work, " +
			"not hours that are safe to breathe."})
	drafting.AddHead(fl, "What this job brings")
	table := drafting.Table([]draw.Column{{Width: 5}, drafting.Words("", 3), drafting.Words("Rooms", 4), {Title: "First and last day", Width: 42}})
	for _, c := range jobCautions(d) {
		rooms := roomsWhere(d, func(p placed) bool { return p.has(c.ID) })
		if len(rooms) == len(d.Plan.Method.Rooms) && len(rooms) > 2 {
			rooms = []string{"all rooms"}
		}
		table.Rows = append(table.Rows, draw.Row{Cells: []draw.Cell{signCell(c.Shape), {Text: c.Title, Bold: true}, {Text: desk.Listed(rooms)}, {Text: firstAndLast(d, c.ID)}}})
	}
	fl.Table(table)
}

// signCell shows the sign of a notice in a table.
func signCell(shape string) draw.Cell {
	sign := drafting.ShapeNamed(shape)
	return draw.Cell{Height: 3.4, Draw: func(b draw.Box) []draw.Item { return sign.Mark(b.X+2, b.Y+1.8, 3.4) }}
}

func buildingWords(built int, occupied bool) string {
	words := "year it was built not known: take old coats as doubtful"
	if built > 0 {
		words = fmt.Sprintf("built in %d", built)
	}
	if occupied {
		return words + "; people live or work in it during the job"
	}
	return words + "; empty during the job"
}

func crewNames(d *desk.Desk) string {
	var names []string
	for _, p := range d.Plan.Job.Crew.People {
		names = append(names, p.Name)
	}
	return desk.Listed(names)
}

func occupiedRooms(d *desk.Desk) []string {
	var rooms []string
	for _, r := range d.Plan.Job.Rooms {
		if r.Occupied {
			rooms = append(rooms, r.Name)
		}
	}
	return rooms
}

// roomsWhere lists the rooms with a step that fits, in walking order.
func roomsWhere(d *desk.Desk, fits func(placed) bool) []string {
	found := map[string]bool{}
	for _, p := range placedSteps(d) {
		if fits(p) {
			found[p.step.Room] = true
		}
	}
	var rooms []string
	for _, r := range d.Plan.Method.Rooms {
		if found[r.Name] {
			rooms = append(rooms, r.Name)
		}
	}
	return rooms
}

// firstAndLast are the days between which a caution is needed.
func firstAndLast(d *desk.Desk, caution string) string {
	var first, last time.Time
	for _, p := range placedSteps(d) {
		if !p.has(caution) {
			continue
		}
		if first.IsZero() {
			first = p.task.Start
		}
		if p.task.End.After(last) {
			last = p.task.End
		}
	}
	switch {
	case first.IsZero():
		return ""
	case desk.SameDay(first, last):
		return first.Format("Mon 2 Jan")
	}
	return first.Format("Mon 2 Jan") + " to " + last.Format("Mon 2 Jan")
}

// addAllNotices sets what the plan holds against itself, then every caution whole.
func addAllNotices(d *desk.Desk, fl *draw.Flow) {
	drafting.AddHead(fl, "What to do")
	for _, w := range d.Plan.Warnings {
		if w.Hold {
			drafting.AddNotice(d.Fonts, fl, drafting.Notice{Shape: drafting.HoldShape, Title: strings.Replace(w.Name, "/", ", ", 1), Text: w.What + " " + w.Do,
				Source: "Found when this job was planned."})
		}
	}
	for _, c := range jobCautions(d) {
		drafting.AddNotice(d.Fonts, fl, d.Notice(c))
	}
}

// roomDay gathers, in one room on one day, the walls that get the same work under
// the same cautions.
type roomDay struct {
	from, to time.Time
	title    string
	walls    []string
	cautions []*catalog.Caution
	key      string
}

// whereAndWhen lists by room and day where each caution applies.
func whereAndWhen(d *desk.Desk, book *drafting.Book) {
	fl := book.Part("where and when", d.Upright())
	drafting.AddTitle(fl, "Where and when", "Room by room and day by day: the work, its hours, and the cautions that hold while it is done.")
	for _, room := range d.Plan.Method.Rooms {
		table := drafting.Table([]draw.Column{{Title: "Day", Width: 19}, {Title: "Hours", Width: 23}, drafting.Words("Work and walls", 1), {Title: "Cautions", Width: 76}})
		last := ""
		for _, r := range roomDays(d, room.Name) {
			day := r.from.Format("Mon 2 Jan")
			cell := draw.Cell{Text: day, Bold: true}
			if day == last {
				cell = draw.Cell{}
			}
			last = day
			work := r.title
			if len(r.walls) > 0 {
				work += ": " + desk.Listed(r.walls)
			}
			table.Rows = append(table.Rows, draw.Row{Cells: []draw.Cell{cell, {Text: r.from.Format("15:04") + " to " + r.to.Format("15:04")}, {Text: work}, signsCell(d, r.cautions, 76)}})
		}
		if len(table.Rows) > 0 {
			drafting.AddHead(fl, room.Name)
			fl.Table(table)
		}
	}
}

// signsCell names cautions with their signs in a column of a table, width mm wide.
func signsCell(d *desk.Desk, cautions []*catalog.Caution, width float64) draw.Cell {
	signs := desk.CautionSigns(cautions)
	_, height := d.LegendPlaces(signs, width, desk.CautionPitch)
	return draw.Cell{Height: height - 0.6, Draw: func(b draw.Box) []draw.Item {
		b.Y--
		return d.LegendItems(signs, b, desk.CautionPitch)
	}}
}

func roomDays(d *desk.Desk, room string) []roomDay {
	var days []roomDay
	for _, p := range placedSteps(d) {
		if p.step.Room != room || len(p.step.Cautions) == 0 {
			continue
		}
		cautions := desk.ByShape(p.step.Cautions)
		key := plainTitle(p.step)
		for _, c := range cautions {
			key += " " + c.ID
		}
		for _, piece := range desk.ByDay(p.task.Pieces) {
			at := slices.IndexFunc(days, func(r roomDay) bool { return r.key == key && desk.SameDay(r.from, piece.From) })
			if at < 0 {
				at = len(days)
				days = append(days, roomDay{from: piece.From, to: piece.To, title: plainTitle(p.step), cautions: cautions, key: key})
			}
			r := &days[at]
			if piece.To.After(r.to) {
				r.to = piece.To
			}
			if wall := desk.WallName(p.step.Face); wall != "" {
				r.walls = append(r.walls, wall)
			}
		}
	}
	slices.SortStableFunc(days, func(a, b roomDay) int { return a.from.Compare(b.from) })
	return days
}

// plainTitle is the title of a step without the colour, which differs from wall to wall.
func plainTitle(s *method.Step) string {
	if s.Colour.Name == "" {
		return s.Title
	}
	return strings.Replace(s.Title, ", "+s.Colour.Name, "", 1)
}

// addProductSheets lists every product with a box for its own sheet.
func addProductSheets(d *desk.Desk, fl *draw.Flow) {
	drafting.AddTitle(fl, "Products", "Read the product's own safety sheet and technical sheet before the can is opened, keep them on site, and tick.")
	table := drafting.Table([]draw.Column{{Title: "Read", Width: 9}, drafting.Words("Product", 6), drafting.Words("Rooms", 5),
		{Title: "Not below", Width: 15}, {Title: "Not above", Width: 15}, {Title: "Cautions", Width: 64}})
	table.Gap = 3
	for _, p := range productsUsed(d) {
		rooms := roomsWhere(d, func(s placed) bool { return s.step.Product == p || s.step.Let.Thinner == p && s.step.Let.Parts > 0 })
		if len(rooms) == len(d.Plan.Method.Rooms) && len(rooms) > 2 {
			rooms = []string{"all rooms"}
		}
		var cautions []*catalog.Caution
		for _, id := range p.Cautions {
			if c := d.Plan.Catalog.Cautions[id]; c != nil {
				cautions = append(cautions, c)
			}
		}
		table.Rows = append(table.Rows, draw.Row{Cells: []draw.Cell{
			{Height: 6, Draw: func(b draw.Box) []draw.Item { return []draw.Item{drafting.TickBox(b.X, b.Y, 5.5)} }},
			{Text: p.Name, Bold: true, Note: familyWords(p.Family)}, {Text: desk.Listed(rooms)},
			{Text: limitWords(p.MinTemp, func(v float64) string { return unit.Temp(v).String() })},
			{Text: limitWords(p.MaxHumidity, func(v float64) string { return unit.Humidity(v).String() })}, signsCell(d, desk.ByShape(cautions), 64)}})
	}
	fl.Table(table)
	drafting.AddNote(fl, "Not below: temperature of air and wall. Not above: relative humidity. "+drafting.FootingKey)
	drafting.AddHead(fl, "Air")
	for _, id := range []string{"ventilation", "solvent-vapour", "ignition"} {
		if c := d.Plan.Catalog.Cautions[id]; c != nil && len(roomsWhere(d, func(p placed) bool { return p.has(id) })) > 0 {
			fl.Space(1)
			d.AddMarked(fl, drafting.ShapeNamed(c.Shape), c.Title+": "+desk.Listed(roomsWhere(d, func(p placed) bool { return p.has(id) }))+". "+c.Text, drafting.Body())
		}
	}
}

// productsUsed are the products of all steps and what thins them, by name.
func productsUsed(d *desk.Desk) []*catalog.Product {
	var list []*catalog.Product
	add := func(p *catalog.Product) {
		if p != nil && p.ID != "water" && !slices.Contains(list, p) {
			list = append(list, p)
		}
	}
	for _, p := range placedSteps(d) {
		add(p.step.Product)
		if p.step.Let.Parts > 0 {
			add(p.step.Let.Thinner)
		}
	}
	slices.SortStableFunc(list, func(a, b *catalog.Product) int { return strings.Compare(a.Name, b.Name) })
	return list
}

func familyWords(family string) string {
	switch family {
	case "oil":
		return "with solvent"
	case "water", "metallic":
		return "water-borne"
	}
	return ""
}

// limitWords print a limit of a product with the letter of its footing.
func limitWords(f catalog.Figure, print func(float64) string) string {
	if f.Unit == "" {
		return "see sheet"
	}
	return print(f.Likely) + " " + drafting.Footing(string(f.Kind))
}

// ragDays are the steps that leave oily rags, by day.
func ragDays(d *desk.Desk) []roomDay {
	var days []roomDay
	for _, p := range placedSteps(d) {
		if !p.has(oilyRags) {
			continue
		}
		for _, piece := range desk.ByDay(p.task.Pieces) {
			where := strings.Replace(p.step.Face, "/", ", ", 1)
			if n := len(days); n > 0 && desk.SameDay(days[n-1].from, piece.From) {
				days[n-1].walls = append(days[n-1].walls, where)
				days[n-1].to = piece.To
				continue
			}
			days = append(days, roomDay{from: piece.From, to: piece.To, walls: []string{where}})
		}
	}
	return days
}

// addRagLog is a table with a line for each day with oily rags, and some to spare.
func addRagLog(d *desk.Desk, fl *draw.Flow, days []roomDay) {
	drafting.AddTitle(fl, "Rag log", "Every rag and paper that has touched oil glaze is counted out and counted back into the can.")
	if c := d.Plan.Catalog.Cautions[oilyRags]; c != nil {
		drafting.AddNotice(d.Fonts, fl, d.Notice(c))
	}
	table := drafting.Table([]draw.Column{{Title: "Day", Width: 20}, drafting.Words("Oil glaze that day on", 1),
		{Title: "Given out", Width: 17}, {Title: "In the can", Width: 17}, {Title: "Can out at", Width: 18}, {Title: "Who", Width: 22}})
	table.Pad = 2.2
	for _, r := range days {
		table.Rows = append(table.Rows, draw.Row{Cells: []draw.Cell{{Text: r.from.Format("Mon 2 Jan"), Bold: true}, {Text: strings.Join(r.walls, "; "), Note: ragWords(d, r.from)}, {}, {}, {}, {}}})
	}
	for range 4 {
		table.Rows = append(table.Rows, drafting.Row("\u00a0", "", "", "", "", ""))
	}
	fl.Table(table)
	drafting.AddNote(fl, "If the two counts differ, nobody leaves before the missing rag is found.")
}

// ragWords are the rags to be counted on with oil glaze on them by the evening of a day.
func ragWords(d *desk.Desk, day time.Time) string {
	if d.Plan.Air == nil {
		return ""
	}
	var words []string
	for _, r := range d.Plan.Air.Rags {
		if desk.SameDay(r.Date, day) {
			words = append(words, fmt.Sprintf("%s: %d", desk.Lowered(r.Good.Name), r.Count))
		}
	}
	if len(words) == 0 {
		return ""
	}
	return "reckoned by evening, " + strings.Join(words, "; ")
}

// addEmergency is lines to fill in on site, and signatures.
func addEmergency(d *desk.Desk, fl *draw.Flow) {
	drafting.AddTitle(fl, "In an emergency", "Fill in on the first morning, before the first can is opened. Walk the way out together.")
	for _, line := range []string{"Emergency call", "Nearest hospital, with the way to it", "Doctor for eyes", "Poison advice", "Address of this site, as told to the caller",
		"Fire assembly point", "Extinguishers, place and kind", "First aid box and eye rinse", "Water, gas and electricity shut off at", "Place of the rag can, outside"} {
		addBlank(d, fl, line, 66)
	}
	drafting.AddHead(fl, "Read and understood")
	fl.Space(1)
	for _, p := range d.Plan.Job.Crew.People {
		addSignature(d, fl, p.Name)
	}
	addSignature(d, fl, "For the house")
}

// addBlank is a name with a line to write on.
func addBlank(d *desk.Desk, fl *draw.Flow, name string, width float64) {
	fl.Block(10, func(b draw.Box) []draw.Item {
		return []draw.Item{draw.Label(b.X, b.Y+8, name, drafting.Body(), draw.Left), drafting.WriteOn(b.X+width, b.X+b.W, b.Y+8.6)}
	})
}

// addSignature is a name with lines for a signature and a date.
func addSignature(d *desk.Desk, fl *draw.Flow, name string) {
	fl.Block(12, func(b draw.Box) []draw.Item {
		return []draw.Item{
			draw.Label(b.X, b.Y+9.4, d.Cut(name, drafting.Body(), 44), drafting.Body(), draw.Left),
			drafting.WriteOn(b.X+46, b.X+b.W-46, b.Y+10),
			draw.Label(b.X+b.W-44, b.Y+9.4, "date", drafting.Small().Coloured(drafting.Grey), draw.Left),
			drafting.WriteOn(b.X+b.W-35, b.X+b.W, b.Y+10),
		}
	})
}
