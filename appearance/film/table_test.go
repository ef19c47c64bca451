package film

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"scumble/appearance/colour"
)

func d65(t testing.TB) *colour.Viewer {
	t.Helper()
	l, ok := colour.LightByID("D65")
	if !ok {
		t.Fatal("no D65")
	}
	return colour.NewViewer(l, colour.Observer1931())
}

// bell is a spectrum with one hump.
func bell(low, high, middle, width float64) (s colour.Spectrum) {
	for i := range s {
		d := (float64(nanometres(i)) - middle) / width
		s[i] = low + (high-low)*math.Exp(-d*d)
	}
	return s
}

// Glazes of very unlike strength per um, for films up to 60 um: a stain as strong as any, a milky white, a
// dark scattering earth, a weak varnish.
func stain() *Glaze   { return &Glaze{K: bell(.001, .12, 560, 60), S: flat(.0005)} }
func milk() *Glaze    { return &Glaze{K: bell(.00002, .0004, 420, 30), S: flat(.05)} }
func umber() *Glaze   { return &Glaze{K: bell(.01, .08, 400, 120), S: bell(.01, .03, 640, 80)} }
func varnish() *Glaze { return &Glaze{K: bell(0, .004, 400, 40), S: flat(0)} }

func views(t testing.TB) []*View {
	lamp, _ := colour.LightByID("LED-B1")
	warm := colour.NewViewer(lamp, colour.Observer1931())
	v := d65(t)
	return []*View{
		{Ground: flat(.8), Surface: Usual(), Viewer: v},
		{Ground: bell(.1, .6, 600, 60), Surface: Usual(), Viewer: warm,
			Clear: &Clear{Coat{&Glaze{K: flat(.0001), S: flat(.0005)}, 40}, Surface{.04, .6, .4}}},
		{Ground: bell(.85, .3, 560, 50), Surface: Surface{}, Viewer: warm, Unadapted: true},
	}
}

// direct evaluates without a table.
func direct(v *View, coats ...Coat) colour.RGB {
	f := Finish{Ground: v.Ground, Surface: v.Surface, Clear: v.Clear, Coats: coats}
	return v.show(f.Spectrum())
}

func (v *View) show(r colour.Spectrum) colour.RGB {
	x := v.Viewer.XYZ(&r)
	if v.Unadapted {
		return x.RGBUnadapted()
	}
	return x.RGB(v.Viewer.White())
}

func off(want colour.RGB, r, g, b float32) float64 {
	return colour.DeltaE(want.Lab(), colour.RGB{R: float64(r), G: float64(g), B: float64(b)}.Lab())
}

// Goal: no more than 0.05 CIEDE2000 between table and direct evaluation.
const mostTableError = 0.05

func TestTableError(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	worst := 0.0
	for _, v := range views(t) {
		for _, g := range []*Glaze{stain(), milk(), umber(), varnish()} {
			table, err := NewTable(v, g, 60)
			if err != nil {
				t.Fatal(err)
			}
			for range 400 {
				x := float32(60 * math.Pow(r.Float64(), 2))
				red, green, blue := table.At(x)
				worst = max(worst, off(direct(v, Coat{g, float64(x)}), red, green, blue))
			}
		}
	}
	t.Logf("worst %.4f", worst)
	if worst > mostTableError {
		t.Errorf("worst difference %.3f CIEDE2000", worst)
	}
}

func TestTable2Error(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 6))
	worst := 0.0
	pairs := [][2]*Glaze{{stain(), milk()}, {milk(), stain()}, {umber(), varnish()}, {stain(), umber()}}
	for i, v := range views(t) {
		for j, pair := range pairs {
			if (i+j)%2 == 1 { // half of them, for time
				continue
			}
			table, err := NewTable2(v, pair[0], pair[1], 60, 40)
			if err != nil {
				t.Fatal(err)
			}
			for range 500 {
				x, y := float32(60*math.Pow(r.Float64(), 2)), float32(40*math.Pow(r.Float64(), 2))
				red, green, blue := table.At(x, y)
				e := off(direct(v, Coat{pair[0], float64(x)}, Coat{pair[1], float64(y)}), red, green, blue)
				worst = max(worst, e)
			}
		}
	}
	t.Logf("worst %.4f", worst)
	if worst > mostTableError {
		t.Errorf("worst difference %.3f CIEDE2000", worst)
	}
}

