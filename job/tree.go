package job

import (
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"
)

// branch is a part of a job's text as a tree: what stands there and where.
type branch struct {
	kind shape
	text string   // of a scalar
	keys []string // of a group
	kids []*branch
	flow bool // written with brackets

	// Where it stands; what is not in the text yet has no places.
	at, end Position   // its beginning, and its closing bracket
	from    []Position // of the keys of a group, or of the entries of a list: of their dashes
}

type shape uint8

const (
	nothing shape = iota
	scalarShape
	groupShape
	listShape
)

func (d *decoder) branch(n ast.Node) *branch {
	b := &branch{}
	if n == nil {
		return b
	}
	b.at = d.position(n, 0)
	place := func(tk *token.Token) Position {
		if tk == nil || tk.Position == nil {
			return b.at
		}
		return d.inside(Position{tk.Position.Line, tk.Position.Column})
	}
	if list := pairs(n); list != nil {
		b.kind = groupShape
		if m, ok := n.(*ast.MappingNode); ok && m.IsFlowStyle {
			b.flow, b.end = true, place(m.End)
		}
		for _, p := range list {
			e := entry{MappingValueNode: p}
			b.keys = append(b.keys, e.name())
			b.from = append(b.from, d.position(p.Key, 0))
			b.kids = append(b.kids, d.branch(p.Value))
		}
		return b
	}
	if s, ok := n.(*ast.SequenceNode); ok {
		b.kind, b.flow, b.end = listShape, s.IsFlowStyle, place(s.End)
		for i, item := range s.Values {
			at := d.position(item, 0)
			if !b.flow && i < len(s.Entries) {
				at = place(s.Entries[i].Start)
			}
			b.from = append(b.from, at)
			b.kids = append(b.kids, d.branch(item))
		}
		return b
	}
	if text, ok := scalar(n); ok && text != "" {
		b.kind, b.text = scalarShape, text
	} else if _, null := n.(*ast.NullNode); !null {
		b.kind = scalarShape
	}
	return b
}

// same compares what two trees say; the order of keys does not count, save of those
// given twice.
func (b *branch) same(o *branch) bool {
	if b.kind != o.kind || b.text != o.text || len(b.kids) != len(o.kids) {
		return false
	}
	mine, others := b.order(), o.order()
	for i := range mine {
		if b.kind == groupShape && b.keys[mine[i]] != o.keys[others[i]] || !b.kids[mine[i]].same(o.kids[others[i]]) {
			return false
		}
	}
	return true
}

// order is the parts in the order of their keys.
func (b *branch) order() []int {
	list := make([]int, len(b.kids))
	for i := range list {
		list[i] = i
	}
	if b.kind == groupShape {
		slices.SortStableFunc(list, func(x, y int) int { return strings.Compare(b.keys[x], b.keys[y]) })
	}
	return list
}

func (b *branch) clone() *branch {
	o := &branch{kind: b.kind, text: b.text, keys: slices.Clone(b.keys), flow: b.flow}
	for _, kid := range b.kids {
		o.kids = append(o.kids, kid.clone())
	}
	return o
}

// cut takes part i out.
func (b *branch) cut(i int) {
	b.kids = slices.Delete(b.kids, i, i+1)
	if b.kind == groupShape {
		b.keys = slices.Delete(b.keys, i, i+1)
	}
}

// find walks a tree as far as a path goes: every part on the way, the root first.
func (b *branch) find(steps []pathStep) []*branch {
	way := []*branch{b}
	for _, s := range steps {
		here := way[len(way)-1]
		i := here.index(s)
		if i < 0 {
			break
		}
		way = append(way, here.kids[i])
	}
	return way
}

// index is which part a step leads to, -1 when there is none.
func (b *branch) index(s pathStep) int {
	switch {
	case s.key != "" && b.kind == groupShape:
		return slices.Index(b.keys, s.key)
	case s.key == "" && b.kind == listShape && s.index < len(b.kids):
		return s.index
	}
	return -1
}

// pathStep is one step of a field path: a key, or an index where key is empty.
type pathStep struct {
	key   string
	index int
}

func stepsOf(path string) ([]pathStep, bool) {
	var steps []pathStep
	if path == "" {
		return nil, true
	}
	for _, piece := range strings.Split(path, ".") {
		key, rest, listed := strings.Cut(piece, "[")
		if key == "" {
			return nil, false
		}
		steps = append(steps, pathStep{key: key})
		for listed {
			number, after, ok := strings.Cut(rest, "]")
			n, err := strconv.Atoi(number)
			if !ok || err != nil || n < 0 || n > longestList {
				return nil, false
			}
			steps = append(steps, pathStep{index: n})
			if after != "" && after[0] != '[' {
				return nil, false
			}
			_, rest, listed = strings.Cut(after, "[")
		}
	}
	return steps, true
}

func pathOf(steps []pathStep) string {
	path := ""
	for _, s := range steps {
		if s.key == "" {
			path += fmt.Sprintf("[%d]", s.index)
		} else {
			path = join(path, s.key)
		}
	}
	return path
}

