package sheets

import (
	"bytes"
	"fmt"
	"os"
	"runtime"
	"strings"
	"testing"

	"scumble/catalog"
	"scumble/draw"
	"scumble/internal/golden"
	"scumble/job"
	"scumble/plan"
	"scumble/sheets/client"
	"scumble/sheets/desk"
	"scumble/sheets/internal/papertest"
	"scumble/sheets/mixing"
	"scumble/sheets/pattern"
	"scumble/sheets/wall"
)

// smallDesk has the small job on it; change may alter the job before it is planned.
func smallDesk(t *testing.T, change func(*job.Job)) *desk.Desk {
	t.Helper()
	src, err := os.ReadFile("testdata/small/job.yaml")
	if err != nil {
		t.Fatal(err)
	}
	file, problems := job.Read("job.yaml", src)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	if change != nil {
		change(file.Job)
	}
	c, err := catalog.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	p, problems, err := plan.Run(file.Job, c)
	if err != nil || len(problems) > 0 {
		t.Fatal(err, problems)
	}
	return &desk.Desk{Plan: p, Fonts: papertest.DemoFonts, Paper: "A4"}
}

// The words of the papers of a small job are kept, page by page and line by line.
func TestWordsOfThePapersOfASmallJob(t *testing.T) {
	d := smallDesk(t, nil)
	for _, paper := range []struct {
		name string
		make func(*desk.Desk) (draw.Doc, error)
	}{{"quote", client.Quote}, {"colours", client.Colours}, {"boards", client.Boards}, {"buying", mixing.Buying}, {"mixes", mixing.Mixes}, {"handover", client.Handover}} {
		doc, err := paper.make(d)
		if err != nil {
			t.Fatal(err)
		}
		var b strings.Builder
		for i, page := range doc.Pages {
			fmt.Fprintf(&b, "== page %d\n", i+1)
			for _, w := range papertest.WordsOn(page) {
				b.WriteString(w.Text + "\n")
			}
		}
		golden.Check(t, "small/"+paper.name+".txt", []byte(b.String()))
	}
	table, err := mixing.BuyingTable(d)
	if err != nil {
		t.Fatal(err)
	}
	golden.Check(t, "small/buying.csv", table)
}

// Two packs have the same bytes, on one core and on all.
func TestPackOfTwoRunsIsTheSame(t *testing.T) {
	p := smallDesk(t, nil).Plan
	one, err := Pack(t.Context(), p, Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	other, err := Pack(t.Context(), p, Options{})
	if err != nil || len(one) != len(other) {
		t.Fatal(err, len(one), len(other))
	}
	for i := range one {
		if one[i].Name != other[i].Name || !bytes.Equal(one[i].Content, other[i].Content) {
			t.Errorf("%s and %s differ", one[i].Name, other[i].Name)
		}
	}
}

// A finish whose picture cannot be made stops no paper: each says why and shows the
// drawn pattern, and the other finish keeps its picture.
func TestPapersOfAFinishWithoutAPicture(t *testing.T) {
	d := smallDesk(t, func(j *job.Job) { j.Finishes[1].Glaze.Measured = "no such card" })
	if d.Shown("drag").Err != nil || d.Shown("wash").Err == nil {
		t.Fatalf("drag: %v; wash: %v", d.Shown("drag").Err, d.Shown("wash").Err)
	}
	for name, make := range map[string]func(*desk.Desk) (draw.Doc, error){
		"quote": client.Quote, "colours": client.Colours, "boards": client.Boards, "handover": client.Handover, "method": wall.Method,
	} {
		doc, err := make(d)
		if err != nil {
			t.Fatal(name, err)
		}
		text := papertest.SaidOn(doc.Pages...)
		if !strings.Contains(text, "o picture can be computed") || !strings.Contains(text, "no such card") {
			t.Errorf("%s does not say why there is no picture", name)
		}
		pictures := 0
		for _, p := range doc.Pages {
			pictures += len(papertest.Drawn[draw.Image](p.Items))
		}
		if pictures == 0 {
			t.Errorf("%s: the finish that can be shown is not", name)
		}
		if name != "colours" && name != "boards" {
			papertest.MustSay(t, text, pattern.Note)
		}
	}
	if _, err := Pack(t.Context(), d.Plan, Options{Paper: "Letter"}); err != nil {
		t.Error(err)
	}
}
