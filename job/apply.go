package job

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
)

// Deed is what a change does.
type Deed string

// What can be done to the text of a job.
const (
	Set    Deed = "set"
	Clear  Deed = "clear"
	Add    Deed = "add"
	Remove Deed = "remove"
	Move   Deed = "move"
)

// Change is one edit of the text of a job.
type Change struct {
	Do   Deed   `json:"do"`
	Path string `json:"path"` // the field, the list an entry is added to, or the entry removed or moved
	// Value is a string as typed, []string, Group or []Group; setting "" clears the field.
	Value any `json:"value,omitempty"`
	// To is the index an entry is added before (-1: at the end) or moved to.
	To int `json:"to,omitempty"`
}

// Group is a group of fields in their order.
type Group []Pair

// Pair is a field with its value: a string, []string, Group or []Group.
type Pair struct {
	Key   string
	Value any
}

// Apply makes changes one after another in the text of a job and returns the new text.
// Everything else stays as it is: comments, order, quotes, ends of lines. A value that
// cannot be read as what its field holds is written all the same; Read says what is
// wrong with it.
//
// With a problem nothing is changed: a path that names no field, an entry that is not
// there, or a text that cannot be edited because it is no YAML.
func Apply(src []byte, changes []Change) ([]byte, []Problem) {
	text := strings.TrimPrefix(string(src), "\ufeff")
	ends := strings.Contains(text, "\r\n")
	text = strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(text)
	tree, fault := treeOf(text)
	if fault != nil {
		return nil, []Problem{{"", fault.at, "", fault.what, fault.do}}
	}
	if tree.kind != groupShape {
		return nil, []Problem{{"", Position{1, 1}, "", "the text is not a job", "write fields at the left margin, the first of them scumble: 1"}}
	}
	for _, c := range changes {
		a := &applied{text: newEdit(text), tree: tree}
		want, err := a.make(c)
		if err != nil {
			return nil, []Problem{{"", Position{}, c.Path, err.Error(), "load the page again, or change the text under History"}}
		}
		text = a.text.text()
		// The text was edited where the parser said things are. Reading it again proves
		// that it says what it should, and nothing else.
		if tree, fault = treeOf(text); fault != nil || !tree.same(want) {
			return nil, []Problem{{"", Position{}, c.Path, "this part of the text is written in a way that cannot be edited field by field", "change it in the text under History"}}
		}
	}
	if ends {
		text = strings.ReplaceAll(text, "\n", "\r\n")
	}
	return []byte(text), nil
}

// applied is one change being made in a text.
type applied struct {
	text *edit
	tree *branch
}

// make notes the edits of a change and returns the tree the text is to have.
func (a *applied) make(c Change) (*branch, error) {
	steps, ok := stepsOf(c.Path)
	if !ok || len(steps) == 0 || typeAt(steps) == nil {
		return nil, fmt.Errorf("%q is no field of a job", c.Path)
	}
	want := a.tree.clone()
	last := steps[len(steps)-1]
	switch c.Do {
	case Set, Clear:
		value := c.Value
		if text, ok := value.(string); c.Do == Clear || ok && strings.TrimSpace(text) == "" {
			return want, a.clear(want, steps)
		}
		fresh, err := treeFor(value)
		if err != nil {
			return nil, err
		}
		if err := fits(fresh, typeAt(steps)); err != nil {
			return nil, err
		}
		return want, a.set(want, steps, fresh)
	case Add:
		fresh, err := treeFor(c.Value)
		if err != nil {
			return nil, err
		}
		if typeAt(steps).Kind() != reflect.Slice {
			return nil, fmt.Errorf("%s is no list", c.Path)
		}
		return want, a.add(want, steps, fresh, c.To)
	case Remove, Move:
		if last.key != "" {
			return nil, fmt.Errorf("%s is no entry of a list", c.Path)
		}
		return want, a.shift(want, steps, c)
	}
	return nil, fmt.Errorf("%q is nothing that can be done to a job", c.Do)
}

