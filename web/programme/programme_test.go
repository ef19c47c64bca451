package programme_test

import (
	"strings"
	"testing"

	"scumble/examples"
	"scumble/web/frame"
	"scumble/web/internal/webtest"
	"scumble/web/programme"
)

func TestProgramme(t *testing.T) {
	f := webtest.Frame(t, programme.Place())
	pinned := examples.Bellwether
	pinned = []byte(strings.Replace(string(pinned), "  travel:\n", "  pins:\n    - {step: \"Breakfast room/North#prime\", day: 2027-03-20}\n  travel:\n", 1))
	for name, c := range map[string]struct {
		text  []byte
		query string
		want  []string
	}{
		"by wall":    {examples.Bellwether, "", []string{"21 site days, ready on Tuesday 6 April", "No plan can need fewer than 19", "url(#h-mid)", "Day by day", "Mara"}},
		"by person":  {examples.Bellwether, "by=person", []string{"<b>Idris</b>"}},
		"by room":    {examples.Bellwether, "by=room", []string{"<b>Dining room</b>"}},
		"by nothing": {examples.Bellwether, "by=%3Cscript%3E", []string{"<b>Dining room</b>"}},
		"a pin":      {pinned, "", []string{"Without the pins: 21 site days", "They cost", "not before 2027-03-20"}},
		"no crew":    {[]byte(strings.Replace(string(examples.Bellwether), "crew:", "nobody:", 1)), "", []string{"notice caution", "First day on site"}},
		"empty":      {[]byte("scumble: 1\n"), "", []string{"One more person"}},
		"hostile":    {webtest.Changed(t, examples.Bellwether, "crew.people[0].name", "<script>x"), "", []string{"&lt;script&gt;x"}},
	} {
		t.Run(name, func(t *testing.T) {
			code, body := webtest.Page(t, f, webtest.Job(t, f, c.text), "programme", c.query, frame.Owner)
			if code != 200 || strings.Contains(body, "<script>x") {
				t.Errorf("answer %d, or a name unescaped", code)
			}
			for _, want := range c.want {
				if !strings.Contains(body, want) {
					t.Errorf("does not say %q", want)
				}
			}
		})
	}
	if _, body := webtest.Page(t, f, webtest.Job(t, f, examples.Bellwether), "programme", "", frame.Applicator); strings.Contains(body, ".cost") || strings.Contains(body, "96.00") {
		t.Error("an applicator sees what the platform costs")
	}
}
