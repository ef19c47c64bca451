package setout

import (
	"math"
	"slices"
)

// mostWalls is the number of walls up to which the widths of walls divided each by
// itself are chosen exactly; beyond it only spans centred on the wanted width are tried.
const mostWalls = 24

// share is one way of dividing one wall by itself.
type share struct {
	n    int
	w    float64
	cost float64
}

// wallShares lists what can be made of every wall, and what each costs on its own.
func (r *run) wallShares(want Want, by weights, wider int) [][]share {
	list := make([][]share, len(r.faces))
	for i, f := range r.faces {
		ns := counts(f.length, want, mostCounts)
		low, high := slices.Min(ns), slices.Max(ns)
		for k := 1; k <= wider; k++ {
			ns = append(ns, high+k)
			if low > k {
				ns = append(ns, low-k)
			}
		}
		for _, n := range ns {
			s := share{n: n, w: f.length / float64(n)}
			s.cost = by.width * math.Abs(s.w-float64(want.Wanted)) / float64(want.Wanted) * f.length / r.whole
			s.cost += r.onWall(i, s.w, want, by, nil).amount
			list[i] = append(list[i], s)
		}
		slices.SortFunc(list[i], func(a, b share) int { return a.n - b.n })
	}
	return list
}

// onWall judges the openings of one wall divided by itself.
func (r *run) onWall(face int, w float64, want Want, by weights, see func(e *edge, c edgeCost)) verdict {
	f := r.faces[face]
	v := verdict{narrow: w, at: -1}
	for i := range r.edges {
		e := &r.edges[i]
		if e.face != face || e.kind != atOpening {
			continue
		}
		x := wrap(e.at+r.origin, r.whole) - f.start
		if x <= corner || x >= f.length-corner {
			continue
		}
		back := wrap(x, w)
		ahead := w - back
		c := edgeCost{joint: math.Min(back, ahead)}
		// The joint in a corner counts too; at a free end there is none.
		hasBack := x-back > corner || r.ring || face > 0
		hasAhead := x+ahead < f.length-corner || r.ring || face < len(r.faces)-1
		if c.joint <= float64(want.OnEdge)+hair && (back <= ahead && hasBack || ahead <= back && hasAhead) {
			c.kind, c.amount = onEdge, -by.bonus
		} else {
			c.piece(e, back, ahead, hasBack, hasAhead, float64(want.Sliver), by)
		}
		v.amount += c.amount
		if c.kind == leftOver && c.width < v.narrow {
			v.narrow, v.at = c.width, i
		}
		if see != nil {
			see(e, c)
		}
	}
	return v
}

// always is what every division of walls by themselves costs: lines in leaning
// corners, joints on the ends of the run.
func (r *run) always(want Want, by weights, clash int) float64 {
	sum := 0.0
	for i := range r.edges {
		switch e := &r.edges[i]; {
		case e.kind == inCorner && i != clash:
			sum += leaning(e, float64(want.Sliver), by)
		case e.kind == atEnd:
			sum -= by.bonus
		}
	}
	return sum
}

// eachWall divides every wall by itself, a joint in every corner. It finds the
// counts with the least sum of what the walls cost on their own and what it costs
// that their widths differ, for an even and for an odd number of strips; where the
// colours have to meet again an odd number clashes in the least seen corner.
//
// The widths may differ by as much as they like only within a span from lo to hi;
// every pair of widths is tried for lo and hi, and within a span each wall is free,
// so that the best sum with either parity is found wall by wall.
func (r *run) eachWall(want Want, by weights) []*division {
	found := r.spans(want, by, r.wallShares(want, by, 0))
	odd := func(ns []int) bool { return total(ns)%2 == 1 }
	if r.closed && !slices.ContainsFunc(found, func(ns []int) bool { return !odd(ns) }) {
		// The band allows no even number; one strip more or less on some wall does.
		found = append(found, slices.DeleteFunc(r.spans(want, by, r.wallShares(want, by, 1)), odd)...)
	}
	var list []*division
	for _, ns := range found {
		list = append(list, r.wallwise(want, by, ns))
	}
	return list
}

func total(ns []int) int {
	sum := 0
	for _, n := range ns {
		sum += n
	}
	return sum
}

