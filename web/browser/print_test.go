//go:build oracle

package browser

import (
	"encoding/xml"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// printedPage is a page of paper with its words, as pdftotext finds them (pt).
type printedPage struct {
	Width  float64 `xml:"width,attr"`
	Height float64 `xml:"height,attr"`
	Words  []struct {
		Left  float64 `xml:"xMin,attr"`
		Right float64 `xml:"xMax,attr"`
		Top   float64 `xml:"yMin,attr"`
		Foot  float64 `xml:"yMax,attr"`
		Text  string  `xml:",chardata"`
	} `xml:"word"`
}

func (p printedPage) text() string {
	var words []string
	for _, w := range p.Words {
		words = append(words, w.Text)
	}
	return strings.Join(words, " ")
}

// print prints what is shown, on the paper its style asks for.
func (b *tab) print() []printedPage {
	b.Helper()
	yes := true
	answer, err := chromedp.Call(b.ctx, page.PrintToPDF, page.PrintToPDFParams{PreferCSSPageSize: &yes})
	if err != nil {
		b.Fatal(err)
	}
	file := filepath.Join(b.TempDir(), "page.pdf")
	if err := os.WriteFile(file, answer.Data, 0o644); err != nil {
		b.Fatal(err)
	}
	out, err := exec.Command("pdftotext", "-bbox", file, "-").Output()
	if err != nil {
		b.Fatal(err)
	}
	var found struct {
		Pages []printedPage `xml:"body>doc>page"`
	}
	if err := xml.Unmarshal(out, &found); err != nil {
		b.Fatal(err)
	}
	return found.Pages
}

// TestPrintedProgramme prints the page of the programme: every day and every wall of the chart is
// on paper and inside its edges, in letters that can be read, and no field or button is.
func TestPrintedProgramme(t *testing.T) {
	s := serve(t)
	id := s.plain(t)
	b := newTab(t, s, 1440, 900)
	b.open(placeOf(id, "programme", ""))
	b.found()
	days := js[[]string](b, `[...document.querySelectorAll(".chart a[data-day] text:first-of-type")].map(t=>t.textContent)`)
	var names []string // of a row, its group and itself
	for _, name := range js[[]string](b, `[...document.querySelectorAll(".chart-names li:not(.head)")].map(l=>l.innerText.replace(/\s+/g," ").trim())`) {
		names = append(names, strings.Fields(name)...)
	}
	if len(days) < 22 || len(names) < 40 {
		t.Fatalf("%d days and %d words of names: too few for the demonstration", len(days), len(names))
	}
	for _, by := range []string{"", "?by=person"} {
		b.open(placeOf(id, "programme", "") + by)
		b.see(".chart")
		var all string
		charts := 0
		for n, p := range b.print() {
			text := p.text()
			all += text + " "
			if p.Width < p.Height || len(p.Words) == 0 {
				t.Errorf("%q: page %d is upright or empty", by, n+1)
			}
			least := 99.0
			for _, w := range p.Words {
				least = min(least, w.Foot-w.Top)
				if w.Left < 28 || w.Top < 28 || w.Right > p.Width-28 || w.Foot > p.Height-28 { // pt, a centimetre
					t.Errorf("%q: page %d: %q stands at the edge or beyond it", by, n+1, w.Text)
				}
			}
			if least < 8 { // pt of a line, so letters of 6 pt
				t.Errorf("%q: page %d: a word of %.1f pt is too small to read", by, n+1, least)
			}
			if by == "" && strings.Contains(text, "Bellwether House, ") && strings.Contains(text, " Tue ") {
				charts++
				if missing := slices.DeleteFunc(slices.Clone(names), func(w string) bool { return strings.Contains(text, w) }); len(missing) > 0 {
					t.Errorf("page %d lacks rows: %v", n+1, missing)
				}
			}
		}
		if by == "" && charts < 2 {
			t.Errorf("the chart is on %d pages", charts)
		}
		for _, day := range append(days, "ready") {
			if !strings.Contains(all, day) {
				t.Errorf("%q: %q is not on paper", by, day)
			}
		}
		for _, furniture := range []string{"By room", "Calendar file", "One more person", "Pin it", "Hold these days", "Days of work", "chosen", "Revision"} {
			if strings.Contains(all, furniture) {
				t.Errorf("%q: %q stands on paper", by, furniture)
			}
		}
	}
}
