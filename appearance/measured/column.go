package measured

import (
	"strings"
	"unicode"
)

// kind is what a column, or a keyword, holds.
type kind int

const (
	unknown kind = iota
	sampleName
	sampleID
	lightName
	observer
	geometry
	backing
	film
	hex
	labL
	labA
	labB
	xyzX
	xyzY
	xyzZ
	red
	green
	blue
	band       // a reflectance; the wavelength is in the column's name
	wavelength // one for each value in the columns behind it
	pairValue  // the reflectance at the wavelength before it
)

// kinds by name, without what is neither letter, digit nor point.
var kinds = map[string]kind{
	"NAME": sampleName, "SAMPLENAME": sampleName, "SAMPLE": sampleName, "LABEL": sampleName,
	"ID": sampleID, "SAMPLEID": sampleID, "SAMPLELOC": sampleID, "NO": sampleID, "NUMBER": sampleID,
	"LIGHT": lightName, "ILLUMINANT": lightName, "ILLUMINATIONNAME": lightName,
	"OBSERVER": observer, "OBSERVERANGLE": observer, "GEOMETRY": geometry, "MEASUREMENTGEOMETRY": geometry,
	"BACKING": backing, "SAMPLEBACKING": backing, "BACKGROUND": backing, "OVER": backing,
	"FILM": film, "FILMUM": film, "FILMTHICKNESS": film, "FILMTHICKNESSUM": film, "THICKNESSUM": film,
	"HEX": hex, "SRGBHEX": hex, "SRGB": hex, "HTML": hex,
	"L": labL, "LABL": labL, "CIEL": labL, "A": labA, "LABA": labA, "CIEA": labA, "B": labB, "LABB": labB, "CIEB": labB,
	"X": xyzX, "XYZX": xyzX, "Y": xyzY, "XYZY": xyzY, "Z": xyzZ, "XYZZ": xyzZ,
	"R": red, "RED": red, "RGBR": red, "SRGBR": red, "G": green, "GREEN": green, "RGBG": green, "SRGBG": green,
	"BLUE": blue, "RGBB": blue, "SRGBB": blue,
	"SPECTRALNM": wavelength, "NM": wavelength, "WAVELENGTH": wavelength, "WAVELENGTHNM": wavelength,
	"LAMBDA": wavelength, "LAMBDANM": wavelength, "Λ": wavelength, "ΛNM": wavelength,
	"SPECTRALPCT": pairValue, "SPECTRALDEC": pairValue, "SPECTRALVALUE": pairValue,
}

// column is what a column holds and, for a band, its wavelength in nm.
type column struct {
	kind kind
	nm   float64
	at   Place
	name string
}

// columns says what the columns of a header hold. A column b is blue behind a green
// one, and b* otherwise. Names that mean nothing here are unknown.
func columns(header []cell) []column {
	out := make([]column, len(header))
	for i, c := range header {
		name := keyName(c.text)
		out[i] = column{kind: kinds[name], at: c.at, name: plain(c.text)}
		if nm, ok := bandName(name); ok {
			out[i].kind, out[i].nm = band, nm
		}
		if out[i].kind == labB && i > 0 && out[i-1].kind == green {
			out[i].kind = blue
		}
	}
	return out
}

// keyName is a name as kinds has it.
func keyName(s string) string {
	return strings.ToUpper(strings.Map(func(c rune) rune {
		switch {
		case c == 'µ' || c == 'μ':
			return 'u'
		case unicode.IsLetter(c) || unicode.IsDigit(c) || c == '.':
			return c
		}
		return -1
	}, s))
}

// bandName reads names such as 400, 400NM, R400, NM400, SPEC400, SPECTRALNM400.
func bandName(name string) (nm float64, ok bool) {
	for _, before := range []string{"SPECTRAL", "SPEC", "NM", "R"} {
		name = strings.TrimPrefix(name, before)
	}
	nm, ok = number(strings.TrimSuffix(name, "NM"))
	return nm, ok && nm >= 200 && nm <= 2500
}

// describe sets what a word of the file says about a sample.
func (r *reader) describe(s *Sample, k kind, c cell) {
	if c.text == "" {
		return
	}
	switch k {
	case lightName:
		light, angle, _ := strings.Cut(c.text, "/") // D65/10 names an observer too
		s.Light = lightID(light)
		if angle != "" {
			s.Observer = observerID(angle)
		}
	case observer:
		s.Observer = observerID(c.text)
	case geometry:
		s.Geometry = plain(c.text)
	case backing:
		white, black := strings.Contains(strings.ToLower(c.text), "white"), strings.Contains(strings.ToLower(c.text), "black")
		s.Backing = map[[2]bool]string{{true, false}: "white", {false, true}: "black"}[[2]bool{white, black}]
		if s.Backing == "" {
			r.note(c.at, "backing", shown(c.text)+" is neither white nor black and is left out", "")
		}
	case film:
		um, ok := number(c.text)
		if !ok || um <= 0 || um > 5000 {
			r.wrong(c.at, "film", shown(c.text)+" is not a film thickness", "give micrometres, above 0 and up to 5000, or leave it out")
			return
		}
		s.Film = um
	}
}

// lightID is a light as the CIE writes it: "CIE F2" is FL2.
func lightID(s string) string {
	words := strings.FieldsFunc(strings.ToUpper(plain(s)), func(c rune) bool { return c == ' ' || c == ',' || c == '_' })
	if len(words) == 0 {
		return ""
	}
	light := words[len(words)-1]
	if light == "UNKNOWN" || light == "CUSTOM" {
		return ""
	}
	if n, ok := strings.CutPrefix(light, "F"); ok && n != "" && strings.Trim(n, "0123456789") == "" {
		return "FL" + n
	}
	return light
}

// observerID is 1931 for the 2 degree observer, 1964 for the 10 degree one, "" otherwise.
func observerID(s string) string {
	switch {
	case strings.Contains(s, "10") || strings.Contains(s, "1964"):
		return "1964"
	case strings.Contains(s, "2") || strings.Contains(s, "1931"):
		return "1931"
	}
	return ""
}
