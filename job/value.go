package job

import (
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"scumble/unit"
)

// fault is why a text is not a value of its type, and what to write.
type fault struct{ what, do string }

// lengthType is the type of typed lengths.
var lengthType = reflect.TypeFor[Length]()

// words names the types a single value can have, for messages.
var words = map[reflect.Type]string{
	reflect.TypeFor[Length]():   "a length",
	reflect.TypeFor[Volume]():   "a volume",
	reflect.TypeFor[Mass]():     "a mass",
	reflect.TypeFor[Temp]():     "a temperature",
	reflect.TypeFor[Humidity](): "a humidity",
	reflect.TypeFor[Area]():     "an area",
	reflect.TypeFor[Ratio]():    "a share",
	reflect.TypeFor[Hours]():    "a length of time",
	reflect.TypeFor[Money]():    "an amount",
	reflect.TypeFor[Date]():     "a date",
	reflect.TypeFor[Moment]():   "a date and time",
	reflect.TypeFor[Span]():     "a piece of the day",
	reflect.TypeFor[string]():   "a text",
	reflect.TypeFor[bool]():     "true or false",
	reflect.TypeFor[int]():      "a whole number",
	reflect.TypeFor[int64]():    "a whole number",
	reflect.TypeFor[float64]():  "a number",
}

// wordFor names a type of single values, "" for lists and groups.
func wordFor(t reflect.Type) string { return words[t] }

// readValue turns a typed text into a value of a type; decimals are those of
// the currency.
func readValue(t reflect.Type, text string, f field, decimals int) (reflect.Value, *fault) {
	switch t {
	case reflect.TypeFor[Length]():
		if f.signed {
			return typed(text, unit.ParseOffset)
		}
		return typed(text, unit.ParseLength)
	case reflect.TypeFor[Volume]():
		return typed(text, unit.ParseVolume)
	case reflect.TypeFor[Mass]():
		return typed(text, unit.ParseMass)
	case reflect.TypeFor[Temp]():
		return typed(text, unit.ParseTemp)
	case reflect.TypeFor[Area]():
		return typed(text, unit.ParseArea)
	case reflect.TypeFor[Humidity]():
		return typed(text, unit.ParseHumidity)
	case reflect.TypeFor[Ratio]():
		return typed(text, unit.ParseRatio)
	case reflect.TypeFor[Hours]():
		return typed(text, unit.ParseHours)
	case reflect.TypeFor[Money]():
		v, err := unit.ParseMoney(text, decimals)
		return reflect.ValueOf(Money{text, v}), parted(err)
	case reflect.TypeFor[Date]():
		return parsed(readDate(text))
	case reflect.TypeFor[Moment]():
		return parsed(readMoment(text))
	case reflect.TypeFor[Span]():
		return parsed(readSpan(text))
	case reflect.TypeFor[string]():
		return parsed(readText(text, f))
	case reflect.TypeFor[bool]():
		if text != "true" && text != "false" {
			return reflect.Value{}, &fault{quoted(text) + " is neither true nor false", "write true or false"}
		}
		return reflect.ValueOf(text == "true"), nil
	case reflect.TypeFor[float64]():
		v, err := strconv.ParseFloat(text, 64)
		if err != nil || strings.Trim(text, "0123456789.-") != "" {
			return reflect.Value{}, &fault{quoted(text) + " is no number", "write figures with a point before the decimals"}
		}
		return reflect.ValueOf(v), nil
	}
	v, err := strconv.ParseInt(text, 10, t.Bits())
	if err != nil {
		return reflect.Value{}, &fault{quoted(text) + " is no whole number", "write figures only, without a unit"}
	}
	return reflect.ValueOf(v).Convert(t), nil
}

// typed keeps the text of a measure beside its value.
func typed[T ~float64](text string, parse func(string) (T, error)) (reflect.Value, *fault) {
	v, err := parse(text)
	return reflect.ValueOf(Typed[T]{text, v}), parted(err)
}

func parsed[T any](v T, err *fault) (reflect.Value, *fault) { return reflect.ValueOf(v), err }

// parted splits what package unit says about a measure into what is wrong and
// what to write instead.
func parted(err error) *fault {
	if err == nil {
		return nil
	}
	text := err.Error()
	if i := strings.LastIndex(text, "; write "); i >= 0 {
		return &fault{text[:i], text[i+2:]}
	}
	return &fault{text, ""}
}

func readDate(text string) (Date, *fault) {
	day, err := time.Parse(time.DateOnly, text)
	switch {
	case err != nil && datePattern.MatchString(text):
		return "", &fault{quoted(text) + " is no day of the calendar", "check the month and the day"}
	case err != nil:
		return "", &fault{quoted(text) + " is not written as a date", "write year, month and day as 2027-03-08"}
	case day.Year() < 2000 || day.Year() > 2199:
		return "", &fault{quoted(text) + " lies outside 2000 to 2199", "check the year"}
	}
	return Date(text), nil
}

