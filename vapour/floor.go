package vapour

import (
	"math"

	"scumble/job"
	"scumble/survey"
	"scumble/unit"
)

// floorOf is the floor of a room: as stated, the product of the sides of a closed
// room of four walls, or a guess from the walls there are; guessed tells.
func (r *reckoner) floorOf(s *survey.Room, typed job.Area) (area unit.Range[unit.Area], words string, guessed bool) {
	if typed.Given() {
		return unit.Exactly(typed.Value), "as measured", false
	}
	if square(s) {
		w := s.Walls
		across := (w[0].Length + w[2].Length) / 2
		along := (w[1].Length + w[3].Length) / 2
		return unit.Exactly(unit.Rect(across, along)), "product of the sides", false
	}
	guess, words := walked(s)
	f := r.catalog.Defaults.FloorGuess
	return unit.Range[unit.Area]{Low: guess * unit.Area(f.Low), Likely: guess * unit.Area(f.Likely), High: guess * unit.Area(f.High)}, words, true
}

// square reports whether four walls close a room round four inner corners.
func square(s *survey.Room) bool {
	if !s.Closed || len(s.Walls) != 4 {
		return false
	}
	for _, w := range s.Walls {
		if w.Corner != "internal" {
			return false
		}
	}
	return true
}

// walked follows the walls with square corners, clockwise seen from inside: to the
// right at an inner corner, to the left at one that stands out. Where that leads
// back to the start the floor is the area gone round (Gauss's trapezoids), else the
// rectangle that holds all walls; one wall alone is taken for the side of a square.
func walked(s *survey.Room) (unit.Area, string) {
	x, y, dx, dy := 0.0, 0.0, 1.0, 0.0
	left, right, bottom, top := 0.0, 0.0, 0.0, 0.0
	round, length := 0.0, 0.0
	for _, w := range s.Walls {
		l := w.Length.Metres()
		toX, toY := x+dx*l, y+dy*l
		round += x*toY - toX*y
		x, y = toX, toY
		left, right, bottom, top = min(left, x), max(right, x), min(bottom, y), max(top, y)
		length += l
		switch w.Corner {
		case "internal":
			dx, dy = dy, -dx
		case "external":
			dx, dy = -dy, dx
		}
	}
	const near = 0.02 // of the way gone: square corners are not quite square
	if s.Closed && math.Hypot(x, y) <= near*length && round != 0 {
		return unit.Area(math.Abs(round) / 2), "guessed from the walls with square corners"
	}
	across, along := right-left, top-bottom
	if across == 0 {
		across = along
	}
	if along == 0 {
		along = across
	}
	return unit.Area(across * along), "guessed: the rectangle that holds the walls"
}
