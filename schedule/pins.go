package schedule

import (
	"fmt"
	"slices"
	"strings"

	"scumble/job"
	"scumble/schedule/place"
	"scumble/survey"
)

// pins ties steps to days and to each other as the job asks. A pin for a step the
// job does not have is said and left out.
func (n *network) pins(s *survey.Survey, pins []job.Pin) {
	for i := range pins {
		p, path := &pins[i], fmt.Sprintf("crew.pins[%d]", i)
		step, ok := n.named(s, path, p.Step, "pin")
		if !ok {
			continue
		}
		if p.Day != "" {
			number, _ := n.dayNumber(p.Day, path+".day")
			if number >= century {
				n.fault("%s.day: %s is a century after the start: correct the date", path, p.Day)
				continue
			}
			n.Acts[step].From = max(n.Acts[step].From, number*day)
		}
		if p.After == "" {
			continue
		}
		first, ok := n.named(s, path, p.After, "pin")
		switch {
		case !ok:
		case first == step:
			n.fault("%s: %s cannot come after itself: name another step", path, n.inWords(step))
		case n.comesAfter(first, step):
			n.fault("%s: %s cannot come after %s, which waits for it: take the pin out, or name another step", path, n.inWords(step), n.inWords(first))
		default:
			n.follow(first, step)
		}
	}
}

// named finds a step that a pin, an entry of the diary or an agreed day names; what says which.
func (n *network) named(s *survey.Survey, path, id, what string) (int, bool) {
	if i, ok := n.byID[id]; ok {
		return i, true
	}
	where, rule, _ := strings.Cut(id, "#")
	w := job.Warning{Path: path, Name: where, What: fmt.Sprintf("%s names the step %q, which the job does not have; the programme leaves the %s out.", path, id, what), Do: fmt.Sprintf("Take the %s out, or name another step.", what)}
	if at, ok := n.walls[where]; ok {
		w.Path = at.wall.Path
	} else if r := slices.IndexFunc(s.Rooms, func(r survey.Room) bool { return r.Name == where }); r >= 0 {
		w.Path = s.Rooms[r].Path
	} else {
		where = ""
	}
	var rules []string
	for k := range n.planned {
		if there, own, _ := strings.Cut(n.planned[k].step.ID, "#"); there == where {
			rules = append(rules, own)
		}
	}
	if len(rules) > 0 {
		w.Do = fmt.Sprintf("Take the %s out, or write one of %s in the place of %s.", what, strings.Join(rules, ", "), rule)
	}
	n.warn = append(n.warn, w)
	return 0, false
}

// comesAfter reports whether an activity waits for another, or for something that does.
func (n *network) comesAfter(i, other int) bool {
	seen := make([]bool, len(n.Acts))
	var waits func(i int) bool
	waits = func(i int) bool {
		seen[i] = true
		return slices.ContainsFunc(n.Acts[i].Before, func(l place.Link) bool {
			return l.On == other || !seen[l.On] && waits(l.On)
		})
	}
	return waits(i)
}

// inWords names a step by what is done and where.
func (n *network) inWords(i int) string {
	st := n.planned[i].step
	where := st.Face
	if where == "" {
		where = st.Room
	}
	return fmt.Sprintf("%s (%s)", st.Title, where)
}
