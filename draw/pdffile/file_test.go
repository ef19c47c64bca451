package pdffile

import (
	"bytes"
	"compress/zlib"
	"image"
	"image/color"
	"io"
	"regexp"
	"strings"
	"testing"

	"scumble/draw/outline"
)

func TestStrings(t *testing.T) {
	// UTF-16 by hand: é is U+00E9, the palette U+1F3A8 a surrogate pair
	for text, want := range map[string]string{"North wall": "(North wall)", "é": "<FEFF00E9>", "(": "<FEFF0028>", "\U0001F3A8": "<FEFFD83CDFA8>"} {
		if got := pdfString(text); got != want {
			t.Errorf("%q is written %s, want %s", text, got, want)
		}
	}
}

// contentOf opens the only compressed stream that is no picture.
func contentOf(t *testing.T, file []byte) string {
	t.Helper()
	m := regexp.MustCompile(`<</Filter/FlateDecode/Length \d+>>\nstream\n`).FindIndex(file)
	if m == nil {
		t.Fatal("no stream")
	}
	z, err := zlib.NewReader(bytes.NewReader(file[m[1]:]))
	if err != nil {
		t.Fatal(err)
	}
	text, err := io.ReadAll(z)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func TestColoursAreToldOnceAndAgainAfterRestore(t *testing.T) {
	red, box := color.NRGBA{R: 255, A: 255}, outline.Outline{}.Move(0, 0).Line(1, 0).Line(1, 1).Close()
	f := New([]Page{{W: 25.4, H: 50.8}})
	c, err := f.Begin(0)
	if err != nil {
		t.Fatal(err)
	}
	c.Path(box, red, outline.Pen{}, color.NRGBA{})
	c.Path(box, red, outline.Pen{}, color.NRGBA{})
	c.Save()
	c.Path(box, color.NRGBA{B: 255, A: 255}, outline.Pen{}, color.NRGBA{})
	c.Restore()
	c.Path(box, red, outline.Pen{}, color.NRGBA{})
	c.Path(box, color.NRGBA{}, outline.Pen{Width: 1}, color.NRGBA{}) // no opacity: nothing
	c.End()
	file := f.Bytes(Info{})
	shape := "0 0 m\n1 0 l\n1 1 l\nh\nf*\n"
	want := "2.8346 0 0 -2.8346 0 144 cm 4 M\n1 0 0 rg\n" + shape + shape + "q\n0 0 1 rg\n" + shape + "Q\n" + shape
	if got := contentOf(t, file); got != want {
		t.Errorf("the page is\n%s\nwant\n%s", got, want)
	}
	if !bytes.Contains(file, []byte("/MediaBox[0 0 72 144]")) {
		t.Error("25.4 by 50.8 mm is not 72 by 144 points")
	}
}

func TestLinksLeadToPagesAndOut(t *testing.T) {
	f := New([]Page{{W: 100, H: 50.8}, {W: 100, H: 25.4, Title: "Two"}})
	for n := range 2 {
		c, err := f.Begin(n)
		if err != nil {
			t.Fatal(err)
		}
		if n == 0 {
			c.LinkTo(Rect{0, 0, 25.4, 12.7}, 1, outline.Point{X: 0, Y: 12.7})
			c.LinkOut(Rect{0, 25.4, 25.4, 12.7}, "tel:1")
		}
		c.End()
	}
	text := string(f.Bytes(Info{Title: "T", Lang: "en"}))
	for _, want := range []string{"/Rect[0 108 72 144]/Dest[6 0 R/XYZ 0 36 null]", "/Rect[0 36 72 72]/A<</S/URI/URI(tel:1)>>",
		"/Kids[5 0 R 6 0 R]/Count 2", "/Title(Two)", "/Lang(en)", "/Producer(scumble)/Title(T)"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %s", want)
		}
	}
}

func TestImpossiblePages(t *testing.T) {
	for _, p := range []Page{{}, {W: -1, H: 5}, {W: 5081, H: 5}} {
		if _, err := New([]Page{p}).Begin(0); err == nil {
			t.Errorf("a page of %g by %g mm was begun", p.W, p.H)
		}
	}
}

func TestTheSamePictureIsStoredOnce(t *testing.T) {
	im := image.NewNRGBA(image.Rect(0, 0, 3, 2))
	im.SetNRGBA(1, 1, color.NRGBA{G: 200, A: 100})
	f := New([]Page{{W: 10, H: 10}})
	c, _ := f.Begin(0)
	c.Pixels(im, Rect{0, 0, 3, 2})
	c.Pixels(im, Rect{5, 5, 3, 2})
	if err := c.JPEG([]byte("no"), Rect{0, 0, 1, 1}); err == nil {
		t.Error("damage was taken for a JPEG")
	}
	c.End()
	if n := bytes.Count(f.Bytes(Info{}), []byte("/Subtype/Image")); n != 2 {
		t.Errorf("%d pictures stored, want colours and transparency", n)
	}
}
