package survey

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"scumble/geom"
	"scumble/job"
	"scumble/unit"
)

// roundness is how far in mm the corners of a drawn arch or circle may leave the
// true line; areas are those of the true shape.
const roundness = 0.5

// hole is an opening placed in its wall, with the parts of its reveal.
type hole struct {
	Opening
	sides unit.Length // both jambs
	head  unit.Length // along the head, round an arch; the whole way round a circle
	sill  unit.Length
	round bool
}

// openings places the openings of a wall and reports those that cannot be.
func (m *measurer) openings(w *job.Wall, at place, s *shape) []hole {
	var holes []hole
	for i := range w.Openings {
		o := &w.Openings[i]
		name := o.Name
		if name == "" {
			name = fmt.Sprintf("opening %d", i+1)
		}
		here := at.within(fmt.Sprintf("openings[%d]", i), name)
		if h, ok := m.opening(o, here); ok {
			h.Path, h.Name = here.path, name
			m.reveal(o, here, &h)
			if s != nil {
				m.inside(&h, here, s)
			}
			holes = append(holes, h)
		}
	}
	m.apart(holes, at)
	return holes
}

// opening places one opening; false when its figures do not make a shape.
func (m *measurer) opening(o *job.Opening, at place) (hole, bool) {
	h := hole{Opening: Opening{
		Kind: o.Kind, Shape: o.Shape, Reveal: o.Reveal.Value, Other: o.Other.Value, Beyond: o.Beyond,
	}}
	if h.Shape == "" {
		h.Shape = "rect"
	}
	if h.Shape == "outline" {
		ring, ok := m.ring(o.Outline, at)
		if !ok {
			return h, false
		}
		h.Outline = ring.Anticlockwise()
		b := ring.Bounds()
		h.Left, h.Right = unit.Length(b.Min.X), unit.Length(b.Max.X)
		h.Sill, h.Head = unit.Length(b.Min.Y), unit.Length(b.Max.Y)
		for i := range h.Outline {
			e := h.Outline.Edge(i)
			length := unit.Length(e.Length())
			switch sideOf(e) {
			case end:
				h.sides += length
			case lower:
				h.sill += length
			case upper:
				h.head += length
			}
		}
		h.Area = h.Outline.AreaM2()
		return h, true
	}
	ok := m.size(o.Width, at, "width", "width of the opening")
	if h.Shape != "round" || o.Height.Given() {
		ok = m.size(o.Height, at, "height", "height of the opening") && ok
	}
	if !o.Left.Given() {
		m.problem(at.field("left"), at.whose()+"its distance from the left end of the wall is missing", "measure from the left end of the wall to the left side of the opening and write it as left")
		ok = false
	}
	if !o.Sill.Given() && o.Kind == "window" {
		m.problem(at.field("sill"), at.whose()+"the height of its sill is missing", "measure from the floor to the sill and write it as sill")
		ok = false
	}
	if !ok || !m.sound(o.Left, at, "left") || !m.sound(o.Sill, at, "sill") {
		return h, false
	}
	width, height := o.Width.Value, o.Height.Value
	if h.Shape == "round" {
		height = o.Height.Or(width)
	}
	h.Left, h.Right = o.Left.Value, o.Left.Value+width
	h.Sill, h.Head = o.Sill.Value, o.Sill.Value+height
	switch h.Shape {
	case "rect":
		h.Outline = geom.Rect(float64(h.Left), float64(h.Sill), float64(width), float64(height))
		h.sides, h.head, h.sill = 2*height, width, width
		h.Area = unit.Rect(width, height)
	case "arch":
		ok = m.arch(o, at, &h)
	case "round":
		ok = m.round(o, at, &h)
	default:
		m.problem(at.field("shape"), fmt.Sprintf("%sthe shape %q is not known", at.whose(), h.Shape), "write rect, arch, round or outline")
		return h, false
	}
	if ok && h.Outline == nil {
		m.problem(at.path, at.whose()+"its figures do not make an opening", "correct left, sill, width and height")
		return h, false
	}
	return h, ok
}

