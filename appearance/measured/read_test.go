package measured

import (
	"encoding/binary"
	"math"
	"slices"
	"strings"
	"testing"
	"unicode/utf16"

	"scumble/appearance/colour"
)

func TestDrawdownsInCGATS(t *testing.T) {
	samples, notes, problems := Read("drawdowns.txt", file(t, "drawdowns.txt"))
	if len(problems) > 0 || len(samples) != 3 {
		t.Fatalf("%d samples, problems:\n%s", len(samples), list(problems))
	}
	for i, want := range []struct {
		name, backing string
		lab           colour.Lab
		share         float64
		at            Place
	}{
		{"Deep ochre", "white", colour.Lab{L: 48.51, A: 9.2, B: 31.7}, .5, Place{17, 1}},
		{`Ochre "A" 1:4`, "white", colour.Lab{L: 66.02, A: 11.95, B: 42.13}, 1, Place{18, 1}},
		{"Deep ochre", "black", colour.Lab{L: 31.4, A: 5.1, B: 18.33}, .25, Place{24, 1}},
	} {
		s := samples[i]
		if s.Name != want.name || s.Backing != want.backing || *s.Lab != want.lab || s.Light != "D50" || s.Observer != "1931" || s.Geometry != "45/0" || s.At != want.at {
			t.Errorf("sample %d: %+v, Lab %v", i, s, *s.Lab)
		}
		if s.First != 380 || s.Step != 10 || len(s.Values) != 36 {
			t.Fatalf("sample %d: from %g by %g, %d values", i, s.First, s.Step, len(s.Values))
		}
		// Written as percent with three decimals.
		for j, v := range s.Values {
			if math.Abs(v-want.share*ramp(380+10*float64(j))) > 1e-5+1e-9 {
				t.Errorf("sample %d at %d nm: %g", i, 380+10*j, v)
			}
		}
	}
	if got := list(notes); !strings.Contains(got, "taken as percent") || !strings.Contains(got, "from 380 to 730 nm only") {
		t.Errorf("notes:\n%s", got)
	}
}

func TestDrawdownsInCxF(t *testing.T) {
	samples, _, problems := Read("drawdowns.cxf", file(t, "drawdowns.cxf"))
	if len(problems) > 0 || len(samples) != 3 {
		t.Fatalf("%d samples, problems:\n%s", len(samples), list(problems))
	}
	white, black, card := samples[0], samples[1], samples[2]
	if white.Name != "Deep ochre" || white.Backing != "white" || white.Light != "D50" || white.Observer != "1931" ||
		white.Geometry != "SingleAngle Annular 45 0.0" || white.Film != 50.8 || white.At != (Place{10, 4}) || white.XYZ != nil {
		t.Errorf("over white: %+v", white)
	}
	if *white.Lab != (colour.Lab{L: 48.51, A: 9.2, B: 31.7}) || white.RGB.Hex() != "#8e6d3e" {
		t.Errorf("over white: Lab %v, RGB %s", *white.Lab, white.RGB.Hex())
	}
	if black.Backing != "black" || black.Light != "FL2" || black.Observer != "1964" || black.Geometry != "SphereGeometry Specular_Excluded" || black.Lab != nil {
		t.Errorf("over black: %+v", black)
	}
	if x := *black.XYZ; math.Abs(x.Y-0.0682) > 1e-12 || math.Abs(x.X-0.071) > 1e-12 {
		t.Errorf("over black: XYZ %v", x)
	}
	if card.Name != "card" || card.Spectrum != nil || card.Values != nil || card.First != 0 || card.Lab.L != 96.1 {
		t.Errorf("card: %+v", card)
	}
	for i, s := range samples[:2] {
		for j, v := range s.Values {
			if want := []float64{.5, .25}[i] * ramp(380+10*float64(j)); math.Abs(v-want) > 1e-5 {
				t.Errorf("spectrum %d at %d nm: %g, want %g", i, 380+10*j, v, want)
			}
		}
	}
}

func TestDrawdownsInCSV(t *testing.T) {
	samples, notes, problems := Read("drawdowns.csv", file(t, "drawdowns.csv"))
	if len(problems) > 0 || len(samples) != 2 {
		t.Fatalf("%d samples, problems:\n%s", len(samples), list(problems))
	}
	if strings.Contains(list(notes), "percent") {
		t.Errorf("the units row says percent, nothing is assumed:\n%s", list(notes))
	}
	for i, s := range samples {
		if s.Name != "Deep ochre" || s.Backing != []string{"white", "black"}[i] || s.Film != 50.8 || s.At != (Place{4 + i, 1}) {
			t.Errorf("%+v", s)
		}
		if want := []float64{.5, .25}[i] * ramp(560); math.Abs(s.Values[18]-want) > 1e-5 {
			t.Errorf("at 560 nm: %g, want %g", s.Values[18], want)
		}
	}
}