// fits refuses a value of a shape the field can never have.
func fits(b *branch, t reflect.Type) error {
	shapeOf := func(t reflect.Type) shape {
		switch {
		case wordFor(t) != "":
			return scalarShape
		case t.Kind() == reflect.Slice:
			return listShape
		case t.Kind() == reflect.Struct, t.Kind() == reflect.Map:
			return groupShape
		}
		return scalarShape
	}
	if want := shapeOf(t); want != b.kind {
		return fmt.Errorf("another kind of value belongs here")
	}
	return nil
}

func (b *branch) clone() *branch {
	o := *b
	o.keys = slices.Clone(b.keys)
	o.from = slices.Clone(b.from)
	o.kids = make([]*branch, len(b.kids))
	for i, kid := range b.kids {
		o.kids[i] = kid.clone()
	}
	return &o
}

// find walks a tree as far as a path goes: every part on the way, the root first.
func (b *branch) find(steps []pathStep) []*branch {
	way := []*branch{b}
	for _, s := range steps {
		next := way[len(way)-1].kid(s)
		if next == nil {
			break
		}
		way = append(way, next)
	}
	return way
}

// set writes a value.
func (a *applied) set(want *branch, steps []pathStep, fresh *branch) error {
	way := a.tree.find(steps)
	for i := len(way) - 1; i < len(steps); i++ {
		if steps[i].key == "" { // entries are added, never set into being
			return fmt.Errorf("there is no entry %s", pathOf(steps[:i+1]))
		}
	}
	n := len(way) - 1 // steps that are there
	for n > 0 && way[n].kind == nothing && n < len(steps) {
		n-- // an empty key is filled like one that is missing
	}
	wanted := want.find(steps[:n])
	into := wanted[len(wanted)-1]
	if n == len(steps) {
		old := way[n]
		*into = *fresh.clone()
		return a.rewrite(way, steps, old, into, wanted)
	}
	if into.kind != groupShape {
		return fmt.Errorf("%s is no group of fields", pathOf(steps[:n]))
	}
	value := fresh
	for i := len(steps) - 1; i > n; i-- {
		value = &branch{kind: groupShape, keys: []string{steps[i].key}, kids: []*branch{value}}
	}
	key := steps[n].key
	if i := slices.Index(into.keys, key); i >= 0 {
		into.kids[i] = value
		return a.fill(way, n, i, key, value, wanted)
	}
	into.keys, into.kids = append(into.keys, key), append(into.kids, value)
	if in := outermost(way[:n+1]); in >= 0 {
		return a.reflow(way[in], wanted[in])
	}
	a.insert(way[n], steps[:n], key, value)
	return nil
}

// outermost is the first part on a way that is written with brackets, -1 when none is.
func outermost(way []*branch) int {
	return slices.IndexFunc(way, func(b *branch) bool { return b.flow })
}

// rewrite puts another value in the place of one that is there.
func (a *applied) rewrite(way []*branch, steps []pathStep, old, fresh *branch, wanted []*branch) error {
	n := len(steps)
	if old.kind == scalarShape && fresh.kind == scalarShape {
		text := plainText(fresh.text)
		if outermost(way[:n]) >= 0 {
			text = flowText(fresh.text)
		}
		if a.text.replace(old.at, old.text, text, "") {
			return nil
		}
	}
	if in := outermost(way); in >= 0 {
		return a.reflow(way[in], wanted[in])
	}
	if old.kind == nothing {
		key := slices.Index(way[n-1].keys, steps[n-1].key)
		if key < 0 {
			return fmt.Errorf("%s is empty", pathOf(steps))
		}
		return a.fill(way[:n], n-1, key, steps[n-1].key, fresh, wanted[:n])
	}
	if steps[n-1].key == "" {
		return fmt.Errorf("%s is written over several lines", pathOf(steps))
	}
	group := way[n-1]
	i := slices.Index(group.keys, steps[n-1].key)
	from, to := a.pairLines(group, i)
	a.replaceLines(from, to, a.asPair(group, i, fresh))
	return nil
}

