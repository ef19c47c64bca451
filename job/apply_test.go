package job

import (
	"maps"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"
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
			[]string{`{name: door, kind: door, left: 520, width: 13'9", height: 2050}`, `{name: door, kind: door, left: 520, sill: 0, width: 13'9", height: 2050}`}},
		{"new group", []Change{{Do: Set, Path: "rooms[0].climate.temp", Value: "18 C"}}, []string{"    height: 2.72 m\n", "    height: 2.72 m\n    climate:\n      temp: 18 C\n"}},
		{"new field in its place", []Change{{Do: Set, Path: "rooms[0].walls[0].finish", Value: "weave"}}, []string{"length: 13'9\"\n        openings", "length: 13'9\"\n        finish: weave\n        openings"}},
		{"clear", []Change{{Do: Set, Path: "rooms[0].height", Value: " "}}, []string{"    height: 2.72 m\n", ""}},
		{"clear the only field of a group", []Change{{Do: Clear, Path: "finishes[0].ground.name"}, {Do: Clear, Path: "finishes[0].ground.hex"}}, []string{"    ground: {name: Light, hex: \"#cdd7bd\"}\n", ""}},
		{"clear the first field of an entry", []Change{{Do: Clear, Path: "rooms[0].walls[0].name"}}, []string{"      - name: North\n        length", "      - length"}},
		{"words", []Change{{Do: Set, Path: "crew.days", Value: []string{"Mon", "Sat"}}}, []string{"[Mon, Tue]", "[Mon, Sat]"}},
		{"new words", []Change{{Do: Set, Path: "rooms[0].walls[0].openings[0].paint", Value: []string{"sides", "head"}}},
			[]string{`height: 2050}`, `height: 2050, paint: [sides, head]}`}},
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

const odd = `{scumble: 1, name: "Long House", # flow
  rooms: [{name: Hall, walls: [{name: N, length: 3 m}, {name: S}]}]}
`

const other = `scumble: 1
crew:
  days:
    - Mon  # first
    - Tue
kit: []
terms:
  rule: |
    a
    # no comment
  not-included: [a, 'b, c', "d"]
rooms:
-
  # inside
  name: Hall
  walls:
  - name: North
    length: 3 m
    # height: 2 m

  # a comment of South

  # another
  - name: South

  - {}
-   name: Porch
    height: 2 m  # by eye
`

