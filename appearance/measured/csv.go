package measured

import (
	"fmt"
	"strings"
)

// headerWithin is how many lines may stand above the columns of a CSV file.
const headerWithin = 20

// csv reads a table with a header row. Separators are tabs, semicolons, commas or
// blanks. A lamp needs no header.
func (r *reader) csv() {
	var t *table
	var separator byte
	row, above := 0, 0
	for line := range strings.SplitSeq(r.text, "\n") {
		row++
		if strings.TrimSpace(line) == "" || isComment(line) {
			continue
		}
		if t == nil {
			if above++; above > headerWithin {
				break
			}
			if t, separator = r.header(line, row); t == nil || !t.bare() {
				continue
			}
		}
		if cells := r.split(line, row, separator); len(cells) > 0 && (t.rows > 0 || !t.units(cells)) {
			t.row(cells)
		}
	}
	if t != nil {
		t.close()
		return
	}
	do := "name the columns in the first row: name, and wavelengths such as 400, 410 ..., or L, a, b, or X, Y, Z, or r, g, b, or hex"
	if r.lamp {
		do = "give two columns: wavelength in nm, and power"
	}
	r.wrong(Place{1, 1}, "", fmt.Sprintf("none of the first %d lines names columns of colour", headerWithin), do)
}

// header makes a table of a line that names columns of colour, or of the first numbers
// of a lamp without a header.
func (r *reader) header(line string, row int) (*table, byte) {
	scratch := &reader{} // what is wrong with a line that is no header does not matter
	for _, sep := range []byte{'\t', ';', ',', blanks} {
		cells := scratch.split(line, row, sep)
		if len(cells) < 2 && (sep != blanks || len(cells) == 0) || len(cells) > maxColumns {
			continue
		}
		fields := columns(cells)
		if _, numbers := number(cells[0].text); numbers && len(cells) < 4 { // such as "400,0.5"
			if _, two := number(cells[len(cells)-1].text); !r.lamp || !two || len(cells) < 2 {
				continue
			}
			for i := range fields {
				fields[i] = column{at: fields[i].at}
			}
			fields[0].kind = wavelength
		}
		if scratch.newTable(fields, Sample{}, 0).useful() {
			return r.newTable(fields, Sample{}, 0), sep
		}
	}
	return nil, 0
}

// bare says whether the table's columns have no names, so that its first line is a row.
func (t *table) bare() bool { return t.columns[0].kind == wavelength && t.columns[0].name == "" }

// units says whether a row names units instead of values; "%" settles the scale.
func (t *table) units(cells []cell) bool {
	unit, percent := false, false
	for i, c := range cells {
		if _, isNumber := number(c.text); isNumber || i >= len(t.columns) {
			return false
		}
		if k := t.columns[i].kind; c.text != "" && (k >= labL || t.down != nil) {
			unit, percent = true, percent || c.text == "%"
		}
	}
	if unit && percent {
		t.white = 100
		for _, d := range t.down {
			d.white = 100
		}
	}
	return unit
}

// isComment tells a comment from a row that begins with a screen colour.
func isComment(line string) bool {
	line, ok := strings.CutPrefix(strings.TrimSpace(line), "#")
	digits := len(line) - len(strings.TrimLeft(line, "0123456789abcdefABCDEF"))
	rest := line[digits:]
	return ok && (digits != 3 && digits != 6 || rest != "" && strings.IndexByte("\t;, ", rest[0]) < 0)
}
