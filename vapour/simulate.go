package vapour

import (
	"math"
	"slices"
)

// span is a piece of time in minutes from the origin of a scene.
type span struct{ from, to int }

// scene is a room over time: when its films are laid, and how the windows stand.
type scene struct {
	films [][]span // for each film the stretches in which it is laid
	ticks []tick   // one after the other from minute 0, without a gap
	last  int      // minute the last film ends
	kinds int      // lengths of ticks
}

// tick is a stretch in which nothing changes but the level.
type tick struct {
	from, to int
	open     bool  // somebody is there and may open the windows
	wet      bool  // a wet edge wants them shut
	laying   []int // films being laid
	kind     int   // ticks of one length share their exponentials
}

// trial is one set of figures to run a scene with.
type trial struct {
	grams      []float64 // of solvent, for each film
	drying     []float64 // k, for each film, 1/h
	volume     float64   // m3
	shut, open float64   // air changes over the mixing factor, Q'/V, 1/h
	draught    bool      // the windows stand open at a wet edge too
}

// course is what came of it: at the end of each tick the level (mg/m3), and the
// sum of level over time up to then (mg h/m3).
type course struct {
	level, dose []float64
	left        float64 // g still in the films
}

// aired reports whether the windows stand open in a tick.
func (t *trial) aired(k *tick) bool { return k.open && (t.draught || !k.wet) }

// run follows film and air exactly from tick to tick. Each film loses solvent in
// proportion to what it holds, m' = r - k m, and all that leaves it enters one
// well-mixed room, V C' = k m - Q' C with Q' = Q/K (the room equation of the
// ventilation formula sheets of the University of Toledo and the ABIH, there with a
// steady source). Both are linear, so films of one k are one film and walls add:
//
//	m(t) = m0 e^-kt + r (1 - e^-kt)/k
//	C(t) = C0 e^-at + [ r (1 - e^-at)/a + (k m0 - r)(e^-kt - e^-at)/(a - k) ] / V,  a = Q'/V
func (s *scene) run(t *trial, ticks []tick) course {
	pools, poolOf := pooled(t.drying)
	mass, rate := make([]float64, len(pools)), make([]float64, len(pools))
	perHour := make([]float64, len(s.films))
	for i, pieces := range s.films {
		minutes := 0
		for _, p := range pieces {
			minutes += p.to - p.from
		}
		if minutes > 0 {
			perHour[i] = t.grams[i] * 60 / float64(minutes)
		}
	}
	c := course{level: make([]float64, len(ticks)), dose: make([]float64, len(ticks))}
	level, dose := 0.0, 0.0 // g/m3, g h/m3
	known := make([]*shares, 2*s.kinds)
	for n := range ticks {
		tick := &ticks[n]
		if level == 0 && len(tick.laying) == 0 && !slices.ContainsFunc(mass, func(m float64) bool { return m > 0 }) {
			c.dose[n] = 1000 * dose
			continue
		}
		key := 2 * tick.kind
		if t.aired(tick) {
			key++
		}
		f := known[key]
		if f == nil {
			f = newShares(t, pools, tick)
			known[key] = f
		}
		clear(rate)
		for _, film := range tick.laying {
			rate[poolOf[film]] += perHour[film]
		}
		next, given := level*f.stays, 0.0
		for i, k := range pools {
			if mass[i] == 0 && rate[i] == 0 {
				continue
			}
			next += (rate[i]*f.fills + (k*mass[i]-rate[i])*f.pools[i].between) / t.volume
			now := mass[i]*f.pools[i].stays + rate[i]*f.pools[i].fills
			given += mass[i] + rate[i]*f.hours - now
			mass[i] = now
		}
		if f.changes*f.hours > 1e-6 { // what came in and did not stay was carried out: a V integral of C
			dose += (given/t.volume - (next - level)) / f.changes
		} else {
			dose += (level + next) / 2 * f.hours
		}
		level = next
		c.level[n], c.dose[n] = 1000*level, 1000*dose
	}
	for _, m := range mass {
		c.left += m
	}
	return c
}

