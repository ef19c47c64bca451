package history

import (
	"slices"
	"strings"
	"testing"

	"scumble/catalog"
	"scumble/examples"
	"scumble/job"
	"scumble/web/board"
)

// TestSaid: entries come and go as one change each, and are followed by their names.
func TestSaid(t *testing.T) {
	c, err := catalog.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	lay := func(changes ...job.Change) *board.Board {
		text, problems := job.Apply(examples.Bellwether, changes)
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		return board.Lay(text, c)
	}
	plain := lay()
	first, second := plain.Walls[0], plain.Walls[1]
	for name, k := range map[string]struct {
		b    *board.Board
		want []change
	}{
		"nothing":   {lay(), nil},
		"a value":   {lay(job.Change{Do: job.Set, Path: first.Path + ".length", Value: "5 m"}), []change{{first.Room + ", " + first.Name + ": length", plain.Typed(first.Path + ".length"), "5 m"}}},
		"taken":     {lay(job.Change{Do: job.Remove, Path: first.Path}), []change{{first.Room + ", " + first.Name, "there", "taken out"}}},
		"moved":     {lay(job.Change{Do: job.Move, Path: first.Path, To: second.Index}), nil},
		"added":     {lay(job.Change{Do: job.Add, Path: "rooms[0].walls", To: 0, Value: job.Group{{Key: "name", Value: "Niche"}, {Key: "length", Value: "1 m"}}}), []change{{first.Room + ", Niche", "not there", "added"}}},
		"no longer": {lay(job.Change{Do: job.Clear, Path: "client"}), []change{{"Client", plain.Typed("client"), "none"}}},
	} {
		if got, more := said(plain, k.b, true); !slices.Equal(got, k.want) || more != 0 {
			t.Errorf("%s: %q and %d more, want %q", name, got, more, k.want)
		}
	}
	if got, more := said(board.Lay([]byte("scumble: 1\n"), c), plain, true); len(got)+more < len(plain.Job.Rooms) || len(got) > mostSaid {
		t.Errorf("a whole job: %d told, %d more", len(got), more)
	}
	if got, _ := said(plain, board.Lay([]byte("rooms: [\n"), c), true); len(got) == 0 || strings.Contains(got[0].After, "[") {
		t.Errorf("a text that cannot be read: %q", got)
	}
}
