package site

import (
	"slices"
	"strings"
	"testing"

	"scumble/draw"
	"scumble/method"
	"scumble/sheets/desk"
	"scumble/sheets/internal/papertest"
	"scumble/unit"
)

// Every wall has its page with a check before each step, its hold, and what is
// looked at in the end.
func TestInspectionChecksEveryStepOfEveryWall(t *testing.T) {
	d := papertest.DemoDesk(t, "A4")
	doc, err := Inspection(d)
	if err != nil {
		t.Fatal(err)
	}
	pages := map[string]string{}
	for _, p := range doc.Pages {
		for _, w := range papertest.WordsOn(p)[:6] {
			pages[w.Text] += " " + papertest.SaidOn(p)
		}
	}
	for _, room := range d.Plan.Method.Rooms {
		papertest.MustSay(t, pages[room.Name], "snags", "Accepted, for the house")
	}
	for _, face := range d.Plan.Method.Faces {
		text := pages[strings.Replace(face.ID, "/", ", ", 1)]
		if text == "" {
			t.Errorf("no page for %s", face.ID)
			continue
		}
		for _, s := range face.Steps {
			papertest.MustSay(t, text, s.Begin, strings.TrimPrefix(s.Hold, s.Hold[:min(1, len(s.Hold))]))
			if s.Kind != method.Inspect {
				papertest.MustSay(t, text, s.Title)
			}
		}
		for _, f := range face.Technique.Faults {
			papertest.MustSay(t, text, desk.Small(strings.TrimSuffix(f.Fault, ".")))
		}
		papertest.MustSay(t, text, "from 2 m and from 4 m: by day", "by the lamps of the room")
		_, wall, f := d.Plan.Survey.FaceByID(face.ID)
		for _, i := range f.Openings {
			papertest.MustSay(t, text, openingName(wall.Openings[i]))
		}
		for _, id := range face.Adjoining {
			papertest.MustSay(t, text, desk.WallName(id))
		}
	}
}

// Who inspects a wall holds one sheet.
func TestInspectionOfAWallTakesOnePage(t *testing.T) {
	for _, paper := range []string{"A4", "Letter"} {
		d := papertest.DemoDesk(t, paper)
		for _, face := range d.Plan.Method.Faces {
			name := strings.Replace(face.ID, "/", ", ", 1)
			n := 0
			for _, p := range papertest.PagesOf(t, d, Inspection, name) {
				if slices.ContainsFunc(papertest.WordsOn(p)[:6], func(w draw.Text) bool { return w.Text == name }) {
					n++ // and not "Wall, dado" for "Wall"
				}
			}
			if n != 1 {
				t.Errorf("%s: %s takes %d pages", paper, name, n)
			}
		}
	}
}

// The readings have a line for every coat of every wall, under the limits of the
// catalog.
func TestReadingsHaveALineForEveryCoat(t *testing.T) {
	d := papertest.DemoDesk(t, "A4")
	for _, room := range d.Plan.Method.Rooms {
		days := coatDays(d, room.Name)
		for _, p := range placedSteps(d) {
			if p.step.Room != room.Name || p.step.Product == nil {
				continue
			}
			if !slices.ContainsFunc(days, func(r roomDay) bool {
				return desk.SameDay(r.from, p.task.Start) && r.title == plainTitle(p.step) && slices.Contains(r.walls, desk.WallName(p.step.Face))
			}) {
				t.Errorf("no line for %s", p.step.ID)
			}
		}
		text := papertest.SaidOn(papertest.PagesOf(t, d, Inspection, room.Name)...)
		climate := d.SurveyRoom(room.Name).Climate
		papertest.MustSay(t, text, climate.Temp.Value.String()+", "+climate.Humidity.Value.String()+" relative humidity",
			"at least "+unit.Figure(d.Plan.Catalog.Defaults.DewMargin.Likely, 1)+" K above it", "Dew point", "Margin")
	}
}

// A wall measured colder than the air is named.
func TestColdWallIsNamed(t *testing.T) {
	d := papertest.DemoDesk(t, "A4")
	if got := coldWalls(d.SurveyRoom("Tern room")); got != "Gable 15\u00a0°C" {
		t.Errorf("%q", got)
	}
	if got := coldWalls(d.SurveyRoom("Landing")); got != "" {
		t.Errorf("%q", got)
	}
}

func TestAcceptanceListsEveryRoom(t *testing.T) {
	d := papertest.DemoDesk(t, "Letter")
	text := papertest.SaidOn(papertest.PagesOf(t, d, Inspection, "acceptance")...)
	for _, r := range d.Plan.Method.Rooms {
		papertest.MustSay(t, text, r.Name)
	}
	papertest.MustSay(t, text, d.Plan.Job.Terms.Exclude...)
}
