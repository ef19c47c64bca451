package drying

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
	"scumble/catalog"
	"scumble/job"
	"scumble/unit"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

func exactly(h float64) unit.Range[unit.Hours] { return unit.Exactly(unit.Hours(h)) }

// Factors computed by hand from the same relations, outside this program.
func TestFactors(t *testing.T) {
	for _, c := range []struct {
		temp unit.Temp
		rh   unit.Humidity
		want float64
	}{{23, 0.50, 1}, {20, 0.50, 1.20}, {15, 0.65, 2.35}, {25, 0.80, 2.22}, {20, 0.85, 4.01}, {10, 0.80, 5.72}, {5, 0.85, 10.7}, {30, 0.50, 0.66}} {
		w, err := Ready(Coat{Base: "water", From: exactly(10), By: ByModel}, Steady(Air{c.temp, c.rh, c.temp}), 3)
		if err != nil || math.Abs(w.Factor/c.want-1) > 0.006 || math.Abs(float64(w.From.Likely)/10/c.want-1) > 0.006 {
			t.Errorf("water at %v C %v: %+v, %v; want %v", c.temp, c.rh, w, err, c.want)
		}
	}
	// Ea 50 kJ/mol against 23 C.
	for _, c := range []struct {
		temp unit.Temp
		pace float64
	}{{10, 0.394}, {30, 1.598}, {23, 1}} {
		w, err := Ready(Coat{Base: "oil", From: exactly(24), By: ByModel}, Steady(Air{c.temp, 0.5, c.temp}), 0)
		if err != nil || math.Abs(1/w.Factor-c.pace) > 0.002 || !w.From.Ordered() {
			t.Errorf("oil at %v C: %+v, %v; want pace %v", c.temp, w, err, c.pace)
		}
	}
	// The same form at Q = E/R of 5000 K.
	for temp, pace := range map[unit.Temp]float64{5: 0.335, 10: 0.461, 15: 0.626, 20: 0.841, 30: 1.477, 23: 1} {
		near(t, "equivalent age at 5000 K", 1/arrhenius(5000*gasConstant/1000, temp), pace, 0.0006)
	}
}

// Equivalent age over a day of four temperatures, worked out by hand: 13.20 h of 24 at
// 50 kJ/mol against 23 C.
func TestEquivalentAge(t *testing.T) {
	c := Climate{}
	for _, p := range []struct {
		hours int
		temp  unit.Temp
	}{{3, 18}, {5, 15}, {10, 12}, {6, 16}} {
		for range p.hours {
			c.Air = append(c.Air, Air{p.temp, 0.5, p.temp})
		}
	}
	w, err := c.Watch("oil")
	if err != nil {
		t.Fatal(err)
	}
	near(t, "equivalent age", w.clocks[1].at(24), 13.20, 0.005)
	near(t, "two days", w.clocks[1].at(48), 26.40, 0.01)
	// A maturity by Nurse and Saul, 28 days at 15 C over a datum of -11 C, is the same sum
	// with another pace: 728 C days (a published example).
	k := Steady(Air{15, 0.5, 15}).clock(func(a Air) float64 { return max(0, float64(a.Temp)+11) / 24 })
	near(t, "maturity", k.at(28*24), 728, 1e-9)
	k = Steady(Air{-12, 0.5, -12}).clock(func(a Air) float64 { return max(0, float64(a.Temp)+11) / 24 })
	near(t, "maturity below the datum", k.at(28*24), 0, 0)
}

