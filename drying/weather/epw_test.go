package weather

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"
)

// The values of these files are invented, and so is the place; only their form is that
// of an EPW file.
const epwHead = `LOCATION,Sampleton,North Shire,XXX,invented,999999,52.50,-1.75,1.0,120.0
DESIGN CONDITIONS,0
TYPICAL/EXTREME PERIODS,0
GROUND TEMPERATURES,0
HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0
COMMENTS 1,invented
COMMENTS 2,invented
DATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31
`

const epwRest = ",0,0,300,0,0,0,0,0,0,0,270,2.6,10,10,20.0,77777,9,999999999,100,0.1,0,88,0.2,0.0,1.0"

// invented is the air at an hour of a year: it tells which hour it is.
func invented(at time.Time) (temp, humidity float64) {
	return float64(at.YearDay())/10 - 10, float64(at.Hour()) + 51
}

// epwRows are the rows of a whole year; the year of each is of no account.
func epwRows(year int) []string {
	var rows []string
	for at := time.Date(year, 1, 1, 0, 0, 0, 0, time.UTC); at.Year() == year; at = at.Add(time.Hour) {
		t, h := invented(at)
		rows = append(rows, fmt.Sprintf("%d,%d,%d,%d,60,?9?9?9?9E0?9?9?9*_*9?9?9?9*_*9*9?9?9?9,%.1f,-12.0,%.0f,99000%s", 1980+int(at.Month()), at.Month(), at.Day(), at.Hour()+1, t, h, epwRest))
	}
	return rows
}

func epw(rows []string) []byte { return []byte(epwHead + strings.Join(rows, "\r\n") + "\r\n") }

func TestReadEPW(t *testing.T) {
	y, problems := ReadEPW("f", epw(epwRows(2001)))
	if y == nil || len(problems) > 0 {
		t.Fatal(problems)
	}
	if y.City != "Sampleton" || y.Region != "North Shire" || y.Country != "XXX" || y.Latitude != 52.5 || y.Longitude != -1.75 || y.Zone != 1 || y.Pressure != 99000 {
		t.Errorf("%+v", *y)
	}
	leap, problems := ReadEPW("f", epw(epwRows(2000)))
	if leap == nil || len(problems) > 0 {
		t.Fatal(problems)
	}
	for _, c := range []struct {
		y    *Year
		at   string
		want string
	}{
		{y, "2027-01-01 01:00", "-9.9 51"},
		{y, "2027-01-01 01:59", "-9.9 51"},
		{y, "2027-01-02 00:00", "-9.9 74"}, // hour 24 of the day before
		{y, "2027-12-31 23:00", "26.5 73"},
		{y, "2028-01-01 00:00", "26.5 74"}, // round the turn of the year
		{y, "2028-02-29 12:00", "-4.1 62"}, // as 28 February
		{y, "2028-03-01 00:00", "-4.1 74"},
		{y, "2028-03-01 01:00", "-4 51"},
		{leap, "2028-02-29 12:00", "-4 62"},
		{leap, "2027-03-01 00:00", "-4.1 74"}, // 28 February comes before it
		{leap, "2027-03-01 01:00", "-3.9 51"},
		{leap, "2027-12-31 23:00", "26.6 73"},
	} {
		at, err := time.Parse("2006-01-02 15:04", c.at)
		if err != nil {
			t.Fatal(err)
		}
		r := c.y.At(at)
		if got := fmt.Sprintf("%.4g %.4g", float64(r.Temp), float64(r.Humidity)*100); got != c.want || !r.At.Equal(at.Truncate(time.Hour)) || r.Surface != nil {
			t.Errorf("%s: %v %s, want %s", c.at, r.At, got, c.want)
		}
	}
}

func TestDays(t *testing.T) {
	y, _ := ReadEPW("f", epw(epwRows(2001)))
	from := time.Date(2027, 12, 30, 7, 30, 0, 0, time.UTC)
	days := y.Days(from, 4)
	if len(days) != 96 || y.Days(from, 0) != nil || y.Days(from, -3) != nil {
		t.Fatalf("%d readings", len(days))
	}
	for i, r := range days {
		at := time.Date(2027, 12, 30, i, 0, 0, 0, time.UTC)
		if r.At != at || r != y.At(at) {
			t.Fatalf("hour %d: %v, want %v", i, r, y.At(at))
		}
	}
	sound(t, days, nil)
}

// replaced puts a value in a field, counted from 1, of rows.
func replaced(rows []string, field int, value string, at ...int) []string {
	out := append([]string(nil), rows...)
	for _, i := range at {
		cells := strings.Split(out[i], ",")
		cells[field-1] = value
		out[i] = strings.Join(cells, ",")
	}
	return out
}

