package programme

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
)

// entry is one step on a day sheet with all its stretches of that day.
type entry struct {
	step   *method.Step
	task   *schedule.Task
	role   string
	pieces []schedule.Piece
}

// begins reports whether the step is begun on a day, and not gone on with.
func (e entry) begins(date time.Time) bool { return !e.task.Start.Before(date) }

// ends reports whether the step is finished on a day.
func (e entry) ends(date time.Time) bool { return e.task.End.Before(date.AddDate(0, 0, 1)) }

// daySheets are the sheets people carry: one for each person and day.
func daySheets(d *desk.Desk, book *drafting.Book) {
	steps, tasks := d.AllSteps(), d.Tasks()
	for i, day := range d.Plan.Programme.Days {
		for _, person := range day.People {
			daySheet(d, book, i, person, entries(d, person, steps, tasks))
		}
	}
}

// entries gathers the turns of a day by step, in order.
func entries(d *desk.Desk, person schedule.PersonDay, steps map[string]*method.Step, tasks map[string]*schedule.Task) []entry {
	var list []entry
	for _, turn := range person.Turns {
		piece := schedule.Piece{From: turn.From, To: turn.To}
		if at := slices.IndexFunc(list, func(e entry) bool { return e.step.ID == turn.Step }); at >= 0 {
			list[at].pieces = append(list[at].pieces, piece)
			continue
		}
		list = append(list, entry{steps[turn.Step], tasks[turn.Step], turn.Role, []schedule.Piece{piece}})
	}
	return list
}

func daySheet(d *desk.Desk, book *drafting.Book, number int, person schedule.PersonDay, list []entry) {
	day := d.Plan.Programme.Days[number]
	fl := book.Part(person.Name+", "+day.Date.Format("Mon 2 Jan"), d.Upright())
	fl.Heading(person.Name+", "+day.Date.Format("Monday 2 January"), drafting.Title().Sized(20))
	last := list[len(list)-1].pieces
	said := fmt.Sprintf("Site day %d of %d. %s to %s.", number+1, d.Plan.Programme.SiteDays,
		list[0].pieces[0].From.Format("15:04"), last[len(last)-1].To.Format("15:04"))
	if others := othersOf(day, person.Name); others != "" {
		said += " On site with " + others + "."
	}
	say(fl, said, drafting.Lead().Sized(10.5))
	say(fl, nextFirst(d, number, person.Name), dayText)
	say(fl, "To have with you: "+toolsOf(list)+".", drafting.Small())
	if buckets := bucketsOf(d, list); buckets != "" {
		say(fl, "Buckets: "+buckets+".", drafting.Small())
	}
	fl.Space(0.6)
	if air := airOf(d, list); air != "" {
		d.AddCheck(fl, "Air read. Counted on: "+air+". Colder or damper, all dries later than it says here.", dayText, 3.2)
	}
	fl.Space(1)
	already := &told{how: map[string]string{}, cautions: map[string]bool{}}
	for _, e := range list {
		addEntry(d, fl, e, list, day.Date, already)
	}
	fl.Rule(drafting.Floor())
	addTakeCare(d, fl, list)
	addEvening(d, fl, number, person.Name, list)
}

// toolsOf are the tools and goods of the day, each once, in order of need.
func toolsOf(list []entry) string {
	var names []string
	for _, e := range list {
		for _, g := range slices.Concat(e.step.Tools, e.step.Goods) {
			if name := desk.Lowered(g.Name); !slices.Contains(names, name) {
				names = append(names, name)
			}
		}
	}
	return strings.Join(names, "; ")
}

func othersOf(day schedule.Day, name string) string {
	var names []string
	for _, p := range day.People {
		if p.Name != name {
			names = append(names, p.Name)
		}
	}
	return desk.Listed(names)
}

// The type of a day sheet, read at arm's length.
var (
	dayWall = draw.Style{Size: 12.5, Bold: true, Colour: drafting.Ink, Leading: 1.15}
	dayText = draw.Style{Size: 9, Colour: drafting.Ink, Leading: 1.2}
	dayLaid = draw.Style{Size: 8, Colour: drafting.Ink, Leading: 1.17}
	dayMix  = draw.Style{Size: 8.5, Colour: drafting.Ink, Leading: 1.2}
)

// told is what a day sheet has said already; the same work on the next wall only
// points back to it.
type told struct {
	how      map[string]string // words of the work -> where they stand
	cautions map[string]bool
}

