package draw

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

func pdfOf(t testing.TB, f *Fonts, d Doc) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := f.WritePDF(&b, d); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// inflated is the file with its compressed streams opened.
func inflated(t *testing.T, file []byte) string {
	t.Helper()
	stream := regexp.MustCompile(`(?s)/Length (\d+)>>\nstream\n`)
	var out strings.Builder
	for at := 0; ; {
		m := stream.FindSubmatchIndex(file[at:])
		if m == nil {
			out.Write(file[at:])
			return out.String()
		}
		out.Write(file[at : at+m[1]])
		n, _ := strconv.Atoi(string(file[at+m[2] : at+m[3]]))
		data := file[at+m[1] : at+m[1]+n]
		if z, err := zlib.NewReader(bytes.NewReader(data)); err == nil {
			data, _ = io.ReadAll(z)
		}
		out.Write(data)
		at += m[1] + n
	}
}

func TestPDFIsTheSameTwice(t *testing.T) {
	first := pdfOf(t, NewFonts(), quote(t, NewFonts(), 20, A4))
	shared := NewFonts()
	pdfOf(t, shared, quote(t, shared, 5, Letter)) // warm caches must not show
	if second := pdfOf(t, shared, quote(t, shared, 20, A4)); !bytes.Equal(first, second) {
		t.Error("a second run writes other bytes")
	}
}

func TestPDFCrossReferencesPointAtObjects(t *testing.T) {
	file := pdfOf(t, NewFonts(), quote(t, NewFonts(), 20, A4))
	m := regexp.MustCompile(`startxref\n(\d+)\n%%EOF\n$`).FindSubmatch(file)
	if m == nil {
		t.Fatal("no startxref at the end")
	}
	at, _ := strconv.Atoi(string(m[1]))
	lines := strings.Split(string(file[at:]), "\n")
	if lines[0] != "xref" {
		t.Fatalf("startxref points at %q", lines[0])
	}
	var first, count int
	fmt.Sscan(lines[1], &first, &count)
	for i := 1; i < count; i++ {
		offset, _ := strconv.Atoi(lines[2+i][:10])
		if want := fmt.Sprintf("%d 0 obj\n", i); !bytes.HasPrefix(file[offset:], []byte(want)) {
			t.Errorf("entry %d points at %q", i, file[offset:offset+12])
		}
	}
}

func TestPDFSaysWhatItIs(t *testing.T) {
	d := quote(t, NewFonts(), 20, A4)
	d.Pages[0].ID = "top"
	d.Pages[1].Items = append(d.Pages[1].Items, Group{Link: "#top", Items: []Item{Label(20, 20, "up", Style{}, Left)}})
	text := inflated(t, pdfOf(t, NewFonts(), d))
	for _, want := range []string{
		"/Lang(en)", "/Title<FEFF00510075006F00740065", "/Author(Demo)", "/PageMode/UseOutlines",
		"/URI(https://example.org/wall?a=1&b=2)", "/Subtype/Link/Border[0 0 0]", "/XYZ 0 841.8898 null]",
		"/Filter/DCTDecode", "/SMask", "/ca 0.3765", "beginbfchar", "/ActualText<FEFF", "/CIDToGIDMap",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("no %s", want)
		}
	}
	if strings.Contains(text, "CreationDate") || strings.Contains(text, "NaN") {
		t.Error("a date or a broken number got in")
	}
}

func TestPDFStoresAPictureOnce(t *testing.T) {
	im, data := texture(30, 20), jpegBytes(t, texture(30, 20))
	var items []Item
	for i := range 4 {
		items = append(items, Image{Box: Box{float64(i) * 20, 0, 18, 12}, Pixels: im}, Image{Box: Box{float64(i) * 20, 20, 18, 12}, JPEG: data})
	}
	file := pdfOf(t, NewFonts(), Doc{Pages: []Page{{W: 100, H: 50, Items: items}}})
	if n := bytes.Count(file, []byte("/Subtype/Image")); n != 3 {
		t.Errorf("%d pictures stored, want colours, transparency and JPEG", n)
	}
	if !bytes.Contains(file, data) {
		t.Error("the JPEG was changed")
	}
}

func TestPDFRefusesDamage(t *testing.T) {
	f := NewFonts()
	for what, d := range map[string]Doc{
		"no pages":     {},
		"no size":      {Pages: []Page{{W: 10}}},
		"damaged JPEG": {Pages: []Page{{W: 10, H: 10, Items: []Item{Image{Box: Box{0, 0, 1, 1}, JPEG: []byte("x"), Alt: "wall"}}}}},
		"dead link":    {Pages: []Page{{W: 10, H: 10, Items: []Item{Group{Link: "#nowhere", Items: []Item{Rect(0, 0, 1, 1)}}}}}},
	} {
		var b bytes.Buffer
		if err := f.WritePDF(&b, d); err == nil || b.Len() > 0 {
			t.Errorf("%s: error %v and %d bytes written", what, err, b.Len())
		}
	}
}

func TestUnsafeLinksAreNotWritten(t *testing.T) {
	for link, want := range map[string]string{
		"https://example.org/a b": "https://example.org/a%20b", "mailto:a@example.org": "mailto:a@example.org",
		"javascript:alert(1)": "", "file:///etc/passwd": "", "://": "",
	} {
		if got := safeLink(link); got != want {
			t.Errorf("safeLink(%q) = %q, want %q", link, got, want)
		}
	}
}
