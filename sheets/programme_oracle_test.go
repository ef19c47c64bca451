//go:build oracle

package sheets

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"scumble/draw"
	"scumble/sheets/desk"
	"scumble/sheets/internal/papertest"
	"scumble/sheets/programme"
	"scumble/sheets/site"
)

// qpdf finds no fault, and pdftotext finds every task on a day sheet of each of
// its people.
func TestOracleSitePapersAreSoundAndSearchable(t *testing.T) {
	for _, paper := range []string{"A4", "Letter"} {
		d := papertest.DemoDesk(t, paper)
		for _, make := range []func(*desk.Desk) (draw.Doc, error){programme.Programme, site.Safety, site.Inspection} {
			file := papertest.PDFFile(t, d, make)
			if out := papertest.RunTool(t, "qpdf", "--check", file); !strings.Contains(out, "No syntax or stream encoding errors") {
				t.Error(out)
			}
			if fonts := strings.Split(strings.TrimSpace(papertest.RunTool(t, "pdffonts", file)), "\n"); len(fonts) < 3 {
				t.Errorf("no fonts: %v", fonts)
			} else if slices.ContainsFunc(fonts[2:], func(l string) bool { return !strings.Contains(l, " yes yes yes ") }) {
				t.Errorf("a font is not embedded, cut down and searchable:\n%s", strings.Join(fonts, "\n"))
			}
		}
	}
	d := papertest.DemoDesk(t, "A4")
	sheets := map[string]string{}
	for _, page := range strings.Split(papertest.RunTool(t, "pdftotext", papertest.PDFFile(t, d, programme.Programme), "-"), "\f") {
		text := strings.Join(strings.Fields(page), " ")
		if _, rest, ok := strings.Cut(text, "Programme: "); ok {
			for _, day := range d.Plan.Programme.Days {
				for _, p := range day.People {
					if name := fmt.Sprintf("%s, %s", p.Name, day.Date.Format("Mon 2 Jan")); strings.HasPrefix(rest, name+" ") {
						sheets[name] += " " + text
					}
				}
			}
		}
	}
	steps := d.AllSteps()
	for _, task := range d.Plan.Programme.Tasks {
		for _, part := range desk.ByDay(task.Pieces) {
			for _, person := range task.People {
				text := sheets[person+", "+part.From.Format("Mon 2 Jan")]
				if !strings.Contains(text, programme.PlaceWords(steps[task.Step])) || !strings.Contains(text, part.From.Format("15:04")) || !strings.Contains(text, task.Title) {
					t.Errorf("%s is not found on the sheet of %s, %s", task.Step, person, part.From.Format("Mon 2 Jan"))
				}
			}
		}
	}
}
