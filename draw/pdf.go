package draw

import (
	"bytes"
	"compress/zlib"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode/utf16"
)

// WritePDF writes the document as PDF 1.7 with subset fonts and text that can be
// searched and copied in every script. It fails on a page without size, on a
// damaged JPEG and on a "#id" link that leads nowhere.
func (f *Fonts) WritePDF(w io.Writer, d Doc) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	p := pdf{fonts: f, subsets: make([]*subset, len(f.faces)), images: map[[32]byte]int{}}
	if err := p.document(d); err != nil {
		return err
	}
	_, err := w.Write(p.file())
	return err
}

// pdf is a file being built: objects are numbered from 1.
type pdf struct {
	fonts   *Fonts
	objects [][]byte
	subsets []*subset // by face number; nil until used
	images  map[[32]byte]int
	pics    []int // object numbers, named /I0, /I1...
	veils   []veil
	targets map[string]target
	zip     *zlib.Writer // one for all streams: a new one takes 0.8 MB each

	catalog, info int
}

// veil is a pair of opacities for fills and strokes, named /G0, /G1...
type veil struct{ fill, stroke float64 }

// target is where an internal link leads.
type target struct {
	page int // object number
	at   Point
}

const pointsPerMM = 1 / PointMM

func (p *pdf) reserve() int { p.objects = append(p.objects, nil); return len(p.objects) }

func (p *pdf) set(id int, format string, args ...any) {
	p.objects[id-1] = fmt.Appendf(nil, format, args...)
}

func (p *pdf) add(format string, args ...any) int {
	id := p.reserve()
	p.set(id, format, args...)
	return id
}

// stream adds data under the dictionary entries given, compressed unless it
// already is.
func (p *pdf) stream(dict string, data []byte, compressed bool) int {
	if !compressed {
		data = p.deflate(data)
		dict += "/Filter/FlateDecode"
	}
	id := p.reserve()
	var b bytes.Buffer
	fmt.Fprintf(&b, "<<%s/Length %d>>\nstream\n", dict, len(data))
	b.Write(data)
	b.WriteString("\nendstream")
	p.objects[id-1] = b.Bytes()
	return id
}

func (p *pdf) deflate(data []byte) []byte {
	var b bytes.Buffer
	if p.zip == nil {
		p.zip = zlib.NewWriter(&b)
	} else {
		p.zip.Reset(&b)
	}
	p.zip.Write(data) // a bytes.Buffer cannot fail
	p.zip.Close()
	return b.Bytes()
}

func (p *pdf) document(d Doc) error {
	p.catalog, p.info = p.reserve(), p.reserve()
	tree, resources := p.reserve(), p.reserve()
	ids := make([]int, len(d.Pages))
	for i := range ids {
		ids[i] = p.reserve()
	}
	if len(ids) == 0 {
		return errors.New("document has no pages")
	}
	p.findTargets(d.Pages, ids)
	var errs []error
	for i, page := range d.Pages {
		if err := p.page(page, ids[i], tree, resources); err != nil {
			errs = append(errs, fmt.Errorf("page %d: %w", i+1, err))
		}
	}
	if len(errs) > 0 {
		return errors.Join(errs...)
	}
	kids := ""
	for _, id := range ids {
		kids += fmt.Sprintf("%d 0 R ", id)
	}
	p.set(tree, "<</Type/Pages/Kids[%s]/Count %d>>", strings.TrimSpace(kids), len(ids))
	p.set(resources, "<<%s>>", p.resources())
	more := ""
	if d.Lang != "" {
		more += "/Lang" + pdfString(d.Lang)
	}
	if marks := p.bookmarks(d.Pages, ids); marks > 0 {
		more += fmt.Sprintf("/Outlines %d 0 R/PageMode/UseOutlines", marks)
	}
	p.set(p.catalog, "<</Type/Catalog/Pages %d 0 R/ViewerPreferences<</DisplayDocTitle true>>%s>>", tree, more)
	info := "/Producer(scumble)"
	for _, e := range [][2]string{{"Title", d.Title}, {"Subject", d.Subject}, {"Author", d.Author}} {
		if e[1] != "" {
			info += "/" + e[0] + pdfString(e[1])
		}
	}
	p.set(p.info, "<<%s>>", info)
	return nil
}

