package job

import (
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strings"

	"github.com/goccy/go-yaml/ast"
)

// decoder fills the types of this package from parsed YAML, guided by the tags
// of their fields, and collects what cannot be read.
type decoder struct {
	file     *File
	problems []Problem
	lines    []string // of the file
	widths   []int    // of the lines, in characters
	below    int      // lines before the block being decoded
	decimals int      // of the currency
}

// report notes a problem at a place.
func (d *decoder) report(at Position, path, what, do string) {
	d.problems = append(d.problems, Problem{d.file.Name, at, path, what, do})
}

// fail reports a value that cannot be used.
func (d *decoder) fail(path, what, do string) {
	d.file.unread[path] = true
	d.report(d.file.Places[path], path, what, do)
}

// position is where a node begins in the file.
func (d *decoder) position(n ast.Node, below int) Position {
	if list := pairs(n); len(list) > 0 && list[0].Key != nil {
		if m, ok := n.(*ast.MappingNode); !ok || !m.IsFlowStyle {
			n = list[0].Key
		}
	}
	at := Position{1, 1}
	if tk := n.GetToken(); tk != nil && tk.Position != nil {
		at = Position{tk.Position.Line, tk.Position.Column}
	}
	return d.inside(Position{at.Line + below, at.Column})
}

// inside keeps a place within the file; the library puts what is not there,
// such as an empty value, a little beyond it.
func (d *decoder) inside(at Position) Position {
	at.Line = min(max(at.Line, 1), len(d.lines))
	at.Column = min(max(at.Column, 1), d.widths[at.Line-1]+1)
	return at
}

// value decodes one node into a field or an entry of a list.
func (d *decoder) value(path string, n ast.Node, into reflect.Value, f field) {
	if _, ok := n.(*ast.NullNode); ok || n == nil {
		return
	}
	t := into.Type()
	switch {
	case wordFor(t) != "":
		d.leaf(path, n, into, f)
	case t.Kind() == reflect.Pointer:
		fresh := reflect.New(t.Elem())
		d.value(path, n, fresh.Elem(), f)
		if !d.file.unread[path] {
			into.Set(fresh)
		}
	case t.Kind() == reflect.Struct:
		list := pairs(n)
		if list == nil {
			d.fail(path, found(n)+" stands where a group of fields belongs", "write its fields below, each as name: value")
			return
		}
		d.group(path, into, within(list, d.below))
	case t.Kind() == reflect.Slice:
		d.list(path, n, into, f)
	case t.Kind() == reflect.Map:
		d.pairsOf(path, n, into)
	}
}

// group decodes the fields of a struct.
func (d *decoder) group(path string, into reflect.Value, entries []entry) {
	t := into.Type()
	fields := shapes[t]
	seen := map[string]int{}
	for _, e := range entries {
		d.below = e.below
		name := e.name()
		i := slices.IndexFunc(fields, func(f field) bool { return f.key == name })
		if i < 0 {
			d.unknown(path, e, fields)
			continue
		}
		key := d.position(e.Key, e.below)
		sub := join(path, name)
		if line, twice := seen[name]; twice {
			d.report(key, sub, fmt.Sprintf("%s is given a second time, first in line %d", name, line), "keep one of them")
			continue
		}
		seen[name] = key.Line
		d.file.Places[sub] = key
		if _, ok := e.Value.(*ast.NullNode); ok || e.Value == nil {
			d.empty(sub, key, fields[i])
			continue
		}
		if wordFor(t.Field(fields[i].index).Type) != "" {
			d.file.Places[sub] = d.position(e.Value, e.below)
		}
		d.value(sub, e.Value, into.Field(fields[i].index), fields[i])
	}
}

func join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}

// empty looks at a key without a value: a colour without quotes is a comment to YAML.
func (d *decoder) empty(path string, key Position, f field) {
	if f.form != colourForm || key.Line > len(d.lines) {
		return
	}
	if m := lostColour.FindStringSubmatch(d.lines[key.Line-1]); m != nil {
		d.fail(path, "what follows # is a comment", "put the colour in quotes: "+quoted(m[1]))
	}
}

var lostColour = regexp.MustCompile(`:\s+(#[0-9A-Fa-f]{3,8})\b`)

