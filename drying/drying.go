// Package drying is stage 6: a coat and the air of its room become the time the
// next coat may go on. It knows no calendar. Times here are declared at the
// reference climate; progress is summed over the hours of the room, so that a cold
// night counts for less. Answers are ranges; holds are hard.
package drying

import (
	"scumble/unit"
)

// Reference climate of every declared time (ASTM D3924).
const (
	ReferenceTemp     unit.Temp     = 23
	ReferenceHumidity unit.Humidity = 0.50
)

// Air is the climate a coat dries in.
type Air struct {
	Temp     unit.Temp
	Humidity unit.Humidity
	Surface  unit.Temp // of the wall; equal to Temp for inside walls
}

// Hold is a reason not to paint at all in this air.
type Hold struct {
	Rule   string // humidity | dew-point | minimum-temperature
	Figure string // words with both numbers
	Do     string
}
