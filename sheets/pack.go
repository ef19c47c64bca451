// Package sheets turns a Plan into the document pack: the papers a crew works
// from, a client signs and a house keeps. It computes nothing about the job.
package sheets

import (
	"fmt"
	"runtime"
	"sync"

	"scumble/draw"
	"scumble/plan"
	"scumble/sheets/client"
	"scumble/sheets/desk"
	"scumble/sheets/mixing"
	"scumble/sheets/programme"
	"scumble/sheets/site"
	"scumble/sheets/wall"
)

// File is one document of the pack.
type File = desk.File

// documents lists the pack in the order a job uses it.
var documents = []struct {
	name, what string
	make       func(*desk.Desk) ([]byte, error)
}{
	{"quote.pdf", "what the client agrees to and pays", desk.PDF(client.Quote)},
	{"colours.pdf", "each finish by day and by lamp, in patches and figures", desk.PDF(client.Colours)},
	{"boards.pdf", "sample boards to make, and what they told", desk.PDF(client.Boards)},
	{"setting-out.pdf", "every wall to scale, marks and alternatives", desk.PDF(wall.SettingOut)},
	{"method.pdf", "a sheet for each wall: steps, days, mixes, faults", desk.PDF(wall.Method)},
	{"mixes.pdf", "what to mix, and labels for the buckets", desk.PDF(mixing.Mixes)},
	{"buying.pdf", "what to buy and why", desk.PDF(mixing.Buying)},
	{"buying.csv", "the same for a spreadsheet", mixing.BuyingTable},
	{"programme.pdf", "the chart, and a sheet for each person and day", desk.PDF(programme.Programme)},
	{"programme.ics", "the same for a calendar", programme.Calendar},
	{"safety.pdf", "cautions where the hand is, and what they defer to", desk.PDF(site.Safety)},
	{"inspection.pdf", "what to check before each coat and at the end", desk.PDF(site.Inspection)},
	{"handover.pdf", "recipes, batches, care and touching up", desk.PDF(client.Handover)},
	{"plan.json", "the whole plan, for other programs", planJSON},
}

// Pack makes every paper of a plan. paper is A4, Letter or "" for what the job
// says. Two runs give the same bytes.
func Pack(p *plan.Plan, paper string) ([]File, error) {
	if paper == "" {
		paper = p.Job.Paper
	}
	d := &desk.Desk{Plan: p, Fonts: draw.NewFonts(), Paper: paper}
	files := make([]File, len(documents))
	errs := make([]error, len(documents))
	var all sync.WaitGroup
	turn := make(chan struct{}, max(1, runtime.GOMAXPROCS(0)))
	for i, doc := range documents {
		all.Go(func() {
			turn <- struct{}{}
			defer func() { <-turn }()
			content, err := doc.make(d)
			files[i], errs[i] = File{Name: doc.name, What: doc.what, Content: content}, err
		})
	}
	all.Wait()
	for i, err := range errs {
		if err != nil {
			return nil, fmt.Errorf("%s: %w", documents[i].name, err)
		}
	}
	walls, err := wall.Walls(d)
	return append(files, walls...), err
}
