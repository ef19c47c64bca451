package job

import (
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"
)

// branch is a part of a job's text as a tree: what stands there and where.
type branch struct {
	kind shape
	text string   // of a scalar
	keys []string // of a group
	kids []*branch
	at   Position   // of the value
	from []Position // of the keys of a group, or of the entries of a list
	flow bool       // written with brackets
}

type shape uint8

const (
	nothing shape = iota
	scalarShape
	groupShape
	listShape
)

// treeOf is the tree of a job's text.
func treeOf(text string) (*branch, *yamlFault) {
	body, fault := parseYAML(text)
	if fault != nil {
		return nil, fault
	}
	if body == nil {
		return &branch{kind: groupShape, at: Position{1, 1}}, nil
	}
	d := &decoder{lines: strings.Split(text, "\n")}
	for _, line := range d.lines {
		d.widths = append(d.widths, len([]rune(line)))
	}
	return d.branch(body), nil
}

func (d *decoder) branch(n ast.Node) *branch {
	b := &branch{}
	if n == nil {
		return b
	}
	b.at = d.position(n, 0)
	if list := pairs(n); list != nil {
		b.kind = groupShape
		if m, ok := n.(*ast.MappingNode); ok {
			b.flow = m.IsFlowStyle
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
		b.kind, b.flow = listShape, s.IsFlowStyle
		for _, item := range s.Values {
			b.from = append(b.from, d.position(item, 0))
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

// same compares what two trees say; the order of keys does not count.
func (b *branch) same(o *branch) bool {
	if b.kind != o.kind || b.text != o.text || len(b.kids) != len(o.kids) {
		return false
	}
	for i, kid := range b.kids {
		k := i
		if b.kind == groupShape {
			if k = slices.Index(o.keys, b.keys[i]); k < 0 {
				return false
			}
		}
		if !kid.same(o.kids[k]) {
			return false
		}
	}
	return true
}

// kid is the part under a key or at an index, nil when there is none.
func (b *branch) kid(s pathStep) *branch {
	if b == nil {
		return nil
	}
	if s.key == "" {
		if b.kind == listShape && s.index < len(b.kids) {
			return b.kids[s.index]
		}
		return nil
	}
	if i := slices.Index(b.keys, s.key); b.kind == groupShape && i >= 0 {
		return b.kids[i]
	}
	return nil
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
func treeFor(value any) (*branch, error) {
	switch v := value.(type) {
	case string:
		return &branch{kind: scalarShape, text: strings.TrimSpace(v)}, nil
	case []string:
		b := &branch{kind: listShape}
		for _, text := range v {
			b.kids = append(b.kids, &branch{kind: scalarShape, text: strings.TrimSpace(text)})
		}
		return b, nil
	case Group:
		b := &branch{kind: groupShape}
		for _, p := range v {
			kid, err := treeFor(p.Value)
			if err != nil {
				return nil, err
			}
			if slices.Contains(b.keys, p.Key) || !plainKey(p.Key) {
				return nil, fmt.Errorf("%q cannot be a field here", p.Key)
			}
			b.keys, b.kids = append(b.keys, p.Key), append(b.kids, kid)
		}
		return b, nil
	case []Group:
		b := &branch{kind: listShape}
		for _, g := range v {
			kid, err := treeFor(g)
			if err != nil {
				return nil, err
			}
			b.kids = append(b.kids, kid)
		}
		return b, nil
	}
	return nil, fmt.Errorf("%T is no value of a job", value)
}

// plainKey reports whether a key can be written as it is.
func plainKey(key string) bool {
	return key != "" && strings.Trim(key, "-_.ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789") == "" && strings.Trim(key, "0123456789.-") != ""
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
		parts = append(parts, strings.TrimRight(b.keys[i]+": "+kid.inline(), " "))
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

// lines writes the fields of a group below each other.
func (b *branch) lines(dent int) []string {
	var out []string
	for i, kid := range b.kids {
		out = append(out, keyLines(b.keys[i], kid, dent)...)
	}
	return out
}

// keyLines writes one field.
func keyLines(key string, b *branch, dent int) []string {
	head := spaces(dent) + key + ":"
	switch {
	case b.kind == nothing:
		return []string{head}
	case b.kind == scalarShape:
		return []string{head + " " + plainText(b.text)}
	case len(b.kids) == 0 || b.kind == listShape && b.kids[0].kind != groupShape:
		return []string{head + " " + b.inline()}
	case b.kind == groupShape:
		return append([]string{head}, b.lines(dent+2)...)
	}
	out := []string{head}
	for _, kid := range b.kids {
		out = append(out, entryLines(kid, dent+2)...)
	}
	return out
}

// entryLines writes one entry of a list.
func entryLines(b *branch, dent int) []string {
	if b.kind != groupShape || len(b.kids) == 0 {
		return []string{spaces(dent) + "- " + b.inline()}
	}
	out := b.lines(dent + 2)
	out[0] = spaces(dent) + "- " + strings.TrimLeft(out[0], " ")
	return out
}
