package weather

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"scumble/drying"
	"scumble/unit"
)

// Year is the outdoor air of a place, hour by hour, in a typical or a real year.
type Year struct {
	City, Region, Country string
	Latitude, Longitude   float64 // degrees, north and east positive
	Zone                  float64 // hours ahead of UTC; the year knows no summer time
	Pressure              float64 // Pa, mean of the year; 0 when the file has none

	leap     bool // it has a 29 February
	temp     []float64
	humidity []float64 // ratio; the first value of both is that of the hour ending at 1:00 on 1 January
}

// Fields of a row of an EnergyPlus weather file, and its own marks and bounds
// (EnergyPlus documentation, Auxiliary Programs, EPW data dictionary): a value at the
// mark or above is missing.
const (
	fieldMonth    = 1
	fieldDay      = 2
	fieldHour     = 3
	fieldTemp     = 6
	fieldDew      = 7
	fieldHumidity = 8
	fieldPressure = 9

	missingTemp     = 99.9 // also of the dew point
	missingHumidity = 999
	missingPressure = 999999

	mostTemp      = 70.0 // C either side of zero
	mostHumidity  = 110.0
	leastPressure = 31000.0
	mostPressure  = 120000.0
)

// longestGap is how many hours in a row may be missing and are drawn straight from
// one side to the other; own choice, a quarter of a day.
const longestGap = 6

// headerLines is how many lines of an EPW file come before its rows.
const headerLines = 8

// ReadEPW reads the hourly weather file of the EnergyPlus program, an open format in
// which the air of thousands of places is published. It takes the dry bulb, the
// humidity (from the dew point where it is missing) and the pressure.
//
// All problems come at once. The year is nil unless they are all notes: a year with
// holes would tell of days that nobody measured. name is used in problems only.
func ReadEPW(name string, text []byte) (*Year, []Problem) {
	r := &reader{file: name}
	lines := r.lines(text)
	if lines == nil {
		return nil, r.report()
	}
	y := &Year{}
	if !r.header(y, lines) {
		return nil, r.report()
	}
	y.temp, y.humidity = unfilled(), unfilled()
	lineOf := r.hours(y, lines)
	if r.failed() {
		return nil, r.report()
	}
	if !y.leap {
		y.temp, y.humidity, lineOf = withoutLeapDay(y.temp), withoutLeapDay(y.humidity), withoutLeapDay(lineOf)
	}
	r.fill(y, lineOf, y.temp, "dry bulb")
	r.fill(y, lineOf, y.humidity, "relative humidity")
	if r.failed() {
		return nil, r.report()
	}
	return y, r.report()
}

// header reads the lines above the rows.
func (r *reader) header(y *Year, lines []string) bool {
	const do = "give the file as it was published, with the ending .epw"
	head := split(lines[0], 1, ',')
	if !strings.EqualFold(head[0].text, "LOCATION") || len(head) < 10 {
		r.wrong(place{1, 1}, "the first line is not LOCATION with city, region, country, source, number, latitude, longitude, zone, height", do)
		return false
	}
	y.City, y.Region, y.Country = head[1].text, head[2].text, head[3].text
	degrees := func(c cell, what string, low, high float64) float64 {
		v, err := strconv.ParseFloat(c.text, 64)
		if err != nil || !(v >= low && v <= high) {
			r.wrong(c.at, fmt.Sprintf("%s is no %s from %g to %g", shown(c.text), what, low, high), "mend the line LOCATION")
		}
		return v
	}
	y.Latitude = degrees(head[6], "latitude", -90, 90)
	y.Longitude = degrees(head[7], "longitude", -180, 180)
	y.Zone = degrees(head[8], "time zone in hours", -12, 14)
	if len(lines) < headerLines {
		r.wrong(place{len(lines), 1}, "the file ends within its 8 lines of heading", do)
		return false
	}
	periods := split(lines[headerLines-1], headerLines, ',')
	if !strings.EqualFold(periods[0].text, "DATA PERIODS") || len(periods) < 3 {
		r.wrong(place{headerLines, 1}, "the eighth line is not DATA PERIODS", do)
		return false
	}
	if perHour := periods[2]; perHour.text != "1" {
		r.wrong(perHour.at, "the file has "+shown(perHour.text)+" rows an hour, not 1", "give a file with hourly rows")
		return false
	}
	return true
}

