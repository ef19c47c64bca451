package job

import (
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"scumble/internal/golden"
)

const hallJob = `# The hall
scumble: 1
name: Try   # kept
rooms:
  # measured on Monday
  - name: Hall
    height: 2.70 m
    walls:
      - name: North
        length: 4.20 m  # laser
        finish: drag
        # not yet painted
      - {name: South, length: "13' 9\"", finish: drag}

  - name: Store   # no walls yet

terms: {rule: void-0-5}  # the end
`

// importCases are jobs and tables with the jobs they make, in testdata/import.
var importCases = []struct{ name, job, table string }{
	{"new", "", "room,wall,length,height,openings\nHall,North,4.20 m,2.72 m,door 900x2050 at 1200; window 1200 x 1100 at 800 sill 900\nHall,South,13'9\",,\"door 2'8\"\" x 6'8\"\" at 3'\"\n"},
	{"semicolons", "", "\ufeffRoom;Wall;Length;Height;Openings\r\nStube;Nord;4,20 m;2,72 m;Fenster window 1,20 m x 1,10 m at 0,80 m sill 90 cm | door 0,9 m × 2,05 m at 3 m reveal 12 cm\r\n;Süd, lang;4200;;\r\n"},
	{"tabs", "scumble: 1\nrooms: []\n", "wall\troom\tlength\n\nNorth\tHall\t4200\n\t\t\n"},
	{"same", hallJob, "room,wall,length,height\nhall,north,4200,2.7 m\nHall,South,165 in,\n"},
	{"changed", hallJob, "room,wall,length,height\nHall,North,4.25 m,2.60 m\nHall,South,4.2 m,\n"},
	{"added", hallJob, "room,wall,length,height,openings\nAttic,Gable,3 m,,\nHall,East,3 m,,\nHall,North,4.20 m,,hatch 600 x 600 at 100 sill 1 m\nStore,Back,2 m,2.4 m,\n"},
	{"no rooms", "scumble: 1\nname: Try\n\n\n", "room,wall,length\nHall,\"No: 1\",4 m\nnull,-,5 m\n"},
}

func TestImportSurvey(t *testing.T) {
	for _, c := range importCases {
		t.Run(c.name, func(t *testing.T) {
			out, problems := ImportSurvey([]byte(c.job), "survey.csv", []byte(c.table))
			if len(problems) > 0 {
				t.Fatal(problems)
			}
			golden.Check(t, filepath.Join("import", strings.ReplaceAll(c.name, " ", "-")+".yaml"), out)
			again, problems := ImportSurvey(out, "survey.csv", []byte(c.table))
			if len(problems) > 0 || string(again) != string(out) {
				t.Errorf("bringing it in again changes the job: %v\n%s", problems, again)
			}
		})
	}
}

func TestImportSurveyProblems(t *testing.T) {
	head := "room,wall,length,height,openings\n"
	row := func(openings string) string { return head + "Hall,North,4 m,2.7 m,\"" + openings + "\"\n" }
	for _, c := range []struct {
		name, job, table string
		want             []string
	}{
		{"empty", "", "", []string{"t.csv:1:1: the table is empty"}},
		{"head only", "", head, []string{"t.csv:1:1: the table has a head but no walls"}},
		{"no head", "", "Hall,North,4 m\n", []string{`t.csv:1:1: "Hall" is no column`, `t.csv:1:6: "North" is no column`, `t.csv:1:12: "4 m" is no column`}},
		{"misspelt head", "", "room,wall,lenght\n", []string{`t.csv:1:11: "lenght" is no column of a survey table; write length`}},
		{"column missing", "", "room,wall\nA,B\n", []string{"t.csv:1:1: the column length is missing"}},
		{"column twice", "", "room,wall,length,wall\n", []string{"t.csv:1:18: the column wall is there twice"}},
		{"binary", "", "room\xff", []string{"t.csv:1:1: this is not a table in UTF-8"}},
		{"quote", "", head + "Hall,\"North,4 m\nHall,East,3 m\n", []string{"t.csv:2:6: a cell goes on over the end of its line"}},
		{"all at once", "", head + "Hall,North,4,200,2.7 m,\n,,,,x\nÉtage,Süd,4 parsecs,1,\nhall,North,4 m,,\nA/B,C,,,\n", []string{
			"t.csv:2:24: the row has more cells than the head", // a comma too many
			"t.csv:3:1: room: the wall has no room",
			`t.csv:3:5: openings: "x" has no measures`,
			`t.csv:4:11: length: length "4 parsecs"`,
			`t.csv:4:21: height: "1" lies outside 100 mm to 50 m`,
			`t.csv:6:1: room: "A/B" holds a / or #`,
			"t.csv:6:7: length: the wall has no length",
		}},
		{"no room", "", head + ",North,4 m,,\n", []string{"t.csv:2:1: room: the wall has no room"}},
		{"no name", "", head + "Hall,,4 m,,\n", []string{"t.csv:2:6: wall: the wall has no name"}},
		{"no length", "", head + "Hall,North,,,\nHall,South\n", []string{"t.csv:2:12: length: the wall has no length", "t.csv:3:1: length: the wall has no length"}},
		{"twice", "", head + "Hall,North,4 m,,\nHall,north,5 m,,\n", []string{`t.csv:3:6: wall: "north" of "Hall" is there twice, first in line 2`}},
		{"signs", "", head + "A/B,C#,4 m,,\n", []string{`t.csv:2:1: room: "A/B" holds`, `t.csv:2:5: wall: "C#" holds`}},
		{"opening without measures", "", row("door"), []string{`t.csv:2:22: openings: "door" has no measures`}},
		{"opening without kind", "", row("900 x 2050 at 100"), []string{`does not say what it is; begin it with door, window`}},
		{"opening without place", "", row("door 900 x 2050"), []string{`"door 900 x 2050" lacks its size or where it is; write it as window 1200 x 1100 at 800 sill 900`}},
		{"opening without height", "", row("door 900 at 100"), []string{`lacks its size`}},
		{"opening placed twice", "", row("door 900 x 2050 at 100 at 200"), []string{`lacks its size`}},
		{"opening unread", "", row("door 9OO x 2050 at 100; window 1,200 x 900 at 5 sill -3"), []string{`t.csv:2:22: sill: length "-3"`, `t.csv:2:22: width: length "1,200"`, `t.csv:2:22: width: length "9OO"`}},
		{"job unread", "scumble: 1\nname: \"Try\n", head + "Hall,North,4 m,,\n", []string{`job:2:7: name: a text begun with "`}},
		{"in brackets", "scumble: 1\nrooms: [{name: Hall, walls: [{name: N, length: 4 m}]}]\n", head + "Hall,S,4 m,,\nAttic,N,1 m,,\n", []string{"job:2:1: rooms: this list does not have each entry", "job:2:22: rooms[0].walls: this list does not"}},
		{"openings differ", "scumble: 1\nrooms:\n  - name: Hall\n    walls:\n      - name: North\n        length: 4 m\n        openings: [{kind: door, left: 100, width: 900, height: 2 m}]\n", row("door 900 x 2050 at 100"), []string{"job:7:9: rooms[0].walls[0].openings: the openings are not those of t.csv"}},
		{"height in braces", "scumble: 1\nrooms:\n  - name: Hall\n    walls:\n      - {name: North, length: 4 m}\n", row(""), []string{`job:5:9: rooms[0].walls[0].height: t.csv says that the height is "2.7 m"; write it here by hand`}},
	} {
		t.Run(c.name, func(t *testing.T) {
			out, problems := ImportSurvey([]byte(c.job), "t.csv", []byte(c.table))
			if out != nil || len(problems) == 0 {
				t.Fatalf("nothing is wrong: %s", out)
			}
			for i, want := range c.want {
				if i >= len(problems) || !strings.Contains(problems[i].Error(), want) {
					t.Errorf("problem %d should be %s", i, want)
				}
			}
			if t.Failed() || len(c.want) != len(problems) {
				t.Errorf("got %d problems: %v", len(problems), problems)
			}
		})
	}
}

