package price

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
	"scumble/catalog"
	"scumble/job"
	"scumble/method"
	"scumble/quantity"
	"scumble/schedule"
	"scumble/survey"
	"scumble/unit"
)

func cents(v unit.Money) job.Money { return job.Money{Text: "x", Value: v} }

// made is everything a quote is made from.
type made struct {
	s *survey.Survey
	m *method.Method
	q *quantity.Quantities
	p *schedule.Programme
	j *job.Job
	c *catalog.Catalog
}

func (w made) quote(t rapid.TB) *Quote {
	t.Helper()
	got, err := Make(w.s, w.m, w.q, w.p, w.j, w.c)
	if err != nil {
		t.Fatal(err)
	}
	return got
}

// house makes rooms of walls, each 4 x 2.5 m, with a ground coat and a glaze for
// two. Hours of a wall: ground 1 h for one, glaze 2 h for two.
func house(t rapid.TB, rooms, walls int, spread float64) made {
	w := made{m: &method.Method{}, q: &quantity.Quantities{}, p: &schedule.Programme{SiteDays: 3}, c: &catalog.Catalog{
		Rules: rules(t), Defaults: &catalog.Defaults{PaceSpread: catalog.Figure{Likely: 0.2}}}}
	w.j = &job.Job{Currency: "EUR", Crew: job.Crew{
		People: []job.Person{{Name: "Mara", Rate: cents(4000)}, {Name: "Ilse", Rate: cents(3000)}},
		Hours:  []job.Span{{From: 480, To: 960}},
		Travel: job.Travel{Hours: typed[unit.Hours](0.5), Cost: cents(1000)}}}
	w.j.Terms = job.Terms{Rule: "solid", Overhead: typed[unit.Ratio](0.10), Margin: typed[unit.Ratio](0.20), Tax: typed[unit.Ratio](0.20),
		Boards: 2, Board: cents(5000), Once: []job.Item{{What: "Moving furniture", Price: cents(12345)}},
		Stages: []job.Stage{{Name: "a", Share: typed[unit.Ratio](0.3)}, {Name: "b", Share: typed[unit.Ratio](0.3)}, {Name: "c", Share: typed[unit.Ratio](0.4)}}}
	w.j.Kit = []job.Kit{{Kind: "platform", Count: 1, Cost: cents(9000)}}
	people := []schedule.PersonDay{{Name: "Mara"}, {Name: "Ilse"}}
	w.p.Days = []schedule.Day{{Date: time.Time{}, People: people}, {People: people}, {People: people[:1]}}
	technique := &catalog.Technique{ID: "dragging", Name: "Dragging"}
	finish := &job.Finish{ID: "slate", Name: "Slate drag"}
	ground, glaze := &catalog.Product{ID: "satin-ground-coat", Name: "satin ground coat"}, &catalog.Product{ID: "oil-glaze", Name: "oil glaze"}
	thinner := &catalog.Product{ID: "thinner", Name: "thinner"}
	mixes := []quantity.Mix{{ID: "M1", Product: ground, Colour: job.Colour{Name: "Mist"}}, {ID: "M2", Product: glaze, Parts: 0.8, Thinner: thinner, Colour: job.Colour{Name: "Slate"}}}
	hours := func(h unit.Hours) unit.Range[unit.Hours] {
		return unit.Range[unit.Hours]{Low: h * unit.Hours(1-spread), Likely: h, High: h * unit.Hours(1+2*spread)}
	}
	for r := range rooms {
		room := job.Room{Name: fmt.Sprint("Room ", r), Height: mm(2500)}
		w.m.Rooms = append(w.m.Rooms, method.Room{Name: room.Name, Steps: []method.Step{{ID: room.Name + "#protect", Kind: method.Protect, Room: room.Name, Work: hours(1), Crew: 1}}})
		for k := range walls {
			id := fmt.Sprintf("%s/%d", room.Name, k)
			room.Walls = append(room.Walls, job.Wall{Name: fmt.Sprint(k), Length: mm(4000), Finish: "slate", Corner: "open"})
			w.m.Faces = append(w.m.Faces, method.Face{ID: id, Room: room.Name, Technique: technique, Finish: finish, Steps: []method.Step{
				{ID: id + "#ground", Kind: method.Ground, Face: id, Room: room.Name, Work: hours(1), Crew: 1},
				{ID: id + "#glaze", Kind: method.Glaze, Face: id, Room: room.Name, Work: hours(2), Crew: 2}}})
			for m, rule := range []string{"#ground", "#glaze"} {
				laid := unit.Range[unit.Volume]{Low: unit.Volume(1 - spread/2), Likely: 1, High: unit.Volume(1 + spread)}
				mixes[m].Uses = append(mixes[m].Uses, quantity.Use{Step: id + rule, Face: id, Laid: laid})
				mixes[m].Ready = mixes[m].Ready.Plus(laid)
			}
		}
		w.j.Rooms = append(w.j.Rooms, room)
	}
	n := float64(rooms * walls)
	w.q.Mixes = mixes
	w.q.Purchases = []quantity.Purchase{
		{Product: ground, Colour: job.Colour{Name: "Mist"}, Need: n, Bought: n + 0.5, Cost: 5000, Priced: true},
		{Product: glaze, Colour: job.Colour{Name: "Slate"}, Need: n / 1.8, Bought: n, Cost: 9001, Priced: true},
		{Product: thinner, Need: n * 0.8 / 1.8, Bought: n, Cost: 777, Priced: true}}
	w.q.Goods = []quantity.Goods{{Good: &catalog.Good{Name: "masking tape"}, Need: 3, Cost: 1500, Priced: true}}
	w.q.Tools = []quantity.Tool{{Good: &catalog.Good{Name: "roller", Tool: true}, Count: 1, Cost: 2500, Priced: true}, {Good: &catalog.Good{Name: "brush", Tool: true}, Have: true, Cost: 99999}}
	w.s = measured(t, w.j)
	return w
}

