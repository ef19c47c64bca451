package buy_test

import (
	"strings"
	"testing"

	"scumble/examples"
	"scumble/web/buy"
	"scumble/web/frame"
	"scumble/web/internal/webtest"
)

func TestBuy(t *testing.T) {
	f := webtest.Frame(t, buy.Place())
	for name, c := range map[string]struct {
		text  []byte
		query string
		want  []string
	}{
		"the list":  {examples.Bellwether, "", []string{"Satin ground coat", "Sage deep", "1 × 2.5 L at 49.80", "Everything to buy"}},
		"why":       {examples.Bellwether, "why=oil-glaze", []string{`class="chain"`}},
		"no prices": {[]byte(strings.Replace(string(examples.Bellwether), "\nprices:", "\nothers:", 1)), "", []string{"have no price yet", "no pack named"}},
		"empty":     {[]byte("scumble: 1\n"), "", []string{"What the supplier asks"}},
		"hostile":   {webtest.Changed(t, examples.Bellwether, "finishes[0].ground.name", "<script>x"), "why=%3Cscript%3Ex", []string{"&lt;script&gt;x"}},
	} {
		t.Run(name, func(t *testing.T) {
			code, body := webtest.Page(t, f, webtest.Job(t, f, c.text), "buy", c.query, frame.Owner)
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
	_, body := webtest.Page(t, f, webtest.Job(t, f, examples.Bellwether), "buy", "why=oil-glaze", frame.Applicator)
	for _, money := range []string{"49.80", "EUR", "set:prices", "Everything to buy", `class="chain"`} {
		if strings.Contains(body, money) {
			t.Errorf("an applicator sees %q", money)
		}
	}
}
