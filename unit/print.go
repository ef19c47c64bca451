package unit

import (
	"math"
	"strconv"
)

// MM prints the length in whole millimetres without the unit, as on drawings: "4 200".
func (l Length) MM() string { return Figure(float64(l), 0) }

// String prints the length in whole millimetres: "4 200 mm".
func (l Length) String() string { return l.MM() + tie + "mm" }

// FeetInches prints the length to the nearest sixteenth of an inch: "13 ft 9 1/2 in".
// The feet are left out below one foot. One inch is 25.4 mm exactly.
func (l Length) FeetInches() string {
	n := math.Floor(math.Abs(float64(l))/inch*16 + 0.5)
	if math.IsNaN(n) || n > 1e12 {
		return "?"
	}
	sixteenths := int64(n)
	feet, inches, part := sixteenths/192, sixteenths%192/16, sixteenths%16
	s := ""
	if l < 0 && sixteenths > 0 {
		s = minus
	}
	if feet > 0 {
		s += Figure(float64(feet), 0) + tie + "ft" + tie
	}
	if inches > 0 || part == 0 {
		s += strconv.FormatInt(inches, 10)
		if part > 0 {
			s += tie
		}
	}
	if part > 0 {
		under := int64(16)
		for part%2 == 0 {
			part, under = part/2, under/2
		}
		s += strconv.FormatInt(part, 10) + "/" + strconv.FormatInt(under, 10)
	}
	return s + tie + "in"
}

// Fixed prints the area in m² with the given decimals and without the unit.
func (a Area) Fixed(decimals int) string { return Figure(float64(a), decimals) }

// String prints the area to a hundredth of a square metre: "12.34 m²".
func (a Area) String() string { return a.Fixed(2) + tie + "m²" }

// Fixed prints the volume in litres with the given decimals and without the unit.
func (v Volume) Fixed(decimals int) string { return Figure(float64(v), decimals) }

// String prints litres to a tenth, and millilitres below one litre: "6.9 L", "450 mL".
// Below ten millilitres, where a tint is dosed, it prints a tenth of one.
func (v Volume) String() string {
	ml := float64(v) * 1000
	switch size := math.Abs(ml); {
	case size >= 999.5:
		return v.Fixed(1) + tie + "L"
	case size >= 9.95 || ml == 0:
		return Figure(ml, 0) + tie + "mL"
	default:
		return Figure(ml, 1) + tie + "mL"
	}
}

// Fixed prints the mass in kilograms with the given decimals and without the unit.
func (m Mass) Fixed(decimals int) string { return Figure(float64(m), decimals) }

// String prints the mass as a site scale shows it: grams below one kilogram
// (tenths below ten grams), whole grams up to ten kilograms, ten grams above:
// "450 g", "1.250 kg", "12.35 kg".
func (m Mass) String() string {
	grams := float64(m) * 1000
	switch size := math.Abs(grams); {
	case size >= 9999.5:
		return m.Fixed(2) + tie + "kg"
	case size >= 999.5:
		return m.Fixed(3) + tie + "kg"
	case size >= 9.95 || grams == 0:
		return Figure(grams, 0) + tie + "g"
	default:
		return Figure(grams, 1) + tie + "g"
	}
}

// String prints the film in whole micrometres: "125 µm"; below ten, in tenths.
func (f Film) String() string {
	if size := math.Abs(float64(f)); size < 9.95 && size != 0 {
		return Figure(float64(f), 1) + tie + "µm"
	}
	return Figure(float64(f), 0) + tie + "µm"
}

// String prints the density: "1.30 kg/L".
func (d Density) String() string { return Figure(float64(d), 2) + tie + "kg/L" }

// String prints the spreading rate of a product sold by volume: "12.5 m²/L".
func (s Spread) String() string { return Figure(float64(s), 1) + tie + "m²/L" }

// PerKilogram prints the spreading rate of a product sold by mass: "0.60 m²/kg".
func (s Spread) PerKilogram() string { return Figure(float64(s), 2) + tie + "m²/kg" }

// OverArea prints a pace counted by area: "4.5 m²/h".
func (p Pace) OverArea() string { return Figure(float64(p), 1) + tie + "m²/h" }

// AlongEdge prints a pace counted by length: "30.0 m/h".
func (p Pace) AlongEdge() string { return Figure(float64(p), 1) + tie + "m/h" }

// String prints hours and minutes: "2 h 15 min", "45 min", "24 h". There are no
// days in it: a day of drying has 24 hours, a day of work has not.
func (h Hours) String() string {
	minutes := math.Floor(math.Abs(float64(h))*60 + 0.5)
	if math.IsNaN(minutes) || minutes > 1e12 {
		return "?"
	}
	s := ""
	if h < 0 && minutes > 0 {
		s = minus
	}
	whole, rest := math.Floor(minutes/60), math.Mod(minutes, 60)
	if whole > 0 {
		s += Figure(whole, 0) + tie + "h"
	}
	if whole > 0 && rest > 0 {
		s += tie
	}
	if rest > 0 || whole == 0 {
		s += Figure(rest, 0) + tie + "min"
	}
	return s
}

// String prints the temperature to a tenth of a degree, whole when it is: "23 °C".
func (t Temp) String() string { return spare(float64(t), 1) + tie + "°C" }

// String prints the relative humidity in whole per cent: "55 %".
func (h Humidity) String() string { return Figure(float64(h)*100, 0) + tie + "%" }

// String prints the share in per cent to a tenth, whole when it is: "12 %", "12.5 %".
func (r Ratio) String() string { return spare(float64(r)*100, 1) + tie + "%" }

// Format prints the amount with the currency's minor digits (2 for most, 0 for
// yen, 3 for some dinars) and without the currency: "2 390.44".
// Decimals outside 0..9 are taken as the nearer of the two.
func (m Money) Format(decimals int) string {
	size := uint64(m)
	if m < 0 {
		size = -size
	}
	return signed(m < 0, strconv.FormatUint(size, 10), min(max(decimals, 0), 9))
}

// String prints what a litre holds: "558 g/L".
func (c Content) String() string { return Figure(float64(c), 0) + tie + "g/L" }

// String prints a level with about three figures: "34 mg/m³", "3.5 g/m³".
func (l Level) String() string {
	switch {
	case l >= 999.5:
		return Figure(float64(l)/1000, 1) + tie + "g/m³"
	case l >= 9.95:
		return Figure(float64(l), 0) + tie + "mg/m³"
	}
	return Figure(float64(l), 1) + tie + "mg/m³"
}

// String prints the air of a room: "47.6 m³".
func (s Space) String() string { return Figure(float64(s), 1) + tie + "m³" }

// String prints how often the air is renewed: "0.5 an hour".
func (c Changes) String() string { return spare(float64(c), 1) + " an hour" }