// Added up by hand: two walls of one room.
func TestQuoteByHand(t *testing.T) {
	q := house(t, 1, 2, 0).quote(t)
	// hours: room 1, walls 2 x (1 + 2 x 2) = 10; 11 h at the mean rate of 35.00
	// travel: 5 person-days x 0.5 h x 35.00 = 87.50, and 3 days x 10.00
	want := Working{Labour: 38500, Material: 5000 + 9001 + 777, Goods: 4000, Kit: 9000, Travel: 11750, Boards: 10000, Once: 12345, Trials: 2000, Seed: 1}
	want.Cost = 38500 + 14778 + 4000 + 9000 + 11750 // 780.28
	want.Overhead = 7803                            // 10 %
	net := unit.Money(107289 + 10000 + 12345)       // 858.31 / 0.8 = 1072.8875; boards and moving as agreed
	want.Margin = 107289 - want.Cost - want.Overhead
	if q.Working != want || q.Net != net || q.Asked != net {
		t.Errorf("%+v\nwant %+v; net %d", q.Working, want, q.Net)
	}
	if q.Tax != 25927 || q.Total != 155561 { // 20 % of 1296.34 is 259.268
		t.Errorf("tax %d, total %d", q.Tax, q.Total)
	}
	if q.Low != net || q.EightInTen != net || q.High != net {
		t.Errorf("nothing is uncertain, yet %d %d %d", q.Low, q.EightInTen, q.High)
	}
	var works []string
	for _, l := range q.Lines {
		works = append(works, l.Work)
	}
	if got := strings.Join(works, "; "); got != "Preparation and ground coats for Slate drag (dragging); Slate drag (dragging); "+
		"Protection, clearing away and things used up; Access equipment; Travel, 3 site days; Sample boards, 2; Moving furniture" {
		t.Errorf("lines %s", got)
	}
	ground, effect := q.Lines[0], q.Lines[1]
	if ground.Hours.Likely != 2 || effect.Hours.Likely != 8 || ground.Labour != 7000 || effect.Labour != 28000 {
		t.Errorf("ground %+v, effect %+v", ground, effect)
	}
	if ground.Material != 5000 || effect.Material != 9001+777 {
		t.Errorf("material %d and %d", ground.Material, effect.Material)
	}
	if ground.Painted != 20 || ground.Paid != 20 || effect.Paid != 20 || len(effect.Measured) != 2 || effect.Rate != money(float64(effect.Amount)/20) {
		t.Errorf("areas: %+v", effect)
	}
	if q.Hours.Likely != 11+2.5 {
		t.Errorf("hours %v", q.Hours)
	}
}