// The same ochre, in all the ways files have it.
func TestWaysOfWritingASpectrum(t *testing.T) {
	wave := func(verb string) string { return waves(" ", verb) }
	pairs := bands(400, 700, 20, " ", "%s", func(float64) any { return "SPECTRAL_NM SPECTRAL_PCT" })
	pairValues := bands(400, 700, 20, " ", "%v", func(nm float64) any { return strings.TrimSpace(waveAndValue(nm)) })
	lines := bands(400, 700, 20, "\n", "%s", func(nm float64) any { return waveAndValue(nm) })
	utf16 := func(order binary.AppendByteOrder, mark bool, s string) string {
		if mark {
			s = "\ufeff" + s
		}
		var b []byte
		for _, u := range utf16.Encode([]rune(s)) {
			b = order.AppendUint16(b, u)
		}
		return string(b)
	}
	plainCSV := "name," + waves(",", "%d") + "\nochre," + ramps(",", "%g", 1) + "\n"
	for name, src := range map[string]string{
		"SPECTRAL_NMnnn":  cgatsOf("SAMPLE_NAME "+wave("SPECTRAL_NM%d"), "ochre "+ramps(" ", "%g", 1)),
		"SPECTRAL_NM_nnn": cgatsOf("SAMPLE_NAME "+wave("SPECTRAL_NM_%d"), "ochre "+ramps(" ", "%g", 1)),
		"SPECTRAL_nnn":    cgatsOf("SAMPLE_NAME "+wave("SPECTRAL_%d"), "ochre "+ramps(" ", "%g", 1)),
		"SPEC_nnn":        cgatsOf("SAMPLE_ID "+wave("SPEC_%d"), "ochre "+ramps(" ", "%g", 1)),
		"nmnnn":           cgatsOf("SampleID "+wave("nm%d"), "ochre "+ramps(" ", "%g", 1)),
		"nm nnn":          cgatsOf("SampleID "+wave("nm %d"), "ochre "+ramps(" ", "%g", 1)),
		"pairs":           cgatsOf("SAMPLE_NAME "+pairs, "ochre "+pairValues),
		"pair downwards":  cgatsOf("SPECTRAL_NM SPECTRAL_DEC", strings.Split(lines, "\n")...),
		"percent":         cgatsOf("SAMPLE_NAME "+wave("nm%d"), "ochre "+ramps(" ", "%.3f", 100)),
		"norm":            strings.Replace(cgatsOf("SAMPLE_NAME "+wave("nm%d"), "ochre "+ramps(" ", "%.4f", 1000)), "BEGIN", "SPECTRAL_NORM \"1000\"\nBEGIN", 1),
		"decimal comma":   cgatsOf("SAMPLE_NAME "+wave("nm%d"), "ochre "+strings.ReplaceAll(ramps(" ", "%g", 1), ".", ",")),
		"wrapped":         cgatsOf("SAMPLE_NAME "+wave("nm%d"), "ochre "+strings.Replace(ramps(" ", "%g", 1), " 0.3", "\n0.3", 1)),
		"tabs":            cgatsOf("SAMPLE_NAME\tNOTE\t"+waves("\t", "nm%d"), "ochre\t\t"+ramps("\t", "%g", 1), "two words\tx y\t"+ramps("\t", "%g", 1)),
		"comments":        cgatsOf("# fields\nSAMPLE_NAME "+wave("nm%d")+" # end", "# row\nochre "+ramps(" ", "%g", 1)),
		"one line":        "CGATS.17\rBEGIN_DATA_FORMAT SAMPLE_NAME " + wave("nm%d") + " END_DATA_FORMAT\rNUMBER_OF_SETS 1\rBEGIN_DATA\rochre " + ramps(" ", "%g", 1) + " END_DATA\r",
		"CSV":             plainCSV,
		"CSV CRLF BOM":    "\ufeff" + strings.ReplaceAll(plainCSV, "\n", "\r\n"),
		"CSV nm":          "Sample," + waves(",", "%d nm") + "\n\"ochre\"," + ramps(",", "%g", 1) + "\n",
		"CSV R":           "Sample\t" + waves("\t", "R%d") + "\nochre\t" + ramps("\t", "%g", 1) + "\n",
		"CSV no name":     waves(";", "%d") + "\n" + strings.ReplaceAll(ramps(";", "%g", 1), ".", ",") + "\n",
		"CSV downwards":   "nm,ochre\n" + strings.ReplaceAll(lines, " ", ",") + "\n",
		"CSV title":       "Measured on site\n\nname," + waves(",", "%d") + "\nochre," + ramps(",", "%g", 1) + ",\n",
		"UTF-16LE":        utf16(binary.LittleEndian, true, plainCSV),
		"UTF-16BE":        utf16(binary.BigEndian, true, plainCSV),
		"UTF-16 unmarked": utf16(binary.LittleEndian, false, plainCSV),
		"CxF":             cxfOf(by20, objectOf("ochre", `<ReflectanceSpectrum ColorSpecification="S">`+ramps(" ", "%g", 1)+`</ReflectanceSpectrum>`)),
		"CxF entity":      cxfOf(by20, objectOf("ochre", `<ReflectanceSpectrum ColorSpecification="S">`+ramps("&#32;<!-- -->", "%g", 1)+`</ReflectanceSpectrum>`)),
		"CxF UTF-16":      utf16(binary.BigEndian, true, strings.Replace(cxfOf(by20, objectOf("ochre", `<ReflectanceSpectrum ColorSpecification="S">`+ramps("\n", "%.3f", 100)+`</ReflectanceSpectrum>`)), "UTF-8", "UTF-16", 1)),
	} {
		t.Run(name, func(t *testing.T) {
			samples := clean(t, name, src)
			isRamp(t, samples[0])
			if s := samples[0]; s.Name != "ochre" && name != "CSV no name" && name != "pair downwards" {
				t.Errorf("name %q", s.Name)
			}
			if name == "tabs" && (len(samples) != 2 || samples[1].Name != "two words") {
				t.Errorf("second sample %+v", samples[1])
			}
		})
	}
}

