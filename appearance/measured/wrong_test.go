package measured

import (
	"fmt"
	"strings"
	"testing"
)

// Every kind of mistake: the whole problem as it is shown, and how many samples remain.
func TestMistakes(t *testing.T) {
	spectral := func(rows ...string) string { return cgatsOf("SAMPLE_NAME "+waves(" ", "nm%d"), rows...) }
	good := "ok " + ramps(" ", "%g", 1)
	with := func(from, to string) string { return strings.Replace(good, from, to, 1) }
	spectrum := func(attrs, values string) string {
		return cxfOf("", objectOf("x", `<ReflectanceSpectrum ColorSpecification="S" `+attrs+`>`+values+`</ReflectanceSpectrum>`))
	}
	many := strings.Repeat("0.5 ", 31)
	for name, c := range map[string]struct {
		src   string
		want  string
		reads int
	}{
		"empty":               {" \r\n", "f: the file is empty; export it again", 0},
		"nothing":             {"", "f: the file is empty; export it again", 0},
		"binary":              {"\x01\x02\x00\x00\x04", "f: this is not a text file; export CGATS text, CxF3 or CSV, not the instrument program's own file", 0},
		"large":               {strings.Repeat(" ", maxBytes+1), "f: the file has 8388609 bytes, more than 8388608; part it into smaller files", 0},
		"prose":               {"dear all,\nthe colour is nice\n", "f:1:1: none of the first 20 lines names columns of colour; name the columns in the first row: name, and wavelengths such as 400, 410 ..., or L, a, b, or X, Y, Z, or r, g, b, or hex", 0},
		"no colour":           {cgatsOf("SAMPLE_ID CMYK_C", "1 5"), "f:1:1: there is no measured colour in this file; export reflectances, L*a*b*, XYZ or sRGB figures with it", 0},
		"header alone":        {"name,L,a,b\n", "f:1:1: there is no measured colour in this file; export reflectances, L*a*b*, XYZ or sRGB figures with it", 0},
		"out of range":        {spectral(good, with("0.08288", "1.3")), "f:8:4: ok: reflectance 1.3 at 400 nm is not within 0 and 1.2; measure again, or mend the number; fluorescent colours cannot be used", 1},
		"below range":         {spectral(good, with("0.08288", "-0.3")), "f:8:4: ok: reflectance -0.3 at 400 nm is not within 0 and 1.2; measure again, or mend the number; fluorescent colours cannot be used", 1},
		"percent range":       {spectral("ok "+ramps(" ", "%.3f", 100), "ok 140 "+strings.TrimPrefix(ramps(" ", "%.3f", 100), "8.288 ")), "f:8:4: ok: reflectance 140 at 400 nm is not within 0 and 120; measure again, or mend the number; fluorescent colours cannot be used", 1},
		"not a number":        {spectral(good, with("0.08288", "abc")), `f:8:4: ok: "abc" is not a number; mend it; decimals may follow a point or a comma`, 1},
		"NaN":                 {spectral(good, with("0.08288", "NaN")), `f:8:4: ok: "NaN" is not a number; mend it; decimals may follow a point or a comma`, 1},
		"missing value":       {strings.ReplaceAll(spectral(good, with("0.08288", "")), " ", "\t"), "f:8:4: ok: the value of \"nm400\" is missing; fill it in", 1},
		"short row":           {spectral(good, with("0.08288 ", "")), "f:8:1: this row has 16 values, the header has 17 columns; give each column one value; quote names that hold spaces or separators", 1},
		"short row first":     {spectral(with("0.08288 ", ""), good), "f:7:1: this row has 16 values, the header has 17 columns; give each column one value; quote names that hold spaces or separators", 1},
		"long row":            {spectral(good, "not quoted "+ramps(" ", "%g", 1)), "f:8:1: this row has 18 values, the header has 17 columns; give each column one value; quote names that hold spaces or separators", 1},
		"sets":                {strings.Replace(spectral(good), "SETS 1", "SETS 3", 1), `f:5:16: NUMBER_OF_SETS: "3" samples are declared, there are 1; mend the count, or look for what is missing`, 1},
		"sets not a count":    {strings.Replace(spectral(good), "SETS 1", "SETS many", 1), `f:5:16: NUMBER_OF_SETS: "many" samples are declared, there are 1; mend the count, or look for what is missing`, 1},
		"no sets":             {strings.Replace(spectral(good), "NUMBER_OF_SETS 1\n", "", 1), "f:5:1: NUMBER_OF_SETS: the count of samples is missing, so a cut-off file would not be noticed; write NUMBER_OF_SETS and the count above BEGIN_DATA", 1},
		"fields":              {strings.Replace(spectral(good), "BEGIN", "NUMBER_OF_FIELDS 18\nBEGIN", 1), `f:2:18: NUMBER_OF_FIELDS: "18" fields are declared, there are 17; mend the count, or look for what is missing`, 1},
		"no format":           {"BEGIN_DATA\n1 2\nEND_DATA\n", "f:1:1: NUMBER_OF_SETS: the count of samples is missing, so a cut-off file would not be noticed; write NUMBER_OF_SETS and the count above BEGIN_DATA\nf:1:1: the table has no format; name its fields between BEGIN_DATA_FORMAT and END_DATA_FORMAT above it", 0},
		"unclosed table":      {strings.Replace(spectral(good), "END_DATA\n", "", 1), "f:6:1: BEGIN_DATA has no END_DATA; the file may be cut off: export it again, or write END_DATA where the block ends", 1},
		"unclosed by another": {strings.Replace(spectral(good), "END_DATA\n", "", 1) + strings.TrimPrefix(spectral(good), "CGATS.17\n"), "f:6:1: BEGIN_DATA has no END_DATA; the file may be cut off: export it again, or write END_DATA where the block ends", 2},
		"unclosed format":     {strings.Replace(strings.Replace(spectral(good), "NUMBER_OF_SETS 1\n", "", 1), "END_DATA_FORMAT", "", 1), "f:2:1: BEGIN_DATA_FORMAT has no END_DATA_FORMAT; the file may be cut off: export it again, or write END_DATA_FORMAT where the block ends\nf:5:1: NUMBER_OF_SETS: the count of samples is missing, so a cut-off file would not be noticed; write NUMBER_OF_SETS and the count above BEGIN_DATA", 1},
		"unclosed quote":      {cgatsOf("SAMPLE_NAME LAB_L LAB_A LAB_B", `a 1 2 3`, `"b 1 2 3`), "f:8:1: this quote is not closed on its line; end it with \"\nf:8:1: this row has 1 values, the header has 4 columns; give each column one value; quote names that hold spaces or separators", 1},
		"unordered":           {strings.Replace(spectral(good), "nm420 nm440", "nm440 nm420", 1), "f:3:25: 420 nm comes after 440 nm; put the wavelengths in rising order, each once", 0},
		"twice":               {strings.Replace(spectral(good), "nm420 nm440", "nm420 nm420", 1), "f:3:25: 420 nm comes after 420 nm; put the wavelengths in rising order, each once", 0},
		"uneven":              {strings.Replace(spectral(good), "nm420 nm440", "nm420 nm450", 1), "f:3:25: from 420 to 450 nm is a step of 30, but the first step is 20; export evenly spaced wavelengths", 0},
		"coarse":              {cgatsOf("nm400 nm450 nm500 nm550 nm600 nm650 nm700", "0.1 0.1 0.1 0.1 0.1 0.1 0.1"), "f:3:1: too few bands: 7, one every 50 nm; export one every 20 nm or closer, best 10 or 5", 0},
		"one band":            {cgatsOf("LAB_L LAB_A LAB_B nm550", "1 2 3 0.1"), "f:3:19: too few bands: 1, one every 0 nm; export one every 20 nm or closer, best 10 or 5", 1},
		"narrow":              {cgatsOf("nm500 nm520 nm540", "0.1 0.1 0.1"), "f:3:1: too few bands: values from 500 to 540 nm: the range must cover 420 to 680 nm; export at least 400 to 700 nm", 0},
		"unordered pairs":     {cgatsOf("SPECTRAL_NM SPECTRAL_PCT SPECTRAL_NM SPECTRAL_PCT", "400 0.1 390 0.1"), "f:7:9: 390 nm comes after 400 nm; put the wavelengths in rising order, each once", 0},
		"pair without number": {cgatsOf("SPECTRAL_NM SPECTRAL_PCT SPECTRAL_NM SPECTRAL_PCT", "400 0.1 x 0.1"), `f:7:9: "x" is not a number; mend it; decimals may follow a point or a comma`, 0},
		"Lab":                 {cgatsOf("LAB_L LAB_A LAB_B", "150 0 0", "1 2 3"), "f:7:1: 150, 0, 0 is not the colour of a surface; L must be within 0 and 110, a and b within -200 and 200", 1},
		"XYZ":                 {cgatsOf("XYZ_X XYZ_Y XYZ_Z", "-5 0 0", "1 2 3"), "f:7:1: -5, 0, 0 is not the colour of a surface; give X, Y, Z with Y = 100 for white, none below 0", 1},
		"RGB":                 {"r,g,b\n0.5,0,0\n1,2,3\n", "f:2:1: 0.5, 0, 0 is not the colour of a surface; give r, g, b as whole numbers from 0 to 255", 1},
		"hex":                 {"hex,name\nsienna,x\n#112233,y\n", `f:2:1: x: "sienna" is not a screen colour; write # and six hexadecimal digits, such as #c8b49a`, 1},
		"film":                {"hex,film\n#112233,-4\n", `f:2:9: film: "-4" is not a film thickness; give micrometres, above 0 and up to 5000, or leave it out`, 1},
		"norm":                {"SPECTRAL_NORM x\n" + spectral(good), `f:1:15: "x" is not a number; mend it; decimals may follow a point or a comma`, 1},
		"CSV row":             {"name,L,a,b\nx,1,2\ny,1,2,3\n", "f:2:1: this row has 3 values, the header has 4 columns; give each column one value; quote names that hold spaces or separators", 1},
		"CSV gap":             {"name,L,a,b\nx,1,,2\ny,,,\nz,1,2,3\n", `f:2:5: x: the value of "a" is missing; fill it in`, 1},
		"CSV down": {"nm,x,y\n" + bands(400, 700, 20, "\n", "%s", func(nm float64) any {
			return fmt.Sprintf("%g,0.5,%s", nm, map[bool]string{true: "-", false: "0.5"}[nm == 420])
		}), `f:3:9: y: "-" is not a number; mend it; decimals may follow a point or a comma`, 1},
		"not CxF":               {"<html>\n</html>", `f:1:1: this XML is not a CxF3 file; export CxF3: its first element is CxF with xmlns "http://colorexchangeformat.com/CxF3-core"`, 0},
		"CxF cut off":           {strings.Split(spectrum(`StartWL="400" Increment="10"`, many), "</Obj")[0], "f:3:293: the XML breaks off here: XML syntax error on line 3: unexpected EOF; export the file again", 1},
		"CxF no start":          {spectrum(``, many), `f:3:60: x: the value of "StartWL" is missing; fill it in`, 0},
		"CxF word":              {spectrum(`StartWL="400" Increment="10"`, "\n é "+many), `f:4:2: x: "é" is not a number; mend it; decimals may follow a point or a comma`, 0},
		"CxF out of range":      {spectrum(`StartWL="400" Increment="10"`, "2.5 "+many), "f:3:133: x: reflectance 2.5 at 400 nm is not within 0 and 1.2; measure again, or mend the number; fluorescent colours cannot be used", 0},
		"CxF no step":           {spectrum(`StartWL="400" Increment="0"`, many), "f:3:136: 400 nm comes after 400 nm; put the wavelengths in rising order, each once", 0},
		"CxF no values":         {spectrum(`StartWL="400" Increment="10"`, " "), "f:3:60: x: the spectrum has no values; export it again", 0},
		"CxF Lab":               {cxfOf("", objectOf("x", `<ColorCIELab ColorSpecification="S"><L>1</L><A>1</A></ColorCIELab>`)), `f:3:60: x: the value of "b" is missing; fill it in`, 0},
		"CxF range of RGB":      {cxfOf("", objectOf("x", `<ColorSRGB ColorSpecification="S"><MaxRange>0</MaxRange><R>0</R><G>0</G><B>0</B></ColorSRGB>`)), `f:3:94: x: the range of RGB ends at "0"; give a number of 1 or more`, 0},
		"many columns":          {cgatsOf(strings.Repeat("a ", maxColumns+1), "1"), "f:3:1: there are more than 5000 values in a row; this is no table of measured colours; export it again", 0},
		"many columns in lines": {cgatsOf(strings.Repeat("a ", maxColumns-1)+"\nb c", "1"), "f:5:1: there are more than 5000 values in a row; this is no table of measured colours; export it again", 0},
	} {
		t.Run(name, func(t *testing.T) {
			samples, _, problems := Read("f", []byte(c.src))
			if got := list(problems); got != c.want || len(samples) != c.reads {
				t.Errorf("%d samples, want %d; problems:\n%s\nwant:\n%s", len(samples), c.reads, got, c.want)
			}
		})
	}
}

