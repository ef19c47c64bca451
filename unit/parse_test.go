package unit

import (
	"math"
	"strings"
	"testing"
)

func near(a, b float64) bool { return math.Abs(a-b) <= 1e-9*max(1, math.Abs(b)) }

// Expected millimetres follow from 1 in = 25.4 mm and 1 ft = 12 in (international
// yard and pound agreement, 1959).
func TestParseLength(t *testing.T) {
	for _, c := range []struct {
		text string
		mm   float64
	}{
		{"4200", 4200}, {"4200 mm", 4200}, {"4.2 m", 4200}, {"4,2 m", 4200}, {"420 cm", 4200}, {"4m20", 4200},
		{"4m205", 4205}, {"4 m 20 cm", 4200}, {"4 m 20", 4200}, {"4 m 5 mm", 4005}, {"4 200", 4200},
		{"4\u2009200", 4200}, {"4\u00a0200\u00a0mm", 4200}, {"4\u202f200 mm", 4200}, {"12 345.5 mm", 12345.5},
		{"1,234.5 mm", 1234.5}, {"1.234,5 mm", 1234.5}, {"4.200 m", 4200}, {"4,205 m", 4205}, {"0.200", 0.2},
		{"4.35 m", 4350}, {".5 in", 12.7}, {"3 Metres", 3000}, {"2.5", 2.5},
		{`13'9"`, 4191}, {`13' 9 1/2"`, 4203.7}, {"13 ft 9 1/2 in", 4203.7}, {"13ft 9½in", 4203.7}, {"13 FT. 9 IN.", 4191},
		{`13'-9 1/2"`, 4203.7}, {`13' - 9"`, 4191}, {`13'9-1/2"`, 4203.7}, {`9 1/2"`, 241.3}, {"9.5 in", 241.3}, {`9-1/2"`, 241.3},
		{"13′ 9″", 4191}, {"13’ 9”", 4191}, {"13’ 9’’", 4191}, {"13' 9''", 4191}, {"13'", 3962.4}, {"13'9", 4191}, {"13 ft, 9 in", 4191},
		{"⅜ in", 9.525}, {"9⅜″", 238.125}, {"13½ ft", 4114.8}, {"1⁄2 in", 12.7}, {"5/16 in", 7.9375}, {`13' 9.5"`, 4203.7}, {"13 feet 9 inches", 4191},
	} {
		got, err := ParseLength(c.text)
		if err != nil || !near(float64(got), c.mm) {
			t.Errorf("ParseLength(%q) = %v, %v; want %v mm", c.text, float64(got), err, c.mm)
		}
	}
}

// Every refusal says what to write instead.
func TestParseLengthRefuses(t *testing.T) {
	for _, c := range []struct{ text, wrong, instead string }{
		{"4.200", "as 4.2 mm or as 4200 mm", `write "4.2 m" or "4200 mm"`},
		{"4,200", "as 4.2 mm or as 4200 mm", `write "4.2 m" or "4200 mm"`},
		{"4.200 mm", "as 4.2 mm or as 4200 mm", `"4200 mm"`},
		{"12.500 cm", "as 12.5 cm or as 12500 cm", `"12.5 cm"`},
		{"4,200 ft", "as 4.2 ft or as 4200 ft", `"4.2 ft"`},
		{"-3", "sign", "write"},
		{"", "empty", "write"},
		{"   ", "empty", "write"},
		{"wide", "no figure", "write"},
		{"4m2", "not a unit of length", `"4 m 2 cm"`},
		{"13ft2", "not a unit of length", `"13 ft 2 in"`},
		{"4m5", "what the 5", "write"},
		{"4 m m", "no figure", "write"},
		{"4 20", "how they belong together", "write"},
		{"0 200", "how they belong together", "write"},
		{"9 1/2", "fraction and no unit", `"9 1/2 in"`},
		{`13'14"`, "one ft or more", "write"},
		{"4 m 100 cm", "one m or more", "write"},
		{"1 1/2 ft 3 in", "whole number", "write"},
		{"12 cm 3 m", "cannot follow", "write"},
		{`4 m 3"`, "cannot follow", "write"},
		{"4 m - 20 cm", "no figure", "write"},
		{"4.", "sign '.'", "write"},
		{"1.2.3,4,5", "contradict", "write"},
		{"1.23.4", "part thousands", "write"},
		{"4/0 in", "above zero", "write"},
		{"1 5/4 in", "not smaller than one", "write"},
		{"1.5 1/2 in", "one or the other", "write"},
		{"1e5", `"e" is not a unit`, "write"},
		{"99999999999 m", "far too large", "write"},
		{"3 kg", `"kg" is not a unit of length`, "write"},
		{strings.Repeat("9", 200), "too long", "write"},
	} {
		got, err := ParseLength(c.text)
		if err == nil {
			t.Errorf("ParseLength(%q) = %v, want it refused", c.text, got)
			continue
		}
		if got != 0 || !strings.Contains(err.Error(), c.wrong) || !strings.Contains(err.Error(), c.instead) {
			t.Errorf("ParseLength(%q): %v; want %q and %q in it", c.text, err, c.wrong, c.instead)
		}
	}
}

