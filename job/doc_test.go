package job

import (
	"fmt"
	"os"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"scumble/internal/golden"
)

const reference = "../docs/job-file.md"

// The tables of the reference are those of the types; -update rewrites them.
func TestReferenceTables(t *testing.T) {
	page, err := os.ReadFile(reference)
	if err != nil {
		t.Fatal(err)
	}
	text := string(page)
	for group, fields := range shapes {
		begin, end := fmt.Sprintf("<!-- fields of %s -->\n", group.Name()), "<!-- end of fields -->"
		head, rest, found := strings.Cut(text, begin)
		_, tail, closed := strings.Cut(rest, end)
		if !found || !closed {
			t.Errorf("%s has no table for %s", reference, group.Name())
			continue
		}
		table := "| Field | What it is | How it is written | When left out |\n|---|---|---|---|\n"
		for _, f := range fields {
			table += fmt.Sprintf("| `%s` | %s | %s | %s |\n", f.key, meaning(f), writing(group.Field(f.index).Type, f), without(group.Field(f.index).Type, f))
		}
		text = head + begin + table + end + tail
	}
	golden.Check(t, "../"+reference, []byte(text))
}

// meaning is the description without the default, which has a column of its own.
func meaning(f field) string {
	text, _, _ := strings.Cut(f.doc, "; default ")
	return text
}

func without(t reflect.Type, f field) string {
	_, stands, _ := strings.Cut(f.doc, "; default ")
	switch {
	case strings.HasPrefix(f.doc, "default "):
		return strings.TrimPrefix(f.doc, "default ")
	case f.must || needs(t):
		return "must be given"
	case f.standIn != "":
		return strings.ReplaceAll(f.standIn, "|", ", ")
	}
	return stands
}

func writing(t reflect.Type, f field) string {
	switch {
	case t.Kind() == reflect.Pointer:
		return writing(t.Elem(), f)
	case t.Kind() == reflect.Slice && shapes[t.Elem()] != nil:
		return "list of groups, see " + link(t.Elem())
	case t.Kind() == reflect.Slice:
		return "list, each entry " + writing(t.Elem(), f)
	case t.Kind() == reflect.Map:
		return "pairs"
	case shapes[t] != nil:
		return "group, see " + link(t)
	case len(f.one) > 0:
		return "`" + strings.Join(f.one, "`, `") + "`"
	}
	text := wordFor(t)
	switch {
	case f.low.text != "" && f.high.text == "":
		text += ", " + f.low.text + " or more"
	case f.low.text != "" && f.low.text == f.high.text:
		text += ", " + f.low.text
	case f.low.text != "":
		text += ", " + f.low.text + " to " + f.high.text
	case f.over.text != "":
		text += " above " + f.over.text
	}
	return text
}

func link(t reflect.Type) string {
	return fmt.Sprintf("[%s](#%s)", strings.ToLower(t.Name()), strings.ToLower(t.Name()))
}

// The example of the reference is sound and uses every field there is.
func TestReferenceExample(t *testing.T) {
	page, err := os.ReadFile(reference)
	if err != nil {
		t.Fatal(err)
	}
	m := regexp.MustCompile("(?s)```yaml\n(scumble: 1\n.*?)```").FindSubmatch(page)
	if m == nil {
		t.Fatal("the reference has no whole job")
	}
	f, problems := Read("example.yaml", m[1])
	problems = append(problems, f.Check()...)
	for _, p := range problems {
		t.Error(p)
	}
	if err := validate(resolvedSchema(t), m[1]); err != nil {
		t.Error(err)
	}
	used := map[string]bool{}
	note(reflect.TypeFor[Job](), "", f, used)
	for group, fields := range shapes {
		for _, field := range fields {
			if name := group.Name() + "." + field.key; !used[name] {
				t.Errorf("the example does not show %s", name)
			}
		}
	}
}

// The survey table of the reference can be read.
func TestReferenceTable(t *testing.T) {
	page, err := os.ReadFile(reference)
	if err != nil {
		t.Fatal(err)
	}
	m := regexp.MustCompile("(?s)```csv\n(.*?)```").FindSubmatch(page)
	if m == nil {
		t.Fatal("the reference has no survey table")
	}
	rooms, problems := readTable("survey.csv", m[1])
	if len(problems) > 0 || len(rooms) != 1 || len(rooms[0].Walls) != 2 || len(rooms[0].Walls[1].Openings) != 2 {
		t.Errorf("%v %v", rooms, problems)
	}
}

// note collects the fields that have a place in a file, by group and key.
func note(t reflect.Type, path string, f *File, used map[string]bool) {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if t.Kind() == reflect.Slice {
		for i := 0; ; i++ {
			item := fmt.Sprintf("%s[%d]", path, i)
			if _, ok := f.Places[item]; !ok {
				return
			}
			note(t.Elem(), item, f, used)
		}
	}
	for _, field := range shapes[t] {
		sub := join(path, field.key)
		if _, ok := f.Places[sub]; ok {
			used[t.Name()+"."+field.key] = true
			note(t.Field(field.index).Type, sub, f, used)
		}
	}
}
