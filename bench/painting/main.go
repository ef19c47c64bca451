// Command painting runs the solver of programmes on made-up painting jobs (schedule/trial),
// looks at every plan with the checker and compares it with what an independent solver
// found, where that is stored in oracle.csv.
//
// The stored values were made by this command with -oracle, from the root of the project: it tells each small job to
// Chuffed (lazy clause generation), in the words of painting.mzn, and stores what comes back
// with the plan, which the checker has to accept. Goals in order: fewest steps that begin
// after a window has closed; fewest days with work; fewest visits; earliest finish.
// The column proven counts how many of the four are proven.
//
// Small jobs count in half hours, and the other solver's clock does, too. The planner begins
// at any five minutes; that gains nothing, since a plan stays one when all starts are moved
// down to the half hour: all waits, times of work and hours are multiples of it. Only a latest
// start that counts from work which crosses a break can close earlier then. So the other
// solver first lets windows close as late as a finer clock could make them; a plan it finds
// that keeps to the strict rules is then the best on any clock.
//
// What proofs rest on beside the other solver: plans are looked for over open_days, beyond
// which weeks are alike and gaps only grow; and of plans that miss windows, those with up to
// four days with work more than the planner's.
package main

import (
	"encoding/csv"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"slices"
	"strings"
	"time"

	"scumble/schedule/check"
	"scumble/schedule/solve"
	"scumble/schedule/trial"
)

func main() {
	steps := flag.Int("steps", 25, "size of the jobs: 25, which have stored values, or 200")
	from := flag.Uint64("from", 0, "seed of the first job")
	first := flag.Int("first", 50, "number of jobs")
	placements := flag.Int("placements", 400_000, "steps the planner may place for each job")
	conflicts := flag.Int("conflicts", 100_000, "dead ends the proof of each job may meet, after placing")
	seconds := flag.Float64("seconds", 0, "seconds for each job; 0 = the placements alone decide")
	folder := flag.String("oracle", "", "ask the other solver and print rows for oracle.csv: folder in which npm has installed minizinc 4.5.1")
	limit := flag.Int("limit", 60, "seconds of the other solver for each question")
	flag.Parse()
	if *folder != "" {
		o := other{folder: *folder, model: "bench/painting", seconds: *limit}
		if err := o.print(*from, *first); err != nil {
			fmt.Fprintln(os.Stderr, "painting:", err)
			os.Exit(1)
		}
		return
	}
	known, err := oracles()
	if err != nil {
		fmt.Fprintln(os.Stderr, "painting:", err)
		os.Exit(1)
	}
	make := trial.Small
	if *steps > 25 {
		make, known = trial.Large, nil
	}
	var rows []row
	fmt.Println("job         level      steps  late days visits finish  bound proven  other       seconds")
	for k := range *first {
		seed := *from + uint64(k)
		e := solve.Effort{Placements: *placements, Conflicts: *conflicts}
		if *seconds > 0 {
			end := time.Now().Add(time.Duration(*seconds * float64(time.Second)))
			e.Stop = func() bool { return time.Now().After(end) }
		}
		r := run(make(seed), e)
		if o, ok := known[int(seed)]; ok {
			r.compare(&o)
		}
		r.print()
		rows = append(rows, r)
	}
	if !report(*steps, rows) {
		os.Exit(1)
	}
}

// row is one job, solved.
type row struct {
	job     *trial.Job
	goals   [4]int // late, days, visits, day of the finish
	bound   int
	proven  int // how many of the goals, in their order
	seconds float64
	other   string
	equal   bool // to the other solver's
	asked   bool
	faults  []string
}

func run(j *trial.Job, e solve.Effort) row {
	begun := time.Now()
	made, _, failure := solve.Search(j.Problem, e)
	r := row{job: j, seconds: time.Since(begun).Seconds()}
	if failure != solve.None {
		r.faults = []string{fmt.Sprintf("no plan: failure %d", failure)}
		return r
	}
	r.bound = made.Least.Days
	r.faults = check.Plan(j.Hours, j.Problem, made)
	r.goals = [4]int{made.Late, made.Days, made.Visits, made.Finish / day}
	for _, is := range []bool{made.Proof.Late, made.Proof.Days, made.Proof.Visits, made.Proof.Finish} {
		if !is {
			break
		}
		r.proven++
	}
	if r.proven < 2 && made.Late == 0 && made.Days == r.bound {
		r.proven = 2
	}
	if r.bound > made.Days {
		r.faults = append(r.faults, fmt.Sprintf("a bound of %d days and a plan of %d", r.bound, made.Days))
	}
	return r
}

