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
	// Value is a string as typed, []string, Group or []Group. Setting what is empty
	// clears the field.
	Value any `json:"value,omitempty"`
	// To is the index an entry is added before (-1: at the end) or moved to.
	To int `json:"to,omitempty"`
}

// Group is a group of fields in their order. Fields with an empty text are left out.
type Group []Pair

// Pair is a field with its value: a string, []string, Group or []Group.
type Pair struct {
	Key   string
	Value any
}

// Apply makes changes one after another in the text of a job and returns the new text.
// Everything else stays as it is: comments, order, quotes, ends of lines. A value that
// cannot be read as what its field holds is written all the same; Read says what is
// wrong with it. Clearing the last field of a group takes the group out, clearing an
// entry of a list removes it, and a list without entries goes with its key.
//
// With a problem nothing is changed: a path that names no field, an entry that is not
// there, or a text that cannot be edited because it is no YAML.
func Apply(src []byte, changes []Change) ([]byte, []Problem) {
	d := &decoder{file: &File{}}
	text := d.text(src)
	if text == "" && strings.TrimSpace(string(src)) != "" {
		return nil, Sorted(d.problems)
	}
	e := &editor{lines: strings.Split(text, "\n")}
	for _, c := range changes {
		if p := e.apply(c); p != nil {
			return nil, []Problem{*p}
		}
	}
	out := withEnds(string(src), text, e.lines)
	if len(out) > largestFile {
		return nil, []Problem{{What: fmt.Sprintf("the job would be larger than %d MB", largestFile>>20), Do: "write less"}}
	}
	return []byte(out), nil
}

// apply makes one change. The text is edited where the parser said things are, in the
// smallest way first; reading it again proves that it says what it should, and nothing
// else. Where it does not, more and more of what lies around is written anew.
func (e *editor) apply(c Change) *Problem {
	if fault := e.read(); fault != nil {
		return &Problem{Position: fault.at, What: fault.what, Do: fault.do}
	}
	if e.tree.kind != groupShape {
		return &Problem{Position: Position{1, 1}, What: "the text is not a job", Do: "write fields at the left margin, the first of them scumble: 1"}
	}
	t, wrong := e.turn(c)
	if wrong != nil {
		return &Problem{Path: c.Path, What: wrong.what, Do: wrong.do}
	}
	if t == nil {
		return nil
	}
	before := e.lines
	for level := len(t.way); level >= 0; level-- {
		e.lines = slices.Clone(before)
		done := false
		if level == len(t.way) {
			done = e.splice(t)
		} else {
			done = e.rewrite(t, level)
		}
		if done && e.proven(t, before) {
			return nil
		}
	}
	e.lines = before
	return &Problem{Path: c.Path, What: "this part of the text is written in a way that cannot be changed field by field", Do: "change it in the text of the job"}
}

// turn is a change as it is made in a tree.
type turn struct {
	do Deed // Set, Add, Remove or Move
	// way leads from the root to what is set, or to the group or list that gets, loses
	// or moves a part; want is the same after the change.
	way, want []*branch
	steps     []pathStep // from each of way to the next
	at, to    int        // the part added, removed or moved
}

// turn finds what a change does; nil when it does nothing.
func (e *editor) turn(c Change) (*turn, *fault) {
	steps, ok := stepsOf(c.Path)
	if !ok || len(steps) == 0 || typeAt(steps) == nil {
		return nil, &fault{quoted(c.Path) + " is no field of a job", "name one as in rooms[0].walls[1].length"}
	}
	t := typeAt(steps)
	switch c.Do {
	case Clear:
		return e.clearing(steps)
	case Set:
		fresh, wrong := treeFor(c.Value)
		switch {
		case wrong != nil:
			return nil, wrong
		case fresh.text == "" && len(fresh.kids) == 0:
			return e.clearing(steps)
		}
		if wrong := fresh.fits(t); wrong != nil {
			return nil, wrong
		}
		return e.setting(steps, fresh)
	case Add:
		fresh, wrong := treeFor(c.Value)
		switch {
		case wrong != nil:
			return nil, wrong
		case t.Kind() != reflect.Slice:
			return nil, &fault{c.Path + " is no list", "name a list, such as rooms[0].walls"}
		}
		if wrong := fresh.fits(t.Elem()); wrong != nil {
			return nil, wrong
		}
		return e.adding(steps, fresh, c.To)
	case Remove, Move:
		way := e.tree.find(steps)
		if steps[len(steps)-1].key != "" || len(way) <= len(steps) {
			return nil, &fault{"there is no entry " + c.Path, "name one that is there"}
		}
		if c.Do == Remove {
			return e.clearing(steps)
		}
		return e.moving(way[:len(steps)], steps, c.To)
	}
	return nil, &fault{quoted(string(c.Do)) + " is nothing that can be done to a job", "write set, clear, add, remove or move"}
}

