package programme

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"scumble/draw"
	"scumble/schedule"
	"scumble/sheets/desk"
	"scumble/sheets/drafting"
	"scumble/sheets/internal/papertest"
)

// titled counts the named groups of a page.
func titled(items []draw.Item, count map[string]int) {
	for _, item := range items {
		if g, ok := item.(draw.Group); ok {
			if g.Title != "" {
				count[g.Title]++
			}
			titled(g.Items, count)
		}
	}
}

func TestEveryPieceOfWorkIsOnceOnTheWeekCharts(t *testing.T) {
	for _, paper := range []string{"A4", "Letter"} {
		d := papertest.DemoDesk(t, paper)
		drawn := map[string]int{}
		for _, p := range papertest.PagesOf(t, d, Programme, "week of") {
			titled(p.Items, drawn)
		}
		for _, task := range d.Plan.Programme.Tasks {
			if drawn[task.Step] != len(task.Pieces) {
				t.Errorf("%s: %s is drawn %d times, it has %d pieces", paper, task.Step, drawn[task.Step], len(task.Pieces))
			}
			delete(drawn, task.Step)
		}
		if len(drawn) > 0 {
			t.Errorf("%s: drawn without a task: %v", paper, drawn)
		}
		whole := map[string]int{}
		for _, p := range papertest.PagesOf(t, d, Programme, "the whole job") {
			titled(p.Items, whole)
		}
		if len(whole) != len(d.Plan.Programme.Tasks) {
			t.Errorf("%s: the whole chart shows %d of %d tasks", paper, len(whole), len(d.Plan.Programme.Tasks))
		}
	}
}

func TestEveryTurnIsOnceOnTheChartByPerson(t *testing.T) {
	d := papertest.DemoDesk(t, "A4")
	drawn, want := map[string]int{}, map[string]int{}
	for _, p := range papertest.PagesOf(t, d, Programme, "by person") {
		titled(p.Items, drawn)
	}
	for _, day := range d.Plan.Programme.Days {
		for _, person := range day.People {
			for _, turn := range person.Turns {
				want[person.Name+": "+turn.Step]++
			}
		}
	}
	if fmt.Sprint(drawn) != fmt.Sprint(want) {
		t.Errorf("drawn %v\nwant %v", drawn, want)
	}
}

// checks are what a day sheet has to tick before work and after it.
var checks = regexp.MustCompile(`Before you begin: |When it is done: |(Check|Work), then (work|check), as on `)

// Every task stands once on the sheet of each of its people and days, with its
// hours, its wall, its mix and its hold.
func TestEveryTaskIsOnTheDaySheetsOfItsPeople(t *testing.T) {
	d := papertest.DemoDesk(t, "A4")
	steps, seen := d.AllSteps(), map[string]int{}
	doc, err := Programme(d)
	if err != nil {
		t.Fatal(err)
	}
	sheets := map[string]string{}
	for _, p := range doc.Pages {
		if text := papertest.SaidOn(p); strings.Contains(text, "Before you go") { // one look tells the evening
			papertest.MustSay(t, text, "Not done, or done otherwise", "doors to wet rooms shut")
		}
		for _, w := range papertest.WordsOn(p)[:6] {
			sheets[w.Text] += " " + papertest.SaidOn(p)
		}
	}
	for _, day := range d.Plan.Programme.Days {
		for _, person := range day.People {
			name := person.Name + ", " + day.Date.Format("Mon 2 Jan")
			text := sheets[name]
			if text == "" {
				t.Fatalf("no sheet for %s", name)
			}
			rest, holds := text, 0
			for _, e := range entries(d, person, steps, d.Tasks()) {
				seen[e.step.ID+" "+person.Name]++
				want := []string{PlaceWords(e.step), e.step.Title}
				if mix, _ := d.MixOf(e.step.ID); mix != nil {
					want = append(want, mix.ID)
				}
				for _, p := range e.pieces {
					at := strings.Index(rest, p.From.Format("15:04")+" to "+p.To.Format("15:04"))
					if at < 0 {
						t.Errorf("%s: %s at %s is missing or out of order", name, e.step.ID, p.From.Format("15:04"))
						continue
					}
					rest = rest[at:]
				}
				papertest.MustSay(t, rest, want...)
				if e.step.Begin != "" && !e.task.Start.Before(day.Date) {
					holds++
					papertest.MustSay(t, text, "Before you begin: "+desk.Lowered(e.step.Begin))
				}
				if e.step.Hold != "" && e.task.End.Before(day.Date.AddDate(0, 0, 1)) {
					holds++
					papertest.MustSay(t, text, "When it is done: "+desk.Lowered(e.step.Hold))
				}
				for _, c := range e.step.Cautions {
					papertest.MustSay(t, text, c.Title+". "+c.Text)
				}
			}
			if got := len(checks.FindAllString(text, -1)); got != holds {
				t.Errorf("%s: %d checks to tick, %d steps have one", name, got, holds)
			}
			papertest.MustSay(t, text, "To have with you: "+toolsOf(entries(d, person, steps, d.Tasks())))
		}
	}
	for _, task := range d.Plan.Programme.Tasks {
		for _, name := range task.People {
			if days := len(desk.ByDay(task.Pieces)); seen[task.Step+" "+name] != days {
				t.Errorf("%s is on %d sheets of %s, worked on %d days", task.Step, seen[task.Step+" "+name], name, days)
			}
		}
	}
}

