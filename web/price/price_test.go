package price_test

import (
	"strings"
	"testing"

	"scumble/examples"
	"scumble/web/frame"
	"scumble/web/internal/webtest"
	"scumble/web/price"
)

func TestPrice(t *testing.T) {
	f := webtest.Frame(t, price.Place())
	plain := strings.NewReplacer("\u2009", " ", "\u00a0", " ", "\u202f", " ").Replace
	quote := f.Board(examples.Bellwether).Plan.Quote
	net, eight := plain(quote.Net.Format(2)), plain(quote.EightInTen.Format(2))
	for name, c := range map[string]struct {
		text []byte
		want []string
	}{
		"the ledger":   {examples.Bellwether, []string{net, eight, "Working behind this line", "nothing off for the", "Breakfast room in a plain wash", "On acceptance", "Plaster repair deeper"}},
		"eight in ten": {webtest.Changed(t, examples.Bellwether, "terms.ask", "eight-in-ten"), []string{"EUR " + eight + "</p>"}},
		"no rates":     {webtest.Changed(t, examples.Bellwether, "crew.people[0].rate", "", "terms.rate", ""), []string{"notice caution", "The field rate is missing", "terms.rate"}},
		"no crew":      {[]byte(strings.Replace(string(examples.Bellwether), "crew:", "nobody:", 1)), []string{"Measured by"}},
		"empty":        {[]byte("scumble: 1\n"), []string{"Terms"}},
		"a wall out":   {webtest.Changed(t, examples.Bellwether, "rooms[0].walls[0].length", "x"), []string{"are not in this price: Hall and stair, Left"}},
		"hostile":      {webtest.Changed(t, examples.Bellwether, "terms.once[0].what", "<script>x"), []string{"&lt;script&gt;x"}},
	} {
		t.Run(name, func(t *testing.T) {
			code, body := webtest.Page(t, f, webtest.Job(t, f, c.text), "price", "", frame.Owner)
			body = plain(body)
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
	if code, body := webtest.Page(t, f, webtest.Job(t, f, examples.Bellwether), "price", "", frame.Applicator); code != 403 || strings.Contains(body, "402") {
		t.Errorf("an applicator is answered %d", code)
	}
}
