package job

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// Position is a place in a file, both counted from 1, columns in characters.
type Position struct{ Line, Column int }

// Problem is an error in a job: where, what is wrong, what to do.
type Problem struct {
	File string
	Position
	Path string // field, e.g. rooms[1].walls[0].length; "" for the whole file
	What string
	Do   string
}

// Error prints the problem in one line: job.yaml:12:7: rooms[0].height: what; do.
// The place is left out while it is not known.
func (p Problem) Error() string {
	var b strings.Builder
	if p.File != "" {
		b.WriteString(p.File + ":")
	}
	if p.Line > 0 {
		fmt.Fprintf(&b, "%d:%d:", p.Line, p.Column)
	}
	if b.Len() > 0 {
		b.WriteString(" ")
	}
	if p.Path != "" {
		b.WriteString(p.Path + ": ")
	}
	b.WriteString(p.What)
	if p.Do != "" {
		b.WriteString("; " + p.Do)
	}
	return b.String()
}

// File is a job together with where each of its values stands.
type File struct {
	Job    *Job
	Name   string
	Places map[string]Position // by field path

	// unread holds the paths of values that are in the file but could not be
	// read. Read has reported them, so Check does not call them missing.
	unread map[string]bool
	// typed holds the text of every single value, readable or not.
	typed map[string]string
}

// Typed is the text of the single value at a path as it was typed, readable or not.
// ok is false when nothing stands there.
func (f *File) Typed(path string) (text string, ok bool) {
	text, ok = f.typed[path]
	return text, ok
}

// At is the place of a field: of its value, or of its key for a list or a group
// of fields. A field that is not in the file has the place of what it belongs to.
func (f *File) At(path string) Position {
	for {
		if at, ok := f.Places[path]; ok {
			return at
		}
		if path == "" {
			return Position{1, 1}
		}
		path = above(path)
	}
}

// Placed returns problems that carry a path only with file and position filled
// in, sorted by place. Those of values that Read could not read are left out:
// Read has said what is wrong with them.
func (f *File) Placed(problems []Problem) []Problem {
	var placed []Problem
	for _, p := range problems {
		if !f.missed(p.Path) {
			p.File, p.Position = f.Name, f.At(p.Path)
			placed = append(placed, p)
		}
	}
	return Sorted(placed)
}

// above is the path of the group or list that holds a field.
func above(path string) string {
	return path[:max(strings.LastIndexAny(path, ".["), 0)]
}

// missed reports whether a value at the path or above it could not be read.
func (f *File) missed(path string) bool {
	for {
		if f.unread[path] {
			return true
		}
		if path == "" {
			return false
		}
		path = above(path)
	}
}

// whole reports whether everything at and below the path could be read.
func (f *File) whole(path string) bool {
	if f.missed(path) {
		return false
	}
	for bad := range f.unread {
		if strings.HasPrefix(bad, path) {
			return false
		}
	}
	return true
}

// Sorted returns the problems in the order of their places, then paths, without
// those said twice.
func Sorted(problems []Problem) []Problem {
	problems = slices.Clone(problems)
	slices.SortFunc(problems, func(a, b Problem) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column),
			strings.Compare(a.Path, b.Path), strings.Compare(a.What, b.What), strings.Compare(a.Do, b.Do))
	})
	return slices.Compact(problems)
}

// nearest returns the known word most like the one typed, "" when none is near.
func nearest(typed string, known []string) string {
	best, least := "", max(1, utf8.RuneCountInString(typed)/3)+1
	for _, word := range known {
		if d := distance(plain(typed), plain(word)); d < least {
			best, least = word, d
		}
	}
	return best
}

// plain takes away what people vary in a word.
func plain(word string) string {
	return strings.NewReplacer("_", "", "-", "", " ", "").Replace(strings.ToLower(word))
}

// distance counts the characters to change, add, drop or swap with their
// neighbour to turn one word into the other (optimal string alignment).
func distance(a, b string) int {
	x, y := []rune(a), []rune(b)
	if len(x) > 60 || len(y) > 60 {
		return len(x) + len(y)
	}
	rows := make([][]int, len(x)+1)
	for i := range rows {
		rows[i] = make([]int, len(y)+1)
		rows[i][0] = i
	}
	for j := range y {
		rows[0][j+1] = j + 1
	}
	for i := 1; i <= len(x); i++ {
		for j := 1; j <= len(y); j++ {
			change := rows[i-1][j-1]
			if x[i-1] != y[j-1] {
				change++
			}
			rows[i][j] = min(change, rows[i-1][j]+1, rows[i][j-1]+1)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				rows[i][j] = min(rows[i][j], rows[i-2][j-2]+1)
			}
		}
	}
	return rows[len(x)][len(y)]
}

// instead words the advice to use a known word for the one typed.
func instead(typed string, known []string) string {
	if word := nearest(typed, known); word != "" {
		return "write " + word
	}
	if len(known) > 12 {
		return "see docs/job-file.md for what can stand here"
	}
	return "write " + oneOf(known)
}

// oneOf lists words for a sentence: a, b or c.
func oneOf(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " or " + words[last]
}

// quoted shows what was typed, shortened when it is long.
func quoted(text string) string {
	if utf8.RuneCountInString(text) > 40 {
		text = string([]rune(text)[:40]) + "..."
	}
	return `"` + strings.Map(visible, text) + `"`
}

func visible(r rune) rune {
	if r < ' ' {
		return ' '
	}
	return r
}