// start begins a turn in the part that n steps lead to.
func (e *editor) start(do Deed, steps []pathStep, n int) *turn {
	return &turn{do: do, way: e.tree.find(steps[:n]), want: e.tree.clone().find(steps[:n]), steps: steps[:n]}
}

func (e *editor) setting(steps []pathStep, fresh *branch) (*turn, *fault) {
	way := e.tree.find(steps)
	n := len(way) - 1 // steps that are there
	for i := n; i < len(steps); i++ {
		if steps[i].key == "" {
			return nil, &fault{"there is no entry " + pathOf(steps[:i+1]), "name one that is there, or add it"}
		}
	}
	here := way[n]
	hollow := n > 0 && (here.kind == nothing || here.kind == groupShape && len(here.kids) == 0)
	if n < len(steps) && !hollow {
		if here.kind != groupShape {
			return nil, &fault{pathOf(steps[:n]) + " does not hold a group of fields", "change it in the text of the job"}
		}
		t := e.start(Add, steps, n)
		into := t.want[n]
		t.at = len(into.keys)
		into.keys, into.kids = append(into.keys, steps[n].key), append(into.kids, nested(steps[n+1:], fresh))
		return t, nil
	}
	fresh = nested(steps[n:], fresh)
	if here.kind == listShape && len(here.kids) > 0 && fresh.flow {
		fresh.flow = here.flow // words stay one below the other
	}
	t := e.start(Set, steps, n)
	*t.want[n] = *fresh
	return t, nil
}

// nested puts a value under the keys that lead to it.
func nested(steps []pathStep, value *branch) *branch {
	for _, s := range slices.Backward(steps) {
		value = &branch{kind: groupShape, keys: []string{s.key}, kids: []*branch{value}}
	}
	return value
}

// clearing takes a field or an entry out, and what is empty without it.
func (e *editor) clearing(steps []pathStep) (*turn, *fault) {
	n := len(steps)
	way := e.tree.find(steps)
	if len(way) <= n || steps[n-1].key != "" && way[n].kind == nothing {
		return nil, nil // nothing stands there
	}
	for n > 1 && len(way[n-1].kids) == 1 && (steps[n-1].key == "" || steps[n-2].key != "") {
		n--
	}
	t := e.start(Remove, steps, n-1)
	t.at = way[n-1].index(steps[n-1])
	t.want[n-1].cut(t.at)
	return t, nil
}

func (e *editor) adding(steps []pathStep, fresh *branch, to int) (*turn, *fault) {
	n := len(steps)
	way := e.tree.find(steps)
	count := 0
	if len(way) > n {
		count = len(way[n].kids)
		if k := way[n].kind; k != listShape && k != nothing {
			return nil, &fault{pathOf(steps) + " does not hold a list", "change it in the text of the job"}
		}
	}
	if to < 0 {
		to = count
	}
	if to > count {
		return nil, &fault{fmt.Sprintf("%s has %d entries, so none can be added before %d", pathOf(steps), count, to), "name a place among them, or -1 for the end"}
	}
	if count == 0 {
		return e.setting(steps, &branch{kind: listShape, kids: []*branch{fresh}, flow: fresh.kind == scalarShape})
	}
	t := e.start(Add, steps, n)
	t.at = to
	t.want[n].kids = slices.Insert(t.want[n].kids, to, fresh)
	return t, nil
}