// checkSums looks at everything that must add up.
func checkSums(q *Quote) (faults []string) {
	var lines, stages unit.Money
	var labour unit.Money
	for _, l := range q.Lines {
		lines += l.Amount
		labour += l.Labour + l.Material
		if l.Amount < 0 || l.Labour < 0 || l.Material < 0 || !l.Hours.Ordered() {
			faults = append(faults, fmt.Sprintf("line %+v", l))
		}
	}
	for _, p := range q.Stages {
		stages += p.Amount
	}
	w := q.Working
	if lines != q.Asked || stages != q.Total || q.Asked+q.Tax != q.Total || labour != w.Cost+w.Boards+w.Once {
		faults = append(faults, fmt.Sprintf("lines %d of %d, stages %d of %d, tax %d, costs of lines %d of %d", lines, q.Asked, stages, q.Total, q.Tax, labour, w.Cost))
	}
	if w.Cost != w.Labour+w.Material+w.Goods+w.Kit+w.Travel || w.Cost+w.Overhead+w.Margin+w.Boards+w.Once != q.Net || q.Net+w.Allowance != q.Asked {
		faults = append(faults, fmt.Sprintf("working %+v of %d", w, q.Net))
	}
	if q.Low > q.EightInTen || q.EightInTen > q.High {
		faults = append(faults, fmt.Sprintf("range %d %d %d", q.Low, q.EightInTen, q.High))
	}
	return faults
}

func TestSumsHoldForEveryJob(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := house(t, rapid.IntRange(1, 3).Draw(t, "rooms"), rapid.IntRange(1, 4).Draw(t, "walls"), rapid.Float64Range(0, 0.4).Draw(t, "spread"))
		w.j.Terms.Margin.Value = unit.Ratio(rapid.Float64Range(0, 0.6).Draw(t, "margin"))
		w.j.Terms.Overhead.Value = unit.Ratio(rapid.Float64Range(0, 0.5).Draw(t, "overhead"))
		w.j.Terms.Ask = rapid.SampledFrom([]string{"", "likely", "eight-in-ten"}).Draw(t, "ask")
		w.j.Terms.Seed = rapid.Int64().Draw(t, "seed")
		for i := range w.q.Purchases {
			w.q.Purchases[i].Cost = unit.Money(rapid.Int64Range(0, 99999).Draw(t, "cost"))
		}
		for i := range w.j.Terms.Stages {
			w.j.Terms.Stages[i].Share.Value = unit.Ratio(rapid.Float64Range(0.01, 1).Draw(t, "share"))
		}
		q := w.quote(t)
		if faults := checkSums(q); len(faults) > 0 {
			t.Fatal(faults)
		}
		if again := w.quote(t); !reflect.DeepEqual(q, again) {
			t.Fatal("a second run differs")
		}

		// more margin never asks less
		more := w
		j := *w.j
		j.Terms.Margin.Value += 0.05
		more.j = &j
		if dearer := more.quote(t); dearer.Net < q.Net || dearer.EightInTen < q.EightInTen {
			t.Fatalf("more margin: %d after %d", dearer.Net, q.Net)
		}

		// rooms and walls in another order: the same money
		turned := w
		turned.m = &method.Method{Faces: slices.Clone(w.m.Faces), Rooms: slices.Clone(w.m.Rooms)}
		slices.Reverse(turned.m.Faces)
		slices.Reverse(turned.m.Rooms)
		turned.q = &quantity.Quantities{Mixes: slices.Clone(w.q.Mixes), Purchases: slices.Clone(w.q.Purchases), Goods: w.q.Goods, Tools: w.q.Tools}
		slices.Reverse(turned.q.Mixes)
		slices.Reverse(turned.q.Purchases)
		other := turned.quote(t)
		if other.Net != q.Net || other.EightInTen != q.EightInTen || other.Working != q.Working {
			t.Fatalf("another order: %+v, %+v", other.Working, q.Working)
		}
		amounts := map[string]unit.Money{}
		for _, l := range q.Lines {
			amounts[l.Room+"|"+l.Work] += l.Amount
		}
		for _, l := range other.Lines {
			if amounts[l.Room+"|"+l.Work] -= l.Amount; amounts[l.Room+"|"+l.Work] != 0 {
				t.Fatalf("another order: %s differs", l.Work)
			}
		}
	})
}

