// Command psplib runs the solver of projects on published instances and compares the
// schedules with the best known ones. The instances are made for benchmarking (Kolisch and
// Sprecher, European Journal of Operational Research 96, 1997) and do not lie here: -dir names
// a folder with bounds_SET.csv and a folder SET of .sm files.
package main

import (
	"encoding/csv"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"scumble/schedule/project"
)

func main() {
	dir := flag.String("dir", "", "folder of the instances")
	set := flag.String("set", "j30", "set, such as j120")
	schedules := flag.Int("schedules", 0, "schedules to build for each instance")
	seconds := flag.Float64("seconds", 0, "seconds for each instance")
	seed := flag.Uint64("seed", 1, "chance")
	first := flag.Int("first", 0, "only so many instances, spread over the set; 0 = all")
	threads := flag.Int("threads", 1, "threads that work on one instance")
	only := flag.Int("only", 0, "only the instances numbered 1 to so many of each cell; 0 = all")
	flag.Parse()
	names, err := filepath.Glob(filepath.Join(*dir, *set, "*.sm"))
	if *dir == "" || err != nil || len(names) == 0 {
		fmt.Fprintf(os.Stderr, "psplib: no instances in %q: give -dir the folder that holds bounds_%s.csv and %s/*.sm; they are published for benchmarking and not part of this project\n", *dir, *set, *set)
		os.Exit(1)
	}
	if *schedules == 0 && *seconds == 0 {
		*schedules = 5000
	}
	if *only > 0 {
		names = slices.DeleteFunc(names, func(name string) bool {
			_, number, _ := strings.Cut(strings.TrimSuffix(filepath.Base(name), ".sm"), "_")
			k, err := strconv.Atoi(number)
			return err != nil || k > *only
		})
	}
	if *first > 0 && *first < len(names) {
		var some []string
		for i := range *first {
			some = append(some, names[i*len(names)/(*first)])
		}
		names = some
	}
	known, err := bounds(filepath.Join(*dir, "bounds_"+*set+".csv"))
	if err != nil {
		fmt.Fprintln(os.Stderr, "psplib:", err)
		os.Exit(1)
	}
	begun := time.Now()
	rows := runAll(names, known, *schedules, *seconds, *seed, *threads)
	report(*set, rows, time.Since(begun).Seconds())
}

// row is one instance, solved.
type row struct {
	name                  string
	critical, made, bound int
	best, lower           int // best known, and the best known bound
	proven, wrong         bool
	fault                 string
}

func runAll(names []string, known map[string][2]int, schedules int, seconds float64, seed uint64, each int) []row {
	rows := make([]row, len(names))
	var next sync.Mutex
	at := 0
	var all sync.WaitGroup
	threads := max(1, runtime.GOMAXPROCS(0)/max(1, each))
	for range threads {
		all.Go(func() {
			for {
				next.Lock()
				i := at
				at++
				next.Unlock()
				if i >= len(names) {
					return
				}
				rows[i] = runOne(names[i], known, schedules, seconds, seed, each)
			}
		})
	}
	all.Wait()
	return rows
}

func runOne(name string, known map[string][2]int, schedules int, seconds float64, seed uint64, threads int) row {
	r := row{name: strings.TrimSuffix(filepath.Base(name), ".sm")}
	text, err := os.ReadFile(name)
	if err != nil {
		r.fault = err.Error()
		return r
	}
	p, err := read(string(text))
	if err != nil {
		r.fault = err.Error()
		return r
	}
	o := project.Options{Schedules: schedules, Seed: seed, Threads: threads}
	if seconds > 0 {
		end := time.Now().Add(time.Duration(seconds * float64(time.Second)))
		o.Stop = func() bool { return time.Now().After(end) }
		if schedules == 0 {
			o.Schedules = 1 << 40
		}
	}
	got, err := project.Search(p, o)
	if err != nil {
		r.fault = err.Error()
		return r
	}
	if fault := check(p, got.Start, got.Makespan); fault != "" {
		r.fault = fault
	}
	r.critical, r.made, r.bound, r.proven = critical(p), got.Makespan, got.Bound, got.Proven
	if b, ok := known[r.name]; ok {
		r.lower, r.best = b[0], b[1]
		r.wrong = r.made < r.lower || got.Bound > r.best
	}
	return r
}

