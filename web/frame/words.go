package frame

import (
	"fmt"
	"html/template"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"scumble/unit"
)

// Metres prints a length in metres to the centimetre, without its unit.
func Metres(l unit.Length) string { return unit.Figure(float64(l)/1000, 2) }

// Sentence begins with a capital and ends with a full stop.
func Sentence(text string) string {
	text = strings.TrimSpace(text)
	if text == "" {
		return ""
	}
	r, n := utf8.DecodeRuneInString(text)
	text = string(unicode.ToUpper(r)) + text[n:]
	if last, _ := utf8.DecodeLastRuneInString(text); !strings.ContainsRune(".?!:", last) {
		text += "."
	}
	return text
}

// Day says a day: Mon 8 March.
func Day(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format("Mon 2 January")
}

// Short says a moment as it stands beside a mark: Thu 09:30.
func Short(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format("Mon 15:04")
}

// Counted is a number with the right word behind it.
func Counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// htmxConfig keeps to the content security policy: no style of its own in the page, and
// nothing evaluated.
const htmxConfig = `{"includeIndicatorCSS":false}`

// functions are what all templates can use.
func (f *Frame) functions() template.FuncMap {
	return template.FuncMap{
		"asset":    f.Assets.URL,
		"htmx":     func() string { return htmxConfig },
		"mm":       func(l unit.Length) string { return l.MM() },
		"metres":   Metres,
		"m2":       func(a unit.Area) string { return a.Fixed(2) },
		"day":      Day,
		"short":    Short,
		"hour":     func(t time.Time) string { return t.Format("15:04") },
		"sentence": Sentence,
		"warned":   Warned,
		"counted":  Counted,
		"lower":    strings.ToLower,
		"join":     strings.Join,
		"inc":      func(n int) int { return n + 1 },
		"dec":      func(n int) int { return n - 1 },
		"pair":     func(a, b any) []any { return []any{a, b} },
	}
}