// Evaporation by hand from Uno's formula, and the water of a film from Kiil's.
func TestEvaporation(t *testing.T) {
	for _, c := range []struct{ wall, air, rh, wind, want float64 }{
		{20, 20, 0.5, 0, 0.0890}, {20, 20, 0.5, 5, 0.2003}, {10, 10, 0.8, 0, 0.0166}, {25, 38, 0.4, 16, 0.2738},
	} {
		near(t, "evaporation", Evaporation(Air{unit.Temp(c.air), unit.Humidity(c.rh), unit.Temp(c.wall)}, c.wind/3.6), c.want, 0.00006)
	}
	near(t, "water to lose", WaterToLose(100, 0.35), 52.7, 0.05)
	near(t, "closed film", WaterToLose(100, 0.8), 0, 0)
	r, err := Closes(68, 0.22, Steady(Air{23, 0.5, 23}), 0)
	if err != nil || !r.Ordered() {
		t.Fatalf("%+v, %v", r, err)
	}
	near(t, "film closes", float64(r.Likely), WaterToLose(68, 0.22)/1000/Evaporation(Air{23, 0.5, 23}, ReferenceSpeed), 1e-9)
	if _, err := Closes(68, 0.22, Steady(Air{20, 1, 18}), 0); err == nil {
		t.Error("water leaves a sweating wall")
	}
}

// Until the film closes, time goes with film and wind; after that with the square of the film.
func TestFilmAndWind(t *testing.T) {
	at := func(film unit.Ratio, speed float64, hours float64) float64 {
		c := Steady(Air{23, 0.5, 23})
		c.Speed = speed
		w, err := Ready(Coat{Base: "water", From: exactly(hours), Film: film, Closes: 1, By: ByModel}, c, 0)
		if err != nil {
			t.Fatal(err)
		}
		return float64(w.From.Likely)
	}
	near(t, "as declared", at(1, 0, 3), 3, 1e-9)
	near(t, "double film, wet", at(2, 0, 1), 2, 1e-9)
	near(t, "double film, through", at(2, 0, 3), 2+8, 1e-9)
	windy := (0.5*3.6 + 4) / 4.36
	near(t, "wind, wet", at(1, 0.5, 1), 1/windy, 1e-9)
	near(t, "wind, through", at(1, 0.5, 3), 1/windy+2, 1e-9)
}

func TestReady(t *testing.T) {
	coat := Coat{Base: "oil", From: unit.Range[unit.Hours]{Low: 20, Likely: 24, High: 30}, Until: 72}
	got, err := Ready(coat, Steady(Air{23, 0.5, 23}), 9)
	if err != nil || got.Factor < 0.999999 || got.Factor > 1.000001 || math.Abs(float64(got.Until)-72) > 1e-9 || math.Abs(float64(got.From.High)-30) > 1e-9 {
		t.Errorf("reference climate: %+v, %v", got, err)
	}
	if got, err = Ready(coat, Steady(Air{35, 0.4, 35}), 0); err != nil || got.From != coat.From || got.Until >= 72 || got.Until < 30 || got.Model.Likely >= 24 {
		t.Errorf("a warm room must keep the declared start and close sooner: %+v, %v", got, err)
	}
	coat.By = ByModel
	if got, err = Ready(coat, Steady(Air{35, 0.4, 35}), 0); err != nil || got.From != got.Model {
		t.Errorf("the model was asked: %+v, %v", got, err)
	}
	coat.By = ByDeclared
	if got, err = Ready(coat, Steady(Air{5, 0.4, 5}), 0); err != nil || got.From != coat.From || got.Until != 72 || got.Model.Likely <= 48 {
		t.Errorf("the clock was asked: %+v, %v", got, err)
	}
	if got, err = Ready(Coat{Base: "none", From: coat.From}, Steady(Air{5, 0.99, 5}), 0); err != nil || math.Abs(float64(got.From.Likely)-24) > 1e-9 || got.Until != 0 {
		t.Errorf("no base: %+v, %v", got, err)
	}
	for name, bad := range map[string]struct {
		coat Coat
		air  Air
	}{
		"no drying time": {Coat{Base: "water", From: coat.From}, Air{20, 0.91, 20}},
		"warm or dry":    {Coat{Base: "water", From: coat.From}, Air{20, 0.8, 12}},
		"humidity":       {Coat{Base: "oil", From: coat.From}, Air{20, 0, 20}},
		"out of order":   {Coat{Base: "oil", From: unit.Range[unit.Hours]{Low: 3, Likely: 2, High: 4}}, Air{20, 0.5, 20}},
		"base":           {Coat{Base: "wax", From: coat.From}, Air{20, 0.5, 20}},
		"wall surface":   {Coat{Base: "oil", From: coat.From}, Air{20, 0.5, 900}},
	} {
		if _, err := Ready(bad.coat, Steady(bad.air), 0); err == nil || !strings.Contains(err.Error(), name) {
			t.Errorf("%+v: error %v, want one with %q", bad, err, name)
		}
	}
}

