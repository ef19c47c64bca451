package wall

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"scumble/draw"
	"scumble/drying"
	"scumble/geom"
	"scumble/sheets/drafting"
	"scumble/sheets/internal/papertest"
	"scumble/wetedge"
)

// pagesOf are the pages of a sheet made for one wall.
func pagesOf(t *testing.T, paper string, make func(book *drafting.Book)) []draw.Page {
	t.Helper()
	book := papertest.DemoDesk(t, paper).Book("Method")
	make(book)
	return book.Doc("").Pages
}

// onPage fails for lettering that lies outside the body of a page or is too small to read.
func onPage(t *testing.T, where string, pages []draw.Page) {
	t.Helper()
	for _, p := range pages {
		for _, w := range papertest.PlacedWords(p.Items, nil) {
			half := 0.0
			if w.Align == draw.Centre && w.Rotate == 0 {
				half = papertest.DemoFonts.Width(w.Text, w.Style) / 2
			}
			if w.At.X-half < 10 || w.At.X+half > p.W-10 || w.At.Y < 5 || w.At.Y > p.H-5 {
				t.Errorf("%s: %q lies at %.1f, %.1f, off the page", where, w.Text, w.At.X, w.At.Y)
			}
			if w.Style.Size < 7 {
				t.Errorf("%s: %q is set in %.1f points", where, w.Text, w.Style.Size)
			}
		}
	}
}

// Every step that keeps a wet edge has a page with its sections, joints, verdict, chance and
// what helps most, on either paper.
func TestPairPageSaysWhatTheAnswerSays(t *testing.T) {
	for _, paper := range []string{"A4", "Letter"} {
		d := papertest.DemoDesk(t, paper)
		pages, single := 0, 0
		for i := range d.Plan.Method.Faces {
			face := &d.Plan.Method.Faces[i]
			for _, step := range wetedge.Steps(face) {
				a, err := d.Pair(step.ID)
				if err != nil {
					t.Fatal(err)
				}
				made := pagesOf(t, paper, func(book *drafting.Book) { pairSheet(d, book, face, step) })
				if pages++; len(made) == 1 {
					single++
				}
				onPage(t, paper+" "+step.ID, made)
				text := papertest.SaidOn(made...)
				papertest.MustSay(t, text, a.Verdict, a.Advice, a.Mind, wetedge.InHundred(a.Chance.Likely), a.At.Format("15:04"), strings.Join(a.Rests[:3], " "))
				for _, name := range a.Names {
					papertest.MustSay(t, text, name)
				}
				for n, h := range a.Helps[:min(3, len(a.Helps))] {
					papertest.MustSay(t, text, h.Do, h.Cost)
					if n == 2 && len(a.Helps) > 3 && strings.Contains(text, papertest.PlainSpaces(a.Helps[3].Do)) {
						t.Errorf("%s says more than three things that help", step.ID)
					}
				}
			}
		}
		if single*4 < pages*3 {
			t.Errorf("%s: only %d of %d walls go on one page", paper, single, pages)
		}
	}
}

// On the map each section is numbered once and each joint has its letter once, the weakest in
// the one triangle; in the chart of joints each stands once more.
func TestMapNumbersEverySectionOnceAndLettersEveryJoint(t *testing.T) {
	d := papertest.DemoDesk(t, "A4")
	most := 0
	for i := range d.Plan.Method.Faces {
		for _, step := range wetedge.Steps(&d.Plan.Method.Faces[i]) {
			a, err := d.Pair(step.ID)
			if err != nil {
				t.Fatal(err)
			}
			p := &pairPage{d, &d.Plan.Method.Faces[i], a}
			drawing := p.sections().Draw(d.Fonts, 174, 104)
			bold, letters := map[string]int{}, map[string]int{}
			for _, w := range papertest.Drawn[draw.Text](drawing.Items) {
				if w.Style.Bold && w.Style.Size > 8 {
					bold[w.Text]++
				} else {
					letters[w.Text]++
				}
			}
			for _, s := range a.Layout.Pieces {
				if n := bold[fmt.Sprint(s.Number)]; n != 1 {
					t.Errorf("%s: section %d is numbered %d times", step.ID, s.Number, n)
				}
			}
			most = max(most, len(a.Layout.Pieces))
			column := p.jointColumn(a.Joints, 0, draw.Box{W: 170, H: 900})
			for _, j := range a.Joints {
				if j.B > 0 && letters[j.Letter] != 1 {
					t.Errorf("%s: joint %s stands %d times on the map", step.ID, j.Letter, letters[j.Letter])
				}
				listed := slices.DeleteFunc(papertest.Drawn[draw.Text](column), func(w draw.Text) bool { return w.Text != j.Letter })
				if len(listed) != 1 {
					t.Errorf("%s: joint %s stands %d times in the chart", step.ID, j.Letter, len(listed))
				}
			}
		}
	}
	if most < 50 {
		t.Errorf("the largest wall has %d sections; the test wants one with many", most)
	}
}