// addEntry sets one turn: box, hours and wall, work, mix.
func addEntry(d *desk.Desk, fl *draw.Flow, e entry, list []entry, date time.Time, t *told) {
	fl.Rule(drafting.Fine())
	fl.Space(0.6)
	key := strings.Join(workWords(e), "\n") + e.step.Begin + e.step.Hold
	first := t.how[key]
	if first == "" && e.begins(date) && e.ends(date) { // with all its checks
		t.how[key] = PlaceWords(e.step)
	}
	drafting.AddSides(d.Fonts, fl, 3,
		drafting.Side{Width: 7, Fill: func(side *draw.Flow) {
			side.Block(7, func(b draw.Box) []draw.Item { return []draw.Item{drafting.TickBox(b.X, b.Y+0.4, 6.4)} })
		}},
		drafting.Side{Fill: func(side *draw.Flow) { fillEntry(d, side, e, list, date, first, t) }},
		drafting.Side{Width: 43, Fill: func(side *draw.Flow) { fillMix(d, side, e, first == "") }},
	)
	fl.Space(0.6)
}

// addHoursAndPlace heads a turn: its hours, and the wall beside them, or beneath
// them where the line is too short.
func addHoursAndPlace(d *desk.Desk, side *draw.Flow, e entry) {
	const column = 37
	var stretches []string
	for _, p := range e.pieces {
		stretches = append(stretches, p.From.Format("15:04")+" to "+p.To.Format("15:04"))
	}
	hours, place := strings.Join(stretches, ", "), PlaceWords(e.step)
	at := max(column, d.Fonts.Width(hours, dayWall)+4)
	if at+d.Fonts.Width(place, dayWall) > side.Body().W {
		say(side, hours, dayWall)
		say(side, place, dayWall)
		return
	}
	base := d.Fonts.Lines(hours, dayWall, at).Baseline()
	side.Block(dayWall.LineHeight(), func(b draw.Box) []draw.Item {
		return []draw.Item{draw.Label(b.X, b.Y+base, hours, dayWall, draw.Left), draw.Label(b.X+at, b.Y+base, place, dayWall, draw.Left)}
	})
}

// say sets a line of an entry closer than running text.
func say(side *draw.Flow, words string, style draw.Style) { side.Hanging("", words, style, 0) }

// fillMix says where to stand, which bucket and how much of it; in short where the
// sheet has said it before.
func fillMix(d *desk.Desk, side *draw.Flow, e entry, whole bool) {
	stand := ""
	if e.step.Stand != "" && e.step.Stand != "floor" {
		stand = "Stand: " + e.step.Stand + "."
	}
	head, rest, _ := strings.Cut(d.MixWords(*e.step), "\n")
	if !whole {
		head, _, _ = strings.Cut(head, " ")
		if head != "" && stand != "" {
			head += ". "
		}
		head, stand = head+stand, ""
	}
	for _, words := range []string{head, stand} {
		if words != "" {
			say(side, words, dayMix.InBold())
		}
	}
	switch {
	case rest == "":
	case e.role == "works": // one fills the tray, or it is filled twice
		say(side, "filled by "+e.task.People[0], dayMix)
	case len(desk.ByDay(e.task.Pieces)) > 1:
		say(side, rest+"\nin all, over "+desk.Counted(len(desk.ByDay(e.task.Pieces)), "day", "days"), dayMix)
	default:
		say(side, rest, dayMix)
	}
}

// PlaceWords say where a step is done: room and wall, or the room.
func PlaceWords(s *method.Step) string {
	if wall := desk.WallName(s.Face); wall != "" {
		return s.Room + ", " + wall
	}
	return s.Room
}

// fillEntry says where, what, with whom, and what must be so before it starts.
func fillEntry(d *desk.Desk, side *draw.Flow, e entry, list []entry, date time.Time, first string, t *told) {
	s := e.step
	addHoursAndPlace(d, side, e)
	title := s.Title + "."
	if s.Number > 0 && s.Face != "" {
		title = fmt.Sprintf("Step %d: %s.", s.Number, s.Title)
	}
	if e.role != "alone" {
		title += " " + roleWords(e)
	}
	say(side, title, dayText.InBold())
	if hand := together(e, list); hand != "" {
		say(side, hand, dayText)
	}
	if e.begins(date) {
		addWaits(d, side, e)
	} else {
		say(side, "Go on where "+e.task.Start.Format("Monday")+" ended.", dayText)
	}
	if wet := wetBeside(d, s, e.pieces[0].From); len(wet) > 0 {
		say(side, "Wet in this room: "+strings.Join(wet, "; ")+".", dayText)
	}
	before, after := s.Begin != "" && e.begins(date), s.Hold != "" && e.ends(date)
	switch {
	case first == "":
		addWork(d, side, e, before, after)
	case before && after:
		addHold(d, side, "Check, work, and check again, as on "+first+".", false)
	case before:
		addHold(d, side, "Check, then work, as on "+first+".", false)
	case after:
		addHold(d, side, "Work, then check, as on "+first+".", false)
	default:
		say(side, "Work as on "+first+".", dayText)
	}
	var fresh []*catalog.Caution
	for _, c := range desk.ByShape(s.Cautions) {
		if !t.cautions[c.ID] || first == "" && c.Shape == "hold" { // a sign on every entry is a sign on none
			fresh = append(fresh, c)
		}
		t.cautions[c.ID] = true
	}
	addCautionSigns(d, side, fresh)
}

