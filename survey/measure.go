package survey

import (
	"errors"
	"fmt"
	"math"

	"scumble/geom"
	"scumble/job"
	"scumble/unit"
)

// longest is the length in mm above which a measure is taken for a wrong unit.
const longest = 1e6

// meet is how far in mm two walls may differ in height at the corner they share.
const meet = 15

// measurer gathers what a survey finds wrong.
type measurer struct {
	problems []job.Problem
	warnings []job.Warning
	feet     bool
}

// place is where in the job one is, by path and in words.
type place struct{ path, name string }

func (p place) within(step, name string) place {
	return place{p.path + "." + step, p.name + ": " + name}
}

func (p place) field(name string) string { return p.path + "." + name }

func (p place) whose() string { return p.name + ": " }

func (m *measurer) problem(path, what, do string) {
	m.problems = append(m.problems, job.Problem{Path: path, What: what, Do: do})
}

func (m *measurer) warn(at place, what, do string) {
	m.warnings = append(m.warnings, job.Warning{Path: at.path, Name: at.name, What: what, Do: do})
}

// mm prints a length the way the job prints lengths.
func (m *measurer) mm(l unit.Length) string {
	if m.feet {
		return l.FeetInches()
	}
	return l.String()
}

func finite(l unit.Length) bool { return math.Abs(float64(l)) <= longest }

// sound reports a figure that no wall has.
func (m *measurer) sound(l job.Length, at place, field string) bool {
	if finite(l.Value) {
		return true
	}
	m.problem(at.field(field), fmt.Sprintf("%s%s is %s, more than a kilometre", at.whose(), field, m.mm(l.Value)), "check the unit; a figure without one is millimetres")
	return false
}

// size reports a size that is missing or not above zero.
func (m *measurer) size(l job.Length, at place, field, what string) bool {
	switch {
	case !l.Given():
		m.problem(at.field(field), fmt.Sprintf("%sthe %s is missing", at.whose(), what), "measure it and write it as "+field)
	case l.Value <= 0:
		m.problem(at.field(field), fmt.Sprintf("%sthe %s is %s", at.whose(), what, m.mm(l.Value)), "give a figure above zero")
	default:
		return m.sound(l, at, field)
	}
	return false
}

// depth reports a width of moulding below zero.
func (m *measurer) depth(l job.Length, at place, field string) bool {
	if l.Value < 0 {
		m.problem(at.field(field), fmt.Sprintf("%s%s is %s", at.whose(), field, m.mm(l.Value)), "give a figure above zero, or 0 for none")
		return false
	}
	return m.sound(l, at, field)
}

// ring makes a polygon of the corners as typed.
func (m *measurer) ring(corners []job.Corner, at place) (geom.Polygon, bool) {
	ring := make(geom.Polygon, len(corners))
	for i, c := range corners {
		here := place{at.field(fmt.Sprintf("outline[%d]", i)), at.name}
		if !m.sound(c.X, here, "x") || !m.sound(c.Y, here, "y") {
			return nil, false
		}
		ring[i] = geom.Point{X: float64(c.X.Value), Y: float64(c.Y.Value)}
	}
	if err := geom.Simple(ring); err != nil {
		where := at.field("outline")
		if flaw := (*geom.Flaw)(nil); errors.As(err, &flaw) && flaw.Corner >= 0 {
			where = at.field(fmt.Sprintf("outline[%d]", flaw.Corner))
		}
		m.problem(where, at.whose()+"outline: "+err.Error(), "measure the corners again and write them in order round the outline")
		return nil, false
	}
	return ring, true
}

// Measure lays out every room of a job. All problems are reported at once; the
// survey then holds what could be measured and is not to be planned from.
func Measure(j *job.Job, reach Reaches) (*Survey, []job.Problem) {
	s := &Survey{}
	if j == nil {
		return s, nil
	}
	m := &measurer{feet: j.Lengths == "imperial"}
	for i := range j.Rooms {
		s.Rooms = append(s.Rooms, m.room(j, i, reach))
	}
	s.Warnings = m.warnings
	return s, m.problems
}

func (m *measurer) room(j *job.Job, i int, reach Reaches) Room {
	from := &j.Rooms[i]
	at := place{fmt.Sprintf("rooms[%d]", i), from.Name}
	if at.name == "" {
		at.name = fmt.Sprintf("Room %d", i+1)
	}
	room := Room{Path: at.path, Name: at.name, Closed: from.Closed, Climate: j.Climate.In(from.Climate)}
	shapes := make([]*shape, len(from.Walls))
	for k := range from.Walls {
		var wall Wall
		wall, shapes[k] = m.wall(from, k, at, reach)
		room.Perimeter += wall.Length
		room.Height = max(room.Height, wall.Height)
		room.Walls = append(room.Walls, wall)
	}
	m.closing(from, at, &room)
	joined := m.corners(from, at, &room, shapes)
	m.floor(from, at, &room, joined)
	return room
}

// closing warns of a closed room that its walls cannot go round.
func (m *measurer) closing(from *job.Room, at place, room *Room) {
	if !from.Closed {
		return
	}
	if n := len(room.Walls); n < 3 {
		m.warn(at, fmt.Sprintf("is closed but has %d walls measured", n), "measure the other walls too, or leave closed out")
		return
	}
	for _, w := range room.Walls {
		if others := room.Perimeter - w.Length; w.Length > others {
			m.warn(at, fmt.Sprintf("cannot be closed: %s is %s long and all other walls together %s", w.Name, m.mm(w.Length), m.mm(others)), "measure the lengths again, or leave closed out")
		}
	}
}

// corners links the walls of a room and compares their heights where they meet.
// The result tells for each wall whether it meets the next.
func (m *measurer) corners(from *job.Room, at place, room *Room, shapes []*shape) []bool {
	n := len(room.Walls)
	joined := make([]bool, n)
	for i := range room.Walls {
		a, k := &room.Walls[i], (i+1)%n
		b := &room.Walls[k]
		if k <= i && (!from.Closed || n < 2) {
			a.Corner = "open"
		}
		if a.Corner == "open" {
			continue
		}
		joined[i] = true
		a.Next, b.Previous = b.ID, a.ID
		sa, sb := shapes[i], shapes[k]
		if sa == nil || sb == nil || !sa.explicit && !sb.explicit {
			continue
		}
		if d := math.Abs(float64(sa.right - sb.left)); d > meet {
			m.problem(a.Path, fmt.Sprintf("%s: the heights do not meet in the corner: %s is %s high at its right end, %s is %s at its left end, %s apart",
				at.name, a.Name, m.mm(sa.right), b.Name, m.mm(sb.left), m.mm(unit.Length(d))),
				fmt.Sprintf("measure both again (%s may differ), or write corner: open on %s if the walls do not meet", m.mm(meet), a.Name))
		}
	}
	return joined
}

// floor is the strip of floor to cover along the walls. In an internal corner two
// strips lie over each other, round an external one a square is missing.
func (m *measurer) floor(from *job.Room, at place, room *Room, joined []bool) {
	width := from.Floor.Or(1000)
	if !m.depth(from.Floor, at, "floor") {
		return
	}
	strip := unit.Rect(room.Perimeter, width)
	for i, w := range room.Walls {
		switch {
		case !joined[i]:
		case w.Corner == "external":
			strip += unit.Rect(width, width)
		default:
			strip -= unit.Rect(width, width)
		}
	}
	room.FloorStrip = max(0, strip)
}
