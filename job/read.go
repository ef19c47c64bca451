package job

import (
	"bytes"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"
)

// Bounds that no job reaches; they keep the parser from being led astray.
const (
	largestFile  = 4 << 20 // bytes; some 20,000 walls
	deepestFlow  = 20      // [ and { inside each other
	deepestEntry = 5       // dashes in one line
)

// Read reads a job from YAML. It reports everything it cannot read at once,
// sorted by place, and returns what it could read. It never returns a nil file.
//
// Missing values with a default have it afterwards. Whether the values make
// sense together is left to Check.
func Read(name string, src []byte) (*File, []Problem) {
	f := &File{Job: &Job{}, Name: name, Places: map[string]Position{"": {1, 1}}, unread: map[string]bool{}}
	d := &decoder{file: f}
	text := d.text(src)
	if text == "" {
		f.unread[""] = true
		return f, Sorted(d.problems)
	}
	d.lines = strings.Split(text, "\n")
	entries := d.entries(text)
	if d.version(entries) {
		d.decimals = currencyOf(entries)
		d.group("", reflect.ValueOf(f.Job).Elem(), entries)
		d.packSizes()
	}
	setDefaults(reflect.ValueOf(f.Job).Elem())
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
	for _, b := range blocks(text) {
		body, fault := parseYAML(b.text)
		if fault == nil && body != nil && pairs(body) == nil {
			fault = &yamlFault{Position{1, 1}, "this is no field", "write its name, a colon, a space and its value"}
		}
		if fault != nil {
			found = true
			key := b.text[:keyLength(b.text)]
			d.file.unread[key] = true
			at := Position{fault.at.Line + b.below, fault.at.Column}
			d.report(at, key, fault.what, fault.do)
			continue
		}
		all = append(all, within(pairs(body), b.below)...)
	}
	if !found { // the blocks are sound, what is between them is not
		d.report(fault.at, "", fault.what, fault.do)
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
	for i, line := range strings.SplitAfter(text, "\n") {
		if len(all) == 0 || keyLength(line) > 0 {
			all = append(all, block{below: i})
		}
		all[len(all)-1].text += line
	}
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

// yamlFault is why a text is not the plain YAML of a job.
type yamlFault struct {
	at       Position
	what, do string
}

// parseYAML parses one document. The body is nil when there is only comment.
func parseYAML(text string) (body ast.Node, fault *yamlFault) {
	// The library has panicked on bad input before; a job never may.
	defer func() {
		if r := recover(); r != nil {
			body, fault = nil, &yamlFault{Position{1, 1}, "cannot be read as YAML", "write it as in docs/job-file.md"}
		}
	}()
	tokens := lexer.Tokenize(text)
	if fault := refuse(tokens); fault != nil {
		return nil, fault
	}
	file, err := parser.Parse(tokens, 0, parser.AllowDuplicateMapKey())
	if err != nil {
		return nil, reword(err)
	}
	for _, doc := range file.Docs {
		if doc.Body != nil {
			return doc.Body, nil
		}
	}
	return nil, nil
}

// refuse finds the parts of YAML a job does without, before the parser follows
// them: they hide where a value stands, or lead it arbitrarily deep.
func refuse(tokens token.Tokens) *yamlFault {
	depth, dashes, line, begun := 0, 0, 0, false
	for _, tk := range tokens {
		at := Position{tk.Position.Line, tk.Position.Column}
		if at.Line != line {
			line, dashes = at.Line, 0
		}
		switch tk.Type {
		case token.AnchorType, token.AliasType:
			return &yamlFault{at, fmt.Sprintf("a job has no references made with %s", tk.Value), "write the value out, or put a text that begins with " + tk.Value + " in quotes"}
		case token.TagType:
			return &yamlFault{at, "a job has no tags made with !", "leave the tag out, or put a text that begins with ! in quotes"}
		case token.MergeKeyType:
			return &yamlFault{at, "a job merges nothing with <<", "write the fields out"}
		case token.MappingKeyType:
			return &yamlFault{at, "a key cannot begin with ?", "write its name, a colon and a space"}
		case token.DirectiveType:
			return &yamlFault{at, "a value cannot begin with %", "put it in quotes"}
		case token.DocumentHeaderType:
			if begun {
				return &yamlFault{at, "a second document begins here", "keep one job in a file"}
			}
		case token.DocumentEndType:
			return &yamlFault{at, "a job has no ... line", "take it out"}
		case token.SequenceStartType, token.MappingStartType:
			depth++
		case token.SequenceEndType, token.MappingEndType:
			depth--
		case token.SequenceEntryType:
			dashes++
		}
		if depth > deepestFlow || dashes > deepestEntry {
			return &yamlFault{at, "lists and groups lie too deep inside each other", "write them as in docs/job-file.md"}
		}
		begun = begun || tk.Type != token.CommentType
	}
	return nil
}

// said translates what the YAML library says.
var said = []struct{ part, what, do string }{
	{"end character of double-quoted text", `a text begun with " has no end`, `put a " at its end; an inch sign inside is written \" or in`},
	{"end character of single-quoted text", "a text begun with ' has no end", `put a ' at its end, or use " around a text with an apostrophe`},
	{"that cannot start any token", "a tab stands where spaces belong", "indent with spaces"},
	{"must be specified", "a list or group begun with [ or { is not closed before this", "part its entries with commas, close it with ] or }, and put a colour with # in quotes"},
	{"end token", "a list or group begun with [ or { is not closed", "close it with ] or }; a colour with # needs quotes"},
	{"could not find '['", "a ] has no [ before it", "take it out, or put the text in quotes"},
	{"could not find map value", "a group begun with { is not closed", "close it with }; a colour with # needs quotes"},
	{"mapping value is not allowed", "this value goes on in a way that cannot be followed", "put a text with a colon in quotes, and set fields of one group exactly under each other"},
	{"pre-defined", "something follows a value that has ended", "check the quotes and the indentation of this line"},
	{"value is not allowed in this context", "this stands where nothing can", "set fields of one group exactly under each other"},
	{"unexpected key name", "this is no field", "write its name, a colon, a space and its value, exactly under its neighbours"},
	{"reserved character", "a value cannot begin with @ or `", "put it in quotes"},
	{"block sequence entries", "a list cannot begin on the line of its key", "begin it on the next line"},
	{"escape character", `a \ in a text in double quotes begins a sign this is not`, `write \\ for a plain \, or use single quotes`},
}

func reword(err error) *yamlFault {
	fault := &yamlFault{Position{1, 1}, "cannot be read as YAML", "write it as in docs/job-file.md"}
	var syntax *yaml.SyntaxError
	if !errors.As(err, &syntax) {
		return fault
	}
	if tk := syntax.Token; tk != nil && tk.Position != nil {
		fault.at = Position{max(tk.Position.Line, 1), max(tk.Position.Column, 1)}
	}
	for _, s := range said {
		if strings.Contains(syntax.Message, s.part) {
			fault.what, fault.do = s.what, s.do
			return fault
		}
	}
	fault.what += " (" + syntax.Message + ")"
	return fault
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
