package client

import (
	"strings"
	"testing"
	"time"

	"scumble/catalog"
	"scumble/sheets/desk"
	"scumble/sheets/internal/papertest"
)

func TestHandoverKeepsTheRecipeOfEveryWall(t *testing.T) {
	d := papertest.DemoDesk(t, "A4")
	doc, err := Handover(d)
	if err != nil {
		t.Fatal(err)
	}
	text := papertest.SaidOn(doc.Pages...)
	for _, room := range d.Plan.Survey.Rooms {
		for _, o := range offeredIn(d, room.Name) {
			papertest.MustSay(t, text, o.finish.Name, o.technique.TouchUp, outermost(d, o).Care)
			for _, c := range coatsOf(d, o) {
				papertest.MustSay(t, text, c.title, c.mix.Product.Name, c.mix.Colour.Name, c.mix.ID)
				if c.from.IsZero() || c.to.Before(c.from) {
					t.Errorf("%s, %s: planned from %v to %v", room.Name, c.title, c.from, c.to)
				}
			}
		}
	}
	for _, p := range d.Plan.Catalog.Products {
		if p.Handling != "" && strings.Contains(text, papertest.PlainSpaces(p.Handling)) {
			t.Errorf("the client is told how the crew handles %s", p.ID)
		}
	}
	kept := 0
	for i := range d.Plan.Quantities.Mixes {
		if m := &d.Plan.Quantities.Mixes[i]; m.Reserve > 0 {
			kept++
			papertest.MustSay(t, text, desk.WallsWords(m), m.Reserve.Fixed(2))
		}
	}
	if kept == 0 {
		t.Error("nothing is kept")
	}
	papertest.MustSay(t, text, "To whoever decorates here next", "Signed sample boards", "Photographs", "For the client", "Wash no earlier than")
}

// Every coat that draws from a mix is in the recipe of its finish, and coats of one
// mix stand together only when no other coat lies between them.
func TestRecipeHoldsEveryCoatInOrder(t *testing.T) {
	d := papertest.DemoDesk(t, "A4")
	for _, room := range d.Plan.Survey.Rooms {
		for _, o := range offeredIn(d, room.Name) {
			coats := coatsOf(d, o)
			at := 0
			for _, s := range o.faces[0].Steps {
				mix, _ := d.MixOf(s.ID)
				if mix == nil {
					continue
				}
				for at < len(coats) && coats[at].mix != mix {
					at++
				}
				if at == len(coats) {
					t.Fatalf("%s, %s: %s is not in the recipe, or out of order", room.Name, o.finish.ID, s.ID)
				}
			}
		}
	}
}

func TestDaysOfACoat(t *testing.T) {
	day := func(m time.Month, d int) time.Time { return time.Date(2027, m, d, 9, 0, 0, 0, time.UTC) }
	for _, c := range []struct {
		from, to time.Time
		want     string
	}{
		{time.Time{}, time.Time{}, ""},
		{day(3, 8), day(3, 8).Add(time.Hour), "8\u00a0Mar"},
		{day(3, 8), day(3, 10), "8 to 10\u00a0Mar"},
		{day(3, 30), day(4, 1), "30\u00a0Mar to 1\u00a0Apr"},
	} {
		if got := days(c.from, c.to); got != c.want {
			t.Errorf("%v to %v: %q, want %q", c.from, c.to, got, c.want)
		}
	}
	if got := rangeOfDays(catalog.Figure{Low: 720, Likely: 864, High: 1008, Kind: catalog.Published}); got != "figures run from 30 to 42\u00a0days, P" {
		t.Error(got)
	}
}
