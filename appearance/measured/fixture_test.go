package measured

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
)

// ramp is a made-up ochre: dark in the blue, light from the yellow on.
func ramp(nm float64) float64 {
	return math.Round((0.08+0.6/(1+math.Exp(-(nm-560)/30)))*1e5) / 1e5
}

// bands writes f at wavelengths, joined.
func bands(from, to, step int, join, verb string, f func(nm float64) any) string {
	var words []string
	for nm := from; nm <= to; nm += step {
		words = append(words, fmt.Sprintf(verb, f(float64(nm))))
	}
	return strings.Join(words, join)
}

func waves(join, verb string) string {
	return bands(400, 700, 20, join, verb, func(nm float64) any { return int(nm) })
}

func ramps(join, verb string, times float64) string {
	return bands(400, 700, 20, join, verb, func(nm float64) any { return ramp(nm) * times })
}

// cgatsOf is a whole file of one table.
func cgatsOf(format string, rows ...string) string {
	return fmt.Sprintf("CGATS.17\nBEGIN_DATA_FORMAT\n%s\nEND_DATA_FORMAT\nNUMBER_OF_SETS %d\nBEGIN_DATA\n%s\nEND_DATA\n", format, len(rows), strings.Join(rows, "\n"))
}

// cxfOf is a whole CxF3 file; objects begin on line 3, one a line.
func cxfOf(spec string, objects ...string) string {
	return `<?xml version="1.0" encoding="UTF-8"?>
<CxF xmlns="http://colorexchangeformat.com/CxF3-core"><Resources><ObjectCollection>
` + strings.Join(objects, "\n") + `
</ObjectCollection><ColorSpecificationCollection><ColorSpecification Id="S">` + spec + `</ColorSpecification></ColorSpecificationCollection></Resources></CxF>
`
}

func objectOf(name, values string) string {
	return `<Object ObjectType="Standard" Name="` + name + `" Id="1"><ColorValues>` + values + `</ColorValues></Object>`
}

const by20 = `<MeasurementSpec><WavelengthRange StartWL="400" Increment="20"/></MeasurementSpec>`

func file(t testing.TB, name string) []byte {
	t.Helper()
	b, err := os.ReadFile("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func list(problems []Problem) string {
	var lines []string
	for _, p := range problems {
		lines = append(lines, p.String())
	}
	return strings.Join(lines, "\n")
}

// clean reads a file that has no problems.
func clean(t testing.TB, name, src string) []Sample {
	t.Helper()
	samples, _, problems := Read(name, []byte(src))
	if len(problems) > 0 {
		t.Fatalf("problems:\n%s", list(problems))
	}
	return samples
}

// isRamp checks that a sample is the ochre, measured every 20 nm from 400.
func isRamp(t testing.TB, s Sample) {
	t.Helper()
	if s.Spectrum == nil || s.First != 400 || s.Step != 20 || len(s.Values) != 16 {
		t.Fatalf("%q: spectrum %v, from %g by %g, %d values", s.Name, s.Spectrum != nil, s.First, s.Step, len(s.Values))
	}
	for i, v := range s.Values {
		nm := 400 + 20*i
		if want := ramp(float64(nm)); math.Abs(v-want) > 1e-9 || math.Abs(s.Spectrum[(nm-380)/5]-want) > 1e-9 {
			t.Fatalf("%q at %d nm: %g, on the grid %g, want %g", s.Name, nm, v, s.Spectrum[(nm-380)/5], want)
		}
	}
}