func TestBlendTableError(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	worst := 0.0
	pairs := [][2]*Glaze{{stain(), milk()}, {milk(), stain()}, {umber(), varnish()}, {stain(), umber()}}
	for i, v := range views(t) {
		for j, pair := range pairs {
			if (i+j)%2 == 1 {
				continue
			}
			table, err := NewBlendTable(v, pair[0], pair[1], 60)
			if err != nil {
				t.Fatal(err)
			}
			for n := range 500 {
				x, m := float32(60*math.Pow(r.Float64(), 2)), float32(r.Float64())
				if n%3 == 0 {
					m *= m * m
				}
				mix, err := Mix([]Part{{pair[0], 1 - float64(m)}, {pair[1], float64(m)}})
				if err != nil {
					t.Fatal(err)
				}
				red, green, blue := table.At(x, m)
				e := off(direct(v, Coat{&mix, float64(x)}), red, green, blue)
				worst = max(worst, e)
			}
		}
	}
	t.Logf("worst %.4f", worst)
	if worst > mostTableError {
		t.Errorf("worst difference %.3f CIEDE2000", worst)
	}
}

// TestTablesOfGlazesDrawnAtRandom is a wider net than the named glazes.
func TestTablesOfGlazesDrawnAtRandom(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 8))
	any := func() *Glaze {
		size := func(low float64) float64 { return math.Pow(10, low+2.5*r.Float64()) }
		return &Glaze{
			K: bell(size(-5.5), size(-3.2), 400+300*r.Float64(), 20+100*r.Float64()), // K x to 12
			S: bell(size(-4), size(-3), 400+300*r.Float64(), 20+100*r.Float64()),     // S x to 19
		}
	}
	v := views(t)[0]
	var worst [3]float64
	for range 40 {
		first, second := any(), any()
		one, err1 := NewTable(v, first, 60)
		two, err2 := NewTable2(v, first, second, 60, 60)
		blend, err3 := NewBlendTable(v, first, second, 60)
		if err1 != nil || err2 != nil || err3 != nil {
			t.Fatal(err1, err2, err3)
		}
		for range 100 {
			x, y, m := float32(60*math.Pow(r.Float64(), 2)), float32(60*math.Pow(r.Float64(), 2)), float32(r.Float64())
			red, green, blue := one.At(x)
			worst[0] = max(worst[0], off(direct(v, Coat{first, float64(x)}), red, green, blue))
			red, green, blue = two.At(x, y)
			worst[1] = max(worst[1], off(direct(v, Coat{first, float64(x)}, Coat{second, float64(y)}), red, green, blue))
			mix, err := Mix([]Part{{first, 1 - float64(m)}, {second, float64(m)}})
			if err != nil {
				t.Fatal(err)
			}
			red, green, blue = blend.At(x, m)
			worst[2] = max(worst[2], off(direct(v, Coat{&mix, float64(x)}), red, green, blue))
		}
	}
	t.Logf("worst %.4f", worst)
	if max(worst[0], worst[1], worst[2]) > mostTableError {
		t.Errorf("worst differences %.3f CIEDE2000", worst)
	}
}

