package quantity

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"scumble/catalog"
	"scumble/job"
	"scumble/method"
	"scumble/setout"
	"scumble/survey"
	"scumble/unit"
)

// Figures of these tests are invented for the demo; only the sums are checked.
func figure(low, likely, high float64, unit string) catalog.Figure {
	return catalog.Figure{Low: low, Likely: likely, High: high, Unit: unit, Kind: catalog.Demo}
}

func exactly(v float64, unit string) catalog.Figure { return figure(v, v, v, unit) }

func near(a, b float64) bool { return math.Abs(a-b) < 1e-9*max(1, math.Abs(b)) }

var (
	thinner = &catalog.Product{ID: "thinner", Name: "Thinner", By: "volume", Density: exactly(0.78, "kg/L"), Loss: exactly(0, "ratio")}
	water   = &catalog.Product{ID: "water", Name: "Water", By: "volume", Density: exactly(1, "kg/L"), Loss: exactly(0, "ratio")}
	primer  = &catalog.Product{ID: "primer", Name: "Primer", Role: catalog.RolePrimer, By: "volume", Solids: exactly(0.3, "ratio"),
		Spread: figure(8, 10, 12, "m2/L"), Density: exactly(1.2, "kg/L"), Loss: exactly(0.1, "ratio")}
	filler = &catalog.Product{ID: "filler", Name: "Filler", Role: catalog.RoleFiller, By: "mass", Solids: exactly(0.6, "ratio"),
		Spread: exactly(2, "m2/kg"), Density: exactly(1.6, "kg/L"), Loss: exactly(0, "ratio")}
	ground = &catalog.Product{ID: "ground", Name: "Ground coat", Role: catalog.RoleGround, By: "volume", Tinted: true, Solids: exactly(0.4, "ratio"),
		Spread: figure(10, 12, 16, "m2/L"), Density: exactly(1.3, "kg/L"), Loss: exactly(0.1, "ratio")}
	glaze = &catalog.Product{ID: "glaze", Name: "Oil glaze", Role: catalog.RoleGlaze, By: "volume", Tinted: true, Solids: exactly(0.5, "ratio"),
		Spread: figure(12.8, 16, 20, "m2/L"), Density: exactly(0.9, "kg/L"), Loss: exactly(0.2, "ratio")}

	rough  = &catalog.Substrate{ID: "rough", AreaFactor: exactly(1.1, "ratio"), PrimerSpread: exactly(0.8, "ratio")}
	smooth = &catalog.Substrate{ID: "smooth", AreaFactor: exactly(1, "ratio"), PrimerSpread: exactly(1, "ratio")}

	chalk = job.Colour{Name: "Chalk", Hex: "#eeeeea"}
	umber = job.Colour{Name: "Umber", Hex: "#6b5a44"}
	rags  = &catalog.Technique{ID: "rags", Lifted: figure(0.3, 0.4, 0.5, "ratio")}
)

func smallCatalog() *catalog.Catalog {
	c := &catalog.Catalog{Products: map[string]*catalog.Product{}, Goods: map[string]*catalog.Good{},
		Defaults: &catalog.Defaults{TouchUpReserve: exactly(0.5, "L")}}
	for _, p := range []*catalog.Product{thinner, water, primer, filler, ground, glaze} {
		c.Products[p.ID] = p
	}
	return c
}

// coats is a face with primer, two fillers, two grounds and a glaze let down by 80 %.
func coats(room, wall string, area unit.Area, finish string, substrate *catalog.Substrate) method.Face {
	f := method.Face{ID: room + "/" + wall, Room: room, Wall: wall, Finish: &job.Finish{ID: finish}, Technique: rags, Substrate: substrate}
	add := func(rule, kind string, role catalog.Role, p *catalog.Product, c job.Colour, let method.LetDown) {
		f.Steps = append(f.Steps, method.Step{ID: f.ID + "#" + rule, Rule: rule, Kind: kind, Face: f.ID, Room: room, Role: role, Product: p,
			Colour: c, Let: let, Over: "field", Area: area, Crew: 1})
	}
	add("prime", method.Prime, catalog.RolePrimer, primer, job.Colour{}, method.LetDown{})
	add("fill-1", method.Fill, catalog.RoleFiller, filler, job.Colour{}, method.LetDown{})
	add("fill-2", method.Fill, catalog.RoleFiller, filler, job.Colour{}, method.LetDown{})
	add("sand", method.Sand, "", nil, job.Colour{}, method.LetDown{})
	add("ground-1", method.Ground, catalog.RoleGround, ground, chalk, method.LetDown{})
	add("ground-2", method.Ground, catalog.RoleGround, ground, chalk, method.LetDown{})
	add("glaze-1", method.Glaze, catalog.RoleGlaze, glaze, umber, method.LetDown{Parts: 0.8, Percent: 0.8, Reading: "parts", Thinner: thinner})
	return f
}

