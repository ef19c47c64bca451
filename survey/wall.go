package survey

import (
	"fmt"
	"math"
	"slices"

	"scumble/geom"
	"scumble/job"
	"scumble/unit"
)

// moulding is what is taken off a wall before it is painted.
type moulding struct{ skirting, cornice, dado, rail unit.Length }

// wall measures one wall. The shape is nil when the figures make none.
func (m *measurer) wall(room *job.Room, k int, in place, reach Reaches) (Wall, *shape) {
	from := &room.Walls[k]
	name := from.Name
	if name == "" {
		name = fmt.Sprintf("Wall %d", k+1)
	}
	id := in.name + "/" + name
	at := place{fmt.Sprintf("%s.walls[%d]", in.path, k), id}
	w := Wall{
		Path: at.path, Name: name, ID: id, Corner: from.Corner,
		LeanLeft: from.LeanLeft.Value, LeanRight: from.LeanRight.Value,
		Surface: from.Surface, Outside: from.Outside, Seen: from.Seen, Substrate: from.Substrate,
	}
	if w.Corner == "" {
		w.Corner = "internal"
	}
	if w.Seen == 0 {
		w.Seen = 3
	}
	if w.Substrate == "" {
		w.Substrate = room.Substrate
	}
	var s *shape
	if len(from.Outline) > 0 {
		s = m.drawnWall(from, at)
		if w.LeanLeft != 0 || w.LeanRight != 0 {
			m.warn(at, "lean-left and lean-right mean nothing for a wall with an outline", "draw the lean in the outline, and leave them out")
			w.LeanLeft, w.LeanRight = 0, 0
		}
	} else {
		s = m.uprightWall(from, room, at)
	}
	trim, sound := m.moulding(from, room, at, s)
	holes := m.openings(from, at, s)
	for _, h := range holes {
		w.Openings = append(w.Openings, h.Opening)
	}
	if s == nil {
		return w, nil
	}
	w.Length, w.Height, w.Outline = s.length, s.greatest, s.ring
	w.Skirting, w.Cornice, w.Dado, w.DadoRail = trim.skirting, trim.cornice, trim.dado, trim.rail
	if sound {
		m.faces(&w, from, in.name, at, s, trim, holes, reach)
	}
	return w, s
}

func (m *measurer) drawnWall(w *job.Wall, at place) *shape {
	ring, ok := m.ring(w.Outline, at)
	if !ok {
		return nil
	}
	b := ring.Bounds()
	corner := func(edge func(geom.Point) bool) string {
		return at.field(fmt.Sprintf("outline[%d]", slices.IndexFunc(ring, edge)))
	}
	if math.Abs(b.Min.X) > 1 {
		m.problem(corner(func(p geom.Point) bool { return p.X == b.Min.X })+".x", fmt.Sprintf("%sthe outline starts %s from the left end", at.whose(), m.mm(unit.Length(b.Min.X))), "measure x from the left end of the wall, so that the smallest x is 0")
		ok = false
	}
	if b.Min.Y < -1 {
		m.problem(corner(func(p geom.Point) bool { return p.Y == b.Min.Y })+".y", fmt.Sprintf("%sthe outline goes %s below 0", at.whose(), m.mm(unit.Length(-b.Min.Y))), "measure y from the lowest floor of the wall, so that no y is below 0")
		ok = false
	}
	if w.Length.Given() && math.Abs(float64(w.Length.Value)-b.Max.X) > meet {
		m.problem(at.field("length"), fmt.Sprintf("%sthe length is %s but the outline is %s long", at.whose(), m.mm(w.Length.Value), m.mm(unit.Length(b.Max.X))), "correct one of them, or leave length out")
		ok = false
	}
	if !ok {
		return nil
	}
	s := drawn(ring)
	return &s
}

// uprightWall checks length and heights. A height of 0 is allowed at one end, for
// a wall that runs out under a slope.
func (m *measurer) uprightWall(w *job.Wall, room *job.Room, at place) *shape {
	ok := m.size(w.Length, at, "length", "length")
	if !w.Height.Given() && !room.Height.Given() {
		m.problem(at.field("height"), at.whose()+"the height is missing, for the wall and for the room", "measure it and write it as height of the wall or of the room")
		return nil
	}
	s := upright(w, room)
	for _, h := range []struct {
		field string
		value job.Length
	}{{"height", w.Height}, {"height-right", w.HeightRight}, {"lean-left", w.LeanLeft}, {"lean-right", w.LeanRight}} {
		ok = m.sound(h.value, at, h.field) && ok
	}
	for _, h := range []struct {
		field, where string
		value        unit.Length
	}{{"height", "left", s.left}, {"height-right", "right", s.right}} {
		if h.value < 0 {
			m.problem(at.field(h.field), fmt.Sprintf("%sthe height at the %s is %s", at.whose(), h.where, m.mm(h.value)), "give a figure above zero")
			ok = false
		}
	}
	ok = m.ridge(w, &s, at) && ok
	if ok && s.greatest <= 0 {
		m.problem(at.field("height"), at.whose()+"the wall has no height", "give a figure above zero")
		ok = false
	}
	if !ok {
		return nil
	}
	if s.leanLeft+s.leanRight >= s.length {
		m.problem(at.field("lean-left"), fmt.Sprintf("%sthe ends lean into the wall by %s, more than its length of %s", at.whose(), m.mm(s.leanLeft+s.leanRight), m.mm(s.length)), "give how far the top of the corner stands off a plumb line, usually a few millimetres")
		return nil
	}
	m.leaning(w.LeanLeft.Value, s.left, at, "left")
	m.leaning(w.LeanRight.Value, s.right, at, "right")
	return &s
}