// A pair is told who lays and who works, the same way on both sheets.
func TestRolesOfAPairAgree(t *testing.T) {
	d := papertest.DemoDesk(t, "A4")
	steps, tasks := d.AllSteps(), d.Tasks()
	pairs := 0
	for _, day := range d.Plan.Programme.Days {
		for _, person := range day.People {
			for _, e := range entries(d, person, steps, tasks) {
				if e.role == "alone" || e.step.Product == nil {
					continue
				}
				pairs++
				lays, works := e.task.People[0], e.task.People[1]
				want := fmt.Sprintf("You lay, %s works.", works)
				if person.Name == works {
					want = fmt.Sprintf("You work, %s lays.", lays)
				}
				if got := roleWords(e); got != want {
					t.Errorf("%s on %s: %q, want %q", person.Name, e.step.ID, got, want)
				}
			}
		}
	}
	if pairs == 0 {
		t.Error("no work for two in the demonstration")
	}
}

// The axis never runs backwards, and an hour of night takes less paper than one of work.
func TestAxisKeepsTheOrderOfTime(t *testing.T) {
	d := papertest.DemoDesk(t, "A4")
	a := timeAxis(d, papertest.Midnight(8), papertest.Midnight(22), 80, 270)
	if a.left() != 80 || math.Abs(a.right()-270) > 1e-9 {
		t.Errorf("from %v to %v", a.left(), a.right())
	}
	hour := func(day, h int) float64 {
		at := papertest.Midnight(day).Add(time.Duration(h) * time.Hour)
		return a.place(at.Add(time.Hour)) - a.place(at)
	}
	if work, night, closed := hour(9, 9), hour(9, 2), hour(13, 12); night >= work/3 || closed >= work/3 || night <= 0 {
		t.Errorf("an hour of work %.2f, of night %.2f, closed %.2f mm", work, night, closed)
	}
	if len(a.days) != 14 || !a.days[5].closed || a.days[4].closed {
		t.Error("13 March 2027 is a Saturday")
	}
	rapid.Check(t, func(t *rapid.T) {
		minutes := rapid.IntRange(-5000, 25000)
		x, y := minutes.Draw(t, "x"), minutes.Draw(t, "y")
		px, py := a.place(papertest.Midnight(8).Add(time.Duration(x)*time.Minute)), a.place(papertest.Midnight(8).Add(time.Duration(y)*time.Minute))
		if x < y && px > py || x > y && px < py {
			t.Fatalf("%d min lies at %v, %d min at %v", x, px, y, py)
		}
	})
}

// Drying has its foot at the earliest and its head at the latest; a near limit
// gets its bracket and a far one none.
func TestDryingAndWindowAreDrawnInTheirPlaces(t *testing.T) {
	d := papertest.DemoDesk(t, "A4")
	hour := func(day, h int) time.Time { return papertest.Midnight(day).Add(time.Duration(h) * time.Hour) }
	task := schedule.Task{Step: d.Plan.Programme.Tasks[0].Step, Start: hour(8, 9), End: hour(8, 10),
		Pieces: []schedule.Piece{{From: hour(8, 9), To: hour(8, 10)}},
		Ready:  schedule.Ready{Earliest: hour(8, 14), Likely: hour(8, 18), Latest: hour(9, 10), Until: hour(11, 10)}}
	c := newChart(d, papertest.Midnight(8), papertest.Midnight(15), draw.Box{X: 20, W: 250})
	c.pitch, c.detail = 6, true
	points := func(task schedule.Task) (all []draw.Point) {
		for _, item := range c.row(chartRow{tasks: []*schedule.Task{&task}}, 100) {
			if p, ok := item.(draw.Path); ok {
				for _, s := range p.Outline {
					all = append(all, s.P[0])
				}
			}
		}
		return all
	}
	has := func(all []draw.Point, x, from, to float64) bool {
		return slices.ContainsFunc(all, func(p draw.Point) bool { return math.Abs(p.X-x) < 1e-6 && p.Y > from && p.Y < to })
	}
	all := points(task)
	if !has(all, c.axis.place(task.Ready.Earliest), 103, 105) || !has(all, c.axis.place(task.Ready.Latest), 100, 102) {
		t.Error("the slant does not run from the earliest at the foot to the latest at the head")
	}
	if !has(all, c.axis.place(task.Ready.Until), 105, 106) || !has(all, c.axis.place(task.Ready.Latest), 105, 106) {
		t.Error("no bracket from the latest to the last hour for the next coat")
	}
	task.Ready.Until = task.End.Add(schedule.LongWindow + time.Hour)
	if has(points(task), c.axis.place(task.Ready.Latest), 105, 106) {
		t.Error("a limit more than ten days away is drawn")
	}
}