func TestApportion(t *testing.T) {
	for _, c := range []struct {
		amount  unit.Money
		weights []float64
		want    []unit.Money
	}{
		{100, []float64{1, 1, 1}, []unit.Money{34, 33, 33}},
		{1305410, []float64{0.3, 0.4, 0.3}, []unit.Money{391623, 522164, 391623}}, // stage payments of the mock-up
		{10, []float64{0, 5, 0}, []unit.Money{0, 10, 0}},
		{-100, []float64{1, 1, 1}, []unit.Money{-34, -33, -33}},
		{7, []float64{0, 0}, []unit.Money{0, 0}},
		{5, []float64{math.NaN(), -1, 2, math.Inf(1)}, []unit.Money{0, 0, 5, 0}},
	} {
		if got := apportion(c.amount, c.weights); !slices.Equal(got, c.want) {
			t.Errorf("%d by %v: %v, want %v", c.amount, c.weights, got, c.want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		amount := unit.Money(rapid.Int64Range(-1e12, 1e12).Draw(t, "amount"))
		weights := rapid.SliceOfN(rapid.Float64Range(0.001, 1e9), 1, 40).Draw(t, "weights")
		sum, whole := unit.Money(0), 0.0
		for _, w := range weights {
			whole += w
		}
		for i, p := range apportion(amount, weights) {
			sum += p
			if d := float64(p) - float64(amount)*weights[i]/whole; math.Abs(d) > 1.001 {
				t.Fatalf("part %d is %v off", i, d)
			}
		}
		if sum != amount {
			t.Fatalf("%d of %d", sum, amount)
		}
	})
}

// A single wall must show its own low and high as the tenth and ninetieth of a
// hundred, whatever part of the deviation is shared.
func TestTrialsMeetTheRange(t *testing.T) {
	exact := func(v float64) unit.Money { return money(v * 1000) }
	for _, face := range []float64{0, 0.2, 1} {
		r := risk{hours: []spread{newSpread(8, 10, 15, face)}, rate: 1}
		var p10, p80, p90 unit.Money
		for seed := range int64(20) {
			a, b, c := r.percentiles(seed+1, exact)
			p10, p80, p90 = p10+a/20, p80+b/20, p90+c/20
		}
		for _, c := range []struct{ got, want float64 }{{float64(p10) / 1000, 8}, {float64(p90) / 1000, 15},
			{float64(p80) / 1000, 10 * math.Exp(math.Log(1.5)/z90*0.8416212)}} {
			if math.Abs(c.got/c.want-1) > 0.01 { // 40,000 trials: 0.3 % of standard error
				t.Errorf("face %v: %v, want %v", face, c.got, c.want)
			}
		}
	}
	// Forty faces whose deviation is wholly their own spread less than one; wholly shared, as much.
	width := func(face float64) float64 {
		r := risk{rate: 1}
		for range 40 {
			r.hours = append(r.hours, newSpread(0.8, 1, 1.25, face))
		}
		p10, _, p90 := r.percentiles(1, exact)
		return float64(p90-p10) / 40000
	}
	if own, shared := width(1), width(0); own > 0.12 || math.Abs(shared-0.45) > 0.03 {
		t.Errorf("widths %v and %v", own, shared)
	}
	if s := newSpread(0, 1, 2, 0.2); s.at(3, 3) != 1 {
		t.Errorf("a range that starts at nothing must stay at its likely figure: %+v", s)
	}
}

func TestEightInTenIsAsked(t *testing.T) {
	w := house(t, 2, 3, 0.2)
	w.j.Terms.Ask = "eight-in-ten"
	q := w.quote(t)
	if q.Asked != q.EightInTen || q.EightInTen <= q.Net || q.Low >= q.Net || q.High <= q.EightInTen || q.Working.Allowance <= 0 {
		t.Errorf("net %d, eight in ten %d, asked %d, %d to %d", q.Net, q.EightInTen, q.Asked, q.Low, q.High)
	}
	for _, f := range checkSums(q) {
		t.Error(f)
	}
}

func TestIncompleteQuoteSaysSo(t *testing.T) {
	w := house(t, 1, 1, 0.2)
	w.j.Crew.People[1].Rate = job.Money{}
	w.j.Terms.Rule = ""
	w.j.Terms.Stages[0].Share.Value = 0.2
	w.q.Purchases[1].Priced = false
	w.q.Goods[0].Priced = false
	w.q.Tools[0].Priced = false
	var said []string
	for _, x := range w.quote(t).Warnings {
		if x.Do == "" {
			t.Errorf("no way out: %+v", x)
		}
		said = append(said, x.What)
	}
	all := strings.Join(said, "\n")
	for _, want := range []string{"no hourly rate for Ilse", "No measuring rule is named", "no price for oil glaze Slate", "no price for masking tape, roller", "sum to 90.0 %"} {
		if !strings.Contains(all, want) {
			t.Errorf("nobody says %q:\n%s", want, all)
		}
	}
	w.j.Terms.Rule = "void-1-0"
	if !strings.Contains(fmt.Sprint(w.quote(t).Warnings), "was not read") {
		t.Error("a rule that was not read is used without a word")
	}
	w.j.Terms.Stages = nil
	if q := w.quote(t); len(q.Stages) != 1 || q.Stages[0].Amount != q.Total {
		t.Errorf("one payment: %+v", q.Stages)
	}
}

func TestTermsThatContradictThemselves(t *testing.T) {
	w := house(t, 1, 1, 0)
	w.j.Terms.Margin.Value, w.j.Terms.Tax.Value, w.j.Terms.Ask, w.j.Terms.Rule = 1, -0.1, "more", "yards"
	_, err := Make(w.s, w.m, w.q, w.p, w.j, w.c)
	for _, want := range []string{"terms.margin", "terms.tax", "terms.ask", `no rule "yards": use one of din-18363-2006`} {
		if !errors.Is(err, ErrTerms) || !strings.Contains(err.Error(), want) {
			t.Errorf("want %q in %v", want, err)
		}
	}
	empty := made{&survey.Survey{}, &method.Method{}, &quantity.Quantities{}, &schedule.Programme{}, &job.Job{}, w.c}
	if q := empty.quote(t); q.Total != 0 || len(checkSums(q)) > 0 {
		t.Errorf("nothing costs nothing: %+v", q)
	}
}

func BenchmarkMake(b *testing.B) {
	for _, rooms := range []int{8, 250} {
		b.Run(fmt.Sprint(rooms*4), func(b *testing.B) {
			w := house(b, rooms, 4, 0.2)
			for b.Loop() {
				w.quote(b)
			}
		})
	}
}

// Half of a hundred days need more than the likely litre; one litre bought and
// dear to buy again must show, two litres bought must not.
func TestShortPurchaseShowsInTheRange(t *testing.T) {
	exact := func(v float64) unit.Money { return money(v * 1000) }
	need := newSpread(0.8, 1, 1.5, 0)
	short := risk{purchases: []bought{newBought(need, 1, 10)}}
	p10, _, p90 := short.percentiles(1, exact)
	if want := 0.5 * 10 * 1000; p10 != 0 || math.Abs(float64(p90)-want) > 0.15*want {
		t.Errorf("%d to %d, want 0 to %v", p10, p90, want)
	}
	plenty := risk{purchases: []bought{newBought(need, 2.5, 10)}}
	if _, _, p90 := plenty.percentiles(1, exact); p90 != 0 {
		t.Errorf("enough was bought, yet %d", p90)
	}
	if lacking := newBought(need, 0.5, 10); lacking.enough > -100 {
		t.Errorf("less than the likely need was bought: %+v", lacking)
	}
}