// addWork sets the instructions in full, with what is checked before and after.
func addWork(d *desk.Desk, side *draw.Flow, e entry, before, after bool) {
	if before {
		addHold(d, side, "Before you begin: "+desk.Lowered(e.step.Begin), true)
	}
	lines := workWords(e)
	if e.step.WetEdge {
		lines = append(lines, "Keep the edge wet: no stop before a corner.")
	}
	say(side, strings.Join(lines, "\n"), dayText)
	if after {
		addHold(d, side, "When it is done: "+desk.Lowered(e.step.Hold), true)
	}
}

// roleWords say who does which part of work for two.
func roleWords(e entry) string {
	verb, other := "lay", "works"
	if e.role == "works" {
		verb, other = "work", "lays"
	}
	names := e.task.People
	who := desk.Listed(slices.DeleteFunc(slices.Clone(names), func(n string) bool {
		return e.role == "lays" && n == names[0] || e.role == "works" && n != names[0]
	}))
	if e.step.Product == nil || e.step.Lays == "" {
		return "With " + who + "."
	}
	return fmt.Sprintf("You %s, %s %s.", verb, who, other)
}

// workWords are the instructions for one role.
func workWords(e entry) []string {
	s := e.step
	lines := []string{s.Do}
	switch {
	case s.Product == nil && s.Lays != "" && s.Works != "":
		lines = append(lines, "One "+desk.Small(s.Lays)+" The other "+desk.Small(s.Works))
	case e.role == "lays" && s.Lays != "":
		lines = append(lines, "Who lays "+desk.Small(s.Lays))
	case e.role == "works" && s.Works != "":
		lines = append(lines, "Who works "+desk.Small(s.Works))
	}
	if s.Edges != "" {
		lines = append(lines, "Edges: "+s.Edges)
	}
	if s.Dwell.High > 0 {
		lines = append(lines, fmt.Sprintf("Leave it %s.", s.Dwell.Times(60).Words(0, "min")))
	}
	return lines
}

// addWaits lists what must be dry or done before a step, with its hour; of a limit that is weeks
// away nothing is said, as on the charts.
func addWaits(d *desk.Desk, side *draw.Flow, e entry) {
	s, tasks := e.step, d.Tasks()
	for _, w := range s.Waits {
		on := tasks[w.On]
		if on == nil {
			continue
		}
		name, _, _ := strings.Cut(strings.ToLower(on.Title), ",") // the colour is seen
		if on.Face != s.Face && on.Face != "" {
			name += " on " + desk.WallName(on.Face)
		}
		words := ""
		if w.From.High > 0 && !on.Ready.Latest.IsZero() {
			when := desk.BetweenWords(on.Ready.Earliest, on.Ready.Latest)
			if on.Ready.Latest.Before(e.task.Start.Truncate(24 * time.Hour)) { // then only the slow end is of use
				when = "since " + desk.HourOf(on.Ready.Latest) + " at the latest"
			}
			words = fmt.Sprintf("Dry: %s, %s.", name, when)
		}
		if w.Until > 0 && !on.Ready.Until.IsZero() && on.Ready.Until.Sub(e.task.Start) <= schedule.LongWindow {
			words += fmt.Sprintf(" Start by %s.", desk.HourOf(on.Ready.Until))
		}
		if words != "" {
			d.AddCheck(side, strings.TrimSpace(words), dayText, 3.2)
		}
	}
}

// addHold is a check that stops the work until it is ticked.
func addHold(d *desk.Desk, side *draw.Flow, words string, bold bool) {
	style := dayText
	style.Bold = bold
	drafting.AddSides(d.Fonts, side, 1.6,
		drafting.Side{Width: 3.4, Fill: func(mark *draw.Flow) {
			mark.Block(4, func(b draw.Box) []draw.Item { return drafting.HoldShape.Mark(b.X+1.7, b.Y+2.2, 3.4) })
		}},
		drafting.Side{Fill: func(text *draw.Flow) { d.AddCheck(text, words, style, 3.2) }})
}