func twoRooms() *method.Method {
	return &method.Method{Faces: []method.Face{coats("Hall", "North", 20, "one", smooth), coats("Attic", "North", 12, "two", rough)}}
}

func reckoned(t testing.TB, m *method.Method, j *job.Job) *Quantities {
	t.Helper()
	q, err := Reckon(&survey.Survey{}, &setout.SetOut{}, m, j, smallCatalog())
	if err != nil {
		t.Fatal(err)
	}
	return q
}

// TestPublishedValues: figures of a coatings technical note (loss, film and rate)
// and the two readings of a percentage, by hand.
func TestPublishedValues(t *testing.T) {
	within := func(name string, got, want, by float64) {
		t.Helper()
		if math.Abs(got-want) > by {
			t.Errorf("%s: %v, want %v", name, got, want)
		}
	}
	within("30 % loss on 9.310 L", float64(made(9.310, 0.30)), 13.3, 1e-9)

	// ISO 3233-3 relation, from a coatings technical note.
	within("VS 71 %, 5.68 m2/L is 125 um", float64(dryFilm(1, 0.71, 5.68)), 125, 0.01)
	within("VS 65 %, 5.2 m2/L is 125 um", float64(dryFilm(1, 0.65, 5.2)), 125, 1e-9)
	const gallon, squareFoot, mil = 3.785411784, 0.09290304, 25.4
	within("VS 65 %, 208.5 ft2/gal is 5.0 mil", float64(dryFilm(gallon, 0.65, 208.5*squareFoot))/mil, 5.0, 0.001)
	within("VS 35 %, 281 ft2/gal is 2 mil", float64(dryFilm(gallon, 0.35, 281*squareFoot))/mil, 2, 0.005)
	// VS 35 %, 2.8 mil dry, thinned 10 %: 8.8 mil wet, that is 1/8.8 of a litre per area.
	within("VS 35 % thinned 10 %, 8.8 mil wet is 2.8 mil", 8.8*float64(solids(&catalog.Product{Solids: exactly(0.35, "ratio")}, 0.10)), 2.8, 1e-9)

	// One litre of glaze at 80 %: read as parts 0.80 L makes 1.80 L, as a share 4.00 L makes 5.00 L.
	stock, thin := split(1.80, 0.8)
	within("parts: product", float64(stock), 1, 1e-9)
	within("parts: thinner", float64(thin), 0.80, 1e-9)
	stock, thin = split(5.00, 0.8/(1-0.8))
	within("share: product", float64(stock), 1, 1e-9)
	within("share: thinner", float64(thin), 4.00, 1e-9)
	within("parts: solids", float64(solids(glaze, 0.8)), 0.278, 0.0005)
	within("share: solids", float64(solids(glaze, 4)), 0.10, 1e-9)

	mix := &Mix{Product: glaze, Percent: 0.8, Reading: "parts", Ready: unit.Exactly(unit.Volume(1.8))}
	o := other(mix)
	within("other reading of 1.8 L: product", float64(o.Stock), 0.36, 1e-9)
	within("other reading of 1.8 L: thinner", float64(o.Thin), 1.44, 1e-9)
	within("other reading: solids", float64(o.Solids), 0.10, 1e-9)
	mix.Reading = "share"
	if o := other(mix); o.Reading != "parts" || !near(float64(o.Stock), 1) {
		t.Errorf("other reading of a share: %+v", o)
	}
	mix.Reading, mix.Percent = "parts", 1
	if o := other(mix); o != nil {
		t.Errorf("100 %% cannot be a share: %+v", o)
	}
	within("0.80 L of thinner at 0.78 kg/L, in grams", 0.80*thinner.Density.Likely*1000, 624, 1e-9)
}

