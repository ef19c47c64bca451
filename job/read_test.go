package job

import (
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"scumble/unit"
)

// soundJobs are jobs without a problem.
func soundJobs(t testing.TB) map[string][]byte {
	t.Helper()
	jobs := map[string][]byte{"big": bigJob(8)}
	names, err := filepath.Glob("../examples/*/job.yaml")
	if err != nil || len(names) == 0 {
		t.Fatalf("no example jobs: %v", err)
	}
	for _, name := range names {
		src, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		jobs[name] = src
	}
	return jobs
}

func TestSoundJobs(t *testing.T) {
	for name, src := range soundJobs(t) {
		f, problems := Read(name, src)
		for _, p := range append(problems, f.Check()...) {
			t.Error(p)
		}
	}
}

// What is typed stays, beside the value it stands for.
func TestTyped(t *testing.T) {
	src := soundHead + `  - name: Hall
    height: 8'11"
    substrate: lime-plaster
    walls:
      - {name: "No", length: 13 ft 9 1/2 in, lean-left: -12, finish: weave, seen: 5}
      - {name: On, length: "4,20 m", finish: weave}
prices:
  packs: [{product: oil-glaze, size: 750 ml, price: "2 390,44", stock: 0}]
`
	f, problems := Read("job.yaml", []byte(src))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	j := f.Job
	check := func(what string, got, want any) {
		t.Helper()
		if !reflect.DeepEqual(got, want) {
			t.Errorf("%s: got %#v, want %#v", what, got, want)
		}
	}
	walls := j.Rooms[0].Walls
	// 1 in = 25.4 mm exactly (international yard and pound agreement, 1959)
	check("height", j.Rooms[0].Height, Length{`8'11"`, unit.Length(107 * 25.4)})
	check("length", walls[0].Length, Length{"13 ft 9 1/2 in", unit.Length(165.5 * 25.4)})
	check("lean", walls[0].LeanLeft, Length{"-12", -12})
	check("decimal comma", walls[1].Length, Length{"4,20 m", 4200})
	check("a wall called No", walls[0].Name, "No")
	check("a wall called On", walls[1].Name, "On")
	check("seen", walls[0].Seen, 5)
	check("seen by default", walls[1].Seen, 3)
	check("days by default", j.Crew.Days, []string{"Mon", "Tue", "Wed", "Thu", "Fri"})
	check("hours", j.Crew.Hours, []Span{{480, 720}, {750, 990}})
	check("humidity", j.Climate.Humidity, Humidity{"55 %", 0.55})
	check("price", j.Prices.Packs[0].Price, Money{"2 390,44", 239044})
	check("content", j.Prices.Packs[0].Litres, 0.75)
	check("stock", *j.Prices.Packs[0].Stock, 0)
	check("colour", j.Finishes[0].Glaze, Colour{Name: "Fern", Hex: "#b3c79b"})
}

// The place of a value is right after its key, a dash, a bracket or a comma, and
// the place of a list or a group is its key. The text of the file is the oracle.
func TestPlaces(t *testing.T) {
	index := regexp.MustCompile(`\[\d+\]$`)
	for name, src := range soundJobs(t) {
		f, _ := Read(name, src)
		lines := strings.Split(string(src), "\n")
		for path, at := range f.Places {
			if path == "" {
				continue
			}
			line := []rune(lines[at.Line-1])
			before, after := strings.TrimSpace(string(line[:at.Column-1])), string(line[at.Column-1:])
			key := path[strings.LastIndex(path, ".")+1:]
			ok := strings.HasSuffix(before, key+":") || strings.HasPrefix(after, key+":")
			if index.MatchString(path) {
				ok = before == "-" || strings.HasSuffix(before, "[") || strings.HasSuffix(before, ",")
			}
			if !ok || after == "" || after[0] == ' ' {
				t.Errorf("%s: %s is said to be at %d:%d, where %q stands", name, path, at.Line, at.Column, after)
			}
		}
		if len(f.Places) < 100 {
			t.Errorf("%s: only %d places", name, len(f.Places))
		}
	}
}

