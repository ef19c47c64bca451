package trial_test

import (
	"fmt"
	"strings"
	"testing"

	"scumble/schedule/check"
	"scumble/schedule/place"
	"scumble/schedule/solve"
	"scumble/schedule/trial"
)

// plain is a job without what cannot be compared: functions are called instead.
func plain(j *trial.Job) string {
	var text strings.Builder
	fmt.Fprint(&text, j.Tightness, j.Hours, j.Problem.People, j.Problem.Shut, j.Problem.Kits, j.Problem.Groups)
	for _, a := range j.Problem.Acts {
		fmt.Fprint(&text, "\n", a.Room, a.Work, a.Unbroken, a.Needs, a.Kit, a.Wet, a.Touch, a.Hands, a.From)
		for _, l := range a.Before {
			fmt.Fprint(&text, " ", l.On, l.Lag, l.Until)
			for end := 0; l.Times != nil && end < 24*60; end += 60 {
				lag, until := l.Times(end)
				fmt.Fprint(&text, " ", lag, until)
			}
		}
	}
	return text.String()
}

func TestSameSeedSameJob(t *testing.T) {
	seen := map[string]bool{}
	for seed := range uint64(50) {
		for _, make := range []func(uint64) *trial.Job{trial.Small, trial.Large} {
			text := plain(make(seed))
			if text != plain(make(seed)) {
				t.Fatalf("seed %d makes two jobs", seed)
			}
			if seen[text] {
				t.Fatalf("seed %d makes a job that was there", seed)
			}
			seen[text] = true
		}
	}
}

// counts of what a family holds, to see that nothing is missing.
type counts map[string]int

func (c counts) note(what string, is bool) {
	if is {
		c[what]++
	}
}

func TestFiguresAreInRange(t *testing.T) {
	for _, f := range []struct {
		name               string
		make               func(uint64) *trial.Job
		least, most, rooms int
		grain              int
	}{{"small", trial.Small, 9, 25, 2, 30}, {"large", trial.Large, 170, 225, 12, 5}} {
		has := counts{}
		for seed := range uint64(300) {
			j := f.make(seed)
			p := j.Problem
			within := func(what string, v, least, most int) {
				if v < least || v > most {
					t.Errorf("%s: %s is %d, not %d to %d", j.Name, what, v, least, most)
				}
			}
			within("steps", len(p.Acts), f.least, f.most)
			within("rooms", len(p.Shut), 1, f.rooms)
			within("crew", len(p.People), 1, 4)
			within("kinds of kit", len(p.Kits), 0, 1)
			for _, k := range p.Kits {
				within("platforms", k, 1, 2)
				has.note("two platforms", k == 2)
			}
			for d := range 7 {
				has.note("a Saturday worked", d == 6 && j.Hours.Weekly[d])
				has.note("a Friday free", d == 5 && !j.Hours.Weekly[d])
			}
			has.note("a closed day", len(j.Hours.Closed) > 0)
			has.note("no platform", len(p.Kits) == 0)
			has.note(j.Tightness.String(), true)
			for _, who := range p.People {
				has.note("days off", len(who.Off) > 0)
				has.note("skills "+who.Skills, true)
			}
			for _, shut := range p.Shut {
				has.note("a room shut", len(shut) > 0)
			}
			for i, a := range p.Acts {
				within("work", a.Work, 30, 900)
				within("grains over", a.Work%f.grain, 0, 0)
				within("room", a.Room, 0, len(p.Shut)-1)
				within("kit", a.Kit, -1, len(p.Kits)-1)
				within("wet for", a.Touch, 0, 600)
				if !p.Able(a.Needs) {
					t.Errorf("%s: nobody can do step %d", j.Name, i)
				}
				has.note("a step kept waiting", a.From > 0)
				has.note("needs "+a.Needs, true)
				has.note("unbroken", a.Unbroken)
				has.note("on a platform", a.Kit == 0)
				has.note("longer than a day", a.Work > 480)
				has.note("never in one stretch", p.Long(&a))
				for _, k := range a.Wet {
					if p.Acts[k].Room != a.Room || k == i || p.Acts[k].Touch != a.Touch {
						t.Errorf("%s: %d and %d do not meet", j.Name, i, k)
					}
					has.note("a wet corner", true)
				}
				for _, l := range a.Before {
					has.note("changing air", l.Times != nil)
					has.note("a window", l.Until > 0)
					within("lag", l.Lag, 0, 48*60)
					if l.Until > 0 {
						within("window", l.Until, 24*60, 168*60)
					}
					within("waits for", l.On, 0, i-1)
					if seed < 20 {
						dry(t, j, &l)
					}
				}
			}
		}
		for _, what := range []string{"two platforms", "a Saturday worked", "a Friday free", "a closed day", "no platform", "loose", "fair", "tight", "impossible",
			"days off", "a room shut", "a step kept waiting", "needs p", "needs l", "needs lw", "unbroken", "on a platform", "a wet corner", "changing air", "a window",
			"skills lwp", "skills lp", "skills wp", "skills p"} {
			if has[what] == 0 {
				t.Errorf("%s: no job has %s", f.name, what)
			}
		}
		if long := has["longer than a day"] > 0; long != (f.name == "large") || has["never in one stretch"] > 0 {
			t.Errorf("%s: %v", f.name, has)
		}
	}
}

// dry sees that a coat which ends later is not dry sooner, and that Lag is the least wait.
func dry(t *testing.T, j *trial.Job, l *place.Link) {
	if l.Times == nil {
		return
	}
	before := 0
	for end := range 2 * 24 * 60 {
		lag, until := l.Times(end)
		if end+lag < before || lag < l.Lag || lag > 52*60 || l.Until > 0 && (until != l.Until || until < lag) {
			t.Fatalf("%s: a coat that ends at %d waits %d to %d; the one before was dry at %d", j.Name, end, lag, until, before)
		}
		before = end + lag
	}
}

// No job is so simple that any order of steps gives the same plan.
func TestJobsAreNotTrivial(t *testing.T) {
	differ := 0
	for seed := range uint64(40) {
		j := trial.Small(seed)
		quick, _, _ := solve.Search(j.Problem, solve.Effort{})
		long, _, failure := solve.Search(j.Problem, solve.Effort{Placements: 20_000})
		if failure != solve.None {
			t.Fatalf("%s: failure %d", j.Name, failure)
		}
		late := len(check.Missed(j.Problem, long))
		if j.Tightness == trial.Impossible && late == 0 {
			t.Errorf("%s keeps a window that nobody can keep", j.Name)
		}
		if quick.Days != long.Days || quick.Finish != long.Finish || quick.Visits != long.Visits {
			differ++
		}
		for _, fault := range check.Plan(j.Hours, j.Problem, long) {
			t.Errorf("%s: %s", j.Name, fault)
		}
	}
	if differ < 15 {
		t.Errorf("only %d of 40 jobs gain anything from a search", differ)
	}
}
