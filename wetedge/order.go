package wetedge

import (
	"cmp"
	"slices"

	"scumble/method"
	"scumble/survey"
)

// Round is walls of a room that may be wet together: none of them meet in a corner.
type Round struct {
	Faces []string `json:"faces"` // in the order they are worked
}

// Order puts the walls of a room in rounds, each worked when the one before is dry: from the
// least seen wall to the most seen, so that the hand is in by the time it matters, and of walls
// seen alike the one farthest from a door first, so that the way out stays free. A round
// takes what does not meet a wall of it in a corner, opposite walls first. The faces of a
// parted wall are worked together, the upper first.
func Order(room *survey.Room, m *method.Method) []Round {
	glazed := map[string]bool{} // by face
	for f := range m.Faces {
		glazed[m.Faces[f].ID] = len(Steps(&m.Faces[f])) > 0
	}
	var left []*survey.Wall
	for w := range room.Walls {
		if wall := &room.Walls[w]; len(facesOf(wall, glazed)) > 0 {
			left = append(left, wall)
		}
	}
	away := fromDoors(room)
	slices.SortStableFunc(left, func(a, b *survey.Wall) int {
		return cmp.Or(cmp.Compare(a.Seen, b.Seen), cmp.Compare(away[b.ID], away[a.ID]))
	})
	var out []Round
	for len(left) > 0 {
		var round Round
		var wet, later []*survey.Wall
		for _, w := range left {
			if slices.ContainsFunc(wet, func(o *survey.Wall) bool { return meets(o, w) }) {
				later = append(later, w)
				continue
			}
			wet = append(wet, w)
			round.Faces = append(round.Faces, facesOf(w, glazed)...)
		}
		out, left = append(out, round), later
	}
	return out
}

func facesOf(w *survey.Wall, glazed map[string]bool) (ids []string) {
	for _, f := range w.Faces {
		if glazed[f.ID] {
			ids = append(ids, f.ID)
		}
	}
	return ids
}

func meets(a, b *survey.Wall) bool {
	return a.Next == b.ID || a.Previous == b.ID || b.Next == a.ID || b.Previous == a.ID
}

// fromDoors is how many walls lie between each and the nearest with a door; all alike where
// there is none.
func fromDoors(room *survey.Room) map[string]int {
	away := map[string]int{}
	n := len(room.Walls)
	for i := range room.Walls {
		best := n
		for k := range room.Walls {
			if !slices.ContainsFunc(room.Walls[k].Openings, func(o survey.Opening) bool { return o.Kind == "door" }) {
				continue
			}
			d := max(i-k, k-i)
			if room.Closed {
				d = min(d, n-d)
			}
			best = min(best, d)
		}
		away[room.Walls[i].ID] = best
	}
	return away
}