// compare holds a plan against what is known. What is better than a proven value is false,
// on one side or the other.
func (r *row) compare(k *known) {
	best := [4]int{k.late, k.days, k.visits, k.finish / day}
	r.asked, r.equal = true, r.goals == best
	r.other = fmt.Sprint(best[0], " ", best[1], " ", best[2], " ", best[3])
	if k.proven < 4 {
		r.other += fmt.Sprintf(" (%d)", k.proven)
	}
	for g := range best {
		if r.goals[g] < best[g] && g < k.proven {
			r.faults = append(r.faults, fmt.Sprintf("%v is better than %v, of which the other solver has proven %d", r.goals, best, k.proven))
		}
		if r.goals[g] > best[g] && g < r.proven {
			r.faults = append(r.faults, fmt.Sprintf("%v is worse than %v, and %d are said to be proven", r.goals, best, r.proven))
		}
		if r.goals[g] != best[g] {
			break
		}
	}
	if r.bound > k.days {
		r.faults = append(r.faults, fmt.Sprintf("a bound of %d days; the other solver has a plan of %d", r.bound, k.days))
	}
}

func (r *row) print() {
	fmt.Printf("%-11s %-10s %5d  %4d %4d %6d %6d  %5d %6d  %-11s %7.3f  %s\n", r.job.Name, r.job.Tightness, len(r.job.Problem.Acts),
		r.goals[0], r.goals[1], r.goals[2], r.goals[3], r.bound, r.proven, r.other, r.seconds, strings.Join(r.faults, "; "))
}

// report sums up. It tells whether nothing was false.
func report(steps int, rows []row) bool {
	asked, equal, days, proven, whole, faulty := 0, 0, 0, 0, 0, 0
	gap, most, seconds, slowest := 0.0, 0.0, 0.0, 0.0
	for _, r := range rows {
		if r.asked {
			asked++
			if r.equal {
				equal++
			}
			var late, least int
			if fmt.Sscan(r.other, &late, &least); r.goals[0] == late && r.goals[1] == least {
				days++
			}
		}
		if r.proven >= daysGoal {
			proven++
		}
		if r.proven == finishGoal {
			whole++
		}
		if len(r.faults) > 0 {
			faulty++
		}
		over := 100 * float64(r.goals[1]-r.bound) / float64(max(1, r.bound))
		gap, most = gap+over, max(most, over)
		seconds, slowest = seconds+r.seconds, max(slowest, r.seconds)
	}
	n := float64(max(1, len(rows)))
	fmt.Printf("%d jobs; of %d with other values %d are equal in late, days, visits and day of the finish, %d in late and days; late and days proven %d, all four %d; over the own bound %.1f %% (worst %.0f %%); %.3f s a job (slowest %.3f); faulty %d\n",
		len(rows), asked, equal, days, proven, whole, gap/n, most, seconds/n, slowest, faulty)
	line, _ := json.Marshal(map[string]any{"steps": steps, "jobs": len(rows), "with_oracle": asked, "equal": equal, "equal_days": days, "proven_days": proven, "proven_all": whole,
		"gap_percent": gap / n, "worst_gap_percent": most, "seconds_mean": seconds / n, "seconds_worst": slowest, "faulty": faulty})
	fmt.Println(string(line))
	return faulty == 0
}

// print asks for one job after the other and writes rows as they come.
func (o *other) print(from uint64, count int) error {
	out := csv.NewWriter(os.Stdout)
	if err := out.Write(slices.Clone(head)); err != nil {
		return err
	}
	for k := range count {
		found, err := o.ask(from+uint64(k), time.Now().Format(time.DateOnly))
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			continue
		}
		if err := out.Write(found.fields()); err != nil {
			return err
		}
		out.Flush()
	}
	return out.Error()
}
