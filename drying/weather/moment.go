package weather

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
)

// moment is a date and time that may be read in two ways, with the day before the
// month or behind it. The zero time stands for a date that does not exist.
type moment struct{ dayFirst, monthFirst time.Time }

var (
	yearFirst = regexp.MustCompile(`\b(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:T|\b)`)
	yearLast  = regexp.MustCompile(`\b(\d{1,2})([-/.])(\d{1,2})[-/.](\d{4}|\d{2})(?:T|\b)`)
	clockText = regexp.MustCompile(`^(\d{1,2}):(\d{2})(?::(\d{2})(?:[.,]\d{1,9})?)? ?(AM|PM)?(?: ?(Z|UTC|GMT|[-+]\d{2}:?\d{2}))?$`)
	halfDays  = strings.NewReplacer("A.M.", "AM", "P.M.", "PM", "\u00a0", " ", "\u202f", " ")
)

// moments are what the dates of a file have shown besides the times.
type moments struct {
	zone  place // of the first time with a zone
	short place // of the first year of two digits
}

// read reads a date with a time of day: 2027-03-08T06:00, 08.03.2027 06:00:30,
// 6:00 AM 03/08/2027. A date parted by points has the day first; one parted by
// strokes or dashes with the year last may have either.
func (m *moments) read(c cell) (moment, bool) {
	text := strings.TrimSpace(halfDays.Replace(strings.ToUpper(c.text)))
	found, swap := yearFirst.FindStringSubmatchIndex(text), false
	var y, a, b string
	if found != nil {
		y, b, a = text[found[2]:found[3]], text[found[4]:found[5]], text[found[6]:found[7]]
	} else if found = yearLast.FindStringSubmatchIndex(text); found != nil {
		a, b, y = text[found[2]:found[3]], text[found[6]:found[7]], text[found[8]:found[9]]
		swap = text[found[4]:found[5]] != "."
	} else {
		return moment{}, false
	}
	rest := strings.Trim(text[:found[0]]+" "+text[found[1]:], " ,")
	clock := clockText.FindStringSubmatch(rest)
	if clock == nil {
		return moment{}, false
	}
	spent, ok := sinceMidnight(clock)
	if !ok {
		return moment{}, false
	}
	year := whole(y)
	if len(y) == 2 {
		year += 2000
	}
	at := moment{dayFirst: date(year, whole(b), whole(a), spent)}
	at.monthFirst = at.dayFirst
	if swap {
		at.monthFirst = date(year, whole(a), whole(b), spent)
	}
	if at.dayFirst.IsZero() && at.monthFirst.IsZero() {
		return moment{}, false
	}
	if len(y) == 2 && m.short == (place{}) {
		m.short = c.at
	}
	if clock[5] != "" && m.zone == (place{}) {
		m.zone = c.at
	}
	return at, true
}

// sinceMidnight is the time of day of a matched clock; 24:00 ends a day.
func sinceMidnight(clock []string) (time.Duration, bool) {
	h, m, s := whole(clock[1]), whole(clock[2]), whole(clock[3])
	if clock[4] != "" {
		if h < 1 || h > 12 {
			return 0, false
		}
		h %= 12
		if clock[4] == "PM" {
			h += 12
		}
	}
	spent := time.Duration(h)*time.Hour + time.Duration(m)*time.Minute + time.Duration(s)*time.Second
	return spent, m < 60 && s < 60 && spent <= 24*time.Hour
}

// whole reads digits a pattern has found, few enough for an int; none are 0.
func whole(digits string) int {
	n, _ := strconv.Atoi(digits)
	return n
}

// date is the zero time where there is no such day.
func date(year, month, day int, spent time.Duration) time.Time {
	t := time.Date(year, time.Month(month), day, 0, 0, 0, 0, time.UTC)
	if year < 1 || t.Month() != time.Month(month) || t.Day() != day {
		return time.Time{}
	}
	return t.Add(spent)
}

// Bounds of a log that runs on without a break, by which the order of day and month
// is told: read the wrong way, one day is followed by a day a month later.
const (
	runsOn   = 6 * time.Hour
	leapsFar = 20 * 24 * time.Hour
)

// settle says by all dates of a file whether the day comes first. It reports a file
// that cannot be told, or that has both.
func (r *reader) settle(rows []row) (dayFirst, ok bool) {
	var dayOnly, monthOnly, open place
	for _, w := range rows {
		switch {
		case w.when.monthFirst.IsZero():
			dayOnly = first(dayOnly, w.at)
		case w.when.dayFirst.IsZero():
			monthOnly = first(monthOnly, w.at)
		case !w.when.dayFirst.Equal(w.when.monthFirst):
			open = first(open, w.at)
		}
	}
	none := place{}
	const do = "write the dates as 2027-03-08"
	switch {
	case dayOnly != none && monthOnly != none:
		r.wrong(lower(dayOnly, monthOnly), "some dates of the file have the day first and others the month, this one against an earlier one", do)
		return false, false
	case dayOnly != none || monthOnly != none || open == none:
		return monthOnly == none, true
	}
	byDay, byMonth := widest(rows, true), widest(rows, false)
	switch {
	case byDay <= runsOn && byMonth >= leapsFar:
		r.note(open, "dates are read with the day first, because the log then runs on without a break", do+" if that is wrong")
		return true, true
	case byMonth <= runsOn && byDay >= leapsFar:
		r.note(open, "dates are read with the month first, because the log then runs on without a break", do+" if that is wrong")
		return false, true
	}
	r.wrong(open, "nothing in the file tells whether the day or the month comes first", do+", or export more days")
	return false, false
}

// widest is the longest time between readings that follow each other.
func widest(rows []row, dayFirst bool) time.Duration {
	times := make([]time.Time, len(rows))
	for i, w := range rows {
		times[i] = w.when.taken(dayFirst)
	}
	slices.SortFunc(times, time.Time.Compare)
	var gap time.Duration
	for i := 1; i < len(times); i++ {
		gap = max(gap, times[i].Sub(times[i-1]))
	}
	return gap
}

func (m moment) taken(dayFirst bool) time.Time {
	if dayFirst {
		return m.dayFirst
	}
	return m.monthFirst
}

// first is a place that was found already, or the one found now.
func first(found, now place) place {
	if found != (place{}) {
		return found
	}
	return now
}

// lower is the place further down.
func lower(a, b place) place {
	if a.line > b.line {
		return a
	}
	return b
}
