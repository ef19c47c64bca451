package job

import (
	"slices"
	"strings"

	"github.com/goccy/go-yaml/token"
)

// editor changes the text of a job at the places its parser gives.
type editor struct {
	lines    []string
	tree     *branch     // what the lines say; nil when it must be read again
	comments map[int]int // by line, counted from 1: the byte at which its comment begins
}

// read parses the lines where that is still to do.
func (e *editor) read() *yamlFault {
	if e.tree != nil {
		return nil
	}
	words, body, fault := parseWords(strings.Join(e.lines, "\n"))
	if fault != nil {
		return fault
	}
	e.comments = map[int]int{}
	for _, w := range words {
		if w.Type != token.CommentType || w.Position.Line > len(e.lines) {
			continue
		}
		line := strings.TrimRight(e.lines[w.Position.Line-1], " \t")
		if text := "#" + strings.TrimRight(w.Value, " \t"); strings.HasSuffix(line, text) {
			e.comments[w.Position.Line] = len(line) - len(text)
		}
	}
	e.tree = &branch{kind: groupShape, at: Position{1, 1}}
	if body != nil {
		d := &decoder{lines: e.lines}
		for _, line := range e.lines {
			d.widths = append(d.widths, len([]rune(line)))
		}
		e.tree = d.branch(body)
	}
	return nil
}

// index is the byte of a line at which a place lies.
func (e *editor) index(at Position) int { return indexIn(e.lines[at.Line-1], at.Column) }

// onlyComment reports whether a line holds a comment and nothing else, and how far in.
func (e *editor) onlyComment(line int) (dent int, only bool) {
	at, ok := e.comments[line]
	return at, ok && strings.TrimSpace(e.lines[line-1][:at]) == ""
}

// inBrackets reports whether one of the parts on a way is written with brackets.
func inBrackets(way []*branch) bool {
	return slices.ContainsFunc(way, func(b *branch) bool { return b.flow })
}

// splice makes a change in the fewest characters or lines. It reports whether it could.
func (e *editor) splice(t *turn) bool {
	n := len(t.way) - 1
	here, want := t.way[n], t.want[n]
	if t.do == Set {
		return n > 0 && e.swap(here, want, inBrackets(t.way[:n])) || n > 0 && t.way[n-1].flow && e.swapPart(t.way[n-1], t.way[n-1].index(t.steps[n-1]), want)
	}
	switch {
	case here.flow && t.do == Add:
		return e.addInside(here, want, t)
	case here.flow && t.do == Remove:
		return e.cutInside(here, t.at)
	case here.flow:
		return false
	case here.kind == listShape:
		return e.shuffle(here, t, want)
	case t.do == Add:
		e.addPair(here, t.steps, want.keys[t.at], want.kids[t.at])
		return true
	}
	return e.cutPair(here, t.at)
}

// swap puts one single value in the place of another.
func (e *editor) swap(old, fresh *branch, inside bool) bool {
	if old.kind != scalarShape || fresh.kind != scalarShape {
		return false
	}
	line, at := e.lines[old.at.Line-1], e.index(old.at)
	length := lengthAs(line[at:], old.text)
	if length < 0 {
		return false
	}
	text := plainText(fresh.text)
	if inside {
		text = flowText(fresh.text)
	}
	e.lines[old.at.Line-1] = line[:at] + text + line[at+length:]
	return true
}

// textAt is a place between characters: a line, counted from 1, and a byte of it.
type textAt struct{ line, at int }

func (e *editor) place(p Position) textAt { return textAt{p.Line, e.index(p)} }

// replace puts a text in the place of what stands between two places.
func (e *editor) replace(from, to textAt, text string) {
	line := e.lines[from.line-1][:from.at] + text + e.lines[to.line-1][to.at:]
	e.lines = slices.Replace(e.lines, from.line-1, to.line, line)
}

// before is the place behind the last character before another place that is neither
// space nor comment, and this character.
func (e *editor) before(s textAt) (textAt, byte) {
	for {
		text := e.lines[s.line-1][:s.at]
		if at, ok := e.comments[s.line]; ok && at < len(text) {
			text = text[:at]
		}
		if text = strings.TrimRight(text, " \t"); text != "" {
			return textAt{s.line, len(text)}, text[len(text)-1]
		}
		if s.line == 1 {
			return s, 0
		}
		s.line--
		s.at = len(e.lines[s.line-1])
	}
}

// addInside adds a part between brackets.
func (e *editor) addInside(here, want *branch, t *turn) bool {
	text := want.kids[t.at].inline()
	at := t.at
	if here.kind == groupShape {
		text = keyText(want.keys[t.at]) + ": " + text
		at = placeOf(here, t.steps, want.keys[t.at])
	}
	end := e.place(here.end)
	switch last, sign := e.before(end); {
	case at < len(here.kids):
		e.replace(e.place(here.from[at]), e.place(here.from[at]), text+", ")
	case sign == ',':
		e.replace(last, last, " "+text)
	case len(here.kids) == 0:
		e.replace(last, last, text)
	default:
		e.replace(last, last, ", "+text)
	}
	return true
}

