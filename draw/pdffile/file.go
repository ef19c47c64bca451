// Package pdffile writes a PDF file from what lies on its pages: outlines,
// pictures, shaped text and links, in mm from the top left corner with y down.
// It embeds only the letters used, and the text can be searched and copied in
// every script. It knows neither layout nor the items of a scene.
package pdffile

import (
	"bytes"
	"compress/zlib"
	"crypto/sha256"
	"fmt"
	"strings"
	"unicode/utf16"

	"scumble/draw/outline"
)

var num = outline.Decimal

// pointsPerMM turns mm into the points of a PDF.
const pointsPerMM = 72 / 25.4

// Page is a sheet: its size in mm and its bookmark; without Title it has none.
type Page struct {
	W, H  float64
	Title string
}

// Info is what is said about the document. Lang is a BCP 47 tag.
type Info struct{ Title, Subject, Author, Lang string }

// The objects that every file begins with; the pages follow.
const (
	catalogID = 1 + iota
	infoID
	treeID
	resourcesID
	firstPageID
)

// File is a PDF file being built: objects are numbered from 1.
type File struct {
	pages   []Page
	objects [][]byte
	subsets []*subset // by face number; nil until used
	images  map[[32]byte]int
	pics    []int // object numbers, named /I0, /I1...
	veils   []veil
	zip     *zlib.Writer // one for all streams: a new one takes 0.8 MB each
}

// New begins a file with so many pages, to be filled in order.
func New(pages []Page) *File {
	return &File{pages: pages, objects: make([][]byte, firstPageID-1+len(pages)), images: map[[32]byte]int{}}
}

func (f *File) reserve() int { f.objects = append(f.objects, nil); return len(f.objects) }

func (f *File) set(id int, format string, args ...any) {
	f.objects[id-1] = fmt.Appendf(nil, format, args...)
}

func (f *File) add(format string, args ...any) int {
	id := f.reserve()
	f.set(id, format, args...)
	return id
}

// stream adds data under the dictionary entries given, compressed unless it
// already is.
func (f *File) stream(dict string, data []byte, compressed bool) int {
	if !compressed {
		data = f.deflate(data)
		dict += "/Filter/FlateDecode"
	}
	id := f.reserve()
	var b bytes.Buffer
	fmt.Fprintf(&b, "<<%s/Length %d>>\nstream\n", dict, len(data))
	b.Write(data)
	b.WriteString("\nendstream")
	f.objects[id-1] = b.Bytes()
	return id
}

func (f *File) deflate(data []byte) []byte {
	var b bytes.Buffer
	if f.zip == nil {
		f.zip = zlib.NewWriter(&b)
	} else {
		f.zip.Reset(&b)
	}
	f.zip.Write(data) // a bytes.Buffer cannot fail
	f.zip.Close()
	return b.Bytes()
}

// Bytes finishes the file. It carries no date: the same pages give the same bytes.
func (f *File) Bytes(info Info) []byte {
	kids := ""
	for i := range f.pages {
		kids += fmt.Sprintf("%d 0 R ", firstPageID+i)
	}
	f.set(treeID, "<</Type/Pages/Kids[%s]/Count %d>>", strings.TrimSpace(kids), len(f.pages))
	f.set(resourcesID, "<<%s>>", f.resources())
	more := ""
	if info.Lang != "" {
		more += "/Lang" + pdfString(info.Lang)
	}
	if marks := f.bookmarks(); marks > 0 {
		more += fmt.Sprintf("/Outlines %d 0 R/PageMode/UseOutlines", marks)
	}
	f.set(catalogID, "<</Type/Catalog/Pages %d 0 R/ViewerPreferences<</DisplayDocTitle true>>%s>>", treeID, more)
	about := "/Producer(scumble)"
	for _, e := range [][2]string{{"Title", info.Title}, {"Subject", info.Subject}, {"Author", info.Author}} {
		if e[1] != "" {
			about += "/" + e[0] + pdfString(e[1])
		}
	}
	f.set(infoID, "<<%s>>", about)
	return f.joined()
}

// resources lists all fonts, pictures and veils; every page shares them.
func (f *File) resources() string {
	var fonts, pics, veils strings.Builder
	for i, s := range f.subsets {
		if s != nil {
			fmt.Fprintf(&fonts, "/F%d %d 0 R", i, f.embed(s))
		}
	}
	for i, id := range f.pics {
		fmt.Fprintf(&pics, "/I%d %d 0 R", i, id)
	}
	for i, v := range f.veils {
		fmt.Fprintf(&veils, "/G%d<</ca %s/CA %s>>", i, num(v.fill), num(v.stroke))
	}
	return fmt.Sprintf("/Font<<%s>>/XObject<<%s>>/ExtGState<<%s>>", fonts.String(), pics.String(), veils.String())
}

// bookmarks lists the pages that have titles; 0 means there are none.
func (f *File) bookmarks() int {
	var titled []int
	for i, page := range f.pages {
		if page.Title != "" {
			titled = append(titled, i)
		}
	}
	if len(titled) == 0 {
		return 0
	}
	root := f.reserve()
	first := root + 1
	for n, i := range titled {
		around := ""
		if n > 0 {
			around += fmt.Sprintf("/Prev %d 0 R", first+n-1)
		}
		if n < len(titled)-1 {
			around += fmt.Sprintf("/Next %d 0 R", first+n+1)
		}
		f.add("<</Title%s/Parent %d 0 R%s/Dest[%d 0 R/XYZ null null null]>>", pdfString(f.pages[i].Title), root, around, firstPageID+i)
	}
	f.set(root, "<</Type/Outlines/First %d 0 R/Last %d 0 R/Count %d>>", first, first+len(titled)-1, len(titled))
	return root
}

// joined puts the objects together. The /ID is a digest of all that comes before.
func (f *File) joined() []byte {
	var b bytes.Buffer
	b.WriteString("%PDF-1.7\n%\xe2\xe3\xcf\xd3\n")
	offsets := make([]int, len(f.objects))
	for i, o := range f.objects {
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
		len(offsets)+1, catalogID, infoID, id[:16], id[:16], xref)
	return b.Bytes()
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