// Every section is named in the chart of turns where it is laid and where it is worked, and
// every bar lies in the line its minutes belong to.
func TestTurnChartNamesEverySection(t *testing.T) {
	d := papertest.DemoDesk(t, "Letter")
	for i := range d.Plan.Method.Faces {
		for _, step := range wetedge.Steps(&d.Plan.Method.Faces[i]) {
			a, err := d.Pair(step.ID)
			if err != nil {
				t.Fatal(err)
			}
			for _, room := range []float64{10, 200} {
				c := newTurnChart(d, a, 176, room)
				said := map[string]int{}
				for n := 0; float64(n)*c.each < a.Minutes; n++ {
					for _, w := range papertest.Drawn[draw.Text](c.line(draw.Box{W: 176}, n)) {
						if w.Style.Bold {
							said[w.Text]++
						}
					}
				}
				for _, s := range a.Layout.Pieces {
					if n := said[fmt.Sprint(s.Number)]; n < 2 {
						t.Errorf("%s: section %d is named %d times in the chart, not where it is laid and where it is worked", step.ID, s.Number, n)
					}
				}
			}
		}
	}
}

// One person has one row, and a third hand a row of its own.
func TestTurnChartHasARowForEachPerson(t *testing.T) {
	d := papertest.DemoDesk(t, "A4")
	p := d.Plan
	step := wetedge.Steps(&p.Method.Faces[0])[0].ID
	for people := 1; people <= 3; people++ {
		a, err := wetedge.Ask(wetedge.Parts{Job: p.Job, Catalog: p.Catalog, Survey: p.Survey, SetOut: p.SetOut, Method: p.Method, Programme: p.Programme}, wetedge.Question{Step: step, People: people})
		if err != nil {
			t.Fatal(err)
		}
		c := newTurnChart(d, a, 170, 60)
		turns := 0
		for _, r := range c.rows {
			turns += len(r.turns)
		}
		if len(c.rows) != people || turns != len(a.Turns) {
			t.Errorf("%d people: %d rows with %d of %d turns", people, len(c.rows), turns, len(a.Turns))
		}
		text := papertest.SaidOn(draw.Page{Items: c.line(draw.Box{W: 170}, 0)})
		for _, name := range a.Names {
			papertest.MustSay(t, text, name)
		}
	}
}

// The setting-out drawing and the page of the pair part a wall alike.
func TestSettingOutShowsTheSectionsOfThePair(t *testing.T) {
	d := papertest.DemoDesk(t, "A4")
	face := &d.Plan.Method.Faces[0]
	a, err := d.Pair(wetedge.Steps(face)[0].ID)
	if err != nil {
		t.Fatal(err)
	}
	page := papertest.SaidOn(papertest.PagesOf(t, d, SettingOut, strings.Replace(face.ID, "/", ", ", 1))...)
	papertest.MustSay(t, page, fmt.Sprintf("%d, the first", len(a.Layout.Pieces)))
}