// hours reads the rows into the slots of a leap year, wherever in the file they stand,
// and returns the line of each slot.
func (r *reader) hours(y *Year, lines []string) []int {
	seen := make([]int, hoursOf(true))
	pressure, pressures, fromDew := 0.0, 0, 0
	for i := headerLines; i < len(lines); i++ {
		if strings.TrimSpace(lines[i]) == "" {
			continue
		}
		at := place{i + 1, 1}
		cells := split(lines[i], i+1, ',')
		if len(cells) <= fieldPressure {
			r.wrong(at, fmt.Sprintf("this row has %d fields, fewer than 10", len(cells)), "give the file as it was published")
			continue
		}
		month, err1 := strconv.Atoi(cells[fieldMonth].text)
		day, err2 := strconv.Atoi(cells[fieldDay].text)
		hour, err3 := strconv.Atoi(cells[fieldHour].text)
		if err1 != nil || err2 != nil || err3 != nil || date(2000, month, day, 0).IsZero() || hour < 1 || hour > 24 {
			r.wrong(cells[fieldMonth].at, "this row does not name a month, a day and an hour from 1 to 24 in its fields 2 to 4", "give the file as it was published")
			continue
		}
		slot := slotOf(true, time.Month(month), day, hour)
		if seen[slot] > 0 {
			r.wrong(at, fmt.Sprintf("%s is there twice, first in line %d", hourName(true, slot), seen[slot]), "give a file of one year")
			continue
		}
		seen[slot] = i + 1
		y.leap = y.leap || month == 2 && day == 29
		t := r.field(cells[fieldTemp], "dry bulb", missingTemp, -mostTemp, mostTemp)
		h := r.field(cells[fieldHumidity], "relative humidity", missingHumidity, 0, mostHumidity) / 100
		dew := r.field(cells[fieldDew], "dew point", missingTemp, -mostTemp, mostTemp)
		if p := r.field(cells[fieldPressure], "pressure", missingPressure, leastPressure, mostPressure); !math.IsNaN(p) {
			pressure, pressures = pressure+p, pressures+1
		}
		if math.IsNaN(h) && !math.IsNaN(t+dew) {
			h, fromDew = ofDewPoint(t, dew), fromDew+1
		}
		if h <= 0 {
			h = math.NaN() // air without any water is a sensor out of order
		}
		y.temp[slot], y.humidity[slot] = t, min(h, 1)
	}
	if fromDew > 0 {
		r.note(place{}, fmt.Sprintf("the humidity of %s is missing and was worked out from the dew point", hours(fromDew)), "")
	}
	if pressures > 0 {
		y.Pressure = pressure / float64(pressures)
	}
	r.absent(y, seen)
	return seen
}

// absent reports the hours that have no row.
func (r *reader) absent(y *Year, seen []int) {
	from, missing := 0, 0
	for slot, line := range seen {
		if line > 0 || !y.leap && isLeapDay(slot) {
			continue
		}
		if missing == 0 {
			from = slot
		}
		missing++
	}
	if missing > 0 {
		r.wrong(place{}, fmt.Sprintf("%s of the year without a row, the first %s", hours(missing), hourName(true, from)), "give a file with the 8760 or 8784 hours of a whole year")
	}
}

// field reads a value; NaN stands for one that is missing.
func (r *reader) field(c cell, what string, mark, low, high float64) float64 {
	v, err := strconv.ParseFloat(c.text, 64)
	switch {
	case c.text == "" || err == nil && v >= mark:
		return math.NaN()
	case err != nil || math.IsNaN(v):
		r.wrong(c.at, shown(c.text)+" is no "+what, "mend it, or write "+strconv.FormatFloat(mark, 'f', -1, 64)+" for a missing one")
		return math.NaN()
	case v < low || v > high:
		r.note(c.at, fmt.Sprintf("the %s %s is outside %g to %g; it is taken as missing", what, shown(c.text), low, high), "")
		return math.NaN()
	}
	return v
}

