package main

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"scumble/schedule/check"
	"scumble/schedule/place"
	"scumble/schedule/solve"
	"scumble/schedule/trial"
)

//go:embed oracle.csv
var stored string

// known is what the other solver found for a job.
type known struct {
	seed, steps int
	tightness   string
	late        int // activities that begin after a window closes; fewest
	days        int // then fewest
	visits      int // then
	finish      int // then earliest, site minutes
	proven      int // how many of these four are, in this order
	open        int // open days looked at
	seconds     float64
	solver      string
	date        string
	begins      []int // of its plan, by step
	goesOn      []int // day number on which a step goes on that is stopped for a night; -1 = none
	people      [][]int
}

var head = []string{"seed", "steps", "tightness", "late", "days", "visits", "finish", "proven", "open_days", "seconds", "solver", "date", "begins", "people"}

func (k *known) fields() []string {
	var people []string
	for _, who := range k.people {
		people = append(people, strings.Join(words(who), "+"))
	}
	return []string{strconv.Itoa(k.seed), strconv.Itoa(k.steps), k.tightness, strconv.Itoa(k.late), strconv.Itoa(k.days), strconv.Itoa(k.visits), strconv.Itoa(k.finish),
		strconv.Itoa(k.proven), strconv.Itoa(k.open), fmt.Sprintf("%.1f", k.seconds), k.solver, k.date, strings.Join(k.starts(), " "), strings.Join(people, " ")}
}

// starts are the begins of steps, each with the day it goes on: 1380 or 2340>3.
func (k *known) starts() []string {
	out := words(k.begins)
	for i, on := range k.goesOn {
		if on >= 0 {
			out[i] += ">" + strconv.Itoa(on)
		}
	}
	return out
}

func words(values []int) []string {
	out := make([]string, len(values))
	for k, v := range values {
		out[k] = strconv.Itoa(v)
	}
	return out
}

// oracles reads the stored values by seed.
func oracles() (map[int]known, error) {
	rows, err := csv.NewReader(strings.NewReader(stored)).ReadAll()
	if err != nil {
		return nil, err
	}
	if len(rows) == 0 || !slices.Equal(rows[0], head) {
		return nil, fmt.Errorf("oracle.csv has other columns than %v", head)
	}
	all := map[int]known{}
	for _, r := range rows[1:] {
		var numbers []int
		for _, at := range []int{0, 1, 3, 4, 5, 6, 7, 8} {
			v, err := strconv.Atoi(r[at])
			if err != nil {
				return nil, fmt.Errorf("oracle.csv, seed %s, %s: %w", r[0], head[at], err)
			}
			numbers = append(numbers, v)
		}
		k := known{seed: numbers[0], steps: numbers[1], tightness: r[2], late: numbers[2], days: numbers[3], visits: numbers[4], finish: numbers[5],
			proven: numbers[6], open: numbers[7], solver: r[10], date: r[11]}
		if k.seconds, err = strconv.ParseFloat(r[9], 64); err != nil {
			return nil, err
		}
		for _, field := range strings.Fields(r[12]) {
			begin, on, later := strings.Cut(field, ">")
			if !later {
				on = "-1"
			}
			both, err := whole([]string{begin, on})
			if err != nil {
				return nil, err
			}
			k.begins, k.goesOn = append(k.begins, both[0]), append(k.goesOn, both[1])
		}
		for _, field := range strings.Fields(r[13]) {
			who, err := whole(strings.Split(field, "+"))
			if err != nil {
				return nil, err
			}
			k.people = append(k.people, who)
		}
		all[k.seed] = k
	}
	return all, nil
}

func whole(words []string) (out []int, err error) {
	for _, w := range words {
		v, err := strconv.Atoi(w)
		if err != nil {
			return nil, err
		}
		out = append(out, v)
	}
	return out, nil
}

// slots lays out a stored plan in full: its work from the start of each step on, over breaks
// and on the day it goes on.
func (k *known) slots(j *trial.Job) []place.Slot {
	made := make([]place.Slot, len(k.begins))
	order := make([]int, len(k.begins))
	for i := range k.begins {
		order[i] = i
		s := &made[i]
		*s = place.Slot{Begin: k.begins[i], People: k.people[i], Unit: -1}
		rest := j.Problem.Acts[i].Work
		for _, number := range []int{s.Begin / day, k.goesOn[i]} {
			for _, sp := range j.Hours.Spans {
				from := max(s.Begin, number*day+sp.From)
				if to := min(number*day+sp.To, from+rest); from < to {
					s.Work = append(s.Work, place.Span{From: from, To: to})
					rest -= to - from
					s.End = to
				}
			}
		}
	}
	slices.SortStableFunc(order, func(x, y int) int { return k.begins[x] - k.begins[y] })
	until := map[[2]int]int{} // by piece of kit
	for _, i := range order {
		kit := j.Problem.Acts[i].Kit
		for u := 0; kit >= 0 && made[i].Unit < 0 && u < j.Problem.Kits[kit]; u++ {
			if key := [2]int{kit, u}; until[key] <= k.begins[i] {
				made[i].Unit, until[key] = u, made[i].End
			}
		}
	}
	return made
}

