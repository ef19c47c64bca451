package job

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

const small = `# a house
scumble: 1
name:          # of the job
date: 2027-03-08

crew:
  start: 2027-03-08
  days: [Mon, Tue]
  people:
    - name: Mara   # lays
      rate: 38.00
    # works
    - {name: Idris, rate: 34.00}

finishes:
  - id: weave
    technique: cross-drag-weave
    ground: {name: Light, hex: "#cdd7bd"}

rooms:
  # the first
  - name: Hall
    height: 2.72 m
    walls:
      - name: North
        length: 13'9"
        openings:
          - {name: door, kind: door, left: 520, width: 13'9", height: 2050}
      # a comment of South
      - name: South
        length: abc    # to measure again
        unknown-key: stays
`

func TestApply(t *testing.T) {
	cases := []struct {
		name    string
		changes []Change
		want    []string // old and new pieces of the text by turns
	}{
		{"value", []Change{{Do: Set, Path: "date", Value: "2027-04-01"}}, []string{"date: 2027-03-08", "date: 2027-04-01"}},
		{"empty value with a comment", []Change{{Do: Set, Path: "name", Value: "Long House"}}, []string{"name:          # of the job", "name: Long House  # of the job"}},
		{"wrong value is kept", []Change{{Do: Set, Path: "rooms[0].height", Value: "tall"}}, []string{"height: 2.72 m", "height: tall"}},
		{"value that could not be read", []Change{{Do: Set, Path: "rooms[0].walls[1].length", Value: "4.2 m"}}, []string{"length: abc    #", "length: 4.2 m    #"}},
		{"with quotes", []Change{{Do: Set, Path: "rooms[0].walls[0].length", Value: `x: "y" #`}}, []string{`length: 13'9"` + "\n        openings", `length: "x: \"y\" #"` + "\n        openings"}},
		{"in brackets", []Change{{Do: Set, Path: "rooms[0].walls[0].openings[0].left", Value: "530"}}, []string{"left: 520", "left: 530"}},
		{"new in brackets", []Change{{Do: Set, Path: "rooms[0].walls[0].openings[0].sill", Value: "0"}},
			[]string{`{name: door, kind: door, left: 520, width: 13'9", height: 2050}`, `{name: door, kind: door, left: 520, width: "13'9\"", height: 2050, sill: 0}`}},
		{"new group", []Change{{Do: Set, Path: "rooms[0].climate.temp", Value: "18 C"}}, []string{"    height: 2.72 m\n", "    height: 2.72 m\n    climate:\n      temp: 18 C\n"}},
		{"new field in its place", []Change{{Do: Set, Path: "rooms[0].walls[0].finish", Value: "weave"}}, []string{"length: 13'9\"\n        openings", "length: 13'9\"\n        finish: weave\n        openings"}},
		{"clear", []Change{{Do: Set, Path: "rooms[0].height", Value: " "}}, []string{"    height: 2.72 m\n", ""}},
		{"clear the only field of a group", []Change{{Do: Clear, Path: "finishes[0].ground.name"}, {Do: Clear, Path: "finishes[0].ground.hex"}}, []string{"    ground: {name: Light, hex: \"#cdd7bd\"}\n", ""}},
		{"clear the first field of an entry", []Change{{Do: Clear, Path: "rooms[0].walls[0].name"}}, []string{"      - name: North\n        length", "      - length"}},
		{"words", []Change{{Do: Set, Path: "crew.days", Value: []string{"Mon", "Sat"}}}, []string{"[Mon, Tue]", "[Mon, Sat]"}},
		{"new words", []Change{{Do: Set, Path: "rooms[0].walls[0].openings[0].paint", Value: []string{"sides", "head"}}},
			[]string{`width: 13'9", height: 2050}`, `width: "13'9\"", height: 2050, paint: [sides, head]}`}},
		{"add a wall", []Change{{Do: Add, Path: "rooms[0].walls", To: -1, Value: Group{{"name", "East"}, {"length", "4,83 m"}}}},
			[]string{"        unknown-key: stays\n", "        unknown-key: stays\n      - name: East\n        length: \"4,83 m\"\n"}},
		{"add between", []Change{{Do: Add, Path: "rooms[0].walls", To: 1, Value: Group{{"name", "East"}}}},
			[]string{"      # a comment of South\n", "      - name: East\n      # a comment of South\n"}},
		{"add the first of a list", []Change{{Do: Add, Path: "rooms[0].walls[1].openings", To: -1, Value: Group{{"kind", "door"}, {"paint", []string{"head"}}}}},
			[]string{"        unknown-key: stays\n", "        openings:\n          - kind: door\n            paint: [head]\n        unknown-key: stays\n"}},
		{"remove takes its comment along", []Change{{Do: Remove, Path: "rooms[0].walls[1]"}},
			[]string{"      # a comment of South\n      - name: South\n        length: abc    # to measure again\n        unknown-key: stays\n", ""}},
		{"remove the last of a list", []Change{{Do: Remove, Path: "rooms[0].walls[0].openings[0]"}},
			[]string{"        openings:\n          - {name: door, kind: door, left: 520, width: 13'9\", height: 2050}\n", ""}},
		{"move", []Change{{Do: Move, Path: "rooms[0].walls[1]", To: 0}},
			[]string{"      - name: North\n        length: 13'9\"\n        openings:\n          - {name: door, kind: door, left: 520, width: 13'9\", height: 2050}\n      # a comment of South\n      - name: South\n        length: abc    # to measure again\n        unknown-key: stays\n",
				"      # a comment of South\n      - name: South\n        length: abc    # to measure again\n        unknown-key: stays\n      - name: North\n        length: 13'9\"\n        openings:\n          - {name: door, kind: door, left: 520, width: 13'9\", height: 2050}\n"}},
		{"a map", []Change{{Do: Add, Path: "alternatives", To: -1, Value: Group{{"name", "Wash"}, {"swap", Group{{"weave", "wash"}}}}}, {Do: Set, Path: "alternatives[0].swap.weave", Value: "comb"}},
			[]string{"        unknown-key: stays\n", "        unknown-key: stays\n\nalternatives:\n  - name: Wash\n    swap:\n      weave: comb\n"}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			want := small
			for i := 0; i < len(c.want); i += 2 {
				if strings.Count(want, c.want[i]) != 1 {
					t.Fatalf("%q stands %d times in the text", c.want[i], strings.Count(want, c.want[i]))
				}
				want = strings.Replace(want, c.want[i], c.want[i+1], 1)
			}
			for _, ends := range []string{"\n", "\r\n"} {
				got, problems := Apply([]byte(strings.ReplaceAll(small, "\n", ends)), c.changes)
				if len(problems) > 0 {
					t.Fatal(problems)
				}
				if w := strings.ReplaceAll(want, "\n", ends); string(got) != w {
					t.Errorf("got\n%s\nwant\n%s", got, w)
				}
			}
		})
	}
}

