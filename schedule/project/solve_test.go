package project

import (
	"errors"
	"testing"

	"pgregory.net/rapid"
)

// drawLags adds lags between starts to a small project, greatest ones among them.
func drawLags(t *rapid.T, p *Project) {
	n := len(p.Time)
	for range rapid.IntRange(0, 4).Draw(t, "lags") {
		p.Lags = append(p.Lags, Lag{rapid.IntRange(0, n-1).Draw(t, "from"), rapid.IntRange(0, n-1).Draw(t, "to"), rapid.IntRange(-6, 4).Draw(t, "least")})
	}
}

// obeys looks at starts anew.
func obeys(p *Project, start []int) bool {
	for i, s := range start {
		for _, k := range p.Then[i] {
			if start[k] < s+p.Time[i] {
				return false
			}
		}
		for at := s; at < s+p.Time[i]; at++ {
			for r, c := range p.Capacity {
				used := 0
				for k := range start {
					if start[k] <= at && at < start[k]+p.Time[k] {
						used += p.Needs[k][r]
					}
				}
				if used > c {
					return false
				}
			}
		}
	}
	for _, l := range p.Lags {
		if start[l.To]-start[l.From] < l.Least {
			return false
		}
	}
	return true
}

// shortestOfAll tries all starts up to a time; -1 = none.
func shortestOfAll(p *Project, most int) int {
	best, start := -1, make([]int, len(p.Time))
	var try func(i, end int)
	try = func(i, end int) {
		if best >= 0 && end >= best {
			return
		}
		if i == len(start) {
			if obeys(p, start) {
				best = end
			}
			return
		}
		for start[i] = 0; start[i]+p.Time[i] <= most; start[i]++ {
			try(i+1, max(end, start[i]+p.Time[i]))
		}
	}
	try(0, 0)
	return best
}

func TestSolveAgreesWithTryingAllStarts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := draw(t, 4)
		drawLags(t, p)
		want := shortestOfAll(p, 11)
		o := Options{Schedules: 50, Conflicts: 1 << 20, Seed: 1, Together: rapid.Bool().Draw(t, "together")}
		r, err := Solve(p, o)
		switch {
		case err != nil && !errors.Is(err, ErrNone):
			t.Fatal(err)
		case err != nil:
			if want >= 0 {
				t.Fatalf("%v, and one is %d long", err, want)
			}
		case !r.Proven || !obeys(p, r.Start):
			t.Fatalf("%+v", r)
		case want >= 0 && r.Makespan != want, want < 0 && r.Makespan <= 11:
			t.Fatalf("%d, the shortest is %d", r.Makespan, want)
		}
	})
}

func TestSolveIsTheSameTwice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := draw(t, 12)
		drawLags(t, p)
		o := Options{Schedules: 100, Conflicts: rapid.IntRange(0, 60).Draw(t, "conflicts"), Seed: 3}
		a, err := Solve(p, o)
		b, err2 := Solve(p, o)
		if err != nil {
			if err2 == nil || err.Error() != err2.Error() {
				t.Fatal(err, err2)
			}
			return
		}
		if a.Makespan != b.Makespan || a.Bound != b.Bound || a.Conflicts != b.Conflicts || a.Bound > a.Makespan && a.Start != nil {
			t.Fatalf("%+v and %+v", a, b)
		}
		if a.Start != nil && !obeys(p, a.Start) {
			t.Fatalf("%+v breaks a rule", a)
		}
		if whole, err := Solve(p, Options{Schedules: 100, Conflicts: 1 << 20, Seed: 1}); err == nil && (a.Bound > whole.Makespan || a.Start != nil && a.Makespan < whole.Bound) {
			t.Fatalf("%+v claims more than %+v", a, whole)
		}
	})
}

func TestLagsThatGoRound(t *testing.T) {
	p := &Project{Time: []int{2, 2}, Needs: [][]int{{1}, {1}}, Capacity: []int{1}, Then: [][]int{{1}, nil}, Lags: []Lag{{1, 0, -1}}}
	if _, err := Solve(p, Options{Schedules: 10, Conflicts: 10}); !errors.Is(err, ErrNone) {
		t.Errorf("1 begins 2 after 0 or later, and 1 after it or earlier: %v", err)
	}
	p.Then, p.Lags = [][]int{nil, nil}, []Lag{{0, 1, -1}, {1, 0, -1}}
	if _, err := Solve(p, Options{Schedules: 10, Conflicts: 10}); !errors.Is(err, ErrNone) {
		t.Errorf("two that cannot go on at once begin within 1 of each other: %v", err)
	}
	if _, err := Solve(&Project{Time: []int{1}, Needs: [][]int{{0}}, Capacity: []int{1}, Then: [][]int{nil}, Lags: []Lag{{0, 3, 1}}}, Options{}); err == nil || errors.Is(err, ErrNone) {
		t.Errorf("a lag to nowhere: %v", err)
	}
}
