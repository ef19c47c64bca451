package main

import (
	"encoding/json"
	"fmt"
	"io"

	"scumble/job"
	"scumble/plan"
)

type learnCommand struct {
	Job     string `arg:"" help:"Job file (YAML)."`
	Catalog string `help:"Folder of your own catalog records, laid over the built-in ones." type:"path"`
	JSON    bool   `help:"Print it as JSON, as under learned in plan.json."`
}

// Run prints, for each figure that walls of the crew were observed for, what the catalog
// says, what was seen and what is counted with now.
func (cmd *learnCommand) Run(to streams) error {
	src, err := readFile(cmd.Job)
	if err != nil {
		return err
	}
	c, err := loadCatalog(cmd.Catalog)
	if err != nil {
		return err
	}
	p, _, problems, err := planned(cmd.Job, src, c, quickly)
	if err != nil {
		return err
	}
	if len(problems) > 0 {
		return report(to, problems)
	}
	if cmd.JSON {
		out := json.NewEncoder(to.out)
		out.SetIndent("", "  ")
		if p.Learned == nil {
			return out.Encode([]any{})
		}
		return out.Encode(p.Learned)
	}
	if len(p.Learned) == 0 {
		fmt.Fprintln(to.out, "The job has observed nothing yet. Add what you saw under observed, such as\n  - {of: techniques/dragging/pair.work, value: 16 m2/h}")
		return nil
	}
	for i := range p.Learned {
		lesson(to.out, p, i)
	}
	return nil
}

// lesson prints one figure.
func lesson(out io.Writer, p *plan.Plan, i int) {
	l := &p.Learned[i]
	fmt.Fprintf(out, "%s\n  the catalog says: %s [%s]\n", l.Path, l.Span(l.Catalog), l.Catalog.Kind)
	for _, w := range l.Walls {
		o := &p.Job.Observed[w.Entry]
		reference := ""
		if w.Factor != 1 {
			reference = ": " + l.Say(w.Value) + " at 23 °C and 50 %"
		}
		fmt.Fprintf(out, "  seen: %s%s%s\n", o.Value, circumstances(o), reference)
	}
	if l.Overruled {
		now, _ := p.Catalog.Figure(l.Path)
		fmt.Fprintf(out, "  counted with: %s, as the job sets it under figures; your walls would make it %s\n", l.Span(now), l.Span(l.Figure))
	} else {
		fmt.Fprintf(out, "  counted with: %s\n", l.Span(l.Figure))
	}
	fmt.Fprintf(out, "  %s\n", l.Words())
	for _, w := range p.Warnings {
		for _, wall := range l.Walls {
			if w.Path == fmt.Sprintf("observed[%d]", wall.Entry) && w.Name == l.Path {
				fmt.Fprintf(out, "  look at: %s: %s\n", w.What, w.Do)
			}
		}
	}
}

// circumstances tell where, when and in what air something was seen.
func circumstances(o *job.Observed) string {
	text := ""
	for _, part := range []string{o.Wall, string(o.On)} {
		if part != "" {
			text += ", " + part
		}
	}
	if o.Temp.Given() {
		text += fmt.Sprintf(", at %s and %s", o.Temp.Text, o.Humidity.Text)
	}
	return text
}
