// Package published runs the solver of projects on published instances and compares what it
// finds and claims with the best known. The instances are made for benchmarking and do not lie
// here; psplib and rcpspmax, beside it, read them.
package published

import (
	"encoding/csv"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"time"

	"scumble/schedule/check"
	"scumble/schedule/project"
)

// Instance is a project with what is known of it.
type Instance struct {
	Name       string
	Project    *project.Project
	Base       int // deviations are over this
	Least      int // no schedule is shorter; 0 = not known
	Best       int // the shortest known; 0 = not known
	Infeasible bool
}

// Effort is what is spent on each instance.
type Effort struct {
	Schedules, Conflicts int
	Seconds              float64 // on two threads, one instance after the other; 0 = no matter
	Seed                 uint64
	Seeds                int // so many runs, with this seed and those after it
}

// Flags are the flags of every set: the folder, the set, how many of its instances, and the
// effort that is told in seconds, with its seed.
func Flags(e *Effort, usual string) (dir, set *string, first *int) {
	flag.Float64Var(&e.Seconds, "seconds", 0, "seconds for each instance, on two threads together")
	flag.Uint64Var(&e.Seed, "seed", 1, "chance")
	flag.IntVar(&e.Seeds, "seeds", 1, "so many runs, each with the next seed")
	return flag.String("dir", "", "folder of the instances"), flag.String("set", usual, "set: a folder and its bounds_SET.csv"),
		flag.Int("first", 0, "only so many instances, spread over the set; 0 = all")
}

// row is an instance, solved.
type row struct {
	*Instance
	got    *project.Result // nil: none exists, it is claimed
	faults []string
	worse  float64 // deviation, percent
}

// run is what one seed came to.
type run struct {
	found, proven, wrong int
	worse                float64 // mean deviation, percent
}

// Run solves all instances with each seed and writes the tables, and last what all seeds came
// to; it reports how many claims are false.
func Run(w io.Writer, set string, list []Instance, e Effort) int {
	begun, cpu := time.Now(), used()
	var runs []run
	for range max(1, e.Seeds) {
		runs = append(runs, once(w, set, list, e))
		e.Seed++
	}
	best, worst := math.Inf(1), math.Inf(-1)
	all := runs[0]
	all.wrong, all.worse = 0, 0
	for _, r := range runs {
		best, worst = min(best, r.worse), max(worst, r.worse)
		all.worse += r.worse / float64(len(runs))
		all.found, all.proven, all.wrong = min(all.found, r.found), min(all.proven, r.proven), all.wrong+r.wrong
	}
	if len(runs) > 1 {
		fmt.Fprintf(w, "%d seeds: mean deviation %.3f %%, spread %.3f %%, worst %.3f %%; proved %d at least, false %d\n",
			len(runs), all.worse, worst-best, worst, all.proven, all.wrong)
	}
	line, _ := json.Marshal(map[string]any{"set": set, "instances": len(list), "found": all.found, "mean_dev_percent": all.worse, "proven": all.proven,
		"false_claims": all.wrong, "wall_seconds": time.Since(begun).Seconds(), "cpu_seconds": used() - cpu, "threads": runtime.GOMAXPROCS(0),
		"seeds": len(runs), "spread_percent": worst - best, "worst_percent": worst})
	fmt.Fprintln(w, string(line))
	return all.wrong
}

// once solves all instances with one seed.
func once(w io.Writer, set string, list []Instance, e Effort) run {
	begun, cpu := time.Now(), used()
	rows := make([]row, len(list))
	threads := runtime.GOMAXPROCS(0)
	if e.Seconds > 0 { // both threads work on one instance
		for i := range list {
			rows[i] = solve(&list[i], e)
		}
	} else {
		var all sync.WaitGroup
		next := make(chan int)
		for range threads {
			all.Go(func() {
				for i := range next {
					rows[i] = solve(&list[i], e)
				}
			})
		}
		for i := range list {
			next <- i
		}
		close(next)
		all.Wait()
	}
	return report(w, set, rows, e, time.Since(begun).Seconds(), used()-cpu)
}

// used is the processor time of the program so far, in seconds.
func used() float64 {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return float64(u.Utime.Nano()+u.Stime.Nano()) / 1e9
}

