package board

import (
	"fmt"
	"maps"
	"strconv"
	"strings"

	"scumble/job"
)

// part is one step of a field path: a key, or an index of a list.
type part struct {
	key   string
	index int // -1 for a key
}

func partsOf(path string) []part {
	var out []part
	for _, piece := range strings.Split(path, ".") {
		key, rest, _ := strings.Cut(piece, "[")
		out = append(out, part{key, -1})
		for rest != "" {
			number, after, _ := strings.Cut(rest, "]")
			n, err := strconv.Atoi(number)
			if err != nil {
				n = -1
			}
			out = append(out, part{"", n})
			rest = strings.TrimPrefix(after, "[")
		}
	}
	return out
}

// nameOfEntry is what tells an entry of a list from the others.
func (b *Board) nameOfEntry(path string) string {
	if strings.HasPrefix(path, "observed[") { // many are of one figure, and would pass for each other
		return ""
	}
	for _, key := range []string{"id", "name", "product", "good", "kind", "what", "step", "of"} {
		if text, ok := b.File.Typed(path + "." + key); ok && text != "" {
			return text
		}
	}
	text, _ := b.File.Typed(path)
	return text
}

// Holds reports whether a field, or an entry of a list, is in the text.
func (b *Board) Holds(path string) bool {
	_, ok := b.File.Places[path]
	return ok
}

// Follow finds a field of another board in this one: entries of lists are followed by
// their names, so that a wall is found again when somebody put one before it. ok is
// false when an entry on the way is gone.
func (b *Board) Follow(path string, from *Board) (found string, ok bool) {
	old := ""
	for _, p := range partsOf(path) {
		if p.index < 0 {
			old, found = join(old, p.key), join(found, p.key)
			continue
		}
		list := found
		old += fmt.Sprintf("[%d]", p.index)
		name := from.nameOfEntry(old)
		found = fmt.Sprintf("%s[%d]", list, p.index)
		if !from.Holds(old) || b.Holds(found) && b.nameOfEntry(found) == name {
			continue // a new entry, or one that stands where it stood
		}
		at := -1
		for i := 0; b.Holds(fmt.Sprintf("%s[%d]", list, i)); i++ {
			if b.nameOfEntry(fmt.Sprintf("%s[%d]", list, i)) == name {
				at = i
				break
			}
		}
		if at < 0 {
			return path, false
		}
		found = fmt.Sprintf("%s[%d]", list, at)
	}
	return found, true
}

func join(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}

// words for keys where the key itself would not do.
var words = map[string]string{
	"lean-left": "left corner out of plumb", "lean-right": "right corner out of plumb", "height-right": "right edge",
	"ground-b": "second ground", "glaze-b": "second glaze", "with": "glaze product", "let-down": "thinning", "seen": "how much it is seen",
	"hex": "colour", "once": "lump sum", "done": "last finished step", "ended": "when it ended",
}

// entryWords are for entries without a name of their own, which are told by their number.
var entryWords = map[string]string{"outline": "corner", "breaks": "lower price", "observed": "own wall"}

// Alike reports whether an entry of a list says the same in another board. Entries without
// a name are told apart by nothing else.
func (b *Board) Alike(path string, other *Board, at string) bool {
	if b.nameOfEntry(path) != "" {
		return true
	}
	return maps.Equal(b.fieldsOf(path), other.fieldsOf(at))
}

// fieldsOf is what stands in the fields of an entry.
func (b *Board) fieldsOf(path string) map[string]string {
	out := map[string]string{}
	for field := range b.File.Places {
		if text, ok := b.File.Typed(field); ok && Within(field, path) {
			out[field[len(path):]] = text
		}
	}
	return out
}

// NameOf says a field path in words: Breakfast room, North: length.
func (b *Board) NameOf(path string) string {
	var where []string
	field, at := "", ""
	for _, p := range partsOf(path) {
		if p.index < 0 {
			at, field = join(at, p.key), p.key
			continue
		}
		at += fmt.Sprintf("[%d]", p.index)
		name := b.nameOfEntry(at)
		if name == "" && entryWords[field] != "" {
			name = fmt.Sprintf("%s %d", entryWords[field], p.index+1)
		}
		if name != "" {
			where = append(where, name)
		}
		field = ""
	}
	if strings.Contains(path, ".boards[") && field == "seen" {
		field = "seen on it"
	}
	if known := words[field]; known != "" {
		field = known
	}
	field = strings.ReplaceAll(field, "-", " ")
	place := strings.Join(where, ", ")
	switch {
	case place == "":
		return field
	case field == "":
		return place
	}
	return place + ": " + field
}

// WrongAt are the problems of exactly one field.
func (b *Board) WrongAt(path string) []job.Problem {
	var out []job.Problem
	for _, p := range b.Problems {
		if p.Path == path {
			out = append(out, p)
		}
	}
	return out
}