func TestTableEdges(t *testing.T) {
	v := views(t)[0]
	table, err := NewTable(v, stain(), 60)
	if err != nil {
		t.Fatal(err)
	}
	two, err := NewTable2(v, stain(), milk(), 60, 40)
	if err != nil {
		t.Fatal(err)
	}
	blend, err := NewBlendTable(v, stain(), milk(), 60)
	if err != nil {
		t.Fatal(err)
	}
	type rgb [3]float32
	at := func(r, g, b float32) rgb { return rgb{r, g, b} }
	const far = 1e30
	inf := float32(math.Inf(1))
	if at(table.At(-3)) != at(table.At(0)) || at(table.At(far)) != at(table.At(60)) || at(table.At(inf)) != at(table.At(60)) {
		t.Error("a film outside the table is not the one at its edge")
	}
	if at(two.At(-3, far)) != at(two.At(0, 40)) || at(two.At(far, -3)) != at(two.At(60, 0)) {
		t.Error("two films outside the table are not those at its edge")
	}
	if at(blend.At(-3, 2)) != at(blend.At(0, 1)) || at(blend.At(far, -3)) != at(blend.At(60, 0)) {
		t.Error("a blend outside the table is not the one at its edge")
	}
	nan := float32(math.NaN()) // must not panic
	table.At(nan)
	two.At(nan, nan)
	blend.At(nan, nan)

	near(t, "ground", off(v.show(v.Ground), table.film.cells[0].r, table.film.cells[0].g, table.film.cells[0].b), 0, 1e-4)
	for _, x := range []float32{60, 59.99} {
		r, g, b := table.At(x)
		near(t, "thickest", off(direct(v, Coat{stain(), float64(x)}), r, g, b), 0, mostTableError)
	}
	r, g, b := two.At(60, 40)
	near(t, "thickest two", off(direct(v, Coat{stain(), 60}, Coat{milk(), 40}), r, g, b), 0, mostTableError)
	r, g, b = blend.At(60, 1)
	near(t, "second alone", off(direct(v, Coat{milk(), 60}), r, g, b), 0, mostTableError)
	r, g, b = blend.At(60, .5)
	mix, _ := Mix([]Part{{stain(), 1}, {milk(), 1}})
	near(t, "half and half", off(direct(v, Coat{&mix, 60}), r, g, b), 0, mostTableError)
}

func TestRowsAreManyAts(t *testing.T) {
	v := views(t)[1]
	pearl := varnish()
	pearl.Flake = &Flake{PerUm: flat(.02), Sigma: 7}
	one, err1 := NewTable(v, pearl, 60)
	two, err2 := NewTable2(v, stain(), pearl, 60, 40)
	blend, err3 := NewBlendTable(v, stain(), pearl, 60)
	if err1 != nil || err2 != nil || err3 != nil {
		t.Fatal(err1, err2, err3)
	}
	a, b := []float32{0, 3, 17, 80}, []float32{.1, 5, .7, .9, 1}
	row := func(fill func(rgb []float32), at func(i int) (r, g, b float32)) {
		t.Helper()
		rgb := make([]float32, 12)
		fill(rgb)
		for i := range a {
			r, g, b := at(i)
			if [3]float32(rgb[3*i:]) != [3]float32{r, g, b} {
				t.Errorf("place %d: row %v, at %v", i, rgb[3*i:3*i+3], [3]float32{r, g, b})
			}
		}
	}
	row(func(rgb []float32) { one.Row(rgb, a) }, func(i int) (float32, float32, float32) { return one.At(a[i]) })
	row(func(rgb []float32) { one.FlakeRow(rgb, a) }, func(i int) (float32, float32, float32) { return one.Flake(a[i]) })
	row(func(rgb []float32) { two.Row(rgb, a, b) }, func(i int) (float32, float32, float32) { return two.At(a[i], b[i]) })
	row(func(rgb []float32) { two.FlakeRow(rgb, a, b) }, func(i int) (float32, float32, float32) { return two.Flake(a[i], b[i]) })
	row(func(rgb []float32) { blend.Row(rgb, a, b) }, func(i int) (float32, float32, float32) { return blend.At(a[i], b[i]) })
	row(func(rgb []float32) { blend.FlakeRow(rgb, a, b) }, func(i int) (float32, float32, float32) { return blend.Flake(a[i], b[i]) })
	one.Row(make([]float32, 5), a) // too short a row is no panic
	two.Row(make([]float32, 5), a, b)
	blend.Row(nil, a, b)
}

func TestGamut(t *testing.T) {
	dull, err := NewTable(&View{Ground: flat(.6), Surface: Usual(), Viewer: d65(t)}, umber(), 60)
	if err != nil || dull.Outside != 0 {
		t.Error("an earth over grey left the gamut:", dull.Outside, err)
	}
	// Orange of a steep edge, as saturated as paint can be.
	var edge Glaze
	for i := range edge.K {
		if nanometres(i) < 570 {
			edge.K[i] = .1
		}
	}
	v := &View{Ground: flat(.85), Surface: Usual(), Viewer: d65(t)}
	table, err := NewTable(v, &edge, 60)
	if err != nil {
		t.Fatal(err)
	}
	r, g, b := table.At(50)
	if !(table.Outside > .3 && table.Outside < 1) || min(r, g, b) >= 0 {
		t.Errorf("%v of the entries outside, %v %v %v", table.Outside, r, g, b)
	}
	fitted, two := table.Fit(), &Table2{}
	if two, err = NewTable2(v, &edge, varnish(), 60, 40); err != nil {
		t.Fatal(err)
	}
	fr, fg, fb := fitted.At(50)
	sr, sg, sb := two.Fit().At(50, 0)
	for _, c := range []float32{fr, fg, fb, sr, sg, sb} {
		if !(c >= 0 && c <= 1) {
			t.Errorf("%v is outside the gamut after fitting", c)
		}
	}
	want, _ := colour.RGB{R: float64(r), G: float64(g), B: float64(b)}.Fit()
	near(t, "fitted entry", off(want, fr, fg, fb), 0, mostTableError)
	if r2, _, _ := table.At(50); r2 != r {
		t.Error("Fit changed its table")
	}
}