func TestParseOffsetHasASign(t *testing.T) {
	for text, mm := range map[string]float64{"-12": -12, "−12 mm": -12, "+3 mm": 3, `-1/2"`: -12.7, "5": 5, "-0": 0} {
		if got, err := ParseOffset(text); err != nil || !near(float64(got), mm) {
			t.Errorf("ParseOffset(%q) = %v, %v; want %v", text, float64(got), err, mm)
		}
	}
	if got, err := ParseOffset("3 - 4"); err == nil {
		t.Errorf("ParseOffset took a subtraction as %v", got)
	}
}

// Sources: foot 0.3048 m and pound 0.45359237 kg exact (1959 agreement); US gallon
// 231 in3 = 3.785411784 L (NIST Handbook 44); imperial gallon 4.54609 L (UK Units of
// Measurement Regulations 1995); 119.826 g/L for 1 lb/US gal, and the spreading
// rate constant 1604.17 ft2 mil/US gal = 231/144/0.001, are worked from them.
func TestParseOtherMeasures(t *testing.T) {
	for _, c := range []struct {
		read func(string) (float64, error)
		text string
		want float64
	}{
		{areaText.read, "12.34 m²", 12.34}, {areaText.read, "12,34 m2", 12.34}, {areaText.read, "100 sq ft", 9.290304},
		{areaText.read, "100 sq. ft.", 9.290304}, {areaText.read, "100 ft²", 9.290304}, {areaText.read, "7", 7}, {areaText.read, "1.250 m2", 1.25},
		{volumeText.read, "2.5 L", 2.5}, {volumeText.read, "2,5 l", 2.5}, {volumeText.read, "750 ml", 0.75}, {volumeText.read, "75 cl", 0.75},
		{volumeText.read, "1 usgal", 3.785411784}, {volumeText.read, "2 US gal", 7.570823568}, {volumeText.read, "1 US gallon", 3.785411784},
		{volumeText.read, "1 imp gal", 4.54609}, {volumeText.read, "1 impgal", 4.54609}, {volumeText.read, "1 imperial gallon", 4.54609},
		{volumeText.read, "1 us qt", 0.946352946}, {volumeText.read, "1 us pt", 0.473176473}, {volumeText.read, "½ usgal", 1.892705892},
		{massText.read, "1.25 kg", 1.25}, {massText.read, "450 g", 0.45}, {massText.read, "1 lb", 0.45359237}, {massText.read, "2 lb 4 oz", 1.0205828325},
		{filmText.read, "125 µm", 125}, {filmText.read, "125 μm", 125}, {filmText.read, "125 um", 125}, {filmText.read, "5 mil", 127}, {filmText.read, "0.1 mm", 100},
		{hoursText.read, "24 h", 24}, {hoursText.read, "90 min", 1.5}, {hoursText.read, "1 h 30", 1.5}, {hoursText.read, "1h30", 1.5},
		{hoursText.read, "1 h 30 min", 1.5}, {hoursText.read, "2 d", 48}, {hoursText.read, "1 day 6 hours", 30}, {hoursText.read, "2 weeks", 336}, {hoursText.read, "36 s", 0.01},
		{spreadText.read, "12 m2/L", 12}, {spreadText.read, "12 m² / L", 12}, {spreadText.read, "12", 12},
		{spreadText.read, "350 ft2/gal", 8.589835361}, {spreadText.read, "350 sq ft/US gal", 8.589835361},
		{spreadText.read, "1604.166667 ft2/usgal", 39.37007876}, // 10 * 100 % / 25.4 um, the metric form
		{perKiloText.read, "0.6 m2/kg", 0.6},
		{densityText.read, "1.3 kg/L", 1.3}, {densityText.read, "1.3 g/mL", 1.3}, {densityText.read, "1 lb/gal", 0.1198264273}, {densityText.read, "350 g/L", 0.35},
		{paceText.read, "4.5 m2/h", 4.5}, {paceText.read, "100 ft2/hr", 9.290304}, {edgeText.read, "30 m/h", 30}, {edgeText.read, "100 ft/h", 30.48},
	} {
		if got, err := c.read(c.text); err != nil || math.Abs(got-c.want) > 1e-9*c.want {
			t.Errorf("%q = %v, %v; want %v", c.text, got, err, c.want)
		}
	}
	if d, _ := ParseDensity("1 lb/gal"); math.Abs(float64(d)*1000-119.826) > 0.0005 {
		t.Errorf("1 lb/US gal = %v g/L, want 119.826", float64(d)*1000)
	}
}

