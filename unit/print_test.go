package unit

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// plain turns the two special spaces into | and _ so that a test can show them.
func plain(s string) string {
	return strings.NewReplacer(thinSpace, "|", tie, "_").Replace(s)
}

func TestFigure(t *testing.T) {
	for _, c := range []struct {
		v        float64
		decimals int
		want     string
	}{
		{0, 0, "0"}, {4200, 0, "4|200"}, {999, 0, "999"}, {1234567.891, 2, "1|234|567.89"}, {-1234, 0, "−1|234"},
		{0.125, 2, "0.13"}, {-0.125, 2, "−0.13"}, {2.5, 0, "3"}, {-2.5, 0, "−3"}, {1.005, 2, "1.01"}, {2.675, 2, "2.68"}, {0.285, 2, "0.29"},
		{0.1 + 0.2, 1, "0.3"}, {0.2849999, 2, "0.28"}, {math.Nextafter(0.285, 0), 2, "0.29"}, {-0.001, 2, "0.00"}, {math.Copysign(0, -1), 0, "0"},
		{999.9999, 2, "1|000.00"}, {0.0004, 3, "0.000"}, {0.0005, 3, "0.001"}, {0.5, 0, "1"}, {0.05, 0, "0"}, {1e17, 0, "100|000|000|000|000|000"},
		{5e-324, 9, "0.000000000"}, {12.3, 99, "12.300000000"}, {12.6, -4, "13"}, {math.NaN(), 1, "?"}, {math.Inf(-1), 1, "?"},
	} {
		if got := plain(Figure(c.v, c.decimals)); got != c.want {
			t.Errorf("Figure(%v, %d) = %q, want %q", c.v, c.decimals, got, c.want)
		}
	}
}

func TestPrints(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Length(4200).String(), "4|200_mm"}, {Length(4200).MM(), "4|200"}, {Length(-12).String(), "−12_mm"}, {Length(999.5).MM(), "1|000"},
		{Length(4203.7).FeetInches(), "13_ft_9_1/2_in"}, {Length(4191).FeetInches(), "13_ft_9_in"}, {Length(3962.4).FeetInches(), "13_ft_0_in"},
		{Length(241.3).FeetInches(), "9_1/2_in"}, {Length(9.525).FeetInches(), "3/8_in"}, {Length(0).FeetInches(), "0_in"}, {Length(-12.7).FeetInches(), "−1/2_in"},
		{Length(304.7).FeetInches(), "1_ft_0_in"}, {Length(3966).FeetInches(), "13_ft_1/8_in"}, {Length(-0.1).FeetInches(), "0_in"}, {Length(math.NaN()).FeetInches(), "?"},
		{Area(12.345).String(), "12.35_m²"}, {Area(12.34).Fixed(1), "12.3"}, {Rect(4000, 2500).String(), "10.00_m²"},
		{Volume(6.94).String(), "6.9_L"}, {Volume(0.45).String(), "450_mL"}, {Volume(0.9996).String(), "1.0_L"}, {Volume(0.0042).String(), "4.2_mL"}, {Volume(0).String(), "0_mL"},
		{Mass(0.45).String(), "450_g"}, {Mass(1.25).String(), "1.250_kg"}, {Mass(12.345).String(), "12.35_kg"}, {Mass(0.0034).String(), "3.4_g"}, {Mass(0.9996).String(), "1.000_kg"},
		{Film(125).String(), "125_µm"}, {Film(7.5).String(), "7.5_µm"}, {Density(1.3).String(), "1.30_kg/L"}, {Spread(12.5).String(), "12.5_m²/L"}, {Spread(0.6).PerKilogram(), "0.60_m²/kg"},
		{Content(557.8).String(), "558_g/L"}, {Level(3460).String(), "3.5_g/m³"}, {Level(525).String(), "525_mg/m³"}, {Level(2.3).String(), "2.3_mg/m³"}, {Level(999.7).String(), "1.0_g/m³"},
		{Space(47.56).String(), "47.6_m³"}, {Changes(0.5).String(), "0.5 an hour"},
		{Pace(4.5).OverArea(), "4.5_m²/h"}, {Pace(30).AlongEdge(), "30.0_m/h"},
		{Hours(2.25).String(), "2_h_15_min"}, {Hours(0.75).String(), "45_min"}, {Hours(24).String(), "24_h"}, {Hours(1.9999).String(), "2_h"}, {Hours(0).String(), "0_min"}, {Hours(-1.5).String(), "−1_h_30_min"},
		{Temp(23).String(), "23_°C"}, {Temp(-3.25).String(), "−3.3_°C"}, {Temp(-0.04).String(), "0_°C"}, {Humidity(0.55).String(), "55_%"}, {Ratio(0.12).String(), "12_%"}, {Ratio(0.125).String(), "12.5_%"},
		{Money(239044).Format(2), "2|390.44"}, {Money(239044).Format(0), "239|044"}, {Money(-5).Format(2), "−0.05"}, {Money(0).Format(2), "0.00"}, {Money(math.MinInt64).Format(2), "−92|233|720|368|547|758.08"},
		{Range[Hours]{1.8, 2.2, 2.8}.Words(1, "h"), "2.2_h, from 1.8 to 2.8"}, {Exactly(Area(3)).Words(1, "m²"), "3.0_m²"}, {Exactly(Ratio(0.5)).Words(2, ""), "0.50"},
	} {
		if plain(c.got) != c.want {
			t.Errorf("printed %q, want %q", plain(c.got), c.want)
		}
	}
}

