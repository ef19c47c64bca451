package schedule

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"scumble/job"
	"scumble/schedule/place"
)

const (
	day     = 24 * 60 // minutes
	century = 36500   // days
)

var weekdays = map[string]time.Weekday{"sun": 0, "mon": 1, "tue": 2, "wed": 3, "thu": 4, "fri": 5, "sat": 6}

// hours reads when the crew works: what a calendar is made from, and the first
// day. Everything wrong with it goes to the faults of the network.
func (n *network) hours(c *job.Crew) {
	first, err := time.Parse(time.DateOnly, string(c.Start))
	if err != nil {
		n.fault("crew.start: %q is not a date: write it as 2027-03-08", c.Start)
	}
	n.first = first
	var weekly [7]bool
	for _, d := range c.Days {
		if w, ok := weekdays[strings.ToLower(d[:min(3, len(d))])]; ok {
			weekly[w] = true
		} else {
			n.fault("crew.days: %q is not a day of the week: write Mon to Sun", d)
		}
	}
	if !slices.Contains(weekly[:], true) {
		n.fault("crew.days: no working day is named: give at least one, such as Mon")
	}
	var spans []place.Span
	sorted := slices.Clone(c.Hours)
	slices.SortFunc(sorted, func(a, b job.Span) int { return int(a.From - b.From) })
	for _, s := range sorted {
		if s.From < 0 || s.To > day || s.From >= s.To {
			n.fault("crew.hours: %s to %s is not a piece of a day: give the earlier time first", clockWords(s.From), clockWords(s.To))
			continue
		}
		if k := len(spans); k > 0 && int(s.From) <= spans[k-1].To {
			spans[k-1].To = max(spans[k-1].To, int(s.To))
			continue
		}
		spans = append(spans, place.Span{From: int(s.From), To: int(s.To)})
	}
	if len(spans) == 0 {
		n.fault("crew.hours: no working hours are given: write them as 08:00-12:00")
	}
	closed := map[int]bool{}
	for _, d := range c.Closed {
		if number, ok := n.dayNumber(d, "crew.closed"); ok {
			closed[number] = true
		}
	}
	n.spans = spans
	n.opens = func(number int) bool {
		return weekly[(int(first.Weekday())+number)%7] && !closed[number]
	}
	n.Calendar = place.NewCalendar(spans, int(first.Weekday()), weekly, closed)
}

// dayNumber counts a date from the first day; false when it is of no account.
func (n *network) dayNumber(d job.Date, path string) (int, bool) {
	t, err := time.Parse(time.DateOnly, string(d))
	if err != nil {
		n.fault("%s: %q is not a date: write it as 2027-03-08", path, d)
		return 0, false
	}
	number := int(t.Sub(n.first).Hours() / 24)
	return number, number >= 0 && number < century
}

// absences marks the open days on which people are off and rooms are shut.
func (n *network) absences(j *job.Job) {
	for p := range n.people {
		for _, d := range n.people[p].Off {
			if number, ok := n.dayNumber(d, fmt.Sprintf("crew.people[%d].off", p)); ok {
				n.People[p].Off = n.Calendar.Mark(n.People[p].Off, number)
			}
		}
	}
	n.Shut = make([][]bool, len(n.rooms))
	for r := range j.Rooms {
		room := &j.Rooms[r]
		i, used := n.roomAt[room.Name]
		if !used {
			continue
		}
		for _, d := range room.Closes {
			if number, ok := n.dayNumber(d, fmt.Sprintf("rooms[%d].shut", r)); ok {
				n.Shut[i] = n.Calendar.Mark(n.Shut[i], number)
			}
		}
		if room.From == "" {
			continue
		}
		number, ok := n.dayNumber(room.From, fmt.Sprintf("rooms[%d].from", r))
		if number >= century {
			n.fault("rooms[%d].from: %s is a century after the start: correct the date", r, room.From)
		}
		for d := 0; ok && d < number; d++ {
			n.Shut[i] = n.Calendar.Mark(n.Shut[i], d)
		}
	}
}

// at is a site minute as wall-clock time.
func (n *network) at(minute int) time.Time { return n.first.Add(time.Duration(minute) * time.Minute) }

func clockWords(c job.Clock) string { return fmt.Sprintf("%02d:%02d", int(c)/60, int(c)%60) }
