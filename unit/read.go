package unit

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// longestText is more than any measure needs and keeps the readers quick on junk.
const longestText = 80

// alike turns the many signs people and telephones write into one sign each.
var alike = strings.NewReplacer(
	"’", "'", "‘", "'", "′", "'", "`", "'", "´", "'",
	"″", `"`, "“", `"`, "”", `"`, "„", `"`, "''", `"`,
	"−", "-", "–", "-", "‐", "-", "‑", "-",
	"⁄", "/", "∕", "/",
	"²", "2", "³", "3", "μ", "µ", "º", "°", "℃", "°C", "℉", "°F",
	"½", " 1/2", "⅓", " 1/3", "⅔", " 2/3", "¼", " 1/4", "¾", " 3/4",
	"⅕", " 1/5", "⅖", " 2/5", "⅗", " 3/5", "⅘", " 4/5", "⅙", " 1/6", "⅚", " 5/6",
	"⅛", " 1/8", "⅜", " 3/8", "⅝", " 5/8", "⅞", " 7/8",
)

// token is a figure, a word or a sign of a typed measure.
type token struct {
	kind rune // '0' figure, 'a' word, else the sign itself
	text string
	gap  bool // a space stood before it
}

// tokens cuts a typed measure into figures, words and signs.
func tokens(s string) ([]token, error) {
	text := []rune(alike.Replace(alike.Replace(s))) // twice: ’’ becomes '' and then "
	var list []token
	gap := false
	for i := 0; i < len(text); {
		start, kind := i, text[i]
		switch {
		case unicode.IsSpace(kind):
			gap = true
			i++
			continue
		case isDigit(kind) || kind == '.' && i+1 < len(text) && isDigit(text[i+1]):
			i = endOfFigure(text, i)
			kind = '0'
		case isWord(kind):
			i = endOfWord(text, i)
			kind = 'a'
		case strings.ContainsRune(`'"/-+,`, kind):
			i++
		default:
			return nil, fmt.Errorf("the sign %q has no meaning here", kind)
		}
		word := strings.ToLower(string(text[start:i]))
		if kind == 'a' && i < len(text) && text[i] == '.' {
			i++ // the full stop of an abbreviation: "ft."
		}
		list = append(list, token{kind, word, gap})
		gap = false
	}
	return list, nil
}

func isDigit(r rune) bool { return r >= '0' && r <= '9' }

func isWord(r rune) bool { return unicode.IsLetter(r) || r == '°' || r == '%' }

// endOfFigure finds the end of digits with points and commas between them.
func endOfFigure(text []rune, i int) int {
	for i < len(text) {
		inside := (text[i] == '.' || text[i] == ',') && i+1 < len(text) && isDigit(text[i+1])
		if !isDigit(text[i]) && !inside {
			break
		}
		i++
	}
	return i
}

// endOfWord finds the end of a unit's letters. A 2 or 3 belongs to them when
// nothing is left that could make it a figure: "m2", but not "4m20" or "4m2cm".
func endOfWord(text []rune, i int) int {
	for i < len(text) && isWord(text[i]) {
		i++
	}
	if i < len(text) && (text[i] == '2' || text[i] == '3') {
		if next := i + 1; next == len(text) || !isDigit(text[next]) && !isWord(text[next]) && !strings.ContainsRune(`.,"`, text[next]) {
			return next
		}
	}
	return i
}

// figure is one number as it was typed.
type figure struct {
	value    float64
	whole    string // digits before the point, thousands closed up
	part     string // digits after it
	fraction bool   // it has a fraction such as 1/2
	doubt    rune   // '.' or ',' when that sign may part thousands or decimals
	typed    string
}

