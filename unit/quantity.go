package unit

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Exact by definition. Inch and pound: international yard and pound agreement
// of 1959. US gallon: 231 cubic inches (NIST Handbook 44, Appendix C).
// Imperial gallon: United Kingdom Units of Measurement Regulations 1995.
const (
	inch      = 25.4            // mm
	foot      = 12 * inch       // mm
	pound     = 0.45359237      // kg
	usGallon  = 3.785411784     // L
	impGallon = 4.54609         // L
	mil       = inch            // µm: a thousandth of an inch
	sqFoot    = 0.3048 * 0.3048 // m2
)

// scale says what one of a named unit is in the unit used inside.
type scale struct {
	name   string
	factor float64
	family string // units of one family may follow each other: 4 m 20 cm
	small  bool   // thousands of it are common, so 4.200 may be 4200
}

type units map[string]scale

// table lists units by all the names people write, a row per unit; names in a
// row are parted by spaces and the first is the one used in messages.
func table(rows ...scale) units {
	t := units{}
	for _, row := range rows {
		names := strings.Fields(row.name)
		row.name = names[0]
		for _, name := range names {
			t[name] = row
		}
	}
	return t
}

// per makes the table of one quantity divided by another.
func per(over, under units) units {
	t := units{}
	for a, x := range over {
		for b, y := range under {
			t[a+"/"+b] = scale{name: x.name + "/" + y.name, factor: x.factor / y.factor}
		}
	}
	return t
}

var (
	lengths = table(
		scale{"mm millimetre millimetres millimeter millimeters", 1, "metric", true},
		scale{"cm centimetre centimetres centimeter centimeters", 10, "metric", true},
		scale{"m metre metres meter meters", 1000, "metric", false},
		scale{`in inch inches "`, inch, "feet", false},
		scale{"ft foot feet '", foot, "feet", false},
	)
	areas = table(
		scale{"m2 sqm sqmetre sqmetres sqmeter sqmeters squaremetre squaremetres squaremeter squaremeters", 1, "", false},
		scale{"ft2 sqft sqfeet sqfoot squarefoot squarefeet", sqFoot, "", false},
	)
	volumes = table(
		scale{"L l litre litres liter liters", 1, "", false},
		scale{"cl centilitre centilitres centiliter centiliters", 0.01, "", true},
		scale{"ml millilitre millilitres milliliter milliliters", 0.001, "", true},
		scale{"usgal usgallon usgallons", usGallon, "", false},
		scale{"usqt usquart usquarts", usGallon / 4, "", false},
		scale{"uspt uspint uspints", usGallon / 8, "", false},
		scale{"impgal impgallon impgallons imperialgallon imperialgallons ukgal", impGallon, "", false},
		scale{"impqt impquart impquarts", impGallon / 4, "", false},
		scale{"imppt imppint imppints", impGallon / 8, "", false},
	)
	gallon = table(scale{"gal gallon gallons", usGallon, "", false})
	masses = table(
		scale{"kg kilogram kilograms kilo kilos", 1, "metric", false},
		scale{"g gr gram grams gramme grammes", 0.001, "metric", true},
		scale{"lb lbs pound pounds", pound, "pound", false},
		scale{"oz ounce ounces", pound / 16, "pound", false},
	)
	films = table(
		scale{"µm um micron microns micrometre micrometres micrometer micrometers", 1, "", true},
		scale{"mm", 1000, "", false},
		scale{"mil mils thou", mil, "", false},
	)
	times = table(
		scale{"s sec secs second seconds", 1.0 / 3600, "time", false},
		scale{"min mins minute minutes", 1.0 / 60, "time", false},
		scale{"h hr hrs hour hours", 1, "time", false},
		scale{"d day days", 24, "time", false},
		scale{"wk week weeks", 168, "time", false},
	)
	shares    = table(scale{"% percent %rh", 0.01, "", false})
	degrees   = table(scale{"c °c degc celsius degreescelsius", 1, "", false}, scale{"f °f degf fahrenheit degreesfahrenheit", 5.0 / 9, "", false})
	spreads   = per(areas, both(volumes, gallon))
	densities = per(masses, both(volumes, gallon))
	paces     = per(areas, times)
	edgePaces = per(table(
		scale{"m metre metres meter meters", 1, "", false},
		scale{"ft foot feet", foot / 1000, "", false},
	), times)
)