func TestEPWGaps(t *testing.T) {
	rows := epwRows(2001)
	last := len(rows) - 1
	at := func(s string) time.Time {
		v, err := time.Parse("2006-01-02 15:04", s)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	for name, c := range map[string]struct {
		rows []string
		told string
		when string
		want string // "" where the year is refused
	}{
		// 73 % at 23:00 is row 22, 51 % at 1:00 of the next day row 24
		"one hour":     {replaced(rows, 9, "999", 23), "note f:32:1: the relative humidity is missing for 1 hour from 1 January hour 24; it was filled in between the hours on both sides", "2027-01-02 00:00", "-9.9 62"},
		"turn of year": {replaced(rows, 7, "99.9", last, 0, 1), "note f:8768:1: the dry bulb is missing for 3 hours from 31 December hour 24; it was filled in between the hours on both sides", "2027-01-01 01:00", "8.3 51"},
		"too long":     {replaced(rows, 7, "", 100, 101, 102, 103, 104, 105, 106), "f:109:1: the dry bulb is missing for 7 hours from 5 January hour 5, more than the 6 that are filled in; give another file of the place", "", ""},
		"six":          {replaced(rows, 7, "99.9", 100, 101, 102, 103, 104, 105), "note f:109:1: the dry bulb is missing for 6 hours from 5 January hour 5; it was filled in between the hours on both sides", "2027-01-05 05:00", "-9.5 55"},
		"wild":         {replaced(rows, 7, "-71", 3), "note f:12:54: the dry bulb \"-71\" is outside -70 to 70; it is taken as missing\nnote f:12:1: the dry bulb is missing for 1 hour from 1 January hour 4; it was filled in between the hours on both sides", "2027-01-01 04:00", "-9.9 54"},
		"damp":         {replaced(rows, 9, "104", 3), "", "2027-01-01 04:00", "-9.9 100"},
		"bone-dry":     {replaced(replaced(rows, 9, "0", 3), 8, "99.9", 3), "note f:12:1: the relative humidity is missing for 1 hour from 1 January hour 4; it was filled in between the hours on both sides", "2027-01-01 04:00", "-9.9 54"},
		"no pressure":  {replaced(rows, 10, "999999", 3), "", "2027-01-01 04:00", "-9.9 54"},
		"no figure":    {replaced(rows, 9, "wet", 3), "f:12:64: \"wet\" is no relative humidity; mend it, or write 999 for a missing one", "", ""},
		"not a number": {replaced(rows, 9, "NaN", 3), "f:12:64: \"NaN\" is no relative humidity; mend it, or write 999 for a missing one", "", ""},
		"no hour":      {replaced(rows, 4, "25", 3), "f:12:6: this row does not name a month, a day and an hour from 1 to 24 in its fields 2 to 4; give the file as it was published\nf: 1 hour of the year without a row, the first 1 January hour 4; give a file with the 8760 or 8784 hours of a whole year", "", ""},
		"twice":        {replaced(rows, 4, "3", 3), "f:12:1: 1 January hour 3 is there twice, first in line 11; give a file of one year\nf: 1 hour of the year without a row, the first 1 January hour 4; give a file with the 8760 or 8784 hours of a whole year", "", ""},
		"cut off":      {append(append([]string(nil), rows[:last]...), "1991,12,31,24"), "f:8768:1: this row has 4 fields, fewer than 10; give the file as it was published\nf: 1 hour of the year without a row, the first 31 December hour 24; give a file with the 8760 or 8784 hours of a whole year", "", ""},
	} {
		if name != "bone-dry" {
			c.rows = replaced(c.rows, 8, "99.9", 3, 23) // no help from the dew point
		}
		y, problems := ReadEPW("f", epw(c.rows))
		told := map[string]bool{}
		for _, line := range strings.Split(problemsTold(problems), "\n") {
			told[line] = true
		}
		for _, line := range strings.Split(c.told, "\n") {
			if !told[line] || len(told) != strings.Count(c.told, "\n")+1 {
				t.Errorf("%s: %s\nwant %s", name, problemsTold(problems), c.told)
			}
		}
		if (y == nil) != (c.want == "") {
			t.Errorf("%s: year %v", name, y != nil)
			continue
		}
		if y != nil {
			r := y.At(at(c.when))
			if got := fmt.Sprintf("%.4g %.4g", float64(r.Temp), float64(r.Humidity)*100); got != c.want {
				t.Errorf("%s: %s, want %s", name, got, c.want)
			}
		}
	}
}

// Humidity from the dew point: at 20 C with a dew point of 9.272 C it is 50 % (psychrolib 1.1.1, whose tests are the tables of ASHRAE 2017).
func TestEPWDewPoint(t *testing.T) {
	rows := replaced(replaced(replaced(epwRows(2001), 9, "999", 3), 7, "20.0", 3), 8, "9.272", 3)
	y, problems := ReadEPW("f", epw(rows))
	if y == nil || problemsTold(problems) != "note f: the humidity of 1 hour is missing and was worked out from the dew point" {
		t.Fatal(problemsTold(problems))
	}
	if r := y.At(time.Date(2027, 1, 1, 4, 0, 0, 0, time.UTC)); math.Abs(float64(r.Humidity)-0.5) > 3e-4 {
		t.Errorf("humidity %v", r.Humidity)
	}
}

func TestEPWHeader(t *testing.T) {
	rows := epwRows(2001)
	for name, c := range map[string]struct{ from, to, want string }{
		"no location": {"LOCATION", "PLACE", "f:1:1: the first line is not LOCATION with city, region, country, source, number, latitude, longitude, zone, height; give the file as it was published, with the ending .epw"},
		"all wrong": {"52.50,-1.75,1.0", "95,x,20", `f:1:52: "95" is no latitude from -90 to 90; mend the line LOCATION
f:1:55: "x" is no longitude from -180 to 180; mend the line LOCATION
f:1:57: "20" is no time zone in hours from -12 to 14; mend the line LOCATION`},
		"periods":  {"DATA PERIODS", "DATA", "f:8:1: the eighth line is not DATA PERIODS; give the file as it was published, with the ending .epw"},
		"quarters": {"PERIODS,1,1", "PERIODS,1,4", `f:8:16: the file has "4" rows an hour, not 1; give a file with hourly rows`},
	} {
		y, problems := ReadEPW("f", []byte(strings.Replace(string(epw(rows)), c.from, c.to, 1)))
		if got := problemsTold(problems); y != nil || got != c.want {
			t.Errorf("%s: %s\nwant %s", name, got, c.want)
		}
	}
	if y, problems := ReadEPW("f", []byte(epwHead[:100])); y != nil || problemsTold(problems) != "f:3:1: the file ends within its 8 lines of heading; give the file as it was published, with the ending .epw" {
		t.Errorf("cut off: %s", problemsTold(problems))
	}
	if y, problems := ReadEPW("f", nil); y != nil || len(problems) != 1 {
		t.Errorf("empty: %v", problems)
	}
	if y, problems := ReadEPW("f", epw(replaced(epwRows(2001), 7, "99.9", seq(8760)...))); y != nil || !strings.Contains(problemsTold(problems), "f: the dry bulb is missing in the whole year; give another file of the place") {
		t.Errorf("no temperature at all: %s", problemsTold(problems))
	}
}

func seq(n int) []int {
	var out []int
	for i := range n {
		out = append(out, i)
	}
	return out
}

// The order of the rows is of no account.
func TestEPWAnyOrder(t *testing.T) {
	rows := replaced(epwRows(2001), 7, "99.9", 8, 9, 5000)
	year := time.Date(2028, 1, 1, 0, 0, 0, 0, time.UTC)
	want, _ := ReadEPW("f", epw(rows))
	a := want.Days(year, 366)
	backwards := slices.Clone(rows)
	slices.Reverse(backwards)
	for name, moved := range map[string][]string{
		"backwards":      backwards,
		"cut in July":    slices.Concat(rows[4500:], rows[:4500]),
		"three shuffled": slices.Concat(rows[5001:], rows[9:5001], rows[:9]),
	} {
		got, problems := ReadEPW("f", epw(moved))
		if got == nil || !slices.Equal(a, got.Days(year, 366)) {
			t.Errorf("%s: another year; %s", name, problemsTold(problems))
		}
	}
}

func FuzzReadEPW(f *testing.F) {
	rows := epwRows(2001)
	f.Add([]byte(epwHead), 0)
	f.Add([]byte("1981,1,1,1,60,x,99.9,-12.0,999,99000"), 0)
	f.Add([]byte("1981,2,29,1,60,x,-71,1e9,0,NaN\n\n1981,1,1,24,60,x,+Inf,-12.0,,"), 70)
	// The text takes the place of a row of a sound file, so that also files that can be read are tried.
	f.Fuzz(func(t *testing.T, text []byte, row int) {
		spoilt := text
		if row > 0 && row < len(rows) {
			spoilt = epw(append(append(append([]string(nil), rows[:row]...), string(text)), rows[row+1:]...))
		}
		y, problems := ReadEPW("f", spoilt)
		sound(t, nil, problems)
		if failed := (&reader{problems: problems}).failed(); (y == nil) != failed {
			t.Errorf("year %v with %s", y != nil, problemsTold(problems))
		}
		if y != nil {
			sound(t, y.Days(time.Date(2027, 12, 1, 0, 0, 0, 0, time.UTC), 100), nil)
			if !(y.Pressure >= 0 && y.Pressure <= mostPressure) {
				t.Errorf("pressure %v", y.Pressure)
			}
		}
	})
}