func readMoment(text string) (Moment, *fault) {
	date, clock, _ := strings.Cut(text, " ")
	if _, wrong := readDate(date); wrong != nil && datePattern.MatchString(date) {
		return "", wrong
	}
	if _, err := time.Parse("2006-01-02 15:04", text); err != nil || !momentPattern.MatchString(text) {
		if datePattern.MatchString(date) && clockPattern.MatchString(clock) {
			return "", &fault{quoted(text) + " is no time of the clock", "write hours 00 to 23 and minutes 00 to 59"}
		}
		return "", &fault{quoted(text) + " is not written as a date and time", "write the day and the hour as 2027-03-09 14:00"}
	}
	return Moment(text), nil
}

var (
	datePattern = regexp.MustCompile(dateForm)
	spanPattern = regexp.MustCompile(spanForm)

	momentPattern = regexp.MustCompile(momentForm)
	clockPattern  = regexp.MustCompile(`^\d{2}:\d{2}$`)
)

func readSpan(text string) (Span, *fault) {
	m := spanPattern.FindStringSubmatch(text)
	if m == nil {
		return Span{}, &fault{quoted(text) + " is not a piece of the day", "write from and to on the 24-hour clock, such as 08:00-12:00"}
	}
	var n [4]int
	for i := range n {
		n[i], _ = strconv.Atoi(m[i+1]) // the pattern lets digits only through
	}
	s := Span{Clock(n[0]*60 + n[1]), Clock(n[2]*60 + n[3])}
	switch {
	case n[0] > 23 || n[2] > 23 || n[1] > 59 || n[3] > 59:
		return Span{}, &fault{quoted(text) + " is no time of the clock", "write hours 00 to 23 and minutes 00 to 59"}
	case s.From >= s.To:
		return Span{}, &fault{quoted(text) + " ends before it begins", "write the earlier time first; work past midnight is not planned"}
	}
	return s, nil
}

// readText reads a text: any, one of the words of the field, or of its pattern.
func readText(text string, f field) (string, *fault) {
	if len(f.one) > 0 && !slices.Contains(f.one, text) {
		return "", &fault{quoted(text) + " is not " + oneOf(f.one), instead(text, f.one)}
	}
	switch f.form {
	case colourForm:
		if !colourPattern.MatchString(text) {
			return "", &fault{quoted(text) + " is no colour", `write # and six hexadecimal digits in quotes, such as "#d8c7a4"`}
		}
		return strings.ToLower(text), nil
	case currencyForm:
		if !currencyPattern.MatchString(text) {
			return "", &fault{quoted(text) + " is no currency", "write its ISO 4217 code, three capital letters such as EUR"}
		}
	}
	return text, nil
}

// The patterns of texts that are not free, which the schema shows as well.
const (
	colourForm   = "^#[0-9A-Fa-f]{6}$"
	dateForm     = `^\d{4}-\d{2}-\d{2}$`
	momentForm   = `^\d{4}-\d{2}-\d{2} \d{2}:\d{2}$`
	spanForm     = `^(\d{1,2}):(\d{2}) ?[-–] ?(\d{1,2}):(\d{2})$`
	currencyForm = "^[A-Z]{3}$"
)

var (
	colourPattern   = regexp.MustCompile(colourForm)
	currencyPattern = regexp.MustCompile(currencyForm)
)

// content is what a pack holds: litres, or kilograms where mass is set.
type content struct {
	amount float64
	mass   bool
}

// readContent reads the size of a pack. It needs its unit.
func readContent(text string) (content, *fault) {
	litres, err := unit.ParseVolume(text)
	size := content{float64(litres), false}
	if err != nil {
		if kilos, notMass := unit.ParseMass(text); notMass == nil {
			size, err = content{float64(kilos), true}, nil
		}
	}
	const do = "write the content as 2.5 L or 10 kg"
	switch {
	case strings.Trim(text, "0123456789., ") == "":
		return content{}, &fault{quoted(text) + " has no unit", do}
	case err != nil:
		return content{}, parted(err)
	case size.amount <= 0:
		return content{}, &fault{quoted(text) + " is not above 0", do}
	}
	return size, nil
}

// packSizes reads the content of the packs.
func (d *decoder) packSizes() {
	for i := range d.file.Job.Prices.Packs {
		p := &d.file.Job.Prices.Packs[i]
		if p.Size == "" {
			continue
		}
		size, err := readContent(p.Size)
		if err != nil {
			d.fail(fmt.Sprintf("prices.packs[%d].size", i), err.what, err.do)
		}
		p.Litres = size.amount
	}
}

// minorDigits lists the currencies that do not have two decimals, from the
// published code list of ISO 4217 (written down from memory, 2015 edition with
// amendments; check before relying on a rare one).
var minorDigits = map[int]string{
	0: "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF",
	3: "BHD IQD JOD KWD LYD OMR TND",
	4: "CLF UYW",
}

// Decimals is the number of decimals amounts of a currency have: two unless
// ISO 4217 says otherwise.
func Decimals(currency string) int {
	for digits, codes := range minorDigits {
		if slices.Contains(strings.Fields(codes), currency) {
			return digits
		}
	}
	return 2
}