// cutInside takes part i out between brackets.
func (e *editor) cutInside(here *branch, i int) bool {
	from, to := e.place(here.from[i]), e.place(here.end)
	if i+1 < len(here.kids) {
		to = e.place(here.from[i+1])
	} else {
		to, _ = e.before(to)
		if i > 0 {
			last, sign := e.before(from)
			if sign != ',' {
				return false
			}
			from = textAt{last.line, last.at - 1}
		}
	}
	if len(e.commentsIn(from, to)) > 0 { // writing the whole anew keeps it
		return false
	}
	e.replace(from, to, "")
	return true
}

// swapPart puts another value in the place of part i between brackets.
func (e *editor) swapPart(here *branch, i int, fresh *branch) bool {
	if here.kids[i].kind == nothing {
		return false
	}
	from, to := e.place(here.kids[i].at), e.place(here.end)
	if i+1 < len(here.kids) {
		to = e.place(here.from[i+1])
	}
	last, sign := e.before(to)
	if sign == ',' {
		last, _ = e.before(textAt{last.line, last.at - 1})
	}
	if last.line < from.line || last.line == from.line && last.at <= from.at || len(e.commentsIn(from, last)) > 0 {
		return false
	}
	e.replace(from, last, fresh.inline())
	return true
}

// placeOf is the index at which a new key stands among those of a group: behind those
// that come before it in a job, else first; a key no job knows stands last.
func placeOf(group *branch, steps []pathStep, key string) int {
	order := shapes[typeAt(steps)]
	rank := func(key string) int { return slices.IndexFunc(order, func(f field) bool { return f.key == key }) }
	if rank(key) < 0 {
		return len(group.keys)
	}
	place, highest := 0, -1
	for i, k := range group.keys {
		if r := rank(k); r > highest && r < rank(key) {
			place, highest = i+1, r
		}
	}
	return place
}

// addPair adds a field to a group in block style.
func (e *editor) addPair(group *branch, steps []pathStep, key string, value *branch) {
	if len(group.keys) == 0 { // the file holds nothing but comments
		end := len(e.lines)
		for end > 0 && strings.TrimSpace(e.lines[end-1]) == "" {
			end--
		}
		e.lines = slices.Insert(e.lines, end, keyLines(key, value, 0)...)
		if end+1 == len(e.lines) {
			e.lines = append(e.lines, "")
		}
		return
	}
	lines := keyLines(key, value, group.from[0].Column-1)
	place := placeOf(group, steps, key)
	if place == 0 {
		at := group.from[0]
		first := e.lines[at.Line-1]
		head := first[:e.index(at)]
		lines[0] = head + strings.TrimLeft(lines[0], " ")
		e.lines[at.Line-1] = spaces(at.Column-1) + first[len(head):]
		e.lines = slices.Insert(e.lines, at.Line-1, lines...)
		return
	}
	_, to := e.span(group, place-1)
	if len(steps) == 0 && len(lines) > 1 {
		lines = slices.Insert(lines, 0, "")
	}
	e.lines = slices.Insert(e.lines, to, lines...)
}

// cutPair takes field i out of a group in block style.
func (e *editor) cutPair(group *branch, i int) bool {
	from, to := e.span(group, i)
	head := e.lines[from-1][:e.index(group.from[i])]
	if strings.TrimSpace(head) == "" {
		blank := func(line int) bool {
			return line < 1 || line > len(e.lines) || strings.TrimSpace(e.lines[line-1]) == ""
		}
		if blank(from-1) && blank(to+1) && to < len(e.lines)-1 {
			to++
		}
		e.lines = slices.Delete(e.lines, from-1, to)
		return true
	}
	if len(group.keys) == 1 { // a dash stays
		e.lines = slices.Replace(e.lines, from-1, to, head+"{}")
		return true
	}
	next := group.from[i+1]
	text := e.lines[next.Line-1]
	between := slices.Clone(e.lines[to : next.Line-1]) // comments
	e.lines = slices.Replace(e.lines, from-1, next.Line, append(between, head+text[e.index(next):])...)
	return true
}

// span is the first and the last line of part i of a group or list in block style.
func (e *editor) span(parent *branch, i int) (from, to int) {
	at, limit := parent.from[i], len(e.lines)
	if i+1 < len(parent.from) {
		limit = max(at.Line, parent.from[i+1].Line-1)
	}
	dashes := parent.kind == groupShape && parent.kids[i].kind == listShape && !parent.kids[i].flow
	return at.Line, e.lastLine(at, limit, dashes)
}