// The ends of lines and the mark some editors put first change nothing.
func TestLineEnds(t *testing.T) {
	for name, src := range soundJobs(t) {
		want, _ := Read(name, src)
		for what, other := range map[string]string{
			"CR LF":           strings.ReplaceAll(string(src), "\n", "\r\n"),
			"CR":              strings.ReplaceAll(string(src), "\n", "\r"),
			"byte order mark": "\ufeff" + string(src),
			"begin of file":   strings.Replace(string(src), "scumble:", "---\nscumble:", 1),
		} {
			got, problems := Read(name, []byte(other))
			if len(problems) > 0 || !reflect.DeepEqual(got.Job, want.Job) {
				t.Errorf("%s with %s is another job: %v", name, what, problems)
			}
			if what != "begin of file" && !reflect.DeepEqual(got.Places, want.Places) {
				t.Errorf("%s with %s has other places", name, what)
			}
		}
	}
}

// A job of 4,000 walls is within all bounds of the reader.
func TestLargeJob(t *testing.T) {
	f, problems := Read("big.yaml", bigJob(4000))
	if len(problems) > 0 || len(f.Job.Rooms) != 1000 {
		t.Errorf("%d rooms: %v", len(f.Job.Rooms), problems)
	}
}

func TestUnreadableFiles(t *testing.T) {
	for _, c := range []struct {
		name, src, want string
	}{
		{"empty", "", "x.yaml:1:1: the file is empty; begin a job with the line scumble: 1"},
		{"blank", " \n\t\n", "x.yaml:1:1: the file is empty; begin a job with the line scumble: 1"},
		{"binary", "scumble: 1\nname: \xff\xfe", "x.yaml:2:7: this is not text in UTF-8; save the file as plain text, UTF-8"},
		{"huge", strings.Repeat("#\n", largestFile), "x.yaml:1:1: the file is larger than 4 MB; part the job in several files"},
	} {
		f, problems := Read("x.yaml", []byte(c.src))
		if len(problems) != 1 || problems[0].Error() != c.want {
			t.Errorf("%s: got %v, want %s", c.name, problems, c.want)
		}
		if f == nil || f.Job == nil || len(f.Check())+len(f.CheckAgainst(known)) > 0 {
			t.Errorf("%s: a file that cannot be read has no further problems", c.name)
		}
	}
}

// A field that is not there has the place of what it belongs to.
func TestAt(t *testing.T) {
	f, _ := Read("job.yaml", bigJob(1))
	for path, want := range map[string]string{
		"rooms[0].walls[0].length":          "length: 4.83 m",
		"rooms[0].walls[0].ridge.at":        "- name: Wall 1",
		"rooms[0].walls[0].openings[1].pod": "- {name: door",
		"rooms[9].walls[3]":                 "rooms:",
		"prices":                            "scumble: 1",
	} {
		line := strings.Split(string(bigJob(1)), "\n")[f.At(path).Line-1]
		if !strings.HasPrefix(strings.TrimSpace(line), want) {
			t.Errorf("%s is placed in the line %q, want %q", path, line, want)
		}
	}
}

// Problems of later stages carry a path only; those of values that could not be
// read are dropped, because Read has said why.
func TestPlaced(t *testing.T) {
	src := strings.Replace(string(bigJob(2)), "length: 4.83 m", "length: 4,830", 1)
	f, problems := Read("job.yaml", []byte(src))
	if len(problems) != 1 {
		t.Fatal(problems)
	}
	got := f.Placed([]Problem{
		{Path: "rooms[0].walls[1].length", What: "b"},
		{Path: "rooms[0].walls[0].length", What: "is missing"},
		{Path: "rooms[0].walls[0]", What: "a"},
		{Path: "rooms[0].walls[0]", What: "a"},
	})
	if len(got) != 2 || got[0].What != "a" || got[1].What != "b" || got[0].File != "job.yaml" || got[0].Line >= got[1].Line {
		t.Errorf("got %v", got)
	}
}

