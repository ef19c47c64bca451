package wetedge

import (
	"math"
	"slices"
)

// spreads are log standard deviations: of open time from wall to wall and from joint to
// joint, of each person's pace from wall to wall.
type spreads struct{ wall, joint, pace float64 }

// samples of the two paces that are run; the open times are integrated for each.
const samples = 96

// bin, in spreads of a joint: joints of about one age are looked at as one, of the older age.
const bin = 0.1

// chance is that of at least one lap mark on a wall: of some joint being older than the glaze
// stays open there. Open time is lognormal with a part common to the wall and a part of each
// joint; the two paces are lognormal, one of each person for the wall. open gives the likely open
// time of glaze laid at a minute, min.
//
// For given paces the common part z is integrated (trapezium, which is exact to far below what
// is shown for a smooth bell):  1 - E_z prod_j Phi((ln open_j + wall z - ln age_j) / joint).
// The paces are drawn evenly by an additive recurrence (the plastic number in two
// dimensions), moved by the seed.
func chance(c *crew, l *Layout, crossing bool, s spreads, open func(minute float64) float64, seed uint64) float64 {
	if s.pace <= 0 {
		done := c.run(l, false)
		return lapped(done.ages(l), crossing, s, open)
	}
	const g = 1.32471795724474602596 // the plastic number
	u, v := fraction(float64(seed)*0.5545497), fraction(float64(seed)*0.3076934+0.5)
	sum := 0.0
	for range samples {
		u, v = fraction(u+1/g), fraction(v+1/(g*g))
		drawn := *c
		drawn.pace(math.Exp(s.pace*normal(u)), math.Exp(s.pace*normal(v)))
		done := drawn.run(l, false)
		sum += lapped(done.ages(l), crossing, s, open)
	}
	return sum / samples
}

func fraction(x float64) float64 { return x - math.Floor(x) }

// normal is the inverse of the normal distribution; its ends are kept finite.
func normal(p float64) float64 {
	return math.Sqrt2 * math.Erfinv(2*min(1-1e-9, max(1e-9, p))-1)
}

// pace makes the one who lays and the one who works faster by a factor each. What takes
// a fixed time, such as paper, stays; cutting in, moving and filling go with the one who lays.
func (c *crew) pace(lay, work float64) {
	c.lay, c.cutIn, c.refill, c.shift, c.climb = c.lay*lay, c.cutIn*lay, c.refill/lay, c.shift/lay, c.climb/lay
	c.work, c.wipe = c.work*work, c.wipe/work
}

// lapped is the chance of at least one lap mark when the ages are known.
func lapped(ages []age, crossing bool, s spreads, open func(float64) float64) float64 {
	// What matters of a joint is how far its age lies over its open time.
	over := make([]float64, 0, len(ages))
	for _, a := range ages {
		if old := a.matters(crossing); old > 0 {
			over = append(over, math.Log(old/open(a.since)))
		}
	}
	if len(over) == 0 {
		return 0
	}
	slices.Sort(over)
	worst := over[len(over)-1]
	if s.wall <= 0 && s.joint <= 0 {
		if worst > 0 {
			return 1
		}
		return 0
	}
	if s.joint <= 0 {
		return bell(worst / s.wall)
	}
	type group struct {
		over float64
		n    float64
	}
	var groups []group
	for i := len(over) - 1; i >= 0 && over[i] > worst-6*s.joint; i-- { // younger ones fail only with the oldest
		if n := len(groups); n > 0 && groups[n-1].over-over[i] < bin*s.joint {
			groups[n-1].n++
			continue
		}
		groups = append(groups, group{over[i], 1})
	}
	safe := func(z float64) float64 {
		p := 1.0
		for _, g := range groups {
			x := (s.wall*z - g.over) / s.joint
			if x < -6 {
				return 0
			}
			if x < 6 {
				p *= math.Pow(bell(x), g.n)
			}
		}
		return p
	}
	if s.wall <= 0 {
		return 1 - safe(0)
	}
	const step, end = 0.4, 6.0
	sum := 0.0
	for z := -end; z <= end; z += step {
		sum += step * math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) * safe(z)
	}
	return min(1, max(0, 1-sum))
}

// bell is the normal distribution function.
func bell(x float64) float64 { return math.Erfc(-x/math.Sqrt2) / 2 }
