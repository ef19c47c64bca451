package draw

import (
	"bytes"
	"encoding/xml"
	"io"
	"math"
	"regexp"
	"strings"
	"testing"
)

func svgOf(t testing.TB, p Page) string {
	t.Helper()
	var b bytes.Buffer
	if err := NewFonts().WriteSVG(&b, p); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// checkSVG reads the picture as XML: names are unique, references resolve and
// every number is one.
func checkSVG(t *testing.T, text string) (elements map[string]int) {
	t.Helper()
	elements = map[string]int{}
	ids, refs := map[string]bool{}, []string{}
	ref := regexp.MustCompile(`^(?:url\()?#([^)]*)\)?$`)
	d := xml.NewDecoder(strings.NewReader(text))
	for {
		token, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatalf("not well formed: %v", err)
		}
		start, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		elements[start.Name.Local]++
		for _, a := range start.Attr {
			switch {
			case a.Name.Local == "id":
				if ids[a.Value] {
					t.Errorf("id %q is there twice", a.Value)
				}
				ids[a.Value] = true
			case ref.MatchString(a.Value) && (a.Name.Local == "href" || a.Name.Local == "clip-path"):
				refs = append(refs, ref.FindStringSubmatch(a.Value)[1])
			case strings.Contains(a.Value, "NaN") || strings.Contains(a.Value, "Inf"):
				t.Errorf("%s=%q", a.Name.Local, a.Value)
			}
		}
	}
	for _, r := range refs {
		if !ids[r] {
			t.Errorf("nothing is called %q", r)
		}
	}
	return elements
}

func TestSVGOfTheDrawing(t *testing.T) {
	p := Page{W: 180, H: 90, ID: "wall", Title: "North <wall>", Desc: "Elevation & finish", Items: drawing(t, Box{5, 5, 170, 76})}
	text := svgOf(t, p)
	got := checkSVG(t, text)
	if got["image"] != 2 || got["a"] != 1 || got["clipPath"] != 1 || got["title"] != 2 {
		t.Errorf("elements %v", got)
	}
	for _, want := range []string{`width="180mm" height="90mm" viewBox="0 0 180 90"`, `id="north_wall"`, `aria-label="a link"`, `stroke-dasharray="2 1"`, "<title>North &lt;wall&gt;</title>"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %s", want)
		}
	}
	if again := svgOf(t, p); again != text {
		t.Error("a second run writes other bytes")
	}
}

func TestSVGSurvivesHostileText(t *testing.T) {
	bad := "\x00<script>\"'&]]>\xff\uffff\n"
	text := svgOf(t, Page{W: 10, H: 10, ID: bad, Title: bad, Desc: bad, Items: []Item{
		Group{ID: bad, Title: bad, Link: "javascript:alert(1)", Items: []Item{Label(0, 0, bad, Style{}, Left)}},
		Group{ID: bad, Link: "#" + bad, Clip: Rect(0, 0, 1, 1).Outline},
		Group{ID: "glyph0-36"}, Label(1, 1, "A", Style{}, Left),
		Rect(math.NaN(), math.Inf(1), 1, 1).Filled(Black),
		Image{Box: Box{0, 0, 1, 1}, Pixels: texture(2, 2), Alt: bad},
	}})
	checkSVG(t, text)
	if strings.Contains(text, "javascript") || strings.Contains(text, "<script") {
		t.Error("a script got through")
	}
}

func TestSVGDefinesEachLetterOnce(t *testing.T) {
	text := svgOf(t, Page{W: 50, H: 10, Items: []Item{Label(0, 5, "aaaa", Style{}, Left), Label(0, 9, "aaa", Style{Size: 20}, Left)}})
	if got := checkSVG(t, text); got["path"] != 1 || got["use"] != 7 {
		t.Errorf("%d outlines used %d times, want 1 and 7", got["path"], got["use"])
	}
}

func TestSVGRefusesDamage(t *testing.T) {
	f := NewFonts()
	if err := f.WriteSVG(io.Discard, Page{W: 0, H: 10}); err == nil {
		t.Error("a page without width was written")
	}
	if err := f.WriteSVG(io.Discard, Page{W: 9, H: 9, Items: []Item{Image{Box: Box{0, 0, 1, 1}, JPEG: []byte("x")}}}); err == nil {
		t.Error("a damaged JPEG was written")
	}
}
