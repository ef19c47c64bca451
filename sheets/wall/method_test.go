package wall

import (
	"strings"
	"testing"

	"scumble/method"
	"scumble/sheets/desk"
	"scumble/sheets/internal/papertest"
)

// Every step of every wall stands on its sheet with its time, mix and hold; faults
// and cautions of the effect too.
func TestMethodSheetsHoldEveryStep(t *testing.T) {
	d := papertest.DemoDesk(t, "A4")
	doc, err := Method(d)
	if err != nil {
		t.Fatal(err)
	}
	pages := map[string]string{}
	for _, p := range doc.Pages {
		for _, w := range papertest.WordsOn(p)[:6] {
			pages[w.Text] += " " + papertest.SaidOn(p)
		}
	}
	tasks := d.Tasks()
	for _, face := range d.Plan.Method.Faces {
		text := pages[strings.Replace(face.ID, "/", ", ", 1)]
		var effect []method.Step
		for _, s := range face.Steps {
			papertest.MustSay(t, text, s.Title, s.Begin, s.Hold, tasks[s.ID].Start.Format("15:04"))
			if mix, use := d.MixOf(s.ID); mix != nil {
				laid, measure := mix.AsBought(use.Laid)
				papertest.MustSay(t, text, mix.ID+" ", "laid "+laid.Words(2, measure))
			}
			if s.Product != nil {
				papertest.MustSay(t, pages[face.Room], s.Product.Handling)
			}
			if isEffect(s) {
				effect = append(effect, s)
				papertest.MustSay(t, text, s.Do, s.Lays, s.Works)
			} else if s.Kind != method.Inspect {
				papertest.MustSay(t, pages[face.Room], s.Do)
			}
		}
		for _, c := range desk.CautionsOf(effect) {
			papertest.MustSay(t, text, c.Title+". "+c.Text, c.Defers)
		}
		for _, f := range face.Technique.Faults {
			papertest.MustSay(t, text, f.Fault, f.Correct)
		}
	}
}

// The steps of a wall follow one another down its sheet.
func TestMethodSheetsKeepTheOrderOfWork(t *testing.T) {
	d := papertest.DemoDesk(t, "Letter")
	doc, err := Method(d)
	if err != nil {
		t.Fatal(err)
	}
	all := papertest.SaidOn(doc.Pages...)
	for _, face := range d.Plan.Method.Faces {
		_, rest, _ := strings.Cut(all, papertest.PlainSpaces(face.Finish.Name+": "+strings.ToLower(face.Technique.Name)+" in "+d.GlazeWords(&face)))
		for _, s := range face.Steps {
			at := strings.Index(rest, papertest.PlainSpaces(s.Title))
			if at < 0 {
				t.Errorf("%s is missing or out of order", s.ID)
				break
			}
			rest = rest[at:]
		}
	}
}
