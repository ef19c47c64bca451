package survey

import (
	"math"
	"strconv"

	"scumble/geom"
	"scumble/job"
	"scumble/unit"
)

// Written is a corner of an outline as it is written in a job.
type Written struct{ X, Y string }

// Outlined is the outline of a wall measured by length and heights, corner by corner, so
// that it can be changed into any other shape. Figures that were typed stay as they were
// typed. ok is false where the figures make no wall, or where an outline cannot tell it:
// it begins at the foot of the left end, so nothing may lean out beyond that.
func Outlined(room *job.Room, k int) (corners []Written, ok bool) {
	w := &room.Walls[k]
	if len(w.Outline) > 0 || w.LeanLeft.Value < 0 {
		return nil, false
	}
	m := measurer{}
	s := m.uprightWall(w, room, place{})
	if s == nil || geom.Simple(s.ring) != nil {
		return nil, false
	}
	along := []job.Length{w.Length, w.LeanLeft}
	up := []job.Length{w.HeightRight, w.Height, room.Height}
	if w.Ridge != nil {
		along, up = append(along, w.Ridge.At), append(up, w.Ridge.Height)
	}
	for _, p := range s.ring {
		corners = append(corners, Written{written(p.X, along), written(p.Y, up)})
	}
	return corners, true
}

// written is a figure as it was typed for one of these measures, else to a tenth of a mm.
func written(v float64, as []job.Length) string {
	for _, l := range as {
		if l.Given() && v != 0 && math.Abs(float64(l.Value)-v) < geom.Near {
			return l.Text
		}
	}
	return strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64)
}

// Midway is the corner in the middle of the edge that follows a corner of an outline, so
// that adding it changes nothing yet. ok is false while one of both cannot be read.
func Midway(outline []job.Corner, i int) (c Written, ok bool) {
	a, b := outline[i], outline[(i+1)%len(outline)]
	if !a.X.Given() || !a.Y.Given() || !b.X.Given() || !b.Y.Given() {
		return Written{}, false
	}
	half := func(a, b unit.Length) string { return written(float64(a+b)/2, nil) }
	return Written{half(a.X.Value, b.X.Value), half(a.Y.Value, b.Y.Value)}, true
}

// Numbered are the corners of a drawn wall in the order in which they were typed.
func Numbered(w *job.Wall) []geom.Point {
	var out []geom.Point
	for _, c := range w.Outline {
		out = append(out, geom.Point{X: float64(c.X.Value), Y: float64(c.Y.Value)})
	}
	return out
}