func both(a, b units) units {
	t := units{}
	for _, one := range []units{a, b} {
		for name, s := range one {
			t[name] = s
		}
	}
	return t
}

// quantity is what a reader needs to know to read one kind of measure.
type quantity struct {
	name    string // as in messages
	units   units
	bare    string // the unit of a figure without one
	example string // how to write it, for messages
	signed  bool
	limit   float64 // in the unit used inside: larger is a slip of the pen
}

// part is one figure with its unit.
type part struct {
	figure
	unit  scale
	typed string // the unit as typed, "" when there was none
}

// fault is the error of all readers: what was typed, what is wrong, what to write.
func (q quantity) fault(s, wrong, instead string) error {
	return fmt.Errorf("%s %s: %s; write %s", q.name, shown(s), wrong, instead)
}

// read turns a typed measure into a value in the unit used inside.
func (q quantity) read(s string) (float64, error) {
	parts, negative, err := q.parts(s)
	if err != nil {
		return 0, err
	}
	sum := 0.0
	for i, p := range parts {
		if err := q.check(s, parts, i); err != nil {
			return 0, err
		}
		sum += p.value * p.unit.factor
	}
	if math.IsInf(sum, 0) || math.IsNaN(sum) || sum > q.limit {
		return 0, q.fault(s, "is far too large", q.example)
	}
	if negative {
		sum = -sum
	}
	return tidy(sum), nil
}

// tidy drops the last bit of a product, so that 4.35 m is 4350 mm and not a hair less.
func tidy(v float64) float64 {
	t, err := strconv.ParseFloat(strconv.FormatFloat(v, 'e', 14, 64), 64)
	if err != nil {
		return v
	}
	return t
}

// parts reads the sign and all figures with their units.
func (q quantity) parts(s string) (parts []part, negative bool, err error) {
	if strings.TrimSpace(s) == "" {
		return nil, false, q.fault(s, "is empty", q.example)
	}
	if len(s) > longestText {
		return nil, false, q.fault(s, "is too long", q.example)
	}
	list, err := tokens(s)
	if err != nil {
		return nil, false, q.fault(s, err.Error(), q.example)
	}
	if len(list) > 0 && (list[0].kind == '-' || list[0].kind == '+') {
		negative = list[0].kind == '-'
		if !q.signed {
			return nil, false, q.fault(s, "has a sign, but a "+q.name+" has none", q.example)
		}
		list = list[1:]
	}
	for first := true; first || len(list) > 0; first = false {
		if !first && (list[0].kind == ',' || list[0].kind == '-' && parts[len(parts)-1].unit.name == "ft") {
			list = list[1:] // 13'-9"; 13 ft, 9 in
		}
		var p part
		if p.figure, list, err = readFigure(list); err != nil {
			return nil, false, q.fault(s, err.Error(), q.example)
		}
		p.typed, list = readUnit(list)
		if p.unit, err = q.unitOf(s, p, parts); err != nil {
			return nil, false, err
		}
		parts = append(parts, p)
	}
	return parts, negative, nil
}

// readUnit takes a unit from the front of the list. Words apart are one unit only
// where that is the custom: "US gal", "sq ft", "m2 / L"; but "4 m m" is a slip.
func readUnit(list []token) (string, []token) {
	typed := ""
	for len(list) > 0 && strings.ContainsRune(`a'"/`, list[0].kind) {
		if typed != "" && list[0].gap && list[0].kind == 'a' && !leads(typed) {
			break
		}
		typed += list[0].text
		list = list[1:]
	}
	return typed, list
}

// leads reports whether the unit so far calls for another word.
func leads(typed string) bool {
	typed = typed[strings.LastIndexByte(typed, '/')+1:]
	switch typed {
	case "", "us", "uk", "imp", "imperial", "sq", "square", "°", "deg", "degrees", "per":
		return true
	}
	return false
}

