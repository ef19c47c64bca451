package project

import (
	"errors"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// draw makes a small project; arcs go from lower to higher numbers, which are then shuffled.
func draw(t *rapid.T, most int) *Project {
	n := rapid.IntRange(1, most).Draw(t, "activities")
	resources := rapid.IntRange(1, 5).Draw(t, "resources") // five take two words
	p := &Project{}
	for range resources {
		p.Capacity = append(p.Capacity, rapid.IntRange(1, 6).Draw(t, "capacity"))
	}
	number := rapid.Permutation(slices.Collect(func(yield func(int) bool) {
		for i := range n {
			if !yield(i) {
				return
			}
		}
	})).Draw(t, "numbers")
	p.Time, p.Needs, p.Then = make([]int, n), make([][]int, n), make([][]int, n)
	for i := range n {
		k := number[i]
		p.Time[k] = rapid.IntRange(0, 5).Draw(t, "time")
		for r := range resources {
			p.Needs[k] = append(p.Needs[k], rapid.IntRange(0, p.Capacity[r]).Draw(t, "need"))
		}
		for j := range i {
			if rapid.IntRange(0, 3).Draw(t, "arc") == 0 {
				p.Then[number[j]] = append(p.Then[number[j]], k)
			}
		}
	}
	return p
}

// sound looks at a schedule anew, without the solver.
func sound(t *rapid.T, p *Project, r *Result) {
	end := 0
	for i, s := range r.Start {
		end = max(end, s+p.Time[i])
		for _, k := range p.Then[i] {
			if r.Start[k] < s+p.Time[i] || s < 0 {
				t.Fatalf("%d at %d, then %d at %d", i, s, k, r.Start[k])
			}
		}
	}
	if end != r.Makespan || r.Bound > r.Makespan || r.Proven != (r.Bound == r.Makespan) {
		t.Fatalf("%+v ends at %d", r, end)
	}
	for at := range end {
		for k, c := range p.Capacity {
			used := 0
			for i, s := range r.Start {
				if s <= at && at < s+p.Time[i] {
					used += p.Needs[i][k]
				}
			}
			if used > c {
				t.Fatalf("resource %d: %d of %d at %d", k, used, c, at)
			}
		}
	}
}

// seen is a project made ready, from both its sides.
func seen(t *rapid.T, p *Project) (*instance, [2]view) {
	in, err := ready(p)
	if err != nil {
		t.Fatal(err)
	}
	n, err := newNet(p)
	if err != nil {
		t.Fatal(err)
	}
	return in, views(in, n)
}

// shortest tries every order of activities: some order leads serial generation to an optimum
// (Kolisch 1996).
func shortest(t *rapid.T, p *Project) int {
	in, both := seen(t, p)
	d, best := newDecoder(in, &both), math.MaxInt
	keys, out := make([]int32, in.n), schedule{start: make([]int32, in.n)}
	var try func(placed int)
	taken := make([]bool, in.n)
	try = func(placed int) {
		if placed == in.n {
			d.build(0, keys, never, &out)
			best = min(best, int(out.span))
			return
		}
		for i := range in.n {
			if taken[i] || slices.ContainsFunc(in.before[i], func(k int) bool { return !taken[k] }) {
				continue
			}
			taken[i], keys[slices.Index(in.order, i)] = true, int32(placed)
			try(placed + 1)
			taken[i] = false
		}
	}
	try(0)
	return best
}

func TestSmallProjectsAreShortest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := draw(t, 6)
		r, err := Search(p, Options{Schedules: 2000, Seed: 1})
		if err != nil {
			t.Fatal(err)
		}
		sound(t, p, r)
		if want := shortest(t, p); r.Makespan != want || r.Bound > want {
			t.Fatalf("%d, bound %d; the shortest is %d", r.Makespan, r.Bound, want)
		}
	})
}

func TestSchedulesAreSoundAndTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := draw(t, 25)
		o := Options{Schedules: rapid.IntRange(1, 600).Draw(t, "schedules"), Seed: rapid.Uint64().Draw(t, "seed")}
		a, err := Search(p, o)
		o.Threads = rapid.IntRange(0, 5).Draw(t, "threads")
		b, err2 := Search(p, o)
		if err != nil || err2 != nil {
			t.Fatal(err, err2)
		}
		sound(t, p, a)
		if !slices.Equal(a.Start, b.Start) || a.Schedules != b.Schedules {
			t.Fatal("the same seed gives two schedules on other threads")
		}
		if a.Schedules > max(4, o.Schedules) {
			t.Fatalf("%d schedules of %d", a.Schedules, o.Schedules)
		}
		if more, _ := Search(p, Options{Schedules: o.Schedules, Seed: o.Seed, Stop: func() bool { return true }}); more.Makespan < a.Bound {
			t.Fatal("a bound does not hold")
		}
	})
}

// Packing a schedule to its other end never makes it longer (Tormos and Lova 2001), and a
// schedule is given up only when it would be longer than allowed.
func TestTurnedSchedulesAreNotLonger(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in, both := seen(t, draw(t, 25))
		d := newDecoder(in, &both)
		keys := rapid.SliceOfN(rapid.Int32Range(0, 1<<20), in.n, in.n).Draw(t, "keys")
		one, two := schedule{start: make([]int32, in.n)}, schedule{start: make([]int32, in.n)}
		side := rapid.IntRange(0, 1).Draw(t, "side")
		d.build(side, keys, never, &one)
		again := schedule{start: make([]int32, in.n)}
		if d.build(side, keys, one.span-1, &again) || !d.build(side, keys, one.span, &again) || !slices.Equal(one.start, again.start) {
			t.Fatalf("%d long: not given up below it, or given up at it", one.span)
		}
		for range 3 {
			turn(&both[side], &one, keys)
			d.build(1-side, keys, never, &two)
			if two.span > one.span {
				t.Fatalf("from %d to %d by packing", one.span, two.span)
			}
			side, one, two = 1-side, two, one
		}
	})
}

