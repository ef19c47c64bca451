package unit

import (
	"math"
	"testing"
)

// readable is one reader with the print of what it read and how fine that is.
type readable struct {
	read  func(string) (float64, error)
	print func(float64) string
	fine  float64
}

var readers = []readable{
	{func(s string) (float64, error) { v, err := ParseLength(s); return float64(v), err }, func(v float64) string { return Length(v).String() }, 0.5},
	{func(s string) (float64, error) { v, err := ParseOffset(s); return float64(v), err }, func(v float64) string { return Length(v).String() }, 0.5},
	{func(s string) (float64, error) { v, err := ParseOffset(s); return float64(v), err }, func(v float64) string { return Length(v).FeetInches() }, 25.4 / 32},
	{func(s string) (float64, error) { v, err := ParseArea(s); return float64(v), err }, func(v float64) string { return Area(v).String() }, 0.005},
	{func(s string) (float64, error) { v, err := ParseVolume(s); return float64(v), err }, func(v float64) string { return Volume(v).String() }, 0.05},
	{func(s string) (float64, error) { v, err := ParseMass(s); return float64(v), err }, func(v float64) string { return Mass(v).String() }, 0.005},
	{func(s string) (float64, error) { v, err := ParseFilm(s); return float64(v), err }, func(v float64) string { return Film(v).String() }, 0.5},
	{func(s string) (float64, error) { v, err := ParseHours(s); return float64(v), err }, func(v float64) string { return Hours(v).String() }, 0.5 / 60},
	{func(s string) (float64, error) { v, err := ParseRatio(s); return float64(v), err }, func(v float64) string { return Ratio(v).String() }, 0.0005},
	{func(s string) (float64, error) { v, err := ParseTemp(s); return float64(v), err }, func(v float64) string { return Temp(v).String() }, 0.05},
	{func(s string) (float64, error) { v, err := ParseSpread(s); return float64(v), err }, func(v float64) string { return Spread(v).String() }, 0.05},
	{func(s string) (float64, error) { v, err := ParseSpreadByMass(s); return float64(v), err }, func(v float64) string { return Spread(v).PerKilogram() }, 0.005},
	{func(s string) (float64, error) { v, err := ParseDensity(s); return float64(v), err }, func(v float64) string { return Density(v).String() }, 0.005},
	{func(s string) (float64, error) { v, err := ParsePace(s); return float64(v), err }, func(v float64) string { return Pace(v).OverArea() }, 0.05},
	{func(s string) (float64, error) { v, err := ParseEdgePace(s); return float64(v), err }, func(v float64) string { return Pace(v).AlongEdge() }, 0.05},
}

// Every reader takes any text without a panic, gives a finite value or an error,
// and reads its own print back as the same value.
func FuzzParse(f *testing.F) {
	for _, s := range []string{"4200", "4,2 m", "4m20", `13'-9 1/2"`, "13′ 9½″", "4.200", "1,234.5", "12.34 m²", "100 sq. ft.", "2 US gal", "750 ml", "2 lb 4 oz",
		"5 mil", "1 h 30", "55 %", "0.55", "−3 °C", "64 F", "350 ft2/gal", "1 lb/gal", "4.5 m2/h", "2 390.44", "4 ½ ½", "..", "''", "/", "1/0", "9e9", "\xff", "٣"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for i, r := range readers {
			v, err := r.read(s)
			if err != nil {
				if v != 0 {
					t.Errorf("reader %d: %q refused with the value %v", i, s, v)
				}
				continue
			}
			if math.Abs(v) > 9e8 {
				continue // its print may round to above the limit
			}
			text := r.print(v)
			again, err := r.read(text)
			if err != nil || math.IsNaN(v) || math.Abs(again-v) > r.fine*(1+1e-6)+1e-12*math.Abs(v) {
				t.Errorf("reader %d: %q is %v, printed %q, read back %v, %v", i, s, v, text, again, err)
			}
		}
		if h, err := ParseHumidity(s); err == nil && !(h > 0 && h <= 1) {
			t.Errorf("humidity %q is %v", s, float64(h))
		}
		for decimals := range 4 {
			m, err := ParseMoney(s, decimals)
			if err != nil {
				continue
			}
			if again, err := ParseMoney(m.Format(decimals), decimals); err != nil || again != m {
				t.Errorf("money %q is %d, printed %q, read back %d, %v", s, m, m.Format(decimals), again, err)
			}
		}
	})
}

func FuzzFigure(f *testing.F) {
	f.Add(1.005, 2)
	f.Add(math.Copysign(0, -1), 0)
	f.Add(math.MaxFloat64, 9)
	f.Fuzz(func(t *testing.T, v float64, decimals int) {
		if s := Figure(v, decimals); s == "" {
			t.Errorf("nothing printed for %v", v)
		}
	})
}