func (e *editor) moving(way []*branch, steps []pathStep, to int) (*turn, *fault) {
	n := len(steps) - 1
	if to < 0 || to >= len(way[n].kids) {
		return nil, &fault{fmt.Sprintf("%s has no place %d", pathOf(steps[:n]), to), "name a place among its entries"}
	}
	t := e.start(Move, steps, n)
	t.at, t.to = steps[n].index, to
	if t.at == t.to {
		return nil, nil
	}
	list := t.want[n]
	entry := list.kids[t.at]
	list.cut(t.at)
	list.kids = slices.Insert(list.kids, to, entry)
	return t, nil
}

// proven reads the edited text and reports whether it says what it should. Where the
// lines of one entry of a list are all that changed, reading this entry is enough.
func (e *editor) proven(t *turn, before []string) bool {
	if e.provenInside(t, before) {
		e.tree = nil // its places are those of the text before
		return true
	}
	fresh := &editor{lines: e.lines}
	if fresh.read() != nil || !fresh.tree.same(t.want[0]) {
		return false
	}
	*e = *fresh
	return true
}

// provenInside reads the entry of a list that holds the change, or the field at the
// left margin, by itself: as it was, which proves where it ends, and as it is now.
func (e *editor) provenInside(t *turn, before []string) bool {
	level := len(t.way) - 1
	for level > 1 && (t.steps[level-1].key != "" || t.way[level].kind != groupShape) {
		level--
	}
	if level < 1 || inBrackets(t.way[:level]) {
		return false
	}
	parent, old := t.way[level-1], &editor{lines: before, comments: e.comments}
	i := parent.index(t.steps[level-1])
	from, to := old.span(parent, i)
	behind := len(e.lines) - (len(before) - to)
	if behind < from || !slices.Equal(before[:from-1], e.lines[:from-1]) || !slices.Equal(before[to:], e.lines[behind:]) {
		return false
	}
	dent := parent.from[i].Column - 1
	says := func(lines []string, want *branch) bool {
		for k, line := range lines {
			body := strings.TrimLeft(line, " ")
			further := len(line)-len(body) > dent || body == "" || body[0] == '#' || body[0] == '-' && len(line)-len(body) == dent
			first := len(line)-len(body) == dent && (parent.kind == groupShape || strings.HasPrefix(body, "-"))
			if k == 0 && !first || k > 0 && !further {
				return false
			}
		}
		alone := &editor{lines: lines}
		if alone.read() != nil || alone.tree.kind != parent.kind || len(alone.tree.kids) != 1 {
			return false
		}
		return (parent.kind == listShape || alone.tree.keys[0] == parent.keys[i]) && alone.tree.kids[0].same(want)
	}
	return says(before[from-1:to], t.way[level]) && says(e.lines[from-1:behind], t.want[level])
}

// withEnds joins lines to a text again. Lines that are as before keep their ends, and
// others get those of the first line.
func withEnds(src, text string, lines []string) string {
	mark := ""
	if rest, ok := strings.CutPrefix(src, "\ufeff"); ok {
		src, mark = rest, "\ufeff"
	}
	if text == "" {
		src = ""
	}
	var whole []string // the lines of the source with their ends
	for src != "" {
		i := strings.IndexAny(src, "\r\n") + 1
		if i > 0 && strings.HasPrefix(src[i-1:], "\r\n") {
			i++
		}
		if i == 0 {
			i = len(src)
		}
		whole, src = append(whole, src[:i]), src[i:]
	}
	old := strings.Split(text, "\n")
	for len(whole) < len(old) {
		whole = append(whole, "")
	}
	end := whole[0][len(old[0]):]
	if end == "" {
		end = "\n"
	}
	head, tail := 0, 0
	for head < min(len(old), len(lines)) && old[head] == lines[head] {
		head++
	}
	for tail < min(len(old), len(lines))-head && old[len(old)-1-tail] == lines[len(lines)-1-tail] {
		tail++
	}
	var b strings.Builder
	b.WriteString(mark)
	for i, line := range lines {
		own := ""
		if i < head {
			own = whole[i][len(line):]
		} else if k := i - len(lines) + len(old); i >= len(lines)-tail {
			own = whole[k][len(line):]
		}
		if own == "" && i < len(lines)-1 {
			own = end
		}
		b.WriteString(line + own)
	}
	return b.String()
}