func TestProblemText(t *testing.T) {
	full := Problem{"job.yaml", Position{12, 7}, "rooms[0].height", "it is wrong", "write it right"}
	for want, p := range map[string]Problem{
		"job.yaml:12:7: rooms[0].height: it is wrong; write it right": full,
		"rooms[0].height: it is wrong":                                {Path: "rooms[0].height", What: "it is wrong"},
		"job.yaml: it is wrong":                                       {File: "job.yaml", What: "it is wrong"},
		"it is wrong":                                                 {What: "it is wrong"},
	} {
		if got := p.Error(); got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}

func TestNearest(t *testing.T) {
	known := []string{"length", "height", "height-right", "finish", "outline"}
	for typed, want := range map[string]string{
		"lenght": "length", "hight": "height", "heightRight": "height-right", "height_right": "height-right",
		"Finish": "finish", "outlien": "outline", "colour": "", "x": "", "": "", strings.Repeat("y", 5000): "",
	} {
		if got := nearest(typed, known); got != want {
			t.Errorf("%.20q: got %q, want %q", typed, got, want)
		}
	}
}

// ISO 4217: two decimals are the rule; the yen has none, the Kuwaiti dinar three.
func TestDecimals(t *testing.T) {
	for code, want := range map[string]int{"EUR": 2, "INR": 2, "JPY": 0, "KWD": 3, "CLF": 4, "": 2, "F C": 2, "KRW": 0} {
		if got := Decimals(code); got != want {
			t.Errorf("%s: %d decimals, want %d", code, got, want)
		}
	}
}

// Every field of the job file is described, and its tags can be read.
func TestFields(t *testing.T) {
	if len(shapes) < 20 {
		t.Fatalf("%d groups of fields", len(shapes))
	}
	for group, fields := range shapes {
		seen := map[string]bool{}
		for _, f := range fields {
			name := group.Name() + "." + f.key
			typ := group.Field(f.index).Type
			if f.doc == "" || seen[f.key] || f.key != strings.ToLower(f.key) {
				t.Errorf("%s has no description, or its key is there twice or has capitals", name)
			}
			seen[f.key] = true
			if f.standIn != "" && typ.Kind() != reflect.Slice {
				v, err := readValue(typ, f.standIn, f, 2)
				if err != nil || f.check(v, f.standIn) != nil {
					t.Errorf("%s: the default %q is not a value of it", name, f.standIn)
				}
			}
			if f.low.text != "" && f.high.text != "" && f.low.value > f.high.value {
				t.Errorf("%s: the bounds are the wrong way round", name)
			}
		}
	}
}

// Whatever line of a sound job is lost, doubled or cut short, every problem has
// its place in the file, and nothing panics.
func TestSpoiltJobs(t *testing.T) {
	for name, src := range soundJobs(t) {
		lines := strings.Split(string(src), "\n")
		step := 1 + len(lines)/25
		for i := 0; i < len(lines); i += step {
			for _, line := range []string{"", lines[i] + "\n" + lines[i], lines[i][:len(lines[i])/2], strings.TrimLeft(lines[i], " "), " " + lines[i]} {
				spoilt := slices.Clone(lines)
				spoilt[i] = line
				soundProblems(t, fmt.Sprintf("%s line %d", name, i+1), []byte(strings.Join(spoilt, "\n")))
			}
		}
	}
}

// soundProblems checks what holds for the problems of any file.
func soundProblems(t *testing.T, name string, src []byte) {
	t.Helper()
	f, problems := Read("job.yaml", src)
	if f == nil || f.Job == nil {
		t.Fatalf("%s: no job", name)
	}
	problems = append(problems, f.Check()...)
	problems = append(problems, f.CheckAgainst(known)...)
	lines := strings.Split(strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(string(src)), "\n")
	for _, p := range problems {
		if p.File != "job.yaml" || p.What == "" || strings.ContainsAny(p.Error(), "\n\x00") {
			t.Errorf("%s: not a sound problem: %q", name, p.Error())
		}
		if p.Line < 1 || p.Column < 1 || p.Line > len(lines) || p.Column > len([]rune(lines[p.Line-1]))+1 {
			t.Errorf("%s: %s is placed outside the file", name, p.Error())
		}
	}
	sorted := Sorted(problems)
	if again := Sorted(append(slices.Clone(sorted), sorted...)); !slices.Equal(sorted, again) {
		t.Errorf("%s: sorting is not stable", name)
	}
}