func TestApplyRefuses(t *testing.T) {
	for _, c := range []Change{
		{Do: Set, Path: "nothing", Value: "x"}, {Do: Set, Path: "rooms[7].name", Value: "x"}, {Do: Set, Path: "rooms[0].walls[0]", Value: "x"},
		{Do: Set, Path: "rooms[-1].name", Value: "x"}, {Do: Set, Path: "", Value: "x"}, {Do: Set, Path: "crew.days", Value: "Mon"}, {Do: Set, Path: "date", Value: 7},
		{Do: Add, Path: "date", Value: "x"}, {Do: Add, Path: "rooms", To: 5, Value: Group{{"name", "x"}}}, {Do: Remove, Path: "rooms[3]"}, {Do: Remove, Path: "rooms"},
		{Do: Move, Path: "rooms[0]", To: 4}, {Do: "other", Path: "date"}, {Do: Add, Path: "rooms", To: -1, Value: Group{{"a b: c", "x"}}},
	} {
		if got, problems := Apply([]byte(small), []Change{c}); len(problems) == 0 {
			t.Errorf("%v was done:\n%s", c, got)
		}
	}
	if _, problems := Apply([]byte("rooms: [\n"), []Change{{Do: Set, Path: "name", Value: "x"}}); len(problems) == 0 {
		t.Error("a text that is no YAML was edited")
	}
}

func TestTypedKeepsWhatCannotBeRead(t *testing.T) {
	f, _ := Read("x", []byte(small))
	for path, want := range map[string]string{"rooms[0].walls[1].length": "abc", "rooms[0].walls[0].length": `13'9"`, "crew.days[1]": "Tue", "finishes[0].ground.hex": "#cdd7bd"} {
		if got, ok := f.Typed(path); !ok || got != want {
			t.Errorf("%s: %q, want %q", path, got, want)
		}
	}
	if _, ok := f.Typed("name"); ok {
		t.Error("an empty field is typed")
	}
}

