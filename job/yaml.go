package job

import (
	"errors"
	"strings"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"
)

// yamlFault is why a text is not the plain YAML of a job.
type yamlFault struct {
	at       Position
	what, do string
}

// parseYAML parses one document. The body is nil when there is only comment.
func parseYAML(text string) (body ast.Node, fault *yamlFault) {
	_, body, fault = parseWords(text)
	return body, fault
}

// parseWords parses one document and returns its words as well, comments among them.
func parseWords(text string) (tokens token.Tokens, body ast.Node, fault *yamlFault) {
	// The library has panicked on bad input before; a job never may.
	defer func() {
		if r := recover(); r != nil {
			body, fault = nil, &yamlFault{Position{1, 1}, "cannot be read as YAML", "write it as in docs/job-file.md"}
		}
	}()
	tokens = lexer.Tokenize(text)
	if fault := refuse(tokens); fault != nil {
		return tokens, nil, fault
	}
	file, err := parser.Parse(tokens, 0, parser.AllowDuplicateMapKey())
	if err != nil {
		return tokens, nil, reword(err)
	}
	for _, doc := range file.Docs {
		if doc.Body != nil {
			return tokens, doc.Body, nil
		}
	}
	return tokens, nil, nil
}

// Bounds that no job reaches. Beyond them the time the YAML library takes grows
// with the square of what it reads, and its depth with it.
const (
	deepest  = 20   // lists and groups inside each other
	mostKeys = 1000 // in one group, and blocks of a file
)

// guard looks through the words of a YAML text before the parser follows them.
// It refuses what a job does without, because it hides where a value stands, and
// what would lead the parser arbitrarily deep.
type guard struct {
	begun  bool
	line   int
	dashes int     // in this line
	flow   []int   // keys in each bracket that is open
	block  []group // groups that are open, in block style
	empty  int     // dashes and keys without a value
}

// group is a group of fields in block style.
type group struct{ column, keys int }

func refuse(tokens token.Tokens) *yamlFault {
	g := &guard{}
	for i, tk := range tokens {
		at := Position{tk.Position.Line, tk.Position.Column}
		if what, do := g.foreign(tk); what != "" {
			return &yamlFault{at, what, do}
		}
		if hollow(tokens[:i], tk) {
			g.empty++
		}
		if g.empty > mostKeys || i > 0 && !g.shallow(tk, tokens[i-1].Position.Column) {
			return &yamlFault{at, "lists and groups lie too deep inside each other, or hold too much", "write them as in docs/job-file.md"}
		}
		g.begun = g.begun || tk.Type != token.CommentType
	}
	return nil
}

// foreign names the parts of YAML that a job does without.
func (g *guard) foreign(tk *token.Token) (what, do string) {
	switch tk.Type {
	case token.AnchorType, token.AliasType:
		return "a job has no references made with " + tk.Value, "write the value out, or put a text that begins with " + tk.Value + " in quotes"
	case token.TagType:
		return "a job has no tags made with !", "leave the tag out, or put a text that begins with ! in quotes"
	case token.MergeKeyType:
		return "a job merges nothing with <<", "write the fields out"
	case token.MappingKeyType:
		return "a key cannot begin with ?", "write its name, a colon and a space"
	case token.DirectiveType:
		return "a value cannot begin with %", "put it in quotes"
	case token.DocumentHeaderType:
		if g.begun {
			return "a second document begins here", "keep one job in a file"
		}
	case token.DocumentEndType:
		return "a job has no ... line", "take it out"
	}
	return "", ""
}

// shallow follows how deep lists and groups lie inside each other and how much
// they hold. A key stands before its colon, in the column given.
func (g *guard) shallow(tk *token.Token, before int) bool {
	if tk.Position.Line != g.line {
		g.line, g.dashes = tk.Position.Line, 0
	}
	switch tk.Type {
	case token.SequenceStartType, token.MappingStartType:
		g.flow = append(g.flow, 0)
	case token.SequenceEndType, token.MappingEndType:
		g.flow = g.flow[:max(len(g.flow)-1, 0)]
	case token.SequenceEntryType:
		g.dashes++
		g.close(tk.Position.Column)
	case token.MappingValueType:
		if n := len(g.flow); n > 0 {
			g.flow[n-1]++
			return g.flow[n-1] <= mostKeys
		}
		g.close(before)
		if n := len(g.block); n == 0 || g.block[n-1].column < before {
			g.block = append(g.block, group{column: before})
		}
		last := &g.block[len(g.block)-1]
		last.keys++
		return last.keys <= mostKeys && len(g.block) <= deepest
	}
	return len(g.flow) <= deepest && g.dashes <= deepest
}

// hollow reports whether the dash or the key before this word has no value.
func hollow(before token.Tokens, next *token.Token) bool {
	n := len(before)
	if n < 2 {
		return false
	}
	last, key := before[n-1], before[n-2]
	switch last.Type {
	case token.SequenceEntryType:
		return next.Type == token.SequenceEntryType && next.Position.Line != last.Position.Line
	case token.MappingValueType:
		further := next.Position.Column > key.Position.Column ||
			next.Type == token.SequenceEntryType && next.Position.Column == key.Position.Column
		return next.Type == token.CollectEntryType || next.Position.Line != last.Position.Line && !further
	}
	return false
}

// close ends the groups further in than a column.
func (g *guard) close(column int) {
	for n := len(g.block); n > 0 && g.block[n-1].column > column; n-- {
		g.block = g.block[:n-1]
	}
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
