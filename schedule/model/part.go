package model

import "scumble/schedule/place"

// Part is a problem with some of its activities alone, still to be prepared, and which of the
// whole they are. What waits for others, or may not touch them, no longer does.
func Part(p *place.Problem, keep func(i int) bool) (q *place.Problem, of []int) {
	at := make([]int, len(p.Acts))
	for i := range p.Acts {
		if at[i] = -1; keep(i) {
			at[i], of = len(of), append(of, i)
		}
	}
	alone := *p
	alone.Acts = nil
	for _, i := range of {
		a := p.Acts[i]
		a.Before, a.Wet = nil, nil
		for _, l := range p.Acts[i].Before {
			if l.On = at[l.On]; l.On >= 0 {
				a.Before = append(a.Before, l)
			}
		}
		for _, k := range p.Acts[i].Wet {
			if at[k] >= 0 {
				a.Wet = append(a.Wet, at[k])
			}
		}
		alone.Acts = append(alone.Acts, a)
	}
	return &alone, of
}
