package setout

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"scumble/catalog"
	"scumble/job"
	"scumble/survey"
)

// This file prices divisions a second time, straight from the walls and a list of
// joints, and searches by trying everything.

// outlook is what the second pricing knows of a run.
type outlook struct {
	walls  []survey.Wall
	closed bool
	want   Want
	by     weights
	on     float64 // distance within which a joint counts as in a corner or on an end
}

// half is how near a joint in a corner is.
const half = 0.5 + 1e-6

func (o *outlook) length() float64 {
	sum := 0.0
	for _, w := range o.walls {
		sum += float64(w.Length)
	}
	return sum
}

// price is the cost of joints (places from the left end of the first wall) and the
// corner of a clash (a wall number, -1 = none), without the width.
func (o *outlook) price(joints []float64, clash int) float64 {
	total, limit, on := o.length(), float64(o.want.Sliver), o.on
	if o.closed {
		for _, u := range joints {
			joints = append(joints, u-total, u+total)
		}
	}
	nearest := func(at float64) (left, right float64) {
		left, right = math.Inf(1), math.Inf(1)
		for _, u := range joints {
			if !o.closed && (u <= on || u >= total-on) {
				continue
			}
			if u <= at {
				left = math.Min(left, at-u)
			} else {
				right = math.Min(right, u-at)
			}
		}
		return left, right
	}
	short := func(piece float64) float64 { return o.by.sliver * math.Max(0, (limit-piece)/limit) }
	sum, start := 0.0, 0.0
	for i := range o.walls {
		w := &o.walls[i]
		if i > 0 || o.closed {
			before := &o.walls[(i+len(o.walls)-1)%len(o.walls)]
			left, right := nearest(start)
			switch gap := math.Min(left, right); {
			case gap <= on && i != clash:
				lean := math.Max(math.Abs(float64(before.LeanRight)), math.Abs(float64(w.LeanLeft)))
				sum += o.by.sliver * math.Min(1, lean/limit)
			case gap > on:
				sum += short(gap)
			}
			if i == clash {
				sum += o.by.sliver * float64(before.Seen+w.Seen) / 10
			}
		}
		for _, x := range w.Openings {
			for k, at := range []float64{float64(x.Left), float64(x.Right)} {
				if at <= 0.5 || at >= float64(w.Length)-0.5 {
					continue
				}
				left, right := nearest(start + at)
				piece := left // wall lies left of a left edge
				if k == 1 {
					piece = right
				}
				if math.Min(left, right) <= float64(o.want.OnEdge)+1e-6 {
					sum -= o.by.bonus
				} else {
					sum += short(piece)
				}
			}
		}
		start += float64(w.Length)
	}
	if !o.closed {
		for _, end := range []float64{0, total} {
			piece := math.Inf(1)
			for _, u := range joints {
				piece = math.Min(piece, math.Abs(u-end))
			}
			if piece <= on {
				sum -= o.by.bonus
			} else {
				sum += short(piece)
			}
		}
	}
	return sum
}

// series are joints every w from phase on, from one end to the other.
func (o *outlook) series(w, phase float64) []float64 {
	var list []float64
	total := o.length()
	if !o.closed && phase-w >= -half {
		phase -= w
	}
	for u := phase; u <= total+half; u += w {
		if o.closed && u >= total-1e-6 {
			break
		}
		list = append(list, u)
	}
	return list
}

func (o *outlook) offWidth(w float64) float64 {
	return o.by.width * math.Abs(w-float64(o.want.Wanted)) / float64(o.want.Wanted)
}

