package solve

import (
	"math"
	"slices"

	"scumble/schedule/place"
)

// rules are the orders tried, least key first. The first is the latest start
// that still meets the end of the job, from the network alone.
func rules(p *place.Problem) [][]float64 {
	// Work takes the share of the week in which the site works, drying runs on.
	week := 0
	for _, w := range p.Calendar.Weekly {
		if w {
			week++
		}
	}
	scale := float64(7*place.Day) / float64(week*p.Calendar.Length)
	tail := tails(p, scale)
	plain := tails(p, 1)
	room := make([]float64, len(p.Shut))
	pairs := pairTails(p)
	for i := range p.Acts {
		room[p.Acts[i].Room] = max(room[p.Acts[i].Room], tail[i])
	}
	keys := make([][]float64, 6)
	for r := range keys {
		keys[r] = make([]float64, len(p.Acts))
	}
	for i := range p.Acts {
		work := float64(p.Acts[i].Rest) * scale
		keys[0][i] = -tail[i]                              // latest start
		keys[1][i] = work - tail[i]                        // latest finish
		keys[2][i] = -plain[i]                             // most minutes behind it
		keys[3][i] = -pairs[i] - tail[i]/1e6               // most work for two behind it
		keys[4][i] = -room[p.Acts[i].Room] - tail[i]/1e6   // the longest room first, whole
		keys[5][i] = float64(p.Acts[i].Room)*1e9 - tail[i] // rooms as written
	}
	// Steps that press alike are done room by room: fewer moves for the same days.
	for _, alike := range []float64{place.Day / 2, place.Day, 2 * place.Day} {
		key := make([]float64, len(p.Acts))
		for i := range p.Acts {
			key[i] = math.Floor(-tail[i]/alike)*1e9 + float64(p.Acts[i].Room)*1e4 - tail[i]/1e4
		}
		keys = append(keys, key)
	}
	return keys
}

// tails is the longest way from the start of each activity to the end of the job.
func tails(p *place.Problem, scale float64) []float64 {
	tail := make([]float64, len(p.Acts))
	for _, i := range slices.Backward(p.Order) {
		for _, l := range p.Acts[i].After {
			tail[i] = max(tail[i], float64(l.Lag)+tail[l.On])
		}
		tail[i] += float64(p.Acts[i].Rest) * scale
	}
	return tail
}

func pairTails(p *place.Problem) []float64 {
	tail := make([]float64, len(p.Acts))
	for _, i := range slices.Backward(p.Order) {
		for _, l := range p.Acts[i].After {
			tail[i] = max(tail[i], tail[l.On])
		}
		if len(p.Acts[i].Needs) > 1 {
			tail[i] += float64(p.Acts[i].Rest)
		}
	}
	return tail
}