// unknown reports a key that is none of the fields.
func (d *decoder) unknown(path string, e entry, fields []field) {
	name := e.name()
	at := d.position(e.Key, e.below)
	if _, ok := e.Key.(*ast.StringNode); ok && strings.TrimSpace(name) == "" {
		d.report(at, path, "a name is missing before the colon", "write name: value")
		return
	}
	known := make([]string, len(fields))
	for i, f := range fields {
		known[i] = f.key
	}
	if _, null := e.Value.(*ast.NullNode); null && strings.ContainsAny(name, "0123456789 ") {
		d.report(at, path, quoted(name)+" is no field", "between { } and [ ] a comma parts entries: put a value with a comma in quotes")
		return
	}
	if near := nearest(name, known); near != "" {
		d.file.unread[join(path, near)] = true
	}
	d.report(at, path, quoted(name)+" is no field here", instead(name, known))
}

// longestList is more entries than any list of a job has.
const longestList = 10000

// list decodes the entries of a slice.
func (d *decoder) list(path string, n ast.Node, into reflect.Value, f field) {
	sequence, ok := n.(*ast.SequenceNode)
	if !ok {
		do := "begin each entry on a line of its own with a dash"
		if text, ok := scalar(n); ok && len(text) <= 60 && !strings.Contains(text, "\n") {
			do = "write [" + text + "]"
		}
		d.fail(path, found(n)+" stands where a list belongs", do)
		return
	}
	if len(sequence.Values) > longestList {
		d.fail(path, fmt.Sprintf("a list of %d entries is longer than any job needs", len(sequence.Values)), "part the job in several files")
		return
	}
	into.Set(reflect.MakeSlice(into.Type(), len(sequence.Values), len(sequence.Values)))
	for i, item := range sequence.Values {
		sub := fmt.Sprintf("%s[%d]", path, i)
		if _, ok := item.(*ast.NullNode); ok || item == nil {
			d.file.Places[sub] = d.file.Places[path]
			if item != nil {
				d.file.Places[sub] = d.position(item, d.below)
			}
			d.fail(sub, "an entry of the list is empty", "fill it in or take its dash out")
			continue
		}
		d.file.Places[sub] = d.position(item, d.below)
		d.value(sub, item, into.Index(i), f)
	}
}

// pairsOf decodes a map of texts. The place of an entry is that of its key.
func (d *decoder) pairsOf(path string, n ast.Node, into reflect.Value) {
	list := pairs(n)
	if list == nil {
		d.fail(path, found(n)+" stands where pairs belong", "write each pair as one: other")
		return
	}
	into.Set(reflect.MakeMap(into.Type()))
	for _, e := range within(list, d.below) {
		sub := join(path, e.name())
		at := d.position(e.Key, e.below)
		text, ok := scalar(e.Value)
		_, twice := d.file.Places[sub]
		switch {
		case twice:
			d.report(at, sub, quoted(e.name())+" is given a second time", "keep one of them")
			continue
		case !ok || text == "":
			d.report(at, sub, found(e.Value)+" stands where a text belongs", "write one: other")
			d.file.unread[sub] = true
		}
		d.file.Places[sub] = at
		d.file.typed[sub] = text
		into.SetMapIndex(reflect.ValueOf(e.name()), reflect.ValueOf(text))
	}
}

// leaf decodes a single value.
func (d *decoder) leaf(path string, n ast.Node, into reflect.Value, f field) {
	text, ok := scalar(n)
	if !ok {
		d.fail(path, found(n)+" stands where "+wordFor(into.Type())+" belongs", "write one value")
		return
	}
	if text == "" {
		return
	}
	d.file.typed[path] = text
	v, err := readValue(into.Type(), text, f, d.decimals)
	if err == nil {
		err = f.check(v, text)
	}
	if err != nil {
		d.fail(path, err.what, err.do)
		return
	}
	into.Set(v)
}

// scalar is the text of a single value as it was typed, without its quotes.
func scalar(n ast.Node) (string, bool) {
	switch n := n.(type) {
	case nil:
		return "", false
	case *ast.NullNode:
		return "", true
	case *ast.StringNode:
		return strings.TrimSpace(n.Value), true
	case *ast.LiteralNode:
		if n.Value == nil {
			return "", true
		}
		return strings.TrimSpace(n.Value.Value), true
	case *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode, *ast.InfinityNode, *ast.NanNode:
		if tk := n.GetToken(); tk != nil {
			return strings.TrimSpace(tk.Value), true
		}
	}
	return "", false
}

// found names what stands at a node.
func found(n ast.Node) string {
	switch n.(type) {
	case nil, *ast.NullNode:
		return "nothing"
	case *ast.SequenceNode:
		return "a list"
	case *ast.MappingNode, *ast.MappingValueNode:
		return "a group of fields"
	}
	if text, ok := scalar(n); ok {
		return quoted(text)
	}
	return "something else"
}