// TestTwoRoomsByHand works a small job through on paper.
func TestTwoRoomsByHand(t *testing.T) {
	j := &job.Job{Prices: job.Prices{Packs: []job.Pack{
		{Product: "ground", Size: "1 L", Litres: 1, Price: job.Money{Value: 1600}},
		{Product: "ground", Size: "2.5 L", Litres: 2.5, Price: job.Money{Value: 3500}},
		{Product: "ground", Size: "5 L", Litres: 5, Price: job.Money{Value: 6000}},
		{Product: "filler", Size: "20 kg", Litres: 20, Price: job.Money{Value: 2500}},
		{Product: "thinner", Size: "1 L", Litres: 1, Price: job.Money{Value: 500}},
	}}}
	q := reckoned(t, twoRooms(), j)
	var ids []string
	for _, m := range q.Mixes {
		ids = append(ids, m.ID)
	}
	if !slices.Equal(ids, []string{"P1", "F1", "G1", "Z1"}) {
		t.Fatalf("mixes %v", ids)
	}
	p, f, g, z := q.Mixes[0], q.Mixes[1], q.Mixes[2], q.Mixes[3]
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		// Hall 20/10; attic 12 m2 at 10 x 0.8 / 1.1 m2/L
		{"primer laid", float64(p.Laid.Likely), 20.0/10 + 12.0*1.1/8},
		{"primer to make up", float64(p.Ready.Likely), (2 + 1.65) / 0.9},
		// two coats at 2 m2/kg, the attic 1.1 times as large until it is filled
		{"filler by weight", float64(f.StockMass), 2*20/2.0 + 2*12*1.1/2},
		{"ground laid", float64(g.Laid.Likely), 2 * 32.0 / 12}, // filled walls are smooth in both rooms
		{"ground laid, low", float64(g.Laid.Low), 2 * 32.0 / 16},
		{"ground laid, high", float64(g.Laid.High), 2 * 32.0 / 10},
		{"ground kept", float64(g.Reserve), 1}, // half a litre for each of two rooms
		{"ground to make up", float64(g.Ready.Likely), 64.0/12/0.9 + 1},
		{"ground to make up, high", float64(g.Ready.High), 6.4/0.9 + 1},
		{"ground film", float64(g.DryFilm), 1000 * 0.4 / 12},
		{"glaze laid", float64(z.Laid.Likely), 2},
		{"glaze to make up", float64(z.Ready.Likely), 2/0.8 + 1},
		{"glaze, product", float64(z.Stock), 3.5 / 1.8},
		{"glaze, thinner", float64(z.Thin), 3.5 * 0.8 / 1.8},
		{"glaze, product by weight", float64(z.StockMass), 3.5 / 1.8 * 0.9},
		{"glaze, thinner by weight", float64(z.ThinMass), 3.5 * 0.8 / 1.8 * 0.78},
		{"glaze, other reading", float64(z.Other.Stock), 3.5 / 5},
		{"glaze film", float64(z.DryFilm), 1000 * 0.5 / 1.8 / 16},
		{"glaze for the hall, product", float64(z.Uses[0].Stock), 1.25 / 0.8 / 1.8},
		{"glaze for the hall, thinner by weight", float64(z.Uses[0].ThinMass), 1.25 / 0.8 / 1.8 * 0.8 * 0.78},
		{"glaze on the rags, hall", float64(z.Uses[0].Lifted.Likely), 1.25 * 0.4},
	} {
		if !near(c.got, c.want) {
			t.Errorf("%s: %v, want %v", c.what, c.got, c.want)
		}
	}
	if kg, name := f.AsBought(f.Laid); name != "kg" || !near(kg.Likely, 33.2) {
		t.Errorf("filler laid %v %s", kg, name)
	}
	if litres, name := z.AsBought(z.Laid); name != "L" || !near(litres.High, 2.5) {
		t.Errorf("glaze laid %v %s", litres, name)
	}
	if z.Finish != "" || len(z.Uses) != 2 || z.Uses[1].Face != "Attic/North" {
		t.Errorf("glaze is used %+v for finish %q", z.Uses, z.Finish)
	}
	buys := map[string]Purchase{}
	for _, b := range q.Purchases {
		buys[b.Product.ID] = b
	}
	if b := buys["ground"]; !near(b.Need, 6.4/0.9+1) || b.Cost != 11100 || !near(b.Bought, 8.5) || len(b.Packs) != 3 || b.Packs[0].Size != "5 L" || !strings.Contains(b.Reason, "high end") {
		t.Errorf("8.11 L of ground in 1, 2.5 and 5 L at 16, 35 and 60 is 5 + 2.5 + 1 for 111.00: %+v", b)
	}
	if b := buys["filler"]; !near(b.Need, 33.2) || b.Unit != "kg" || b.Packs[0].Count != 2 || !near(b.Left, 6.8) {
		t.Errorf("33.2 kg of filler in tubs of 20: %+v", b)
	}
	if b := buys["primer"]; b.Priced || b.Bought != 0 || !near(b.Need, 3.65/0.9) || b.Need != b.Likely {
		t.Errorf("primer has no price and is bought for the likely need: %+v", b)
	}
	if b := buys["thinner"]; !near(b.Need, 3.5*0.8/1.8) || b.Packs[0].Count != 2 || !strings.Contains(b.Reason, "Z1") {
		t.Errorf("1.56 L of thinner: %+v", b)
	}
}

