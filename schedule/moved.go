package schedule

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"scumble/schedule/place"
)

// Proved reports whether no programme can need fewer site days.
func (p *Programme) Proved() bool { return p.Bound >= p.SiteDays }

// Verdict says how good the programme is, in words for page, paper and terminal. What it
// rests on is BoundBy.
func (p *Programme) Verdict() string {
	switch {
	case p.SiteDays == 0:
		return "there is no work"
	case p.Proved() && !p.Within.IsZero():
		return fmt.Sprintf("proved: no plan that ends by %s needs fewer than %s", p.Within.Format("Monday 2 January"), count(p.SiteDays, "site day", "site days"))
	case p.Proved():
		return "proved: no plan needs fewer than " + count(p.SiteDays, "site day", "site days")
	}
	return fmt.Sprintf("within %s of the best possible", count(p.SiteDays-p.Bound, "day", "days"))
}

// moved lists the steps that do not begin on the day agreed.
func (r *result) moved() (list []Move) {
	var at []int
	for i := range r.Acts {
		if r.hasMoved(i) {
			at = append(at, i)
		}
	}
	slices.SortStableFunc(at, func(x, y int) int {
		return cmp.Or(r.promised[x].Compare(r.promised[y]), r.Slots[x].Begin-r.Slots[y].Begin)
	})
	for _, i := range at {
		list = append(list, Move{Step: r.planned[i].step.ID, From: r.promised[i], To: r.begins(i), Why: r.whyMoved(i)})
	}
	return list
}

// begins is the day on which an activity begins.
func (r *result) begins(i int) time.Time { return r.at(r.Slots[i].Begin).Truncate(24 * time.Hour) }

// hasMoved leaves out what is done and nobody knows when.
func (r *result) hasMoved(i int) bool {
	agreed, ok := r.promised[i]
	return ok && !r.supposed[i] && !agreed.Equal(r.begins(i))
}

// whyMoved says what holds a moved step, and what that goes back to.
func (r *result) whyMoved(i int) string {
	if r.Acts[i].Fact != nil {
		return "begun that day, by the diary"
	}
	words := r.waited(i)
	if r.promised[i].Before(r.now.Truncate(24 * time.Hour)) {
		words = strings.TrimSuffix("not begun on its day; "+words, "; ")
	}
	root := r.root(i)
	switch {
	case root < 0 && words == "":
		return "nothing holds it any longer"
	case root < 0:
		return words
	case words == "":
		return r.rootWords(root)
	}
	return words + "; " + r.rootWords(root)
}

// root goes back from what held an activity to the first thing that tells why it moved: the
// earliest that is itself moved, or is in work; where there is none, what it must come after;
// where that did not move either, what was done last before it. -1: nothing.
func (r *result) root(i int) int {
	tells := func(k int) bool { return r.hasMoved(k) || r.Acts[k].Fact != nil && !r.done(k) }
	root, last := -1, -1
	for at, left := r.cause(i), len(r.Acts); at >= 0 && left > 0; at, left = r.cause(at), left-1 {
		if tells(at) {
			root = at
		}
		if last = at; r.Acts[at].Fact != nil {
			break
		}
	}
	for at := i; root < 0; {
		next := -1
		for _, l := range r.Acts[at].Before {
			if next < 0 || r.Slots[l.On].End > r.Slots[next].End {
				next = l.On
			}
		}
		if at = next; at < 0 {
			break
		}
		if tells(at) {
			root = at
		}
	}
	if root < 0 && last >= 0 && r.begins(i).After(r.promised[i]) && r.Acts[last].Fact != nil {
		root = last
	}
	return root
}

// cause is the activity that held another back last; -1 where it was none.
func (r *result) cause(i int) int {
	s := &r.Slots[i]
	switch s.Why.By {
	case place.ByWait:
		return r.Acts[i].Before[s.Why.Who].On
	case place.ByWet:
		return s.Why.Who
	case place.ByPerson, place.ByKitUse:
		last, end := -1, -1
		for k := range r.Slots {
			o := &r.Slots[k]
			had := slices.Contains(o.People, s.Why.Who)
			if s.Why.By == place.ByKitUse {
				had = r.Acts[k].Kit == s.Why.Who && o.Unit == s.Unit
			}
			if k != i && had && o.End <= s.Begin && o.End > end {
				last, end = k, o.End
			}
		}
		return last
	}
	return -1
}

// rootWords says what a move goes back to.
func (r *result) rootWords(i int) string {
	s := &r.Slots[i]
	words := coat(&r.planned[i])
	if where := cmp.Or(r.planned[i].step.Face, r.planned[i].step.Room); where != "" {
		words += " on " + where
	}
	if r.planned[i].face == nil {
		words = r.inWords(i)
	}
	switch {
	case r.done(i):
		words += " ended " + r.at(s.End).Format("Mon 2 January, 15:04")
	case r.Acts[i].Fact != nil:
		words += " is in work until " + r.at(s.End).Format("Mon 2 January, 15:04")
	default:
		words += " begins " + r.at(s.Begin).Format("Mon 2 January, 15:04")
	}
	if r.hasMoved(i) {
		begun := ""
		if r.Acts[i].Fact != nil {
			begun = "begun "
		}
		late := int(r.begins(i).Sub(r.promised[i]).Hours() / 24)
		if late > 0 {
			words += ", " + begun + count(late, "day", "days") + " later than agreed"
		} else {
			words += ", " + begun + count(-late, "day", "days") + " earlier than agreed"
		}
	}
	return words
}
