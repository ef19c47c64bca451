// Package unit holds the measures of the trade as typed numbers, parsed and
// printed the way people write them.
//
// Inside the program a measure has one unit only, named beside its type.
// Conversion happens at parse and print, nowhere between.
package unit

// Length in millimetres.
type Length float64

// Area in square metres.
type Area float64

// Volume in litres.
type Volume float64

// Mass in kilograms.
type Mass float64

// Film thickness in micrometres.
type Film float64

// Density in kilograms per litre.
type Density float64

// Content is what a litre of a coating holds of something, grams per litre.
type Content float64

// Level is how much vapour a room's air holds, milligrams in a cubic metre.
type Level float64

// Space is the air of a room in cubic metres.
type Space float64

// Changes are air changes: how often in an hour as much air as the room holds
// comes in from outside.
type Changes float64

// Spread is a spreading rate in square metres per litre (or per kilogram where
// a product is sold by mass).
type Spread float64

// Pace is a rate of work in square metres per hour, or metres per hour along an edge.
type Pace float64

// Hours of work or of drying.
type Hours float64

// Temp in degrees Celsius.
type Temp float64

// Humidity is relative humidity as a ratio 0..1.
type Humidity float64

// Ratio is a plain share, 0..1 unless the field says otherwise.
type Ratio float64

// Money in minor units (cents) of the job's currency.
type Money int64

// Range is an estimate: low, likely and high, in the unit of T. Low <= Likely <= High.
type Range[T ~float64] struct {
	Low    T `json:"low"`
	Likely T `json:"likely"`
	High   T `json:"high"`
}

// Exactly is the range without spread.
func Exactly[T ~float64](v T) Range[T] { return Range[T]{v, v, v} }

// Times scales the three figures of a range by a factor of at least zero.
func (r Range[T]) Times(f float64) Range[T] {
	return Range[T]{T(float64(r.Low) * f), T(float64(r.Likely) * f), T(float64(r.High) * f)}
}

// Plus adds two ranges figure by figure: the sum of two lows is the lowest sum.
func (r Range[T]) Plus(o Range[T]) Range[T] {
	return Range[T]{r.Low + o.Low, r.Likely + o.Likely, r.High + o.High}
}

// Ordered reports whether low <= likely <= high.
func (r Range[T]) Ordered() bool { return r.Low <= r.Likely && r.Likely <= r.High }

// Metres returns the length in metres, for areas and prints.
func (l Length) Metres() float64 { return float64(l) / 1000 }

// Rect is the area of a rectangle of two lengths.
func Rect(a, b Length) Area { return Area(float64(a) * float64(b) / 1e6) }
