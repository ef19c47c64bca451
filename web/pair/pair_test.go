package pair_test

import (
	"net/url"
	"regexp"
	"strings"
	"testing"

	"scumble/examples"
	"scumble/web/frame"
	"scumble/web/internal/webtest"
	"scumble/web/pair"
)

func TestPair(t *testing.T) {
	f := webtest.Frame(t, pair.Place())
	id := webtest.Job(t, f, examples.Bellwether)
	page := func(query string) string {
		t.Helper()
		code, body := webtest.Page(t, f, id, "pair", query, frame.Applicator)
		if code != 200 {
			t.Fatalf("%s: %d", query, code)
		}
		return strings.NewReplacer("\u2009", " ", "\u00a0", " ").Replace(body)
	}
	plain := webtest.Wall("Dining room/South")
	wall := plain + "&at=2027-04-02T14:45" // a warm afternoon
	for name, c := range map[string]struct {
		query     string
		want, not []string
	}{
		"as planned":    {plain, []string{"in 100", "Every joint, ", `value="2" checked`, "What helps most", "Order of the walls", "West"}, []string{"This is what you try"}},
		"an afternoon":  {wall, []string{"cannot be sure of it", "Every joint, 15 joints", "A retarder in the glaze"}, nil},
		"another hour":  {plain + "&at=2027-04-02T08:00&people=3", []string{"Three people can do it", "This is what you try", `value="2027-04-02T08:00"`, "helps"}, nil},
		"the air":       {wall + "&temp=30&humidity=25&draught=fan", []string{"30.0 °C", "25 %", `<option value="fan" selected>`}, nil},
		"a fan":         {wall + "&draught=fan", []string{"Shut door and window"}, nil},
		"unchanged":     {plain + "&people=2&draught=none&columns=", []string{"in 100"}, []string{"This is what you try"}},
		"columns":       {wall + "&columns=9&retarder=yes", []string{"9 sections", `name="retarder" value="yes" checked`}, nil},
		"wrong figures": {plain + "&temp=hot&humidity=300&people=9&at=soon&columns=-2&draught=storm", []string{"is not a figure from", "is not a day and time", "left as planned"}, nil},
		"hold":          {wall + "&humidity=90", []string{"Do not open the glaze", "notice hold"}, nil},
		"two coats":     {webtest.Wall("Dining room/North"), []string{"Second glaze, brushed upright", `aria-current="true"`}, nil},
		"second coat":   {webtest.Wall("Dining room/North") + "&step=" + url.QueryEscape("Dining room/North#glaze-2"), []string{"Second glaze, brushed upright"}, nil},
		"another step":  {wall + "&step=%3Cscript%3E", []string{"cannot be sure of it"}, []string{"<script>"}},
		"oil":           {webtest.Wall("Heron room/East"), []string{"only the temperature is modelled"}, []string{`name="retarder"`}},
		"paper":         {webtest.Wall("Sitting room/North"), []string{"presses paper on", "lifts paper"}, nil},
		"a dado":        {webtest.Wall("Landing/Long"), []string{"Below the rail:"}, nil},
	} {
		t.Run(name, func(t *testing.T) {
			body := page(c.query)
			for _, want := range c.want {
				if !strings.Contains(body, want) {
					t.Errorf("does not say %q", want)
				}
			}
			for _, not := range c.not {
				if strings.Contains(body, not) {
					t.Errorf("says %q", not)
				}
			}
		})
	}
	// What helps leads to the answer it promises.
	body := page(wall)
	try := regexp.MustCompile(`<b>A third hand[^<]*</b></div><div class="act"><a class="button" href="([^"]+)"`).FindStringSubmatch(body)
	if try == nil {
		t.Fatal("a third hand cannot be tried")
	}
	_, query, _ := strings.Cut(strings.ReplaceAll(try[1], "&amp;", "&"), "?")
	if after := page(query); !strings.Contains(after, "Three people can do it") || !strings.Contains(after, "This is what you try") {
		t.Error("the help does not lead to what it promised")
	}
	// Every section is on the drawing once for wide and narrow, and in the score.
	for _, number := range []string{">1<", ">16<"} {
		if strings.Count(body, number) < 3 {
			t.Errorf("%s stands %d times", number, strings.Count(body, number))
		}
	}
	for name, text := range map[string]string{"empty": "scumble: 1\n", "bare": string(webtest.Changed(t, examples.Bellwether, "rooms[2].walls[2].finish", ""))} {
		id := webtest.Job(t, f, []byte(text))
		query := ""
		if name == "bare" {
			query = plain
		}
		if code, body := webtest.Page(t, f, id, "pair", query, frame.Owner); code != 200 || !strings.Contains(body, `class="lead"`) {
			t.Errorf("%s: %d", name, code)
		}
	}
}
