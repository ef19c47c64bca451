package exact

import (
	"fmt"
	"testing"

	"pgregory.net/rapid"
)

// drawn is a small problem with the plain meaning of its rules.
type drawn struct {
	s     *Solver
	vars  []Var
	low   []int
	high  []int
	rules []func(v []int) bool
}

func draw(t *rapid.T) *drawn {
	d := &drawn{s: &Solver{}}
	n := rapid.IntRange(1, 5).Draw(t, "integers")
	for range n {
		low := rapid.IntRange(-3, 3).Draw(t, "low")
		high := low + rapid.IntRange(0, 5).Draw(t, "more")
		d.low, d.high = append(d.low, low), append(d.high, high)
		d.vars = append(d.vars, d.s.Int(low, high))
	}
	some := func(name string) int { return rapid.IntRange(0, n-1).Draw(t, name) }
	lit := func() (Lit, func(v []int) bool) {
		i, at := some("of"), rapid.IntRange(-3, 8).Draw(t, "at")
		if rapid.Bool().Draw(t, "least") {
			return d.vars[i].AtLeast(at), func(v []int) bool { return v[i] >= at }
		}
		return d.vars[i].AtMost(at), func(v []int) bool { return v[i] <= at }
	}
	for range rapid.IntRange(0, 8).Draw(t, "rules") {
		switch rapid.IntRange(0, 5).Draw(t, "kind") {
		case 0:
			i, j, least := some("from"), some("to"), rapid.IntRange(-3, 3).Draw(t, "least")
			d.s.Lag(d.vars[i], d.vars[j], least)
			d.rules = append(d.rules, func(v []int) bool { return v[j] >= v[i]+least })
		case 1:
			i, j, least := some("from"), some("to"), rapid.IntRange(-3, 3).Draw(t, "least")
			when, holds := lit()
			d.s.LagWhen(d.vars[i], d.vars[j], least, when)
			d.rules = append(d.rules, func(v []int) bool { return !holds(v) || v[j] >= v[i]+least })
		case 2:
			var lits []Lit
			var any []func(v []int) bool
			for range rapid.IntRange(1, 4).Draw(t, "long") {
				l, holds := lit()
				lits, any = append(lits, l), append(any, holds)
			}
			d.s.Clause(lits...)
			d.rules = append(d.rules, func(v []int) bool {
				for _, holds := range any {
					if holds(v) {
						return true
					}
				}
				return false
			})
		case 3:
			i, j, step := some("from"), some("to"), rapid.IntRange(1, 3).Draw(t, "step")
			f := func(x int) int { return (x+20)/step*step - 20 + step - 1 }
			when, holds := lit()
			switch rapid.IntRange(0, 3).Draw(t, "curve") {
			case 0:
				d.s.Above(d.vars[i], d.vars[j], f)
				d.rules = append(d.rules, func(v []int) bool { return v[j] >= f(v[i]) })
			case 1:
				d.s.Below(d.vars[i], d.vars[j], f)
				d.rules = append(d.rules, func(v []int) bool { return v[j] <= f(v[i]) })
			case 2:
				d.s.AboveWhen(d.vars[i], d.vars[j], f, when)
				d.rules = append(d.rules, func(v []int) bool { return !holds(v) || v[j] >= f(v[i]) })
			default:
				d.s.BelowWhen(d.vars[i], d.vars[j], f, when)
				d.rules = append(d.rules, func(v []int) bool { return !holds(v) || v[j] <= f(v[i]) })
			}
		case 4:
			capacity := rapid.IntRange(1, 4).Draw(t, "capacity")
			var uses []Use
			var of []int
			for i := range n {
				if rapid.Bool().Draw(t, "uses") {
					uses = append(uses, Use{d.vars[i], rapid.IntRange(0, 4).Draw(t, "long"), rapid.IntRange(0, 5).Draw(t, "amount")})
					of = append(of, i)
				}
			}
			d.s.Share(capacity, uses)
			d.rules = append(d.rules, func(v []int) bool {
				for at := -3; at < 14; at++ {
					sum := 0
					for k, u := range uses {
						if v[of[k]] <= at && at < v[of[k]]+u.Long {
							sum += u.Amount
						}
					}
					if sum > capacity {
						return false
					}
				}
				return true
			})
		default:
			var terms []Term
			times := make([]int, n)
			for i := range n {
				times[i] = rapid.IntRange(-2, 3).Draw(t, "times")
				terms = append(terms, Term{d.vars[i], times[i]})
			}
			most := rapid.IntRange(-6, 12).Draw(t, "most")
			d.s.Sum(most, terms...)
			d.rules = append(d.rules, func(v []int) bool {
				sum := 0
				for i := range v {
					sum += times[i] * v[i]
				}
				return sum <= most
			})
		}
	}
	return d
}

