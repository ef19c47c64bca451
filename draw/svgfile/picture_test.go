package svgfile

import (
	"encoding/xml"
	"image/color"
	"io"
	"strings"
	"testing"

	"scumble/draw/outline"
)

func TestNamesAreFitForXMLAndTakenOnce(t *testing.T) {
	p := New("north wall")
	for _, c := range [][2]string{{"north wall", "north_wall-2"}, {"7", "_7"}, {"", "_"}, {"glyph0-36", "_glyph0-36"}, {"a<b", "a_b"}, {"a b", "a_b-2"}} {
		if got := p.unique(c[0]); got != c[1] {
			t.Errorf("%q is called %q, want %q", c[0], got, c[1])
		}
	}
}

func TestGroupsCloseInTheOrderTheyOpen(t *testing.T) {
	red := color.NRGBA{R: 255, A: 128}
	box := outline.Outline{}.Move(0, 0).Line(1, 0).Line(1, 1).Close()
	p := New("")
	p.Open(Group{ID: "a", Title: "<A>", Link: "#b c", Place: outline.Transform{A: 1, D: 1, E: 2}})
	p.Open(Group{Clip: box})
	p.Path(box, red, outline.Pen{}, color.NRGBA{})
	p.Path(box, color.NRGBA{}, outline.Pen{Width: 1}, color.NRGBA{}) // no opacity: nothing
	p.Close()
	p.Close()
	text := string(p.Bytes(10, 5, "", "\x01&"))
	for d := xml.NewDecoder(strings.NewReader(text)); ; {
		if _, err := d.Token(); err == io.EOF {
			break
		} else if err != nil {
			t.Fatal(err)
		}
	}
	for _, want := range []string{`<g id="a" transform="translate(2 0)">`, "<title>&lt;A&gt;</title>\n<a href=\"#b_c\">\n<g clip-path=\"url(#clip1)\">",
		`<path fill="#ff0000" fill-opacity="0.502" fill-rule="evenodd" d="M0 0L1 0L1 1Z"/>`, "</g>\n</a>\n</g>\n</svg>", "<desc>\ufffd&amp;</desc>"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %s in\n%s", want, text)
		}
	}
	if n := strings.Count(text, "<path"); n != 2 {
		t.Errorf("%d paths, want the clip and the fill", n)
	}
}