func TestVerdictSaysWhatIsProved(t *testing.T) {
	d := papertest.OwnDesk(t, "A4")
	p, prog := *d.Plan, *d.Plan.Programme
	p.Programme, d.Plan = &prog, &p
	prog.SiteDays, prog.Visits, prog.BoundBy, prog.Finish = 9, 1, "drying of the weave", papertest.Midnight(18).Add(14*time.Hour)
	for _, c := range []struct {
		bound int
		want  string
	}{
		{9, "Proved: no plan needs fewer than 9 site days, because of this: drying of the weave."},
		{7, "Within 2 days of the best possible: no plan can need fewer than 7 days, because of this: drying of the weave."},
		{0, ""},
	} {
		prog.Bound = c.bound
		claim, why := verdict(d)
		if claim != "9 site days in 1 visit, ready on Thursday 18 March 2027 at 14:00." || why != c.want {
			t.Errorf("bound %d: %q %q", c.bound, claim, why)
		}
	}
}

// Pages of rows hold every row once, in order, and no more than fit.
func TestRowsArePartedBetweenRooms(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var rows []chartRow
		for room := range rapid.IntRange(0, 12).Draw(t, "rooms") {
			for wall := range rapid.IntRange(1, 9).Draw(t, "walls") {
				rows = append(rows, chartRow{room: fmt.Sprint(room), label: fmt.Sprint(wall)})
			}
		}
		most := rapid.IntRange(1, 20).Draw(t, "most")
		var all []chartRow
		for _, page := range splitRows(rows, most) {
			if len(page) > most || len(page) == 0 && len(rows) > 0 {
				t.Fatalf("a page of %d rows, %d fit", len(page), most)
			}
			all = append(all, page...)
		}
		if fmt.Sprint(all) != fmt.Sprint(rows) {
			t.Fatalf("%v became %v", rows, all)
		}
	})
}

// Every piece of work stands once in the row of its room and once in that of each of its people;
// what is done is drawn solid, in its colour where it is a glaze, and what moved is told.
func TestRoomsAndPeopleAtAGlance(t *testing.T) {
	d := papertest.OwnDesk(t, "A4")
	drawn, want := map[string]int{}, map[string]int{}
	for _, p := range papertest.PagesOf(t, d, Programme, "by room and by person") {
		titled(p.Items, drawn)
	}
	for _, task := range d.Plan.Programme.Tasks {
		want[task.Step] = len(task.Pieces) * (1 + len(task.People))
	}
	if fmt.Sprint(drawn) != fmt.Sprint(want) {
		t.Errorf("drawn %v\nwant %v", drawn, want)
	}

	p, prog := *d.Plan, *d.Plan.Programme
	p.Programme, d.Plan = &prog, &p
	prog.Tasks = slices.Clone(prog.Tasks)
	solid := func() (n int) {
		for _, page := range papertest.PagesOf(t, d, Programme, "the whole job") {
			for _, path := range papertest.Drawn[draw.Path](page.Items) {
				if path.Fill == drafting.Line && path.Stroke.Width == 0 {
					n++
				}
			}
		}
		return n
	}
	before := solid()
	prog.Tasks[0].Done = true
	prog.PlannedFrom = prog.Tasks[0].End
	prog.Moved = []schedule.Move{{Step: prog.Tasks[1].Step, From: prog.Start, To: prog.Start.AddDate(0, 0, 1), Why: "somebody was ill"}}
	if after := solid(); after <= before {
		t.Errorf("%d solid bars, %d before anything was done", after, before)
	}
	var words string
	for _, page := range papertest.PagesOf(t, d, Programme, "what moved") {
		for _, text := range papertest.WordsOn(page) {
			words += text.Text + " "
		}
	}
	if !strings.Contains(words, "Somebody was ill") {
		t.Errorf("what moved is not told: %s", words)
	}
}
