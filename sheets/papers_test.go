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
	"scumble/sheets/client"
	"scumble/sheets/desk"
	"scumble/sheets/internal/papertest"
	"scumble/sheets/mixing"
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
	d := &desk.Desk{Plan: p, Fonts: papertest.DemoFonts, Paper: "A4"}
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
