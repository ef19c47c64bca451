package measured

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
	"scumble/appearance/colour"
)

// What is written as CGATS reads back as the same numbers, however it is laid out.
func TestCGATSRoundTrip(t *testing.T) {
	type patch struct {
		name   string
		values []float64
		lab    colour.Lab
	}
	rapid.Check(t, func(t *rapid.T) {
		first := rapid.SampledFrom([]int{350, 360, 380, 400}).Draw(t, "first")
		step := rapid.SampledFrom([]int{1, 5, 10, 20}).Draw(t, "step")
		n := (700-first)/step + 1 + rapid.IntRange(0, 5).Draw(t, "more")
		if first+step*(n-1) < 680 {
			n++
		}
		unit := rapid.Float64Range(0, 1.2)
		patches := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) patch {
			return patch{
				name:   rapid.StringMatching(`[A-Za-z#][ -~]{0,12}[a-z"]`).Draw(t, "name"),
				values: rapid.SliceOfN(unit, n, n).Draw(t, "values"),
				lab:    colour.Lab{L: rapid.Float64Range(0, 100).Draw(t, "L"), A: rapid.Float64Range(-128, 128).Draw(t, "a"), B: rapid.Float64Range(-128, 128).Draw(t, "b")},
			}
		}), 1, 4).Draw(t, "patches")
		sep := rapid.SampledFrom([]string{"\t", " ", "  "}).Draw(t, "separator")
		wrap := sep != "\t" && rapid.Bool().Draw(t, "wrapped")
		comma := rapid.Bool().Draw(t, "decimal comma")
		newline := rapid.SampledFrom([]string{"\n", "\r\n", "\r"}).Draw(t, "newline")
		figure := func(v float64) string {
			s := strconv.FormatFloat(v, 'g', -1, 64)
			if comma {
				s = strings.Replace(s, ".", ",", 1)
			}
			return s
		}
		var b strings.Builder
		fmt.Fprintf(&b, "CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_NAME%sLAB_L%sLAB_A%sLAB_B", sep, sep, sep)
		for i := range n {
			fmt.Fprintf(&b, "%sSPECTRAL_NM%d", sep, first+step*i)
		}
		fmt.Fprintf(&b, "\nEND_DATA_FORMAT\nNUMBER_OF_SETS %d\nBEGIN_DATA\n", len(patches))
		for _, p := range patches {
			b.WriteString(`"` + strings.ReplaceAll(p.name, `"`, `""`) + `"`)
			for i, v := range append([]float64{p.lab.L, p.lab.A, p.lab.B}, p.values...) {
				if wrap && i > 0 && i%7 == 0 {
					b.WriteString("\n")
				}
				b.WriteString(sep + figure(v))
			}
			b.WriteString("\n")
		}
		b.WriteString("END_DATA\n")
		text := strings.ReplaceAll(b.String(), "\n", newline)
		samples, _, problems := Read("f", []byte(text))
		if len(problems) > 0 || len(samples) != len(patches) {
			t.Fatalf("%d samples of %d, problems:\n%s\n%s", len(samples), len(patches), list(problems), text)
		}
		for i, s := range samples {
			p := patches[i]
			if s.Name != strings.TrimSpace(p.name) || *s.Lab != p.lab || s.First != float64(first) || s.Step != float64(step) || fmt.Sprint(s.Values) != fmt.Sprint(p.values) {
				t.Fatalf("sample %d: %+v\nwant %+v\n%s", i, s, p, text)
			}
		}
	})
}

// sound checks what must hold for any file.
func sound(t *testing.T, src []byte) {
	samples, notes, problems := Read("f", src)
	if len(samples) == 0 && len(problems) == 0 {
		t.Error("no samples and no problems")
	}
	lines := strings.Count(strings.ReplaceAll(string(src), "\r", "\n"), "\n") + len(src)/2 + 2
	for _, p := range append(notes, problems...) {
		if p.What == "" || p.File != "f" || p.Line > lines || (p.Line > 0) != (p.Column > 0) {
			t.Errorf("problem %+v", p)
		}
	}
	for _, s := range samples {
		if s.Spectrum == nil && s.Lab == nil && s.XYZ == nil && s.RGB == nil {
			t.Errorf("nothing in %+v", s)
		}
		if (s.Spectrum != nil) != (len(s.Values) > 0) || (s.Step > 0) != (len(s.Values) > 0) {
			t.Errorf("half a spectrum in %+v", s)
		}
		for _, v := range s.Values {
			if !(v >= 0 && v <= 1.2) {
				t.Errorf("reflectance %g", v)
			}
		}
		if s.Spectrum != nil {
			for _, v := range s.Spectrum {
				if !(v >= 0 && v < 2) {
					t.Errorf("on the grid %g", v)
				}
			}
		}
		if s.Film < 0 || s.At.Line < 1 || s.At.Column < 1 {
			t.Errorf("%+v", s)
		}
	}
}

func seeds(f *testing.F) {
	for _, name := range []string{"drawdowns.txt", "drawdowns.cxf", "drawdowns.csv", "site lamp.csv"} {
		f.Add(file(f, name))
	}
	f.Add([]byte(cgatsOf("SPECTRAL_NM SPECTRAL_PCT", "400 1", "420 3")))
	f.Add([]byte("hex,r,g,b,L,a,b\n#112233,1,2,3,4,5,6\n"))
	f.Add([]byte("nm;a;b\n400;0,5;0,6\n420;0,5;0,6\n"))
	f.Add([]byte(cxfOf(by20, objectOf("x", `<ReflectanceSpectrum ColorSpecification="S">`+ramps(" ", "%g", 1)+`</ReflectanceSpectrum>`))))
	f.Add([]byte("\xff\xfeL\x00,\x00"))
}

func FuzzRead(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, src []byte) { sound(t, src) })
}

func FuzzReadLight(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, src []byte) {
		l, _, problems := ReadLight("lamp.csv", src)
		top := 0.0
		for _, v := range l.Power {
			if !(v >= 0) || math.IsInf(v, 0) {
				t.Errorf("power %g", v)
			}
			top = max(top, v)
		}
		if (l == colour.Light{}) != (len(problems) > 0) {
			t.Errorf("light %q with %d problems", l.ID, len(problems))
		}
	})
}

// A chart of 1,600 patches with 36 bands.
func BenchmarkRead(b *testing.B) {
	values := bands(380, 730, 10, " ", "%.5f", func(nm float64) any { return ramp(nm) })
	rows := make([]string, 1600)
	for i := range rows {
		rows[i] = fmt.Sprintf("A%d %s", i, values)
	}
	src := []byte(cgatsOf("SAMPLE_ID "+bands(380, 730, 10, " ", "SPECTRAL_NM%v", func(nm float64) any { return nm }), rows...))
	b.SetBytes(int64(len(src)))
	for b.Loop() {
		if samples, _, _ := Read("f", src); len(samples) != 1600 {
			b.Fatal(len(samples))
		}
	}
}