func drawClimate(t *rapid.T) Climate {
	n := rapid.SampledFrom([]int{1, 24, 25, 60}).Draw(t, "hours")
	c := Climate{First: rapid.IntRange(-30, 30).Draw(t, "first")}
	for range n {
		temp := unit.Temp(rapid.Float64Range(1, 38).Draw(t, "temp"))
		c.Air = append(c.Air, Air{temp, unit.Humidity(rapid.Float64Range(0.1, 0.85).Draw(t, "rh")), temp})
	}
	return c
}

// Colder, damper, thicker and stiller never dries sooner; a later start is never ready
// before an earlier one; the range is in order.
func TestReadyIsOrderedAndMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawClimate(t)
		low := rapid.Float64Range(0, 40).Draw(t, "low")
		likely := low + rapid.Float64Range(0, 20).Draw(t, "more")
		coat := Coat{Base: rapid.SampledFrom([]string{"water", "oil", "none"}).Draw(t, "base"),
			From:   unit.Range[unit.Hours]{Low: unit.Hours(low), Likely: unit.Hours(likely), High: unit.Hours(likely * 1.5)},
			Until:  unit.Hours(rapid.SampledFrom([]float64{0, 48, 168}).Draw(t, "until")),
			Closes: unit.Hours(rapid.Float64Range(0, 3).Draw(t, "closes")), Film: 1,
			By: rapid.SampledFrom([]string{ByLater, ByModel, ByDeclared}).Draw(t, "by")}
		start := rapid.Float64Range(-50, 300).Draw(t, "start")
		ready := func(coat Coat, c Climate, start float64) Window {
			w, err := Ready(coat, c, start)
			if err != nil {
				t.Fatal(err)
			}
			return w
		}
		a := ready(coat, c, start)
		worse := c.With(func(_ int, a Air) Air { return Air{a.Temp - 1, a.Humidity + 0.01, a.Surface - 1} })
		thick := coat
		thick.Film = 1.3
		still := c
		c.Speed = 0.4
		for name, b := range map[string]Window{"a colder, damper room": ready(coat, worse, start), "a thicker film": ready(thick, still, start)} {
			if b.From.Likely < a.From.Likely-1e-9 || b.From.High < a.From.High-1e-9 {
				t.Fatalf("%s is ready sooner: %+v, %+v", name, b, a)
			}
		}
		if b := ready(coat, c, start); b.From.High > a.From.High+1e-9 {
			t.Fatalf("moving air is slower: %+v, %+v", b, a)
		}
		if b := ready(coat, still, start+0.7); float64(b.From.High)+0.7 < float64(a.From.High)-1e-9 {
			t.Fatalf("a later start is ready sooner: %+v, %+v", b, a)
		}
		w, err := still.Watch(coat.Base)
		if err != nil {
			t.Fatal(err)
		}
		if from, until := w.Surely(coat, start); math.Abs(float64(from-a.From.High)) > 1e-9 || math.Abs(float64(until-a.Until)) > 1e-9 {
			t.Fatalf("surely %v until %v, of %+v", from, until, a)
		}
		if !a.From.Ordered() || !a.Model.Ordered() || coat.By == ByLater && (a.From.Low < coat.From.Low || a.From.High < coat.From.High) {
			t.Fatalf("out of order or shortened: %+v from %+v", a, coat)
		}
		if (a.Until == 0) != (coat.Until == 0) || a.Until > 0 && a.Until < a.From.High {
			t.Fatalf("window %+v of %+v", a, coat)
		}
	})
}