// smallRun draws a run of a few short walls.
func smallRun(t *rapid.T) (*run, *outlook) {
	n := rapid.IntRange(1, 4).Draw(t, "walls")
	closed := n > 2 && rapid.Bool().Draw(t, "closed")
	room := job.Room{Name: "R", Height: mm(2500), Closed: closed}
	for i := range n {
		w := job.Wall{Name: fmt.Sprint("W", i+1), Length: mm(float64(rapid.IntRange(500, 2600).Draw(t, "length"))), Finish: "weave", Seen: rapid.IntRange(1, 5).Draw(t, "seen")}
		if rapid.IntRange(0, 3).Draw(t, "leans") == 0 {
			w.LeanRight = mm(float64(rapid.IntRange(-12, 12).Draw(t, "lean")))
		}
		x := float64(rapid.IntRange(10, 400).Draw(t, "first"))
		for range rapid.IntRange(0, 2).Draw(t, "openings") {
			width := float64(rapid.IntRange(60, 900).Draw(t, "width"))
			if x+width > float64(w.Length.Value) {
				break
			}
			w.Openings = append(w.Openings, job.Opening{Name: "O", Left: mm(x), Sill: mm(900), Width: mm(width), Height: mm(800)})
			x += width + float64(rapid.IntRange(20, 500).Draw(t, "pier"))
		}
		room.Walls = append(room.Walls, w)
	}
	for i := range room.Walls[:n-1] { // one wall leaning back would not meet; corners lean alone
		room.Walls[i].Corner = rapid.SampledFrom([]string{"internal", "external"}).Draw(t, "corner")
	}
	s := measured(t, &job.Job{Rooms: []job.Room{room}, Finishes: testFinishes()})
	narrow := float64(rapid.IntRange(120, 260).Draw(t, "narrowest"))
	c := testCatalog()
	c.Techniques["weave"].StripWidth = &catalog.StripWidth{Narrowest: just(narrow, "mm"), Wanted: just(narrow+20, "mm"), Widest: just(narrow+float64(rapid.IntRange(20, 90).Draw(t, "band")), "mm")}
	want, _, err := wanted(&job.Finish{}, c.Techniques["weave"], c.Defaults)
	if err != nil {
		t.Fatal(err)
	}
	list := runs(&s.Rooms[0], func(string) bool { return true })
	if len(list) != 1 {
		t.Fatalf("%d runs", len(list))
	}
	return list[0], &outlook{walls: s.Rooms[0].Walls, closed: closed, want: want, by: weigh(c.Defaults), on: half}
}

func least(list []*division, ok func(d *division) bool) *division {
	var best *division
	for _, d := range list {
		if ok(d) && (best == nil || d.amount < best.amount) {
			best = d
		}
	}
	return best
}

// clashWall is the wall to the right of the clash, -1 = none.
func (r *run) clashWall(d *division) int {
	if d.clash < 0 {
		return -1
	}
	return r.edges[d.clash].face
}

// For every count the phase found is at least as good as every phase on a grid of
// 0.5 mm, and costs what the second pricing says.
func TestRoundIsBestOfAllPhases(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, o := smallRun(t)
		closing, _ := r.roundCounts(o.want)
		for _, n := range closing {
			w := r.length / float64(n)
			phase, v := r.bestPhase(o.want, o.by, w)
			if again := o.price(o.series(w, phase), -1); math.Abs(again-v.amount) > 1e-6 {
				t.Fatalf("%d strips of %.3f from %.3f cost %v, priced again %v", n, w, phase, v.amount, again)
			}
			o.on = 1e-3 // the grid may not profit from joints that are nearly in a corner
			for p := 0.0; p < w; p += 0.5 {
				if c := o.price(o.series(w, p), -1); c < v.amount-1e-6 {
					t.Fatalf("%d strips of %.3f: phase %.3f costs %v, less than %v at %.3f", n, w, p, c, v.amount, phase)
				}
			}
			for p := 0.0; p < w; p += 0.5 { // and of equal ones it leaves the widest pieces
				other := r.judge(o.want, o.by, w, p, -1, nil)
				equal := math.Abs(other.amount-v.amount) < 1e-9 && math.Abs(o.price(o.series(w, p), -1)-v.amount) < 1e-6
				if equal && other.narrow > v.narrow+1 { // marks are whole millimetres
					t.Fatalf("%d strips of %.3f: phase %.3f leaves %v, more than %v at %.3f", n, w, p, other, v, phase)
				}
			}
			o.on = half
			if r.closed && n%2 == 1 {
				t.Fatalf("%d strips do not close", n)
			}
		}
	})
}