func TestMixesPartByColourAndDilution(t *testing.T) {
	m := twoRooms()
	attic := m.Faces[1].Steps
	attic[5].Colour = job.Colour{Name: "Sage"}                                                          // ground-2
	attic[6].Let = method.LetDown{Parts: 4, Percent: 0.8, Reading: "share", Thinner: thinner}           // glaze-1
	hall := m.Faces[0].Steps                                                                            //
	hall[0].Let = method.LetDown{Parts: 0.1, Percent: 0.1, Reading: "parts", Thinner: water}            // prime
	hall = append(hall, hall[6])                                                                        //
	hall[7].ID, hall[7].Role, hall[7].Colour = "Hall/North#glaze-2", catalog.RoleGlazeB, hall[6].Colour // the same glaze again
	m.Faces[0].Steps = hall
	q := reckoned(t, m, &job.Job{})
	var got []string
	for _, mix := range q.Mixes {
		got = append(got, fmt.Sprintf("%s %s %s x%d", mix.ID, mix.Product.ID, mix.Colour.Name, len(mix.Uses)))
	}
	want := []string{"P1 primer  x1", "F1 filler  x4", "G1 ground Chalk x3", "Z1 glaze Umber x2", "P2 primer  x1", "G2 ground Sage x1", "Z2 glaze Umber x1"}
	if !slices.Equal(got, want) {
		t.Errorf("mixes %q, want %q", got, want)
	}
	var bought []string
	for _, b := range q.Purchases {
		bought = append(bought, b.Product.ID+" "+b.Colour.Name)
	}
	// Two dilutions of one glaze are bought as one; water is not bought.
	if want := []string{"primer ", "filler ", "ground Chalk", "glaze Umber", "ground Sage", "thinner "}; !slices.Equal(bought, want) {
		t.Errorf("bought %q, want %q", bought, want)
	}
	z2 := q.Mixes[6]
	if z2.Other == nil || z2.Other.Reading != "parts" || !near(float64(z2.Other.Stock+z2.Other.Thin), float64(z2.Ready.Likely)) {
		t.Errorf("other reading of a share %+v", z2.Other)
	}
}

func TestStepsWithASpreadOfTheirOwn(t *testing.T) {
	m := twoRooms()
	thick := exactly(4, "m2/L")
	m.Faces[0].Steps[6].Spread = &thick
	q := reckoned(t, m, &job.Job{})
	if got := q.Mixes[3].Laid.Likely; !near(float64(got), 20.0/4+12.0/16) {
		t.Errorf("glaze laid %v, want 5.75 L", got)
	}
}

