package main

import (
	"fmt"
	"os"

	"scumble/catalog"
	"scumble/job"
	"scumble/plan"
	"scumble/schedule"
)

// readFile reads a file named on the command line.
func readFile(name string) ([]byte, error) {
	src, err := os.ReadFile(name)
	if err != nil {
		return nil, fmt.Errorf("cannot read the file: %w; check the name", err)
	}
	return src, nil
}

// loadCatalog is the built-in catalog, with the user's own folder laid over it.
func loadCatalog(folder string) (*catalog.Catalog, error) {
	if folder == "" {
		return catalog.Builtin()
	}
	if info, err := os.Stat(folder); err != nil || !info.IsDir() {
		return nil, fmt.Errorf("there is no catalog folder %s; check the name", folder)
	}
	return catalog.Load(catalog.Files(), os.DirFS(folder))
}

// checked reads a job and finds every problem that can be found before planning.
func checked(name string, src []byte, c *catalog.Catalog) (*job.File, []job.Problem) {
	file, problems := job.Read(name, src)
	if file == nil {
		return nil, problems
	}
	problems = append(problems, file.Check()...)
	problems = append(problems, file.CheckAgainst(plan.Known(c))...)
	return file, problems
}

// planner plans a job: plan.Run; alone, where the other ways of the job are of no interest;
// quickly, where nothing hangs on the programme.
type planner func(*job.Job, *catalog.Catalog) (*plan.Plan, []job.Problem, error)

func alone(j *job.Job, c *catalog.Catalog) (*plan.Plan, []job.Problem, error) {
	return plan.Only(j, c, schedule.Full)
}

func quickly(j *job.Job, c *catalog.Catalog) (*plan.Plan, []job.Problem, error) {
	return plan.Only(j, c, schedule.Quick)
}

// planned reads, checks and plans a job; problems carry their place in the file.
func planned(name string, src []byte, c *catalog.Catalog, run planner) (*plan.Plan, *job.File, []job.Problem, error) {
	file, problems := checked(name, src, c)
	if file == nil || len(problems) > 0 {
		return nil, file, job.Sorted(problems), nil
	}
	p, problems, err := run(file.Job, c)
	return p, file, file.Placed(problems), err
}

// planOf reads and plans a job file; problems are printed, and end the command.
func planOf(to streams, name, folder string, run planner) (*plan.Plan, *job.File, error) {
	src, err := readFile(name)
	if err != nil {
		return nil, nil, err
	}
	c, err := loadCatalog(folder)
	if err != nil {
		return nil, nil, err
	}
	p, file, problems, err := planned(name, src, c, run)
	if err != nil {
		return nil, nil, err
	}
	if len(problems) > 0 {
		return nil, nil, report(to, problems)
	}
	return p, file, nil
}

// report prints problems one a line, with a count at the end.
func report(to streams, problems []job.Problem) error {
	for _, p := range problems {
		fmt.Fprintln(to.err, p)
	}
	if len(problems) == 1 {
		fmt.Fprintln(to.err, "1 problem.")
	} else {
		fmt.Fprintf(to.err, "%d problems.\n", len(problems))
	}
	return errProblems
}