func waveAndValue(nm float64) string {
	return strings.Join([]string{bands(int(nm), int(nm), 1, "", "%v", func(nm float64) any { return nm }), bands(int(nm), int(nm), 1, "", "%g", func(nm float64) any { return ramp(nm) })}, " ")
}

func TestColourFigures(t *testing.T) {
	for name, c := range map[string]struct {
		src  string
		want func(s Sample) bool
	}{
		"Lab": {"name,L*,a*,b*,light,observer\nx,50,-3.5,12,D65/10,\n", func(s Sample) bool {
			return *s.Lab == colour.Lab{L: 50, A: -3.5, B: 12} && s.Light == "D65" && s.Observer == "1964"
		}},
		"Lab headed": {"name;Lab_L;Lab_a;Lab_b;illuminant;observer\nx;50;\u22123,5;12;F11;2°\n", func(s Sample) bool {
			return *s.Lab == colour.Lab{L: 50, A: -3.5, B: 12} && s.Light == "FL11" && s.Observer == "1931"
		}},
		"RGB":            {"r,g,b\n255,128,0\n", func(s Sample) bool { return s.RGB.Hex() == "#ff8000" && s.Lab == nil }},
		"RGB and Lab":    {"R,G,B,L,a,b\n255,128,0,50,1,2\n", func(s Sample) bool { return s.RGB.Hex() == "#ff8000" && s.Lab.B == 2 }},
		"hex":            {"hex,name\n#C8B49A,x\n# comment\n", func(s Sample) bool { return s.RGB.Hex() == "#c8b49a" && s.Name == "x" }},
		"no light":       {"hex,light,observer\n#c8b49a,unknown,?\n#\n", func(s Sample) bool { return s.Light == "" && s.Observer == "" }},
		"hex alone":      {"hex\nc8b49a\n", func(s Sample) bool { return s.RGB.Hex() == "#c8b49a" }},
		"XYZ of 100":     {"X,Y,Z\n20,30,40\n", func(s Sample) bool { return s.XYZ.X == .2 && s.XYZ.Y == .3 && s.XYZ.Z == .4 }},
		"XYZ of 1":       {"X,Y,Z\n.2,.3,.4\n", func(s Sample) bool { return *s.XYZ == colour.XYZ{X: .2, Y: .3, Z: .4} }},
		"CGATS XYZ":      {cgatsOf("SAMPLE_ID XYZ_X XYZ_Y XYZ_Z RGB_R RGB_G RGB_B", "A1 0.9 1 0.8 5 5 5"), func(s Sample) bool { return s.XYZ.Y == .01 && s.RGB == nil && s.Name == "A1" }},
		"CxF 16 bit RGB": {cxfOf("", objectOf("x", `<ColorSRGB ColorSpecification="S"><MaxRange>65535</MaxRange><R>65535</R><G>32896</G><B>0</B></ColorSRGB>`)), func(s Sample) bool { return s.RGB.Hex() == "#ff8000" }},
		"keywords": {"ILLUMINATION_NAME \"CIE F2\"\nOBSERVER_ANGLE 10\nFILM_THICKNESS 80\nGEOMETRY \"d/8 sphere\"\n" + cgatsOf("LAB_L LAB_A LAB_B", "1 2 3"), func(s Sample) bool {
			return s.Light == "FL2" && s.Observer == "1964" && s.Film == 80 && s.Geometry == "d/8 sphere"
		}},
	} {
		t.Run(name, func(t *testing.T) {
			samples := clean(t, name, c.src)
			if len(samples) != 1 || samples[0].Spectrum != nil || !c.want(samples[0]) {
				t.Errorf("%d samples, %+v", len(samples), samples)
			}
		})
	}
}

