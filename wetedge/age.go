package wetedge

import "math"

// Age is how old glaze is where two pieces meet, and in a piece, min.
type age struct {
	meet  float64 // fresh glaze is laid against it
	self  float64 // glaze of the two pieces waits for the tool
	cross float64 // the tool passes over it
	since float64 // minute at which the older side was laid
}

// matters is the age that decides: tools that run through a joint pass over its older side;
// tools that blot need glaze that takes the next piece and gives way under them.
func (a age) matters(crossing bool) float64 {
	if crossing {
		return max(a.cross, a.meet)
	}
	return max(a.self, a.meet)
}

// at is when something that goes down a piece passes a height.
func at(span [2]float64, p *Piece, y float64) float64 {
	share := 0.0
	if p.Y1 > p.Y0 {
		share = min(1, max(0, (p.Y1-y)/(p.Y1-p.Y0)))
	}
	return span[0] + share*(span[1]-span[0])
}

func (c *course) self(k int) float64 {
	return max(0, c.work[k][0]-c.lay[k][0], c.work[k][1]-c.lay[k][1])
}

// ages of all joints of a layout; a layout without joints that merge has one, of its oldest piece.
// All three change in a straight line along a joint, so its ends are enough.
func (c *course) ages(l *Layout) []age {
	var out []age
	for i := range l.joints {
		j := &l.joints[i]
		if j.dry {
			continue
		}
		out = append(out, c.age(l, j))
	}
	if len(out) == 0 {
		worst := age{}
		for k := range l.Pieces {
			if s := c.self(k); s >= worst.self {
				worst = age{self: s, cross: s, since: c.lay[k][0]}
			}
		}
		out = append(out, worst)
	}
	return out
}

func (c *course) age(l *Layout, j *joint) age {
	a := age{self: max(c.self(j.a), c.self(j.b)), since: math.Inf(1)}
	p, q := &l.Pieces[j.a], &l.Pieces[j.b]
	for _, y := range [2]float64{j.y0, j.y1} {
		la, lb := at(c.lay[j.a], p, y), at(c.lay[j.b], q, y)
		wa, wb := at(c.work[j.a], p, y), at(c.work[j.b], q, y)
		a.meet = max(a.meet, math.Abs(lb-la))
		a.cross = max(a.cross, max(wa, wb)-min(la, lb))
		a.since = min(a.since, la, lb)
	}
	return a
}