// A child that joins leaves the shortest in place and takes nothing better than itself away.
func TestJoiningKeepsTheBetter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spans := rapid.SliceOfN(rapid.Int32Range(1, 20), 1, 12).Draw(t, "spans")
		var pop []schedule
		for _, span := range spans {
			at := rapid.Int32Range(0, 9).Draw(t, "start")
			pop = append(pop, schedule{start: []int32{at}, span: span, sum: at})
		}
		child := schedule{start: []int32{5}, span: rapid.Int32Range(1, 20).Draw(t, "child"), sum: 5}
		span := child.span
		join(pop, &child)
		if child.span < span {
			t.Fatalf("%d made place for %d", child.span, span)
		}
		entered := 0
		for i, m := range pop {
			if m.span != spans[i] || m.start[0] == 5 && m.span == span {
				entered++
			}
		}
		if span <= slices.Max(spans) && entered == 0 || span > slices.Max(spans) && !slices.EqualFunc(pop, spans, func(m schedule, was int32) bool { return m.span == was }) {
			t.Fatalf("%v, then %v with %d", spans, pop, span)
		}
	})
}

// Of the members not better than a child, the most like it makes place, tried one by one.
func TestTheMostLikeMakesPlace(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		member := func() (m schedule) {
			m.start = rapid.SliceOfN(rapid.Int32Range(0, 9), 3, 3).Draw(t, "starts")
			m.span = rapid.Int32Range(1, 5).Draw(t, "span")
			for _, at := range m.start {
				m.sum += at
			}
			return m
		}
		apart := func(a, b schedule) (sum int32) {
			for k := range a.start {
				sum += max(a.start[k]-b.start[k], b.start[k]-a.start[k])
			}
			return sum
		}
		child, least := member(), int32(never)
		var pop []schedule
		for range rapid.IntRange(1, 8).Draw(t, "members") {
			m := member()
			if pop = append(pop, m); m.span >= child.span {
				least = min(least, apart(m, child))
			}
		}
		was := child
		join(pop, &child)
		if got := apart(child, was); least != never && got != least {
			t.Fatalf("what made place is %d apart, and the nearest was %d", got, least)
		}
	})
}

// Culling takes the longest, and no more of them than it must.
func TestCullingKeepsTheBetter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spans := rapid.SliceOfN(rapid.Int32Range(1, 20), 1, 12).Draw(t, "spans")
		var pop []schedule
		for _, span := range spans {
			pop = append(pop, schedule{span: span})
		}
		most := rapid.IntRange(0, 14).Draw(t, "most")
		var kept []int32
		for _, m := range cull(pop, most) {
			kept = append(kept, m.span)
		}
		slices.Sort(spans)
		slices.Sort(kept)
		if !slices.Equal(kept, spans[:min(len(spans), max(fewest, most))]) {
			t.Fatalf("%v of %v, %d at most", kept, spans, most)
		}
	})
}

// In the stretch of time that is drawn the first parent ends at least as much work as the second.
func TestFirstParentIsAheadInItsStretch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in, both := seen(t, draw(t, 25))
		b := breeder{decoder: newDecoder(in, &both), chance: chance{rapid.Uint64().Draw(t, "seed")}}
		var parents [2]schedule
		for i := range parents {
			parents[i].start = make([]int32, in.n)
			b.build(0, rapid.SliceOfN(rapid.Int32Range(0, 1<<20), in.n, in.n).Draw(t, "keys"), never, &parents[i])
		}
		one, two, from, to := b.stretch(&both[0], &parents[0], &parents[1])
		if one == two || one != &parents[0] && one != &parents[1] {
			t.Fatal("the parents are not those given")
		}
		ended := func(m *schedule) (work int64) {
			for k, at := range m.start {
				if end := at + both[0].time[k]; from <= end && end <= to {
					work += both[0].work[k]
				}
			}
			return work
		}
		if ended(one) < ended(two) {
			t.Fatalf("from %d to %d the first ends %d, the second %d", from, to, ended(one), ended(two))
		}
	})
}

func TestWrongProjects(t *testing.T) {
	for name, c := range map[string]struct {
		p    Project
		none bool
	}{
		"circle":   {Project{Time: []int{1, 1}, Needs: [][]int{{0}, {0}}, Capacity: []int{1}, Then: [][]int{{1}, {0}}}, true},
		"too much": {Project{Time: []int{1}, Needs: [][]int{{2}}, Capacity: []int{1}, Then: [][]int{nil}}, true},
		"nobody":   {Project{Time: []int{1}, Needs: [][]int{{0}}, Capacity: []int{1}, Then: [][]int{{7}}}, false},
		"uneven":   {Project{Time: []int{1, 2}, Needs: [][]int{{0}}, Capacity: []int{1}, Then: [][]int{nil}}, false},
		"negative": {Project{Time: []int{-1}, Needs: [][]int{{0}}, Capacity: []int{1}, Then: [][]int{nil}}, false},
		"too wide": {Project{Time: []int{1}, Needs: [][]int{{0}}, Capacity: []int{1 << 20}, Then: [][]int{nil}}, false},
	} {
		if _, err := Search(&c.p, Options{Schedules: 10}); err == nil || errors.Is(err, ErrNone) != c.none {
			t.Errorf("%s: %v", name, err)
		}
	}
	if r, err := Search(&Project{Capacity: []int{1}}, Options{Schedules: 10}); err != nil || r.Makespan != 0 || !r.Proven {
		t.Errorf("nothing to do: %+v, %v", r, err)
	}
}