// The best counts of walls divided each by itself are those of trying every
// combination, for an even and an odd sum.
func TestEachWallIsBestOfAllCounts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, o := smallRun(t)
		all := r.eachWall(o.want, o.by)
		best := [2]float64{math.Inf(1), math.Inf(1)}
		inBand := [2]bool{}
		var try func(i, sum int, ns []int)
		try = func(i, sum int, ns []int) {
			if i < len(o.walls) {
				for _, n := range counts(float64(o.walls[i].Length), o.want, mostCounts) {
					try(i+1, sum+n, append(ns[:i:i], n))
				}
				return
			}
			inBand[sum%2] = true
			cost := o.wallwise(ns, -1)
			if r.closed && sum%2 == 1 {
				cost = math.Inf(1)
				for k := range o.walls { // the least seen corner
					seen := o.walls[(k+len(o.walls)-1)%len(o.walls)].Seen + o.walls[k].Seen
					if hidden := o.leastSeen(); seen == hidden {
						cost = math.Min(cost, o.wallwise(ns, k))
					}
				}
			}
			best[sum%2] = math.Min(best[sum%2], cost)
		}
		try(0, 0, nil)
		for odd := range 2 {
			d := least(all, func(d *division) bool { return d.n%2 == odd })
			if !r.closed { // any number will do
				d = least(all, func(*division) bool { return true })
				best[odd], inBand[odd] = math.Min(best[0], best[1]), true
			}
			if !inBand[odd] {
				continue // found by going outside the band, or not at all
			}
			if d == nil || math.Abs(d.amount-best[odd]) > 1e-9 {
				t.Fatalf("parity %d: found %+v, best is %v", odd, d, best[odd])
			}
			if again := o.wallwise(d.perFace, r.clashWall(d)); math.Abs(again-d.amount) > 1e-9 {
				t.Fatalf("%v cost %v, priced again %v", d.perFace, d.amount, again)
			}
		}
		if r.closed && least(all, func(d *division) bool { return d.n%2 == 0 }) == nil {
			t.Fatalf("no even number offered")
		}
	})
}

func (o *outlook) leastSeen() int {
	least := 10
	for k := range o.walls {
		least = min(least, o.walls[(k+len(o.walls)-1)%len(o.walls)].Seen+o.walls[k].Seen)
	}
	return least
}

// wallwise prices walls divided each by itself.
func (o *outlook) wallwise(ns []int, clash int) float64 {
	var joints []float64
	sum, start := 0.0, 0.0
	narrow, wide := math.Inf(1), 0.0
	for i, n := range ns {
		length := float64(o.walls[i].Length)
		w := length / float64(n)
		narrow, wide = math.Min(narrow, w), math.Max(wide, w)
		sum += o.offWidth(w) * length / o.length()
		for j := range n {
			joints = append(joints, start+float64(j)*w)
		}
		start += length
	}
	if !o.closed {
		joints = append(joints, start)
	}
	// Round corners the joint in the corner is looked at from both walls; pieces
	// beside openings end at it, so the whole run can be priced at once.
	return sum + o.by.spread*(wide-narrow)/2/float64(o.want.Wanted) + o.price(joints, clash)
}

// An odd number round a closed room has its clash in the least seen corner, at the
// least cost of these.
func TestOddClashesInTheLeastSeenCorner(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, o := smallRun(t)
		if !r.closed {
			return
		}
		_, odd := r.roundCounts(o.want)
		found := map[int]*division{}
		for _, d := range r.round(o.want, o.by) {
			if d.clash >= 0 {
				found[d.n] = d
			}
		}
		for _, n := range odd {
			w := r.length / float64(n)
			best, start := math.Inf(1), 0.0
			for k := range o.walls {
				if o.walls[(k+len(o.walls)-1)%len(o.walls)].Seen+o.walls[k].Seen == o.leastSeen() {
					best = math.Min(best, o.price(o.series(w, wrap(start, w)), k))
				}
				start += float64(o.walls[k].Length)
			}
			if d := found[n]; d == nil || math.Abs(d.amount-best) > 1e-6 {
				t.Fatalf("%d strips: %+v, best %v", n, d, best)
			}
		}
	})
}

// Feature walls have equal ends, and each costs what the second pricing says.
func TestFeatureHasEqualEnds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, o := smallRun(t)
		face := rapid.IntRange(0, len(r.faces)-1).Draw(t, "feature")
		for _, d := range r.feature(o.want, o.by, face) {
			if again := o.price(o.series(d.width, d.phase), -1); math.Abs(again-d.amount) > 1e-6 {
				t.Fatalf("%d strips of %.3f from %.3f cost %v, priced again %v", d.n, d.width, d.phase, d.amount, again)
			}
			joints, _ := r.spreadOver(d)
			if list := joints[face]; len(list) > 0 {
				left, right := list[0].x, r.faces[face].length-list[len(list)-1].x
				if math.Abs(left-right) > 1e-6 {
					t.Fatalf("ends of %v and %v", left, right)
				}
			}
		}
	})
}