// spans returns the best counts for every span of widths, each set once.
func (r *run) spans(want Want, by weights, shares [][]share) [][]int {
	var widths []float64
	floor := 0.0 // no division costs less than this
	for _, s := range shares {
		least := math.Inf(1)
		for _, c := range s {
			widths = append(widths, c.w)
			least = math.Min(least, c.cost)
		}
		floor += least
	}
	slices.Sort(widths)
	widths = slices.Compact(widths)
	best := [2]float64{math.Inf(1), math.Inf(1)}
	bestOf := map[int]float64{} // by number of strips
	countsOf := map[int][]int{}
	try := func(lo, hi float64) bool {
		sum, counts, ok := within(shares, lo, hi)
		for odd := range 2 {
			if !ok[odd] {
				continue
			}
			narrow, wide := math.Inf(1), 0.0
			for i, n := range counts[odd] {
				w := r.faces[i].length / float64(n)
				narrow, wide = math.Min(narrow, w), math.Max(wide, w)
			}
			cost := sum[odd] + spread(narrow, wide, want, by)
			best[odd] = math.Min(best[odd], cost)
			n := total(counts[odd])
			if old, had := bestOf[n]; !had || cost < old-1e-12 {
				bestOf[n], countsOf[n] = cost, counts[odd]
			}
		}
		return floor+spread(lo, hi, want, by) < math.Max(best[0], best[1])
	}
	if len(shares) > mostWalls {
		for _, w := range widths {
			reach := math.Abs(w-float64(want.Wanted)) + 1e-9
			try(float64(want.Wanted)-reach, float64(want.Wanted)+reach)
		}
	} else {
		for i, lo := range widths {
			for _, hi := range widths[i:] {
				if !try(lo, hi) {
					break
				}
			}
		}
	}
	var list [][]int
	for _, c := range countsOf {
		list = append(list, c)
	}
	slices.SortFunc(list, slices.Compare)
	return list
}

// spread is what it costs that widths differ: the furthest from the middle of the
// widest and the narrowest, over the wanted width.
func spread(narrow, wide float64, want Want, by weights) float64 {
	return by.spread * (wide - narrow) / 2 / float64(want.Wanted)
}

// within is the least sum over the walls when every width lies between lo and hi,
// for an even [0] and an odd [1] number of strips, with the counts.
func within(shares [][]share, lo, hi float64) (sum [2]float64, counts [2][]int, ok [2]bool) {
	ok[0] = true
	picks := make([][2]int, len(shares))
	for i, list := range shares {
		next, good := [2]float64{math.Inf(1), math.Inf(1)}, [2]bool{}
		for k, s := range list {
			if s.w < lo || s.w > hi {
				continue
			}
			for before := range 2 {
				after := (before + s.n) % 2
				if ok[before] && (!good[after] || sum[before]+s.cost < next[after]) {
					next[after], good[after], picks[i][after] = sum[before]+s.cost, true, k
				}
			}
		}
		sum, ok = next, good
		if !ok[0] && !ok[1] {
			return sum, counts, ok
		}
	}
	for odd := range 2 {
		if !ok[odd] {
			continue
		}
		ns, parity := make([]int, len(shares)), odd
		for i := len(shares) - 1; i >= 0; i-- {
			ns[i] = shares[i][picks[i][parity]].n
			parity = (parity + ns[i]) % 2
		}
		counts[odd] = ns
	}
	return sum, counts, ok
}

// wallwise makes the division for given counts.
func (r *run) wallwise(want Want, by weights, ns []int) *division {
	d := &division{way: "each-wall", n: total(ns), perFace: ns, clash: -1, feature: -1}
	d.verdict = verdict{narrow: math.Inf(1), at: -1}
	narrow, wide := math.Inf(1), 0.0
	for i, f := range r.faces {
		w := f.length / float64(ns[i])
		narrow, wide = math.Min(narrow, w), math.Max(wide, w)
		v := r.onWall(i, w, want, by, nil)
		d.amount += v.amount + by.width*math.Abs(w-float64(want.Wanted))/float64(want.Wanted)*f.length/r.whole
		if v.narrow < d.narrow {
			d.narrow, d.at = v.narrow, v.at
		}
		for j := range ns[i] {
			if u := r.place(f.start + float64(j)*w); r.closed || u > corner && u < r.length-corner {
				d.joints = append(d.joints, u)
			}
		}
	}
	slices.Sort(d.joints)
	if r.closed && d.n%2 == 1 {
		d.clash = r.leastLean()
		d.amount += clashing(&r.edges[d.clash], by)
	}
	d.width = r.whole / float64(d.n)
	d.spread = wide - narrow
	d.amount += spread(narrow, wide, want, by) + r.always(want, by, d.clash)
	return d
}

// leastLean is, among the least seen corners, the one where it helps most that no
// line shows.
func (r *run) leastLean() int {
	best := -1
	for _, i := range r.leastSeen() {
		if best < 0 || r.edges[i].lean > r.edges[best].lean {
			best = i
		}
	}
	return best
}