// check looks at a schedule anew, without the solver.
func check(p *project.Project, start []int, makespan int) string {
	end := 0
	for i, s := range start {
		end = max(end, s+p.Time[i])
		if s < 0 {
			return fmt.Sprintf("activity %d begins before the project", i)
		}
		for _, k := range p.Then[i] {
			if start[k] < s+p.Time[i] {
				return fmt.Sprintf("activity %d begins before %d ends", k, i)
			}
		}
	}
	if end != makespan {
		return fmt.Sprintf("it ends at %d and not at %d", end, makespan)
	}
	for t := range end {
		for r, c := range p.Capacity {
			used := 0
			for i, s := range start {
				if s <= t && t < s+p.Time[i] {
					used += p.Needs[i][r]
				}
			}
			if used > c {
				return fmt.Sprintf("resource %d is used %d times of %d at %d", r, used, c, t)
			}
		}
	}
	return ""
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

// bounds reads name, lower bound and best known makespan.
func bounds(name string) (map[string][2]int, error) {
	file, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		return nil, err
	}
	out := map[string][2]int{}
	head := rows[0]
	lower, upper := slices.Index(head, "best_lb"), slices.Index(head, "best_ub")
	if lower < 0 || upper < 0 {
		return nil, fmt.Errorf("%s has no columns best_lb and best_ub: %v", name, head)
	}
	for _, r := range rows[1:] {
		l, _ := strconv.Atoi(r[lower])
		u, _ := strconv.Atoi(r[upper])
		out[strings.TrimSuffix(r[0], ".sm")] = [2]int{l, u}
	}
	return out, nil
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
		fields := strings.Fields(line)
		var n []int
		for _, f := range fields {
			v, err := strconv.Atoi(f)
			if err != nil {
				n = nil
				break
			}
			n = append(n, v)
		}
		if len(n) == 0 {
			continue
		}
		switch part {
		case "PREC":
			var then []int
			for _, k := range n[3:] {
				then = append(then, k-1)
			}
			p.Then = append(p.Then, then)
		case "REQU":
			p.Time, p.Needs = append(p.Time, n[2]), append(p.Needs, n[3:])
		case "RESO":
			p.Capacity = n
		}
	}
	if len(p.Time) == 0 || len(p.Time) != len(p.Then) || len(p.Capacity) == 0 {
		return nil, fmt.Errorf("%d activities, %d with successors, %d resources", len(p.Time), len(p.Then), len(p.Capacity))
	}
	return p, nil
}

func report(set string, rows []row, seconds float64) {
	sum, best, worst, proven, wrong, closed := 0.0, 0.0, 0.0, 0, 0, 0
	for _, r := range rows {
		if r.fault != "" {
			fmt.Printf("%s: %s\n", r.name, r.fault)
			wrong++
			continue
		}
		d := 100 * float64(r.made-r.critical) / float64(r.critical)
		if set == "j30" {
			d = 100 * float64(r.made-r.best) / float64(r.best)
		}
		sum += d
		over := 100 * float64(r.made-r.best) / float64(max(1, r.best))
		best += over
		worst = max(worst, over)
		if r.proven {
			proven++
		}
		if r.wrong {
			wrong++
			fmt.Printf("%s: made %d, bound %d, best known %d to %d\n", r.name, r.made, r.bound, r.lower, r.best)
		}
		if r.made == r.best {
			closed++
		}
	}
	n := float64(max(1, len(rows)))
	fmt.Printf("%s: %d instances, mean deviation %.3f %%, over best known %.3f %% (worst %.2f %%), as good as the best known %d, proven %d, false %d, %.1f s on %d threads\n",
		set, len(rows), sum/n, best/n, worst, closed, proven, wrong, seconds, runtime.GOMAXPROCS(0))
	line, _ := json.Marshal(map[string]any{"set": set, "instances": len(rows), "mean_dev_percent": sum / n, "proven": proven, "false_claims": wrong, "wall_seconds": seconds, "threads": runtime.GOMAXPROCS(0)})
	fmt.Println(string(line))
}