// What has passed is the same however the time is split, and the inverse of the sum.
func TestClockIsAdditiveAndInverts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawClimate(t)
		w, err := c.Watch(rapid.SampledFrom([]string{"water", "oil"}).Draw(t, "base"))
		if err != nil {
			t.Fatal(err)
		}
		k := w.clocks[1]
		from := rapid.Float64Range(-200, 200).Draw(t, "from")
		to := from + rapid.Float64Range(0, 100).Draw(t, "long")
		sum := 0.0
		for h := from; h < to; h += 0.37 {
			sum += k.at(min(to, h+0.37)) - k.at(h)
		}
		if math.Abs(sum-(k.at(to)-k.at(from))) > 1e-8 {
			t.Fatalf("split: %v, whole: %v", sum, k.at(to)-k.at(from))
		}
		// By hand, hour by hour: each counts with the share of it that lies between.
		hand := 0.0
		for h := math.Floor(from); h < to; h++ {
			hand += max(0, min(to, h+1)-max(from, h)) * (k.at(h+1) - k.at(h))
		}
		if math.Abs(hand-(k.at(to)-k.at(from))) > 1e-8 {
			t.Fatalf("summed by hand: %v, %v", hand, k.at(to)-k.at(from))
		}
		need := rapid.Float64Range(0, 80).Draw(t, "need")
		if h := k.after(from, need); math.Abs(k.at(from+h)-k.at(from)-need) > 1e-8 {
			t.Fatalf("after %v h %v has passed, want %v", h, k.at(from+h)-k.at(from), need)
		}
	})
}

func TestClimateGoesRound(t *testing.T) {
	c := Daily(Air{20, 0.5, 20}, 12, 15)
	near(t, "warmest", float64(c.At(15.2).Temp), 20, 1e-9)
	near(t, "coldest", float64(c.At(3).Temp), 12, 1e-9)
	near(t, "next week", float64(c.At(15+7*24).Temp), 20, 1e-9)
	near(t, "before", float64(c.At(15-7*24).Temp), 20, 1e-9)
	near(t, "moisture", saturation(c.At(3).Temp)*float64(c.At(3).Humidity), 0.5*saturation(20), 1e-9)
	if Daily(Air{20, 0.8, 20}, 5, 15).At(3).Humidity != 1 {
		t.Error("air cannot be damper than full")
	}
	if !Steady(Air{20, 0.5, 20}).Steadily() || c.Steadily() {
		t.Error("steady")
	}
	cold := c.OnOutsideWall(0.25, 4)
	near(t, "outside wall", float64(cold.At(15).Surface), 16, 1e-9)
	if c.At(15).Surface != 20 {
		t.Error("the climate itself was changed")
	}
	// A last day of a log goes round at the same hours.
	log := Climate{First: 5}
	for h := 5; h < 5+31; h++ {
		log.Air = append(log.Air, Air{unit.Temp(h), 0.5, unit.Temp(h)})
	}
	for h := range 24 {
		hour := 36 + h
		if got := (int(log.At(float64(hour)).Temp) - hour) % 24; got != 0 {
			t.Fatalf("hour %d shows the air of %v", hour, log.At(float64(hour)).Temp)
		}
	}
}

