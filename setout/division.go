package setout

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"scumble/survey"
	"scumble/unit"
)

// division is one way of dividing a run, before it is written out face by face.
type division struct {
	verdict
	way           string
	n             int // strips
	width         float64
	phase         float64
	joints        []float64 // places on the run, rising
	perFace       []int     // of walls divided by themselves
	spread        float64   // widest less narrowest width
	clash         int       // edge where two strips of one colour meet, -1 = none
	feature       int       // face with equal ends, -1 = none
	jointInMiddle bool
}

// even makes a division of one width from what judging its edges gave.
func (r *run) even(way string, n int, w, phase float64, clash int, v verdict) *division {
	d := &division{verdict: v, way: way, n: n, width: w, phase: phase, clash: clash, feature: -1}
	d.joints = r.joints(w, phase)
	return d
}

// addWidth adds the cost of a width that is not the wanted one.
func (d *division) addWidth(want Want, by weights) {
	if d.way != "each-wall" { // there it is part of the choice
		d.amount += widthCost(d.width, want, by)
	}
}

func widthCost(w float64, want Want, by weights) float64 {
	return by.width * math.Abs(w-float64(want.Wanted)) / float64(want.Wanted)
}

// offered is the number of ways kept for a group.
const offered = 6

// divisions are the ways of dividing a run, cheapest first.
func (r *run) divisions(want Want, by weights, feature int) []*division {
	all := append(r.eachWall(want, by), r.round(want, by)...)
	all = append(all, r.feature(want, by, feature)...)
	for _, d := range all {
		d.addWidth(want, by)
	}
	slices.SortStableFunc(all, func(a, b *division) int {
		switch {
		case a.better(b.verdict):
			return -1
		case b.better(a.verdict):
			return 1
		}
		return cmp.Or(cmp.Compare(a.rank(want), b.rank(want)), cmp.Compare(a.n, b.n), cmp.Compare(a.phase, b.phase))
	})
	var apart []*division
	for _, d := range all {
		if k := slices.IndexFunc(apart, func(k *division) bool { return k.same(d) }); k < 0 {
			apart = append(apart, d)
		} else if d.feature >= 0 { // it has equal ends there, however it was found
			apart[k].feature, apart[k].jointInMiddle = d.feature, d.jointInMiddle
		}
	}
	return r.picked(apart, want)
}

// picked keeps the best of each way, an odd number where no even one has the wanted
// width, and then the next best, in their order.
func (r *run) picked(all []*division, want Want) []*division {
	keep := make([]bool, len(all))
	n, features := 0, 0
	take := func(i int) {
		if i >= 0 && !keep[i] {
			keep[i] = true
			n++
			if all[i].feature >= 0 {
				features++
			}
		}
	}
	for _, way := range []string{"each-wall", "round"} {
		take(slices.IndexFunc(all, func(d *division) bool { return d.way == way }))
	}
	take(slices.IndexFunc(all, func(d *division) bool { return d.feature >= 0 }))
	if !slices.ContainsFunc(all, func(d *division) bool { return d.clash < 0 && r.inBand(d, want) }) {
		take(slices.IndexFunc(all, func(d *division) bool { return d.clash >= 0 && r.inBand(d, want) }))
	}
	for i, d := range all {
		if n < offered && (d.feature < 0 || features < offered/3) {
			take(i)
		}
	}
	var list []*division
	for i, d := range all {
		if keep[i] {
			list = append(list, d)
		}
	}
	return list
}

// inBand reports that all strips are between the narrowest and widest wanted.
func (r *run) inBand(d *division, want Want) bool {
	fits := func(w float64) bool {
		return w > float64(want.Narrowest)-hair && w < float64(want.Widest)+hair
	}
	for i, n := range d.perFace {
		if !fits(r.faces[i].length / float64(n)) {
			return false
		}
	}
	return d.perFace != nil || fits(d.width)
}

// rank orders ways that come out the same: the one asked for, then the plainest.
func (d *division) rank(want Want) int {
	if d.way == want.Way {
		return -1
	}
	return slices.Index([]string{"each-wall", "round", "feature"}, d.way)
}

// same reports divisions that nobody could tell apart on the wall.
func (d *division) same(o *division) bool {
	return len(d.joints) == len(o.joints) && d.clash == o.clash && !slices.ContainsFunc(d.joints, func(u float64) bool {
		k, _ := slices.BinarySearch(o.joints, u-1)
		return k == len(o.joints) || o.joints[k] > u+1
	})
}

// onFace is a joint as it lies on one face.
type onFace struct {
	x     float64
	place int // in the order of the joints of the run
}

// spreadOver gives every face its joints; those in its corners are left out and
// told beside.
func (r *run) spreadOver(d *division) (faces [][]onFace, corners []int) {
	faces = make([][]onFace, len(r.faces))
	for i, f := range r.faces {
		faces[i] = make([]onFace, 0, int(f.length*float64(len(d.joints))/r.length)+2)
	}
	for j, u := range d.joints {
		s := wrap(u+r.origin, r.whole)
		i := r.faceAt(u)
		x := s - r.faces[i].start
		switch {
		case x < corner:
			corners = append(corners, i)
		case x >= r.faces[i].length-corner:
			corners = append(corners, (i+1)%len(r.faces))
		default:
			faces[i] = append(faces[i], onFace{x, j})
		}
	}
	for _, f := range faces { // a face that a run is cut open in has two ends of it
		slices.SortFunc(f, func(a, b onFace) int { return cmp.Compare(a.x, b.x) })
	}
	return faces, corners
}

