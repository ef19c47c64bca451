package schedule

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"scumble/method"
	"scumble/schedule/model"
	"scumble/schedule/place"
)

// beyond is how many open days after the end of a programme are looked at for one that keeps all
// rules (own default).
const beyond = 5

// conflict is the rules that cannot all hold, in words and in the order of the work. It is empty
// where it is not known which.
func (r *result) conflict(stop func() bool) (list []string) {
	last := time.Time{}
	for i := range r.Slots {
		if at := r.at(r.Slots[i].End); at.After(last) {
			last = at
		}
	}
	late := slices.IndexFunc(r.Order, func(i int) bool {
		return slices.ContainsFunc(r.Acts[i].Before, func(l place.Link) bool { return l.Late(r.Slots[l.On].End, r.Slots[i].Begin) })
	})
	if late < 0 {
		return nil
	}
	late = r.Order[late]
	within := r.Calendar.Count(int(last.Sub(r.first).Hours())/24) + beyond
	for _, rule := range model.Contradiction(&r.Problem, late, within, stop) {
		list = append(list, r.ruleWords(rule))
	}
	return list
}

// ruleWords says a rule so that somebody can give it up.
func (r *result) ruleWords(rule model.Rule) string {
	switch rule.By {
	case place.ByWait, place.ByWindow:
		l := r.link(rule)
		end := r.Slots[rule.On].End
		if rule.By == place.ByWait {
			return fmt.Sprintf("%s begins %s after %s ends, or later: it dries.", r.inWords(rule.Act), lasting(l.LagAfter(end)), r.inWords(rule.On))
		}
		return fmt.Sprintf("%s has to begin within %s of the end of %s.", r.inWords(rule.Act), lasting(l.LatestAfter(end)), r.inWords(rule.On))
	case place.ByWet:
		if r.planned[rule.Act].step.Kind == method.Sand || r.planned[rule.On].step.Kind == method.Sand {
			return fmt.Sprintf("%s and %s are in one room: no dust while a coat is wet that stays seen.", r.inWords(rule.Act), r.inWords(rule.On))
		}
		return fmt.Sprintf("%s and %s meet in a corner and may not both be wet.", r.inWords(rule.Act), r.inWords(rule.On))
	case place.ByPin:
		return fmt.Sprintf("%s does not begin before %s.", r.inWords(rule.Act), r.at(r.Acts[rule.Act].From).Format("Monday 2 January"))
	case place.ByRoom:
		return fmt.Sprintf("%s is shut on %s.", r.rooms[rule.On], r.days(r.Shut[rule.On]))
	case place.ByAbsence:
		return fmt.Sprintf("%s is away on %s.", r.people[rule.On].Name, r.days(r.People[rule.On].Off))
	case place.ByPerson:
		return fmt.Sprintf("The crew is %s, in its hours.", count(len(r.people), "person", "people"))
	}
	var kits []string
	for k, kind := range r.kits {
		kits = append(kits, count(r.Kits[k], kind, kind+"s"))
	}
	return "There is no more to stand on than " + strings.Join(kits, " and ") + "."
}

// link is the wait a rule is about; of several the longest, or the soonest latest start.
func (r *result) link(rule model.Rule) (found *place.Link) {
	for k := range r.Acts[rule.Act].Before {
		l := &r.Acts[rule.Act].Before[k]
		if l.On == rule.On && (found == nil || rule.By == place.ByWait && l.Lag > found.Lag || rule.By == place.ByWindow && l.Until > 0) {
			found = l
		}
	}
	return found
}

// days are the dates of open days marked, the first few.
func (r *result) days(marked []bool) string {
	var list []string
	for count, is := range marked {
		if !is {
			continue
		}
		if len(list) == 3 {
			return strings.Join(list, ", ") + " and other days"
		}
		list = append(list, r.at(r.Calendar.Day(count)*day).Format("2 January"))
	}
	return strings.Join(list, ", ")
}