// All problems at once: one in each row.
func TestAllProblemsAtOnce(t *testing.T) {
	_, _, problems := Read("f", []byte("name,L,a,b\nx,x,2,3\ny,1,y,3\nz,1,2\nw,999,2,3\n"))
	if len(problems) != 4 {
		t.Errorf("problems:\n%s", list(problems))
	}
}

func TestLimits(t *testing.T) {
	samples, _, problems := Read("f", []byte("L,a,b\n"+strings.Repeat("1,2,3\n", maxSamples+1)))
	if len(samples) != maxSamples || list(problems) != "f: the file has more than 20000 samples or 2000000 values; part it into smaller files" {
		t.Errorf("%d samples, problems:\n%s", len(samples), list(problems))
	}
	_, _, problems = Read("f", []byte("L,a,b\n"+strings.Repeat("1,2,x\n", maxReports+50)))
	if len(problems) != maxReports+1 || !strings.Contains(list(problems), "f: there is more like this") {
		t.Errorf("%d problems, first %s", len(problems), problems[0])
	}
	// Many objects that refer to a large specification take no product of the two.
	lab := `<ColorCIELab ColorSpecification="S"><L>1</L><A>2</A><B>3</B></ColorCIELab>`
	src := cxfOf(strings.Repeat("<a/>", 400_000), strings.Repeat(objectOf("x", lab), 19_000))
	if samples, _, problems = Read("f", []byte(src)); len(samples) != 19_000 || len(problems) > 0 {
		t.Errorf("%d samples, problems:\n%s", len(samples), list(problems))
	}
	src = cxfOf("", objectOf("x", strings.Repeat("<ReflectanceSpectrum/>", 100_000)+strings.Repeat("<ColorSRGB/>", 100_000)))
	if _, _, problems = Read("f", []byte(src)); len(problems) != maxReports+1 {
		t.Errorf("%d problems", len(problems))
	}
	// Nothing here recurses, so depth is no danger.
	_, _, problems = Read("f", []byte(cxfOf("", "<Object><ColorValues>"+strings.Repeat("<L>", 200_000))))
	if len(problems) != 1 || !strings.Contains(problems[0].What, "breaks off") {
		t.Errorf("problems:\n%s", list(problems))
	}
}
