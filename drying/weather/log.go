package weather

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"scumble/unit"
)

// Bounds of what a sensor in a room or beside a house can show; own choice.
const (
	coldest unit.Temp = -40
	hottest unit.Temp = 60
)

// row is one line of a log while nobody knows yet whether the day of its date comes
// before the month.
type row struct {
	at   place
	when moment
	Reading
}

// ReadLog reads the table a logger of temperature and humidity writes: a column or two
// of date and time, one of temperature, one of humidity and, where there is one, one of
// the temperature of the wall. Commas, semicolons or tabs part the columns, decimals
// follow a point or a comma, and other lines may stand above the headings.
//
// The readings come back by time. All problems come at once, and what could be read
// is returned beside them: lines that could not be read are left out. name is used in
// problems only.
func ReadLog(name string, text []byte) ([]Reading, []Problem) {
	r := &reader{file: name}
	lines := r.lines(text)
	if lines == nil {
		return nil, r.report()
	}
	c, begin := r.find(lines)
	if c == nil {
		return nil, r.report()
	}
	rows := r.rows(c, lines, begin)
	if len(rows) == 0 {
		if !r.failed() {
			r.wrong(place{}, "the log has headings and no readings", "export it again")
		}
		return nil, r.report()
	}
	dayFirst, ok := r.settle(rows)
	if !ok {
		return nil, r.report()
	}
	for i := range rows {
		rows[i].At = rows[i].when.taken(dayFirst)
	}
	rows = r.plausible(c, rows)
	return r.inOrder(rows), r.report()
}

// rows reads the lines from begin on. Humidity is still as the file has it.
func (r *reader) rows(c *columns, lines []string, begin int) []row {
	var rows []row
	var m moments
	for i := begin; i < len(lines); i++ {
		if strings.Trim(lines[i], " \t;,\"") == "" {
			continue
		}
		cells := split(lines[i], i+1, c.separator)
		if i == begin && c.units(cells) {
			continue
		}
		if w, ok := r.row(c, &m, cells); ok {
			rows = append(rows, w)
		}
	}
	if m.zone != (place{}) {
		r.note(m.zone, "times name a zone; they are taken as the clock that wrote them shows", "")
	}
	if m.short != (place{}) {
		r.note(m.short, "years have two digits; they are taken as the last part of the date and of this century", "")
	}
	return rows
}

// units takes in a line of units below the headings.
func (c *columns) units(cells []cell) bool {
	if len(cells) != c.width || cells[c.at[temp]].text == "" {
		return false
	}
	for _, k := range []kind{temp, humidity} {
		if _, ok := figure(cells[c.at[k]].text); ok || strings.ContainsAny(cells[c.at[k]].text, "0123456789") {
			return false
		}
	}
	for k := temp; k < kinds; k++ {
		if c.at[k] >= 0 {
			c.fahrenheit[k] = c.fahrenheit[k] || fahrenheitText.MatchString(cells[c.at[k]].text)
		}
	}
	c.percent = c.percent || strings.Contains(cells[c.at[humidity]].text, "%")
	return strings.ContainsAny(cells[c.at[temp]].text, "CFcf")
}

// row reads one line and reports all that is wrong in it.
func (r *reader) row(c *columns, m *moments, cells []cell) (row, bool) {
	for len(cells) > c.width && cells[len(cells)-1].text == "" {
		cells = cells[:len(cells)-1]
	}
	if len(cells) > c.width {
		r.wrong(cells[c.width].at, fmt.Sprintf("this line has %d cells, the first %d", len(cells), c.width), "part the columns with semicolons when decimals follow a comma")
		return row{}, false
	}
	for len(cells) < c.width {
		cells = append(cells, cell{at: cells[0].at})
	}
	w := row{at: cells[c.when[0]].at}
	at := cells[c.when[0]]
	var fine bool
	if w.when, fine = m.read(at); !fine && len(c.when) > 1 {
		w.when, fine = m.read(cell{at.text + " " + cells[c.when[1]].text, at.at})
		at.text = strings.TrimSpace(at.text + " " + cells[c.when[1]].text)
	}
	if !fine {
		r.wrong(at.at, shown(at.text)+" is no date with a time of day", "write it as 2027-03-08 06:00")
	}
	t, fineTemp := r.figure(cells[c.at[temp]], "temperature", c.fahrenheit[temp])
	h, fineHumidity := r.figure(cells[c.at[humidity]], "humidity", false)
	w.Temp, w.Humidity = unit.Temp(t), unit.Humidity(h)
	if i := c.at[surface]; i >= 0 && cells[i].text != "" {
		if s, ok := r.figure(cells[i], "temperature of the surface", c.fahrenheit[surface]); ok {
			s := unit.Temp(s)
			w.Surface = &s
		}
	}
	return w, fine && fineTemp && fineHumidity
}

var figureText = regexp.MustCompile(`^([-+]?\d{1,9}(?:[.,]\d{0,12})?|[-+]?[.,]\d{1,12}) ?([°º˚]? ?[CcFf]|%.{0,4})?$`)

