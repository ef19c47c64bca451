package history_test

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"scumble/examples"
	"scumble/store"
	"scumble/web/frame"
	"scumble/web/history"
	"scumble/web/internal/webtest"
)

// edited is a job with edits made as the pages make them, one revision each.
func edited(t *testing.T, pairs ...[2]string) (*frame.Frame, *http.ServeMux, string) {
	t.Helper()
	f := webtest.Frame(t, history.Place())
	mux := http.NewServeMux()
	if err := f.Routes(mux); err != nil {
		t.Fatal(err)
	}
	id := webtest.Job(t, f, examples.Bellwether)
	for i, p := range pairs {
		w := send(mux, "/jobs/"+id+"/edit", form, url.Values{"revision": {fmt.Sprint(i + 1)}, "set:" + p[0]: {p[1]}}.Encode(), frame.Owner)
		if w.Code != http.StatusSeeOther {
			t.Fatalf("%s: %d", p[0], w.Code)
		}
	}
	return f, mux, id
}

var dear = [][2]string{
	{"terms.margin", "31 %"}, {"crew.people[0].rate", "77.70"}, {"prices.packs[0].price", "88.80"}, {"rooms[1].walls[0].length", "4.95 m"},
}

// TestHistoryTellsPricesOnlyToWhoMaySeeThem: neither what an edit did, nor a comparison,
// nor the text gives a figure away; what has nothing to do with money is told to all.
func TestHistoryTellsPricesOnlyToWhoMaySeeThem(t *testing.T) {
	_, mux, id := edited(t, dear...)
	at := "/jobs/" + id + "/history?from=1&to=5"
	_, all := webtest.Ask(mux, at, frame.Owner)
	_, some := webtest.Ask(mux, at, frame.Applicator)
	for _, figure := range []string{"31 %", "was 18 %", "77.70", "38.00", "88.80", "14.50"} {
		if !strings.Contains(all, figure) {
			t.Errorf("the owner is not told %s", figure)
		}
		if strings.Contains(some, figure) {
			t.Errorf("an applicator is told %s", figure)
		}
	}
	if n := strings.Count(some, "A change that touches prices"); n != 3 {
		t.Errorf("%d changes are withheld, not 3", n)
	}
	for who, body := range map[string]string{"owner": all, "applicator": some} {
		for _, want := range []string{"4.95 m, was 4.83 m", `<th scope="row">Breakfast room, North: length</th><td class="n">4.83 m</td><td class="n">4.95 m</td>`} {
			if !strings.Contains(body, want) {
				t.Errorf("%s is not told %q", who, want)
			}
		}
	}
}

// TestRestoreLeavesPricesToWhoMaySeeThem: an applicator brings back what was measured,
// but no prices.
func TestRestoreLeavesPricesToWhoMaySeeThem(t *testing.T) {
	f, mux, id := edited(t, dear...)
	for _, c := range []struct {
		number string
		role   frame.Role
		code   int
		head   int
	}{{"1", frame.Applicator, http.StatusForbidden, 5}, {"4", frame.Applicator, http.StatusSeeOther, 6}, {"99", frame.Applicator, http.StatusNotFound, 6}, {"1", frame.Owner, http.StatusSeeOther, 7}} {
		w := send(mux, "/jobs/"+id+"/history/restore", form, "number="+c.number, c.role)
		head, err := f.Store.Head(context.Background(), id)
		if err != nil || w.Code != c.code || head.Number != c.head {
			t.Errorf("%s brings %s back: %d, revision %d %v", c.role, c.number, w.Code, head.Number, err)
		}
	}
}

// TestATextThatCannotBeReadMayHoldPrices: it is neither told about nor brought back.
func TestATextThatCannotBeReadMayHoldPrices(t *testing.T) {
	f, mux, id := edited(t)
	if _, err := f.Store.Save(context.Background(), store.Draft{Job: id, Base: 1, Text: []byte("terms: [\n"), What: "rate: 77.70", Kind: "edit"}); err != nil {
		t.Fatal(err)
	}
	if _, body := webtest.Ask(mux, "/jobs/"+id+"/history", frame.Applicator); strings.Contains(body, "77.70") {
		t.Error("an applicator is told a rate")
	}
	if w := send(mux, "/jobs/"+id+"/history/restore", form, "number=1", frame.Applicator); w.Code != http.StatusForbidden {
		t.Errorf("an applicator brought prices back: %d", w.Code)
	}
}