// The goals of a plan, in their order, as the model numbers them.
const (
	lateGoal = 1 + iota
	daysGoal
	visitsGoal
	finishGoal
)

// other is the solver that knows nothing of ours.
type other struct {
	folder  string // with node_modules/minizinc
	model   string
	seconds int // for each goal
}

// spare is how many days with work more than our plan has may be tried to be less late.
const spare = 4

// ask looks for the best plan of a job, one goal after the other. First latest starts count
// from ends as late as a finer clock could make them, so that no plan on any clock is better
// than what is proven then; if the plan found does not keep to the rules, it looks again.
func (o *other) ask(seed uint64, date string) (known, error) {
	j := trial.Small(seed)
	begun := time.Now()
	ours, _, failure := solve.Search(j.Problem, solve.Effort{Placements: 20_000, Conflicts: 20_000})
	if failure != solve.None {
		return known{}, fmt.Errorf("%s: failure %d", j.Name, failure)
	}
	if faults := check.Plan(j.Hours, j.Problem, ours); len(faults) > 0 {
		return known{}, fmt.Errorf("%s: %s", j.Name, strings.Join(faults, "; "))
	}
	days := ours.Days
	if ours.Late > 0 {
		days += spare
	}
	c := newClock(j, days)
	found, err := o.goals(j, c, true, ours)
	if err != nil {
		return found, err
	}
	if faults := found.faults(j); len(faults) > 0 {
		fmt.Fprintf(os.Stderr, "%s: on a finer clock perhaps: %v\n", j.Name, faults)
		least := found
		if found, err = o.goals(j, c, false, ours); err != nil {
			return found, err
		}
		if faults := found.faults(j); len(faults) > 0 {
			return found, fmt.Errorf("%s: the other solver's plan: %s", j.Name, strings.Join(faults, "; "))
		}
		proven := 0
		for k, same := range []bool{found.late == least.late, found.days == least.days, found.visits == least.visits, found.finish == least.finish} {
			if same && proven == k && k < min(found.proven, least.proven) {
				proven++
			}
		}
		found.proven = proven
	}
	found.seed, found.steps, found.tightness, found.open = int(seed), len(j.Problem.Acts), j.Tightness.String(), len(c.open)
	found.seconds, found.solver, found.date = time.Since(begun).Seconds(), "Chuffed 0.14.0 (npm minizinc 4.5.1)", date
	return found, nil
}

// faults looks at a plan of the other solver with the checker.
func (k *known) faults(j *trial.Job) []string {
	made := check.Figures(j.Hours, j.Problem, k.slots(j))
	is := [4]int{made.Late, made.Days, made.Visits, made.Finish}
	made.Slots, made.Slack = k.slots(j), make([]int, len(k.begins))
	faults := check.Plan(j.Hours, j.Problem, &made)
	if says := [4]int{k.late, k.days, k.visits, k.finish}; is != says {
		faults = append(faults, fmt.Sprintf("late, days, visits and finish are %v and not %v", is, says))
	}
	return faults
}