// readFigure takes a number from the front of the list: digits, thousands set
// off by spaces, a whole number and a fraction, or a fraction alone.
func readFigure(list []token) (figure, []token, error) {
	if len(list) == 0 || list[0].kind != '0' {
		return figure{}, list, fmt.Errorf("there is no figure where one belongs")
	}
	f, err := splitFigure(list[0].text)
	if err != nil {
		return figure{}, list, err
	}
	if isFraction(list) { // 1/2 with nothing before it
		return readFraction(figure{}, list)
	}
	list = list[1:]
	for len(list) > 0 && list[0].kind == '0' && list[0].gap && f.part == "" && !isFraction(list) {
		more, err := splitFigure(list[0].text)
		if err != nil {
			return figure{}, list, err
		}
		first := f.typed == f.whole && len(f.whole) <= 3 && f.whole[0] != '0'
		if !first && !strings.Contains(f.typed, " ") || len(more.whole) != 3 {
			return figure{}, list, fmt.Errorf("between %q and %q stands nothing that says how they belong together", f.typed, more.typed)
		}
		f = figure{whole: f.whole + more.whole, part: more.part, typed: f.typed + " " + more.typed}
		list = list[1:]
	}
	if rest := list; len(rest) > 0 {
		if rest[0].kind == '-' && !rest[0].gap && len(rest) > 1 && !rest[1].gap {
			rest = rest[1:]
		}
		if isFraction(rest) {
			return readFraction(f, rest)
		}
	}
	if f.value, err = strconv.ParseFloat(f.whole+"."+f.part, 64); err != nil {
		return figure{}, list, fmt.Errorf("%q is not a figure", f.typed)
	}
	return f, list, nil
}

func isFraction(list []token) bool {
	return len(list) >= 3 && list[0].kind == '0' && list[1].kind == '/' && list[2].kind == '0'
}

// readFraction adds the fraction at the front of the list to the whole number before it.
func readFraction(f figure, list []token) (figure, []token, error) {
	over, errOver := strconv.ParseUint(list[0].text, 10, 16)
	under, errUnder := strconv.ParseUint(list[2].text, 10, 16)
	typed := list[0].text + "/" + list[2].text
	switch {
	case errOver != nil || errUnder != nil || under == 0:
		return figure{}, list, fmt.Errorf("the fraction %q needs two whole numbers, the lower one above zero", typed)
	case f.part != "":
		return figure{}, list, fmt.Errorf("%q has decimals and the fraction %q; use one or the other", f.typed, typed)
	case f.whole != "" && over >= under:
		return figure{}, list, fmt.Errorf("the fraction %q after %q is not smaller than one", typed, f.whole)
	}
	whole, err := strconv.ParseFloat("0"+f.whole, 64)
	if err != nil {
		return figure{}, list, fmt.Errorf("%q is not a figure", f.whole)
	}
	typed = strings.TrimSpace(f.typed + " " + typed)
	return figure{value: whole + float64(over)/float64(under), whole: f.whole, fraction: true, typed: typed}, list[3:], nil
}

// splitFigure finds out what the points and commas inside a figure part:
// "4.2", "4,2", "2,390.44", "1.234.567", "12,34,567".
func splitFigure(typed string) (figure, error) {
	f := figure{whole: typed, typed: typed}
	last := strings.LastIndexAny(typed, ".,")
	if last < 0 {
		return f, nil
	}
	sign := typed[last : last+1]
	head, tail := typed[:last], typed[last+1:]
	mixed := strings.ContainsAny(head, strings.Trim(".,", sign))
	switch {
	case !strings.ContainsAny(head, ".,"):
		f.whole, f.part = "0"+head, tail
		if len(head) > 0 {
			f.whole = head
		}
		if len(tail) == 3 && len(head) > 0 && len(head) <= 3 && head[0] != '0' {
			f.doubt = rune(sign[0])
		}
	case mixed && strings.Contains(head, sign):
		return f, fmt.Errorf("the points and commas of %q contradict each other", typed)
	case mixed:
		f.whole, f.part = head, tail
	}
	groups := strings.FieldsFunc(f.whole, func(r rune) bool { return r == '.' || r == ',' })
	for i, g := range groups[1:] {
		lastGroup := i == len(groups)-2
		if len(g) != 3 && (lastGroup || len(g) != 2) || len(groups[0]) > 3 {
			return f, fmt.Errorf("the points and commas of %q do not part thousands", typed)
		}
	}
	f.whole = strings.Join(groups, "")
	return f, nil
}

// shown quotes what was typed for an error, shortened when it is long.
func shown(s string) string {
	if utf8.RuneCountInString(s) > 40 {
		s = string([]rune(s)[:40]) + "..."
	}
	return strconv.Quote(s)
}