// leaning warns of a lean that no builder leaves.
func (m *measurer) leaning(lean, height unit.Length, at place, where string) {
	if math.Abs(float64(lean)) > 0.05*float64(height) {
		m.warn(at, fmt.Sprintf("the %s end leans %s in %s, more than 5 in 100", where, m.mm(lean), m.mm(height)), "measure it again with a plumb line, or draw the wall as an outline")
	}
}

func (m *measurer) ridge(w *job.Wall, s *shape, at place) bool {
	if w.Ridge == nil {
		return true
	}
	here := place{at.path + ".ridge", at.name}
	if !m.sound(w.Ridge.At, here, "at") || !m.size(w.Ridge.Height, here, "height", "height of the ridge") {
		return false
	}
	x, top := w.Ridge.At.Value, w.Ridge.Height.Value
	switch line := s.left + (s.right-s.left)*unit.Length(float64(x)/float64(s.length)); {
	case x <= 0 || x >= s.length:
		m.problem(here.field("at"), fmt.Sprintf("%sthe ridge at %s lies outside the wall, which is %s long", at.whose(), m.mm(x), m.mm(s.length)), "measure from the left end of the wall to below the ridge")
	case top <= line || top < max(s.left, s.right):
		m.problem(here.field("height"), fmt.Sprintf("%sthe ridge is %s high, not above the ends of %s and %s", at.whose(), m.mm(top), m.mm(s.left), m.mm(s.right)), "measure the ridge again, or draw the wall as an outline")
	case x-s.leanLeft <= 0 || x >= s.length-s.leanRight:
		m.problem(here.field("at"), at.whose()+"the ends lean beyond the ridge", "correct lean-left and lean-right")
	default:
		return true
	}
	return false
}

// moulding settles skirting, cornice and dado of a wall; false when they do not fit it.
func (m *measurer) moulding(w *job.Wall, room *job.Room, at place, s *shape) (moulding, bool) {
	t := moulding{skirting: w.Skirting.Or(room.Skirting.Value), cornice: w.Cornice.Or(room.Cornice.Value)}
	ok := m.depth(job.Length{Value: t.skirting}, at, "skirting")
	ok = m.depth(job.Length{Value: t.cornice}, at, "cornice") && ok
	if s != nil && ok {
		switch high := s.greatest; {
		case t.skirting >= high:
			m.problem(at.field("skirting"), fmt.Sprintf("%sthe skirting of %s is as high as the wall of %s", at.whose(), m.mm(t.skirting), m.mm(high)), "measure both again")
			ok = false
		case t.skirting+t.cornice >= high:
			m.problem(at.field("cornice"), fmt.Sprintf("%sskirting %s and cornice %s leave nothing of a wall %s high", at.whose(), m.mm(t.skirting), m.mm(t.cornice), m.mm(high)), "measure them again")
			ok = false
		}
	}
	if w.Dado == nil {
		return t, ok
	}
	here := place{at.path + ".dado", at.name}
	good := m.size(w.Dado.Height, here, "height", "height of the dado")
	if !m.depth(w.Dado.Rail, here, "rail") || !good {
		return t, false
	}
	t.dado, t.rail = w.Dado.Height.Value, w.Dado.Rail.Value
	switch {
	case s != nil && t.dado >= s.greatest-t.cornice:
		m.problem(here.field("height"), fmt.Sprintf("%sthe dado of %s leaves nothing above it on a wall %s high", at.whose(), m.mm(t.dado), m.mm(s.greatest)), "measure the dado from the floor to the top of its rail")
	case t.dado-t.rail <= t.skirting:
		m.problem(here.field("height"), fmt.Sprintf("%sbetween the skirting of %s and the dado rail (top at %s, %s wide) nothing is left", at.whose(), m.mm(t.skirting), m.mm(t.dado), m.mm(t.rail)), "measure the dado from the floor to the top of its rail")
	default:
		return t, ok
	}
	return t, false
}
