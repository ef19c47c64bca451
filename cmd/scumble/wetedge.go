package main

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"time"

	"scumble/plan"
	"scumble/unit"
	"scumble/wetedge"
)

type wetedgeCommand struct {
	Job      string `arg:"" help:"Job file (YAML)."`
	Wall     string `required:"" help:"Which wall, such as \"Dining room/North\"; with \", dado\" below a rail."`
	At       string `help:"When the first glaze is laid, such as \"2027-03-02 09:30\"; as the programme has it without."`
	People   int    `help:"How many work it: 1, 2 or 3."`
	Temp     string `help:"Temperature of the air then, such as \"16 C\"."`
	Humidity string `help:"Its humidity, such as \"60 %\"."`
	Draught  string `help:"What moves the air along the wall: none, door, window or fan." enum:",none,door,window,fan" default:""`
	Retarder bool   `help:"With a retarder in a water-borne glaze."`
	Columns  int    `help:"In so many columns, instead of as few as are safe."`
	Catalog  string `help:"Folder of your own catalog records, laid over the built-in ones." type:"path"`
	JSON     bool   `help:"Print the answer as JSON."`
}

// Run asks about every coat of a wall that keeps a wet edge.
func (cmd *wetedgeCommand) Run(to streams) error {
	q, err := cmd.question()
	if err != nil {
		return err
	}
	p, _, err := planOf(to, cmd.Job, cmd.Catalog, alone)
	if err != nil {
		return err
	}
	steps, err := wetSteps(p, cmd.Wall)
	if err != nil {
		return err
	}
	var answers []*wetedge.Answer
	for _, step := range steps {
		q.Step = step
		a, err := wetedge.Ask(partsOf(p), q)
		if err != nil {
			return err
		}
		answers = append(answers, a)
	}
	if cmd.JSON {
		out := json.NewEncoder(to.out)
		out.SetIndent("", "  ")
		return out.Encode(answers)
	}
	for i, a := range answers {
		if i > 0 {
			fmt.Fprintln(to.out)
		}
		printPair(to.out, a)
	}
	return nil
}

func (cmd *wetedgeCommand) question() (q wetedge.Question, err error) {
	q = wetedge.Question{People: cmd.People, Draught: cmd.Draught, Retarder: cmd.Retarder, Columns: cmd.Columns}
	if cmd.People < 0 || cmd.People > 3 || cmd.Columns < 0 {
		return q, fmt.Errorf("--people is 1, 2 or 3, and --columns above 0")
	}
	if cmd.At != "" {
		if q.At, err = time.Parse("2006-01-02 15:04", cmd.At); err != nil {
			return q, fmt.Errorf("--at %q is no day and time: write it as \"2027-03-02 09:30\"", cmd.At)
		}
	}
	if cmd.Temp != "" {
		t, err := unit.ParseTemp(cmd.Temp)
		if err != nil {
			return q, fmt.Errorf("--temp: %w", err)
		}
		q.Temp = &t
	}
	if cmd.Humidity != "" {
		h, err := unit.ParseHumidity(cmd.Humidity)
		if err != nil {
			return q, fmt.Errorf("--humidity: %w", err)
		}
		q.Humidity = &h
	}
	return q, nil
}

func partsOf(p *plan.Plan) wetedge.Parts {
	return wetedge.Parts{Job: p.Job, Catalog: p.Catalog, Survey: p.Survey, SetOut: p.SetOut, Method: p.Method, Programme: p.Programme}
}

// wetSteps are the steps of a wall that keep a wet edge.
func wetSteps(p *plan.Plan, wall string) ([]string, error) {
	var steps, known []string
	for f := range p.Method.Faces {
		face := &p.Method.Faces[f]
		known = append(known, face.ID)
		if strings.EqualFold(face.ID, wall) {
			for _, s := range wetedge.Steps(face) {
				steps = append(steps, s.ID)
			}
		}
	}
	if steps == nil {
		return nil, fmt.Errorf("no wall %q is glazed in this job: take one of %s", wall, strings.Join(known, "; "))
	}
	return steps, nil
}

