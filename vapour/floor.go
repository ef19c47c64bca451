package vapour

import (
	"scumble/geom"
	"scumble/job"
	"scumble/survey"
	"scumble/unit"
)

// floorOf is the floor of a room: as stated, the product of the sides of a closed
// room of four walls, or a guess from the walls there are; guessed tells.
func (r *reckoner) floorOf(s *survey.Room, room *job.Room) (area unit.Range[unit.Area], words string, guessed bool) {
	if typed := room.FloorArea; typed.Given() {
		return unit.Exactly(typed.Value), "as measured", false
	}
	if square(s) {
		w := s.Walls
		across := (w[0].Length + w[2].Length) / 2
		along := (w[1].Length + w[3].Length) / 2
		return unit.Exactly(unit.Rect(across, along)), "product of the sides", false
	}
	guess, words := walked(room)
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

// walked lays the walls out on the floor with square corners. Where that leads back to the
// start the floor is the area gone round, else the rectangle that holds all walls; one wall
// alone is taken for the side of a square.
func walked(room *job.Room) (unit.Area, string) {
	plan := survey.PlanOf(room)
	var round, all geom.Polygon
	for _, w := range plan.Walls {
		round, all = append(round, w.From), append(all, w.From, w.To)
	}
	b := all.Bounds()
	const near = 0.02 // of the way round: square corners are not quite square
	if length := 2 * (b.Width() + b.Height()); room.Closed && !plan.Loose && len(plan.Walls) > 3 && float64(plan.Apart) <= near*length {
		return round.AreaM2(), "guessed from the walls with square corners"
	}
	across, along := b.Width(), b.Height()
	if across == 0 {
		across = along
	}
	if along == 0 {
		along = across
	}
	return unit.Area(across * along / 1e6), "guessed: the rectangle that holds the walls"
}
