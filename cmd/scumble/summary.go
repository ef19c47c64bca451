package main

import (
	"fmt"
	"io"
	"strings"

	"scumble/job"
	"scumble/plan"
	"scumble/unit"
)

// summary tells the plan in a screenful: what is painted, in how many days, at
// what price, and what to look at before anyone opens a tin.
func summary(w io.Writer, p *plan.Plan) {
	fmt.Fprintf(w, "%s, %s\n", p.Job.Name, p.Job.Place)
	if p.Job.Demo {
		fmt.Fprintln(w, "A demonstration: the place, the people and every price are invented.")
	}
	fmt.Fprintln(w)
	walls := 0
	var painted unit.Area
	for _, r := range p.Survey.Rooms {
		fmt.Fprintf(w, "  %s\n", r.Name)
		for _, wall := range r.Walls {
			for _, f := range wall.Faces {
				walls++
				painted += f.Painted()
				fmt.Fprintf(w, "    %-28s %8s   %s\n", strings.TrimPrefix(f.ID, r.Name+"/"), f.Painted(), finishName(p, f.Finish))
			}
		}
	}
	fmt.Fprintf(w, "\n  %d faces, %s to paint.\n", walls, painted)

	g := p.Programme
	fmt.Fprintf(w, "  %d site days, ready %s. No plan needs fewer than %d: %s.\n",
		g.SiteDays, g.Finish.Format("Monday 2 January 2006 at 15:04"), g.Bound, g.BoundBy)
	q := p.Quote
	fmt.Fprintf(w, "  %s %s before tax is likely; %s is enough eight times in ten. With %s: %s.\n",
		q.Currency, money(p, q.Net), money(p, q.EightInTen), taxName(p), money(p, q.Total))
	for _, a := range p.Alternatives {
		fmt.Fprintf(w, "  %s: %d site days, %s before tax.\n", a.Name, a.Plan.Programme.SiteDays, money(p, a.Plan.Quote.Net))
	}
	if len(p.Warnings) > 0 {
		fmt.Fprintf(w, "\n  To look at (%d):\n", len(p.Warnings))
	}
	for _, warning := range p.Warnings {
		sign := "-"
		if warning.Hold {
			sign = "HOLD"
		}
		fmt.Fprintf(w, "  %s %s: %s %s\n", sign, warning.Name, warning.What, warning.Do)
	}
}

func finishName(p *plan.Plan, id string) string {
	for _, f := range p.Job.Finishes {
		if f.ID == id {
			return fmt.Sprintf("%s (%s)", f.Name, p.Catalog.Techniques[f.Technique].Name)
		}
	}
	return id
}

func money(p *plan.Plan, m unit.Money) string {
	return m.Format(job.Decimals(p.Job.Currency))
}

func taxName(p *plan.Plan) string {
	if p.Job.Terms.TaxName != "" {
		return strings.ToLower(p.Job.Terms.TaxName)
	}
	return "tax"
}