// colourAt tells the colour just right of a place on the run: A at its start (or
// from the clash on), changing at every joint.
func (r *run) colourAt(d *division, u float64) string {
	origin := 0.0
	if d.clash >= 0 {
		origin = r.edges[d.clash].at
	}
	k, _ := slices.BinarySearch(d.joints, u+1e-6) // joints at u or left of it
	if u < origin-1e-3 {
		k += len(d.joints)
	}
	first, _ := slices.BinarySearch(d.joints, origin+corner)
	if (k-first)%2 == 0 {
		return "A"
	}
	return "B"
}

// option writes a division out for every face.
func (r *run) option(d *division, want Want, by weights, say speech) Option {
	o := Option{
		Way: d.way, Count: d.n, Width: unit.Length(d.width), Phase: unit.Length(d.phase),
		Closes: r.closed && d.clash < 0, Narrowest: unit.Length(d.narrow), Cost: d.amount,
		PerFace: slices.Clone(d.perFace),
	}
	if d.at >= 0 {
		o.At = r.edges[d.at].where
	}
	if d.clash >= 0 {
		o.Clash = r.edges[d.clash].where
	}
	joints, corners := r.spreadOver(d)
	if o.PerFace == nil {
		o.PerFace = r.begun(d)
	}
	for i := range r.faces {
		strips, tape := r.strips(i, d, joints, want, say)
		o.Faces = append(o.Faces, strips)
		o.Joints += tape
	}
	for _, i := range corners {
		if d.clash < 0 || r.edges[d.clash].face != i {
			o.Joints += unit.Length(upright(r.faces[i].face, corner))
		}
	}
	o.Marking = marking(o.Joints, by)
	o.Costs = r.costs(d, want, by, say)
	o.Summary = r.summary(d, &o, want, say)
	return o
}

// begun counts the strips that begin on each face; the first one of an open run
// begins with it.
func (r *run) begun(d *division) []int {
	n := make([]int, len(r.faces))
	for _, u := range d.joints {
		n[r.faceAt(wrap(u+corner, r.whole))]++
	}
	if !r.closed {
		n[r.faceAt(0)]++
	}
	return n
}

// marking is the time it takes to set out joints of a length at the usual paces.
func marking(joints unit.Length, by weights) unit.Range[unit.Hours] {
	hours := func(pace float64) unit.Hours {
		if !(pace > 0) {
			return 0
		}
		return unit.Hours(joints.Metres() / pace)
	}
	return unit.Range[unit.Hours]{Low: hours(by.pace.High), Likely: hours(by.pace.Likely), High: hours(by.pace.Low)}
}

// upright is the length of the painted part of the upright line at x.
func upright(f *survey.Face, x float64) float64 {
	sum := 0.0
	for _, s := range f.Field.SpanAt(x) {
		sum += s[1] - s[0]
	}
	return sum
}

// costs lists in words what a division costs.
func (r *run) costs(d *division, want Want, by weights, say speech) []Cost {
	var list []Cost
	add := func(amount float64, where, what string, args ...any) {
		if math.Abs(amount) > 1e-9 {
			list = append(list, Cost{fmt.Sprintf(what, args...), where, amount})
		}
	}
	see := func(e *edge, c edgeCost) {
		switch c.kind {
		case onEdge:
			if e.kind == atEnd {
				add(c.amount, e.where, "a joint on the end, no odd piece left")
			} else {
				add(c.amount, e.where, "a joint on the edge")
			}
		case lineInCorner:
			add(c.amount, e.where, "a line in a corner that leans %s", say.length(e.lean))
		case leftOver:
			add(c.amount, e.where, "a piece of %s, under the limit of %s", say.length(c.width), say.length(float64(want.Sliver)))
		}
	}
	if d.way == "each-wall" {
		for i, f := range r.faces {
			w := f.length / float64(d.perFace[i])
			add(widthCost(w, want, by)*f.length/r.whole, f.wall.Name, "%s", offWanted(w, want, say))
			r.onWall(i, w, want, by, see)
		}
		add(spread(0, d.spread, want, by), "", "widths differ by %s from wall to wall", say.fine(d.spread))
		for i := range r.edges {
			switch e := &r.edges[i]; {
			case e.kind == inCorner && i != d.clash:
				see(e, edgeCost{kind: lineInCorner, amount: leaning(e, float64(want.Sliver), by)})
			case e.kind == atEnd:
				see(e, edgeCost{kind: onEdge, amount: -by.bonus})
			}
		}
	} else {
		add(widthCost(d.width, want, by), "", "%s", offWanted(d.width, want, say))
		r.judge(want, by, d.width, d.phase, d.clash, see)
	}
	if d.clash >= 0 {
		e := &r.edges[d.clash]
		add(clashing(e, by), e.where, "two strips of one colour meet")
	}
	return list
}

func offWanted(w float64, want Want, say speech) string {
	off := w - float64(want.Wanted)
	if off < 0 {
		return fmt.Sprintf("strips %s narrower than wanted", say.fine(-off))
	}
	return fmt.Sprintf("strips %s wider than wanted", say.fine(off))
}
