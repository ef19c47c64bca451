package job

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"scumble/unit"
)

// tableColumns are the columns of a survey table. The first three must be there.
var tableColumns = []string{"room", "wall", "length", "height", "openings"}

const neededColumns = 3

// tableReader reads a survey table and collects what is wrong with it.
type tableReader struct {
	name     string
	lines    []string
	problems []Problem
}

// cell is one cell of the table with its place.
type cell struct {
	text string
	at   Position
}

func (t *tableReader) report(at Position, column, what, do string) {
	t.problems = append(t.problems, Problem{t.name, at, column, what, do})
}

// readTable reads a survey table: comma, semicolon or tab between the cells, a
// head naming the columns, a row a wall. A row without a room belongs to the
// room of the row above.
func readTable(name string, src []byte) ([]Room, []Problem) {
	t := &tableReader{name: name}
	if len(src) > largestFile || !utf8.Valid(src) || bytes.IndexByte(src, 0) >= 0 {
		t.report(Position{1, 1}, "", fmt.Sprintf("this is not a table in UTF-8 of at most %d MB", largestFile>>20), "save the table as CSV, UTF-8")
		return nil, t.problems
	}
	text := strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(strings.TrimPrefix(string(src), "\ufeff"))
	t.lines = strings.Split(text, "\n")
	rows := t.rows(text)
	if len(rows) == 0 {
		if len(t.problems) == 0 {
			t.report(Position{1, 1}, "", "the table is empty", "begin it with the line "+strings.Join(tableColumns, ","))
		}
		return nil, t.problems
	}
	columns := t.head(rows[0])
	if len(t.problems) > 0 {
		return nil, t.problems
	}
	rooms := t.rooms(columns, rows)
	if len(rooms) == 0 && len(t.problems) == 0 {
		t.report(Position{1, 1}, "", "the table has a head but no walls", "write a row for each wall")
	}
	return rooms, Sorted(t.problems)
}

// rows cuts the text into cells. Rows without any text are left out.
func (t *tableReader) rows(text string) [][]cell {
	r := csv.NewReader(strings.NewReader(text))
	r.FieldsPerRecord, r.LazyQuotes = -1, true // 13'9" is written without quotes
	r.Comma = separator(t.lines)
	var rows [][]cell
	for {
		record, err := r.Read()
		if errors.Is(err, io.EOF) {
			return rows
		}
		if err != nil {
			at := Position{1, 1}
			var wrong *csv.ParseError
			if errors.As(err, &wrong) {
				at.Line = wrong.Line
			}
			t.report(at, "", "the table cannot be read from here", "check the quotes of this line")
			return nil
		}
		row := make([]cell, len(record))
		filled := false
		for i, field := range record {
			line, column := r.FieldPos(i)
			before := t.lines[line-1][:min(column-1, len(t.lines[line-1]))]
			row[i] = cell{strings.TrimSpace(field), Position{line, utf8.RuneCountInString(before) + 1}}
			filled = filled || row[i].text != ""
			if strings.Contains(row[i].text, "\n") {
				t.report(row[i].at, "", "a cell goes on over the end of its line", `close the quote that opens it, and write inches as "" inside quotes, or as in`)
				return nil
			}
		}
		if filled {
			rows = append(rows, row)
		}
	}
}

// separator is the sign that parts most cells of the head.
func separator(lines []string) rune {
	for _, line := range lines {
		if strings.TrimSpace(line) == "" {
			continue
		}
		best := ','
		for _, sign := range ";\t" {
			if strings.Count(line, string(sign)) > strings.Count(line, string(best)) {
				best = sign
			}
		}
		return best
	}
	return ','
}

// head finds which column stands where.
func (t *tableReader) head(row []cell) map[string]int {
	columns := map[string]int{}
	for i, c := range row {
		name := strings.ToLower(c.text)
		_, twice := columns[name]
		switch {
		case name == "":
		case !slices.Contains(tableColumns, name):
			t.report(c.at, "", quoted(c.text)+" is no column of a survey table", instead(name, tableColumns))
		case twice:
			t.report(c.at, "", "the column "+name+" is there twice", "keep one of them")
		default:
			columns[name] = i
		}
	}
	for _, name := range tableColumns[:neededColumns] {
		if _, ok := columns[name]; !ok && len(t.problems) == 0 {
			t.report(row[0].at, "", "the column "+name+" is missing", "begin the table with a head such as "+strings.Join(tableColumns, ","))
		}
	}
	return columns
}