// asPair writes a field in the place of pair i of a group in block style, behind its
// dash where it has one.
func (a *applied) asPair(group *branch, i int, value *branch) []string {
	column := group.from[i].Column - 1
	lines := keyLines(group.keys[i], value, column)
	first := a.text.lines[group.from[i].Line-1]
	lines[0] = first[:a.text.index(group.from[i])] + strings.TrimLeft(lines[0], " ")
	return lines
}

// fill writes a value behind a key that has none; n counts the steps to its group.
func (a *applied) fill(way []*branch, n, i int, key string, value *branch, wanted []*branch) error {
	if in := outermost(way[:n+1]); in >= 0 {
		return a.reflow(way[in], wanted[in])
	}
	at := way[n].from[i]
	line := a.text.lines[at.Line-1]
	begin := a.text.index(at)
	colon := strings.Index(line[begin:], ":")
	if colon < 0 || way[n].kids[i].kind != nothing {
		return fmt.Errorf("%s is written in a way that cannot be filled in", key)
	}
	lines := keyLines(key, value, at.Column-1)
	rest := strings.TrimRight(line[begin+colon+1:], " ")
	if comment := strings.TrimLeft(rest, " "); comment != "" {
		if len(lines) == 1 {
			// the comment keeps its column where the value leaves room for it
			pad := max(2, len(rest)-len(comment)-(len(strings.TrimLeft(lines[0], " "))-colon-1))
			lines[0] += spaces(pad) + comment
		} else {
			lines[0] += "  " + comment
		}
	}
	lines[0] = line[:begin] + strings.TrimLeft(lines[0], " ")
	a.replaceLines(at.Line, at.Line, lines)
	return nil
}

// insert adds a field to a group in block style, behind those that come before it in a job.
func (a *applied) insert(group *branch, steps []pathStep, key string, value *branch) {
	if len(group.from) == 0 { // the file holds nothing but comments
		a.text.add(a.text.end(), keyLines(key, value, 0))
		return
	}
	var order []field
	if t := typeAt(steps); t.Kind() == reflect.Struct {
		order = shapes[t]
	}
	rank := func(key string) int { return slices.IndexFunc(order, func(f field) bool { return f.key == key }) }
	after := -1
	for i, k := range group.keys {
		if r := rank(k); r >= 0 && r < rank(key) && (after < 0 || r > rank(group.keys[after])) {
			after = i
		}
	}
	if after < 0 {
		after = 0
	}
	if rank(key) < 0 {
		after = len(group.keys) - 1
	}
	_, to := a.pairLines(group, after)
	lines := keyLines(key, value, group.from[0].Column-1)
	if len(steps) == 0 && len(lines) > 1 {
		lines = append([]string{""}, lines...)
	}
	a.text.add(to, lines)
}

// pairLines are the first and last line of pair i of a group in block style.
func (a *applied) pairLines(group *branch, i int) (from, to int) {
	at := group.from[i]
	list := group.kids[i].kind == listShape && !group.kids[i].flow
	last := at.Line
	for n := at.Line; n < len(a.text.lines); n++ {
		text := strings.TrimLeft(a.text.lines[n], " ")
		if text == "" || text[0] == '#' {
			continue
		}
		dent := len(a.text.lines[n]) - len(text)
		if dent < at.Column-1 || dent == at.Column-1 && !(list && strings.HasPrefix(text, "-")) {
			break
		}
		last = n + 1
	}
	if i+1 < len(group.from) {
		last = min(last, max(at.Line, group.from[i+1].Line-1))
	}
	return at.Line, a.trimmed(at.Line, last)
}