func TestParseTemp(t *testing.T) {
	// 32 F is 0 C and 212 F is 100 C; -40 is the same in both.
	for text, want := range map[string]float64{"18": 18, "18 °C": 18, "18 ° C": 18, "18℃": 18, "−3 °C": -3, "32 F": 0, "212 °F": 100, "-40 F": -40, "64.4 f": 18, "21,5 C": 21.5} {
		if got, err := ParseTemp(text); err != nil || math.Abs(float64(got)-want) > 1e-9 {
			t.Errorf("ParseTemp(%q) = %v, %v; want %v", text, float64(got), err, want)
		}
	}
	for _, text := range []string{"-300", "-500 F", "18 K", "18 °", "18 C 5 C", ""} {
		if got, err := ParseTemp(text); err == nil {
			t.Errorf("ParseTemp(%q) = %v, want it refused", text, got)
		}
	}
}

func TestParseShares(t *testing.T) {
	for text, want := range map[string]float64{"12 %": 0.12, "12%": 0.12, "0.12": 0.12, "0,12": 0.12, "150 %": 1.5, "1": 1, "0": 0, "12.5 per cent": 0.125, "1/4": 0.25} {
		if got, err := ParseRatio(text); err != nil || math.Abs(float64(got)-want) > 1e-12 {
			t.Errorf("ParseRatio(%q) = %v, %v; want %v", text, float64(got), err, want)
		}
	}
	if _, err := ParseRatio("12"); err == nil || !strings.Contains(err.Error(), `"12 %"`) {
		t.Errorf("ParseRatio(12): %v, want the hint %q", err, "12 %")
	}
	if got, err := ParseHumidity("55 %"); err != nil || got != 0.55 {
		t.Errorf("55 %% = %v, %v", float64(got), err)
	}
	for _, text := range []string{"0", "0 %", "55", "101 %", "-5 %", "55 C"} {
		if got, err := ParseHumidity(text); err == nil {
			t.Errorf("ParseHumidity(%q) = %v, want it refused", text, got)
		}
	}
}

func TestParseVolumeAsksWhichGallon(t *testing.T) {
	for _, text := range []string{"2 gal", "2 gallons", "2 qt", "2 pints"} {
		if _, err := ParseVolume(text); err == nil || !strings.Contains(err.Error(), "(imperial)") {
			t.Errorf("ParseVolume(%q): %v, want a question which one", text, err)
		}
	}
}

func TestParseMoney(t *testing.T) {
	for _, c := range []struct {
		text     string
		decimals int
		want     Money
	}{
		{"2390.44", 2, 239044}, {"2 390,44", 2, 239044}, {"2,390.44", 2, 239044}, {"2.390,44", 2, 239044}, {"2\u2009390.44", 2, 239044},
		{"12,34,567.90", 2, 123456790}, {"1,234,567", 2, 123456700}, {"5", 2, 500}, {"5.5", 2, 550}, {"-5", 2, -500}, {"−0.05", 2, -5},
		{"2,390", 0, 2390}, {"2390", 0, 2390}, {"2.390", 3, 2390}, {"90071992547409.93", 2, 9007199254740993}, // beyond 2^53: no float on the way
	} {
		if got, err := ParseMoney(c.text, c.decimals); err != nil || got != c.want {
			t.Errorf("ParseMoney(%q, %d) = %d, %v; want %d", c.text, c.decimals, got, err, c.want)
		}
	}
	for _, text := range []string{"2,390", "2.390", "2.345", "5 EUR", "1/2", "5 5", "99999999999999999999", "", "5 5/8"} {
		if got, err := ParseMoney(text, 2); err == nil {
			t.Errorf("ParseMoney(%q) = %d, want it refused", text, got)
		}
	}
	if got, err := ParseMoney("2,390", 3); err == nil {
		t.Errorf("ParseMoney(2,390) with 3 decimals = %d, want it refused", got)
	}
}
