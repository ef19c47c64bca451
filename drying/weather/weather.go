// Package weather reads the air of rooms and places from files into hourly
// climates: logs of temperature and humidity, and typical years of outdoor air.
//
// Files come from anywhere, so they are held to limits: 8 MiB, 60 lines above the
// columns, 200 problems reported. Times are those of the clock on the wall, carried
// in UTC so that no day has 23 or 25 hours.
package weather

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode/utf16"
	"unicode/utf8"

	"scumble/unit"
)

const (
	maxBytes   = 8 << 20
	maxReports = 200
)

// Reading is the air at one time.
type Reading struct {
	At       time.Time
	Temp     unit.Temp
	Humidity unit.Humidity
	Surface  *unit.Temp // of the wall; nil when nobody measured it
}

// Problem is something wrong in a file: where, what, and what to do. A note is
// worth knowing and asks for nothing: the readings stand.
type Problem struct {
	File         string
	Line, Column int // counted from 1, columns in characters; 0 for the whole file
	What, Do     string
	Note         bool
}

// String prints the problem in one line: file:line:column: what; do.
func (p Problem) String() string {
	s := p.File + ":"
	if p.Line > 0 {
		s += fmt.Sprintf("%d:%d:", p.Line, p.Column)
	}
	s += " " + p.What
	if p.Do != "" {
		s += "; " + p.Do
	}
	return s
}

// reader collects what is wrong with a file.
type reader struct {
	file     string
	problems []Problem
}

// place is where something stands in a file, both counted from 1.
type place struct{ line, column int }

func (r *reader) wrong(at place, what, do string) {
	r.problems = append(r.problems, Problem{r.file, at.line, at.column, what, do, false})
}

func (r *reader) note(at place, what, do string) {
	r.problems = append(r.problems, Problem{r.file, at.line, at.column, what, do, true})
}

// failed reports whether anything but notes was said.
func (r *reader) failed() bool {
	return slices.ContainsFunc(r.problems, func(p Problem) bool { return !p.Note })
}

// report returns the problems by place, as many as anybody reads.
func (r *reader) report() []Problem {
	slices.SortStableFunc(r.problems, func(a, b Problem) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	if more := len(r.problems) - maxReports; more > 0 {
		note := !slices.ContainsFunc(r.problems[maxReports:], func(p Problem) bool { return !p.Note })
		r.problems = append(r.problems[:maxReports:maxReports],
			Problem{r.file, 0, 0, fmt.Sprintf("%d more like these", more), "mend the first ones and read the file again", note})
	}
	return r.problems
}

// lines cuts a file into lines of UTF-8 without marks of byte order. Bytes that are
// no UTF-8 are taken as ISO 8859-1, which matters for the degree sign only.
func (r *reader) lines(src []byte) []string {
	if len(src) > maxBytes {
		r.wrong(place{}, fmt.Sprintf("the file has %d bytes, more than %d", len(src), maxBytes), "part it into smaller files")
		return nil
	}
	text := string(bytes.TrimPrefix(src, []byte("\xef\xbb\xbf")))
	if wide, low := bytes.HasPrefix(src, []byte("\xff\xfe")), 0; wide || bytes.HasPrefix(src, []byte("\xfe\xff")) {
		if !wide {
			low = 1
		}
		units := make([]uint16, 0, len(src)/2)
		for i := 2; i+1 < len(src); i += 2 {
			units = append(units, uint16(src[i+low])|uint16(src[i+1-low])<<8)
		}
		text = string(utf16.Decode(units))
	}
	if !utf8.ValidString(text) {
		runes := make([]rune, len(text))
		for i := range runes {
			runes[i] = rune(text[i])
		}
		text = string(runes)
	}
	text = strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(text)
	if strings.ContainsRune(text, 0) || strings.TrimSpace(text) == "" {
		r.wrong(place{}, "the file is empty or no text", "export the readings as CSV, or give the weather file as it was published")
		return nil
	}
	return strings.Split(text, "\n")
}

// cell is one value of a line and where it stands.
type cell struct {
	text string
	at   place
}

// split parts a line into cells, of which any may be quoted.
func split(line string, number int, separator rune) []cell {
	var cells []cell
	var b strings.Builder
	quoted, column, start := false, 0, 1
	for _, c := range line {
		column++
		switch {
		case c == '"':
			quoted = !quoted
		case c == separator && !quoted:
			cells = append(cells, cell{strings.TrimSpace(b.String()), place{number, start}})
			b.Reset()
			start = column + 1
		default:
			b.WriteRune(c)
		}
	}
	return append(cells, cell{strings.TrimSpace(b.String()), place{number, start}})
}

// shown is a word of the file as problems show it.
func shown(s string) string { return fmt.Sprintf("%.40q", s) }
