package board_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"scumble/catalog"
	"scumble/examples"
	"scumble/job"
	"scumble/plan"
	"scumble/schedule"
	"scumble/web/board"
)

func lay(t testing.TB, text []byte) *board.Board {
	t.Helper()
	c, err := catalog.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	return board.Lay(text, c)
}

func apply(t testing.TB, text []byte, changes ...job.Change) []byte {
	t.Helper()
	out, problems := job.Apply(text, changes)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	return out
}

func TestTheDemonstrationLiesWhole(t *testing.T) {
	b := lay(t, examples.Bellwether)
	if len(b.Problems) > 0 || len(b.Walls) != 30 || b.Plan.Quote == nil {
		t.Fatalf("%v, %d walls", b.Problems, len(b.Walls))
	}
	w := b.Wall("breakfast ROOM/north")
	if w == nil || w.Survey == nil || w.Title() != "Breakfast room, North" || w.Path != "rooms[1].walls[0]" {
		t.Errorf("%+v", w)
	}
}

// TestAWrongFigureStandsAlone: the wall it is on cannot be drawn, everything else can.
func TestAWrongFigureStandsAlone(t *testing.T) {
	text := apply(t, examples.Bellwether, job.Change{Do: job.Set, Path: "rooms[1].walls[1].length", Value: "wide"})
	b := lay(t, text)
	wrong := b.Wall("Breakfast room/East")
	if wrong.Survey != nil || len(wrong.Problems) == 0 || b.Typed("rooms[1].walls[1].length") != "wide" {
		t.Errorf("%+v", wrong)
	}
	for _, p := range b.Problems {
		if p.Line == 0 {
			t.Errorf("%v has no place in the text", p)
		}
	}
	for i := range b.Walls {
		if w := &b.Walls[i]; w != wrong && (w.Survey == nil || len(w.Problems) > 0) {
			t.Errorf("%s suffers, too: %v", w.ID, w.Problems)
		}
	}
}

func TestStanding(t *testing.T) {
	now := time.Date(2027, 3, 9, 14, 0, 0, 0, time.UTC)
	path := "rooms[1].walls[0]"
	for _, c := range []struct {
		done, ended string
		want        board.State
	}{
		{"", "", board.Chosen},
		{"ground-2", "2027-03-09 13:00", board.Drying},
		{"ground-2", "2027-02-01 13:00", board.InWork},
		{"mark", "2027-03-01 10:00", board.SetOut},
		{"no-such-step", "2027-03-01 10:00", board.Chosen},
	} {
		text := apply(t, examples.Bellwether, job.Change{Do: job.Set, Path: path + ".done", Value: c.done}, job.Change{Do: job.Set, Path: path + ".ended", Value: c.ended})
		b := lay(t, text)
		got := b.Standing(b.Wall("Breakfast room/North"), now)
		if got.State != c.want {
			t.Errorf("%s at %s: %s, want %s", c.done, c.ended, got.State, c.want)
		}
		if got.State == board.Drying && (!got.Late.After(now) || got.Early.After(got.Late)) {
			t.Errorf("drying from %s to %s", got.Early, got.Late)
		}
	}
	b := lay(t, apply(t, examples.Bellwether, job.Change{Do: job.Clear, Path: path + ".finish"}))
	if got := b.Standing(b.Wall("Breakfast room/North"), now); got.State != board.Measured {
		t.Errorf("a bare wall is %s", got.State)
	}
	last := b.Plan.Method.Faces[0]
	b = lay(t, apply(t, examples.Bellwether, job.Change{Do: job.Set, Path: "rooms[0].walls[0].done", Value: last.Steps[len(last.Steps)-1].Rule}))
	if got := b.Standing(&b.Walls[0], now); got.State != board.Done || got.Share() != 1 {
		t.Errorf("%+v", got)
	}
}

// TestAWallStandsWhereItsFaceBehindStands: a dado that is not begun holds the wall back.
func TestAWallStandsWhereItsFaceBehindStands(t *testing.T) {
	b := lay(t, apply(t, examples.Bellwether, job.Change{Do: job.Set, Path: "rooms[4].walls[0].done", Value: "ground-2"}))
	w := b.Wall("Landing/Long")
	if got := b.Standing(w, time.Now()); got.State != board.Chosen {
		t.Errorf("%+v", got)
	}
}

// TestFollow finds every field again by the names on its way when entries were moved.
func TestFollow(t *testing.T) {
	before := lay(t, examples.Bellwether)
	rapid.Check(t, func(t *rapid.T) {
		room := rapid.IntRange(0, len(before.Job.Rooms)-1).Draw(t, "room")
		to := rapid.IntRange(0, len(before.Job.Rooms)-1).Draw(t, "to")
		text, problems := job.Apply(examples.Bellwether, []job.Change{{Do: job.Move, Path: fmt.Sprintf("rooms[%d]", room), To: to}})
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		after := lay2(text)
		r := rapid.IntRange(0, len(before.Job.Rooms)-1).Draw(t, "of")
		w := rapid.IntRange(0, len(before.Job.Rooms[r].Walls)-1).Draw(t, "wall")
		path := fmt.Sprintf("rooms[%d].walls[%d].name", r, w)
		found, ok := after.Follow(path, before)
		if name, _ := after.File.Typed(found); !ok || name != before.Typed(path) || !strings.HasPrefix(found, "rooms[") {
			t.Fatalf("%s became %s: %q, want %q", path, found, name, before.Typed(path))
		}
	})
}

