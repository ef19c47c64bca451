package schedule

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"scumble/job"
)

const (
	day       = 24 * 60 // minutes
	lastDay   = 36500   // no programme runs for a century
	goodStart = 15      // minutes: nobody starts a step for less than this before a break
)

// calendar is when the site works. It knows two clocks: site minutes, which run
// day and night from midnight of the first day, and work minutes, which count
// only working time. Nights, breaks and closed days have no work minutes, so
// that work is contiguous there, while drying is contiguous in site minutes.
type calendar struct {
	first  time.Time
	spans  []job.Span // ascending, touching ones joined
	before []int      // work minutes of the day before each span, and of the whole day
	length int        // work minutes of a day
	weekly [7]bool
	closed map[int]bool
	open   []int // by count of open days: day number
	next   []int // by day number: count of the first open day not before it
}

var weekdays = map[string]time.Weekday{"sun": 0, "mon": 1, "tue": 2, "wed": 3, "thu": 4, "fri": 5, "sat": 6}

func parseDate(d job.Date) (time.Time, error) { return time.Parse(time.DateOnly, string(d)) }

// newCalendar reads the hours of the crew. Everything wrong with them is in the list.
func newCalendar(c *job.Crew) (*calendar, []string) {
	var faults []string
	k := &calendar{closed: map[int]bool{}}
	first, err := parseDate(c.Start)
	if err != nil {
		faults = append(faults, fmt.Sprintf("crew.start: %q is not a date: write it as 2027-03-08", c.Start))
	}
	k.first = first
	days := 0
	for _, d := range c.Days {
		w, ok := weekdays[strings.ToLower(d[:min(3, len(d))])]
		if !ok {
			faults = append(faults, fmt.Sprintf("crew.days: %q is not a day of the week: write Mon to Sun", d))
			continue
		}
		k.weekly[w] = true
		days++
	}
	if days == 0 {
		faults = append(faults, "crew.days: no working day is named: give at least one, such as Mon")
	}
	spans := slices.Clone(c.Hours)
	slices.SortFunc(spans, func(a, b job.Span) int { return int(a.From - b.From) })
	for _, s := range spans {
		if s.From < 0 || s.To > day || s.From >= s.To {
			faults = append(faults, fmt.Sprintf("crew.hours: %s to %s is not a piece of a day: give the earlier time first", clockWords(int(s.From)), clockWords(int(s.To))))
			continue
		}
		if n := len(k.spans); n > 0 && s.From <= k.spans[n-1].To {
			k.spans[n-1].To = max(k.spans[n-1].To, s.To)
			continue
		}
		k.spans = append(k.spans, s)
	}
	if len(k.spans) == 0 {
		faults = append(faults, "crew.hours: no working hours are given: write them as 08:00-12:00")
	}
	for _, s := range k.spans {
		k.before = append(k.before, k.length)
		k.length += int(s.To - s.From)
	}
	k.before = append(k.before, k.length)
	for _, d := range c.Closed {
		if n, ok := k.dayNumber(d, "crew.closed", &faults); ok {
			k.closed[n] = true
		}
	}
	return k, faults
}

// dayNumber counts a date from the first day of the crew.
func (k *calendar) dayNumber(d job.Date, path string, faults *[]string) (int, bool) {
	t, err := parseDate(d)
	if err != nil {
		*faults = append(*faults, fmt.Sprintf("%s: %q is not a date: write it as 2027-03-08", path, d))
		return 0, false
	}
	n := int(t.Sub(k.first).Hours() / 24)
	return n, n >= 0 && n < lastDay
}

// extend makes the tables reach the given day number.
func (k *calendar) extend(to int) {
	weekday := int(k.first.Weekday())
	for n := len(k.next); n <= to; n++ {
		k.next = append(k.next, len(k.open))
		if k.weekly[(weekday+n)%7] && !k.closed[n] {
			k.open = append(k.open, n)
		}
	}
}

// dayOf is the day number of an open day given by its count.
func (k *calendar) dayOf(count int) int {
	for len(k.open) <= count {
		k.extend(len(k.next) + 60)
	}
	return k.open[count]
}

// span is the index of the span in which the work minute of a day lies, counting
// a span's own start to it.
func (k *calendar) span(offset int) int {
	i := 0
	for offset >= k.before[i+1] {
		i++
	}
	return i
}

// begins is the site minute at which the work minute w begins: after a break,
// at the end of the break.
func (k *calendar) begins(w int) int {
	offset := w % k.length
	i := k.span(offset)
	return k.dayOf(w/k.length)*day + int(k.spans[i].From) + offset - k.before[i]
}

// ends is the site minute at which work up to w has ended: before a break, at
// the start of the break.
func (k *calendar) ends(w int) int {
	if w == 0 {
		return k.begins(0)
	}
	return k.begins(w-1) + 1
}

// from is the first work minute that begins at site minute c or later.
func (k *calendar) from(c int) int {
	c = max(c, 0)
	n, minute := c/day, c%day
	k.extend(n + 1)
	count := k.next[n]
	if k.dayOf(count) != n {
		return count * k.length
	}
	for i, s := range k.spans {
		if minute < int(s.To) {
			return count*k.length + k.before[i] + max(0, minute-int(s.From))
		}
	}
	return (count + 1) * k.length
}

// upTo is the last work minute that has ended at site minute c.
func (k *calendar) upTo(c int) int {
	w := k.from(c)
	for w > 0 && k.ends(w) > c {
		w--
	}
	return w
}

func (k *calendar) time(c int) time.Time { return k.first.Add(time.Duration(c) * time.Minute) }

// longest is the longest span in minutes.
func (k *calendar) longest() int {
	most := 0
	for _, s := range k.spans {
		most = max(most, int(s.To-s.From))
	}
	return most
}

// stretch is the length of the working day with its breaks, in minutes.
func (k *calendar) stretch() int {
	return int(k.spans[len(k.spans)-1].To - k.spans[0].From)
}

func clockWords(m int) string { return fmt.Sprintf("%02d:%02d", m/60, m%60) }
