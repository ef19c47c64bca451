package survey

import (
	"math"

	"scumble/geom"
	"scumble/job"
	"scumble/unit"
)

// What the floor plan takes for a wall without a length that can be read, and for the
// way between two walls that do not meet.
const (
	unknownLength unit.Length = 2000
	betweenOpen   unit.Length = 600
)

// FloorPlan is a room seen from above, in mm, x to the right and y up. No angle of a
// corner is measured, so all are taken as right angles.
type FloorPlan struct {
	Walls []FloorWall
	// Apart is how far the end of the last wall lies from the beginning of the first, in a
	// room that is closed; Across and Along are its two parts, along the first wall and
	// square to it.
	Apart, Along, Across unit.Length
	// Open is true when the room is closed and more is missing than a tape leaves.
	Open bool
	// Guessed are walls without a length that can be read, and Loose is true where walls
	// before the last do not meet: both are drawn at a length nobody measured.
	Guessed []string
	Loose   bool
}

// FloorWall is one wall of a floor plan. The room lies to the right of the way From - To.
type FloorWall struct {
	From, To geom.Point
	Corner   string // after it: internal | external | open
	Known    bool   // its length is measured
	Openings []FloorOpening
}

// FloorOpening is an opening of a wall of a floor plan.
type FloorOpening struct {
	Kind     string
	From, To geom.Point
}

// PlanOf lays the walls of a room out on the floor in walking order, as far as they can be
// read. Where walls do not meet it goes on round the room after a gap.
func PlanOf(room *job.Room) *FloorPlan {
	p := &FloorPlan{}
	at := geom.Point{}
	dx, dy := 1.0, 0.0
	last := len(room.Walls) - 1
	for i := range room.Walls {
		w := &room.Walls[i]
		long, known := lengthOf(w)
		if !known {
			p.Guessed = append(p.Guessed, w.Name)
		}
		along := func(d unit.Length) geom.Point { return geom.Point{X: at.X + dx*float64(d), Y: at.Y + dy*float64(d)} }
		wall := FloorWall{From: at, To: along(long), Corner: w.Corner, Known: known}
		switch {
		case i == last && !room.Closed:
			wall.Corner = "open"
		case wall.Corner == "":
			wall.Corner = "internal"
		}
		for k := range w.Openings {
			if left, right, ok := spanOf(&w.Openings[k], long); ok {
				wall.Openings = append(wall.Openings, FloorOpening{w.Openings[k].Kind, along(left), along(right)})
			}
		}
		p.Walls = append(p.Walls, wall)
		at = wall.To
		if wall.Corner == "open" && i < last {
			p.Loose = true
			at = along(long + betweenOpen)
		}
		if wall.Corner == "external" {
			dx, dy = -dy, dx
		} else {
			dx, dy = dy, -dx
		}
	}
	if last >= 2 && room.Closed && !p.Loose && room.Walls[last].Corner != "open" && len(p.Guessed) == 0 {
		end := p.Walls[last].To
		p.Along, p.Across = unit.Length(math.Abs(end.X)), unit.Length(math.Abs(end.Y))
		p.Apart = unit.Length(end.To(geom.Point{}))
		p.Open = p.Apart > meet
	}
	return p
}

// lengthOf is how long a wall is on the floor.
func lengthOf(w *job.Wall) (unit.Length, bool) {
	if len(w.Outline) > 0 {
		var far unit.Length
		for _, c := range w.Outline {
			far = max(far, c.X.Value)
		}
		return readable(far)
	}
	return readable(w.Length.Value)
}

func readable(l unit.Length) (unit.Length, bool) {
	if l <= 0 || !finite(l) {
		return unknownLength, false
	}
	return l, true
}

// spanOf is where an opening lies along its wall; false when it lies outside.
func spanOf(o *job.Opening, long unit.Length) (left, right unit.Length, ok bool) {
	left, right = o.Left.Value, o.Left.Value+o.Width.Value
	for i, c := range o.Outline {
		if i == 0 {
			left, right = c.X.Value, c.X.Value
		}
		left, right = min(left, c.X.Value), max(right, c.X.Value)
	}
	left, right = max(left, 0), min(right, long)
	return left, right, left < right
}