// typeAt is what the type of a job holds at a path, nil when it has no such field.
func typeAt(steps []pathStep) reflect.Type {
	t := reflect.TypeFor[Job]()
	for _, s := range steps {
		for t.Kind() == reflect.Pointer {
			t = t.Elem()
		}
		switch {
		case s.key == "" && t.Kind() == reflect.Slice:
			t = t.Elem()
		case s.key != "" && t.Kind() == reflect.Map:
			t = t.Elem()
		case s.key != "" && t.Kind() == reflect.Struct && wordFor(t) == "":
			i := slices.IndexFunc(shapes[t], func(f field) bool { return f.key == s.key })
			if i < 0 {
				return nil
			}
			t = t.Field(shapes[t][i].index).Type
		default:
			return nil
		}
	}
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	return t
}

// treeFor is the tree a value of a change stands for.
func treeFor(value any) (*branch, *fault) {
	switch v := value.(type) {
	case string:
		return &branch{kind: scalarShape, text: strings.TrimSpace(strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(v))}, nil
	case []string:
		b := &branch{kind: listShape, flow: true}
		for _, text := range v {
			kid, _ := treeFor(text) // a string always has one
			b.kids = append(b.kids, kid)
		}
		return b, nil
	case Group:
		b := &branch{kind: groupShape}
		for _, p := range v {
			if p.Value == "" {
				continue
			}
			kid, wrong := treeFor(p.Value)
			if wrong != nil {
				return nil, wrong
			}
			if slices.Contains(b.keys, p.Key) {
				return nil, &fault{p.Key + " is given twice", "give it once"}
			}
			b.keys, b.kids = append(b.keys, p.Key), append(b.kids, kid)
		}
		return b, nil
	case []Group:
		b := &branch{kind: listShape}
		for _, g := range v {
			kid, wrong := treeFor(g)
			if wrong != nil {
				return nil, wrong
			}
			b.kids = append(b.kids, kid)
		}
		return b, nil
	}
	return nil, &fault{fmt.Sprintf("a value of the type %T is none of a job", value), "give a text, a list of texts, or groups of fields"}
}

// fits refuses a value of a shape its field can never have, and keys that are no fields.
func (b *branch) fits(t reflect.Type) *fault {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	want := groupShape
	if wordFor(t) != "" {
		want = scalarShape
	} else if t.Kind() == reflect.Slice {
		want = listShape
	}
	if b.kind != want {
		return &fault{"another kind of value belongs here", "give what docs/job-file.md says"}
	}
	for i, kid := range b.kids {
		of := t
		switch {
		case t.Kind() == reflect.Struct:
			f := slices.IndexFunc(shapes[t], func(f field) bool { return f.key == b.keys[i] })
			if f < 0 {
				return &fault{quoted(b.keys[i]) + " is no field here", "give a field that docs/job-file.md lists"}
			}
			of = t.Field(shapes[t][f].index).Type
		default: // a slice or a map
			of = t.Elem()
		}
		if wrong := kid.fits(of); wrong != nil {
			return wrong
		}
	}
	return nil
}

// keyText writes a key: as it is where that is sure to be read so, else in quotes.
func keyText(key string) string {
	if strings.Trim(key, "-_ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789") == "" && strings.Trim(key, "0123456789-_") != "" {
		return key
	}
	return jsonText(key)
}

// inline writes a part in one line: a scalar, or with brackets.
func (b *branch) inline() string {
	var parts []string
	switch b.kind {
	case nothing:
		return ""
	case scalarShape:
		return flowText(b.text)
	case listShape:
		for _, kid := range b.kids {
			parts = append(parts, kid.inline())
		}
		return "[" + strings.Join(parts, ", ") + "]"
	}
	for i, kid := range b.kids {
		parts = append(parts, strings.TrimRight(keyText(b.keys[i])+": "+kid.inline(), " "))
	}
	return "{" + strings.Join(parts, ", ") + "}"
}

// flowText writes a scalar so that it can stand within brackets, too.
func flowText(text string) string {
	if out := plainText(text); out != text || !strings.ContainsAny(text, ":#&*!|>'\"%@`") {
		return out
	}
	return jsonText(text)
}

// keyLines writes one field.
func keyLines(key string, b *branch, dent int) []string {
	head := spaces(dent) + keyText(key) + ":"
	switch {
	case b.kind == nothing:
		return []string{head}
	case b.kind == scalarShape:
		return []string{head + " " + plainText(b.text)}
	case b.flow || len(b.kids) == 0:
		return []string{head + " " + b.inline()}
	}
	out := []string{head}
	for i, kid := range b.kids {
		if b.kind == groupShape {
			out = append(out, keyLines(b.keys[i], kid, dent+2)...)
		} else {
			out = append(out, entryLines(kid, dent+2)...)
		}
	}
	return out
}

// entryLines writes one entry of a list.
func entryLines(b *branch, dent int) []string {
	head := spaces(dent) + "- "
	if b.kind == scalarShape {
		return []string{head + plainText(b.text)}
	}
	if b.kind != groupShape || b.flow || len(b.kids) == 0 {
		return []string{strings.TrimRight(head+b.inline(), " ")}
	}
	var out []string
	for i, kid := range b.kids {
		out = append(out, keyLines(b.keys[i], kid, dent+2)...)
	}
	out[0] = head + out[0][dent+2:]
	return out
}