// trimmed is the last line of a stretch that is neither empty nor only a comment.
func (a *applied) trimmed(from, to int) int {
	for to > from {
		text := strings.TrimSpace(a.text.lines[to-1])
		if text != "" && text[0] != '#' {
			break
		}
		to--
	}
	return to
}

// replaceLines puts lines in the place of others.
func (a *applied) replaceLines(from, to int, fresh []string) {
	a.text.lines = slices.Replace(a.text.lines, from-1, to, fresh...)
}

// reflow writes a part with brackets anew, in one line.
func (a *applied) reflow(old, fresh *branch) error {
	line := a.text.lines[old.at.Line-1]
	begin := a.text.index(old.at)
	last, end := closing(a.text.lines, old.at.Line-1, begin)
	if last < 0 {
		return fmt.Errorf("its brackets are not closed")
	}
	rest := a.text.lines[last][end:]
	a.replaceLines(old.at.Line, last+1, []string{line[:begin] + fresh.inline() + rest})
	return nil
}

// closing finds the end of what begins with a bracket: line and byte behind it.
func closing(lines []string, line, from int) (last, end int) {
	depth, quote := 0, byte(0)
	for n := line; n < len(lines); n++ {
		text := lines[n]
		i := 0
		if n == line {
			i = from
		}
		for ; i < len(text); i++ {
			c := text[i]
			switch {
			case quote == '"' && c == '\\':
				i++
			case quote != 0:
				if c == quote {
					quote = 0
				}
			case (c == '"' || c == '\'') && opens(text, i):
				quote = c
			case c == '#' && i > 0 && (text[i-1] == ' ' || text[i-1] == '\t'):
				i = len(text)
			case c == '{' || c == '[':
				depth++
			case c == '}' || c == ']':
				if depth--; depth == 0 {
					return n, i + 1
				}
			}
		}
	}
	return -1, 0
}

// opens reports whether a quote at this place begins a text: an inch or a foot sign
// behind a figure does not.
func opens(text string, i int) bool {
	before := strings.TrimRight(text[:i], " ")
	return before == "" || strings.ContainsRune("{[,:", rune(before[len(before)-1]))
}

// clear takes a field out, and the groups that are empty without it.
func (a *applied) clear(want *branch, steps []pathStep) error {
	way := a.tree.find(steps)
	if len(way) <= len(steps) {
		return nil // it is not there
	}
	n := len(steps)
	if steps[n-1].key == "" {
		return fmt.Errorf("%s is an entry of a list; remove it", pathOf(steps))
	}
	for n > 1 && steps[n-2].key != "" && len(way[n-1].keys) == 1 {
		n--
	}
	key := steps[n-1].key
	wanted := want.find(steps[:n-1])
	into := wanted[n-1]
	i := slices.Index(into.keys, key)
	into.keys, into.kids = slices.Delete(into.keys, i, i+1), slices.Delete(into.kids, i, i+1)
	if in := outermost(way[:n]); in >= 0 {
		return a.reflow(way[in], wanted[in])
	}
	return a.dropPair(way[n-1], i)
}

// dropPair takes out the lines of pair i of a group in block style.
func (a *applied) dropPair(group *branch, i int) error {
	from, to := a.pairLines(group, i)
	begin := a.text.index(group.from[i])
	head := a.text.lines[from-1][:begin]
	if strings.TrimSpace(head) == "" {
		a.replaceLines(from, to, nil)
		return nil
	}
	if len(group.keys) == 1 { // a dash that would hold nothing more
		a.replaceLines(from, to, []string{head + "{}"})
		return nil
	}
	next := group.from[i+1]
	text := a.text.lines[next.Line-1]
	if next.Line != to+1 {
		return fmt.Errorf("comments stand between %s and what follows", group.keys[i])
	}
	a.replaceLines(from, next.Line, []string{head + text[a.text.index(next):]})
	return nil
}