func TestStockIsSharedByTheColours(t *testing.T) {
	m := twoRooms()
	m.Faces[1].Steps[4].Colour, m.Faces[1].Steps[5].Colour = umber, umber // attic ground: another colour
	three := 3
	j := &job.Job{Prices: job.Prices{Packs: []job.Pack{{Product: "ground", Size: "2.5 L", Litres: 2.5, Price: job.Money{Value: 1}, Stock: &three}}}}
	q := reckoned(t, m, j)
	// Hall: 40/10/0.9 + 0.5 = 4.94 L, two packs. Attic: 24/10/0.9 + 0.5 = 3.17 L, one pack is left.
	var counts []int
	for _, b := range q.Purchases {
		if b.Product == ground {
			counts = append(counts, b.Packs[0].Count)
		}
	}
	if !slices.Equal(counts, []int{2, 1}) || three != 3 {
		t.Errorf("packs %v of a stock of %d", counts, three)
	}
	if len(q.Warnings) != 1 || q.Warnings[0].Path != "prices.packs[0]" || !strings.Contains(q.Warnings[0].What, "2.50 L of the 3.17 L") {
		t.Errorf("warnings %+v", q.Warnings)
	}
}

func TestWarningsAndFaults(t *testing.T) {
	m := twoRooms()
	m.Faces[1].Steps[6].Colour.Hex = "#000000"
	j := &job.Job{Prices: job.Prices{Packs: []job.Pack{{Product: "honey", Litres: 1}}, Goods: []job.GoodPrice{{Good: "wings"}}}}
	q := reckoned(t, m, j)
	for _, want := range []string{"stands for two colours", `no product "honey"`, `no goods "wings"`} {
		if !slices.ContainsFunc(q.Warnings, func(w job.Warning) bool { return strings.Contains(w.What, want) && w.Path != "" && w.Do != "" }) {
			t.Errorf("no warning %q in %+v", want, q.Warnings)
		}
	}
	bare := *primer
	bare.Spread = catalog.Figure{}
	m.Faces[0].Steps[0].Product = &bare
	light := *glaze
	light.Density = catalog.Figure{}
	m.Faces[0].Steps[6].Product = &light
	_, err := Reckon(&survey.Survey{}, &setout.SetOut{}, m, j, smallCatalog())
	if err == nil || !strings.Contains(err.Error(), "products/primer/spread") || !strings.Contains(err.Error(), "products/glaze/density") {
		t.Errorf("error %v", err)
	}
}

// anyMethod draws a job of a few rooms.
func anyMethod(t *rapid.T) *method.Method {
	m := &method.Method{}
	for i := range rapid.IntRange(1, 6).Draw(t, "faces") {
		f := coats(rapid.SampledFrom([]string{"Hall", "Attic"}).Draw(t, "room"), fmt.Sprint(i), unit.Area(rapid.Float64Range(0.1, 60).Draw(t, "area")),
			"one", rapid.SampledFrom([]*catalog.Substrate{rough, smooth, nil}).Draw(t, "substrate"))
		for k := range f.Steps {
			step := &f.Steps[k]
			if step.Kind == method.Glaze {
				step.Let.Parts = rapid.SampledFrom([]unit.Ratio{0.8, 0.1, 4}).Draw(t, "parts")
				step.Colour = rapid.SampledFrom([]job.Colour{chalk, umber}).Draw(t, "colour")
			}
		}
		m.Faces = append(m.Faces, f)
	}
	return m
}

// totals adds up what does not depend on the order of faces or on how a wall is parted.
func totals(q *Quantities) map[string]float64 {
	sums := map[string]float64{}
	for _, m := range q.Mixes {
		key := fmt.Sprint(m.Product.ID, m.Colour.Name, m.Parts)
		sums[key+" laid low"] += float64(m.Laid.Low)
		sums[key+" laid"] += float64(m.Laid.Likely)
		sums[key+" ready high"] += float64(m.Ready.High)
		sums[key+" stock"] += float64(m.Stock)
		sums[key+" film"] += float64(m.DryFilm)
	}
	for _, b := range q.Purchases {
		sums["buy "+b.Product.ID+b.Colour.Name] += b.Need
	}
	return sums
}

func sameTotals(t *rapid.T, what string, a, b map[string]float64) {
	if len(a) != len(b) {
		t.Fatalf("%s: %d figures and %d", what, len(a), len(b))
	}
	for key, v := range a {
		if !near(v, b[key]) {
			t.Fatalf("%s: %s is %v and %v", what, key, v, b[key])
		}
	}
}