// shares are the exponentials of a tick: of the air, and of each pool of films.
type shares struct {
	hours, changes, stays, fills float64
	pools                        []poolShares
}

type poolShares struct{ stays, fills, between float64 }

func newShares(t *trial, pools []float64, tick *tick) *shares {
	f := &shares{hours: float64(tick.to-tick.from) / 60, changes: t.shut, pools: make([]poolShares, len(pools))}
	if t.aired(tick) {
		f.changes = t.open
	}
	f.stays, f.fills = math.Exp(-f.changes*f.hours), filled(f.changes, f.hours)
	for i, k := range pools {
		f.pools[i] = poolShares{math.Exp(-k * f.hours), filled(k, f.hours), between(k, f.changes, f.hours)}
	}
	return f
}

// pooled joins films that dry alike.
func pooled(drying []float64) (pools []float64, poolOf []int) {
	for _, k := range drying {
		at := slices.Index(pools, k)
		if at < 0 {
			at = len(pools)
			pools = append(pools, k)
		}
		poolOf = append(poolOf, at)
	}
	return pools, poolOf
}

// filled is (1 - e^-xt)/x, t where x is nothing.
func filled(x, t float64) float64 {
	if math.Abs(x*t) < 1e-9 {
		return t
	}
	return -math.Expm1(-x*t) / x
}

// between is (e^-kt - e^-at)/(a - k), with its limit t e^-kt where they are equal.
func between(k, a, t float64) float64 {
	slow, fast := min(k, a), max(k, a)
	return math.Exp(-slow*t) * filled(fast-slow, t)
}

// highest is the greatest level and the tick at whose end it is.
func (c *course) highest() (level float64, at int) {
	for n, l := range c.level {
		if l > level {
			level, at = l, n
		}
	}
	return level, at
}

// eight hours in minutes.
const shift = 8 * 60

// worstMean is the highest mean over eight hours and the minute it begins.
func (c *course) worstMean(ticks []tick) (level float64, from int) {
	end := 0
	for n := -1; n < len(ticks); n++ {
		begin, before := 0, 0.0
		if n >= 0 {
			begin, before = ticks[n].to, c.dose[n]
		}
		to := begin + shift
		for end < len(ticks)-1 && ticks[end].to < to {
			end++
		}
		if mean := (c.doseAt(ticks, end, to) - before) / 8; mean > level {
			level, from = mean, begin
		}
	}
	return level, from
}

// doseAt is the sum up to a minute within tick n, or the last there is.
func (c *course) doseAt(ticks []tick, n, minute int) float64 {
	t, before := &ticks[n], 0.0
	if n > 0 {
		before = c.dose[n-1]
	}
	share := float64(minute-t.from) / float64(t.to-t.from)
	return before + (c.dose[n]-before)*min(1, share)
}

// above is for how many hours the level is above a limit; within a tick it is taken
// to move in a straight line.
func (c *course) above(ticks []tick, limit float64) (hours float64) {
	before := 0.0
	for n, now := range c.level {
		share := 0.0
		switch low, high := min(before, now), max(before, now); {
		case low > limit:
			share = 1
		case high > limit:
			share = (high - limit) / (high - low)
		}
		hours += share * float64(ticks[n].to-ticks[n].from) / 60
		before = now
	}
	return hours
}

// below is the minute from which on the level stays at or under a limit, not before
// the last film is laid; false when the end of the ticks comes first.
func (s *scene) below(c *course, limit float64) (minute int, ok bool) {
	for n := len(c.level) - 1; n >= 0; n-- {
		if c.level[n] > limit {
			if n == len(c.level)-1 {
				return 0, false
			}
			return max(s.last, s.ticks[n+1].to), true
		}
	}
	return s.last, true
}

