package main

import (
	"fmt"
	"slices"

	"scumble/job"
	"scumble/plan"
)

type checkCommand struct {
	Job     string `arg:"" help:"Job file (YAML)."`
	Catalog string `help:"Folder of your own catalog records, laid over the built-in ones." type:"path"`
}

// Run reports all problems: those of the writing, of the ids and of the measures.
func (cmd *checkCommand) Run(to streams) error {
	src, err := readFile(cmd.Job)
	if err != nil {
		return err
	}
	c, err := loadCatalog(cmd.Catalog)
	if err != nil {
		return err
	}
	file, problems := checked(cmd.Job, src, c)
	if file != nil {
		problems = append(problems, unsaid(problems, file.Placed(plan.Measured(file.Job, c)))...)
	}
	if problems = job.Sorted(problems); len(problems) > 0 {
		return report(to, problems)
	}
	walls := 0
	for _, r := range file.Job.Rooms {
		walls += len(r.Walls)
	}
	fmt.Fprintf(to.out, "%s: no problems. %s, %s, %s.\n", cmd.Job, counted(len(file.Job.Rooms), "room", "rooms"), counted(walls, "wall", "walls"), counted(len(file.Job.Finishes), "finish", "finishes"))
	return nil
}

func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// unsaid are the problems of fields that have none yet: a figure that cannot be
// read is not reported again as one that is missing.
func unsaid(said, more []job.Problem) []job.Problem {
	known := map[string]bool{}
	for _, p := range said {
		known[p.Path] = true
	}
	return slices.DeleteFunc(more, func(p job.Problem) bool { return known[p.Path] })
}
