package mixing

import (
	"bytes"
	"encoding/csv"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"scumble/catalog"
	"scumble/job"
	"scumble/plan"
	"scumble/quantity"
	"scumble/sheets/desk"
	"scumble/sheets/internal/papertest"
	"scumble/unit"
)

// readTable reads a buying list back and gives its rows by column name.
func readTable(t *testing.T, content []byte) []map[string]string {
	t.Helper()
	rest, ok := bytes.CutPrefix(content, []byte("\xef\xbb\xbf"))
	if !ok {
		t.Fatal("no byte order mark")
	}
	rows, err := csv.NewReader(bytes.NewReader(rest)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []map[string]string
	for _, row := range rows[1:] {
		named := map[string]string{}
		for i, head := range rows[0] {
			named[head] = row[i]
		}
		out = append(out, named)
	}
	return out
}

func TestBuyingTableReadBackHoldsThePlan(t *testing.T) {
	d := papertest.DemoDesk(t, "A4")
	content, err := BuyingTable(d)
	if err != nil {
		t.Fatal(err)
	}
	costs := map[string]unit.Money{}
	bought := map[string]float64{}
	packed := map[string]float64{}
	for _, row := range readTable(t, content) {
		if row["cost"] != "" {
			m, err := unit.ParseMoney(row["cost"], 2)
			if err != nil {
				t.Fatal(err)
			}
			costs[row["group"]] += m
		}
		key := row["id"] + " " + row["colour"]
		if v, err := strconv.ParseFloat(row["bought"], 64); err == nil {
			bought[key] += v
		}
		if row["group"] == "coating" && row["packs"] != "" {
			n, _ := strconv.ParseFloat(row["packs"], 64)
			size, _ := strconv.ParseFloat(row["pack"], 64)
			packed[key] += n * size
		}
		if row["currency"] != "EUR" || row["item"] == "" || (row["group"] != "goods" && row["group"] != "tool" && row["unit"] == "") {
			t.Errorf("row without currency, item or unit: %v", row)
		}
	}
	var want unit.Money
	for _, p := range d.Plan.Quantities.Purchases {
		want += p.Cost
	}
	if got := costs["coating"] + costs["thinner"]; got != want {
		t.Errorf("packs in the table cost %d, want %d", got, want)
	}
	w := d.Plan.Quote.Working
	if want != w.Material || costs["goods"]+costs["tool"] != w.Goods {
		t.Errorf("bought for %d and %d, the quote reckons with %d and %d", want, costs["goods"]+costs["tool"], w.Material, w.Goods)
	}
	for key, litres := range packed {
		if diff := litres - bought[key]; diff > 1e-3 || diff < -1e-3 {
			t.Errorf("%s: packs hold %g, bought %g", key, litres, bought[key])
		}
	}
	if len(packed) < 10 {
		t.Errorf("only %d coatings", len(packed))
	}
}

func TestBuyingTableKeepsFormulasHarmless(t *testing.T) {
	d := &desk.Desk{Plan: &plan.Plan{
		Job: &job.Job{Currency: "EUR"},
		Quantities: &quantity.Quantities{Goods: []quantity.Goods{
			{Good: &catalog.Good{ID: "x", Name: "=HYPERLINK(\"a\")", Unit: "each"}, Need: 1, Reason: "@sum"},
			{Good: &catalog.Good{ID: "y", Name: "plain, with comma", Unit: "m"}, Need: 2.5, Reason: "-cmd"}}},
	}}
	content, err := BuyingTable(d)
	if err != nil {
		t.Fatal(err)
	}
	rows := readTable(t, content)
	if rows[0]["item"] != `'=HYPERLINK("a")` || rows[0]["reason"] != "'@sum" || rows[1]["reason"] != "'-cmd" || rows[1]["item"] != "plain, with comma" {
		t.Errorf("got %v", rows)
	}
	if rows[1]["need"] != "2.5" || rows[1]["cost"] != "" {
		t.Errorf("need %q, cost %q of goods without a price", rows[1]["need"], rows[1]["cost"])
	}
}

func TestNoCellStartsAFormula(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cell := rapid.StringMatching(`[=+@\t\r-]?[ -~]{0,12}`).Draw(t, "cell")
		got := harmless(cell)
		if strings.TrimPrefix(got, "'") != strings.TrimPrefix(cell, "'") {
			t.Fatalf("%q became %q", cell, got)
		}
		if got != "" && strings.ContainsRune("=+-@\t\r", rune(got[0])) {
			if _, err := strconv.ParseFloat(got, 64); err != nil {
				t.Fatalf("%q would be taken for a formula", got)
			}
		}
	})
}

func TestAmountOfMoneyIsReadBack(t *testing.T) {
	for _, currency := range []string{"EUR", "JPY", "KWD"} {
		d := &desk.Desk{Plan: &plan.Plan{Job: &job.Job{Currency: currency}}}
		rapid.Check(t, func(t *rapid.T) {
			m := unit.Money(rapid.Int64Range(-1e12, 1e12).Draw(t, "m"))
			back, err := unit.ParseMoney(amount(d, m, true), job.Decimals(currency))
			if err != nil || back != m {
				t.Fatalf("%d %s is written %q and read %d (%v)", m, currency, amount(d, m, true), back, err)
			}
		})
	}
}

func TestBuyingListSaysWhyAndWhatToMind(t *testing.T) {
	d := papertest.DemoDesk(t, "A4")
	doc, err := Buying(d)
	if err != nil {
		t.Fatal(err)
	}
	text := papertest.SaidOn(doc.Pages...)
	at := -1
	for _, head := range []string{"Coatings", "Thinners", "Papers and goods", "Tools", "What it costs"} {
		next := strings.Index(text, " "+head+" ")
		if next <= at {
			t.Errorf("%q is out of order", head)
		}
		at = next
	}
	for _, p := range d.Plan.Quantities.Purchases {
		papertest.MustSay(t, text, p.Reason, d.Money(p.Cost), unit.Figure(p.Need, 2), unit.Figure(p.Left, 2))
	}
	for _, id := range d.Plan.Catalog.Products["thinner"].Cautions {
		if c := d.Plan.Catalog.Cautions[id]; c.Shape != "note" {
			papertest.MustSay(t, text, c.Title, c.Defers)
		}
	}
}
