package measured

import (
	"cmp"
	"encoding/xml"
	"errors"
	"io"
	"slices"
	"strings"
	"unicode/utf8"
)

// cxfSpace is the namespace of ISO 17972-1 files.
const cxfSpace = "http://colorexchangeformat.com/CxF3-core"

func isXML(text string) bool { return strings.HasPrefix(strings.TrimSpace(text), "<") }

// element is an XML element: where it begins, what is in it, and where that begins.
type element struct {
	name   string
	attrs  []xml.Attr
	at     Place
	text   []byte
	from   cursor
	inside []*element
}

func (e *element) attr(name string) string {
	for _, a := range e.attrs {
		if a.Name.Local == name {
			return strings.TrimSpace(a.Value)
		}
	}
	return ""
}

// find follows names down to the first element there; an empty element if there is none.
func (e *element) find(names ...string) *element {
	for _, name := range names {
		i := slices.IndexFunc(e.inside, func(c *element) bool { return c.name == name })
		if i < 0 {
			return &element{at: e.at}
		}
		e = e.inside[i]
	}
	return e
}

// words is the text of an element as a cell.
func (e *element) words() cell { return cell{strings.TrimSpace(string(e.text)), e.at} }

// cursor is a byte offset in the file and its place. It moves forward only.
type cursor struct {
	offset int
	at     Place
}

func (c *cursor) to(offset int, text string) Place {
	passed := text[c.offset:offset]
	if n := strings.Count(passed, "\n"); n > 0 {
		c.at = Place{c.at.Line + n, 1}
		passed = passed[strings.LastIndexByte(passed, '\n')+1:]
	}
	c.at.Column += utf8.RuneCountInString(passed)
	c.offset = offset
	return c.at
}

// cxfFile is a CxF3 / ISO 17972-1 file being read.
type cxfFile struct {
	*reader
	specs map[string]specification // by Id
}

// specification is what a ColorSpecification says of the values that refer to it.
type specification struct {
	Sample
	start, increment string // of wavelengths
}

// cxf reads objects with their colour values. Colour specifications stand behind the
// objects that refer to them, so objects are worked up at the end.
func (r *reader) cxf() {
	f := &cxfFile{reader: r, specs: map[string]specification{}}
	decoder := xml.NewDecoder(strings.NewReader(r.text))
	decoder.CharsetReader = func(_ string, in io.Reader) (io.Reader, error) { return in, nil } // it is UTF-8 by now
	// open is the way from an object or specification down to where the decoder is.
	var objects, specs, open []*element
	here := cursor{at: Place{1, 1}}
	for root := true; ; {
		at := here.to(int(decoder.InputOffset()), r.text)
		token, err := decoder.Token()
		here.to(int(decoder.InputOffset()), r.text)
		if err != nil {
			if !errors.Is(err, io.EOF) {
				r.wrong(here.at, "", "the XML breaks off here: "+plain(err.Error()), "export the file again")
			}
			break
		}
		switch token := token.(type) {
		case xml.StartElement:
			e := &element{name: token.Name.Local, attrs: token.Attr, at: at, from: here}
			if token.Name.Space != cxfSpace {
				e.name = "" // an addition of some maker
			}
			if root && e.name != "CxF" {
				r.wrong(at, "", "this XML is not a CxF3 file", `export CxF3: its first element is CxF with xmlns "`+cxfSpace+`"`)
				return
			}
			root = false
			switch {
			case len(open) > 0:
				parent := open[len(open)-1]
				parent.inside = append(parent.inside, e)
			case e.name == "Object":
				objects = append(objects, e)
			case e.name == "ColorSpecification":
				specs = append(specs, e)
			default:
				continue
			}
			open = append(open, e)
		case xml.CharData:
			if len(open) > 0 {
				e := open[len(open)-1]
				e.text = append(e.text, token...)
			}
		case xml.EndElement:
			open = open[:max(len(open)-1, 0)]
		}
	}
	for _, e := range specs {
		f.specs[e.attr("Id")] = f.specification(e)
	}
	for _, o := range objects {
		f.object(o)
	}
}