// addCautionSigns names the cautions of a step; their words stand at the end of
// the sheet.
func addCautionSigns(d *desk.Desk, side *draw.Flow, cautions []*catalog.Caution) {
	if len(cautions) == 0 {
		return
	}
	signs := desk.CautionSigns(cautions)
	_, height := d.LegendPlaces(signs, side.Body().W, desk.CautionPitch)
	side.Block(height+0.6, func(b draw.Box) []draw.Item { return d.LegendItems(signs, b, desk.CautionPitch) })
}

// addTakeCare sets the cautions of the day in full, each once.
func addTakeCare(d *desk.Desk, fl *draw.Flow, list []entry) {
	var steps []method.Step
	for _, e := range list {
		steps = append(steps, *e.step)
	}
	cautions := desk.ByShape(desk.CautionsOf(steps))
	if len(cautions) == 0 {
		return
	}
	fl.Keep(func() {
		drafting.AddHead(fl, "Take care today")
		fl.Space(0.6)
		d.AddCautionColumns(fl, cautions, false)
		drafting.AddNote(fl, "The product's own sheet, local codes and licensed practice come first. Sources stand in the safety sheet.")
	})
}

// addEvening closes the day: clean-up, what dries until when, and what is not done.
func addEvening(d *desk.Desk, fl *draw.Flow, number int, name string, list []entry) {
	fl.Keep(func() {
		drafting.AddHead(fl, "Before you go")
		fl.Space(1)
		for _, line := range append(cleanUp(d, list), forTomorrow(d, number, name)...) {
			d.AddCheck(fl, line, dayText, 4)
			fl.Space(0.3)
		}
		if table := laidTable(d, number, list); len(table.Rows) > 0 {
			fl.Space(1)
			fl.Table(table)
		}
		fl.Block(6.4, func(b draw.Box) []draw.Item {
			return []draw.Item{draw.Label(b.X, b.Y+5, "Not done, or done otherwise:", drafting.Small(), draw.Left), drafting.WriteOn(b.X+48, b.X+b.W, b.Y+5.4)}
		})
	})
}

// laidTable lists the coats that lie outermost in the evening, and when each is dry.
func laidTable(d *desk.Desk, number int, list []entry) draw.Table {
	table := drafting.Table([]draw.Column{drafting.Words("What you laid today", 1),
		{Title: "Dry at the earliest", Width: 30}, {Title: "At the latest", Width: 30}, {Title: "Next coat by", Width: 30}})
	table.Pad, table.Style = 0.3, dayLaid
	for i, e := range list {
		covered := slices.ContainsFunc(list[i+1:], func(l entry) bool { return l.step.Face == e.step.Face && l.step.Product != nil })
		if ready := e.task.Ready; !covered && !ready.Latest.IsZero() && desk.SameDay(e.task.End, d.Plan.Programme.Days[number].Date) {
			by := ""
			if !ready.Until.IsZero() {
				by = desk.HourOf(ready.Until)
			}
			table.Rows = append(table.Rows, drafting.Row(strings.Replace(e.step.Face, "/", ", ", 1)+": "+desk.StepName(e.step.ID), desk.HourOf(ready.Earliest), desk.HourOf(ready.Latest), by))
		}
	}
	return table
}

// cleanUp says what to wash in what, and where the rags go.
func cleanUp(d *desk.Desk, list []entry) []string {
	oil, water, filler := false, false, false
	var rags *catalog.Caution
	for _, e := range list {
		if p := e.step.Product; p != nil {
			oil = oil || p.Family == "oil"
			water = water || p.Family == "water" || p.Family == "metallic"
			filler = filler || e.step.Kind == method.Fill
		}
		for _, c := range e.step.Cautions {
			if c.ID == "oily-rags" {
				rags = c
			}
		}
	}
	var lines []string
	if water || filler {
		lines = append(lines, "Tools of water-borne coats washed with water, where the house allows it.")
	}
	if oil {
		lines = append(lines, "Tools of oil glaze cleaned with thinner in the open air; used thinner in a closed can.")
	}
	if rags != nil {
		lines = append(lines, "Rags with oil glaze: ____ given out, ____ counted into the can; lid on, can out of the building, rag log written.")
	}
	return append(lines, "Lids and labels on, mixes in their place, doors to wet rooms shut and marked.")
}

// nextFirst says what comes first when this person is next on site.
func nextFirst(d *desk.Desk, number int, name string) string {
	steps := d.AllSteps()
	for _, day := range d.Plan.Programme.Days[number+1:] {
		for _, p := range day.People {
			if p.Name == name && len(p.Turns) > 0 {
				turn := p.Turns[0]
				s := steps[turn.Step]
				return fmt.Sprintf("Next for you: %s at %s. %s: %s.", day.Date.Format("Monday 2 January"), turn.From.Format("15:04"), PlaceWords(s), s.Title)
			}
		}
	}
	return "This was your last day on this job."
}
