package job

import (
	"encoding/json"
	"slices"
	"strings"
)

// edit changes the text of a job file line by line. All places are those of the
// text before the first change.
type edit struct {
	lines  []string
	added  map[int][]string // lines to come after so many lines
	change map[int][]change // by line, counted from 1
}

// change puts another text in the place of one within a line.
type change struct {
	from, to int // bytes of the line
	text     string
	comment  string
}

func newEdit(text string) *edit {
	return &edit{lines: strings.Split(text, "\n"), added: map[int][]string{}, change: map[int][]change{}}
}

func (e *edit) add(after int, lines []string) {
	e.added[after] = append(e.added[after], lines...)
}

// replace changes the text of a value, plain or in quotes, and comments on it.
// It reports whether the text stands there.
func (e *edit) replace(at Position, old, fresh, comment string) bool {
	from := e.index(at)
	line := e.lines[at.Line-1]
	length := lengthAs(line[from:], old)
	if length < 0 {
		return false
	}
	e.change[at.Line] = append(e.change[at.Line], change{from, from + length, fresh, comment})
	return true
}

// lengthAs is how much of a line the text of a value takes up that it begins with,
// plain or in quotes; -1 when it does not.
func lengthAs(line, text string) int {
	ways := []string{text}
	if line != "" && (line[0] == '"' || line[0] == '\'') {
		ways = []string{jsonText(text), "'" + strings.ReplaceAll(text, "'", "''") + "'"}
	}
	for _, typed := range ways {
		if strings.HasPrefix(line, typed) {
			return len(typed)
		}
	}
	return -1
}

func (e *edit) index(at Position) int { return indexIn(e.lines[at.Line-1], at.Column) }

// indexIn turns a column, counted in characters, into an index of its line.
func indexIn(line string, column int) int {
	n := 1
	for i := range line {
		if n == column {
			return i
		}
		n++
	}
	return len(line)
}

// inBraces reports whether the group that begins here is written in braces.
func (e *edit) inBraces(at Position) bool {
	return strings.HasPrefix(e.lines[at.Line-1][e.index(at):], "{")
}

// dash is the number of spaces before the dash of the list entry that begins
// here, -1 when there is no dash or more than that.
func (e *edit) dash(at Position) int {
	before := e.lines[at.Line-1][:e.index(at)]
	if strings.Trim(before, " -") != "" || strings.Count(before, "-") != 1 {
		return -1
	}
	return strings.Index(before, "-")
}

// lastLine is the last line of the list entry that begins here: all that is
// further in than its dash, with the comments and empty lines between.
func (e *edit) lastLine(at Position) int {
	dash := e.dash(at)
	last := at.Line
	for i := at.Line; i < len(e.lines); i++ {
		text := strings.TrimLeft(e.lines[i], " ")
		if text == "" || text[0] == '#' {
			continue
		}
		if len(e.lines[i])-len(text) <= dash {
			break
		}
		last = i + 1
	}
	return last
}

// end is the last line that is not empty.
func (e *edit) end() int {
	end := len(e.lines)
	for end > 0 && strings.TrimSpace(e.lines[end-1]) == "" {
		end--
	}
	return end
}

// text is the text after all changes.
func (e *edit) text() string {
	out := slices.Clone(e.added[0])
	for i, line := range e.lines {
		changes := e.change[i+1]
		slices.SortFunc(changes, func(a, b change) int { return b.from - a.from })
		comments := ""
		for _, c := range changes {
			line = line[:c.from] + c.text + line[c.to:]
			if c.comment != "" {
				comments = "  # " + c.comment + comments
			}
		}
		out = append(out, line+comments)
		out = append(out, e.added[i+1]...)
	}
	return strings.TrimRight(strings.Join(out, "\n"), "\n") + "\n"
}

func spaces(n int) string { return strings.Repeat(" ", max(n, 0)) }

func roomLines(r Room, dent int) []string {
	lines := []string{spaces(dent) + "- name: " + plainText(r.Name), spaces(dent) + "  walls:"}
	for _, w := range r.Walls {
		lines = append(lines, wallLines(w, dent+4)...)
	}
	return lines
}

func wallLines(w Wall, dent int) []string {
	begin := spaces(dent)
	lines := []string{begin + "- name: " + plainText(w.Name), begin + "  length: " + plainText(w.Length.Text)}
	if w.Height.Given() {
		lines = append(lines, begin+"  height: "+plainText(w.Height.Text))
	}
	return append(lines, openingLines(w.Openings, begin+"  ")...)
}

func openingLines(list []Opening, begin string) []string {
	if len(list) == 0 {
		return nil
	}
	lines := []string{begin + "openings:"}
	for _, o := range list {
		next := begin + "  - "
		for _, f := range []struct{ key, text string }{
			{"name", o.Name}, {"kind", o.Kind}, {"left", o.Left.Text}, {"sill", o.Sill.Text},
			{"width", o.Width.Text}, {"height", o.Height.Text}, {"reveal", o.Reveal.Text},
		} {
			if f.text != "" {
				lines = append(lines, next+f.key+": "+plainText(f.text))
				next = begin + "    "
			}
		}
	}
	return lines
}

// plainText writes a text as a value in YAML: as it is where it is read like
// that, else in quotes.
func plainText(text string) string {
	body, fault := parseYAML("x: " + text + "\ny: 1")
	if list := pairs(body); fault == nil && len(list) == 2 {
		if read, ok := scalar(list[0].Value); ok && read == text && !strings.ContainsAny(text, "{}[],") && !strings.HasPrefix(text, "?") {
			return text
		}
	}
	return jsonText(text)
}

// jsonText writes a text in double quotes, which YAML shares with JSON.
func jsonText(text string) string {
	var b strings.Builder
	encoder := json.NewEncoder(&b)
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(text); err != nil {
		return `""`
	}
	return strings.TrimSuffix(b.String(), "\n")
}
