package job

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// known is a small catalog for the wrong jobs.
var known = Known{
	Techniques: set("dragging", "combing", "cross-drag-weave"),
	Products:   set("oil-glaze", "clear-glaze", "clear-coat", "satin-ground-coat", "fine-filler"),
	Substrates: set("gypsum-plaster", "lime-plaster"),
	Rules:      set("void-0-5", "void-1-0"),
	Goods:      set("tape", "masking-tape", "brush", "paper"),
	Colours: map[string][]string{
		"dragging":         {"ground", "glaze"},
		"combing":          {"ground", "glaze"},
		"cross-drag-weave": {"ground", "ground-b", "glaze", "glaze-b"},
	},
	Glazes:     map[string][]string{"dragging": {"oil-glaze", "clear-glaze"}},
	Variations: map[string][]string{"dragging": {"criss-cross"}, "combing": {"squares"}},
	Strips:     set("cross-drag-weave"),
	ByMass:     set("fine-filler"),
	Figure: func(path string) ([]string, bool) {
		switch path {
		case "techniques/dragging/section.width":
			return []string{"book"}, true
		case "products/oil-glaze/solids":
			return nil, true
		}
		return nil, false
	},
	Learn: func(path string) (string, bool, error) {
		switch path {
		case "products/oil-glaze/drying.open":
			return "h", true, nil
		case "techniques/dragging/pair.work":
			return "m2/h", true, nil
		case "products/oil-glaze/solids":
			return "ratio", true, errors.New("it is neither a pace nor a time")
		}
		return "", false, nil
	},
}

func set(ids ...string) map[string]bool {
	all := map[string]bool{}
	for _, id := range ids {
		all[id] = true
	}
	return all
}

// allProblems are the problems of a job that package job can find.
func allProblems(name string, src []byte) []Problem {
	f, problems := Read(name, src)
	problems = append(problems, f.Check()...)
	problems = append(problems, f.CheckAgainst(known)...)
	return Sorted(problems)
}

// Each wrong job begins with lines "# want: LINE:COLUMN path: part of the
// message" for all the problems it has, in their order; the path of the whole
// file is "-". A line "# schema: fails" says that its shape is wrong already.
func TestWrongJobs(t *testing.T) {
	names, err := filepath.Glob("testdata/wrong/*.yaml")
	if err != nil || len(names) < 70 {
		t.Fatalf("%d wrong jobs, want at least 70 (%v)", len(names), err)
	}
	schema := resolvedSchema(t)
	for _, name := range names {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".yaml"), func(t *testing.T) {
			src, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			want, fails := expected(string(src))
			got := allProblems("wrong.yaml", src)
			for i := range max(len(got), len(want)) {
				switch {
				case i >= len(got):
					t.Errorf("missing: %s", want[i])
				case i >= len(want):
					t.Errorf("not expected: %s", shown(got[i]))
				case !matches(shown(got[i]), want[i]):
					t.Errorf("\n got %s\nwant %s", shown(got[i]), want[i])
				}
			}
			if len(want) == 0 {
				t.Error("the file names no problem")
			}
			if err := validate(schema, src); (err != nil) != fails {
				t.Errorf("against the schema: %v; the file says fails: %t", err, fails)
			}
		})
	}
}

// shown prints a problem the way the files write it.
func shown(p Problem) string {
	path := p.Path
	if path == "" {
		path = "-"
	}
	return fmt.Sprintf("%d:%d %s: %s; %s", p.Line, p.Column, path, p.What, p.Do)
}

// matches compares place and path whole, and the message in part.
func matches(got, want string) bool {
	gotHead, gotText, _ := strings.Cut(got, ": ")
	wantHead, wantText, ok := strings.Cut(want, ": ")
	return ok && gotHead == wantHead && wantText != "" && strings.Contains(gotText, wantText)
}

func expected(src string) (want []string, fails bool) {
	for line := range strings.Lines(src) {
		if text, ok := strings.CutPrefix(line, "# want: "); ok {
			want = append(want, strings.TrimSpace(text))
		}
		fails = fails || strings.HasPrefix(line, "# schema: fails")
	}
	return want, fails
}
