package published

import (
	"fmt"

	"scumble/schedule/project"
)

// check looks at a schedule anew, without the solver.
func check(p *project.Project, start []int, makespan int) (faults []string) {
	end := 0
	for i, s := range start {
		end = max(end, s+p.Time[i])
		if s < 0 {
			faults = append(faults, fmt.Sprintf("activity %d begins before the project", i))
		}
		for _, k := range p.Then[i] {
			if start[k] < s+p.Time[i] {
				faults = append(faults, fmt.Sprintf("activity %d begins before %d ends", k, i))
			}
		}
	}
	for _, l := range p.Lags {
		if start[l.To]-start[l.From] < l.Least {
			faults = append(faults, fmt.Sprintf("activity %d begins %d after %d, and %d is the least", l.To, start[l.To]-start[l.From], l.From, l.Least))
		}
	}
	if end != makespan {
		faults = append(faults, fmt.Sprintf("it ends at %d and not at %d", end, makespan))
	}
	for t := range end {
		for r, c := range p.Capacity {
			used := 0
			for i, s := range start {
				if s <= t && t < s+p.Time[i] {
					used += p.Needs[i][r]
				}
			}
			if used > c {
				faults = append(faults, fmt.Sprintf("resource %d is used %d times of %d at %d", r, used, c, t))
			}
		}
	}
	return faults
}
