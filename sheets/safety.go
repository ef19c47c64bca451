package sheets

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"scumble/catalog"
	"scumble/draw"
	"scumble/method"
	"scumble/schedule"
	"scumble/sheets/drafting"
	"scumble/unit"
)

// oilyRags is the caution that asks for a rag log.
const oilyRags = "oily-rags"

// safety is what the job can do to people, where and when, and whose word comes
// first. It is hung up on site.
func (d *desk) safety() (draw.Doc, error) {
	book := d.book("Safety")
	fl := book.Part("", d.upright())
	d.addDangers(fl)
	d.addAllNotices(fl)
	d.whereAndWhen(book)
	d.addProductSheets(book.Part("products", d.upright()))
	if rags := d.ragDays(); len(rags) > 0 {
		d.addRagLog(book.Part("rag log", d.upright()), rags)
	}
	d.addEmergency(book.Part("in an emergency", d.upright()))
	return book.Doc("What the job can do to people, where and when, with a rag log and lines for an emergency"), nil
}

// placed is a step with its place in the programme.
type placed struct {
	step *method.Step
	task *schedule.Task
}

// placedSteps are all steps in the order of the programme.
func (d *desk) placedSteps() []placed {
	steps := d.allSteps()
	var list []placed
	for i := range d.plan.Programme.Tasks {
		task := &d.plan.Programme.Tasks[i]
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
func (d *desk) jobCautions() []*catalog.Caution {
	var steps []method.Step
	for _, r := range d.plan.Method.Rooms {
		steps = append(steps, r.Steps...)
	}
	for _, f := range d.plan.Method.Faces {
		steps = append(steps, f.Steps...)
	}
	return byShape(cautionsOf(steps))
}

// addDangers is the first page: each danger with its rooms and its days.
func (d *desk) addDangers(fl *draw.Flow) {
	j := d.plan.Job
	drafting.AddTitle(fl, "Safety", "What this job brings, where, when, and what to do about it. Read it before the first day and hang it where all can see it.")
	facts := []drafting.Fact{{Name: "People", Value: d.crewNames()}, {Name: "Building", Value: buildingWords(j.Building.Built, j.Building.Occupied)}}
	if rooms := d.occupiedRooms(); len(rooms) > 0 {
		facts = append(facts, drafting.Fact{Name: "Rooms in use", Value: listed(rooms) + ": people are in them during the job"})
	}
	for _, stand := range []string{"scaffold", "platform", "steps"} {
		if rooms := d.roomsWhere(func(p placed) bool { return p.step.Stand == stand }); len(rooms) > 0 {
			facts = append(facts, drafting.Fact{Name: "From " + stand, Value: listed(rooms)})
		}
	}
	if rooms := d.roomsWhere(func(p placed) bool { return p.step.Product != nil && p.step.Product.Family == "oil" }); len(rooms) > 0 {
		facts = append(facts, drafting.Fact{Name: "Oil glaze, solvent", Value: listed(rooms)})
	}
	var old []string
	for _, r := range j.Rooms {
		if r.Old != "" {
			old = append(old, r.Name+" ("+r.Old+")")
		}
	}
	facts = append(facts, drafting.Fact{Name: "On the walls now", Value: strings.Join(old, "; ")})
	drafting.AddFacts(fl, 34, facts...)
	drafting.AddNotice(d.fonts, fl, drafting.Notice{Shape: drafting.HoldShape, Title: "This paper comes second",
		Text: "It repeats what is published or said in the trade, at the place where it is needed. The safety sheet of each product, the local codes for work, fire, waste and height, " +
			"and the word of licensed people come first. Where they differ from this paper, they are right.",
		Defers: "Not worked out here: how much solvent vapour a room will hold, how much air it takes to thin it, and how near it comes to a limit or to catching fire. " +
			"The hours in this paper are hours of work, not hours that are safe to breathe."})
	drafting.AddHead(fl, "What this job brings")
	table := drafting.Table([]draw.Column{{Width: 5}, drafting.Words("", 3), drafting.Words("Rooms", 4), {Title: "First and last day", Width: 42}})
	for _, c := range d.jobCautions() {
		rooms := d.roomsWhere(func(p placed) bool { return p.has(c.ID) })
		if len(rooms) == len(d.plan.Method.Rooms) && len(rooms) > 2 {
			rooms = []string{"all rooms"}
		}
		table.Rows = append(table.Rows, draw.Row{Cells: []draw.Cell{signCell(c.Shape), {Text: c.Title, Bold: true}, {Text: listed(rooms)}, {Text: d.firstAndLast(c.ID)}}})
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

func (d *desk) crewNames() string {
	var names []string
	for _, p := range d.plan.Job.Crew.People {
		names = append(names, p.Name)
	}
	return listed(names)
}

func (d *desk) occupiedRooms() []string {
	var rooms []string
	for _, r := range d.plan.Job.Rooms {
		if r.Occupied {
			rooms = append(rooms, r.Name)
		}
	}
	return rooms
}

// roomsWhere lists the rooms with a step that fits, in walking order.
func (d *desk) roomsWhere(fits func(placed) bool) []string {
	found := map[string]bool{}
	for _, p := range d.placedSteps() {
		if fits(p) {
			found[p.step.Room] = true
		}
	}
	var rooms []string
	for _, r := range d.plan.Method.Rooms {
		if found[r.Name] {
			rooms = append(rooms, r.Name)
		}
	}
	return rooms
}

// firstAndLast are the days between which a caution is needed.
func (d *desk) firstAndLast(caution string) string {
	var first, last time.Time
	for _, p := range d.placedSteps() {
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
	case sameDay(first, last):
		return first.Format("Mon 2 Jan")
	}
	return first.Format("Mon 2 Jan") + " to " + last.Format("Mon 2 Jan")
}

// addAllNotices sets what the plan holds against itself, then every caution whole.
func (d *desk) addAllNotices(fl *draw.Flow) {
	drafting.AddHead(fl, "What to do")
	for _, w := range d.plan.Warnings {
		if w.Hold {
			drafting.AddNotice(d.fonts, fl, drafting.Notice{Shape: drafting.HoldShape, Title: strings.Replace(w.Name, "/", ", ", 1), Text: w.What + " " + w.Do,
				Source: "Found when this job was planned."})
		}
	}
	for _, c := range d.jobCautions() {
		drafting.AddNotice(d.fonts, fl, d.notice(c))
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
func (d *desk) whereAndWhen(book *drafting.Book) {
	fl := book.Part("where and when", d.upright())
	drafting.AddTitle(fl, "Where and when", "Room by room and day by day: the work, its hours, and the cautions that hold while it is done.")
	for _, room := range d.plan.Method.Rooms {
		table := drafting.Table([]draw.Column{{Title: "Day", Width: 19}, {Title: "Hours", Width: 23}, drafting.Words("Work and walls", 1), {Title: "Cautions", Width: 76}})
		last := ""
		for _, r := range d.roomDays(room.Name) {
			day := r.from.Format("Mon 2 Jan")
			cell := draw.Cell{Text: day, Bold: true}
			if day == last {
				cell = draw.Cell{}
			}
			last = day
			work := r.title
			if len(r.walls) > 0 {
				work += ": " + listed(r.walls)
			}
			table.Rows = append(table.Rows, draw.Row{Cells: []draw.Cell{cell, {Text: r.from.Format("15:04") + " to " + r.to.Format("15:04")}, {Text: work}, d.signsCell(r.cautions, 76)}})
		}
		if len(table.Rows) > 0 {
			drafting.AddHead(fl, room.Name)
			fl.Table(table)
		}
	}
}

// signsCell names cautions with their signs in a column of a table, width mm wide.
func (d *desk) signsCell(cautions []*catalog.Caution, width float64) draw.Cell {
	signs := cautionSigns(cautions)
	_, height := d.legendPlaces(signs, width, cautionPitch)
	return draw.Cell{Height: height - 0.6, Draw: func(b draw.Box) []draw.Item {
		b.Y--
		return d.legendItems(signs, b, cautionPitch)
	}}
}

func (d *desk) roomDays(room string) []roomDay {
	var days []roomDay
	for _, p := range d.placedSteps() {
		if p.step.Room != room || len(p.step.Cautions) == 0 {
			continue
		}
		cautions := byShape(p.step.Cautions)
		key := plainTitle(p.step)
		for _, c := range cautions {
			key += " " + c.ID
		}
		for _, piece := range byDay(p.task.Pieces) {
			at := slices.IndexFunc(days, func(r roomDay) bool { return r.key == key && sameDay(r.from, piece.From) })
			if at < 0 {
				at = len(days)
				days = append(days, roomDay{from: piece.From, to: piece.To, title: plainTitle(p.step), cautions: cautions, key: key})
			}
			r := &days[at]
			if piece.To.After(r.to) {
				r.to = piece.To
			}
			if wall := wallName(p.step.Face); wall != "" {
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
func (d *desk) addProductSheets(fl *draw.Flow) {
	drafting.AddTitle(fl, "Products", "Read the product's own safety sheet and technical sheet before the can is opened, keep them on site, and tick.")
	table := drafting.Table([]draw.Column{{Title: "Read", Width: 9}, drafting.Words("Product", 6), drafting.Words("Rooms", 5),
		{Title: "Not below", Width: 15}, {Title: "Not above", Width: 15}, {Title: "Cautions", Width: 64}})
	table.Gap = 3
	for _, p := range d.productsUsed() {
		rooms := d.roomsWhere(func(s placed) bool { return s.step.Product == p || s.step.Let.Thinner == p && s.step.Let.Parts > 0 })
		if len(rooms) == len(d.plan.Method.Rooms) && len(rooms) > 2 {
			rooms = []string{"all rooms"}
		}
		var cautions []*catalog.Caution
		for _, id := range p.Cautions {
			if c := d.plan.Catalog.Cautions[id]; c != nil {
				cautions = append(cautions, c)
			}
		}
		table.Rows = append(table.Rows, draw.Row{Cells: []draw.Cell{
			{Height: 6, Draw: func(b draw.Box) []draw.Item { return []draw.Item{drafting.TickBox(b.X, b.Y, 5.5)} }},
			{Text: p.Name, Bold: true, Note: familyWords(p.Family)}, {Text: listed(rooms)},
			{Text: limitWords(p.MinTemp, func(v float64) string { return unit.Temp(v).String() })},
			{Text: limitWords(p.MaxHumidity, func(v float64) string { return unit.Humidity(v).String() })}, d.signsCell(byShape(cautions), 64)}})
	}
	fl.Table(table)
	drafting.AddNote(fl, "Not below: temperature of air and wall. Not above: relative humidity. "+drafting.FootingKey)
	drafting.AddHead(fl, "Air")
	for _, id := range []string{"ventilation", "solvent-vapour", "ignition"} {
		if c := d.plan.Catalog.Cautions[id]; c != nil && len(d.roomsWhere(func(p placed) bool { return p.has(id) })) > 0 {
			fl.Space(1)
			d.addMarked(fl, drafting.ShapeNamed(c.Shape), c.Title+": "+listed(d.roomsWhere(func(p placed) bool { return p.has(id) }))+". "+c.Text, drafting.Body())
		}
	}
}

// productsUsed are the products of all steps and what thins them, by name.
func (d *desk) productsUsed() []*catalog.Product {
	var list []*catalog.Product
	add := func(p *catalog.Product) {
		if p != nil && p.ID != "water" && !slices.Contains(list, p) {
			list = append(list, p)
		}
	}
	for _, p := range d.placedSteps() {
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
func (d *desk) ragDays() []roomDay {
	var days []roomDay
	for _, p := range d.placedSteps() {
		if !p.has(oilyRags) {
			continue
		}
		for _, piece := range byDay(p.task.Pieces) {
			where := strings.Replace(p.step.Face, "/", ", ", 1)
			if n := len(days); n > 0 && sameDay(days[n-1].from, piece.From) {
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
func (d *desk) addRagLog(fl *draw.Flow, days []roomDay) {
	drafting.AddTitle(fl, "Rag log", "Every rag and paper that has touched oil glaze is counted out and counted back into the can.")
	if c := d.plan.Catalog.Cautions[oilyRags]; c != nil {
		drafting.AddNotice(d.fonts, fl, d.notice(c))
	}
	table := drafting.Table([]draw.Column{{Title: "Day", Width: 20}, drafting.Words("Oil glaze that day on", 1),
		{Title: "Given out", Width: 17}, {Title: "In the can", Width: 17}, {Title: "Can out at", Width: 18}, {Title: "Who", Width: 22}})
	table.Pad = 2.2
	for _, r := range days {
		table.Rows = append(table.Rows, draw.Row{Cells: []draw.Cell{{Text: r.from.Format("Mon 2 Jan"), Bold: true}, {Text: strings.Join(r.walls, "; ")}, {}, {}, {}, {}}})
	}
	for range 4 {
		table.Rows = append(table.Rows, drafting.Row("\u00a0", "", "", "", "", ""))
	}
	fl.Table(table)
	drafting.AddNote(fl, "If the two counts differ, nobody leaves before the missing rag is found.")
}

// addEmergency is lines to fill in on site, and signatures.
func (d *desk) addEmergency(fl *draw.Flow) {
	drafting.AddTitle(fl, "In an emergency", "Fill in on the first morning, before the first can is opened. Walk the way out together.")
	for _, line := range []string{"Emergency call", "Nearest hospital, with the way to it", "Doctor for eyes", "Poison advice", "Address of this site, as told to the caller",
		"Fire assembly point", "Extinguishers, place and kind", "First aid box and eye rinse", "Water, gas and electricity shut off at", "Place of the rag can, outside"} {
		d.addBlank(fl, line, 66)
	}
	drafting.AddHead(fl, "Read and understood")
	fl.Space(1)
	for _, p := range d.plan.Job.Crew.People {
		d.addSignature(fl, p.Name)
	}
	d.addSignature(fl, "For the house")
}

// addBlank is a name with a line to write on.
func (d *desk) addBlank(fl *draw.Flow, name string, width float64) {
	fl.Block(10, func(b draw.Box) []draw.Item {
		return []draw.Item{draw.Label(b.X, b.Y+8, name, drafting.Body(), draw.Left), drafting.WriteOn(b.X+width, b.X+b.W, b.Y+8.6)}
	})
}

// addSignature is a name with lines for a signature and a date.
func (d *desk) addSignature(fl *draw.Flow, name string) {
	fl.Block(12, func(b draw.Box) []draw.Item {
		return []draw.Item{
			draw.Label(b.X, b.Y+9.4, d.cut(name, drafting.Body(), 44), drafting.Body(), draw.Left),
			drafting.WriteOn(b.X+46, b.X+b.W-46, b.Y+10),
			draw.Label(b.X+b.W-44, b.Y+9.4, "date", drafting.Small().Coloured(drafting.Grey), draw.Left),
			drafting.WriteOn(b.X+b.W-35, b.X+b.W, b.Y+10),
		}
	})
}
