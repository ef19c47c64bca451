package main

import (
	"testing"

	"scumble/schedule/solve"
	"scumble/schedule/trial"
)

// plain are seeds of jobs that a small budget settles.
var plain = []int{1, 2, 4, 15, 17, 19, 18, 20, 21, 22}

func stores(t *testing.T) map[int]known {
	all, err := oracles()
	if err != nil {
		t.Fatal(err)
	}
	if len(all) < 40 {
		t.Fatalf("only %d stored values", len(all))
	}
	return all
}

// The stored plans are plans of the very jobs that the seeds make now, and are what the
// stored values say.
func TestStoredPlansKeepEveryRule(t *testing.T) {
	late, proven := 0, 0
	for seed, k := range stores(t) {
		j := trial.Small(uint64(seed))
		if len(j.Problem.Acts) != k.steps || j.Tightness.String() != k.tightness || len(k.begins) != k.steps || len(k.people) != k.steps {
			t.Errorf("%s: %d steps, %s; stored for %d, %s", j.Name, len(j.Problem.Acts), j.Tightness, k.steps, k.tightness)
			continue
		}
		for _, fault := range k.faults(j) {
			t.Errorf("%s: %s", j.Name, fault)
		}
		if k.late > 0 {
			late++
		}
		if k.proven >= daysGoal {
			proven++
		}
	}
	if late < 3 || proven < 30 {
		t.Errorf("%d stored jobs miss windows, of %d the days are proven", late, proven)
	}
}

// A planner that beats a proof, or a bound above a plan, is wrong; or the proof is. Some jobs
// are so plain that little work finds what is best.
func TestNothingBeatsAProof(t *testing.T) {
	all := stores(t)
	for seed, k := range all {
		r := run(trial.Small(uint64(seed)), solve.Effort{Placements: 2_000})
		r.compare(&k)
		for _, fault := range r.faults {
			t.Errorf("%s: %s", r.job.Name, fault)
		}
	}
	for _, seed := range plain {
		k, ok := all[seed]
		r := run(trial.Small(uint64(seed)), solve.Effort{Placements: 2_000, Conflicts: 2_000})
		if r.compare(&k); !ok || !r.equal || len(r.faults) > 0 {
			t.Errorf("%s: %v, the other solver has %s; %v", r.job.Name, r.goals, r.other, r.faults)
		}
	}
}

// compare has to find what is false.
func TestComparing(t *testing.T) {
	k := known{late: 0, days: 5, visits: 2, finish: 9*day + 600, proven: 2}
	for _, c := range []struct {
		goals         [4]int
		bound, proven int
		equal, false  bool
	}{
		{[4]int{0, 5, 2, 9}, 5, 4, true, false},
		{[4]int{0, 5, 1, 9}, 5, 2, false, false}, // visits are not proven
		{[4]int{0, 4, 3, 9}, 4, 0, false, true},
		{[4]int{1, 4, 1, 9}, 4, 0, false, false},
		{[4]int{0, 6, 1, 9}, 5, 1, false, false},
		{[4]int{0, 6, 1, 9}, 5, 2, false, true}, // five days are enough
		{[4]int{1, 4, 1, 9}, 4, 1, false, true}, // none need be late
		{[4]int{0, 5, 2, 9}, 6, 0, true, true},
	} {
		r := row{goals: c.goals, bound: c.bound, proven: c.proven}
		r.compare(&k)
		if r.equal != c.equal || len(r.faults) > 0 != c.false {
			t.Errorf("%+v: equal %v, faults %v", c, r.equal, r.faults)
		}
	}
}

// The stored plan of one job, spoilt: the checker that accepted it has to see that.
func TestSpoiltStoredPlan(t *testing.T) {
	k := stores(t)[1]
	j := trial.Small(1)
	k.days--
	if len(k.faults(j)) == 0 {
		t.Error("a day too few is not seen")
	}
	k.days++
	k.begins[len(k.begins)-1] -= slot
	if len(k.faults(j)) == 0 {
		t.Error("a step begun too early is not seen")
	}
}