// any tells whether some values obey the rules and the tests.
func (d *drawn) any(also ...func(v []int) bool) bool {
	v := make([]int, len(d.vars))
	var try func(i int) bool
	try = func(i int) bool {
		if i == len(v) {
			for _, rule := range append(d.rules, also...) {
				if !rule(v) {
					return false
				}
			}
			return true
		}
		for v[i] = d.low[i]; v[i] <= d.high[i]; v[i]++ {
			if try(i + 1) {
				return true
			}
		}
		return false
	}
	return try(0)
}

func (d *drawn) sound(t *rapid.T) {
	v := make([]int, len(d.vars))
	for i := range v {
		v[i] = d.s.Value(d.vars[i])
	}
	for k, rule := range d.rules {
		if !rule(v) {
			t.Fatalf("rule %d is broken by %v", k, v)
		}
	}
}

func TestAgreesWithTryingAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := draw(t)
		l := Limit{Conflicts: 1 << 30, First: d.vars, Eager: rapid.Bool().Draw(t, "eager")}
		assume, also := []Lit{}, []func(v []int) bool{}
		for range rapid.IntRange(0, 3).Draw(t, "assumptions") {
			i, at := rapid.IntRange(0, len(d.vars)-1).Draw(t, "of"), rapid.IntRange(-3, 8).Draw(t, "at")
			assume = append(assume, d.vars[i].AtLeast(at))
			also = append(also, func(v []int) bool { return v[i] >= at })
		}
		status, core := d.s.Search(l, assume...)
		if want := d.any(also...); (status == Found) != want || status == Open {
			t.Fatalf("%v, and some values: %v", status, want)
		}
		if status == Found {
			d.sound(t)
		} else {
			var only []func(v []int) bool
			for _, c := range core {
				k := -1
				for i, a := range assume {
					if a == c {
						k = i
					}
				}
				if k < 0 {
					t.Fatalf("%v was never assumed: %v", c, assume)
				}
				only = append(only, also[k])
			}
			if d.any(only...) {
				t.Fatalf("%d of %d assumptions do not explain it", len(only), len(assume))
			}
		}
		if status, _ := d.s.Search(l); (status == Found) != d.any() {
			t.Fatalf("without assumptions: %v", status)
		}
	})
}

// pigeons are one more than there are holes, and cannot sit apart.
func pigeons(holes int) *Solver {
	s := &Solver{}
	in := make([][]Var, holes+1)
	for p := range in {
		var some []Lit
		for range holes {
			b := s.Bool()
			in[p] = append(in[p], b)
			some = append(some, b.Is())
		}
		s.Clause(some...)
	}
	for h := range holes {
		for p := range in {
			for q := range p {
				s.Clause(in[p][h].Is().Not(), in[q][h].Is().Not())
			}
		}
	}
	return s
}

// What is learned must not forget.
func TestPigeons(t *testing.T) {
	for holes := 2; holes < 7; holes++ {
		if status, _ := pigeons(holes).Search(Limit{Conflicts: 1 << 30}); status != None {
			t.Errorf("%d holes: %v", holes, status)
		}
	}
}

