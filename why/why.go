// Package why answers what a figure of a plan rests on: a chain from the answer
// through the sums behind it to what was typed and to the sources of the catalog.
// It repeats no sum; it reads the results of the stages and names their inputs.
package why

import (
	"fmt"
	"strings"

	"scumble/catalog"
	"scumble/job"
	"scumble/plan"
	"scumble/unit"
)

// Reason is one link of a chain: a figure, how it came about, and what it rests on.
type Reason struct {
	Figure string   `json:"figure"`           // what it is
	Value  string   `json:"value"`            // with its unit
	How    string   `json:"how,omitempty"`    // the sum in words
	Typed  string   `json:"typed,omitempty"`  // field path of the job, for what was typed
	Source string   `json:"source,omitempty"` // footing and citation, for a figure of the catalog
	From   []Reason `json:"from,omitempty"`
}

// Questions lists what can be asked, for help and for a wrong question.
func Questions() []string {
	return []string{
		"wall ROOM/WALL area", "wall ROOM/WALL strips", "wall ROOM/WALL primer|filler|ground|glaze|clear",
		"wall ROOM/WALL hours", "wall ROOM/WALL waits", "wall ROOM/WALL day", "wall ROOM/WALL paid",
		"wall ROOM/WALL edge", "wall ROOM/WALL dry", "air ROOM",
		"product PRODUCT", "figure PATH", "price", "days",
	}
}

// Ask answers a question put as words, e.g. "wall", "Dining room/North", "glaze".
func Ask(p *plan.Plan, words []string) ([]Reason, error) {
	switch {
	case len(words) == 3 && words[0] == "wall":
		return wall(p, words[1], words[2])
	case len(words) == 2 && words[0] == "air":
		return room(p, words[1])
	case len(words) == 2 && words[0] == "product":
		return product(p, words[1])
	case len(words) == 2 && words[0] == "figure":
		if _, ok := p.Catalog.Figure(words[1]); !ok {
			return nil, fmt.Errorf("the catalog has no figure %q", words[1])
		}
		return []Reason{figure(p.Catalog, words[1])}, nil
	case len(words) == 1 && words[0] == "price":
		return []Reason{total(p)}, nil
	case len(words) == 1 && words[0] == "days":
		return []Reason{days(p)}, nil
	}
	return nil, fmt.Errorf("cannot answer %q; ask one of:\n  %s", strings.Join(words, " "), strings.Join(Questions(), "\n  "))
}

// typed is the end of a chain at the job file.
func typed(what, path, text string) Reason {
	if text == "" {
		return Reason{Figure: what, Value: "not given", How: "left to the default", Typed: path}
	}
	return Reason{Figure: what, Value: fmt.Sprintf("%q", text), How: "as typed", Typed: path}
}

// figure is the end of a chain at the catalog, with its rivals.
func figure(c *catalog.Catalog, path string) Reason {
	f, ok := c.Figure(path)
	if !ok {
		return Reason{Figure: path, Value: "not in the catalog"}
	}
	r := Reason{Figure: path, Value: inWords(f), How: f.Note, Source: footing(c, f)}
	for _, o := range f.Others {
		r.From = append(r.From, Reason{
			Figure: "also said: " + o.Name, Value: inWords(o), How: o.Note, Source: footing(c, o),
		})
	}
	return r
}

// inWords prints a figure with its unit, likely first.
func inWords(f catalog.Figure) string {
	measure := strings.ReplaceAll(f.Unit, "m2", "m²")
	if f.Low == f.High {
		return unit.Short(f.Likely) + " " + measure
	}
	return fmt.Sprintf("%s %s, from %s to %s", unit.Short(f.Likely), measure, unit.Short(f.Low), unit.Short(f.High))
}

// footing is the kind of a figure and, where there is one, its citation.
func footing(c *catalog.Catalog, f catalog.Figure) string {
	if s := c.Sources[f.Source]; s != nil {
		return fmt.Sprintf("%s: %s", f.Kind, s.Cite)
	}
	return string(f.Kind)
}

// Text prints chains as an indented list.
func Text(reasons []Reason, file *job.File) string {
	var b strings.Builder
	for _, r := range reasons {
		write(&b, r, 0, file)
	}
	return b.String()
}

func write(b *strings.Builder, r Reason, depth int, file *job.File) {
	indent := strings.Repeat("  ", depth)
	fmt.Fprintf(b, "%s%s: %s\n", indent, r.Figure, r.Value)
	if r.How != "" {
		fmt.Fprintf(b, "%s    %s\n", indent, r.How)
	}
	if r.Source != "" {
		fmt.Fprintf(b, "%s    [%s]\n", indent, r.Source)
	}
	if r.Typed != "" {
		where := r.Typed
		if at := file.At(r.Typed); at.Line > 0 {
			where = fmt.Sprintf("%s:%d:%d %s", file.Name, at.Line, at.Column, r.Typed)
		}
		fmt.Fprintf(b, "%s    %s\n", indent, where)
	}
	for _, from := range r.From {
		write(b, from, depth+1, file)
	}
}
