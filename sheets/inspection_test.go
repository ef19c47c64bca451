package sheets

import (
	"slices"
	"strings"
	"testing"

	"scumble/method"
	"scumble/unit"
)

// Every wall has its page with a check before each step, its hold, and what is
// looked at in the end.
func TestInspectionChecksEveryStepOfEveryWall(t *testing.T) {
	d := demoDesk(t, "A4")
	doc, err := d.inspection()
	if err != nil {
		t.Fatal(err)
	}
	pages := map[string]string{}
	for _, p := range doc.Pages {
		for _, w := range wordsOn(p)[:6] {
			pages[w.Text] += " " + saidOn(p)
		}
	}
	for _, room := range d.plan.Method.Rooms {
		mustSay(t, pages[room.Name], "snags", "Accepted, for the house")
	}
	for _, face := range d.plan.Method.Faces {
		text := pages[strings.Replace(face.ID, "/", ", ", 1)]
		if text == "" {
			t.Errorf("no page for %s", face.ID)
			continue
		}
		for _, s := range face.Steps {
			mustSay(t, text, s.Hold)
			if s.Kind != method.Inspect {
				mustSay(t, text, s.Title)
			}
		}
		for _, f := range face.Technique.Faults {
			mustSay(t, text, small(strings.TrimSuffix(f.Fault, ".")))
		}
		mustSay(t, text, "from 2 m and from 4 m: by day", "by the lamps of the room")
		_, wall, f := d.plan.Survey.FaceByID(face.ID)
		for _, i := range f.Openings {
			mustSay(t, text, openingName(wall.Openings[i]))
		}
		for _, id := range face.Adjoining {
			mustSay(t, text, wallName(id))
		}
	}
}

// The readings have a line for every coat of every wall, under the limits of the
// catalog.
func TestReadingsHaveALineForEveryCoat(t *testing.T) {
	d := demoDesk(t, "A4")
	for _, room := range d.plan.Method.Rooms {
		days := d.coatDays(room.Name)
		for _, p := range d.placedSteps() {
			if p.step.Room != room.Name || p.step.Product == nil {
				continue
			}
			if !slices.ContainsFunc(days, func(r roomDay) bool {
				return sameDay(r.from, p.task.Start) && r.title == plainTitle(p.step) && slices.Contains(r.walls, wallName(p.step.Face))
			}) {
				t.Errorf("no line for %s", p.step.ID)
			}
		}
		text := saidOn(pagesOf(t, d, (*desk).inspection, room.Name)...)
		climate := d.surveyRoom(room.Name).Climate
		mustSay(t, text, climate.Temp.Value.String()+", "+climate.Humidity.Value.String()+" relative humidity",
			"at least "+unit.Figure(d.plan.Catalog.Defaults.DewMargin.Likely, 1)+" K above it", "Dew point", "Margin")
	}
}

// A wall measured colder than the air is named.
func TestColdWallIsNamed(t *testing.T) {
	d := demoDesk(t, "A4")
	if got := coldWalls(d.surveyRoom("Tern room")); got != "Gable 15\u00a0°C" {
		t.Errorf("%q", got)
	}
	if got := coldWalls(d.surveyRoom("Landing")); got != "" {
		t.Errorf("%q", got)
	}
}

func TestAcceptanceListsEveryRoom(t *testing.T) {
	d := demoDesk(t, "Letter")
	text := saidOn(pagesOf(t, d, (*desk).inspection, "acceptance")...)
	for _, r := range d.plan.Method.Rooms {
		mustSay(t, text, r.Name)
	}
	mustSay(t, text, d.plan.Job.Terms.Exclude...)
}
