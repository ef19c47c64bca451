package job

import (
	"bytes"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml/ast"
)

// largestFile is the size in bytes up to which a job is read; some 20,000 walls.
const largestFile = 4 << 20

// Read reads a job from YAML. It reports everything it cannot read at once,
// sorted by place, and returns what it could read. It never returns a nil file.
//
// Missing values with a default have it afterwards. Whether the values make
// sense together is left to Check.
func Read(name string, src []byte) (*File, []Problem) {
	f := &File{Job: &Job{}, Name: name, Places: map[string]Position{"": {1, 1}}, unread: map[string]bool{}, typed: map[string]string{}}
	d := &decoder{file: f}
	text := d.text(src)
	if text == "" {
		f.unread[""] = true
		return f, Sorted(d.problems)
	}
	d.lines = strings.Split(text, "\n")
	for _, line := range d.lines {
		d.widths = append(d.widths, utf8.RuneCountInString(line))
	}
	entries := d.entries(text)
	if d.version(entries) {
		d.decimals = currencyOf(entries)
		d.group("", reflect.ValueOf(f.Job).Elem(), entries)
		d.packSizes()
	}
	setDefaults(reflect.ValueOf(f.Job).Elem())
	for i := range f.Job.Finishes {
		if finish := &f.Job.Finishes[i]; finish.Name == "" {
			finish.Name = finish.ID
		}
	}
	return f, Sorted(d.problems)
}

// text checks that the file is text and closes up the ends of its lines, which
// the YAML library would count twice. It returns "" when there is none to read.
func (d *decoder) text(src []byte) string {
	if len(src) > largestFile {
		d.report(Position{1, 1}, "", fmt.Sprintf("the file is larger than %d MB", largestFile>>20), "part the job in several files")
		return ""
	}
	src = bytes.TrimPrefix(src, []byte("\ufeff"))
	text := strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(string(src))
	line, column := 1, 1
	for i, r := range text {
		broken := r == utf8.RuneError && !strings.HasPrefix(text[i:], "\ufffd")
		switch {
		case broken:
			d.report(Position{line, column}, "", "this is not text in UTF-8", "save the file as plain text, UTF-8")
			return ""
		case r < ' ' && r != '\n' && r != '\t':
			d.report(Position{line, column}, "", fmt.Sprintf("a control character (%U) stands here", r), "take it out")
			return ""
		case r == '\n':
			line, column = line+1, 1
		default:
			column++
		}
	}
	if strings.TrimSpace(text) == "" {
		d.report(Position{1, 1}, "", "the file is empty", "begin a job with the line scumble: 1")
		return ""
	}
	return text
}

// entry is one key of a group of fields with its value. The places of its nodes
// are counted from the line below.
type entry struct {
	*ast.MappingValueNode
	below int
}

func (e entry) name() string {
	if tk := e.Key.GetToken(); tk != nil {
		return tk.Value
	}
	return ""
}

// entries are the top-level fields of the file. When the file as a whole cannot
// be parsed, each block that begins at the left margin is parsed by itself, so
// that one slip hides nothing in the other blocks.
func (d *decoder) entries(text string) []entry {
	body, fault := parseYAML(text)
	if fault == nil {
		switch {
		case body == nil:
			d.report(Position{1, 1}, "", "the file holds nothing but comments", "begin a job with the line scumble: 1")
			d.file.unread[""] = true
		case pairs(body) == nil:
			d.report(Position{1, 1}, "", "the file is not a job", "write fields at the left margin, the first of them scumble: 1")
			d.file.unread[""] = true
		}
		return within(pairs(body), 0)
	}
	var all []entry
	found := false
	parts := blocks(text)
	if len(parts) > mostKeys {
		parts = nil
	}
	for _, b := range parts {
		body, fault := parseYAML(b.text)
		if fault == nil && body != nil && pairs(body) == nil {
			fault = &yamlFault{Position{1, 1}, "this is no field", "write its name, a colon, a space and its value"}
		}
		if fault != nil {
			found = true
			key := b.text[:keyLength(b.text)]
			d.file.unread[key] = true
			at := d.inside(Position{fault.at.Line + b.below, fault.at.Column})
			d.report(at, key, fault.what, fault.do)
			continue
		}
		all = append(all, within(pairs(body), b.below)...)
	}
	if !found { // the blocks are sound, what is between them is not
		d.report(d.inside(fault.at), "", fault.what, fault.do)
		d.file.unread[""] = true
	}
	return all
}

// block is a piece of a file that begins with a key at the left margin.
type block struct {
	text  string
	below int // lines before it
}

func blocks(text string) []block {
	var all []block
	begin, at := 0, 0
	for i, line := range strings.SplitAfter(text, "\n") {
		if i > 0 && keyLength(line) > 0 {
			all[len(all)-1].text = text[begin:at]
			begin = at
		}
		if begin == at {
			all = append(all, block{below: i})
		}
		at += len(line)
	}
	all[len(all)-1].text = text[begin:]
	return all
}

// keyLength is the length of the plain word a line begins with.
func keyLength(line string) int {
	n := strings.IndexFunc(line, func(r rune) bool {
		return r != '-' && r != '_' && (r < 'a' || r > 'z') && (r < 'A' || r > 'Z')
	})
	if n <= 0 || strings.HasPrefix(line, "-") {
		return 0
	}
	return n
}

func within(pairs []*ast.MappingValueNode, below int) []entry {
	list := make([]entry, 0, len(pairs))
	for _, p := range pairs {
		list = append(list, entry{p, below})
	}
	return list
}

// pairs are the fields of a group, nil when the node is none.
func pairs(n ast.Node) []*ast.MappingValueNode {
	switch n := n.(type) {
	case *ast.MappingNode:
		return slices.Clip(append([]*ast.MappingValueNode{}, n.Values...))
	case *ast.MappingValueNode:
		return []*ast.MappingValueNode{n}
	}
	return nil
}

// version reports whether the file is of the version this program reads, or
// does not say.
func (d *decoder) version(entries []entry) bool {
	for _, e := range entries {
		if e.name() != "scumble" {
			continue
		}
		text, ok := scalar(e.Value)
		if !ok || text == "" || text == strconv.Itoa(Version) {
			return true
		}
		do := fmt.Sprintf("write scumble: %d", Version)
		if n, err := strconv.Atoi(text); err == nil && n > Version {
			do = fmt.Sprintf("this program reads version %d: get a newer one", Version)
		}
		d.report(d.position(e.Value, e.below), "scumble", quoted(text)+" is no version of the job file known here", do)
		d.file.unread[""] = true
		return false
	}
	if !d.file.unread["scumble"] && !d.file.unread[""] {
		d.report(Position{1, 1}, "scumble", "the version of the job file is missing", fmt.Sprintf("write scumble: %d as the first line", Version))
		d.file.unread["scumble"] = true
	}
	return true
}

// currencyOf finds the decimals of the job's currency before its amounts are read.
func currencyOf(entries []entry) int {
	for _, e := range entries {
		if e.name() == "currency" {
			text, _ := scalar(e.Value)
			return Decimals(text)
		}
	}
	return Decimals("")
}