// unitOf finds the unit of a figure; before holds the parts already read.
func (q quantity) unitOf(s string, p part, before []part) (scale, error) {
	if p.typed != "" {
		if u, ok := q.units[p.typed]; ok {
			return u, nil
		}
		return scale{}, q.unknown(s, p)
	}
	if len(before) == 0 {
		if p.fraction && q.bare == "mm" {
			return scale{}, q.fault(s, "has a fraction and no unit", fmt.Sprintf("%q if inches are meant", p.figure.typed+" in"))
		}
		return scale{factor: 1, name: q.bare, small: q.units[strings.ToLower(q.bare)].small}, nil
	}
	last := before[len(before)-1]
	follow := ""
	switch last.unit.name {
	case "ft":
		follow = "in"
	case "h":
		follow = "min"
	case "m": // 4m20 and 4m205, as on a sketch; a single digit could be either
		if p.part == "" && !p.fraction {
			follow = map[int]string{2: "cm", 3: "mm"}[len(p.whole)]
		}
	}
	if u, ok := q.units[follow]; ok && follow != "" {
		return u, nil
	}
	return scale{}, q.fault(s, fmt.Sprintf("does not say what the %s after %q is", p.figure.typed, last.typed), q.example)
}

// unknown explains a unit that does not belong to this quantity.
func (q quantity) unknown(s string, p part) error {
	switch p.typed {
	case "gal", "gallon", "gallons", "qt", "quart", "quarts", "pt", "pint", "pints":
		if q.name == "volume" {
			name := map[byte]string{'g': "gal", 'q': "qt", 'p': "pt"}[p.typed[0]]
			return q.fault(s, "does not say which "+name,
				fmt.Sprintf("%q (US) or %q (imperial)", p.figure.typed+" us"+name, p.figure.typed+" imp"+name))
		}
	case "m2", "m3", "ft2", "ft3":
		if q.name == "length" || q.name == "offset" {
			small := map[byte]string{'m': "cm", 'f': "in"}[p.typed[0]]
			n := len(p.typed) - 1
			return q.fault(s, fmt.Sprintf("%q is not a unit of length", p.typed),
				fmt.Sprintf("%q if that is meant", p.figure.typed+" "+p.typed[:n]+" "+p.typed[n:]+" "+small))
		}
	}
	return q.fault(s, fmt.Sprintf("%q is not a unit of %s", p.typed, q.name), q.example)
}

// check refuses figures that can be read in two ways and parts that do not fit together.
func (q quantity) check(s string, parts []part, i int) error {
	p := parts[i]
	if p.doubt != 0 && (p.unit.small || p.doubt == ',' && p.unit.name != "m") {
		at := strings.IndexRune(p.figure.typed, p.doubt)
		head, tail := p.figure.typed[:at], p.figure.typed[at+1:]
		unit := p.unit.name
		low, high := strings.TrimSpace(head+"."+trimZeros(tail)+" "+unit), strings.TrimSpace(head+tail+" "+unit)
		instead := fmt.Sprintf("%q or %q", low, high)
		if _, ok := q.units["m"]; ok && unit == "mm" {
			instead = fmt.Sprintf("%q or %q", head+"."+trimZeros(tail)+" m", high)
		}
		return q.fault(s, fmt.Sprintf("can be read as %s or as %s", low, high), instead)
	}
	if i == 0 {
		return nil
	}
	last := parts[i-1]
	switch {
	case last.unit.family == "" || last.unit.family != p.unit.family || p.unit.factor >= last.unit.factor:
		return q.fault(s, fmt.Sprintf("%s cannot follow %s", p.unit.name, last.unit.name), q.example)
	case last.part != "" || last.fraction:
		return q.fault(s, fmt.Sprintf("%s before a smaller unit must be a whole number", last.figure.typed), q.example)
	case p.value*p.unit.factor >= last.unit.factor*(1-1e-12):
		return q.fault(s, fmt.Sprintf("%s %s is as much as one %s or more", p.figure.typed, p.unit.name, last.unit.name), q.example)
	}
	return nil
}

// trimZeros shortens decimals for a message, leaving one.
func trimZeros(s string) string {
	if t := strings.TrimRight(s, "0"); t != "" {
		return t
	}
	return "0"
}
