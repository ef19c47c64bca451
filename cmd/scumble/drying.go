package main

import (
	"encoding/json"
	"fmt"
	"io"
	"time"

	"scumble/drying"
	"scumble/schedule"
	"scumble/unit"
)

type dryingCommand struct {
	Job     string `arg:"" help:"Job file (YAML)."`
	Wall    string `help:"One wall only, such as \"Dining room/North\"."`
	Catalog string `help:"Folder of your own catalog records, laid over the built-in ones." type:"path"`
	JSON    bool   `help:"Print the coats as JSON."`
}

// Run prints when each coat of the programme comes to its stages.
func (cmd *dryingCommand) Run(to streams) error {
	p, _, err := planOf(to, cmd.Job, cmd.Catalog, alone)
	if err != nil {
		return err
	}
	if cmd.Wall != "" {
		known := false
		for f := range p.Method.Faces {
			known = known || p.Method.Faces[f].ID == cmd.Wall
		}
		if !known {
			return fmt.Errorf("no wall %q has coats in this job: write room and wall as on the drawings, such as \"Dining room/North\"", cmd.Wall)
		}
	}
	coats, err := schedule.Coats(p.Programme, p.Survey, p.Method, p.Job, p.Catalog.Defaults, cmd.Wall)
	if err != nil {
		return err
	}
	if cmd.JSON {
		out := json.NewEncoder(to.out)
		out.SetIndent("", "  ")
		return out.Encode(coats)
	}
	for i := range coats {
		printCoat(to.out, &coats[i])
	}
	wrap(to.out, "", "Times are hours after the coat was finished. By the clock: as declared at 23 °C and 50 %. In this air: summed over the hours of the room, nights and all. "+
		"What counts is the later of both, unless wait-by of the climate says otherwise; open time is that of this air. The product's own sheet comes first.")
	return nil
}

func printCoat(w io.Writer, c *schedule.Coat) {
	fmt.Fprintf(w, "%s: %s\n  finished %s at %s, %s, wall %s\n", c.Task.Step, c.Step.Product.Name, c.Task.End.Format("Mon 2 Jan 15:04"), c.Air.Temp, c.Air.Humidity, c.Air.Surface)
	fmt.Fprintf(w, "  %-9s %20s %20s  %s\n", "", "by the clock, h", "in this air, h", "counts")
	for _, e := range c.Stages {
		fmt.Fprintf(w, "  %-9s %20s %20s  %s\n", e.Stage, span(e.Declared), span(e.Model), counts(c, e))
	}
	if c.Closes != nil {
		fmt.Fprintf(w, "  By film and air alone the water is gone after %s h.\n", span(*c.Closes))
	}
	fmt.Fprintln(w)
}

// counts says when a stage comes by the clock of the place: likely, and from when to when.
func counts(c *schedule.Coat, e drying.Event) string {
	at := func(h unit.Hours) time.Time { return c.Task.End.Add(time.Duration(float64(h) * float64(time.Hour))) }
	switch {
	case e.Stage == drying.Open:
		return fmt.Sprintf("for %.0f to %.0f min", 60*float64(e.Use.Low), 60*float64(e.Use.High))
	case e.Stage == drying.TooLate:
		return "from " + at(e.Use.Low).Format("2 January")
	case e.Use.Likely > 24*14:
		return "about " + at(e.Use.Likely).Format("2 January")
	}
	return fmt.Sprintf("%s, surely %s", at(e.Use.Likely).Format("2 Jan 15:04"), at(e.Use.High).Format("2 Jan 15:04"))
}

// span is a range of hours: likely, from low to high.
func span(r unit.Range[unit.Hours]) string {
	digits := 0
	if r.Likely < 10 {
		digits = 1
	}
	if r.Likely < 1 {
		digits = 2
	}
	one := func(h unit.Hours) string { return unit.Figure(float64(h), digits) }
	if r.Low == r.High {
		return one(r.Likely)
	}
	return fmt.Sprintf("%s (%s to %s)", one(r.Likely), one(r.Low), one(r.High))
}