func (m *measurer) arch(o *job.Opening, at place, h *hole) bool {
	width, height := o.Width.Value, o.Height.Value
	rise := o.Rise.Or(width / 2)
	if !m.sound(o.Rise, at, "rise") {
		return false
	}
	switch {
	case rise <= 0:
		m.problem(at.field("rise"), at.whose()+"the rise of the arch is "+m.mm(rise), "give a rise above zero, or the shape rect")
		return false
	case rise > width/2+1e-6:
		m.problem(at.field("rise"), fmt.Sprintf("%sthe arch rises %s, more than half its width of %s", at.whose(), m.mm(rise), m.mm(width)), "correct the rise, or draw the opening as an outline")
		return false
	case rise > height:
		m.problem(at.field("rise"), fmt.Sprintf("%sthe arch rises %s but the opening is only %s high", at.whose(), m.mm(rise), m.mm(height)), "measure height to the crown of the arch, and rise from the springing to the crown")
		return false
	}
	w, r := float64(width), float64(rise)
	h.Outline = geom.Arch(float64(h.Left), float64(h.Sill), w, float64(height), r, roundness)
	radius := (w*w/4 + r*r) / (2 * r)
	half := math.Asin(min(w/2/radius, 1))
	h.sides, h.head, h.sill = 2*(height-rise), unit.Length(2*half*radius), width
	h.Area = unit.Rect(width, height-rise) + unit.Area(radius*radius*(half-math.Sin(half)*math.Cos(half))/1e6)
	return true
}

func (m *measurer) round(o *job.Opening, at place, h *hole) bool {
	width := o.Width.Value
	if o.Height.Given() && math.Abs(float64(o.Height.Value-width)) > 1 {
		m.problem(at.field("height"), fmt.Sprintf("%sa round opening %s wide cannot be %s high", at.whose(), m.mm(width), m.mm(o.Height.Value)), "leave height out, or draw the opening as an outline")
		return false
	}
	radius := float64(width) / 2
	h.Head = h.Sill + width
	h.Outline = geom.Circle(geom.Point{X: float64(h.Left) + radius, Y: float64(h.Sill) + radius}, radius, roundness)
	h.head, h.round = unit.Length(2*math.Pi*radius), true
	h.Area = unit.Area(math.Pi * radius * radius / 1e6)
	return true
}

// reveal settles which sides of the reveal are painted and how much that is: both
// jambs, the head (along the arch) and the sill by the depth; round a circle all
// of it as soon as any side is named. An opening that stands on the floor has no sill.
func (m *measurer) reveal(o *job.Opening, at place, h *hole) {
	if h.Reveal < 0 || !finite(h.Reveal) {
		m.problem(at.field("reveal"), fmt.Sprintf("%sthe reveal is %s deep", at.whose(), m.mm(h.Reveal)), "give the depth of the reveal from the wall to the frame, or leave it out")
		h.Reveal = 0
	}
	if len(o.Paint) > 0 && h.Reveal == 0 {
		m.warn(at, "a side of its reveal is to be painted but the reveal has no depth", "measure the depth of the reveal and write it as reveal")
	}
	for i, side := range o.Paint {
		switch {
		case side != "sides" && side != "head" && side != "sill":
			m.problem(at.field(fmt.Sprintf("paint[%d]", i)), fmt.Sprintf("%sthe side %q of its reveal is not known", at.whose(), side), "write sides (both jambs), head or sill")
		case slices.Contains(h.Painted, side):
		case side == "sill" && h.Sill <= 0 && !h.round:
			m.warn(at, "stands on the floor, so it has no sill to paint", "take sill out of paint")
		default:
			h.Painted = append(h.Painted, side)
		}
	}
	h.RevealArea = unit.Rect(h.painted("sides", h.sides)+h.painted("head", h.head)+h.painted("sill", h.sill), h.Reveal)
}

// painted is the length when that side of the reveal is painted.
func (h *hole) painted(side string, length unit.Length) unit.Length {
	if h.round && len(h.Painted) > 0 || slices.Contains(h.Painted, side) {
		return length
	}
	return 0
}

