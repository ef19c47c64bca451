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
		"the list":      {examples.Bellwether, "", []string{"Satin ground coat", "Sage deep", "1 × 2.5 L at 49.80", "Everything to buy"}},
		"why":           {examples.Bellwether, "why=oil-glaze", []string{`class="chain"`}},
		"breaks":        {examples.Bellwether, "", []string{`name="set:prices.packs[`, `.breaks[0].from" autocomplete="off" inputmode="numeric" value="4"`, `value="add:prices.packs[0].breaks"`}},
		"a wrong break": {webtest.Changed(t, examples.Bellwether, "prices.packs[8].breaks[0].from", "3", "prices.packs[8].breaks[0].price", "990"), "", []string{`id="f-prices-packs-8-breaks-0-price-w"`, "is not below the"}},
		"no prices":     {[]byte(strings.Replace(string(examples.Bellwether), "\nprices:", "\nothers:", 1)), "", []string{"have no price yet", "no pack named"}},
		"empty":         {[]byte("scumble: 1\n"), "", []string{"What the supplier asks"}},
		"hostile":       {webtest.Changed(t, examples.Bellwether, "finishes[0].ground.name", "<script>x"), "why=%3Cscript%3Ex", []string{"&lt;script&gt;x"}},
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
	for _, money := range []string{"49.80", "39.50", "ower price", "EUR", "set:prices", "Everything to buy", `class="chain"`} {
		if strings.Contains(body, money) {
			t.Errorf("an applicator sees %q", money)
		}
	}
}

// TestLowerPrices adds one, changes it and takes it out; those who see no prices cannot.
func TestLowerPrices(t *testing.T) {
	f := webtest.Frame(t, buy.Place())
	id := webtest.Job(t, f, examples.Bellwether)
	before := string(examples.Bellwether)
	add := []string{"act", "add:prices.packs[0].breaks", "new:prices.packs[0].breaks:from", "6", "new:prices.packs[0].breaks:price", "12.90"}
	for _, c := range []struct {
		role       frame.Role
		code       int
		pairs      []string
		want, gone string
	}{
		{frame.Applicator, 403, add, before, "12.90"},
		{frame.Owner, 303, add, "{product: multi-purpose-primer, size: 1 L, price: 14.50, breaks: [{from: 6, price: 12.90}]}", "nothing"},
		{frame.Applicator, 403, []string{"act", "remove:prices.packs[0].breaks[0]"}, "price: 12.90", "nothing is gone"},
		{frame.Owner, 303, []string{"set:prices.packs[0].breaks[0].price", "13"}, "price: 13}", "12.90"},
		{frame.Owner, 303, []string{"act", "remove:prices.packs[0].breaks[0]"}, before, "price: 13}"},
	} {
		code, text := webtest.Edit(t, f, id, c.role, c.pairs...)
		if code != c.code || !strings.Contains(text, c.want) || strings.Contains(text, c.gone) {
			t.Errorf("%v: answer %d, want %d; %q or %q", c.pairs, code, c.code, c.want, c.gone)
		}
	}
}
