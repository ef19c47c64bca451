package sheets

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"scumble/catalog"
	"scumble/draw"
	"scumble/internal/golden"
	"scumble/job"
	"scumble/plan"
)

// The words of the papers of a small job are kept, page by page and line by line.
func TestWordsOfThePapersOfASmallJob(t *testing.T) {
	src, err := os.ReadFile("testdata/small/job.yaml")
	if err != nil {
		t.Fatal(err)
	}
	file, problems := job.Read("job.yaml", src)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	c, err := catalog.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	p, problems, err := plan.Run(file.Job, c)
	if err != nil || len(problems) > 0 {
		t.Fatal(err, problems)
	}
	d := &desk{plan: p, fonts: demoFonts, paper: "A4"}
	for _, paper := range []struct {
		name string
		make func(*desk) (draw.Doc, error)
	}{{"quote", (*desk).quote}, {"buying", (*desk).buying}, {"mixes", (*desk).mixes}, {"handover", (*desk).handover}} {
		doc, err := paper.make(d)
		if err != nil {
			t.Fatal(err)
		}
		var b strings.Builder
		for i, page := range doc.Pages {
			fmt.Fprintf(&b, "== page %d\n", i+1)
			for _, w := range wordsOn(page) {
				b.WriteString(w.Text + "\n")
			}
		}
		golden.Check(t, "small/"+paper.name+".txt", []byte(b.String()))
	}
	table, err := d.buyingTable()
	if err != nil {
		t.Fatal(err)
	}
	golden.Check(t, "small/buying.csv", table)
}
