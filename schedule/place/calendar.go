package place

const (
	Day       = 24 * 60 // minutes
	lastDay   = 36500   // no programme runs for a century
	GoodStart = 15      // minutes: nobody starts for less than this before a break, or comes back for less (own default)
	Grain     = 5       // minutes: work starts at times people can read off a clock
)

// Span is a piece of the working day in minutes after midnight.
type Span struct{ From, To int }

// Calendar is when the site works. It knows two clocks: site minutes, which run
// day and night from midnight of the first day, and work minutes, which count
// only working time. Nights, breaks and closed days have no work minutes, so
// that work is contiguous there, while drying is contiguous in site minutes.
type Calendar struct {
	Spans   []Span
	Before  []int // work minutes of the day before each span, and of the whole day
	Length  int   // work minutes of a day
	Weekday int   // of the first day, Sunday = 0
	Weekly  [7]bool
	Closed  map[int]bool
	open    []int // by count of open days: day number
	Next    []int // by day number: count of the first open day not before it
}

// NewCalendar makes a calendar from spans that ascend and do not touch, the
// weekday of day 0, the weekdays worked and the day numbers that are closed.
// There must be at least one span and one weekday.
func NewCalendar(spans []Span, weekday int, weekly [7]bool, closed map[int]bool) *Calendar {
	c := &Calendar{Spans: spans, Weekday: weekday, Weekly: weekly, Closed: closed}
	for _, s := range spans {
		c.Before = append(c.Before, c.Length)
		c.Length += s.To - s.From
	}
	c.Before = append(c.Before, c.Length)
	return c
}

// Extend makes the tables reach the given day number.
func (c *Calendar) Extend(to int) {
	for n := len(c.Next); n <= to; n++ {
		c.Next = append(c.Next, len(c.open))
		if c.Weekly[(c.Weekday+n)%7] && !c.Closed[n] {
			c.open = append(c.open, n)
		}
	}
}

// DayOf is the day number of an open day given by its count.
func (c *Calendar) DayOf(count int) int {
	for len(c.open) <= count {
		c.Extend(len(c.Next) + 60)
	}
	return c.open[count]
}

// Day is the number of an open day given by its count.
func (c *Calendar) Day(count int) int { return c.DayOf(count) }

// Count is how many open days lie before a day.
func (c *Calendar) Count(number int) int {
	c.Extend(number + 1)
	return c.Next[number]
}

// Mark sets the mask at the count of an open day, if the site is open on the day
// of that number.
func (c *Calendar) Mark(mask []bool, number int) []bool {
	c.Extend(number + 1)
	count := c.Next[number]
	if c.DayOf(count) != number {
		return mask
	}
	for len(mask) <= count {
		mask = append(mask, false)
	}
	mask[count] = true
	return mask
}

// Span is the index of the span in which the work minute of a day lies, counting
// a span's own start to it.
func (c *Calendar) Span(offset int) int {
	i := 0
	for offset >= c.Before[i+1] {
		i++
	}
	return i
}

// Begins is the site minute at which the work minute w begins: after a break,
// at the end of the break.
func (c *Calendar) Begins(w int) int {
	offset := w % c.Length
	i := c.Span(offset)
	return c.DayOf(w/c.Length)*Day + c.Spans[i].From + offset - c.Before[i]
}

// Ends is the site minute at which work up to w has ended: before a break, at
// the start of the break.
func (c *Calendar) Ends(w int) int {
	if w == 0 {
		return c.Begins(0)
	}
	return c.Begins(w-1) + 1
}

// From is the first work minute that begins at site minute at or later.
func (c *Calendar) From(at int) int {
	at = max(at, 0)
	n, minute := at/Day, at%Day
	c.Extend(n + 1)
	count := c.Next[n]
	if c.DayOf(count) != n {
		return count * c.Length
	}
	for i, s := range c.Spans {
		if minute < s.To {
			return count*c.Length + c.Before[i] + max(0, minute-s.From)
		}
	}
	return (count + 1) * c.Length
}

// UpTo is the last work minute that has ended at site minute at.
func (c *Calendar) UpTo(at int) int {
	w := c.From(at)
	for w > 0 && c.Ends(w) > at {
		w--
	}
	return w
}

// Begin is the first minute of the day, from one on, at which an activity that is not longer than any
// span may begin as far as breaks and the night go; it may be found in more than one step.
func (c *Calendar) Begin(a *Activity, offset int) int {
	end := c.Before[c.Span(offset)+1]
	switch {
	case a.Unbroken && offset+a.Rest > end:
		return end
	case a.Unbroken || offset+a.Rest <= end:
		return offset
	}
	need := min(GoodStart, a.Rest)
	if offset+need > end {
		return end
	}
	last := (offset+a.Rest-1)%c.Length + 1
	return offset + max(0, need-(last-c.Before[c.Span(last-1)]))
}

// worked is the working time between two site minutes.
func (c *Calendar) worked(from, to int) (list []Span) {
	for n := from / Day; n*Day < to; n++ {
		c.Extend(n + 1)
		if c.DayOf(c.Next[n]) != n {
			continue
		}
		for _, s := range c.Spans {
			if open, shut := max(from, n*Day+s.From), min(to, n*Day+s.To); open < shut {
				list = append(list, Span{open, shut})
			}
		}
	}
	return list
}

// Longest is the longest span in minutes.
func (c *Calendar) Longest() int {
	most := 0
	for _, s := range c.Spans {
		most = max(most, s.To-s.From)
	}
	return most
}

// Stretch is the length of the working day with its breaks, in minutes.
func (c *Calendar) Stretch() int { return c.Spans[len(c.Spans)-1].To - c.Spans[0].From }

// Tidy rounds a site minute up to a time that can be read off a clock.
func Tidy(at int) int { return (at + Grain - 1) / Grain * Grain }

// InWork is a wait and a latest start counted in the hours of the site and not on the clock, as
// a link wants them: lag is over once so much could have been worked, and until lasts as long as
// no more could.
func (c *Calendar) InWork(lag, until int) func(end int) (int, int) {
	return func(end int) (int, int) {
		w := c.UpTo(end)
		from := 0
		if lag > 0 {
			from = c.Ends(w+lag) - end
		}
		if until == 0 {
			return from, 0
		}
		return from, c.Begins(w+until) - end
	}
}