// figure reads a number with its unit, where it has one; degrees F become C.
func figure(text string) (float64, bool) {
	m := figureText.FindStringSubmatch(strings.Replace(strings.ReplaceAll(text, "\u00a0", " "), "\u2212", "-", 1))
	if m == nil {
		return 0, false
	}
	v, err := strconv.ParseFloat(strings.Replace(m[1], ",", ".", 1), 64)
	if strings.HasSuffix(strings.ToLower(m[2]), "f") {
		v = celsius(v)
	}
	return v, err == nil
}

func celsius(fahrenheit float64) float64 { return (fahrenheit - 32) / 1.8 }

func (r *reader) figure(c cell, what string, fahrenheit bool) (float64, bool) {
	v, ok := figure(c.text)
	switch {
	case c.text == "":
		r.wrong(c.at, "the "+what+" is missing", "this line was left out; fill it in if it is known")
	case !ok:
		r.wrong(c.at, shown(c.text)+" is no "+what, "this line was left out; write a figure such as 20.5")
	case fahrenheit && !strings.ContainsAny(c.text, "CcFf"):
		v = celsius(v)
	}
	return v, ok
}

// plausible makes shares of the humidities and leaves out rows no sensor in order
// can have written.
func (r *reader) plausible(c *columns, rows []row) []row {
	full := unit.Humidity(100)
	if most := slices.MaxFunc(rows, func(a, b row) int { return cmp.Compare(a.Humidity, b.Humidity) }); !c.percent && most.Humidity <= 1 {
		full = 1
		r.note(rows[0].at, "humidities are taken as shares, because none is above 1", "head the column with % if they are per cent")
	}
	kept := rows[:0]
	for _, w := range rows {
		percent := w.Humidity / full * 100
		w.Humidity /= full
		const do = "this line was left out; look after the sensor"
		fine := true
		if w.Temp < coldest || w.Temp > hottest {
			r.wrong(w.at, fmt.Sprintf("a temperature of %.5g C is outside %g to %g C", float64(w.Temp), float64(coldest), float64(hottest)), do)
			fine = false
		}
		if !(w.Humidity > 0 && w.Humidity <= 1) { // bone-dry air has no dew point, and no room has it
			r.wrong(w.at, fmt.Sprintf("a humidity of %.5g %% is not above 0 and up to 100 %%", float64(percent)), do)
			fine = false
		}
		if w.Surface != nil && (*w.Surface < coldest || *w.Surface > hottest) {
			r.wrong(w.at, fmt.Sprintf("a wall of %.5g C is outside %g to %g C", float64(*w.Surface), float64(coldest), float64(hottest)), "it was left out; look after the sensor")
			w.Surface = nil
		}
		if fine {
			kept = append(kept, w)
		}
	}
	return kept
}

// inOrder sorts the rows by time and makes one reading of those of the same time,
// their mean. It does not hang on the order of the lines.
func (r *reader) inOrder(rows []row) []Reading {
	if i := unsorted(rows); i > 0 {
		r.note(rows[i].at, "from here on lines are not in the order of time; they were sorted", "")
	}
	slices.SortFunc(rows, func(a, b row) int {
		return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.Temp, b.Temp), cmp.Compare(a.Humidity, b.Humidity), cmp.Compare(wall(a), wall(b)), cmp.Compare(a.at.line, b.at.line))
	})
	var readings []Reading
	for len(rows) > 0 {
		n := 1
		for n < len(rows) && rows[n].At.Equal(rows[0].At) {
			n++
		}
		if n > 1 {
			last := slices.MaxFunc(rows[:n], func(a, b row) int { return cmp.Compare(a.at.line, b.at.line) })
			r.note(last.at, fmt.Sprintf("%s is there %d times; the mean is taken", rows[0].At.Format("2006-01-02 15:04:05"), n), "when clocks go back, an hour comes twice; else keep one of the lines")
		}
		readings = append(readings, mean(rows[:n]))
		rows = rows[n:]
	}
	return readings
}

// unsorted is the index of the first row that is earlier than the one before, or 0.
func unsorted(rows []row) int {
	for i := 1; i < len(rows); i++ {
		if rows[i].At.Before(rows[i-1].At) {
			return i
		}
	}
	return 0
}

// wall is the temperature of the wall for sorting, with those unknown at the end.
func wall(w row) float64 {
	if w.Surface == nil {
		return math.Inf(1)
	}
	return float64(*w.Surface)
}

func mean(rows []row) Reading {
	first := rows[0].Reading
	if len(rows) == 1 {
		return first
	}
	var t, h, s, walls float64
	for _, w := range rows {
		t += float64(w.Temp)
		h += float64(w.Humidity)
		if w.Surface != nil {
			s += float64(*w.Surface)
			walls++
		}
	}
	n := float64(len(rows))
	// Rounding may lift the mean of full humidities a hair above 1.
	out := Reading{At: first.At, Temp: unit.Temp(t / n), Humidity: unit.Humidity(min(h/n, 1))}
	if walls > 0 {
		s := unit.Temp(s / walls)
		out.Surface = &s
	}
	return out
}