// lastLine is the last line of what begins at a place: those further in belong to it,
// comments too, and the dashes of a list that stand right below its key.
func (e *editor) lastLine(at Position, limit int, dashes bool) int {
	last := at.Line
	for line := at.Line + 1; line <= limit; line++ {
		text := strings.TrimLeft(e.lines[line-1], " ")
		dent := len(e.lines[line-1]) - len(text)
		if _, only := e.onlyComment(line); text == "" || only {
			continue
		}
		if dent < at.Column-1 || dent == at.Column-1 && !(dashes && text[0] == '-') {
			break
		}
		last = line
	}
	for last < limit {
		if dent, only := e.onlyComment(last + 1); !only || dent < at.Column {
			break
		}
		last++
	}
	return last
}

// shuffle adds, removes or moves an entry of a list in block style. What stands between
// entries, such as empty lines, stays between them.
func (e *editor) shuffle(list *branch, t *turn, want *branch) bool {
	var entries, gaps [][]string
	begin, end := 0, 0
	for i := range list.kids {
		from, to := e.span(list, i)
		dash := list.from[i].Column - 1
		if head := e.lines[from-1][:e.index(list.from[i])]; strings.TrimSpace(head) != "" {
			return false
		}
		for i > 0 && from-1 > end { // comments right above are those of the entry
			if dent, only := e.onlyComment(from - 1); !only || dent > dash {
				break
			}
			from--
		}
		if i > 0 {
			gaps = append(gaps, slices.Clone(e.lines[end:from-1]))
		} else {
			begin = from
		}
		entries = append(entries, slices.Clone(e.lines[from-1:to]))
		end = to
	}
	blank := func(gap []string) bool { return strings.TrimSpace(strings.Join(gap, "")) == "" }
	switch t.do {
	case Add:
		var gap []string
		if len(gaps) > 0 && blank(gaps[0]) {
			gap = gaps[0]
		}
		entries = slices.Insert(entries, t.at, entryLines(want.kids[t.at], list.from[0].Column-1))
		gaps = slices.Insert(gaps, min(t.at, len(gaps)), gap)
	case Remove:
		entries = slices.Delete(entries, t.at, t.at+1)
		k := min(t.at, len(gaps)-1)
		if blank(gaps[k]) {
			gaps = slices.Delete(gaps, k, k+1)
		} else { // comments of nobody stay
			entries[min(t.at, len(entries)-1)] = slices.Concat(gaps[k], entries[min(t.at, len(entries)-1)])
			gaps = slices.Delete(gaps, k, k+1)
		}
	case Move:
		entry := entries[t.at]
		entries = slices.Insert(slices.Delete(entries, t.at, t.at+1), t.to, entry)
	}
	var out []string
	for i, entry := range entries {
		out = append(out, entry...)
		if i < len(gaps) {
			out = append(out, gaps[i]...)
		}
	}
	e.lines = slices.Replace(e.lines, begin-1, end, out...)
	return true
}

// rewrite writes a part of the way anew, in the style it has; level counts from the
// root. Its comments are kept above it.
func (e *editor) rewrite(t *turn, level int) bool {
	old, fresh := t.way[level], t.want[level]
	if inBrackets(t.way[:level]) {
		return false
	}
	if old.flow && old.kind == fresh.kind && len(old.kids) > 0 {
		from, to := e.place(old.at), e.place(old.end)
		kept := e.commentsIn(from, to)
		e.replace(from, textAt{to.line, to.at + 1}, fresh.inline())
		e.lines = slices.Insert(e.lines, from.line-1, kept...)
		return true
	}
	if level == 0 {
		return false
	}
	parent := t.way[level-1]
	i := parent.index(t.steps[level-1])
	at := parent.from[i]
	from, to := e.span(parent, i)
	var lines []string
	if parent.kind == groupShape {
		lines = keyLines(parent.keys[i], fresh, at.Column-1)
	} else {
		lines = entryLines(fresh, at.Column-1)
	}
	head := e.lines[from-1][:e.index(at)]
	if strings.Trim(head, " -") != "" {
		return false
	}
	lines[0] = head + strings.TrimLeft(lines[0], " ")
	begin := textAt{from, 0}
	if c, ok := e.comments[from]; ok { // keeps its column where the value leaves room for it
		comment := e.lines[from-1][c:]
		lines[0] += spaces(max(2, c-len(lines[0]))) + comment
		begin.at = len(e.lines[from-1])
	}
	kept := e.commentsIn(begin, textAt{to, len(e.lines[to-1])})
	e.lines = slices.Replace(e.lines, from-1, to, append(kept, lines...)...)
	return true
}

// commentsIn is the comments between two places as lines of their own, as far in as the
// first of these lines.
func (e *editor) commentsIn(from, to textAt) (lines []string) {
	first := e.lines[from.line-1]
	dent := len(first) - len(strings.TrimLeft(first, " "))
	for line := from.line; line <= to.line; line++ {
		if at, ok := e.comments[line]; ok && (line > from.line || at >= from.at) && (line < to.line || at < to.at) {
			lines = append(lines, spaces(dent)+strings.TrimSpace(e.lines[line-1][at:]))
		}
	}
	return lines
}