// printPair prints what a foreman would tell the pair.
func printPair(w io.Writer, a *wetedge.Answer) {
	fmt.Fprintf(w, "%s: %s\n%s, %s, %s, wall %s\n\n", a.Face, a.Title, a.At.Format("Mon 2 Jan 2006 15:04"), a.Air.Temp, a.Air.Humidity, a.Air.Surface)
	fmt.Fprintln(w, a.Verdict)
	wrap(w, "", a.Advice)
	fmt.Fprintf(w, "\n  A lap mark on the wall   %s in 100, from %s to %s; up to %s is held to be safe\n",
		wetedge.InHundred(a.Chance.Likely), wetedge.InHundred(a.Chance.Low), wetedge.InHundred(a.Chance.High), wetedge.InHundred(a.Chance.Target))
	fmt.Fprintf(w, "  Glaze stays open         %.0f min, from %.0f to %.0f; %.0f at the end\n", a.Open.Likely, a.Open.Low, a.Open.High, a.Open.Last)
	fmt.Fprintf(w, "  Sections                 %d in %d columns, %d high; %.0f min in all\n", len(a.Layout.Pieces), a.Layout.Columns, a.Layout.Rows, a.Minutes)
	fmt.Fprintf(w, "  Who                      %s\n", strings.Join(roles(a.Names), ", "))
	fmt.Fprintln(w, "\nSections in the order of work, mm from the left end and the floor")
	for i := range a.Layout.Pieces {
		p := &a.Layout.Pieces[i]
		fmt.Fprintf(w, "  %3d  %5.0f to %5.0f, %5.0f to %5.0f  %5.2f m²  %s\n", p.Number, p.X0, p.X1, p.Y0, p.Y1, p.Area, p.Stand)
	}
	fmt.Fprintln(w, "\nMinute by minute")
	for _, t := range a.Turns {
		section := ""
		if t.Piece > 0 {
			section = fmt.Sprintf("section %d", t.Piece)
		}
		fmt.Fprintf(w, "  %5.1f to %5.1f  %-6s %-7s %s\n", t.From, t.To, t.Who, t.What, section)
	}
	printJoints(w, a)
	fmt.Fprintln(w, "\nHow many")
	for _, c := range a.Crews {
		fmt.Fprintf(w, "  %d  %3s columns, %d high   %s in 100   %.0f min\n", c.People, fmt.Sprint(c.Columns), c.Rows, wetedge.InHundred(c.Chance), c.Minutes)
	}
	if len(a.Helps) > 0 {
		fmt.Fprintln(w, "\nWhat helps most")
	}
	for i, h := range a.Helps {
		fmt.Fprintf(w, "  %d  %s: %s in 100, %.0f min. %s\n", i+1, h.Do, wetedge.InHundred(h.Chance), h.Minutes, h.Cost)
	}
	fmt.Fprintln(w, "\nWhat this rests on")
	for _, r := range a.Rests {
		wrap(w, "  ", r)
	}
}

func roles(names []string) (out []string) {
	for i, n := range names {
		if len(names) == 1 {
			return []string{n + " alone"}
		}
		out = append(out, n+" "+[...]string{"lays", "works", "helps"}[i])
	}
	return out
}

// printJoints prints the joints whose age comes nearest to the open time, the worst first named.
func printJoints(w io.Writer, a *wetedge.Answer) {
	fmt.Fprintln(w, "\nJoints, min: laid against, waiting for the tool, tool passes; the age that counts, of the open time")
	for i, j := range a.Joints {
		mark := " "
		if i == a.Weakest {
			mark = "*"
		}
		between := fmt.Sprintf("%d with %d", j.A, j.B)
		if j.B == 0 {
			between = fmt.Sprintf("in %d", j.A)
		}
		fmt.Fprintf(w, " %s %-3s %-10s %5.1f %5.1f %5.1f   %5.1f of %.0f\n", mark, j.Letter, between, j.Meet, j.Self, j.Cross, j.Age, j.Open)
	}
}
