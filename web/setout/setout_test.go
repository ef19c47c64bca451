package setout_test

import (
	"strings"
	"testing"

	"scumble/examples"
	"scumble/web/frame"
	"scumble/web/internal/webtest"
	"scumble/web/setout"
)

func TestSetOut(t *testing.T) {
	f := webtest.Frame(t, setout.Place())
	for name, c := range map[string]struct {
		text       []byte
		wall       string
		want, none string
	}{
		"strips":         {examples.Bellwether, "Breakfast room/North", "62</span> <span class=\"lead\">× 272.6 mm", "aria-invalid"},
		"marks":          {examples.Bellwether, "Breakfast room/North", "<td class=\"n\">606</td>", "aria-invalid"},
		"another way":    {webtest.Changed(t, examples.Bellwether, "finishes[2].strips.way", "each-wall"), "Breakfast room/North", "each wall divided by itself", "aria-invalid"},
		"a wrong width":  {webtest.Changed(t, examples.Bellwether, "finishes[2].strips.widest", "wide"), "Breakfast room/North", "has no finish yet", "62</span>"},
		"sheets":         {examples.Bellwether, "Sitting room/North", "sheets of ", "aria-invalid"},
		"rows":           {examples.Bellwether, "Eider room/West", "Row 1, from", "aria-invalid"},
		"no finish":      {webtest.Changed(t, examples.Bellwether, "rooms[0].walls[0].finish", ""), "Hall and stair/Left", "This wall has no finish yet", "Sections</h2>"},
		"a wrong figure": {webtest.Changed(t, examples.Bellwether, "rooms[0].walls[0].length", "x"), "Hall and stair/Left", "do not fit yet", "Sections</h2>"},
		"an empty job":   {[]byte("scumble: 1\n"), "", "Measure one first", "Sections</h2>"},
		"hostile names":  {webtest.Changed(t, examples.Bellwether, "finishes[2].name", "<script>x"), "Breakfast room/North", "&lt;script&gt;x", "<script>x"},
	} {
		t.Run(name, func(t *testing.T) {
			code, body := webtest.Page(t, f, webtest.Job(t, f, c.text), "setout", webtest.Wall(c.wall), frame.Owner)
			if code != 200 || !strings.Contains(body, c.want) || strings.Contains(body, c.none) {
				t.Errorf("%d; says %q: %v, says %q: %v", code, c.want, strings.Contains(body, c.want), c.none, strings.Contains(body, c.none))
			}
		})
	}
}
