package catalog

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"sync"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"
)

// The general YAML decoder stops at the first error and takes most of the
// start-up time of the program, so records are read straight from the syntax
// tree; see BenchmarkLoad.

// longestFile is the most bytes one record may have; every real one is far below.
const longestFile = 1 << 17

// reference is an id in a record that must stand in another table.
type reference struct {
	Problem // where; What is empty
	table   string
	id      string
}

// decoder turns one file into one record and collects what is wrong.
type decoder struct {
	file     string
	partial  bool // fields may be missing
	given    map[string]bool
	refs     []reference
	problems Problems
}

// field is one field of a record as its tags describe it.
type field struct {
	index int
	name  string
	need  bool
	units []string
	oneof []string
	ref   string
}

var schemas sync.Map // reflect.Type -> []field

// fieldsOf lists the fields of a record type with what their tags ask.
func fieldsOf(t reflect.Type) []field {
	if known, ok := schemas.Load(t); ok {
		return known.([]field)
	}
	var fields []field
	for i := range t.NumField() {
		tag := t.Field(i).Tag
		f := field{index: i, name: tag.Get("yaml"), need: tag.Get("need") != "", ref: tag.Get("ref"), units: strings.Fields(tag.Get("unit"))}
		if list := tag.Get("oneof"); strings.Contains(list, ", ") {
			f.oneof = strings.Split(list, ", ")
		} else {
			f.oneof = strings.Fields(list)
		}
		fields = append(fields, f)
	}
	schemas.Store(t, fields)
	return fields
}

// fail notes a problem at a token.
func (d *decoder) fail(at *token.Token, do, what string, args ...any) {
	d.problems = append(d.problems, d.place(at, fmt.Sprintf(what, args...), do))
}

func (d *decoder) place(at *token.Token, what, do string) Problem {
	p := Problem{File: d.file, What: what, Do: do}
	if at != nil && at.Position != nil {
		p.Line, p.Column = at.Position.Line, at.Position.Column
	}
	return p
}

// document reads a whole file into a record. The parser is known to fall over
// on some broken input; that is a problem of the file, not of the program.
func (d *decoder) document(src []byte, into reflect.Value) {
	defer func() {
		if r := recover(); r != nil {
			d.problems = append(d.problems, Problem{File: d.file, What: fmt.Sprint("cannot be read as YAML: ", r), Do: "compare it with a built-in record"})
		}
	}()
	if len(src) > longestFile {
		d.problems = append(d.problems, Problem{File: d.file, What: fmt.Sprintf("is %d bytes long, more than %d", len(src), longestFile), Do: "keep one record in a file"})
		return
	}
	file, err := parser.ParseBytes(src, 0)
	if err != nil {
		var syntax yaml.Error
		if errors.As(err, &syntax) {
			d.fail(syntax.GetToken(), "compare the line with a built-in record", "is not YAML: %s", syntax.GetMessage())
		} else {
			d.problems = append(d.problems, Problem{File: d.file, What: "is not YAML: " + err.Error(), Do: "compare it with a built-in record"})
		}
		return
	}
	switch {
	case len(file.Docs) > 1:
		d.problems = append(d.problems, Problem{File: d.file, What: fmt.Sprintf("holds %d documents", len(file.Docs)), Do: "keep exactly one record in a file"})
		return
	case len(file.Docs) == 0 || file.Docs[0].Body == nil:
		d.problems = append(d.problems, Problem{File: d.file, What: "is empty", Do: "write one record in it"})
		return
	}
	d.record(file.Docs[0].Body, into, true)
}

// pairs gives the entries of a mapping node.
func (d *decoder) pairs(node ast.Node) ([]*ast.MappingValueNode, bool) {
	switch n := node.(type) {
	case *ast.MappingNode:
		return n.Values, true
	case *ast.MappingValueNode:
		return []*ast.MappingValueNode{n}, true
	}
	d.fail(start(node), "write its fields as `name: value` lines", "must have fields")
	return nil, false
}

// start is the token where a node begins: for a mapping its first key.
func start(node ast.Node) *token.Token {
	switch n := node.(type) {
	case nil:
		return nil
	case *ast.MappingNode:
		if len(n.Values) > 0 && !n.IsFlowStyle {
			return n.Values[0].Key.GetToken()
		}
	case *ast.MappingValueNode:
		return n.Key.GetToken()
	case *ast.LiteralNode:
		return n.Start
	}
	return node.GetToken()
}

// record fills a struct from a mapping.
func (d *decoder) record(node ast.Node, into reflect.Value, top bool) {
	pairs, ok := d.pairs(node)
	if !ok {
		return
	}
	fields := fieldsOf(into.Type())
	given := make(map[string]bool, len(pairs))
	for _, pair := range pairs {
		key := pair.Key.GetToken()
		at := slices.IndexFunc(fields, func(f field) bool { return f.name == key.Value })
		if at < 0 {
			names := make([]string, len(fields))
			for i := range fields {
				names[i] = fields[i].name
			}
			d.fail(key, "use one of "+strings.Join(names, ", "), "%q is no field here", key.Value)
			continue
		}
		given[key.Value] = true
		d.value(pair.Value, into.Field(fields[at].index), &fields[at])
	}
	for i := range fields {
		if fields[i].need && !given[fields[i].name] && !(top && d.partial) {
			d.fail(start(node), "add it", "%q is missing", fields[i].name)
		}
	}
	if top {
		d.given = given
	}
}

var figureType = reflect.TypeFor[Figure]()