// add puts a new entry into a list.
func (a *applied) add(want *branch, steps []pathStep, fresh *branch, to int) error {
	way := a.tree.find(steps)
	if len(way) <= len(steps) || way[len(steps)].kind == nothing || len(way[len(steps)].kids) == 0 {
		if to > 0 {
			return fmt.Errorf("%s has no entry %d", pathOf(steps), to)
		}
		return a.set(want, steps, &branch{kind: listShape, kids: []*branch{fresh}})
	}
	list := way[len(steps)]
	if list.kind != listShape {
		return fmt.Errorf("%s is no list", pathOf(steps))
	}
	if to < 0 {
		to = len(list.kids)
	}
	if to > len(list.kids) {
		return fmt.Errorf("%s has no entry %d", pathOf(steps), to)
	}
	wanted := want.find(steps)
	into := wanted[len(steps)]
	into.kids = slices.Insert(into.kids, to, fresh.clone())
	if in := outermost(way); in >= 0 {
		return a.reflow(way[in], wanted[in])
	}
	dent := a.text.dash(list.from[0])
	if dent < 0 {
		return fmt.Errorf("%s does not have each entry on a line of its own", pathOf(steps))
	}
	lines := entryLines(fresh, dent)
	if to == len(list.kids) {
		_, end := a.entryLines(list, to-1)
		a.text.add(end, lines)
		return nil
	}
	from, _ := a.entryLines(list, to)
	a.text.add(from-1, lines)
	return nil
}

// entryLines are the lines of entry i of a list in block style, with the comments that
// stand directly above it; those above the first entry belong to the list.
func (a *applied) entryLines(list *branch, i int) (from, to int) {
	from = list.from[i].Line
	to = a.text.lastLine(list.from[i])
	if i+1 < len(list.from) {
		to = min(to, max(from, list.from[i+1].Line-1))
	}
	to = a.trimmed(from, to)
	for i > 0 && from > 1 && strings.HasPrefix(strings.TrimSpace(a.text.lines[from-2]), "#") {
		from--
	}
	return from, to
}

// shift removes an entry of a list or moves it.
func (a *applied) shift(want *branch, steps []pathStep, c Change) error {
	way := a.tree.find(steps)
	n := len(steps) - 1
	if len(way) <= len(steps) {
		return fmt.Errorf("there is no entry %s", c.Path)
	}
	list, i, wanted := way[n], steps[n].index, want.find(steps[:n])
	into := wanted[n]
	entry := into.kids[i]
	into.kids = slices.Delete(into.kids, i, i+1)
	if c.Do == Move {
		if c.To < 0 || c.To > len(into.kids) {
			return fmt.Errorf("%s cannot be moved to %d", c.Path, c.To)
		}
		into.kids = slices.Insert(into.kids, c.To, entry)
	}
	if in := outermost(way[:n+1]); in >= 0 {
		return a.reflow(way[in], wanted[in])
	}
	if len(into.kids) == 0 {
		return a.emptied(way, wanted, steps, n)
	}
	from, to := a.entryLines(list, i)
	lines := slices.Clone(a.text.lines[from-1 : to])
	if c.Do == Move && c.To != i {
		target := c.To
		if target > i {
			_, end := a.entryLines(list, target)
			a.text.add(end, lines)
		} else {
			begin, _ := a.entryLines(list, target)
			a.text.add(begin-1, lines)
		}
	}
	if c.Do == Remove || c.To != i {
		for k := from; k <= to; k++ {
			a.text.drop(k)
		}
	}
	return nil
}

// emptied takes a list out whose last entry goes, with its key.
func (a *applied) emptied(way, wanted []*branch, steps []pathStep, n int) error {
	if n == 0 || steps[n-1].key == "" {
		return fmt.Errorf("the last entry of %s cannot be removed", pathOf(steps[:n]))
	}
	into := wanted[n-1]
	k := slices.Index(into.keys, steps[n-1].key)
	into.keys, into.kids = slices.Delete(into.keys, k, k+1), slices.Delete(into.kids, k, k+1)
	return a.dropPair(way[n-1], k)
}