// A search ends with what it may follow, a dead end later at most, and goes on from there when asked again.
func TestLimitOfWhatIsFollowed(t *testing.T) {
	const holes, most = 6, 1000
	whole := pigeons(holes)
	whole.Search(Limit{Conflicts: 1 << 30})
	s, asked := pigeons(holes), 0
	for status := Open; status == Open; asked++ {
		before := s.Followed
		status, _ = s.Search(Limit{Conflicts: 1 << 30, Followed: most})
		if status == Found {
			t.Fatal("a place for every pigeon")
		}
		// Between two dead ends each of the bounds grows once at most.
		if more := s.Followed - before; more > most+2*holes*(holes+1) {
			t.Fatalf("%d followed, %d were allowed", more, most)
		}
	}
	if whole.Followed <= 2*most || asked < 3 {
		t.Errorf("%d followed in all, %d times asked", whole.Followed, asked)
	}
}

// The least length of uses of one capacity, proved, is the same whatever order they come in.
func TestLeastIsFoundAndProved(t *testing.T) {
	least := func(long, amount []int) int {
		for most := 0; ; most++ {
			s := &Solver{}
			var uses []Use
			for i := range long {
				if most < long[i] {
					uses = nil
					break
				}
				uses = append(uses, Use{s.Int(0, most-long[i]), long[i], amount[i]})
			}
			if len(uses) < len(long) {
				continue
			}
			s.Share(4, uses)
			if status, _ := s.Search(Limit{Conflicts: 1 << 30}); status == Found {
				return most
			} else if status == Open {
				panic(fmt.Sprint("open at ", most))
			}
		}
	}
	long, amount := []int{5, 4, 4, 3, 3, 2, 2, 6}, []int{2, 3, 1, 2, 4, 1, 3, 2}
	a := least(long, amount)
	for i := range len(long) / 2 {
		k := len(long) - 1 - i
		long[i], long[k], amount[i], amount[k] = long[k], long[i], amount[k], amount[i]
	}
	if b := least(long, amount); a != b || a < 17 { // 65 units of work over 4
		t.Errorf("%d one way, %d the other", a, b)
	}
}

// Nothing that obeys the rules breaks a clause learned on the way, with assumptions or without.
func TestWhatIsLearnedHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(6, 12).Draw(t, "uses")
		long, amount := make([]int, n), make([]int, n)
		work := 0
		for i := range n {
			long[i], amount[i] = rapid.IntRange(1, 5).Draw(t, "long"), rapid.IntRange(1, 3).Draw(t, "amount")
			work += long[i] * amount[i]
		}
		const capacity = 4
		end := max(5, work/capacity) + rapid.IntRange(0, 3).Draw(t, "room")
		lags := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) [3]int {
			i := rapid.IntRange(0, n-1)
			return [3]int{i.Draw(t, "from"), i.Draw(t, "to"), rapid.IntRange(-6, 3).Draw(t, "least")}
		}), 0, 5).Draw(t, "lags")
		build := func() (s *Solver, start []Var) {
			s = &Solver{}
			var uses []Use
			for i := range n {
				start = append(start, s.Int(0, end-long[i]))
				uses = append(uses, Use{start[i], long[i], amount[i]})
			}
			s.Share(capacity, uses)
			for i := range n {
				for k := range i {
					if amount[i]+amount[k] > capacity {
						first := s.Bool()
						s.LagWhen(start[i], start[k], long[i], first.Is())
						s.LagWhen(start[k], start[i], long[k], first.Is().Not())
					}
				}
			}
			for _, l := range lags {
				s.Lag(start[l[0]], start[l[1]], l[2])
			}
			return s, start
		}
		s, start := build()
		l := Limit{Conflicts: 300, First: start}
		s.Search(l, start[0].AtLeast(2), start[1].AtMost(4))
		s.Search(l)
		for _, c := range s.learned[:min(len(s.learned), 40)] {
			other, _ := build()
			for _, lit := range c.lits {
				other.Clause(lit.Not())
			}
			if status, _ := other.Search(Limit{Conflicts: 1 << 20}); status == Found {
				t.Fatalf("%v was learned, and it does not hold", c.lits)
			}
		}
	})
}