// What a table says comes back from the job it is brought into, word for word,
// whatever the names and however the measures are written.
func TestImportSurveyKeepsWhatWasTyped(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length := rapid.SampledFrom([]string{"4200", "4.2 m", "4,20 m", "4 m 20 cm", "13'9\"", "13 ft 9 1/2 in", "9'", "50 in"})
		name := rapid.StringMatching(`[A-Za-zäß0-9:' .,&*!?%@-]{1,12}`).Filter(func(s string) bool {
			return strings.TrimSpace(s) == s
		})
		var table strings.Builder
		table.WriteString("room;wall;length;height\n")
		var want []string
		for r := range rapid.IntRange(1, 3).Draw(t, "rooms") {
			room := fmt.Sprintf("%s %d", name.Draw(t, "room"), r)
			for w := range rapid.IntRange(1, 4).Draw(t, "walls") {
				wall := fmt.Sprintf("%s%d", name.Draw(t, "wall"), w)
				l, h := length.Draw(t, "length"), length.Draw(t, "height")
				fmt.Fprintf(&table, "%s;%s;%s;%s\n", room, wall, l, h)
				want = append(want, strings.Join([]string{room, wall, l, h}, "|"))
			}
		}
		for _, start := range []string{"", hallJob} {
			out, problems := ImportSurvey([]byte(start), "t.csv", []byte(table.String()))
			if len(problems) > 0 {
				t.Fatal(problems)
			}
			f, problems := Read("job", out)
			if len(problems) > 0 {
				t.Fatal(problems)
			}
			var got []string
			for _, r := range f.Job.Rooms {
				for _, w := range r.Walls {
					if start == "" || r.Name != "Hall" {
						got = append(got, strings.Join([]string{r.Name, w.Name, w.Length.Text, w.Height.Text}, "|"))
					}
				}
			}
			if !slices.Equal(got, want) {
				t.Fatalf("got %q, want %q", got, want)
			}
			if !keeps(string(out), start) {
				t.Fatalf("lines of the job are lost:\n%s", out)
			}
		}
	})
}

// keeps reports whether all lines of a text are in another, in their order.
func keeps(text, lines string) bool {
	rest := strings.Split(text, "\n")
	for line := range strings.Lines(lines) {
		i := slices.Index(rest, strings.TrimSuffix(line, "\n"))
		if i < 0 && strings.TrimSpace(line) != "" {
			return false
		}
		rest = rest[max(i, 0):]
	}
	return true
}

// The example job keeps all its lines when walls are added to each of its rooms.
func TestImportSurveyIntoExample(t *testing.T) {
	src, err := os.ReadFile("../examples/bellwether/job.yaml")
	if err != nil {
		t.Fatal(err)
	}
	before, _ := Read("job", src)
	table := "room,wall,length\n"
	for _, r := range before.Job.Rooms {
		table += r.Name + ",Added,1.5 m\n"
	}
	out, problems := ImportSurvey(src, "t.csv", []byte(table))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	if !keeps(string(out), string(src)) {
		t.Error("lines are lost")
	}
	after, _ := Read("job", out)
	for i, r := range before.Job.Rooms {
		got := after.Job.Rooms[i].Walls
		if len(got) != len(r.Walls)+1 || !reflect.DeepEqual(got[:len(r.Walls)], r.Walls) || got[len(r.Walls)].Name != "Added" {
			t.Errorf("%s: %d walls", r.Name, len(got))
		}
	}
}