func TestTablesRefuse(t *testing.T) {
	_, err := NewTable(&View{Surface: Surface{K2: 1}}, grey(-1, 0), 0)
	for _, want := range []string{"K2 1", "no viewer", "glaze 1: the glaze has K -1", "thickest film is 0 um"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v does not say %q", err, want)
		}
	}
	v := views(t)[0]
	if _, err = NewTable2(v, nil, stain(), 60, 40); err == nil || !strings.Contains(err.Error(), "glaze 1 is missing") {
		t.Error("a missing glaze passed:", err)
	}
	a, b := stain(), milk()
	a.Flake, b.Flake = &Flake{Sigma: 5}, &Flake{Sigma: 8}
	if _, err = NewTable2(v, a, b, 60, 40); err == nil || !strings.Contains(err.Error(), "both glazes have flakes") {
		t.Error("two lobes passed:", err)
	}
	if _, err = NewBlendTable(v, a, b, 60); err == nil || !strings.Contains(err.Error(), "do not mix") {
		t.Error("two spreads passed:", err)
	}
}

func BenchmarkNewTable(b *testing.B) {
	v := views(b)[1]
	for b.Loop() {
		_, _ = NewTable(v, stain(), 60)
	}
}

func BenchmarkNewTable2(b *testing.B) {
	v := views(b)[1]
	for b.Loop() {
		_, _ = NewTable2(v, stain(), milk(), 60, 40)
	}
}

func BenchmarkNewBlendTable(b *testing.B) {
	v := views(b)[1]
	for b.Loop() {
		_, _ = NewBlendTable(v, stain(), milk(), 60)
	}
}

func BenchmarkFitTable2(b *testing.B) {
	table, _ := NewTable2(views(b)[0], stain(), milk(), 60, 40)
	for b.Loop() {
		table.Fit()
	}
}

// Look-ups are timed a row of 1024 places at a time, films as smooth as on a wall.
func films(n int) (x, y, rgb []float32) {
	x, y, rgb = make([]float32, n), make([]float32, n), make([]float32, 3*n)
	for i := range x {
		s := math.Sin(float64(i) / 50)
		x[i], y[i] = float32(30+25*s), float32(.5+.4*s*s)
	}
	return x, y, rgb
}

func perPlace(b *testing.B, n int) {
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/place")
}

func BenchmarkTableAt(b *testing.B) {
	table, _ := NewTable(views(b)[0], stain(), 60)
	x, _, rgb := films(1024)
	for b.Loop() {
		for i, x := range x {
			rgb[3*i], rgb[3*i+1], rgb[3*i+2] = table.At(x)
		}
	}
	perPlace(b, len(x))
}

func BenchmarkTableRow(b *testing.B) {
	table, _ := NewTable(views(b)[0], stain(), 60)
	x, _, rgb := films(1024)
	for b.Loop() {
		table.Row(rgb, x)
	}
	perPlace(b, len(x))
}

func BenchmarkTable2Row(b *testing.B) {
	table, _ := NewTable2(views(b)[0], stain(), milk(), 60, 40)
	x, y, rgb := films(1024)
	for b.Loop() {
		table.Row(rgb, x, y)
	}
	perPlace(b, len(x))
}

func BenchmarkBlendTableRow(b *testing.B) {
	table, _ := NewBlendTable(views(b)[0], stain(), milk(), 60)
	x, y, rgb := films(1024)
	for b.Loop() {
		table.Row(rgb, x, y)
	}
	perPlace(b, len(x))
}
