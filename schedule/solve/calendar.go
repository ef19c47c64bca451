package solve

const (
	day       = 24 * 60 // minutes
	lastDay   = 36500   // no programme runs for a century
	goodStart = 15      // minutes: nobody starts for less than this before a break
	grain     = 5       // minutes: work starts at times people can read off a clock
)

// Span is a piece of the working day in minutes after midnight.
type Span struct{ From, To int }

// Calendar is when the site works. It knows two clocks: site minutes, which run
// day and night from midnight of the first day, and work minutes, which count
// only working time. Nights, breaks and closed days have no work minutes, so
// that work is contiguous there, while drying is contiguous in site minutes.
type Calendar struct {
	spans   []Span
	before  []int // work minutes of the day before each span, and of the whole day
	length  int   // work minutes of a day
	weekday int   // of the first day, Sunday = 0
	weekly  [7]bool
	closed  map[int]bool
	open    []int // by count of open days: day number
	next    []int // by day number: count of the first open day not before it
}

// NewCalendar makes a calendar from spans that ascend and do not touch, the
// weekday of day 0, the weekdays worked and the day numbers that are closed.
// There must be at least one span and one weekday.
func NewCalendar(spans []Span, weekday int, weekly [7]bool, closed map[int]bool) *Calendar {
	c := &Calendar{spans: spans, weekday: weekday, weekly: weekly, closed: closed}
	for _, s := range spans {
		c.before = append(c.before, c.length)
		c.length += s.To - s.From
	}
	c.before = append(c.before, c.length)
	return c
}

// extend makes the tables reach the given day number.
func (c *Calendar) extend(to int) {
	for n := len(c.next); n <= to; n++ {
		c.next = append(c.next, len(c.open))
		if c.weekly[(c.weekday+n)%7] && !c.closed[n] {
			c.open = append(c.open, n)
		}
	}
}

// dayOf is the day number of an open day given by its count.
func (c *Calendar) dayOf(count int) int {
	for len(c.open) <= count {
		c.extend(len(c.next) + 60)
	}
	return c.open[count]
}

// Day is the number of an open day given by its count.
func (c *Calendar) Day(count int) int { return c.dayOf(count) }

// Count is how many open days lie before a day.
func (c *Calendar) Count(number int) int {
	c.extend(number + 1)
	return c.next[number]
}

// Mark sets the mask at the count of an open day, if the site is open on the day
// of that number.
func (c *Calendar) Mark(mask []bool, number int) []bool {
	c.extend(number + 1)
	count := c.next[number]
	if c.dayOf(count) != number {
		return mask
	}
	for len(mask) <= count {
		mask = append(mask, false)
	}
	mask[count] = true
	return mask
}

// span is the index of the span in which the work minute of a day lies, counting
// a span's own start to it.
func (c *Calendar) span(offset int) int {
	i := 0
	for offset >= c.before[i+1] {
		i++
	}
	return i
}

// begins is the site minute at which the work minute w begins: after a break,
// at the end of the break.
func (c *Calendar) begins(w int) int {
	offset := w % c.length
	i := c.span(offset)
	return c.dayOf(w/c.length)*day + c.spans[i].From + offset - c.before[i]
}

// ends is the site minute at which work up to w has ended: before a break, at
// the start of the break.
func (c *Calendar) ends(w int) int {
	if w == 0 {
		return c.begins(0)
	}
	return c.begins(w-1) + 1
}

// from is the first work minute that begins at site minute at or later.
func (c *Calendar) from(at int) int {
	at = max(at, 0)
	n, minute := at/day, at%day
	c.extend(n + 1)
	count := c.next[n]
	if c.dayOf(count) != n {
		return count * c.length
	}
	for i, s := range c.spans {
		if minute < s.To {
			return count*c.length + c.before[i] + max(0, minute-s.From)
		}
	}
	return (count + 1) * c.length
}

// upTo is the last work minute that has ended at site minute at.
func (c *Calendar) upTo(at int) int {
	w := c.from(at)
	for w > 0 && c.ends(w) > at {
		w--
	}
	return w
}

// worked is the working time between two site minutes.
func (c *Calendar) worked(from, to int) (list []Span) {
	for n := from / day; n*day < to; n++ {
		c.extend(n + 1)
		if c.dayOf(c.next[n]) != n {
			continue
		}
		for _, s := range c.spans {
			if open, shut := max(from, n*day+s.From), min(to, n*day+s.To); open < shut {
				list = append(list, Span{open, shut})
			}
		}
	}
	return list
}

// Length is the work minutes of a day.
func (c *Calendar) Length() int { return c.length }

// Longest is the longest span in minutes.
func (c *Calendar) Longest() int {
	most := 0
	for _, s := range c.spans {
		most = max(most, s.To-s.From)
	}
	return most
}

// stretch is the length of the working day with its breaks, in minutes.
func (c *Calendar) stretch() int { return c.spans[len(c.spans)-1].To - c.spans[0].From }

// tidy rounds a site minute up to a time that can be read off a clock.
func tidy(at int) int { return (at + grain - 1) / grain * grain }

// InWork is a wait and a latest start counted in the hours of the site and not on the clock, as
// a link wants them: lag is over once so much could have been worked, and until lasts as long as
// no more could.
func (c *Calendar) InWork(lag, until int) func(end int) (int, int) {
	return func(end int) (int, int) {
		w := c.upTo(end)
		from := 0
		if lag > 0 {
			from = c.ends(w+lag) - end
		}
		if until == 0 {
			return from, 0
		}
		return from, c.begins(w+until) - end
	}
}
