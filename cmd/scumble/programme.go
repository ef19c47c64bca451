package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"os/signal"
	"slices"
	"strings"
	"time"

	"golang.org/x/term"

	"scumble/job"
	"scumble/method"
	"scumble/plan"
	"scumble/schedule"
	"scumble/unit"
)

type programmeCommand struct {
	Job     string  `arg:"" help:"Job file (YAML)."`
	WhatIf  bool    `name:"what-if" help:"Add a table of what one more person, Saturdays, an hour more, a heater, another glaze or no pins would change."`
	Hold    bool    `help:"Write the days of this programme into the job as agreed; what was typed stays."`
	Seconds float64 `help:"Stop looking for a better programme after so many seconds; for the table again as many. Without, the same job gives the same programme on any machine."`
	Catalog string  `help:"Folder of your own catalog records, laid over the built-in ones." type:"path"`
	JSON    bool    `help:"Print it as JSON."`
}

// Run finds the programme and prints how good it is, what moved, and who does what on each day.
func (cmd *programmeCommand) Run(to streams) error {
	if cmd.Seconds < 0 {
		return fmt.Errorf("--seconds is above 0")
	}
	src, err := readFile(cmd.Job)
	if err != nil {
		return err
	}
	c, err := loadCatalog(cmd.Catalog)
	if err != nil {
		return err
	}
	file, problems := checked(cmd.Job, src, c)
	if file == nil || len(problems) > 0 {
		return report(to, job.Sorted(problems))
	}
	stopped, done := signal.NotifyContext(context.Background(), os.Interrupt)
	defer done()
	p, problems, err := plan.Only(file.Job, c, cmd.effort(stopped, progress(to.err)))
	if err != nil {
		return err
	}
	if len(problems) > 0 {
		return report(to, file.Placed(problems))
	}
	var cases []plan.Case
	switch {
	case cmd.WhatIf && stopped.Err() != nil:
		fmt.Fprintln(to.err, "Stopped; without the table of what if.")
	case cmd.WhatIf:
		if cases, err = plan.WhatIf(p, cmd.effort(stopped, nil)); err != nil {
			return err
		}
	}
	if cmd.JSON {
		out := json.NewEncoder(to.out)
		out.SetIndent("", "  ")
		err = out.Encode(struct {
			Verdict   string              `json:"verdict"`
			Programme *schedule.Programme `json:"programme"`
			WhatIf    []plan.Case         `json:"whatIf,omitempty"`
		}{p.Programme.Verdict(), p.Programme, cases})
	} else {
		printProgramme(to.out, p)
		printCases(to.out, p, cases)
	}
	if err != nil || !cmd.Hold {
		return err
	}
	told := to.out
	if cmd.JSON {
		told = to.err
	}
	return hold(told, to, cmd.Job, src, p.Programme)
}

// effort is the full one, ended earlier by the clock or by Ctrl-C; the best so far stays.
func (cmd *programmeCommand) effort(stopped context.Context, watch func(*schedule.Programme)) schedule.Effort {
	e := schedule.Full
	end := time.Now().Add(time.Duration(cmd.Seconds * float64(time.Second)))
	e.Stop = func() bool { return stopped.Err() != nil || cmd.Seconds > 0 && time.Now().After(end) }
	e.Watch = watch
	return e
}

// progress tells somebody at a terminal of better programmes, when it takes longer than one
// likes to wait for an answer.
func progress(w io.Writer) func(*schedule.Programme) {
	f, ok := w.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		return nil
	}
	const patience = 2 * time.Second
	begun := time.Now()
	return func(p *schedule.Programme) {
		if past := time.Since(begun); past > patience {
			fmt.Fprintf(w, "after %.0f s: %s, ready %s; Ctrl-C keeps it\n", past.Seconds(), counted(p.SiteDays, "site day", "site days"), p.Finish.Format("2 January"))
		}
	}
}

func printProgramme(w io.Writer, p *plan.Plan) {
	g := p.Programme
	fmt.Fprintf(w, "%s: %s in %s, ready %s.\n", p.Job.Name, counted(g.SiteDays, "site day", "site days"), counted(g.Visits, "visit", "visits"), g.Finish.Format("Monday 2 January 2006 at 15:04"))
	verdict := sentence(g.Verdict())
	if !g.Proved() {
		verdict += fmt.Sprintf(" No plan can need fewer than %s", counted(g.Bound, "site day", "site days"))
	}
	wrap(w, "", sentence(strings.TrimSuffix(verdict, ".")+": "+g.BoundBy))
	if g.Later != "" {
		wrap(w, "", sentence(g.Later))
	}
	if !g.PlannedFrom.IsZero() {
		fmt.Fprintf(w, "Planned from %s; what lies before it is as it was done.\n", g.PlannedFrom.Format("Mon 2 Jan 15:04"))
	}
	if len(g.Conflict) > 0 {
		wrap(w, "", "A window is missed: these cannot all hold on the days and in the hours of the crew, so one of them has to go, or a day has to be opened that makes room for all.")
		for i, rule := range g.Conflict {
			wrap(w, "   ", fmt.Sprintf("%d. %s", i+1, sentence(rule)))
		}
	}
	tasks := map[string]*schedule.Task{}
	for i := range g.Tasks {
		tasks[g.Tasks[i].Step] = &g.Tasks[i]
	}
	printMoved(w, p, tasks)
	for i, d := range g.Days {
		fmt.Fprintf(w, "\n%d  %s\n", i+1, d.Date.Format("Monday 2 January"))
		for _, t := range turnsOf(&g.Days[i], g) {
			k := tasks[t.step]
			mark := ""
			switch {
			case k.Supposed:
				mark = " (done, when is not noted)"
			case k.Done || k.Running && t.from.Before(g.PlannedFrom):
				mark = " (done)"
			}
			fmt.Fprintf(w, "   %s to %s  %-24s %s: %s%s\n", t.from.Format("15:04"), t.to.Format("15:04"), strings.Join(t.who, ", "), where(k), k.Title, mark)
		}
	}
	if len(g.Warnings) > 0 {
		fmt.Fprintln(w)
	}
	look(w, g.Warnings)
}