func (p *pdf) page(page Page, id, tree, resources int) error {
	if !(page.W > 0 && page.H > 0 && page.W <= 5080 && page.H <= 5080) {
		return fmt.Errorf("size %g by %g mm: a PDF page is more than 0 and at most 5080 mm wide and high", page.W, page.H)
	}
	c := content{pdf: p, to: identity}
	c.op("%s 0 0 %s 0 %s cm %d M", num(pointsPerMM), num(-pointsPerMM), num(page.H*pointsPerMM), miterLimit)
	c.items(page.Items)
	if err := errors.Join(c.errs...); err != nil {
		return err
	}
	stream := p.stream("", c.out.Bytes(), false)
	annots := ""
	for _, l := range c.links {
		x, y := l.area.X*pointsPerMM, (page.H-l.area.Y)*pointsPerMM
		annots += fmt.Sprintf("<</Type/Annot/Subtype/Link/Border[0 0 0]/F 4/Rect[%s %s %s %s]%s>>",
			num(x), num(y-l.area.H*pointsPerMM), num(x+l.area.W*pointsPerMM), num(y), l.action)
	}
	if annots != "" {
		annots = "/Annots[" + annots + "]"
	}
	p.set(id, "<</Type/Page/Parent %d 0 R/MediaBox[0 0 %s %s]/Contents %d 0 R/Resources %d 0 R%s>>", tree,
		num(page.W*pointsPerMM), num(page.H*pointsPerMM), stream, resources, annots)
	return nil
}

// resources lists all fonts, pictures and veils; every page shares them.
func (p *pdf) resources() string {
	var fonts, pics, veils strings.Builder
	for i, s := range p.subsets {
		if s != nil {
			fmt.Fprintf(&fonts, "/F%d %d 0 R", i, p.font(s))
		}
	}
	for i, id := range p.pics {
		fmt.Fprintf(&pics, "/I%d %d 0 R", i, id)
	}
	for i, v := range p.veils {
		fmt.Fprintf(&veils, "/G%d<</ca %s/CA %s>>", i, num(v.fill), num(v.stroke))
	}
	return fmt.Sprintf("/Font<<%s>>/XObject<<%s>>/ExtGState<<%s>>", fonts.String(), pics.String(), veils.String())
}

// bookmarks lists the pages that have titles; 0 means there are none.
func (p *pdf) bookmarks(pages []Page, ids []int) int {
	var titled []int
	for i, page := range pages {
		if page.Title != "" {
			titled = append(titled, i)
		}
	}
	if len(titled) == 0 {
		return 0
	}
	root := p.reserve()
	first := root + 1
	for n, i := range titled {
		around := ""
		if n > 0 {
			around += fmt.Sprintf("/Prev %d 0 R", first+n-1)
		}
		if n < len(titled)-1 {
			around += fmt.Sprintf("/Next %d 0 R", first+n+1)
		}
		p.add("<</Title%s/Parent %d 0 R%s/Dest[%d 0 R/XYZ null null null]>>", pdfString(pages[i].Title), root, around, ids[i])
	}
	p.set(root, "<</Type/Outlines/First %d 0 R/Last %d 0 R/Count %d>>", first, first+len(titled)-1, len(titled))
	return root
}

// file puts the objects together. The /ID is a digest of all that comes before.
func (p *pdf) file() []byte {
	var b bytes.Buffer
	b.WriteString("%PDF-1.7\n%\xe2\xe3\xcf\xd3\n")
	offsets := make([]int, len(p.objects))
	for i, o := range p.objects {
		offsets[i] = b.Len()
		fmt.Fprintf(&b, "%d 0 obj\n%s\nendobj\n", i+1, o)
	}
	id := sha256.Sum256(b.Bytes())
	xref := b.Len()
	fmt.Fprintf(&b, "xref\n0 %d\n0000000000 65535 f \n", len(offsets)+1)
	for _, o := range offsets {
		fmt.Fprintf(&b, "%010d 00000 n \n", o)
	}
	fmt.Fprintf(&b, "trailer\n<</Size %d/Root %d 0 R/Info %d 0 R/ID[<%x><%x>]>>\nstartxref\n%d\n%%%%EOF\n",
		len(offsets)+1, p.catalog, p.info, id[:16], id[:16], xref)
	return b.Bytes()
}

// num writes a number with up to four decimals, enough for 0.1 µm on paper.
// What is not a number is written as 0.
func num(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "0"
	}
	s := strconv.FormatFloat(min(max(v, -1e9), 1e9), 'f', 4, 64)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}

// pdfString writes text as a UTF-16 string, plain ASCII as it is.
func pdfString(s string) string {
	plain := !strings.ContainsFunc(s, func(r rune) bool { return r < ' ' || r > '~' || r == '(' || r == ')' || r == '\\' })
	if plain {
		return "(" + s + ")"
	}
	return "<FEFF" + utf16Hex(s) + ">"
}

func utf16Hex(s string) string {
	var b strings.Builder
	for _, u := range utf16.Encode([]rune(s)) {
		fmt.Fprintf(&b, "%04X", u)
	}
	return b.String()
}

// veilName is the name of a pair of opacities.
func (p *pdf) veilName(v veil) int {
	if i := slices.Index(p.veils, v); i >= 0 {
		return i
	}
	p.veils = append(p.veils, v)
	return len(p.veils) - 1
}