// The drying of every coat begins where its work ends, and its end leans from the earliest
// to the latest; nothing of it lies left of the days it belongs to.
func TestDryingBeginsWhereTheTaskEnds(t *testing.T) {
	d := papertest.DemoDesk(t, "A4")
	coats := 0
	for i := range d.Plan.Method.Faces {
		face := &d.Plan.Method.Faces[i]
		p := newDryPage(d, face)
		if p == nil {
			t.Fatalf("%s has no page of its coats", face.ID)
		}
		a := &dayAxis{desk: d, days: p.days(), left: 43, scale: 1.5}
		for _, c := range p.coats {
			coats++
			under, over := p.bars(a, c, 10, 16)
			drying, work := bounds(papertest.Drawn[draw.Path](under)[0]), bounds(papertest.Drawn[draw.Path](over)[len(c.task.Pieces)-1])
			if drying.Min.X != a.place(c.task.End) {
				t.Errorf("%s: drying begins at %.2f, its work ends at %.2f", c.step.ID, drying.Min.X, a.place(c.task.End))
			}
			if work.Max.X < drying.Min.X-0.01 || work.Min.X > drying.Min.X {
				t.Errorf("%s: the last work from %.2f to %.2f does not touch its drying from %.2f", c.step.ID, work.Min.X, work.Max.X, drying.Min.X)
			}
			if want := a.place(c.task.Ready.Latest); drying.Max.X != want || a.place(c.task.Ready.Earliest) > want {
				t.Errorf("%s: drying ends at %.2f, not at %.2f", c.step.ID, drying.Max.X, want)
			}
		}
	}
	if coats < 50 {
		t.Errorf("only %d coats looked at", coats)
	}
}

func bounds(p draw.Path) geom.Bounds {
	var all geom.Polygon
	for _, s := range p.Outline[:len(p.Outline)-1] { // the last closes it
		all = append(all, geom.Point{X: s.P[0].X, Y: s.P[0].Y})
	}
	return all.Bounds()
}

// The page of the coats names every coat with its moments, the limits of the air, and keeps to
// the page; the axis never runs backwards.
func TestDryPageSaysEveryCoat(t *testing.T) {
	for _, paper := range []string{"A4", "Letter"} {
		d := papertest.DemoDesk(t, paper)
		for i := range d.Plan.Method.Faces {
			face := &d.Plan.Method.Faces[i]
			pages := pagesOf(t, paper, func(book *drafting.Book) { drySheet(d, book, face) })
			onPage(t, paper+" "+face.ID, pages)
			if len(pages) > 2 {
				t.Errorf("%s: %s takes %d pages", paper, face.ID, len(pages))
			}
			text := papertest.SaidOn(pages...)
			p := newDryPage(d, face)
			for _, c := range p.coats {
				papertest.MustSay(t, text, c.step.Title, c.task.Start.Format("15:04"), c.task.Ready.Earliest.Format("Mon 2 Jan, 15:04"), c.task.Ready.Latest.Format("Mon 2 Jan, 15:04"))
			}
			a := &dayAxis{desk: d, days: p.days(), left: 40, scale: 1}
			last := a.left - 1e9
			for _, day := range a.days {
				papertest.MustSay(t, text, day.Format("2"))
				for h := range 24 {
					x := a.place(day.Add(minutes(60 * float64(h))))
					if x <= last {
						t.Fatalf("%s: %s lies at %.2f, not after %.2f", face.ID, day, x, last)
					}
					last = x
				}
			}
		}
	}
}

// Where the air is against painting the chart marks the hours and says why.
func TestDryPageMarksAirOnHold(t *testing.T) {
	d := papertest.OwnDesk(t, "A4")
	face := &d.Plan.Method.Faces[0]
	p := newDryPage(d, face)
	if n := len(p.onHold(p.days())); n != 0 {
		t.Fatalf("%d stretches on hold in good air", n)
	}
	for i := range p.climate.Air {
		p.climate.Air[i].Surface = 5
	}
	spans := p.onHold(p.days())
	if len(spans) == 0 || !slices.ContainsFunc(spans[0].holds, func(h drying.Hold) bool { return h.Rule == "dew-point" }) {
		t.Fatalf("a wall of 5 °C is not on hold: %v", spans)
	}
	text := papertest.SaidOn(pagesOf(t, "A4", func(book *drafting.Book) { p.holds(book.Part("", draw.A4)) })...)
	papertest.MustSay(t, text, "On hold from", "dew point", spans[0].holds[0].Do)
}

// The method sheets hold the pages of the pair and of the coats.
func TestMethodSheetsHoldPairAndCoats(t *testing.T) {
	d := papertest.DemoDesk(t, "A4")
	face := &d.Plan.Method.Faces[0]
	text := papertest.SaidOn(papertest.PagesOf(t, d, Method, strings.Replace(face.ID, "/", ", ", 1))...)
	papertest.MustSay(t, text, "Keeping the edge wet", "Who does what, minute by minute", "How old each joint is", "Coats and their drying")
}