// revealBetween is the share of the painted reveal between two heights: jambs by
// height, head and sill where they lie, a circle by height.
func (h *hole) revealBetween(low, high unit.Length) unit.Area {
	height := h.Head - h.Sill
	if height <= 0 {
		return 0
	}
	share := max(0, float64((min(high, h.Head)-max(low, h.Sill))/height))
	length := h.painted("sides", h.sides) * unit.Length(share)
	if h.round {
		return unit.Rect(h.painted("head", h.head)*unit.Length(share), h.Reveal)
	}
	if h.Head > low && h.Head <= high {
		length += h.painted("head", h.head)
	}
	if h.Sill >= low && h.Sill < high {
		length += h.painted("sill", h.sill)
	}
	return unit.Rect(length, h.Reveal)
}

// inside reports an opening that reaches beyond its wall.
func (m *measurer) inside(h *hole, at place, s *shape) {
	const slack = 1 // mm: nobody measures a wall closer
	b := s.ring.Bounds()
	found := false
	report := func(field, what, do string) {
		m.problem(at.field(field), at.whose()+what, do)
		found = true
	}
	left, right := unit.Length(0), s.length
	if !s.flat {
		left, right = unit.Length(b.Min.X), unit.Length(b.Max.X)
	}
	if h.Left < left-slack {
		report("left", fmt.Sprintf("reaches %s beyond the left end of the wall", m.mm(left-h.Left)), "measure left again")
	}
	if h.Right > right+slack {
		report("width", fmt.Sprintf("reaches %s beyond the right end of the wall, which is %s long (left %s and width %s make %s)", m.mm(h.Right-right), m.mm(s.length), m.mm(h.Left), m.mm(h.Right-h.Left), m.mm(h.Right)), "measure left and width again, or the length of the wall")
	}
	if low := unit.Length(b.Min.Y); h.Sill < low-slack {
		report("sill", fmt.Sprintf("reaches %s below the floor", m.mm(low-h.Sill)), "measure sill again, up from the floor")
	}
	if h.Head > s.greatest+slack {
		report("height", fmt.Sprintf("reaches %s above the wall, which is %s high (sill %s and height %s make %s)", m.mm(h.Head-s.greatest), m.mm(s.greatest), m.mm(h.Sill), m.mm(h.Head-h.Sill), m.mm(h.Head)), "measure sill and height again, or the height of the wall")
	}
	if found || len(s.ring) == 4 && s.flat && s.left == s.right {
		return // a plain wall is done; one problem is enough for a crooked one
	}
	// Slopes and outlines: how far does any corner stick out? A leaning end may
	// come into an opening by its lean.
	out, where := 0.0, geom.Point{}
	for _, p := range h.Outline {
		if !s.ring.Contains(p) {
			d := math.Inf(1)
			for i := range s.ring {
				d = min(d, distance(s.ring.Edge(i), p))
			}
			if d > out {
				out, where = d, p
			}
		}
	}
	if lean := math.Max(math.Abs(float64(s.leanLeft)), math.Abs(float64(s.leanRight))); out > slack+lean {
		report("sill", fmt.Sprintf("sticks %s out of the wall at %s from the left and %s up", m.mm(unit.Length(out)), m.mm(unit.Length(where.X)), m.mm(unit.Length(where.Y))), "measure the opening again, or the slope of the wall")
	}
}

// distance from a segment to a point in mm.
func distance(s geom.Segment, p geom.Point) float64 {
	dx, dy := s.B.X-s.A.X, s.B.Y-s.A.Y
	t := 0.0
	if l2 := dx*dx + dy*dy; l2 > 0 {
		t = min(1, max(0, ((p.X-s.A.X)*dx+(p.Y-s.A.Y)*dy)/l2))
	}
	return s.At(t).To(p)
}

// apart reports openings of one wall that overlap.
func (m *measurer) apart(holes []hole, at place) {
	order := make([]int, len(holes))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(holes[a].Left, holes[b].Left) })
	for i, a := range order {
		for _, b := range order[i+1:] {
			p, q := &holes[a], &holes[b]
			if q.Left >= p.Right {
				break
			}
			if geom.Overlap(p.Outline, q.Outline) {
				w := min(p.Right, q.Right) - q.Left
				h := min(p.Head, q.Head) - max(p.Sill, q.Sill)
				m.problem(q.Path, fmt.Sprintf("%s%s and %s overlap by %s across and %s up", at.whose(), p.Name, q.Name, m.mm(w), m.mm(h)), "measure left, sill, width and height of both again")
			}
		}
	}
}
