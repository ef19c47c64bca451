// Package check looks at what planners made and says what is wrong with it: schedules of
// schedule/project, plans of schedule/solve, whole programmes. It shares no code with any
// planner, reckons everything anew in the plainest way, and serves tests and benches only.
package check

import (
	"fmt"

	"scumble/schedule/project"
)

// list collects what is wrong.
type list []string

func (l *list) fault(format string, args ...any) { *l = append(*l, fmt.Sprintf(format, args...)) }

// Project looks at a schedule of a project: starts, precedence, lags, capacities and the makespan.
func Project(p *project.Project, start []int, makespan int) []string {
	var found list
	if len(start) != len(p.Time) {
		found.fault("%d starts for %d activities", len(start), len(p.Time))
		return found
	}
	end := 0
	for i, s := range start {
		end = max(end, s+p.Time[i])
		if s < 0 {
			found.fault("activity %d begins at %d, before the project", i, s)
		}
		for _, k := range p.Then[i] {
			if start[k] < s+p.Time[i] {
				found.fault("activity %d begins at %d, before %d ends at %d", k, start[k], i, s+p.Time[i])
			}
		}
	}
	for _, l := range p.Lags {
		if start[l.To]-start[l.From] < l.Least {
			found.fault("activity %d begins %d after %d, and %d is the least", l.To, start[l.To]-start[l.From], l.From, l.Least)
		}
	}
	if end != makespan {
		found.fault("it ends at %d and not at %d", end, makespan)
	}
	for _, t := range start { // use grows at starts only
		for r, c := range p.Capacity {
			used := 0
			for i, s := range start {
				if s <= t && t < s+p.Time[i] {
					used += p.Needs[i][r]
				}
			}
			if used > c {
				found.fault("resource %d is used %d times of %d at %d", r, used, c, t)
			}
		}
	}
	return found
}
