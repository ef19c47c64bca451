// Package desk is what every paper is made at: the plan, the fonts, the paper, and
// the words and lookups that more than one paper needs.
package desk

import (
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"scumble/draw"
	"scumble/job"
	"scumble/schedule"
	"scumble/survey"
	"scumble/unit"
)

// Moment says a stretch of a day: Mon 8 Mar, 08:00 to 09:20.
func Moment(from, to time.Time) string {
	if from.YearDay() == to.YearDay() && from.Year() == to.Year() {
		return from.Format("Mon 2 Jan, 15:04") + " to " + to.Format("15:04")
	}
	return from.Format("Mon 2 Jan, 15:04") + " to " + to.Format("Mon 2 Jan, 15:04")
}

// When says day and people of a placed step, and beneath them its hours.
func When(t *schedule.Task) string {
	if t == nil {
		return ""
	}
	date, hours, _ := strings.Cut(Moment(t.Start, t.End), ", ")
	return date + ", " + strings.Join(t.People, " and ") + "\n" + hours
}

// WallName is a face without its room.
func WallName(face string) string {
	_, wall, _ := strings.Cut(face, "/")
	return wall
}

// StepName is the catalog's short name of a step, for sentences.
func StepName(id string) string {
	_, rule, _ := strings.Cut(id, "#")
	return strings.ReplaceAll(rule, "-", " ")
}

// SurveyRoom is the measured room of a name, or nil.
func (d *Desk) SurveyRoom(name string) *survey.Room {
	for i := range d.Plan.Survey.Rooms {
		if d.Plan.Survey.Rooms[i].Name == name {
			return &d.Plan.Survey.Rooms[i]
		}
	}
	return nil
}

// WallsListed names faces of one room; those below a dado are named as such.
func WallsListed(faces []string) string {
	var whole, below []string
	for _, id := range faces {
		if name, ok := strings.CutSuffix(WallName(id), ", dado"); ok {
			below = append(below, name)
		} else {
			whole = append(whole, WallName(id))
		}
	}
	switch {
	case len(below) == 0:
		return Listed(whole)
	case len(whole) == 0:
		return "below the dado: " + Listed(below)
	}
	return Listed(whole) + "; below the dado: " + Listed(below)
}

// TaxName is what the job calls its tax.
func TaxName(j *job.Job) string {
	if j.Terms.TaxName == "" {
		return "tax"
	}
	if strings.EqualFold(j.Terms.TaxName, "tax") {
		return "tax"
	}
	return j.Terms.TaxName
}

// Squared sets the square of m2 in words of the catalog.
func Squared(text string) string { return strings.ReplaceAll(text, " m2", "\u00a0m²") }

// Dated says a day of the programme: Monday 8 March 2027.
func Dated(t time.Time) string { return t.Format("Monday 2 January 2006") }

// Counted is a number with the right word behind it.
func Counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return unit.Figure(float64(n), 0) + " " + many
}

// Listed joins names as they are said.
func Listed(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}

// Lowered goes on in a sentence; a word in capitals stays as it is.
func Lowered(text string) string {
	first, size := utf8.DecodeRuneInString(text)
	if size == 0 {
		return ""
	}
	if next, _ := utf8.DecodeRuneInString(text[size:]); unicode.IsUpper(next) {
		return text
	}
	return string(unicode.ToLower(first)) + text[size:]
}

// Capital begins a sentence.
func Capital(text string) string {
	first, size := utf8.DecodeRuneInString(text)
	if size == 0 {
		return ""
	}
	return string(unicode.ToUpper(first)) + text[size:]
}

// InOneLine joins what is not empty with commas.
func InOneLine(parts ...string) string {
	return strings.Join(slices.DeleteFunc(slices.Clone(parts), func(p string) bool { return p == "" }), ", ")
}

// ByDay joins the stretches of one day, so that a break does not make two entries.
func ByDay(pieces []schedule.Piece) []schedule.Piece {
	var days []schedule.Piece
	for _, p := range pieces {
		if n := len(days); n > 0 && SameDay(days[n-1].From, p.From) {
			days[n-1].To = p.To
			continue
		}
		days = append(days, p)
	}
	return days
}

// Cut shortens a name to a width.
func (d *Desk) Cut(name string, style draw.Style, width float64) string {
	if d.Fonts.Width(name, style) <= width {
		return name
	}
	letters := []rune(name)
	for len(letters) > 1 && d.Fonts.Width(string(letters)+"...", style) > width {
		letters = letters[:len(letters)-1]
	}
	return strings.TrimSpace(string(letters)) + "..."
}