// rooms reads the rows below the head into rooms with their walls, in the order
// of the table.
func (t *tableReader) rooms(columns map[string]int, rows [][]cell) []Room {
	var rooms []Room
	room := ""
	seen := map[[2]string]int{}
	for _, row := range rows[1:] {
		if len(row) > len(rows[0]) {
			t.report(row[len(rows[0])].at, "", "the row has more cells than the head", "put a text with a comma in quotes, or part the cells with semicolons")
			continue
		}
		get := func(column string) cell {
			if i, ok := columns[column]; ok && i < len(row) {
				return row[i]
			}
			return cell{at: row[0].at}
		}
		if c := get("room"); c.text != "" {
			room = t.named(c, "room")
		}
		w := Wall{Name: t.named(get("wall"), "wall"), Length: t.length(get("length"), "length"), Height: t.length(get("height"), "height")}
		switch {
		case room == "":
			t.report(row[0].at, "room", "the wall has no room", "name the room in this row or a row above")
		case w.Name == "":
			t.report(get("wall").at, "wall", "the wall has no name", "name it, such as North")
		case get("length").text == "":
			t.report(get("length").at, "length", "the wall has no length", "write its length, such as 4.20 m")
		}
		w.Openings = t.openings(get("openings"))
		key := [2]string{strings.ToLower(room), strings.ToLower(w.Name)}
		if first, twice := seen[key]; twice {
			t.report(get("wall").at, "wall", fmt.Sprintf("%s of %s is there twice, first in line %d", quoted(w.Name), quoted(room), first), "keep one row, or give the wall another name")
			continue
		}
		seen[key] = row[0].at.Line
		i := slices.IndexFunc(rooms, func(r Room) bool { return strings.EqualFold(r.Name, room) })
		if i < 0 {
			i = len(rooms)
			rooms = append(rooms, Room{Name: room})
		}
		rooms[i].Walls = append(rooms[i].Walls, w)
	}
	return rooms
}

func (t *tableReader) named(c cell, column string) string {
	if strings.ContainsAny(c.text, "/#") {
		t.report(c.at, column, quoted(c.text)+" holds a / or #", "write the name without; these part rooms, walls and steps")
	}
	return strings.Map(visible, c.text)
}

// length reads a cell that holds a length, with the bounds it has in a job.
func (t *tableReader) length(c cell, column string) Length {
	if c.text == "" {
		return Length{}
	}
	return t.measure(c.text, c.at, wallFields[column])
}

var (
	wallFields    = fieldsByKey[Wall]()
	openingFields = fieldsByKey[Opening]()
)

func (t *tableReader) measure(text string, at Position, f field) Length {
	v, err := readValue(lengthType, text, f, 0)
	if err == nil {
		err = f.check(v, text)
	}
	if err != nil {
		t.report(at, f.key, err.what, err.do)
		return Length{}
	}
	return v.Interface().(Length)
}

// openings reads the openings of a cell, parted by ; or |.
func (t *tableReader) openings(c cell) []Opening {
	var list []Opening
	for _, text := range strings.FieldsFunc(c.text, func(r rune) bool { return r == ';' || r == '|' }) {
		if text = strings.TrimSpace(text); text != "" {
			list = append(list, t.opening(text, c.at))
		}
	}
	return list
}

// opening reads one opening: words with its kind, width x height, then at with
// the distance from the left, and sill and reveal where there are any:
// "east window 1200 x 1100 at 800 sill 900".
func (t *tableReader) opening(text string, at Position) Opening {
	const do = "write it as window 1200 x 1100 at 800 sill 900"
	figures := strings.IndexFunc(text, unicode.IsDigit)
	if figures < 0 {
		t.report(at, "openings", quoted(text)+" has no measures", do)
		return Opening{}
	}
	name := strings.TrimSpace(text[:figures])
	o := Opening{}
	for _, word := range strings.Fields(strings.ToLower(name)) {
		if slices.Contains(openingFields["kind"].one, word) {
			o.Kind = word
			break
		}
	}
	if o.Kind == "" {
		t.report(at, "openings", quoted(text)+" does not say what it is", "begin it with "+oneOf(openingFields["kind"].one))
		return o
	}
	if !strings.EqualFold(name, o.Kind) {
		o.Name = name
	}
	parts, ok := clauses(text[figures:])
	sizes := strings.FieldsFunc(parts[""], func(r rune) bool { return r == 'x' || r == 'X' || r == '×' })
	if !ok || len(sizes) != 2 || parts["at"] == "" {
		t.report(at, "openings", quoted(text)+" lacks its size or where it is", do)
		return o
	}
	read := func(text, key string) Length {
		if text = strings.TrimSpace(text); text == "" {
			return Length{}
		}
		return t.measure(text, at, openingFields[key])
	}
	o.Width, o.Height = read(sizes[0], "width"), read(sizes[1], "height")
	o.Left, o.Sill, o.Reveal = read(parts["at"], "left"), read(parts["sill"], "sill"), read(parts["reveal"], "reveal")
	return o
}

var clausePattern = regexp.MustCompile(`(?i)\s(at|sill|reveal)\s`)

// clauses cuts a text at the words at, sill and reveal; false when one is there
// twice.
func clauses(text string) (map[string]string, bool) {
	parts := map[string]string{}
	key, from := "", 0
	for _, m := range clausePattern.FindAllStringSubmatchIndex(text, -1) {
		parts[key] = strings.TrimSpace(text[from:m[0]])
		key, from = strings.ToLower(text[m[2]:m[3]]), m[1]
		if _, twice := parts[key]; twice {
			return parts, false
		}
	}
	parts[key] = strings.TrimSpace(text[from:])
	return parts, true
}

// same reports whether two typed lengths mean the same.
func same(a, b Length) bool {
	const close = unit.Length(0.001) // mm: inches do not come out exact
	return a.Given() == b.Given() && a.Value-b.Value < close && b.Value-a.Value < close
}
