// Command rcpspmax runs the solver of projects on published instances with least and greatest
// lags between starts (Schwindt, ProGen/max, 1996 and 1998). They do not lie here: -dir names a
// folder with bounds_SET.csv and a folder SET of .sch files.
package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"

	"scumble/bench/published"
	"scumble/schedule/project"
)

func main() {
	var e published.Effort
	dir, set, first := published.Flags(&e, "ubo50")
	flag.IntVar(&e.Conflicts, "conflicts", 0, "dead ends for each of two searches")
	flag.Parse()
	if e.Conflicts == 0 && e.Seconds == 0 {
		e.Conflicts = 5000
	}
	names := published.Files(*dir, *set, ".sch", *first)
	if len(names) == 0 {
		fmt.Fprintf(os.Stderr, "rcpspmax: no instances in %q: give -dir the folder that holds bounds_%s.csv and %s/*.sch; they are published for benchmarking and not part of this project\n", *dir, *set, *set)
		os.Exit(1)
	}
	known, err := published.Known(filepath.Join(*dir, "bounds_"+*set+".csv"))
	var list []published.Instance
	for _, name := range names {
		in := published.Instance{Name: strings.TrimSuffix(filepath.Base(name), ".sch")}
		var text []byte
		if text, err = os.ReadFile(name); err == nil {
			in.Project, err = read(string(text))
		}
		if err != nil {
			break
		}
		of := known[in.Name]
		in.Least, in.Best, in.Infeasible = published.Number(of["best_lb"]), published.Number(of["best_ub"]), of["status"] == "infeasible"
		in.Base = published.Number(of["network_lb"])
		list = append(list, in)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "rcpspmax:", err)
		os.Exit(1)
	}
	if published.Run(os.Stdout, *set, list, e) > 0 {
		os.Exit(1)
	}
}

var number = regexp.MustCompile(`-?\d+`)

// read parses an .sch file: counts; successors with their lags in brackets; times and needs;
// capacities.
func read(text string) (*project.Project, error) {
	var lines [][]int
	for _, line := range strings.Split(text, "\n") {
		var n []int
		for _, f := range number.FindAllString(line, -1) {
			v, err := strconv.Atoi(f)
			if err != nil {
				return nil, err
			}
			n = append(n, v)
		}
		if len(n) > 0 {
			lines = append(lines, n)
		}
	}
	if len(lines) == 0 || len(lines) < 2*(lines[0][0]+2)+2 {
		return nil, fmt.Errorf("%d lines are too few", len(lines))
	}
	count := lines[0][0] + 2
	p := &project.Project{Then: make([][]int, count), Capacity: lines[2*count+1]}
	for i := range count {
		arcs, needs := lines[1+i], lines[1+count+i]
		if len(arcs) < 3 || len(arcs) < 3+2*arcs[2] || len(needs) < 3 {
			return nil, fmt.Errorf("activity %d: a line is too short", i)
		}
		for k := range arcs[2] {
			p.Lags = append(p.Lags, project.Lag{From: i, To: arcs[3+k], Least: arcs[3+arcs[2]+k]})
		}
		p.Time, p.Needs = append(p.Time, needs[2]), append(p.Needs, needs[3:])
	}
	return p, nil
}