// object makes a draft of each spectrum of an object, or one of its colour figures. A
// figure goes to the spectrum of its own specification, otherwise to the first.
func (f *cxfFile) object(o *element) {
	name := cmp.Or(plain(o.attr("Name")), plain(o.attr("Id")))
	thickness := o.find("PhysicalAttributes", "Thickness")
	var drafts []*draft
	bySpec := map[string]*draft{}
	begin := func(e *element) *draft {
		id := e.attr("ColorSpecification")
		spec, ok := f.specs[id]
		if !ok {
			f.note(e.at, name, "the file has no ColorSpecification "+shown(id), "light, observer and geometry are unknown")
		}
		d := &draft{Sample: spec.Sample}
		d.Name, d.At = name, o.at
		f.film(d, thickness)
		drafts = append(drafts, d)
		if bySpec[id] == nil {
			bySpec[id] = d
		}
		return d
	}
	values := o.find("ColorValues").inside
	for _, e := range values {
		switch e.name {
		case "ReflectanceSpectrum":
			f.spectrum(begin(e), e)
		case "TransmittanceSpectrum", "EmissiveSpectrum":
			f.note(e.at, name, e.name+" is not a reflectance and is left out", "")
		}
	}
	for _, e := range values {
		k := map[string]kind{"ColorCIELab": labL, "ColorCIEXYZ": xyzX, "ColorSRGB": red}[e.name]
		if k == unknown {
			continue
		}
		if len(drafts) == 0 {
			begin(e)
		}
		f.figuresOf(cmp.Or(bySpec[e.attr("ColorSpecification")], drafts[0]), k, e)
	}
	for _, d := range drafts {
		f.keep(d)
	}
}

// film sets the film of a sample from the thickness of the object.
func (f *cxfFile) film(d *draft, e *element) {
	um := map[string]float64{"um": 1, "µm": 1, "μm": 1, "micron": 1, "microns": 1, "micrometer": 1, "micrometre": 1, "mm": 1000, "mil": 25.4, "mils": 25.4}
	v, _ := number(e.words().text)
	v *= um[strings.ToLower(e.attr("Units"))]
	if v > 0 && v <= 5000 {
		d.Film = v
	} else if e.name != "" {
		f.note(e.at, d.Name, "thickness "+shown(e.words().text+" "+e.attr("Units"))+" is not that of a film and is left out", "give it in um, mm or mil, up to 5000 um")
	}
}

// specification reads a ColorSpecification.
func (f *cxfFile) specification(e *element) specification {
	measured := e.find("MeasurementSpec")
	wavelengths := measured.find("WavelengthRange")
	s := specification{start: wavelengths.attr("StartWL"), increment: wavelengths.attr("Increment")}
	f.describe(&s.Sample, lightName, e.find("TristimulusSpec", "Illuminant").words())
	f.describe(&s.Sample, observer, e.find("TristimulusSpec", "Observer").words())
	f.describe(&s.Sample, backing, measured.find("Backing").words())
	if choice := measured.find("GeometryChoice").inside; len(choice) > 0 {
		words := choice[0].name + " " + choice[0].words().text
		for _, e := range choice[0].inside[:min(8, len(choice[0].inside))] {
			words += " " + e.words().text
		}
		s.Geometry = plain(strings.Join(strings.Fields(words), " "))
	}
	return s
}

// spectrum reads a ReflectanceSpectrum. Where its wavelengths begin and how they step
// is said by itself or by its colour specification.
func (f *cxfFile) spectrum(d *draft, e *element) {
	at, spec := e.at, f.specs[e.attr("ColorSpecification")]
	first, ok := f.number(cell{cmp.Or(e.attr("StartWL"), spec.start), at}, d.Name, "StartWL")
	increment := cmp.Or(e.attr("Increment"), spec.increment)
	if increment == "" {
		increment = "10"
		f.note(at, d.Name, "spectra have no Increment; 10 nm are assumed", "check that they end at the right wavelength")
	}
	step, right := f.number(cell{increment, at}, d.Name, "Increment")
	d.wrong = !ok || !right
	// Places of values can be told only if the text stands in the file as it is.
	text, from := string(e.text), e.from
	asIs := strings.HasPrefix(f.text[from.offset:], text)
	offset := 0
	for word := range strings.FieldsSeq(text) {
		offset += strings.Index(text[offset:], word)
		if asIs {
			at = from.to(e.from.offset+offset, f.text)
		}
		offset += len(word)
		d.waves = append(d.waves, first+step*float64(len(d.waves)))
		v, right := f.number(cell{word, at}, d.Name, "")
		d.add(v, at, right)
	}
	d.waveAt = d.rawAt
	if len(d.raw) == 0 {
		f.wrong(at, d.Name, "the spectrum has no values", "export it again")
	}
}

// figuresOf reads a ColorCIELab, ColorCIEXYZ or ColorSRGB; the first of each counts.
func (f *cxfFile) figuresOf(d *draft, first kind, e *element) {
	if first == labL && d.Lab != nil || first == xyzX && d.XYZ != nil || first == red && d.RGB != nil {
		return
	}
	names := map[kind][3]string{labL: {"L", "A", "B"}, xyzX: {"X", "Y", "Z"}, red: {"R", "G", "B"}}[first]
	var cells [3]cell
	for i, name := range names {
		cells[i] = e.find(name).words()
	}
	top := 255.0
	if c := e.find("MaxRange").words(); c.text != "" {
		if top, _ = number(c.text); top < 1 {
			f.wrong(c.at, d.Name, "the range of RGB ends at "+shown(c.text), "give a number of 1 or more")
			return
		}
	}
	f.figures(d, first, cells, top)
}
