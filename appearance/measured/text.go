package measured

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"
)

// decode makes UTF-8 text of the file's bytes: of UTF-16 if they begin so, and of
// ISO/IEC 8859-1, as older instrument programs write, if they are not UTF-8.
func (r *reader) decode(src []byte) bool {
	if len(src) > maxBytes {
		r.wrong(Place{}, "", fmt.Sprintf("the file has %d bytes, more than %d", len(src), maxBytes), "part it into smaller files")
		return false
	}
	text := string(src)
	if len(src) > 1 {
		switch a, b := src[0], src[1]; {
		case a == 0xFF && b == 0xFE, a != 0 && b == 0:
			text = utf16Text(src, 0)
		case a == 0xFE && b == 0xFF, a == 0 && b != 0:
			text = utf16Text(src, 1)
		}
	}
	text = strings.TrimPrefix(text, "\ufeff")
	text = strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(text)
	if strings.ContainsRune(text, 0) {
		r.wrong(Place{}, "", "this is not a text file", "export CGATS text, CxF3 or CSV, not the instrument program's own file")
		return false
	}
	if strings.TrimSpace(text) == "" {
		r.wrong(Place{}, "", "the file is empty", "export it again")
		return false
	}
	if r.text = text; !utf8.ValidString(text) {
		runes := make([]rune, len(text))
		for i := range runes {
			runes[i] = rune(text[i])
		}
		bad := 0
		for c, n := utf8.DecodeRuneInString(text); c != utf8.RuneError || n != 1; c, n = utf8.DecodeRuneInString(text[bad:]) {
			bad += n
		}
		line := strings.Count(text[:bad], "\n") + 1
		r.note(Place{line, 1}, "", "the file is not UTF-8 from this line on; letters are taken as ISO 8859-1", "check the names, or save it as UTF-8")
		r.text = string(runes)
	}
	return true
}

// utf16Text decodes UTF-16 whose low byte is the first (0) or second (1) of two.
func utf16Text(src []byte, low int) string {
	units := make([]uint16, len(src)/2)
	for i := range units {
		units[i] = uint16(src[2*i+low]) | uint16(src[2*i+1-low])<<8
	}
	return string(utf16.Decode(units))
}

// plain is a word of the file without characters that would upset a terminal.
func plain(s string) string {
	s = strings.TrimSpace(strings.Map(func(c rune) rune {
		if unicode.IsPrint(c) {
			return c
		}
		return ' '
	}, s))
	if len(s) > 1000 {
		s = strings.ToValidUTF8(s[:1000], "")
	}
	return s
}

// shown is a word of the file as problems show it.
func shown(s string) string { return fmt.Sprintf("%.40q", strings.TrimSpace(s)) }

// cell is one value of a line and where it stands.
type cell struct {
	text string
	at   Place
}

// blanks as a separator means any run of spaces and tabs.
const blanks = ' '

// split parts a line into cells. Cells may be quoted; a doubled quote inside stands for
// one. With blanks, '#' before a cell begins a comment. It reports a quote that is not
// closed.
func (r *reader) split(line string, row int, separator byte) (cells []cell) {
	gap, ends := " \t", string(rune(separator))
	switch separator {
	case '\t':
		gap = " "
	case blanks:
		ends = " \t"
	}
	column := 1
	step := func(n int) {
		column += utf8.RuneCountInString(line[:n])
		line = line[n:]
	}
	for len(cells) <= maxColumns {
		step(len(line) - len(strings.TrimLeft(line, gap)))
		if separator == blanks && (line == "" || line[0] == '#') {
			break
		}
		c := cell{at: Place{row, column}}
		if strings.HasPrefix(line, `"`) {
			end := closing(line)
			if end < 0 {
				r.wrong(c.at, "", "this quote is not closed on its line", `end it with "`)
				line += `"`
				end = len(line)
			}
			c.text = strings.ReplaceAll(line[1:end-1], `""`, `"`)
			step(end)
		}
		end := strings.IndexAny(line, ends)
		if end < 0 {
			end = len(line)
		}
		c.text = strings.TrimSpace(c.text + line[:end])
		cells = append(cells, c)
		if step(end); line == "" {
			break
		}
		step(1)
	}
	return cells
}

// closing is the index behind the quote that ends the quoted text s begins with, or -1.
func closing(s string) int {
	for i := 1; i < len(s); i++ {
		if s[i] != '"' {
			continue
		}
		if i+1 == len(s) || s[i+1] != '"' {
			return i + 1
		}
		i++
	}
	return -1
}

// number reads a number with a decimal point or a decimal comma, below 1e12 so that
// nothing done with it can overflow.
func number(s string) (float64, bool) {
	s = strings.Replace(s, "\u2212", "-", 1)
	if strings.Count(s, ",") == 1 && !strings.Contains(s, ".") {
		s = strings.Replace(s, ",", ".", 1)
	}
	if strings.Trim(s, "+-.0123456789eE") != "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(s, 64)
	return v, err == nil && math.Abs(v) < 1e12
}

// number reads a number and reports one that is missing or is none.
func (r *reader) number(c cell, sample, column string) (float64, bool) {
	v, ok := number(c.text)
	switch {
	case ok:
	case c.text == "":
		r.wrong(c.at, sample, "the value of "+shown(column)+" is missing", "fill it in")
	default:
		r.wrong(c.at, sample, shown(c.text)+" is not a number", "mend it; decimals may follow a point or a comma")
	}
	return v, ok
}