func where(t *schedule.Task) string {
	if t.Face != "" {
		return t.Face
	}
	return t.Room
}

// stretch is one piece of a step on a day, with all who do it.
type stretch struct {
	from, to time.Time
	step     string
	who      []string
}

// turnsOf lists what is done on a day, that of nobody known too.
func turnsOf(d *schedule.Day, g *schedule.Programme) (list []stretch) {
	for _, t := range g.Tasks {
		for _, p := range t.Pieces {
			if len(t.People) == 0 && p.From.Truncate(24*time.Hour).Equal(d.Date) {
				list = append(list, stretch{p.From, p.To, t.Step, []string{"somebody"}})
			}
		}
	}
	marks := map[string]bool{} // two who mark out hold a tape, and nobody lays anything
	for _, t := range g.Tasks {
		marks[t.Step] = t.Kind == method.Mark
	}
	for _, person := range d.People {
		for _, t := range person.Turns {
			who := person.Name
			if t.Role != "alone" && !marks[t.Step] {
				who += " " + t.Role
			}
			i := slices.IndexFunc(list, func(s stretch) bool { return s.step == t.Step && s.from.Equal(t.From) && s.to.Equal(t.To) })
			if i < 0 {
				list = append(list, stretch{t.From, t.To, t.Step, []string{who}})
			} else {
				list[i].who = append(list[i].who, who)
			}
		}
	}
	for i := range list { // the one who lays comes first
		slices.SortStableFunc(list[i].who, func(a, b string) int {
			return strings.Compare(a[strings.LastIndex(a, " ")+1:], b[strings.LastIndex(b, " ")+1:])
		})
	}
	slices.SortStableFunc(list, func(a, b stretch) int { return a.from.Compare(b.from) })
	return list
}

// printMoved tells which promised days are not kept, and why.
func printMoved(w io.Writer, p *plan.Plan, tasks map[string]*schedule.Task) {
	moved := p.Programme.Moved
	switch {
	case len(p.Job.Agreed) == 0:
		return
	case len(moved) == 0:
		fmt.Fprintln(w, "Every agreed day is kept.")
		return
	}
	fmt.Fprintf(w, "\nNot on the day agreed (%d)\n", len(moved))
	for _, m := range moved {
		t := tasks[m.Step]
		wrap(w, "   ", fmt.Sprintf("%s: %s: %s, agreed for %s: %s.", where(t), t.Title, m.To.Format("Mon 2 Jan"), m.From.Format("Mon 2 Jan"), m.Why))
	}
}

func printCases(w io.Writer, p *plan.Plan, cases []plan.Case) {
	if len(cases) == 0 {
		return
	}
	fmt.Fprintln(w, "\nWhat if")
	for _, c := range cases {
		if c.Why != "" {
			wrap(w, "   ", fmt.Sprintf("%s: cannot be planned: %s", c.Name, c.Why))
			continue
		}
		cost := ""
		if c.Priced && c.ID != plan.AsItIs {
			cost = p.Job.Currency + " " + signed(p, c.Cost)
		}
		line := fmt.Sprintf("   %-20s %12s  %8s  ready %-17s %s", c.Name, counted(c.SiteDays, "site day", "site days"), counted(c.Visits, "visit", "visits"), c.Finish.Format("Mon 2 Jan 15:04"), cost)
		fmt.Fprintln(w, strings.TrimRight(line, " "))
	}
	fmt.Fprintln(w)
	for _, c := range cases[1:] {
		words := c.What
		if c.Priced && c.Without != "" && c.Why == "" {
			words += " Not in the money: " + c.Without + "."
		}
		wrap(w, "   ", sentence(c.Name)+" "+words)
	}
	if slices.ContainsFunc(cases, func(c plan.Case) bool { return c.Priced }) {
		wrap(w, "   ", "Money is the likely price before tax against the job as it is, on the same terms.")
	}
}

func signed(p *plan.Plan, m unit.Money) string {
	if m < 0 {
		return money(p, m)
	}
	return "+" + money(p, m)
}

// hold writes the days of a programme into the text of a job, and tells so.
func hold(told io.Writer, to streams, name string, src []byte, g *schedule.Programme) error {
	var days []job.Group
	for _, t := range g.Tasks {
		days = append(days, job.Group{{Key: "step", Value: t.Step}, {Key: "day", Value: t.Start.Format(time.DateOnly)}})
	}
	after, problems := job.Apply(src, []job.Change{{Do: job.Set, Path: "agreed", Value: days}})
	if len(problems) > 0 {
		return report(to, problems)
	}
	if err := replaceFile(name, after); err != nil {
		return err
	}
	fmt.Fprintf(told, "%s holds the days of %d steps as agreed.\n", name, len(days))
	return nil
}