var shared *catalog.Catalog

func lay2(text []byte) *board.Board {
	if shared == nil {
		shared, _ = catalog.Builtin()
	}
	return board.Lay(text, shared)
}

func TestFollowSaysWhatIsGone(t *testing.T) {
	before := lay(t, examples.Bellwether)
	after := lay(t, apply(t, examples.Bellwether, job.Change{Do: job.Remove, Path: "rooms[1].walls[0]"}))
	if path, ok := after.Follow("rooms[1].walls[0].length", before); ok {
		t.Errorf("found %s", path)
	}
	if path, ok := after.Follow("rooms[1].walls[1].length", before); !ok || path != "rooms[1].walls[0].length" {
		t.Errorf("%s, %v", path, ok)
	}
	if path, ok := after.Follow("terms.margin", before); !ok || path != "terms.margin" {
		t.Errorf("%s, %v", path, ok)
	}
}

func TestNameOf(t *testing.T) {
	b := lay(t, examples.Bellwether)
	for path, want := range map[string]string{
		"rooms[1].walls[0].length":           "Breakfast room, North: length",
		"rooms[0].walls[0].openings[1].left": "Hall and stair, Left, dining room door: left",
		"crew.start":                         "start",
		"finishes[2].ground-b.hex":           "weave-sage: colour",
		"rooms[1].walls[0].lean-right":       "Breakfast room, North: right corner out of plumb",
		"finishes[2].boards[0].seen":         "weave-sage: seen on it",
		"prices.packs[0]":                    "multi-purpose-primer",
		"rooms[0].walls[2].outline[3]":       "Hall and stair, Stair, corner 4",
		"rooms[0].walls[2].outline[3].x":     "Hall and stair, Stair, corner 4: x",
	} {
		if got := b.NameOf(path); got != want {
			t.Errorf("%s: %q, want %q", path, got, want)
		}
	}
}

// FuzzLay: no text of a job brings the board down.
func FuzzLay(f *testing.F) {
	f.Add([]byte("scumble: 1\nrooms:\n  - name: a\n    walls:\n      - name: b\n        length: 3 m\n"))
	f.Add([]byte("rooms: {"))
	f.Add([]byte(""))
	f.Fuzz(func(t *testing.T, text []byte) {
		b := lay2(text)
		for i := range b.Walls {
			b.Standing(&b.Walls[i], time.Unix(0, 0))
		}
	})
}

func BenchmarkLay(b *testing.B) {
	for b.Loop() {
		lay2(examples.Bellwether)
	}
}

// TestLookingLongerIsNeverWorse: what is told on the way is better each time, and the board
// that is looked for at length has the other ways of the job and all that follows.
func TestLookingLongerIsNeverWorse(t *testing.T) {
	b := lay(t, examples.Bellwether)
	last := b.Plan.Programme
	effort := schedule.Effort{Placements: 60_000}
	long, err := b.Look(effort, func(on *board.Board) {
		p := on.Plan.Programme
		if p.SiteDays > last.SiteDays || on.Looked || on.Plan.Quote == b.Plan.Quote {
			t.Errorf("%d site days after %d", p.SiteDays, last.SiteDays)
		}
		last = p
	})
	if err != nil {
		t.Fatal(err)
	}
	full, _, err := plan.Only(b.Job, b.BuiltIn(), effort)
	if err != nil {
		t.Fatal(err)
	}
	whole := long.Whole()
	if !long.Looked || whole.Programme.SiteDays != full.Programme.SiteDays || !whole.Programme.Finish.Equal(full.Programme.Finish) || whole.Quote.Total != full.Quote.Total || len(whole.Warnings) != len(full.Warnings) {
		t.Error("the board looked for at length is not the plan of the papers")
	}
	if ways := whole.Alternatives; len(ways) != 2 || ways[0].Plan.Programme.Effort.Placements != effort.Placements {
		t.Errorf("%d other ways, or with another effort", len(ways))
	}
	if len(b.Whole().Alternatives) != 2 || b.Looked || b.Plan.Programme != b.Quick || long.Quick != b.Quick {
		t.Error("the board of the short look has changed, or lacks the other ways")
	}
}

func TestAnEmptyJobIsLookedForAtOnce(t *testing.T) {
	b, err := lay(t, []byte("scumble: 1\n")).Look(schedule.Full, nil)
	if err != nil || !b.Looked || b.Ready() || len(b.Whole().Alternatives) != 0 {
		t.Errorf("%v, %+v", err, b)
	}
}

// TestOwnWallsAreToldApart: of several walls of one figure, one is not taken for another
// when somebody took one out meanwhile.
func TestOwnWallsAreToldApart(t *testing.T) {
	c, err := catalog.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	const head = "scumble: 1\nobserved:\n"
	entry := func(value string) string { return "  - {of: defaults/refill, value: " + value + "}\n" }
	shown := board.Lay([]byte(head+entry("1 min")+entry("2 min")), c)
	here := board.Lay([]byte(head+entry("2 min")), c)
	at, ok := here.Follow("observed[0]", shown)
	if ok && shown.Alike("observed[0]", here, at) {
		t.Errorf("the first wall is taken for %s, which is another", at)
	}
	if name := shown.NameOf("observed[1].value"); name != "own wall 2: value" {
		t.Error(name)
	}
}
