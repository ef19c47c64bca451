package sheets

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"scumble/draw"
	"scumble/job"
	"scumble/method"
	"scumble/schedule"
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

// pagesOf makes a document and returns the pages whose header says where.
func pagesOf(t *testing.T, d *desk, make func(*desk) (draw.Doc, error), where string) []draw.Page {
	t.Helper()
	doc, err := make(d)
	if err != nil {
		t.Fatal(err)
	}
	var pages []draw.Page
	for _, p := range doc.Pages {
		if slices.ContainsFunc(wordsOn(p)[:6], func(w draw.Text) bool { return strings.HasPrefix(w.Text, where) }) {
			pages = append(pages, p)
		}
	}
	if len(pages) == 0 {
		t.Fatalf("no page of %q", where)
	}
	return pages
}

func TestEveryPieceOfWorkIsOnceOnTheWeekCharts(t *testing.T) {
	for _, paper := range []string{"A4", "Letter"} {
		d := demoDesk(t, paper)
		drawn := map[string]int{}
		for _, p := range pagesOf(t, d, (*desk).programme, "week of") {
			titled(p.Items, drawn)
		}
		for _, task := range d.plan.Programme.Tasks {
			if drawn[task.Step] != len(task.Pieces) {
				t.Errorf("%s: %s is drawn %d times, it has %d pieces", paper, task.Step, drawn[task.Step], len(task.Pieces))
			}
			delete(drawn, task.Step)
		}
		if len(drawn) > 0 {
			t.Errorf("%s: drawn without a task: %v", paper, drawn)
		}
		whole := map[string]int{}
		for _, p := range pagesOf(t, d, (*desk).programme, "the whole job") {
			titled(p.Items, whole)
		}
		if len(whole) != len(d.plan.Programme.Tasks) {
			t.Errorf("%s: the whole chart shows %d of %d tasks", paper, len(whole), len(d.plan.Programme.Tasks))
		}
	}
}

