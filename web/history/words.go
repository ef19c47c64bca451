package history

import (
	"cmp"
	"slices"
	"strings"

	"scumble/web/board"
	"scumble/web/frame"
)

// mostSaid is how many changes are told in words; a longer list is no help.
const mostSaid = 60

// said tells in words how b differs from a: entries that came or went as one change each,
// and single values otherwise. Prices are left out unless asked for. more counts what is
// beyond mostSaid.
func said(a, b *board.Board, prices bool) (out []change, more int) {
	matched, told := map[string]bool{}, map[string]bool{}
	add := func(c change) {
		if len(out) < mostSaid {
			out = append(out, c)
		} else {
			more++
		}
	}
	// entry tells an entry that only one side has, once, and whether it did.
	entry := func(path string, has, lacks *board.Board, c func(name string) change) bool {
		at := onlyIn(path, has, lacks)
		if at != "" && !told[at] {
			told[at] = true
			add(c(heading(has.NameOf(at))))
		}
		return at != ""
	}
	for _, path := range typed(a, prices) {
		to, _ := b.Follow(path, a)
		if entry(path, a, b, func(name string) change { return change{name, "there", "taken out"} }) {
			continue
		}
		before, after := a.Typed(path), b.Typed(to)
		if matched[to] { // entries without names, fewer than before
			after = ""
		}
		matched[to] = true
		if before != after {
			add(change{heading(a.NameOf(path)), before, none(after)})
		}
	}
	clear(told)
	for _, path := range typed(b, prices) {
		if matched[path] || entry(path, b, a, func(name string) change { return change{name, "not there", "added"} }) {
			continue
		}
		add(change{heading(b.NameOf(path)), "none", b.Typed(path)})
	}
	return out, more
}

// heading is a name as it stands at the head of a row: no full stop.
func heading(name string) string { return strings.TrimSuffix(frame.Sentence(name), ".") }

func none(text string) string {
	if text == "" {
		return "none"
	}
	return text
}

// onlyIn is the outermost entry on the way to a path that another job lacks, or "".
func onlyIn(path string, has, lacks *board.Board) string {
	for i, r := range path {
		if r != ']' {
			continue
		}
		if to, ok := lacks.Follow(path[:i+1], has); !ok || !lacks.Holds(to) {
			return path[:i+1]
		}
	}
	return ""
}

// typed are the paths of the single values of a job, in the order of its text.
func typed(b *board.Board, prices bool) []string {
	if b.File == nil {
		return nil
	}
	var out []string
	for path := range b.File.Places {
		if _, single := b.File.Typed(path); single && (prices || !frame.IsPrice(path)) {
			out = append(out, path)
		}
	}
	slices.SortFunc(out, func(x, y string) int {
		p, q := b.File.Places[x], b.File.Places[y]
		return cmp.Or(cmp.Compare(p.Line, q.Line), cmp.Compare(p.Column, q.Column), strings.Compare(x, y))
	})
	return out
}
