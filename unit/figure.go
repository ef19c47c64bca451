package unit

import (
	"math"
	"strconv"
	"strings"
)

const (
	thinSpace = "\u202f" // narrow and unbreakable, between groups of three digits
	tie       = "\u00a0" // no-break space: a figure and its unit stay on one line
	minus     = "\u2212" // true minus sign
)

// Figure prints a number the one way the program prints numbers: a thin space
// between thousands, a point before the decimals, a true minus.
//
// Rounding is half up, away from zero: 0.125 gives 0.13 and -0.125 gives -0.13.
// It works on the 15 leading decimal digits, so that 1.005, which a computer
// stores a hair low, rounds as it reads, and the last bit of a long sum, which
// may differ between processors, does not show.
//
// Decimals outside 0..9 are taken as the nearer of the two. A value that is not
// a number, or infinite, prints as "?".
func Figure(v float64, decimals int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "?"
	}
	decimals = min(max(decimals, 0), 9)
	return signed(v < 0, rounded(math.Abs(v), decimals), decimals)
}

// rounded returns v >= 0 as a whole number of units of the last decimal place.
func rounded(v float64, decimals int) string {
	const kept = 15
	mantissa, exponent, _ := strings.Cut(strconv.FormatFloat(v, 'e', kept-1, 64), "e")
	digits := strings.Replace(mantissa, ".", "", 1)
	power, err := strconv.Atoi(exponent)
	if err != nil {
		return "0"
	}
	keep := power + 1 + decimals
	switch {
	case keep < 0:
		return "0"
	case keep >= kept:
		return digits + strings.Repeat("0", keep-kept)
	}
	var n uint64
	for _, d := range digits[:keep] {
		n = n*10 + uint64(d-'0')
	}
	if digits[keep] >= '5' {
		n++
	}
	return strconv.FormatUint(n, 10)
}

// signed sets the point, the thin spaces and the sign into a row of digits that
// counts units of the last decimal place. Zero has no sign.
func signed(negative bool, digits string, decimals int) string {
	digits = strings.TrimLeft(digits, "0")
	negative = negative && digits != ""
	if pad := decimals + 1 - len(digits); pad > 0 {
		digits = strings.Repeat("0", pad) + digits
	}
	whole, part := digits[:len(digits)-decimals], digits[len(digits)-decimals:]
	var b strings.Builder
	if negative {
		b.WriteString(minus)
	}
	for i, d := range whole {
		if i > 0 && (len(whole)-i)%3 == 0 {
			b.WriteString(thinSpace)
		}
		b.WriteRune(d)
	}
	if decimals > 0 {
		b.WriteString("." + part)
	}
	return b.String()
}

// spare prints with up to the given decimals and drops them when all are zero,
// for figures that are mostly whole, such as a temperature.
func spare(v float64, decimals int) string {
	s := Figure(v, decimals)
	if whole, part, ok := strings.Cut(s, "."); ok && strings.Trim(part, "0") == "" {
		return whole
	}
	return s
}

// Words prints a range the way it is said, likely figure first: "2.2 h, from
// 1.8 to 2.8". The figures are those of T's own unit, which the caller names;
// an empty unit prints none. Three figures that print alike are one figure.
func (r Range[T]) Words(decimals int, unit string) string {
	low, likely, high := Figure(float64(r.Low), decimals), Figure(float64(r.Likely), decimals), Figure(float64(r.High), decimals)
	head := likely
	if unit != "" {
		head += tie + unit
	}
	if low == likely && likely == high {
		return head
	}
	return head + ", from " + low + " to " + high
}

// Short returns v as a figure of the catalog is read: a whole number whole, any other to
// four digits.
func Short(v float64) string {
	if v == math.Trunc(v) || math.Abs(v) >= 1000 {
		return strconv.FormatFloat(math.Round(v), 'f', 0, 64)
	}
	return strconv.FormatFloat(v, 'g', 4, 64)
}
