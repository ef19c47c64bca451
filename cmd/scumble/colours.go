package main

import (
	"fmt"
	"io"
	"slices"

	"scumble/appearance"
	"scumble/job"
	"scumble/plan"
)

type coloursCommand struct {
	Job     string   `arg:"" help:"Job file (YAML)."`
	Finish  []string `help:"Ids of finishes; default all that are on a wall."`
	Catalog string   `help:"Folder of your own catalog records, laid over the built-in ones." type:"path"`
}

// Run prints the colours of the finishes in figures, and what is worth knowing.
func (cmd *coloursCommand) Run(to streams) error {
	p, _, err := planOf(to, cmd.Job, cmd.Catalog)
	if err != nil {
		return err
	}
	lamps := lampsByFinish(p)
	ids := cmd.Finish
	if len(ids) == 0 {
		for _, f := range p.Job.Finishes {
			if len(lamps[f.ID]) > 0 {
				ids = append(ids, f.ID)
			}
		}
	}
	guess := ""
	for n, id := range ids {
		if n > 0 {
			fmt.Fprintln(to.out)
		}
		said, err := printColours(to.out, p, id, lamps[id])
		if err != nil {
			return err
		}
		if said != "" {
			guess = said
		}
	}
	if guess != "" {
		fmt.Fprintf(to.out, "\n%s\n", guess)
	}
	return nil
}

// lampsByFinish lists what each finish is lit with, in the order of the rooms.
func lampsByFinish(p *plan.Plan) map[string][]string {
	lamps := map[string][]string{}
	for r, room := range p.Survey.Rooms {
		light := appearance.LampsOf(p.Job, r)
		for _, wall := range room.Walls {
			for _, face := range wall.Faces {
				if !slices.Contains(lamps[face.Finish], light) {
					lamps[face.Finish] = append(lamps[face.Finish], light)
				}
			}
		}
	}
	return lamps
}

// printColours prints a finish; guess is what is to be said once about colours that
// were not measured.
func printColours(w io.Writer, p *plan.Plan, id string, lamps []string) (guess string, err error) {
	f, adjusted, err := appearance.Agreed(p.Job, p.Catalog, id)
	if err != nil {
		return "", err
	}
	if len(lamps) == 0 {
		lamps = []string{p.Job.Lamps}
	}
	s, err := appearance.SwatchOf(f, p.Catalog, lamps...)
	if err != nil {
		return "", err
	}
	fmt.Fprintf(w, "%s (%s)\n", f.Name, f.Technique.Name)
	line := func(c appearance.Patch) {
		fmt.Fprintf(w, "  %-34s %s   L* %5.1f  a* %5.1f  b* %5.1f   LRV %4.1f\n", c.Name, c.Hex, c.Lab.L, c.Lab.A, c.Lab.B, c.LRV)
	}
	for n, ground := range s.Grounds {
		line(ground)
		for _, d := range s.Drawdowns[n] {
			line(d)
		}
		line(s.Finished[n])
	}
	if len(s.Finished) > 1 {
		line(s.Whole)
	}
	line(s.Light)
	line(s.Dark)
	for _, g := range f.Glazes {
		fmt.Fprintf(w, "  %s: %.0f µm laid, from %.0f to %.0f; clarity %.0f %%; from %s\n", g.Name, g.Laid, g.Lowest, g.Highest, 100*g.Clarity, g.Basis)
	}
	if adjusted != nil {
		fmt.Fprintf(w, "  Adjusted to the sample boards: %s.\n", adjusted.Words)
	}
	var asked job.Light
	for _, finish := range p.Job.Finishes {
		if finish.ID == id {
			asked = finish.Light
		}
	}
	for _, light := range lamps {
		for _, a := range appearance.Advise(s, p.Catalog.Defaults, light, asked) {
			text := fmt.Sprintf("%s: %s; %s.", a.Claim, a.Figure, a.Enough)
			switch {
			case a.About == "spectrum":
				guess = text
			case a.Fits:
				fmt.Fprintln(w, "  -", text)
			default:
				fmt.Fprintln(w, "  !", text)
			}
		}
	}
	return guess, nil
}
