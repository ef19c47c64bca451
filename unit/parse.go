package unit

import (
	"fmt"
	"strconv"
	"strings"
)

const largest = 1e9 // in the unit used inside; anything above is a slip of the pen

var (
	lengthText   = quantity{name: "length", units: lengths, bare: "mm", example: `"4200", "4.2 m" or "13 ft 9 1/2 in"`, limit: largest}
	offsetText   = quantity{name: "offset", units: lengths, bare: "mm", example: `"12 mm", "-12 mm" or "-1/2 in"`, limit: largest, signed: true}
	areaText     = quantity{name: "area", units: areas, bare: "m2", example: `"12.5 m2" or "135 sq ft"`, limit: largest}
	volumeText   = quantity{name: "volume", units: volumes, bare: "L", example: `"2.5 L", "750 ml", "1 usgal" or "1 impgal"`, limit: largest}
	massText     = quantity{name: "mass", units: masses, bare: "kg", example: `"1.25 kg", "450 g" or "2 lb 4 oz"`, limit: largest}
	filmText     = quantity{name: "film", units: films, bare: "µm", example: `"125 um" or "5 mil"`, limit: largest}
	hoursText    = quantity{name: "time", units: times, bare: "h", example: `"24 h", "90 min", "1 h 30 min" or "2 d"`, limit: largest}
	ratioText    = quantity{name: "share", units: shares, example: `"12 %" or "0.12"`, limit: largest}
	humidityText = quantity{name: "humidity", units: shares, example: `"55 %" or "0.55"`, limit: largest}
	tempText     = quantity{name: "temperature", units: degrees, bare: "C", example: `"18 C" or "64 F"`, limit: 1e5, signed: true}
	spreadText   = quantity{name: "spreading rate", units: spreads, bare: "m2/L", example: `"12 m2/L" or "350 ft2/gal"`, limit: largest}
	perKiloText  = quantity{name: "spreading rate", units: per(areas, masses), bare: "m2/kg", example: `"0.6 m2/kg"`, limit: largest}
	densityText  = quantity{name: "density", units: densities, bare: "kg/L", example: `"1.3 kg/L", "1.3 g/mL" or "10.8 lb/gal"`, limit: largest}
	paceText     = quantity{name: "pace", units: paces, bare: "m2/h", example: `"4.5 m2/h" or "50 ft2/h"`, limit: largest}
	edgeText     = quantity{name: "pace", units: edgePaces, bare: "m/h", example: `"30 m/h" or "100 ft/h"`, limit: largest}
	moneyText    = quantity{name: "amount", units: units{}, example: `the figure only, such as "2390.44" (the currency is that of the job)`, signed: true}
)

// ParseLength reads a length as people write it: "4200" (millimetres when there
// is no unit), "4.2 m", "4,2 m", "4m20", "4 m 20 cm", "13'9 1/2\"", "13 ft 9½ in",
// "9.5 in". It refuses a sign, and what can be read in two ways, such as "4.200".
func ParseLength(s string) (Length, error) {
	v, err := lengthText.read(s)
	return Length(v), err
}

// ParseOffset reads a length with a sign, such as a lean out of plumb: "-12 mm".
func ParseOffset(s string) (Length, error) {
	v, err := offsetText.read(s)
	return Length(v), err
}

// ParseArea reads square metres (also without a unit) or square feet: "12.5 m²", "135 sq ft".
func ParseArea(s string) (Area, error) {
	v, err := areaText.read(s)
	return Area(v), err
}

// ParseVolume reads litres (also without a unit), ml, cl, and gallons, quarts and
// pints that say whose they are: "2 usgal", "1 imp gal", "1 US qt".
func ParseVolume(s string) (Volume, error) {
	v, err := volumeText.read(s)
	return Volume(v), err
}

// ParseMass reads kilograms (also without a unit), grams, pounds and ounces.
func ParseMass(s string) (Mass, error) {
	v, err := massText.read(s)
	return Mass(v), err
}

// ParseFilm reads a film thickness in micrometres (also without a unit), mils or mm.
func ParseFilm(s string) (Film, error) {
	v, err := filmText.read(s)
	return Film(v), err
}

// ParseHours reads a length of time: hours (also without a unit), "90 min",
// "1 h 30", "2 d". A day is 24 hours, as in drying times.
func ParseHours(s string) (Hours, error) {
	v, err := hoursText.read(s)
	return Hours(v), err
}