func TestPlace(t *testing.T) {
	d := &catalog.Defaults{OutsideShare: catalog.Figure{Likely: 0.25}, AirWindow: catalog.Figure{Likely: 0.4}}
	temp := func(v unit.Temp) job.Temp { return job.Temp{Text: "x", Value: v} }
	rh := func(v unit.Humidity) job.Humidity { return job.Humidity{Text: "x", Value: v} }
	general := job.Climate{Temp: temp(18), Humidity: rh(0.55), Night: temp(12), Outdoors: temp(2), Draught: "window"}
	first := time.Date(2027, 3, 8, 0, 0, 0, 0, time.UTC)
	c := Place{Air: general, First: first}.Climate(d)
	near(t, "by day", float64(c.At(15).Temp), 18, 1e-9)
	near(t, "by night", float64(c.At(3).Temp), 12, 1e-9)
	near(t, "draught", c.Speed, 0.4, 0)
	near(t, "inside wall", float64(c.At(15).Surface), 18, 1e-9)
	near(t, "outside wall", float64(Place{Air: general, Outside: true}.Climate(d).At(15).Surface), 14, 1e-9)
	if own := (Place{Air: general.In(job.Climate{Temp: temp(21)})}).Climate(d); !own.Steadily() || own.At(0).Humidity != 0.55 {
		t.Errorf("a room with a temperature of its own: %+v", own)
	}
	near(t, "measured wall by night", float64(Place{Air: general, Surface: temp(15)}.Climate(d).At(3).Surface), 9, 1e-9)
	if got := (Place{Air: general.In(job.Climate{WaitBy: "model"})}).WaitBy(); got != ByModel {
		t.Error(got)
	}
	log := []job.Reading{{At: "2027-03-09 06:00", Temp: temp(10), Humidity: rh(0.8)}, {At: "2027-03-07 18:00", Temp: temp(20), Humidity: rh(0.4)}, {At: "2027-03-08 18:00", Temp: temp(16), Humidity: rh(0.6)}}
	general.Log = log
	c = Place{Air: general, First: first}.Climate(d)
	near(t, "between readings", float64(c.At(6).Temp), 18-4*0.5/24, 1e-9)
	near(t, "between readings, humidity", float64(c.At(29).Humidity), 0.8-0.2*0.5/12, 1e-9)
	slices.Reverse(general.Log)
	if again := (Place{Air: general, First: first}).Climate(d); !slices.Equal(again.Air, c.Air) || again.First != -6 {
		t.Error("the order of readings matters")
	}
	general.Log = log[:1]
	if (Place{Air: general, First: first}).Climate(d).Steadily() {
		t.Error("a log of one reading counts")
	}
}

func TestStages(t *testing.T) {
	c, err := catalog.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	for _, id := range []string{"oil-glaze", "metallic-glaze", "clear-glaze", "satin-ground-coat"} {
		events, err := Stages(c.Products[id], 1, ByLater, Steady(Air{23, 0.5, 23}), 8)
		if err != nil || len(events) < 5 || events[0].Stage != Open {
			t.Fatalf("%s: %v, %v", id, events, err)
		}
		for _, e := range events {
			if math.Abs(float64(e.Model.Likely-e.Declared.Likely)) > 1e-9 || math.Abs(float64(e.Use.High-e.Declared.High)) > 1e-9 {
				t.Errorf("%s, %s at the reference: %+v", id, e.Stage, e)
			}
			if _, ok := c.Figure(e.Figure); !ok {
				t.Errorf("%s names no figure", e.Figure)
			}
		}
		hot, err := Stages(c.Products[id], 1, ByLater, Steady(Air{30, 0.4, 30}), 8)
		if err != nil || hot[0].Use.Likely >= events[0].Use.Likely || hot[2].Use.Likely < events[2].Use.Likely {
			t.Errorf("%s in a hot room: open %v, recoat %v, %v", id, hot[0].Use, hot[2].Use, err)
		}
	}
}

func TestNext(t *testing.T) {
	c := Daily(Air{18, 0.7, 18}, 10, 15) // damp by night
	if _, now := c.Next(3, nil, nil); !now {
		t.Fatal("there is a good hour")
	}
	at, _ := c.Next(3, nil, nil)
	if at <= 3 || len(Holds(c.At(at), nil, nil)) > 0 || len(Holds(c.At(at-1), nil, nil)) == 0 {
		t.Errorf("good from %v", at)
	}
	if _, ever := Steady(Air{18, 0.95, 18}).Next(3, nil, nil); ever {
		t.Error("wet air is never good")
	}
	if a := Better(Air{20, 0.95, 15}, nil); len(Holds(a, nil, nil)) != 1 { // the limit itself still holds
		t.Errorf("%+v", Holds(a, nil, nil))
	}
}
