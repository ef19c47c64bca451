package survey

import (
	"fmt"
	"math"
	"testing"

	"scumble/examples"
	"scumble/job"
)

func read(t testing.TB, text []byte) *job.Job {
	t.Helper()
	f, problems := job.Read("x", text)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	return f.Job
}

// drawnAs is the demonstration with one wall given corner by corner.
func drawnAs(t testing.TB, path string, corners []Written) *job.Job {
	t.Helper()
	changes := []job.Change{}
	for _, key := range []string{"length", "height", "height-right", "ridge", "lean-left", "lean-right"} {
		changes = append(changes, job.Change{Do: job.Clear, Path: path + "." + key})
	}
	for _, c := range corners {
		changes = append(changes, job.Change{Do: job.Add, Path: path + ".outline", To: -1, Value: job.Group{{Key: "x", Value: c.X}, {Key: "y", Value: c.Y}}})
	}
	text, problems := job.Apply(examples.Bellwether, changes)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	return read(t, text)
}

// TestOutlinedChangesNothing: a wall told corner by corner has the same field as before.
func TestOutlinedChangesNothing(t *testing.T) {
	reach := Reaches{Floor: 2000, Steps: 2900, Platform: 4000}
	j := read(t, examples.Bellwether)
	before, _ := Measure(j, reach)
	turned := 0
	for r := range j.Rooms {
		for w := range j.Rooms[r].Walls {
			corners, ok := Outlined(&j.Rooms[r], w)
			if !ok {
				continue
			}
			turned++
			after, problems := Measure(drawnAs(t, fmt.Sprintf("rooms[%d].walls[%d]", r, w), corners), reach)
			if len(problems) > 0 {
				t.Fatal(problems)
			}
			was, is := &before.Rooms[r].Walls[w], &after.Rooms[r].Walls[w]
			if was.Length != is.Length || was.Height != is.Height || math.Abs(was.Outline.Area()-is.Outline.Area()) > 1 || len(was.Faces) != len(is.Faces) {
				t.Errorf("%s: %v became %v", was.ID, was.Outline, is.Outline)
			}
			for f := range was.Faces {
				if math.Abs(float64(was.Faces[f].Net-is.Faces[f].Net)) > 1e-4 {
					t.Errorf("%s: %v became %v", was.Faces[f].ID, was.Faces[f].Net, is.Faces[f].Net)
				}
			}
		}
	}
	if turned < 25 {
		t.Errorf("only %d walls can be drawn corner by corner", turned)
	}
}

func TestOutlinedKeepsWhatWasTyped(t *testing.T) {
	j := read(t, examples.Bellwether)
	for r := range j.Rooms {
		if j.Rooms[r].Name != "Dining room" {
			continue
		}
		corners, ok := Outlined(&j.Rooms[r], 0)
		if !ok || len(corners) != 4 || corners[1] != (Written{X: "16 ft 4 1/2 in", Y: "0"}) {
			t.Errorf("%v, %v", corners, ok)
		}
		j.Rooms[r].Walls[0].LeanLeft = mm(-3)
		if _, ok := Outlined(&j.Rooms[r], 0); ok {
			t.Error("an end that leans out cannot be told by an outline")
		}
	}
}

func TestMidway(t *testing.T) {
	corners := outline(0, 0, 4000, 0, 4000, 2501, 0, 2501)
	for i, want := range []Written{{X: "2000", Y: "0"}, {X: "4000", Y: "1250.5"}, {X: "2000", Y: "2501"}, {X: "0", Y: "1250.5"}} {
		if got, ok := Midway(corners, i); !ok || got != want {
			t.Errorf("after corner %d: %v, want %v", i+1, got, want)
		}
	}
	corners[2].Y = job.Length{}
	if _, ok := Midway(corners, 1); ok {
		t.Error("a corner that cannot be read has no middle")
	}
}

func TestPlanOf(t *testing.T) {
	room := func(closed bool, walls ...job.Wall) *job.Room {
		return &job.Room{Name: "R", Closed: closed, Walls: walls}
	}
	wall := func(length float64, corner string) job.Wall {
		return job.Wall{Name: fmt.Sprint(length), Length: mm(length), Corner: corner}
	}
	square := PlanOf(room(true, wall(4000, ""), wall(3000, ""), wall(4000, ""), wall(3000, "")))
	if square.Open || square.Apart > 0.001 || square.Walls[1].To.Y != -3000 || square.Walls[1].To.X != 4000 {
		t.Errorf("%+v", square)
	}
	short := PlanOf(room(true, wall(4000, ""), wall(3000, ""), wall(3970, ""), wall(3040, "")))
	if !short.Open || math.Abs(float64(short.Apart)-50) > 1e-6 || math.Abs(float64(short.Along)-30) > 1e-6 || math.Abs(float64(short.Across)-40) > 1e-6 {
		t.Errorf("%+v", short)
	}
	breast := PlanOf(room(true, wall(1000, ""), wall(400, "external"), wall(1500, "external"), wall(400, ""), wall(1000, ""), wall(3000, ""), wall(3500, ""), wall(3000, "")))
	if breast.Open || breast.Walls[2].From.Y != -400 || breast.Walls[2].To.X != 2500 || breast.Walls[3].To.Y != 0 {
		t.Errorf("%+v", breast)
	}
	loose := PlanOf(room(false, wall(1000, "open"), job.Wall{Name: "?", Corner: ""}))
	if !loose.Loose || loose.Open || len(loose.Guessed) != 1 || loose.Walls[1].Known || loose.Walls[1].Corner != "open" || loose.Walls[1].From == loose.Walls[0].To {
		t.Errorf("%+v", loose)
	}
	door := wall(3000, "")
	door.Openings = []job.Opening{{Kind: "door", Left: mm(2500), Width: mm(900)}, {Kind: "hatch", Shape: "outline", Outline: outline(200, 0, 700, 0, 700, 500)}, {Kind: "window", Left: mm(4000), Width: mm(500)}}
	placed := PlanOf(room(false, door)).Walls[0].Openings
	if len(placed) != 2 || placed[0].To.X != 3000 || placed[1].From.X != 200 || placed[1].To.X != 700 {
		t.Errorf("%+v", placed)
	}
}