func TestNotes(t *testing.T) {
	spectrum := func(attrs, values string) string {
		return objectOf("x", `<ReflectanceSpectrum `+attrs+`>`+values+`</ReflectanceSpectrum>`)
	}
	by10 := bands(400, 700, 10, " ", "%g", func(nm float64) any { return ramp(nm) })
	for name, c := range map[string]struct{ src, want string }{
		"percent":          {cgatsOf(waves(" ", "nm%d"), ramps(" ", "%.2f", 100)), "f:7:88: reflectances are taken as percent, because 67.44 is above 2"},
		"percent by error": {"400,420,440,460,480,500,520,540,560,580,600,620,640,660,680,700\n" + strings.Repeat(".1,", 15) + "55\n", "f:2:46: reflectances are taken as percent, because 55 is above 2; but most values are below 1.2: if they are reflectances 0..1, mend this one"},
		"10 nm assumed":    {cxfOf("", spectrum(`StartWL="400" ColorSpecification="S"`, by10)), "f:3:60: x: spectra have no Increment; 10 nm are assumed; check that they end at the right wavelength"},
		"no specification": {cxfOf("", spectrum(`StartWL="400" ColorSpecification="T"`, by10)), `f:3:60: x: the file has no ColorSpecification "T"; light, observer and geometry are unknown`},
		"ends":             {cgatsOf("SAMPLE_NAME "+waves(" ", "nm%d"), "x "+ramps(" ", "%g", 1)), "f:7:1: x: measured from 400 to 700 nm only; outside that, the nearest value is held"},
		"a little below 0": {cgatsOf("SAMPLE_NAME "+waves(" ", "nm%d"), "x -0.0004 "+strings.TrimPrefix(ramps(" ", "%g", 1), "0.08288 ")), "f:7:1: x: reflectances a little below 0, as instruments give for black, are taken as 0"},
		"not UTF-8":        {"name,L,a,b\nx,1,2,3\ncaf\xe9,1,2,3\n", "f:3:1: the file is not UTF-8 from this line on; letters are taken as ISO 8859-1; check the names, or save it as UTF-8"},
		"lone column":      {"L,hex\n5,#112233\n", "f:1:1: L: this column is left out, because its two companions are not all there; give L, a, b or X, Y, Z or r, g, b together"},
		"backing of both":  {"hex,backing\n#112233,Black and White card\n", `f:2:9: backing: "Black and White card" is neither white nor black and is left out`},
		"backing":          {"hex,backing\n#112233,plaster\n", `f:2:9: backing: "plaster" is neither white nor black and is left out`},
		"XYZ":              {"X,Y,Z\n20,30,40\n", "f:2:1: XYZ: XYZ are taken with Y = 100 for white"},
		"transmittance":    {cxfOf("", objectOf("x", `<TransmittanceSpectrum>1</TransmittanceSpectrum><ColorCIELab ColorSpecification="S"><L>1</L><A>1</A><B>1</B></ColorCIELab>`)), "f:3:60: x: TransmittanceSpectrum is not a reflectance and is left out"},
		"thick":            {cxfOf("", strings.Replace(objectOf("x", `<ColorCIELab ColorSpecification="S"><L>1</L><A>1</A><B>1</B></ColorCIELab>`), "</Object>", `<PhysicalAttributes><Thickness Units="mm">18</Thickness></PhysicalAttributes></Object>`, 1)), `thickness "18 mm" is not that of a film and is left out; give it in um, mm or mil, up to 5000 um`},
	} {
		t.Run(name, func(t *testing.T) {
			samples, notes, problems := Read("f", []byte(c.src))
			if len(samples) == 0 || len(problems) > 0 {
				t.Fatalf("%d samples, problems:\n%s", len(samples), list(problems))
			}
			if !slices.ContainsFunc(notes, func(p Problem) bool {
				return p.String() == c.want || strings.HasPrefix(c.want, "thickness") && strings.Contains(p.String(), c.want)
			}) {
				t.Errorf("notes:\n%s\nwant %s", list(notes), c.want)
			}
		})
	}
}

// ISO 8859-1 letters come out right, also before the byte that gave it away.
func TestLatin1Name(t *testing.T) {
	if s := clean(t, "f", "name,L,a,b\ncaf\xe9 cr\xe8me,1,2,3\n"); s[0].Name != "café crème" {
		t.Errorf("name %q", s[0].Name)
	}
}
