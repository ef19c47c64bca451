// Command psplib runs the solver of projects on published instances and compares the
// schedules with the best known ones. The instances are made for benchmarking (Kolisch and
// Sprecher, European Journal of Operational Research 96, 1997) and do not lie here: -dir names
// a folder with bounds_SET.csv and a folder SET of .sm files.
package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"scumble/bench/published"
	"scumble/schedule/project"
)

func main() {
	var e published.Effort
	dir, set, first := published.Flags(&e, "j30")
	flag.IntVar(&e.Schedules, "schedules", 0, "schedules to build for each instance")
	flag.IntVar(&e.Conflicts, "conflicts", 0, "dead ends the proof of each instance may meet, after building")
	only := flag.Int("only", 0, "only the first so many instances of each cell; 0 = all")
	flag.Parse()
	if e.Schedules == 0 && e.Seconds == 0 {
		e.Schedules = 5000
	}
	names := published.Files(*dir, *set, ".sm", *first)
	if len(names) == 0 {
		fmt.Fprintf(os.Stderr, "psplib: no instances in %q: give -dir the folder that holds bounds_%s.csv and %s/*.sm; they are published for benchmarking and not part of this project\n", *dir, *set, *set)
		os.Exit(1)
	}
	known, err := published.Known(filepath.Join(*dir, "bounds_"+*set+".csv"))
	var list []published.Instance
	for _, name := range names {
		in := published.Instance{Name: strings.TrimSuffix(filepath.Base(name), ".sm")}
		if _, number, _ := strings.Cut(in.Name, "_"); *only > 0 && published.Number(number) > *only {
			continue
		}
		var text []byte
		if text, err = os.ReadFile(name); err == nil {
			in.Project, err = read(string(text))
		}
		if err != nil {
			break
		}
		in.Least, in.Best = published.Number(known[in.Name]["best_lb"]), published.Number(known[in.Name]["best_ub"])
		if in.Base = critical(in.Project); *set == "j30" {
			in.Base = in.Best
		}
		list = append(list, in)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "psplib:", err)
		os.Exit(1)
	}
	if published.Run(os.Stdout, *set, list, e) > 0 {
		os.Exit(1)
	}
}

// critical is the longest chain, worked out by repetition.
func critical(p *project.Project) int {
	end := make([]int, len(p.Time))
	for again := true; again; {
		again = false
		for i := range p.Time {
			for _, k := range p.Then[i] {
				if at := end[i] + p.Time[i]; at > end[k] {
					end[k], again = at, true
				}
			}
		}
	}
	most := 0
	for i := range end {
		most = max(most, end[i]+p.Time[i])
	}
	return most
}

// read parses an .sm file.
func read(text string) (*project.Project, error) {
	p := &project.Project{}
	part := ""
	for _, line := range strings.Split(text, "\n") {
		switch {
		case strings.HasPrefix(line, "PRECEDENCE"), strings.HasPrefix(line, "REQUESTS"), strings.HasPrefix(line, "RESOURCEAVAIL"):
			part = line[:4]
			continue
		case strings.HasPrefix(line, "***"):
			part = ""
		}
		n := numbers(line)
		switch {
		case len(n) == 0:
		case part == "PREC" && len(n) >= 3:
			var then []int
			for _, k := range n[3:] {
				then = append(then, k-1)
			}
			p.Then = append(p.Then, then)
		case part == "REQU" && len(n) >= 3:
			p.Time, p.Needs = append(p.Time, n[2]), append(p.Needs, n[3:])
		case part == "RESO":
			p.Capacity = n
		}
	}
	if len(p.Time) == 0 || len(p.Time) != len(p.Then) || len(p.Capacity) == 0 {
		return nil, fmt.Errorf("%d activities, %d with successors, %d resources", len(p.Time), len(p.Then), len(p.Capacity))
	}
	return p, nil
}

// numbers of a line; nil where there is anything else in it.
func numbers(line string) (n []int) {
	for _, f := range strings.Fields(line) {
		v, err := strconv.Atoi(f)
		if err != nil {
			return nil
		}
		n = append(n, v)
	}
	return n
}
