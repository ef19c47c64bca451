package solve_test

import (
	"testing"

	"scumble/schedule/check"
	"scumble/schedule/place"
	"scumble/schedule/solve"
	"scumble/schedule/trial"
)

func mustKeep(t *testing.T, j *trial.Job, e solve.Effort) *solve.Plan {
	t.Helper()
	made, _, failure := solve.Search(j.Problem, e)
	if failure != solve.None {
		t.Fatalf("%s: failure %d", j.Name, failure)
	}
	for _, fault := range check.Plan(j.Hours, j.Problem, made) {
		t.Errorf("%s: %s", j.Name, fault)
	}
	if b := made.Least; b.Days > made.Days {
		t.Errorf("%s: bound %+v of %d days", j.Name, b, made.Days)
	}
	return made
}

// Work that moves in a question near a plan may reach what the question did not look at: in these two it
// met somebody, and a platform, in use there.
func TestQuestionsNearAPlanKeepEveryRule(t *testing.T) {
	for _, seed := range []uint64{90, 102} {
		mustKeep(t, trial.Large(seed), solve.Effort{Placements: 13_000, Conflicts: 3000})
	}
}

// Made-up jobs are planned, go on as planned up to some hour, with a step that takes longer,
// and are planned anew from there.
func TestMadeUpJobsKeepEveryRule(t *testing.T) {
	for seed := range uint64(30) {
		for _, make := range []func(uint64) *trial.Job{trial.Small, trial.Large} {
			j := make(1000 + seed)
			made := mustKeep(t, j, solve.Effort{Placements: 3000})
			p := j.Problem
			p.Now = made.Finish / 10 * int(1+seed%9) / 5 * 5
			for i := range p.Acts {
				s := &made.Slots[i]
				p.Acts[i].Agreed = 1 + s.Begin/(24*60)
				if s.Begin >= p.Now {
					continue
				}
				f := &place.Fact{Begin: s.Begin, End: s.End, People: s.People}
				if s.End > p.Now {
					f.End = 0
					for _, w := range s.Work {
						f.Left += max(0, w.To-max(w.From, p.Now))
					}
					f.Left += 60
				}
				p.Acts[i].Fact = f
			}
			mustKeep(t, j, solve.Effort{Placements: 3000})
		}
	}
}