func TestConservation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := anyMethod(t)
		before, _ := json.Marshal(m)
		q, err := Reckon(&survey.Survey{}, &setout.SetOut{}, m, &job.Job{}, smallCatalog())
		if err != nil {
			t.Fatal(err)
		}
		bought := map[string]float64{}
		uses := 0
		for _, mix := range q.Mixes {
			var laid unit.Range[unit.Volume]
			area := 0.0
			stocks := mix.Reserve / unit.Volume(1+mix.Parts)
			for _, u := range mix.Uses {
				laid = laid.Plus(u.Laid)
				stocks += u.Stock
				area += float64(u.Area)
				if !u.Laid.Ordered() || u.Lifted.High > u.Laid.High {
					t.Fatalf("%s: %+v", mix.ID, u)
				}
			}
			uses += len(mix.Uses)
			lost := float64(mix.Loss) * float64(mix.Ready.Likely-mix.Reserve)
			switch {
			case !near(float64(laid.Likely), float64(mix.Laid.Likely)) || !near(float64(laid.High), float64(mix.Laid.High)):
				t.Fatalf("%s: uses lay %v, mix %v", mix.ID, laid, mix.Laid)
			case !near(float64(stocks), float64(mix.Stock)):
				t.Fatalf("%s: the parts of the walls and the reserve are %v, the batch %v", mix.ID, stocks, mix.Stock)
			case !near(float64(mix.Stock+mix.Thin), float64(mix.Ready.Likely)):
				t.Fatalf("%s: %v of product and %v of thinner make %v", mix.ID, mix.Stock, mix.Thin, mix.Ready.Likely)
			case !near(float64(laid.Likely)+lost+float64(mix.Reserve), float64(mix.Ready.Likely)):
				t.Fatalf("%s: laid %v, lost %v, kept %v, made %v", mix.ID, laid.Likely, lost, mix.Reserve, mix.Ready.Likely)
			// Thinner leaves no film: the product alone gives the same one (ISO 3233-3).
			case !near(float64(mix.DryFilm), 1000*float64(laid.Likely)/(1+float64(mix.Parts))*mix.Product.Solids.Likely/area):
				t.Fatalf("%s: film %v", mix.ID, mix.DryFilm)
			case !mix.Ready.Ordered() || mix.Ready.Low < mix.Laid.Low:
				t.Fatalf("%s: ready %v", mix.ID, mix.Ready)
			}
			stock := mix.Stock
			if mix.Product.Tinted {
				stock = mix.Ready.High / unit.Volume(1+mix.Parts)
			}
			bought[mix.Product.ID+mix.Colour.Name] += float64(stock)
			if mix.Thinner != nil {
				bought[mix.Thinner.ID] += float64(mix.Thin)
			}
		}
		if uses != 6*len(m.Faces) {
			t.Fatalf("%d uses on %d faces of six coats", uses, len(m.Faces))
		}
		for _, b := range q.Purchases {
			need := bought[b.Product.ID+b.Colour.Name]
			if b.Unit == "kg" {
				need *= b.Product.Density.Likely
			}
			if !near(b.Need, need) || b.Need < b.Likely-1e-9 {
				t.Fatalf("%s %s: need %v, mixes ask for %v", b.Product.ID, b.Colour.Name, b.Need, need)
			}
		}
		if after, _ := json.Marshal(m); string(after) != string(before) {
			t.Fatal("the input was changed")
		}
	})
}

func TestOrderAndPartingOfWallsDoNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := anyMethod(t)
		reckon := func(m *method.Method) map[string]float64 {
			q, err := Reckon(&survey.Survey{}, &setout.SetOut{}, m, &job.Job{}, smallCatalog())
			if err != nil {
				t.Fatal(err)
			}
			return totals(q)
		}
		want := reckon(m)
		turned := &method.Method{Faces: rapid.Permutation(m.Faces).Draw(t, "order")}
		sameTotals(t, "another order", want, reckon(turned))
		parted := &method.Method{}
		share := unit.Area(rapid.Float64Range(0.01, 0.99).Draw(t, "share"))
		for _, f := range m.Faces {
			left, right := f, f
			right.ID += " right"
			left.Steps, right.Steps = slices.Clone(f.Steps), slices.Clone(f.Steps)
			for k := range f.Steps {
				left.Steps[k].Area *= share
				right.Steps[k].Area -= left.Steps[k].Area
				right.Steps[k].ID += " right"
			}
			parted.Faces = append(parted.Faces, left, right)
		}
		sameTotals(t, "walls in two parts", want, reckon(parted))
	})
}
