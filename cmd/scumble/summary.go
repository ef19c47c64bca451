package main

import (
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"

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
	fmt.Fprintf(w, "  %s %s before tax is likely; %s is enough eight times in ten.", q.Currency, money(p, q.Net), money(p, q.EightInTen))
	if q.Tax > 0 {
		fmt.Fprintf(w, " With %s: %s.", taxName(p), money(p, q.Total))
	}
	if incomplete(p) {
		fmt.Fprint(w, " Not the whole price: something has none yet, see below.")
	}
	fmt.Fprintln(w)
	for _, a := range p.Alternatives {
		fmt.Fprintf(w, "  %s: %d site days, %s before tax.\n", a.Name, a.Plan.Programme.SiteDays, money(p, a.Plan.Quote.Net))
	}
	if len(p.Warnings) > 0 {
		fmt.Fprintf(w, "\n  To look at (%d):\n", len(p.Warnings))
	}
	look(w, p.Warnings)
}

// look lists warnings.
func look(w io.Writer, warnings []job.Warning) {
	for _, warning := range warnings {
		sign := "-"
		if warning.Hold {
			sign = "HOLD"
		}
		name := warning.Name
		if name == "" {
			name = "The job"
		}
		fmt.Fprintf(w, "  %s %s: %s %s\n", sign, name, sentence(warning.What), sentence(warning.Do))
	}
}

// incomplete reports whether something of the job has no price.
func incomplete(p *plan.Plan) bool {
	for _, b := range p.Quantities.Purchases {
		if !b.Priced {
			return true
		}
	}
	for _, g := range p.Quantities.Goods {
		if !g.Priced {
			return true
		}
	}
	for _, t := range p.Quantities.Tools {
		if !t.Have && !t.Priced {
			return true
		}
	}
	return false
}

// sentence is words with a capital and a full stop.
func sentence(words string) string {
	if words == "" {
		return ""
	}
	first, size := utf8.DecodeRuneInString(words)
	words = string(unicode.ToUpper(first)) + words[size:]
	if strings.HasSuffix(words, ".") {
		return words
	}
	return words + "."
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