// value fills one field.
func (d *decoder) value(node ast.Node, into reflect.Value, f *field) {
	switch into.Kind() {
	case reflect.Pointer:
		into.Set(reflect.New(into.Type().Elem()))
		d.value(node, into.Elem(), f)
	case reflect.Struct:
		if into.Type() == figureType {
			into.Set(reflect.ValueOf(d.figure(node, f)))
			return
		}
		d.record(node, into, false)
	case reflect.Slice:
		list, ok := node.(*ast.SequenceNode)
		if !ok {
			d.fail(start(node), "write one entry a line, each after a dash", "%q must be a list", f.name)
			return
		}
		into.Set(reflect.MakeSlice(into.Type(), len(list.Values), len(list.Values)))
		for i, entry := range list.Values {
			d.value(entry, into.Index(i), f)
		}
	case reflect.Map:
		d.named(node, into, f)
	case reflect.String:
		if text, ok := d.text(node, f); ok {
			into.SetString(text)
		}
	default:
		d.scalar(node, into, f)
	}
}

// named fills a map: word lists by language, figures by name.
func (d *decoder) named(node ast.Node, into reflect.Value, f *field) {
	pairs, ok := d.pairs(node)
	if !ok {
		return
	}
	into.Set(reflect.MakeMapWithSize(into.Type(), len(pairs)))
	for _, pair := range pairs {
		value := reflect.New(into.Type().Elem()).Elem()
		d.value(pair.Value, value, f)
		into.SetMapIndex(reflect.ValueOf(pair.Key.GetToken().Value), value)
	}
}

// plain is the text of a scalar node.
func plain(node ast.Node) (string, bool) {
	switch n := node.(type) {
	case *ast.StringNode:
		return n.Value, true
	case *ast.LiteralNode:
		return strings.TrimSpace(n.Value.Value), true
	case *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode:
		return n.GetToken().Value, true
	}
	return "", false
}

// text reads a text field and checks it against its tags.
func (d *decoder) text(node ast.Node, f *field) (string, bool) {
	text, ok := plain(node)
	if !ok || text == "" && f.need {
		d.fail(start(node), "write its text on the line", "%q must be a text", f.name)
		return "", false
	}
	if len(f.oneof) > 0 && !slices.Contains(f.oneof, text) {
		d.fail(start(node), "use one of: "+strings.Join(f.oneof, ", "), "%q cannot be %q", f.name, text)
		return "", false
	}
	if f.ref != "" {
		d.refs = append(d.refs, reference{Problem: d.place(start(node), "", ""), table: f.ref, id: text})
	}
	return text, true
}

// scalar fills a number or a yes or no.
func (d *decoder) scalar(node ast.Node, into reflect.Value, f *field) {
	text, _ := plain(node)
	var err error
	switch into.Kind() {
	case reflect.Bool:
		var yes bool
		if yes, err = strconv.ParseBool(text); err == nil {
			into.SetBool(yes)
			return
		}
		d.fail(start(node), "write true or false", "%q cannot be %q", f.name, text)
	case reflect.Int:
		var n int
		if n, err = strconv.Atoi(text); err == nil {
			into.SetInt(int64(n))
			return
		}
		d.fail(start(node), "write a whole number", "%q cannot be %q", f.name, text)
	case reflect.Float64:
		var x float64
		if x, err = strconv.ParseFloat(text, 64); err == nil && !math.IsInf(x, 0) && !math.IsNaN(x) {
			into.SetFloat(x)
			return
		}
		d.fail(start(node), "write a number", "%q cannot be %q", f.name, text)
	}
}

// figure reads a figure: one line of text, or `is` with that line and `others`
// with rival lines by name.
func (d *decoder) figure(node ast.Node, f *field) Figure {
	if text, ok := plain(node); ok {
		return d.figureText(text, start(node), f)
	}
	pairs, ok := d.pairs(node)
	if !ok {
		return Figure{}
	}
	var figure Figure
	var others []Figure
	for _, pair := range pairs {
		key := pair.Key.GetToken()
		switch key.Value {
		case "is":
			text, _ := plain(pair.Value)
			figure = d.figureText(text, start(pair.Value), f)
		case "others":
			rivals, _ := d.pairs(pair.Value)
			for _, rival := range rivals {
				text, _ := plain(rival.Value)
				other := d.figureText(text, start(rival.Value), f)
				other.Name = rival.Key.GetToken().Value
				others = append(others, other)
			}
		default:
			d.fail(key, "use is and others, or write the figure on one line", "%q is no part of a figure", key.Value)
		}
	}
	if figure.Unit == "" {
		d.fail(start(node), "add `is: LOW LIKELY HIGH UNIT; FOOTING`", "%q has no figure", f.name)
	}
	figure.Others = others
	return figure
}

// figureText reads the line and checks its unit and source.
func (d *decoder) figureText(text string, at *token.Token, f *field) Figure {
	figure, err := parseFigure(text)
	if err != nil {
		d.fail(at, "write `LOW LIKELY HIGH UNIT; FOOTING; NOTE`, for instance `900 1000 1200 mm; common practice`", "%q: %v", f.name, err)
		return Figure{}
	}
	if len(f.units) > 0 && !slices.Contains(f.units, figure.Unit) {
		d.fail(at, "give it in "+strings.Join(f.units, " or "), "%q cannot be in %s", f.name, figure.Unit)
	}
	if figure.Source != "" {
		d.refs = append(d.refs, reference{Problem: d.place(at, "", ""), table: "sources", id: figure.Source})
	}
	return figure
}
