// Package papertest holds what the tests of several papers share: the plan of the
// demonstration, and the words found on pages.
package papertest

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"scumble/catalog"
	"scumble/draw"
	"scumble/examples"
	"scumble/job"
	"scumble/plan"
	"scumble/sheets/desk"
)

// DemoPlan is the plan of the demonstration job, made once for all tests.
var DemoPlan = sync.OnceValues(func() (*plan.Plan, error) {
	c, err := catalog.Builtin()
	if err != nil {
		return nil, err
	}
	file, problems := job.Read(examples.BellwetherName, examples.Bellwether)
	if len(problems) == 0 {
		var p *plan.Plan
		if p, problems, err = plan.Run(file.Job, c); err == nil && len(problems) == 0 {
			return p, nil
		}
	}
	for _, p := range problems {
		err = &problemError{p.Path + ": " + p.What}
	}
	return nil, err
})

type problemError struct{ what string }

func (e *problemError) Error() string { return e.what }

// DemoFonts are shared by the tests, as by the documents.
var DemoFonts = draw.NewFonts()

// DemoDesk is a desk with the demonstration job on it.
func DemoDesk(t *testing.T, paper string) *desk.Desk {
	t.Helper()
	p, err := DemoPlan()
	if err != nil {
		t.Fatal(err)
	}
	shared, _ := desks.LoadOrStore(paper, &desk.Desk{Plan: p, Fonts: DemoFonts, Paper: paper})
	return shared.(*desk.Desk)
}

// OwnDesk is a desk of its own, for a test that puts another plan on it.
func OwnDesk(t *testing.T, paper string) *desk.Desk {
	return &desk.Desk{Plan: DemoDesk(t, paper).Plan, Fonts: DemoFonts, Paper: paper}
}

// desks by paper: the pictures of a desk are painted once for all tests.
var desks sync.Map

// WordsOn lists the lettering of a page in the order it was drawn, each with its place.
func WordsOn(p draw.Page) []draw.Text { return Drawn[draw.Text](p.Items) }

// Drawn lists the things of one kind among drawn ones, in the order they were drawn.
func Drawn[Kind draw.Item](items []draw.Item) []Kind {
	var out []Kind
	for _, item := range items {
		switch it := item.(type) {
		case Kind:
			out = append(out, it)
		case draw.Group:
			out = append(out, Drawn[Kind](it.Items)...)
		}
	}
	return out
}

// SaidOn is the lettering of pages as one string, so that sentences broken over
// lines are found.
func SaidOn(pages ...draw.Page) string {
	var words []string
	for _, p := range pages {
		for _, w := range WordsOn(p) {
			words = append(words, w.Text)
		}
	}
	return PlainSpaces(strings.Join(words, " "))
}

// PlainSpaces makes all space single, and none after a hyphen, where lines break.
func PlainSpaces(s string) string {
	return strings.ReplaceAll(strings.Join(strings.Fields(s), " "), "- ", "-")
}

// MustSay fails for each of the words that a text does not say.
func MustSay(t *testing.T, text string, wants ...string) {
	t.Helper()
	for _, want := range wants {
		if !strings.Contains(text, PlainSpaces(want)) {
			t.Errorf("%q is not said", want)
		}
	}
}

// PagesOf makes a document and returns the pages whose header says where.
func PagesOf(t *testing.T, d *desk.Desk, make func(*desk.Desk) (draw.Doc, error), where string) []draw.Page {
	t.Helper()
	doc, err := make(d)
	if err != nil {
		t.Fatal(err)
	}
	var pages []draw.Page
	for _, p := range doc.Pages {
		if slices.ContainsFunc(WordsOn(p)[:6], func(w draw.Text) bool { return strings.HasPrefix(w.Text, where) }) {
			pages = append(pages, p)
		}
	}
	if len(pages) == 0 {
		t.Fatalf("no page of %q", where)
	}
	return pages
}

// Midnight begins a day of March 2027, the month of the demonstration.
func Midnight(day int) time.Time { return time.Date(2027, 3, day, 0, 0, 0, 0, time.UTC) }

// PlacedWords is the lettering with groups moved to their place.
func PlacedWords(items []draw.Item, by []draw.Transform) []draw.Text {
	var out []draw.Text
	for _, item := range items {
		switch it := item.(type) {
		case draw.Text:
			for _, tr := range slices.Backward(by) {
				it.At = tr.Apply(it.At)
			}
			out = append(out, it)
		case draw.Group:
			out = append(out, PlacedWords(it.Items, append(slices.Clone(by), it.Place))...)
		}
	}
	return out
}

// RunTool calls a Debian program; the test fails when it is missing.
func RunTool(t *testing.T, name string, args ...string) string {
	t.Helper()
	out, err := exec.Command(name, args...).Output()
	if err != nil {
		t.Fatalf("%s %s: %v", name, strings.Join(args, " "), err)
	}
	return string(out)
}

// PDFFile writes a document to a temporary file and returns its path.
func PDFFile(t *testing.T, d *desk.Desk, make func(*desk.Desk) (draw.Doc, error)) string {
	t.Helper()
	doc, err := make(d)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := d.Fonts.WritePDF(&b, doc); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "paper.pdf")
	if err := os.WriteFile(file, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	return file
}

// SettingOutDesk plans the demonstration job; change may alter it first.
func SettingOutDesk(t testing.TB, paper string, change func(*job.Job)) *desk.Desk {
	t.Helper()
	file, problems := job.Read("job.yaml", examples.Bellwether)
	c, err := catalog.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	if change != nil {
		change(file.Job)
	}
	p, more, err := plan.Run(file.Job, c)
	if err != nil || len(problems)+len(more) > 0 {
		t.Fatal(err, problems, more)
	}
	return &desk.Desk{Plan: p, Fonts: draw.NewFonts(), Paper: paper}
}
