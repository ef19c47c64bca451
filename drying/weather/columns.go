package weather

import (
	"regexp"
	"slices"
	"strings"
	"unicode"
)

const (
	headerWithin = 60  // lines that may stand above the readings
	widestTable  = 200 // cells of a line
)

// kind is what a column holds.
type kind int

const (
	unknown kind = iota
	when
	temp
	humidity
	surface
	kinds
)

// words are what columns are called, in many languages. One of four letters or more
// may be part of a longer word, as in German; a shorter one stands by itself, unless
// its script is not Latin.
var words = [kinds][]string{
	when: {"time", "date", "stamp", "datum", "zeit", "heure", "fecha", "hora", "data", "ora", "tijd", "dato", "tid", "klokkeslett", "päivä", "aika", "czas", "godzina", "datetime", "temps", "tempo",
		"дата", "время", "日期", "时间", "日時", "時刻", "日付", "tarih", "saat", "تاريخ", "الوقت", "தேதி", "நேரம்"},
	temp: {"temp", "lämpötila", "teplota", "hőmérséklet", "темпер", "温度", "気温", "sıcaklık", "حرارة", "வெப்பநிலை", "celsius", "fahrenheit", "t", "ta", "°c", "°f"},
	humidity: {"humid", "rh", "feucht", "rf", "hygrométrie", "hr", "humedad", "umidit", "ur", "umidade", "vochtigheid", "rv", "fuktighet", "fugtighed", "kosteus", "wilgotno", "vlhkost",
		"влажност", "湿度", "nem", "رطوبة", "ஈரப்பதம்"},
	surface: {"surface", "wall", "oberfl", "wand", "paroi", "superficie", "superfície", "pared", "parete", "oppervlak", "vägg", "overflade", "overflate", "pinta", "powierzchni", "povrch",
		"поверхност", "表面", "duvar", "yüzey"},
	// Beside the columns wanted there are often these, which have words of theirs.
	unknown: {"dew", "dewpoint", "taupunkt", "rosée", "rosee", "rocío", "rocio", "rugiada", "orvalho", "dauwpunt", "daggpunkt", "dugpunkt", "duggpunkt", "kastepiste", "rosy", "rosný", "точка рос", "露点", "çiy",
		"absolut", "mixing", "enthalp", "wet", "wetbulb", "vpd", "g/m³", "g/m3", "g/kg", "elapsed", "timezone", "time zone", "zeitzone"},
}

// entire are long words that are parts of words meaning something else: the French
// for time begins the word for temperature, and "data" is also what a log holds.
var entire = []string{"temps", "tempo", "data"}

var (
	initials       = strings.NewReplacer("r.f.", "rf", "r.h.", "rh", "u.r.", "ur", "h.r.", "hr", "r. f.", "rf", "r. h.", "rh")
	fahrenheitText = regexp.MustCompile(`(?i)fahrenheit|[°º˚]\s*f\b|\bdeg\.?\s*f\b|[(\[]\s*f\s*[)\]]|[_,/ ]f$|^f$`)
)

// kindOf tells what a column with this heading holds.
func kindOf(heading string) kind {
	text := initials.Replace(strings.ToLower(heading))
	parts := strings.FieldsFunc(text, func(c rune) bool { return !unicode.IsLetter(c) && !unicode.IsMark(c) })
	says := func(k kind) bool {
		return slices.ContainsFunc(words[k], func(word string) bool {
			if len(word) < 4 && word[0] < 0x80 || slices.Contains(entire, word) {
				return slices.Contains(parts, word)
			}
			return strings.Contains(text, word)
		})
	}
	switch {
	case says(unknown) || says(surface) && says(humidity): // the latter is the moisture of a wall
		return unknown
	case slices.ContainsFunc(entire, func(word string) bool { return slices.Contains(parts, word) }):
		return when
	}
	for _, k := range []kind{surface, when, humidity, temp} {
		if says(k) {
			return k
		}
	}
	return unknown
}

// columns tell where a log has what.
type columns struct {
	separator  rune
	when       []int      // one column, or two for date and time
	at         [kinds]int // -1 for a column it has not
	width      int        // cells in a line
	fahrenheit [kinds]bool
	percent    bool // the heading of the humidity says %
}

var separators = []rune{'\t', ';', ','}

// find finds the columns and the line readings begin in: behind a line of headings,
// or at the first line with a date, a time and two figures.
func (r *reader) find(lines []string) (*columns, int) {
	lines = lines[:min(len(lines), headerWithin)]
	nearly := place{}
	for i, line := range lines {
		for _, separator := range separators {
			c := headed(split(line, i+1, separator), separator)
			if len(c.when) > 0 && c.at[temp] >= 0 && c.at[humidity] >= 0 {
				return c, i + 1
			}
			if c.at[temp] >= 0 && (c.at[humidity] >= 0 || len(c.when) > 0) {
				nearly = first(nearly, place{i + 1, 1})
			}
		}
	}
	for i, line := range lines {
		for _, separator := range separators {
			if c := bare(split(line, i+1, separator), separator); nearly == (place{}) && c != nil {
				r.note(place{i + 1, 1}, "the columns have no headings: the first figure is taken as the temperature in C, the second as the humidity in %", "add headings such as time;temperature C;humidity % if that is wrong")
				return c, i
			}
		}
	}
	if nearly != (place{}) {
		r.wrong(nearly, "these headings do not name a time, a temperature and a humidity", "export all three columns, with headings such as time;temperature C;humidity %")
		return nil, 0
	}
	r.wrong(place{1, 1}, "none of the first lines names columns of time, temperature and humidity, or begins with a date and two figures",
		"begin the table with headings such as time;temperature C;humidity %")
	return nil, 0
}

// headed reads a line as headings.
func headed(cells []cell, separator rune) *columns {
	c := &columns{separator: separator, at: [kinds]int{-1, -1, -1, -1, -1}, width: len(cells)}
	if len(cells) > widestTable {
		return c
	}
	for i, cell := range cells {
		if _, isFigure := figure(cell.text); isFigure || len(cell.text) > 200 {
			continue
		}
		k := kindOf(cell.text)
		if k == when && len(c.when) < 2 {
			c.when = append(c.when, i)
		}
		if k == unknown || k == when || c.at[k] >= 0 {
			continue // of two sensors the first is taken
		}
		c.at[k] = i
		c.fahrenheit[k] = fahrenheitText.MatchString(cell.text)
		c.percent = c.percent || k == humidity && strings.Contains(cell.text, "%")
	}
	return c
}

// bare reads a line as the first of a log without headings; nil when it is none.
func bare(cells []cell, separator rune) *columns {
	c := &columns{separator: separator, at: [kinds]int{-1, -1, -1, -1, -1}, width: len(cells)}
	var m moments
	for i := range cells[:min(len(cells), widestTable)] {
		if _, ok := m.read(cells[i]); ok {
			c.when = []int{i}
		} else if i+1 < len(cells) {
			if _, ok := m.read(cell{cells[i].text + " " + cells[i+1].text, cells[i].at}); ok {
				c.when = []int{i, i + 1}
			}
		}
		if c.when != nil {
			break
		}
	}
	if c.when == nil {
		return nil
	}
	for i := c.when[len(c.when)-1] + 1; i < len(cells); i++ {
		if _, ok := figure(cells[i].text); !ok {
			continue
		}
		if c.at[temp] < 0 {
			c.at[temp] = i
		} else if c.at[humidity] < 0 {
			c.at[humidity] = i
		}
	}
	if c.at[humidity] < 0 {
		return nil
	}
	return c
}