func TestEveryTurnIsOnceOnTheChartByPerson(t *testing.T) {
	d := demoDesk(t, "A4")
	drawn, want := map[string]int{}, map[string]int{}
	for _, p := range pagesOf(t, d, (*desk).programme, "by person") {
		titled(p.Items, drawn)
	}
	for _, day := range d.plan.Programme.Days {
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

// Every task stands once on the sheet of each of its people and days, with its
// hours, its wall, its mix and its hold.
func TestEveryTaskIsOnTheDaySheetsOfItsPeople(t *testing.T) {
	d := demoDesk(t, "A4")
	steps, seen := d.allSteps(), map[string]int{}
	doc, err := d.programme()
	if err != nil {
		t.Fatal(err)
	}
	sheets := map[string]string{}
	for _, p := range doc.Pages {
		for _, w := range wordsOn(p)[:6] {
			sheets[w.Text] += " " + saidOn(p)
		}
	}
	for _, day := range d.plan.Programme.Days {
		for _, person := range day.People {
			name := person.Name + ", " + day.Date.Format("Mon 2 Jan")
			text := sheets[name]
			if text == "" {
				t.Fatalf("no sheet for %s", name)
			}
			rest, holds := text, 0
			for _, e := range d.entries(person, steps, d.tasks()) {
				seen[e.step.ID+" "+person.Name]++
				want := []string{placeWords(e.step), e.step.Title}
				if mix, _ := d.mixOf(e.step.ID); mix != nil {
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
				mustSay(t, rest, want...)
				if e.step.Hold != "" {
					holds++
					mustSay(t, text, e.step.Hold)
				}
				for _, c := range e.step.Cautions {
					mustSay(t, text, c.Title+". "+c.Text)
				}
			}
			if got := strings.Count(text, "Hold. ") + strings.Count(text, "Hold and work as on "); got != holds {
				t.Errorf("%s: %d holds to tick, %d steps have one", name, got, holds)
			}
			mustSay(t, text, "Before you go")
		}
	}
	for _, task := range d.plan.Programme.Tasks {
		for _, name := range task.People {
			if days := len(byDay(task.Pieces)); seen[task.Step+" "+name] != days {
				t.Errorf("%s is on %d sheets of %s, worked on %d days", task.Step, seen[task.Step+" "+name], name, days)
			}
		}
	}
}

// A pair is told who lays and who works, the same way on both sheets.
func TestRolesOfAPairAgree(t *testing.T) {
	d := demoDesk(t, "A4")
	steps, tasks := d.allSteps(), d.tasks()
	pairs := 0
	for _, day := range d.plan.Programme.Days {
		for _, person := range day.People {
			for _, e := range d.entries(person, steps, tasks) {
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

func midnight(day int) time.Time { return time.Date(2027, 3, day, 0, 0, 0, 0, time.UTC) }

// The axis never runs backwards, and an hour of night takes less paper than one of work.
func TestAxisKeepsTheOrderOfTime(t *testing.T) {
	d := demoDesk(t, "A4")
	a := d.timeAxis(midnight(8), midnight(22), 80, 270)
	if a.left() != 80 || math.Abs(a.right()-270) > 1e-9 {
		t.Errorf("from %v to %v", a.left(), a.right())
	}
	hour := func(day, h int) float64 {
		at := midnight(day).Add(time.Duration(h) * time.Hour)
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
		px, py := a.place(midnight(8).Add(time.Duration(x)*time.Minute)), a.place(midnight(8).Add(time.Duration(y)*time.Minute))
		if x < y && px > py || x > y && px < py {
			t.Fatalf("%d min lies at %v, %d min at %v", x, px, y, py)
		}
	})
}

// Drying has its foot at the earliest and its head at the latest; a near limit
// gets its bracket and a far one none.
func TestDryingAndWindowAreDrawnInTheirPlaces(t *testing.T) {
	d := demoDesk(t, "A4")
	hour := func(day, h int) time.Time { return midnight(day).Add(time.Duration(h) * time.Hour) }
	task := schedule.Task{Step: d.plan.Programme.Tasks[0].Step, Start: hour(8, 9), End: hour(8, 10),
		Pieces: []schedule.Piece{{From: hour(8, 9), To: hour(8, 10)}},
		Ready:  schedule.Ready{Earliest: hour(8, 14), Likely: hour(8, 18), Latest: hour(9, 10), Until: hour(11, 10)}}
	c := d.newChart(midnight(8), midnight(15), draw.Box{X: 20, W: 250})
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
	task.Ready.Until = task.End.Add(longWindow + time.Hour)
	if has(points(task), c.axis.place(task.Ready.Latest), 105, 106) {
		t.Error("a limit more than ten days away is drawn")
	}
}

func TestVerdictSaysWhatIsProved(t *testing.T) {
	d := *demoDesk(t, "A4")
	p, prog := *d.plan, *d.plan.Programme
	p.Programme, d.plan = &prog, &p
	prog.SiteDays, prog.Visits, prog.BoundBy, prog.Finish = 9, 1, "drying of the weave", midnight(18).Add(14*time.Hour)
	for _, c := range []struct {
		bound int
		want  string
	}{
		{9, "Proved: no plan needs fewer, because of this: drying of the weave."},
		{7, "No plan can need fewer than 7 days, because of this: drying of the weave. Whether one with fewer than 9 exists is not proved."},
		{0, ""},
	} {
		prog.Bound = c.bound
		claim, why := d.verdict()
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

// placedWords is the lettering with groups moved to their place.
func placedWords(items []draw.Item, by []draw.Transform) []draw.Text {
	var out []draw.Text
	for _, item := range items {
		switch it := item.(type) {
		case draw.Text:
			for _, tr := range slices.Backward(by) {
				it.At = tr.Apply(it.At)
			}
			out = append(out, it)
		case draw.Group:
			out = append(out, placedWords(it.Items, append(slices.Clone(by), it.Place))...)
		}
	}
	return out
}

// No word runs off the paper, with names as long as people make them.
func TestSitePapersStayOnThePaper(t *testing.T) {
	long := settingOutDesk(t, "Letter", func(j *job.Job) {
		for i := range j.Rooms {
			j.Rooms[i].Name += " with the gallery over it and the closet behind"
		}
		j.Crew.People[0].Name = "Wilhelmina-Theodora Featherstonehaugh"
	})
	for _, d := range []*desk{demoDesk(t, "A4"), demoDesk(t, "Letter"), long} {
		for _, make := range []func(*desk) (draw.Doc, error){(*desk).programme, (*desk).safety, (*desk).inspection} {
			doc, err := make(d)
			if err != nil {
				t.Fatal(err)
			}
			for i, p := range doc.Pages {
				for _, w := range placedWords(p.Items, nil) {
					wide := d.fonts.Width(w.Text, w.Style)
					from := w.At.X - map[draw.Align]float64{draw.Right: wide, draw.Centre: wide / 2}[w.Align]
					if from < 15 || from+wide > p.W-11 || w.At.Y < 8 || w.At.Y > p.H-3 {
						t.Errorf("%s, %s, page %d: %q runs off the paper", doc.Title, d.paper, i+1, w.Text)
					}
				}
			}
		}
	}
}

func BenchmarkSitePapers(b *testing.B) {
	p, err := demoPlan()
	if err != nil {
		b.Fatal(err)
	}
	d := &desk{plan: p, fonts: demoFonts, paper: "A4"}
	for name, make := range map[string]func(*desk) (draw.Doc, error){"programme": (*desk).programme, "safety": (*desk).safety, "inspection": (*desk).inspection} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := pdf(make)(d); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// A job without work still has its papers.
func TestSitePapersOfAJobWithoutWork(t *testing.T) {
	d := *demoDesk(t, "A4")
	p := *d.plan
	p.Method, p.Programme, d.plan = &method.Method{}, &schedule.Programme{Start: midnight(8), Finish: midnight(8), BoundBy: "there is no work"}, &p
	for _, make := range []func(*desk) (draw.Doc, error){(*desk).programme, (*desk).safety, (*desk).inspection} {
		if doc, err := make(&d); err != nil || len(doc.Pages) == 0 {
			t.Error(doc.Title, err)
		}
	}
	if content, err := d.calendar(); err != nil || !strings.HasSuffix(string(content), "END:VCALENDAR\r\n") {
		t.Error(err)
	}
}