// goals asks whether ours can be beaten, in one goal after the other, and then for the
// earliest finish of a plan that is as good in all the others.
func (o *other) goals(j *trial.Job, c *clock, relaxed bool, ours *solve.Plan) (known, error) {
	const far = 1 << 20
	b := bounds{relaxed: relaxed, days: ours.Days, mostLate: ours.Late, mostVisits: ours.Visits, mostFinish: (ours.Finish + slot - 1) / slot * slot}
	settled, sound := 0, true
	// beat asks for something better until there is none.
	beat := func(goal int, ask func() bounds, better func(k *known)) error {
		for {
			q := ask()
			q.goal = goal
			k, proven, err := o.run(j, c, q)
			if err != nil {
				return err
			}
			if k == nil {
				if sound = sound && proven; sound {
					settled = goal
				}
				return nil
			}
			fmt.Fprintf(os.Stderr, "%s: ours is beaten in goal %d: late %d, days %d, visits %d\n", j.Name, goal, k.late, k.days, k.visits)
			better(k)
			b.mostFinish = far
		}
	}
	if ours.Late > 0 {
		err := beat(lateGoal, func() bounds { q := b; q.days += spare; q.mostLate--; return q }, func(k *known) { b.mostLate, b.days, b.mostVisits = k.late, k.days, far })
		if err != nil {
			return known{}, err
		}
	} else {
		settled = lateGoal // none late needs no proof
	}
	err := beat(daysGoal, func() bounds { q := b; q.days--; return q }, func(k *known) { b.days, b.mostVisits = k.days, far })
	if err == nil && b.mostVisits == 1 && sound {
		settled = visitsGoal
	} else if err == nil {
		err = beat(visitsGoal, func() bounds { q := b; q.mostVisits--; return q }, func(k *known) { b.mostVisits = k.visits })
	}
	if err != nil {
		return known{}, err
	}
	b.goal = finishGoal
	k, proven, err := o.run(j, c, b)
	switch {
	case err != nil:
		return known{}, err
	case k == nil && proven:
		return known{}, fmt.Errorf("%s: the other solver says that there is no plan like ours: %d late, %d days, %d visits, finish %d", j.Name, b.mostLate, b.days, b.mostVisits, b.mostFinish)
	case k == nil:
		return known{}, fmt.Errorf("%s: the other solver found no plan in its time", j.Name)
	}
	if k.proven = settled; settled == visitsGoal && proven {
		k.proven = finishGoal
	}
	return *k, nil
}

// run asks for one goal. No plan and proven: there is none.
func (o *other) run(j *trial.Job, c *clock, b bounds) (*known, bool, error) {
	name := filepath.Join(o.folder, fmt.Sprintf("%s-%d-%d-%v.dzn", j.Name, b.goal, b.days, b.relaxed))
	if err := os.WriteFile(name, []byte(data(j, c, b)), 0o644); err != nil {
		return nil, false, err
	}
	run := exec.Command("node", filepath.Join(o.model, "oracle.cjs"), filepath.Join(o.model, "painting.mzn"), name,
		"--solver", "chuffed", "-f", "-a", "--time-limit", strconv.Itoa(o.seconds*1000))
	run.Env = append(os.Environ(), "MZN_ROOT="+o.folder)
	run.Stderr = os.Stderr
	out, err := run.Output()
	if err != nil {
		return nil, false, fmt.Errorf("node %s: %w: %s", name, err, out)
	}
	var found *known
	proven := false
	for line := range strings.Lines(string(out)) {
		line = strings.TrimSpace(line)
		parts := strings.Split(line, ";")
		switch {
		case line == "==========" || line == "=====UNSATISFIABLE=====":
			proven = true
		case len(parts) == 6:
			if found, err = answer(j, c, parts); err != nil {
				return nil, false, err
			}
		}
	}
	return found, proven, nil
}

// answer reads a line of the model: goals; days attended; days, slots of the starts; days
// of going on; teams.
func answer(j *trial.Job, c *clock, parts []string) (*known, error) {
	numbers := make([][]int, 6)
	for k, part := range parts {
		var err error
		if numbers[k], err = whole(strings.FieldsFunc(part, func(r rune) bool { return strings.ContainsRune(" [],", r) })); err != nil {
			return nil, err
		}
	}
	goals, attended, on, at, over, who := numbers[0], numbers[1], numbers[2], numbers[3], numbers[4], numbers[5]
	k := &known{late: goals[0], finish: goals[2] * slot}
	teams := newTeams(j.Problem)
	for i := range j.Problem.Acts {
		teams.of(j.Problem.Acts[i].Needs)
	}
	worked := map[int]bool{}
	for i := range j.Problem.Acts {
		k.begins, k.goesOn = append(k.begins, c.open[attended[on[i]]]*day+c.begins[at[i]]), append(k.goesOn, -1)
		worked[attended[on[i]]] = true
		if over[i] >= 0 {
			k.goesOn[i] = c.open[attended[over[i]]]
			worked[attended[over[i]]] = true
		}
		var people []int
		for _, p := range teams.sets[who[i]-1] {
			people = append(people, p-1)
		}
		k.people = append(k.people, teams.order(people, j.Problem.Acts[i].Needs))
	}
	for d := range worked {
		if k.days++; !worked[d-1] {
			k.visits++
		}
	}
	return k, nil
}
