package main

import (
	"fmt"
	"os"
	"time"

	"scumble/catalog"
	"scumble/job"
	"scumble/method"
	"scumble/price"
	"scumble/quantity"
	"scumble/schedule"
	"scumble/setout"
	"scumble/survey"
	"scumble/unit"
)

func main() {
	src, _ := os.ReadFile("examples/bellwether/job.yaml")
	f, probs := job.Read("job.yaml", src)
	fmt.Println(len(probs), probs)
	c, err := catalog.Builtin()
	fmt.Println(err)
	j := f.Job
	s, ps := survey.Measure(j, survey.Reaches{Floor: unit.Length(c.Defaults.ReachFloor.Likely), Steps: unit.Length(c.Defaults.ReachSteps.Likely), Platform: unit.Length(c.Defaults.ReachPlatform.Likely)})
	fmt.Println(len(ps), ps)
	so, err := setout.Divide(s, j, c)
	fmt.Println(err)
	m, err := method.Expand(s, so, j, c)
	if err != nil { fmt.Println(err); return }
	q, err := quantity.Reckon(s, so, m, j, c)
	if err != nil { fmt.Println(err); return }
	t := time.Now()
	p, err := schedule.Plan(s, m, j, c.Defaults)
	fmt.Println("schedule", time.Since(t), err)
	if err != nil { return }
	t = time.Now()
	p, err = schedule.Plan(s, m, j, c.Defaults)
	fmt.Println("schedule", time.Since(t), err)
	fmt.Println(len(p.Tasks), p.SiteDays, p.Visits, p.Bound, p.BoundBy, p.Start, p.Finish, p.PersonHours)
	for _, w := range p.Warnings { fmt.Println("W", w.Name, w.Hold, w.What, w.Do) }
	for _, k := range p.Tasks {
		fmt.Printf("%s-%s %-50s %v slack %.1f crit %v | %s | %d\n", k.Start.Format("Mon 02 15:04"), k.End.Format("02 15:04"), k.Step, k.People, float64(k.Slack), k.Critical, k.Before, len(k.Pieces))
	}
	t = time.Now()
	qu, err := price.Make(s, m, q, p, j, c)
	fmt.Println("price", time.Since(t), err)
	if err != nil { return }
	for _, l := range qu.Lines { fmt.Printf("%-16s %-70s painted %6.2f paid %6.2f h %.1f %.1f-%.1f lab %d mat %d rate %d = %d\n", l.Room, l.Work, float64(l.Painted), float64(l.Paid), float64(l.Hours.Likely), float64(l.Hours.Low), float64(l.Hours.High), l.Labour, l.Material, l.Rate, l.Amount) }
	fmt.Printf("%+v\n", qu.Working)
	fmt.Println(qu.Net, qu.Low, qu.EightInTen, qu.High, qu.Tax, qu.Total, qu.Stages, qu.Hours)
	for _, w := range qu.Warnings { fmt.Println("W", w.Name, w.What, w.Do) }
}