// ParseRatio reads a share: "12 %" or "0.12". A figure above 1 needs its per cent
// sign, because "12" may be either.
func ParseRatio(s string) (Ratio, error) {
	v, err := ratioText.share(s)
	return Ratio(v), err
}

// ParseHumidity reads a relative humidity above 0 and up to 100 %: "55 %" or "0.55".
func ParseHumidity(s string) (Humidity, error) {
	v, err := humidityText.share(s)
	if err == nil && (v <= 0 || v > 1) {
		return 0, humidityText.fault(s, "is not above 0 and up to 100 %", humidityText.example)
	}
	return Humidity(v), err
}

func (q quantity) share(s string) (float64, error) {
	v, err := q.read(s)
	if err == nil && v > 1 && !strings.Contains(s, "%") && !strings.Contains(strings.ToLower(s), "cent") {
		return 0, q.fault(s, "is above 1 and has no per cent sign", fmt.Sprintf("%q if that is meant", strings.TrimSpace(s)+" %"))
	}
	return v, err
}

// ParseTemp reads degrees Celsius (also without a unit) or Fahrenheit: "18 °C", "64 F".
func ParseTemp(s string) (Temp, error) {
	v, err := tempText.read(s)
	if err != nil {
		return 0, err
	}
	if parts, _, err := tempText.parts(s); err == nil && parts[0].unit.name == "f" {
		v = tidy(v - 32*5.0/9)
	}
	if v < -273.15 {
		return 0, tempText.fault(s, "is below absolute zero", tempText.example)
	}
	return Temp(v), nil
}

// ParseSpread reads the spreading rate of a product sold by volume: m2/L (also
// without a unit) or "350 ft2/gal", where gal alone is the US gallon.
func ParseSpread(s string) (Spread, error) {
	v, err := spreadText.read(s)
	return Spread(v), err
}

// ParseSpreadByMass reads the spreading rate of a product sold by mass: m2/kg
// (also without a unit) or "ft2/lb".
func ParseSpreadByMass(s string) (Spread, error) {
	v, err := perKiloText.read(s)
	return Spread(v), err
}

// ParseDensity reads kg/L (also without a unit), g/mL or lb/gal, where gal alone
// is the US gallon.
func ParseDensity(s string) (Density, error) {
	v, err := densityText.read(s)
	return Density(v), err
}

// ParsePace reads a pace counted by area: m2/h (also without a unit) or "50 ft2/h".
func ParsePace(s string) (Pace, error) {
	v, err := paceText.read(s)
	return Pace(v), err
}

// ParseEdgePace reads a pace counted along an edge: m/h (also without a unit) or "100 ft/h".
func ParseEdgePace(s string) (Pace, error) {
	v, err := edgeText.read(s)
	return Pace(v), err
}

// ParseMoney reads an amount in a currency with the given minor digits (2 for
// most, 0 for yen) into minor units: "2390.44", "2 390,44", "2,390.44". A minus
// before it makes a credit.
func ParseMoney(s string, decimals int) (Money, error) {
	decimals = min(max(decimals, 0), 9)
	parts, negative, err := moneyText.parts(s)
	if err != nil {
		return 0, err
	}
	p := parts[0]
	switch {
	case len(parts) > 1 || p.fraction:
		return 0, moneyText.fault(s, "is not one decimal figure", moneyText.example)
	case p.doubt != 0 && decimals == 0:
		p.whole, p.part = p.whole+p.part, ""
	case p.doubt != 0 && !(decimals == 3 && p.doubt == '.'):
		return 0, moneyText.fault(s, "can be read with decimals or with thousands", fmt.Sprintf("%q or %q", p.whole+p.part, p.whole+"."+trimZeros(p.part)))
	case len(p.part) > decimals:
		return 0, moneyText.fault(s, fmt.Sprintf("has more than the %d decimals of the currency", decimals), moneyText.example)
	}
	n, err := strconv.ParseInt(p.whole+p.part+strings.Repeat("0", decimals-len(p.part)), 10, 64)
	if err != nil {
		return 0, moneyText.fault(s, "is too large", moneyText.example)
	}
	if negative {
		n = -n
	}
	return Money(n), nil
}
