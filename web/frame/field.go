package frame

import (
	"strings"

	"scumble/web/board"
)

// Field is one field of a form, filled in with what stands in the job.
type Field struct {
	Path, ID, Label string
	Key             string // its letter on the drawing
	Typed           string
	Unit            string // what a bare number means
	Note            string
	Mode            string // of the keyboard: decimal | numeric | text
	Wrong           []string
	Choices         []Choice
	Form            string // id of the form it belongs to, where it stands outside
	Wide            bool
	Instead         string // what is used while the field is empty
}

// Choice is one thing to choose from.
type Choice struct {
	Value, Words string
	Chosen       bool
}

// FieldOf fills a field in from a board, with what is wrong with it.
func FieldOf(b *board.Board, path, label, unit string) Field {
	f := Field{Path: path, ID: idOf(path), Label: label, Unit: unit, Typed: b.Typed(path), Mode: "text"}
	switch unit {
	case "mm":
		f.Mode = "decimal"
	case "number":
		f.Mode, f.Unit = "numeric", ""
	}
	f.Wrong = WrongAt(b, path)
	return f
}

// WrongAt says what is wrong with exactly one field or entry.
func WrongAt(b *board.Board, path string) []string {
	var out []string
	for _, p := range b.WrongAt(path) {
		out = append(out, Sentence(p.What)+" "+Sentence(p.Do))
	}
	return out
}

// Noted adds a note under a field.
func (f Field) Noted(note string) Field { f.Note = note; return f }

// Lettered gives a field its letter on the drawing.
func (f Field) Lettered(letter string) Field { f.Key = letter; return f }

// In gives the form a field belongs to.
func (f Field) In(form string) Field { f.Form = form; return f }

// From makes a field one to choose from; the first choice may have an empty value for
// nothing chosen.
func (f Field) From(choices ...Choice) Field {
	f.Choices = nil
	known := false
	for _, c := range choices {
		c.Chosen = c.Value == f.Typed
		known = known || c.Chosen
		f.Choices = append(f.Choices, c)
	}
	if !known { // what was typed stays, though it is none of the choices
		f.Choices = append(f.Choices, Choice{f.Typed, f.Typed, true})
	}
	return f
}

// idOf makes an id for HTML of a field path.
func idOf(path string) string {
	return "f-" + strings.NewReplacer("[", "-", "]", "", ".", "-").Replace(path)
}