// How else a text can be written, and what is left of it.
func TestApplyToOtherStyles(t *testing.T) {
	for _, c := range []struct {
		name, src string
		change    Change
		want      []string // old and new pieces of the text by turns
	}{
		{"brackets all round", odd, Change{Do: Set, Path: "name", Value: "x, y"}, []string{`"Long House"`, `"x, y"`}},
		{"new at the margin of brackets", odd, Change{Do: Set, Path: "place", Value: "Ness"}, []string{"  rooms:", "  place: Ness, rooms:"}},
		{"new behind all in brackets", odd, Change{Do: Set, Path: "rooms[0].walls[1].seen", Value: "4"}, []string{"{name: S}", "{name: S, seen: 4}"}},
		{"entry in brackets", odd, Change{Do: Add, Path: "rooms[0].walls", To: 1, Value: Group{{"name", "E"}}}, []string{"{name: S}", "{name: E}, {name: S}"}},
		{"out of brackets", odd, Change{Do: Remove, Path: "rooms[0].walls[0]"}, []string{"{name: N, length: 3 m}, ", ""}},
		{"last out of brackets", odd, Change{Do: Clear, Path: "rooms[0].walls[0].length"}, []string{", length: 3 m", ""}},
		{"a comment in brackets stays", odd, Change{Do: Clear, Path: "name"}, []string{"{scumble: 1, name: \"Long House\", # flow\n  rooms", "# flow\n{scumble: 1, rooms"}},
		{"words below each other", other, Change{Do: Set, Path: "crew.days[0]", Value: "Sat"}, []string{"- Mon  #", "- Sat  #"}},
		{"all words below each other", other, Change{Do: Set, Path: "crew.days", Value: []string{"Wed"}}, []string{"  days:\n    - Mon  # first\n    - Tue\n", "  # first\n  days:\n    - Wed\n"}},
		{"no words", other, Change{Do: Set, Path: "crew.days", Value: []string{}}, []string{"crew:\n  days:\n    - Mon  # first\n    - Tue\n", ""}},
		{"one word more", other, Change{Do: Add, Path: "crew.days", To: 0, Value: "Sun"}, []string{"    - Mon", "    - Sun\n    - Mon"}},
		{"empty brackets", other, Change{Do: Add, Path: "kit", To: -1, Value: Group{{"kind", "steps"}, {"count", ""}}}, []string{"kit: []", "kit:\n  - kind: steps"}},
		{"a text over several lines", other, Change{Do: Set, Path: "terms.rule", Value: "b"}, []string{"rule: |\n    a\n    # no comment\n", "rule: b\n"}},
		{"several lines", other, Change{Do: Set, Path: "terms.not-included[0]", Value: "a\r\nb"}, []string{"[a,", `["a\nb",`}},
		{"quotes stay", other, Change{Do: Clear, Path: "terms.not-included[2]"}, []string{`, "d"]`, "]"}},
		{"dash on a line of its own", other, Change{Do: Set, Path: "rooms[0].name", Value: "Long hall"}, []string{"name: Hall", "name: Long hall"}},
		{"first field", other, Change{Do: Set, Path: "rooms[1].name", Value: ""}, []string{"-   name: Porch\n    height", "-   height"}},
		{"wide indentation", other, Change{Do: Set, Path: "rooms[1].closed", Value: "true"}, []string{"-   name: Porch\n", "-   name: Porch\n    closed: true\n"}},
		{"field of an entry that is not there", small, Change{Do: Set, Path: "finishes[0].boards[0].name", Value: "x"}, nil},
		{"field before the first", "rooms:\n  - height: 3 m  # high\n", Change{Do: Set, Path: "rooms[0].name", Value: "x"}, []string{"- height", "- name: x\n    height"}},
		{"empty entry", other, Change{Do: Set, Path: "rooms[0].walls[2].name", Value: "East"}, []string{"- {}", "- name: East"}},
		{"comments within go along", other, Change{Do: Move, Path: "rooms[0].walls[0]", To: 1},
			[]string{"  - name: North\n    length: 3 m\n    # height: 2 m\n\n  # a comment of South\n\n  # another\n  - name: South\n", "  # another\n  - name: South\n\n  # a comment of South\n\n  - name: North\n    length: 3 m\n    # height: 2 m\n"}},
		{"comments of nobody stay", other, Change{Do: Remove, Path: "rooms[0].walls[0]"},
			[]string{"  - name: North\n    length: 3 m\n    # height: 2 m\n\n  # a comment of South\n\n  # another\n", "\n  # a comment of South\n\n  # another\n"}},
		{"empty lines go along", other, Change{Do: Remove, Path: "rooms[0].walls[1]"}, []string{"  # another\n  - name: South\n\n", ""}},
		{"whole groups", other, Change{Do: Set, Path: "alternatives", Value: []Group{{{"name", "x"}, {"swap", Group{{"a b", "c"}}}}}},
			[]string{"\"d\"]\n", "\"d\"]\n\nalternatives:\n  - name: x\n    swap:\n      \"a b\": c\n"}},
		{"key given twice", "name: a\nname: b\n", Change{Do: Set, Path: "name", Value: "c"}, []string{"name: a", "name: c"}},
		{"key given twice elsewhere", "place: a\nplace: b\nname: x\n", Change{Do: Set, Path: "name", Value: "c"}, []string{"x", "c"}},
		{"only comments", "# nothing yet\n\n", Change{Do: Set, Path: "name", Value: "c"}, []string{"yet\n", "yet\nname: c\n"}},
		{"no end of the last line", "name: a", Change{Do: Set, Path: "place", Value: "c"}, []string{"e: a", "e: a\nplace: c"}},
		{"mixed ends of lines", "\ufeffscumble: 1\r\nname: a\nplace: b\r", Change{Do: Set, Path: "name", Value: "c"}, []string{"name: a\n", "name: c\r\n"}},
		{"nothing to clear", other, Change{Do: Clear, Path: "rooms[0].climate.temp"}, []string{"", ""}},
		{"nothing to move", other, Change{Do: Move, Path: "rooms[1]", To: 1}, []string{"", ""}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, problems := Apply([]byte(c.src), []Change{c.change})
			if c.want == nil {
				if len(problems) != 1 || got != nil {
					t.Fatalf("%v\n%s", problems, got)
				}
				return
			}
			want := c.src
			for i := 0; i < len(c.want); i += 2 {
				if c.want[i] != "" && strings.Count(want, c.want[i]) != 1 {
					t.Fatalf("%q stands %d times in the text", c.want[i], strings.Count(want, c.want[i]))
				}
				want = strings.Replace(want, c.want[i], c.want[i+1], 1)
			}
			if len(problems) > 0 || string(got) != want {
				t.Errorf("%v, got\n%q\nwant\n%q", problems, got, want)
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

// twice reports whether a key is given twice somewhere: Read takes the first.
func twice(b *branch) bool {
	for i, key := range b.keys {
		if slices.Contains(b.keys[:i], key) {
			return true
		}
	}
	return slices.ContainsFunc(b.kids, twice)
}

func FuzzApply(f *testing.F) {
	f.Add([]byte(small), "rooms[0].walls[0].length", "4 m", uint8(0), 0)
	f.Add([]byte(small), "rooms[0].walls", "East", uint8(2), 1)
	f.Add([]byte("a: [1, {b: 'c'}]\nrooms:\n- name: x\n  walls: []"), "rooms[0]", "", uint8(3), 0)
	f.Add([]byte("scumble: 1\r\nrooms:\r\n-\r\n    name: |\r\n      x\r\n    walls: [ {name: 'a', length: 3 m, # c\r\n  } ]\r\n-   name: y\r\n"), "..", "x", uint8(0), 0)
	f.Add([]byte("rooms: |\n  text\nname: >\n  more\n"), "name", "x", uint8(0), 0)
	deeds := []Deed{Set, Clear, Add, Remove, Move}
	f.Fuzz(func(t *testing.T, src []byte, path, value string, deed uint8, to int) {
		if len(src) > 4000 {
			return
		}
		if steps, ok := stepsOf(path); !ok || len(steps) == 0 || typeAt(steps) == nil { // most of what is tried: take one that is there
			if f, _ := Read("x", src); len(f.typed) > 0 {
				list := slices.Sorted(maps.Keys(f.typed))
				path = list[len(path)%len(list)]
			}
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
		again := &editor{lines: strings.Split(strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(strings.TrimPrefix(string(got), "\ufeff")), "\n")}
		if fault := again.read(); fault != nil {
			t.Fatalf("%v made a text that cannot be read: %v\n%q\n%q", c, fault, src, got)
		}
		if again.tree.kind != groupShape {
			t.Fatalf("%v made a text that is no job\n%q", c, got)
		}
		if f, _ := Read("x", got); c.Do == Set && len(f.typed) > 0 {
			want := strings.TrimSpace(strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(value))
			if steps, _ := stepsOf(path); typeAt(steps).Kind() != reflect.Map && want != "" && !twice(again.tree) && f.typed[path] != want {
				t.Fatalf("%v: typed %q\n%q\n%q", c, f.typed[path], src, got)
			}
		}
	})
}

func BenchmarkApply(b *testing.B) {
	demo, err := os.ReadFile("../examples/bellwether/job.yaml")
	if err != nil {
		b.Fatal(err)
	}
	for name, src := range map[string][]byte{"demo": demo, "300-walls": bigJob(300)} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, problems := Apply(src, []Change{{Do: Set, Path: "rooms[1].walls[0].length", Value: "4.84 m"}}); len(problems) > 0 {
					b.Fatal(problems)
				}
			}
		})
	}
}