func TestRangeSums(t *testing.T) {
	a, b := Range[Hours]{1, 2, 4}, Range[Hours]{2, 3, 5}
	if got := a.Plus(b); got != (Range[Hours]{3, 5, 9}) {
		t.Errorf("sum %v", got)
	}
	if got := a.Times(2); got != (Range[Hours]{2, 4, 8}) || !got.Ordered() {
		t.Errorf("twice %v", got)
	}
	if (Range[Hours]{2, 1, 3}).Ordered() {
		t.Error("2, 1, 3 counts as ordered")
	}
}

// What is printed reads back as the same value, within half of the last place printed.
func TestPrintReadsBack(t *testing.T) {
	back := func(t *rapid.T, name, text string, got, want, tolerance float64, err error) {
		if err != nil || math.Abs(got-want) > tolerance*(1+1e-9)+1e-12*want {
			t.Fatalf("%s %v printed %q, read back %v, %v", name, want, text, got, err)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(0, 99999).Draw(t, "v")
		length, err := ParseLength(Length(v).String())
		back(t, "length", Length(v).String(), float64(length), v, 0.5, err)
		length, err = ParseOffset(Length(-v).MM())
		back(t, "offset", Length(-v).MM(), -float64(length), v, 0.5, err)
		length, err = ParseLength(Length(v).FeetInches())
		back(t, "feet", Length(v).FeetInches(), float64(length), v, 25.4/32, err)
		area, err := ParseArea(Area(v).String())
		back(t, "area", Area(v).String(), float64(area), v, 0.005, err)
		volume, err := ParseVolume(Volume(v).String())
		back(t, "volume", Volume(v).String(), float64(volume), v, 0.05, err)
		volume, err = ParseVolume(Volume(v / 1e5).String())
		back(t, "volume", Volume(v/1e5).String(), float64(volume), v/1e5, 0.0005, err)
		mass, err := ParseMass(Mass(v).String())
		back(t, "mass", Mass(v).String(), float64(mass), v, 0.005, err)
		mass, err = ParseMass(Mass(v / 1e4).String())
		back(t, "mass", Mass(v/1e4).String(), float64(mass), v/1e4, 0.0005, err)
		film, err := ParseFilm(Film(v).String())
		back(t, "film", Film(v).String(), float64(film), v, 0.5, err)
		hours, err := ParseHours(Hours(v).String())
		back(t, "hours", Hours(v).String(), float64(hours), v, 0.5/60, err)
		spread, err := ParseSpread(Spread(v).String())
		back(t, "spread", Spread(v).String(), float64(spread), v, 0.05, err)
		spread, err = ParseSpreadByMass(Spread(v).PerKilogram())
		back(t, "spread", Spread(v).PerKilogram(), float64(spread), v, 0.005, err)
		density, err := ParseDensity(Density(v).String())
		back(t, "density", Density(v).String(), float64(density), v, 0.005, err)
		pace, err := ParsePace(Pace(v).OverArea())
		back(t, "pace", Pace(v).OverArea(), float64(pace), v, 0.05, err)
		pace, err = ParseEdgePace(Pace(v).AlongEdge())
		back(t, "pace", Pace(v).AlongEdge(), float64(pace), v, 0.05, err)
		ratio, err := ParseRatio(Ratio(v / 1e5).String())
		back(t, "ratio", Ratio(v/1e5).String(), float64(ratio), v/1e5, 0.0005, err)
		humidity, err := ParseHumidity(Humidity(0.01 + v/1.1e5).String())
		back(t, "humidity", Humidity(0.01+v/1.1e5).String(), float64(humidity), 0.01+v/1.1e5, 0.005, err)
		temp, err := ParseTemp(Temp(v/1000 - 50).String())
		back(t, "temp", Temp(v/1000-50).String(), float64(temp)+50, v/1000, 0.05, err)
		decimals := rapid.IntRange(0, 3).Draw(t, "decimals")
		money := Money(rapid.Int64().Draw(t, "money") / 2)
		if got, err := ParseMoney(money.Format(decimals), decimals); err != nil || got != money {
			t.Fatalf("money %d printed %q, read back %d, %v", money, money.Format(decimals), got, err)
		}
	})
}

// Adding half of the last place and cutting off is what half up means.
func TestFigureRoundsHalfUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.Int64Range(0, 1e9).Draw(t, "thousandths")
		want := (n + 5) / 10
		got := strings.ReplaceAll(Figure(float64(n)/1000, 2), thinSpace, "")
		if exact := strings.ReplaceAll(Money(want).Format(2), thinSpace, ""); got != exact {
			t.Fatalf("%d/1000 printed %s, want %s", n, got, exact)
		}
	})
}
