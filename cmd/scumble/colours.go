package main

import (
	"fmt"
	"io"
	"slices"

	"scumble/appearance"
	"scumble/appearance/finish"
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
	p, _, err := planOf(to, cmd.Job, cmd.Catalog, quickly)
	if err != nil {
		return err
	}
	ids := cmd.Finish
	if len(ids) == 0 {
		for _, face := range p.Method.Faces {
			if !slices.Contains(ids, face.Finish.ID) {
				ids = append(ids, face.Finish.ID)
			}
		}
	}
	guess := ""
	for n, id := range ids {
		if n > 0 {
			fmt.Fprintln(to.out)
		}
		said, err := printColours(to.out, p, id)
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

// printColours prints a finish; guess is what is to be said once about colours that
// were not measured.
func printColours(w io.Writer, p *plan.Plan, id string) (guess string, err error) {
	f, adjusted, err := finish.Agreed(p.Job, p.Catalog, id)
	if err != nil {
		return "", err
	}
	s, err := finish.SwatchOf(f, p.Catalog)
	if err != nil {
		return "", err
	}
	fmt.Fprintf(w, "%s (%s)\n", f.Name, f.Technique.Name)
	line := func(c finish.Patch) {
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
		fmt.Fprintf(w, "  %s: %.0f µm laid, from %.0f to %.0f; clarity %.0f %%; from %s\n", g.Name, g.Laid, g.Range.Low, g.Range.High, 100*g.Clarity, g.Basis)
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
	for _, light := range appearance.LampsOver(p.Job, p.Survey, id) {
		for _, a := range finish.Advise(s, p.Catalog.Defaults, light, asked) {
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