// ofDewPoint is the humidity of air with a dew point: the pressure of the vapour over
// that of saturated air. Both temperatures lie within the bounds of the file's format,
// and so within those of the correlation.
func ofDewPoint(t, dew float64) float64 {
	vapour, err1 := drying.SaturationPressure(unit.Temp(dew))
	full, err2 := drying.SaturationPressure(unit.Temp(t))
	if err1 != nil || err2 != nil {
		return math.NaN()
	}
	return vapour / full
}

// fill draws straight lines over short gaps, round the turn of the year too, and
// reports all gaps.
func (r *reader) fill(y *Year, lineOf []int, values []float64, what string) {
	n := len(values)
	begin := 0
	for begin < n && math.IsNaN(values[begin]) {
		begin++
	}
	if begin == n {
		r.wrong(place{}, "the "+what+" is missing in the whole year", "give another file of the place")
		return
	}
	for i := begin + 1; i < begin+n; i++ { // begins and ends at a known value
		if !math.IsNaN(values[i%n]) {
			continue
		}
		gap := 0
		for math.IsNaN(values[(i+gap)%n]) {
			gap++
		}
		where := fmt.Sprintf("the %s is missing for %s from %s", what, hours(gap), hourName(y.leap, i%n))
		at := place{lineOf[i%n], 1}
		if gap > longestGap {
			r.wrong(at, where+fmt.Sprintf(", more than the %d that are filled in", longestGap), "give another file of the place")
		} else {
			r.note(at, where+"; it was filled in between the hours on both sides", "")
			a, b := values[(i-1)%n], values[(i+gap)%n]
			for k := range gap {
				values[(i+k)%n] = a + (b-a)*float64(k+1)/float64(gap+1)
			}
		}
		i += gap
	}
}

// At is the air at the whole hour at or before t, on the clock of the place's zone.
// A 29 February the file has not is as its 28 February.
func (y *Year) At(t time.Time) Reading {
	t = time.Date(t.Year(), t.Month(), t.Day(), t.Hour(), 0, 0, 0, time.UTC)
	hour := t.Add(-time.Hour) // the file tells of the hour that ends at t
	month, day := hour.Month(), hour.Day()
	if !y.leap && month == time.February && day == 29 {
		day = 28
	}
	slot := slotOf(y.leap, month, day, hour.Hour()+1)
	return Reading{At: t, Temp: unit.Temp(y.temp[slot]), Humidity: unit.Humidity(y.humidity[slot])}
}

// Days are the 24 hours of each of n days, the first the day of from.
func (y *Year) Days(from time.Time, n int) []Reading {
	var readings []Reading
	for hour := range max(n, 0) * 24 {
		readings = append(readings, y.At(time.Date(from.Year(), from.Month(), from.Day(), hour, 0, 0, 0, time.UTC)))
	}
	return readings
}

// calendar is a year with or without a leap day, for counting days only.
func calendar(leap bool) int {
	if leap {
		return 2000
	}
	return 2001
}

func hoursOf(leap bool) int {
	return time.Date(calendar(leap), 12, 31, 0, 0, 0, 0, time.UTC).YearDay() * 24
}

// slotOf is where the hour from 1 to 24 of a day lies in a year.
func slotOf(leap bool, month time.Month, day, hour int) int {
	return (time.Date(calendar(leap), month, day, 0, 0, 0, 0, time.UTC).YearDay()-1)*24 + hour - 1
}

// hourName names an hour as the file does: 5 January hour 24.
func hourName(leap bool, slot int) string {
	day := time.Date(calendar(leap), 1, 1+slot/24, 0, 0, 0, 0, time.UTC)
	return fmt.Sprintf("%s hour %d", day.Format("2 January"), slot%24+1)
}

func hours(n int) string {
	if n == 1 {
		return "1 hour"
	}
	return fmt.Sprintf("%d hours", n)
}

func isLeapDay(slot int) bool {
	return slot/24 == slotOf(true, time.February, 29, 1)/24
}

func unfilled() []float64 {
	values := make([]float64, hoursOf(true))
	for i := range values {
		values[i] = math.NaN()
	}
	return values
}

func withoutLeapDay[T any](values []T) []T {
	at := slotOf(true, time.February, 29, 1)
	return slices.Delete(values, at, at+24)
}