// Grids of the ticks, minutes: fine while films give off most, coarse when they are old.
const (
	fine   = 15
	coarse = 60
	slow   = 6 * 60
	fresh  = 12 * 60      // after laying
	watch  = 2 * 24 * 60  // after laying, still hourly
	sight  = 60 * 24 * 60 // after the last laying
)

// layOut parts the time of a scene in ticks: at every change of what is laid and how
// the windows stand, and often enough to see the highest level.
func (s *scene) layOut(attended, wet []span) {
	var marks []int
	end := 0
	for _, pieces := range s.films {
		for _, p := range pieces {
			end = max(end, p.to)
			marks = append(marks, p.from, p.to)
			for at := p.from / fine * fine; at <= p.to+fresh; at += fine {
				marks = append(marks, at)
			}
			for at := p.from / coarse * coarse; at <= p.to+watch; at += coarse {
				marks = append(marks, at)
			}
		}
	}
	s.last = end
	for at := 0; at <= end+sight; at += slow {
		marks = append(marks, at)
	}
	for _, p := range slices.Concat(attended, wet) {
		marks = append(marks, p.from, p.to)
	}
	slices.Sort(marks)
	marks = slices.Compact(marks)
	attended = slices.DeleteFunc(attended, func(p span) bool { return p.to <= 0 || p.from > end+sight })
	within := func(list []span, from int) bool {
		return slices.ContainsFunc(list, func(p span) bool { return p.from <= from && from < p.to })
	}
	s.ticks = nil
	kinds := map[int]int{}
	for n := 1; n < len(marks); n++ {
		if marks[n-1] < 0 || marks[n] > end+sight {
			continue
		}
		t := tick{from: marks[n-1], to: marks[n], open: within(attended, marks[n-1]), wet: within(wet, marks[n-1])}
		for film, pieces := range s.films {
			if within(pieces, t.from) {
				t.laying = append(t.laying, film)
			}
		}
		kind, known := kinds[t.to-t.from]
		if !known {
			kind = len(kinds)
			kinds[t.to-t.from] = kind
		}
		t.kind = kind
		s.ticks = append(s.ticks, t)
	}
	s.kinds = len(kinds)
}

// needed is the number of steady air changes an hour with which a measure of the
// course just stays within a limit; false when a storm would not do. The level
// falls everywhere as the air changes grow, so halving the range finds it.
func (s *scene) needed(t trial, mixing, limit float64, measure func(c *course, ticks []tick) float64) (float64, bool) {
	ticks := s.ticks
	for n := range ticks {
		if ticks[n].from >= s.last+24*60 {
			ticks = ticks[:n]
			break
		}
	}
	over := func(changes float64) float64 { // log of how far the limit is passed
		t.shut, t.open = changes/mixing, changes/mixing
		c := s.run(&t, ticks)
		return math.Log(max(measure(&c, ticks), 1e-300) / limit)
	}
	// In logarithms the level falls nearly in a straight line, so the false position between
	// two ends is close at once; Illinois weights keep both ends moving (Dowell and Jarratt 1971).
	low, high := 0.01, 1000.0
	atLow, atHigh := over(low), over(high)
	if atHigh > 0 {
		return 0, false
	}
	if atLow <= 0 {
		return low, true
	}
	side := 0
	for range 60 {
		if high/low <= 1.005 {
			break
		}
		share := atLow / (atLow - atHigh)
		middle := low * math.Pow(high/low, min(0.98, max(0.02, share)))
		switch at := over(middle); {
		case at > 0:
			low, atLow = middle, at
			if side == 1 {
				atHigh /= 2
			}
			side = 1
		default:
			high, atHigh = middle, at
			if side == -1 {
				atLow /= 2
			}
			side = -1
			if at > -0.005 { // within half a percent of the limit, and under it
				return high, true
			}
		}
	}
	return high, true
}