// TestApplyProperty changes a whole job at random: the text then says what the changes
// ask for, every other line stays, and the way back leads to a job that says the same.
func TestApplyProperty(t *testing.T) {
	src, err := os.ReadFile("../examples/bellwether/job.yaml")
	if err != nil {
		t.Fatal(err)
	}
	file, _ := Read("x", src)
	var paths []string
	for path := range file.typed {
		if steps, ok := stepsOf(path); ok && steps[len(steps)-1].key != "" {
			paths = append(paths, path)
		}
	}
	slices.Sort(paths)
	rapid.Check(t, func(t *rapid.T) {
		path := rapid.SampledFrom(paths).Draw(t, "path")
		old, _ := file.Typed(path)
		value := rapid.SampledFrom([]string{"4.2 m", `13'9"`, "a, b", "x: y", "#fff", "- x", "{", "true", "  spaced  ", "änderung", "\"", "'"}).Draw(t, "value")
		got, problems := Apply(src, []Change{{Do: Set, Path: path, Value: value}})
		if len(problems) > 0 {
			t.Fatal(path, value, problems)
		}
		after, _ := Read("x", got)
		if text, _ := after.Typed(path); text != strings.TrimSpace(value) {
			t.Fatalf("%s is %q, want %q", path, text, value)
		}
		if a, b := strings.Count(string(src), "\n"), strings.Count(string(got), "\n"); a != b {
			t.Fatalf("%s: %d lines became %d", path, a, b)
		}
		changed := 0
		lines := strings.Split(string(src), "\n")
		for i, line := range strings.Split(string(got), "\n") {
			if line != lines[i] {
				changed++
			}
		}
		if changed > 1 {
			t.Fatalf("%s: %d lines changed", path, changed)
		}
		back, problems := Apply(got, []Change{{Do: Set, Path: path, Value: old}})
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		a, _ := treeOf(string(src))
		if b, fault := treeOf(string(back)); fault != nil || !a.same(b) {
			t.Fatalf("%s: the way back leads elsewhere", path)
		}
	})
}

// TestApplyEntries adds, moves and removes at every list of a whole job.
func TestApplyEntries(t *testing.T) {
	src, err := os.ReadFile("../examples/bellwether/job.yaml")
	if err != nil {
		t.Fatal(err)
	}
	file, _ := Read("x", src)
	rapid.Check(t, func(t *rapid.T) {
		text := src
		for range rapid.IntRange(1, 6).Draw(t, "changes") {
			tree, _ := treeOf(string(text))
			r := rapid.IntRange(0, 30).Draw(t, "room")
			rooms := tree.kid(pathStep{key: "rooms"})
			if rooms == nil {
				break
			}
			r %= len(rooms.kids)
			list, path := rooms, "rooms"
			if rapid.Bool().Draw(t, "walls") {
				path = fmt.Sprintf("rooms[%d].walls", r)
				if list = rooms.kids[r].kid(pathStep{key: "walls"}); list == nil {
					continue
				}
			}
			n := len(list.kids)
			change := Change{Do: rapid.SampledFrom([]Deed{Add, Remove, Move}).Draw(t, "do"), Path: path, To: rapid.IntRange(0, n-1).Draw(t, "to"), Value: Group{{"name", "New"}, {"length", "3 m"}}}
			if change.Do != Add {
				change.Path = fmt.Sprintf("%s[%d]", path, rapid.IntRange(0, n-1).Draw(t, "from"))
			}
			got, problems := Apply(text, []Change{change})
			if len(problems) > 0 {
				t.Fatal(change, problems)
			}
			text = got
		}
		if after, _ := Read("x", text); after.Job.Name != file.Job.Name || len(after.Job.Finishes) != len(file.Job.Finishes) {
			t.Fatal("other parts of the job changed")
		}
	})
}

func FuzzApply(f *testing.F) {
	f.Add([]byte(small), "rooms[0].walls[0].length", "4 m", uint8(0), 0)
	f.Add([]byte(small), "rooms[0].walls", "East", uint8(2), 1)
	f.Add([]byte("a: [1, {b: 'c'}]\nrooms:\n- name: x\n  walls: []"), "rooms[0]", "", uint8(3), 0)
	f.Add([]byte("rooms: |\n  text\nname: >\n  more\n"), "name", "x", uint8(0), 0)
	deeds := []Deed{Set, Clear, Add, Remove, Move}
	f.Fuzz(func(t *testing.T, src []byte, path, value string, deed uint8, to int) {
		if len(src) > 4000 {
			return
		}
		var v any = value
		if deed%5 == 2 {
			v = Group{{"name", value}}
		}
		c := Change{Do: deeds[deed%5], Path: path, Value: v, To: to}
		got, problems := Apply(src, []Change{c})
		if len(problems) > 0 {
			return
		}
		if _, fault := treeOf(strings.ReplaceAll(string(got), "\r\n", "\n")); fault != nil {
			t.Fatalf("%v made a text that cannot be read: %v\n%s", c, fault, got)
		}
	})
}

func BenchmarkApply(b *testing.B) {
	src, err := os.ReadFile("../examples/bellwether/job.yaml")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, problems := Apply(src, []Change{{Do: Set, Path: "rooms[1].walls[0].length", Value: "4.84 m"}}); len(problems) > 0 {
			b.Fatal(problems)
		}
	}
}