func solve(in *Instance, e Effort) row {
	r := row{Instance: in}
	o := project.Options{Schedules: e.Schedules, Conflicts: e.Conflicts, Seed: e.Seed}
	if e.Seconds > 0 {
		end := time.Now().Add(time.Duration(e.Seconds * float64(time.Second)))
		o.Stop = func() bool { return time.Now().After(end) }
		o.Schedules, o.Conflicts, o.Together = 1<<40, 1<<40, true
	}
	got, err := project.Solve(in.Project, o)
	switch {
	case errors.Is(err, project.ErrNone):
		if !in.Infeasible && in.Best > 0 {
			r.faults = append(r.faults, "no schedule is said to exist, and one is known")
		}
		return r
	case err != nil:
		r.faults, r.got = append(r.faults, err.Error()), &project.Result{}
		return r
	}
	r.got = got
	if got.Start == nil {
		return r
	}
	r.faults = append(r.faults, check.Project(in.Project, got.Start, got.Makespan)...)
	if in.Infeasible {
		r.faults = append(r.faults, "a schedule, and none is said to exist")
	}
	if got.Makespan < in.Least || in.Best > 0 && got.Bound > in.Best {
		r.faults = append(r.faults, fmt.Sprintf("made %d, bound %d; known are %d to %d", got.Makespan, got.Bound, in.Least, in.Best))
	}
	r.worse = 100 * float64(got.Makespan-in.Base) / float64(max(1, in.Base))
	return r
}

func report(w io.Writer, set string, rows []row, e Effort, wall, cpu float64) run {
	found, proven, none, equal, better, wrong := 0, 0, 0, 0, 0, 0
	sum, over, worst, gap := 0.0, 0.0, 0.0, 0.0
	for i := range rows {
		r := &rows[i]
		for _, f := range r.faults {
			fmt.Fprintf(w, "%s: %s\n", r.Name, f)
		}
		if len(r.faults) > 0 {
			wrong++
		}
		if r.got == nil {
			none, proven = none+1, proven+1
			continue
		}
		if r.got.Start == nil {
			continue
		}
		found++
		sum += r.worse
		gap += 100 * float64(r.got.Makespan-r.got.Bound) / float64(max(1, r.got.Bound))
		if r.got.Proven {
			proven++
		}
		if r.Best > 0 {
			d := 100 * float64(r.got.Makespan-r.Best) / float64(r.Best)
			over, worst = over+d, max(worst, d)
			if d <= 0 {
				equal++
			}
			if d < 0 {
				better++
				fmt.Fprintf(w, "%s: %d is shorter than the best known, %d\n", r.Name, r.got.Makespan, r.Best)
			}
		}
	}
	n := float64(max(1, found))
	fmt.Fprintf(w, "%s: %d instances; %d with a schedule, %d proved to have none; mean deviation %.3f %%, over the best known %.3f %% (worst %.2f %%), over the own bound %.2f %%\n",
		set, len(rows), found, none, sum/n, over/n, worst, gap/n)
	fmt.Fprintf(w, "as short as the best known or shorter %d (shorter %d), proved %d, false %d; %.1f s, %.1f s of the processor, seed %d, %s, %d threads, GOGC %s\n",
		equal, better, proven, wrong, wall, cpu, e.Seed, runtime.Version(), runtime.GOMAXPROCS(0), gogc())
	return run{found: found, proven: proven, wrong: wrong, worse: sum / n}
}

func gogc() string {
	if v := os.Getenv("GOGC"); v != "" {
		return v
	}
	return "100"
}

// Known reads what is known of the instances of a set: rows by name, values by column.
func Known(name string) (map[string]map[string]string, error) {
	file, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		return nil, err
	}
	if len(rows) == 0 || !slices.Contains(rows[0], "best_lb") || !slices.Contains(rows[0], "best_ub") {
		return nil, fmt.Errorf("%s has no columns best_lb and best_ub", name)
	}
	out := map[string]map[string]string{}
	for _, r := range rows[1:] {
		one := map[string]string{}
		for k, column := range rows[0] {
			one[column] = r[k]
		}
		out[strings.TrimSuffix(r[0], filepath.Ext(r[0]))] = one
	}
	return out, nil
}

// Number is a value that may be missing.
func Number(text string) int {
	n, err := strconv.Atoi(text)
	if err != nil {
		return 0
	}
	return n
}

// Files are the instances of a set in a folder: all, or so many spread over it.
func Files(dir, set, ending string, first int) []string {
	names, err := filepath.Glob(filepath.Join(dir, set, "*"+ending))
	if dir == "" || err != nil || len(names) == 0 {
		return nil
	}
	if first <= 0 || first >= len(names) {
		return names
	}
	var some []string
	for i := range first {
		some = append(some, names[i*len(names)/first])
	}
	return some
}
