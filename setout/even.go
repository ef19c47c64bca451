package setout

import (
	"cmp"
	"math"
	"slices"
)

// mostCounts bounds how many numbers of strips are tried, those nearest to the
// wanted width first: 40 cover every run of up to about 60 m between 250 and 300 mm.
const mostCounts = 40

// mostEdges is the number of edges up to which every phase that could be best is
// tried. A longer run tries those at its first edges and fewer counts.
const mostEdges = 120

// hair is a length in mm that is rounding only.
const hair = 1e-6

// verdict is what a division of one width costs and the narrowest piece it leaves.
type verdict struct {
	amount float64
	narrow float64
	at     int // edge of the narrowest piece, -1 = none cut
}

// judge looks at every edge of the run when joints lie at phase, phase+w, ...
// Clash is the edge where two strips of one colour may meet, or -1. See, if given,
// is told what every edge costs.
func (r *run) judge(want Want, by weights, w, phase float64, clash int, see func(e *edge, what edgeCost)) verdict {
	v := verdict{narrow: w, at: -1}
	limit, tolerance := float64(want.Sliver), float64(want.OnEdge)+hair
	for i := range r.edges {
		e := &r.edges[i]
		back := wrap(e.at-phase, w) // to the joint on the left
		ahead := w - back
		c := edgeCost{joint: math.Min(back, ahead)}
		on := tolerance
		if e.kind != atOpening {
			on = corner
		}
		hasBack, hasAhead := r.closed || e.at-back > corner, r.closed || e.at+ahead < r.length-corner
		switch {
		case e.kind == atEnd || !r.closed && (e.at == 0 || e.at == r.length):
			if c.joint <= on {
				c.kind, c.amount = onEdge, -by.bonus
				break
			}
			c.piece(e, back, ahead, hasBack, hasAhead, limit, by)
		case c.joint <= on && (back <= ahead && hasBack || ahead <= back && hasAhead):
			if e.kind == atOpening {
				c.kind, c.amount = onEdge, -by.bonus
				break
			}
			c.kind = lineInCorner
			if i != clash {
				c.amount = leaning(e, limit, by)
			}
		default:
			c.piece(e, back, ahead, hasBack, hasAhead, limit, by)
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

// What a joint near an edge makes of it.
type costKind int

const (
	nothing costKind = iota
	onEdge
	lineInCorner
	leftOver // a piece narrower than a strip
)

type edgeCost struct {
	kind   costKind
	amount float64
	joint  float64 // distance to the nearest joint
	width  float64 // of the piece
}

// piece finds the narrowest piece of wall between the edge and a joint.
func (c *edgeCost) piece(e *edge, back, ahead float64, hasBack, hasAhead bool, limit float64, by weights) {
	c.width = math.Inf(1)
	if e.left && hasBack {
		c.width = back
	}
	if e.right && hasAhead {
		c.width = math.Min(c.width, ahead)
	}
	if math.IsInf(c.width, 1) {
		return
	}
	c.kind = leftOver
	c.amount = sliver(c.width, limit, by)
}

// sliver is the cost of a piece narrower than the limit: its depth below the limit
// over the limit, weighed.
func sliver(width, limit float64, by weights) float64 {
	if width >= limit {
		return 0
	}
	return by.sliver * (limit - width) / limit
}

// leaning is the cost of a line in a corner that leans: it shows as a taper as
// wide as the lean, weighed as a sliver that is as much narrower than the limit.
func leaning(e *edge, limit float64, by weights) float64 {
	if limit <= 0 {
		return 0
	}
	return by.sliver * math.Min(e.lean/limit, 1)
}

// phases are all starts of the first joint that can be best for a width. The cost
// is piecewise linear in the phase, so its least value lies where a joint is on an
// edge, a tolerance or a sliver limit off it, or half a strip; and among equal ones
// the widest narrowest piece lies midway between two edges that look at each other.
func (r *run) phases(want Want, w float64) []float64 {
	edges := r.edges
	if len(edges) > mostEdges {
		edges = edges[:mostEdges]
	}
	tolerance, limit := float64(want.OnEdge), float64(want.Sliver)
	list := make([]float64, 0, 6*len(edges))
	leftward, rightward := make([]float64, 0, len(edges)), make([]float64, 0, len(edges))
	for _, e := range edges {
		list = append(list, wrap(e.at, w))
		if e.kind == atOpening {
			list = append(list, wrap(e.at+tolerance, w), wrap(e.at-tolerance, w))
		}
		if e.left {
			list = append(list, wrap(e.at-limit, w))
			leftward = append(leftward, wrap(e.at, w))
		}
		if e.right {
			list = append(list, wrap(e.at+limit, w))
			rightward = append(rightward, wrap(e.at, w))
		}
		if e.left && e.right && limit > w/2 {
			list = append(list, wrap(e.at+w/2, w))
		}
	}
	slices.Sort(leftward)
	slices.Sort(rightward)
	list = append(list, between(rightward, leftward, w)...)
	if len(list) == 0 {
		list = append(list, 0)
	}
	slices.Sort(list)
	return slices.CompactFunc(list, func(a, b float64) bool { return math.Abs(a-b) < hair/100 })
}

// between are the phases midway between the last edge with wall to its right and the
// next one with wall to its left, for every gap between edges folded into [0, w).
func between(rightward, leftward []float64, w float64) []float64 {
	if len(rightward) == 0 || len(leftward) == 0 {
		return nil
	}
	all := slices.Concat(rightward, leftward)
	slices.Sort(all)
	list := make([]float64, 0, len(all))
	for i, from := range all {
		to := all[(i+1)%len(all)]
		p, _ := slices.BinarySearch(rightward, from+hair)
		before := rightward[(p+len(rightward)-1)%len(rightward)]
		if p == 0 {
			before -= w
		}
		q, _ := slices.BinarySearch(leftward, to-hair)
		after := leftward[q%len(leftward)]
		if q == len(leftward) {
			after += w
		}
		if i == len(all)-1 {
			after += w
		}
		list = append(list, wrap((before+after)/2, w))
	}
	return list
}

// better orders divisions by cost, then by the width of the narrowest piece.
func (v verdict) better(o verdict) bool {
	if math.Abs(v.amount-o.amount) > 1e-9 {
		return v.amount < o.amount
	}
	return v.narrow > o.narrow+1e-6
}

// bestPhase tries every phase that can be best for one width.
func (r *run) bestPhase(want Want, by weights, w float64) (phase float64, best verdict) {
	for i, p := range r.phases(want, w) {
		if v := r.judge(want, by, w, p, -1, nil); i == 0 || v.better(best) {
			phase, best = p, v
		}
	}
	return phase, best
}

// counts are the numbers of strips to try on a length, nearest to the wanted width
// first: all whose width lies in the band, else the two nearest.
func counts(length float64, want Want, most int) []int {
	low := max(1, int(math.Ceil(length/float64(want.Widest)-1e-9)))
	high := int(math.Floor(length/float64(want.Narrowest) + 1e-9))
	if high < low {
		n := max(1, int(length/float64(want.Wanted)))
		low, high = n, n+1
	}
	return nearestCounts(length, want, low, high, most)
}

func nearestCounts(length float64, want Want, low, high, most int) []int {
	// Far more than can be tried lie on either side of the wanted width only for
	// runs of hundreds of metres.
	middle := int(length / float64(want.Wanted))
	low, high = max(low, min(middle, high)-2*most), min(high, max(middle, low)+2*most)
	var list []int
	for n := low; n <= high; n++ {
		list = append(list, n)
	}
	off := func(n int) float64 { return math.Abs(length/float64(n) - float64(want.Wanted)) }
	slices.SortStableFunc(list, func(a, b int) int { return cmp.Compare(off(a), off(b)) })
	return list[:min(len(list), most)]
}

// roundCounts are the numbers of strips for one width over the run: even ones
// where the colours must meet again, and odd ones with a clash.
func (r *run) roundCounts(want Want) (closing, odd []int) {
	most := mostCounts
	if len(r.edges) > mostEdges {
		most /= 4
	}
	all := counts(r.length, want, most)
	if !r.closed {
		return all, nil
	}
	for _, n := range all {
		if n%2 == 0 {
			closing = append(closing, n)
		} else {
			odd = append(odd, n)
		}
	}
	if len(closing) == 0 { // the even numbers on both sides of the band
		n := 2 * max(1, int(r.length/float64(want.Wanted)/2))
		closing = append(closing, n, n+2)
	}
	return closing, odd
}

// leastSeen are the corners where a clash is least seen.
func (r *run) leastSeen() []int {
	var list []int
	best := math.Inf(1)
	for _, i := range r.corners {
		switch e := r.edges[i]; {
		case e.seen < best:
			best, list = e.seen, []int{i}
		case e.seen == best:
			list = append(list, i)
		}
	}
	return list
}

// clashing is the cost of two strips of one colour meeting in a corner: a full
// sliver's where it is the first thing seen (5), a fifth of it where hardly (1).
func clashing(e *edge, by weights) float64 { return by.sliver * e.seen / 5 }

// round offers one width over the whole run, with the best phase for every count.
func (r *run) round(want Want, by weights) []*division {
	var list []*division
	closing, odd := r.roundCounts(want)
	for _, n := range closing {
		w := r.length / float64(n)
		phase, v := r.bestPhase(want, by, w)
		if len(r.faces) == 1 && !r.ring && (phase < corner || phase > w-corner) {
			continue // a wall divided by itself
		}
		list = append(list, r.even("round", r.pieces(w, phase), w, phase, -1, v))
	}
	for _, n := range odd {
		w := r.length / float64(n)
		var best *division
		for _, at := range r.leastSeen() {
			phase := wrap(r.edges[at].at, w)
			v := r.judge(want, by, w, phase, at, nil)
			v.amount += clashing(&r.edges[at], by)
			if best == nil || v.better(best.verdict) {
				best = r.even("round", n, w, phase, at, v)
			}
		}
		if best != nil {
			list = append(list, best)
		}
	}
	return list
}

// feature offers equal ends on one wall: a joint or a strip on its centre line,
// the strips going on from there. Round a closed room the width still divides it;
// otherwise it may also divide the feature wall, or be just as wanted.
func (r *run) feature(want Want, by weights, face int) []*division {
	f := r.faces[face]
	centre := r.place(f.start + f.length/2)
	var widths []float64
	closing, _ := r.roundCounts(want)
	for _, n := range closing {
		widths = append(widths, r.length/float64(n))
	}
	if !r.closed {
		for _, n := range counts(f.length, want, mostCounts) {
			widths = append(widths, f.length/float64(n))
		}
		widths = append(widths, float64(want.Wanted))
	}
	slices.Sort(widths)
	widths = slices.CompactFunc(widths, func(a, b float64) bool { return math.Abs(a-b) < 1e-9 })
	var list []*division
	for _, w := range widths {
		for _, shift := range []float64{0, w / 2} {
			phase := wrap(centre+shift, w)
			n := r.pieces(w, phase)
			if len(r.faces) == 1 && !r.ring && math.Abs(w*float64(n)-r.length) < corner && (phase < corner || phase > w-corner) {
				continue // a wall divided by itself
			}
			d := r.even("feature", n, w, phase, -1, r.judge(want, by, w, phase, -1, nil))
			d.feature, d.jointInMiddle = face, shift == 0
			list = append(list, d)
		}
	}
	return list
}

// pieces is the number of strips that joints at phase, phase+w, ... make of the run.
func (r *run) pieces(w, phase float64) int {
	if r.closed {
		return int(math.Round(r.length / w))
	}
	return len(r.joints(w, phase)) + 1
}

// joints are the places of the joints inside the run.
func (r *run) joints(w, phase float64) []float64 {
	list := make([]float64, 0, int(r.length/w)+2)
	if r.closed {
		for j := range int(math.Round(r.length / w)) {
			list = append(list, phase+float64(j)*w)
		}
		return list
	}
	for j := 0; ; j++ {
		u := phase + float64(j)*w
		if u >= r.length-corner {
			return list
		}
		if u > corner {
			list = append(list, u)
		}
	}
}
