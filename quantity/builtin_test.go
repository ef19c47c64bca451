package quantity

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"testing"

	"scumble/catalog"
	"scumble/geom"
	"scumble/job"
	"scumble/method"
	"scumble/setout"
	"scumble/survey"
	"scumble/unit"
)

// rooms is a job of n walls, four to a room, each room in the next technique of the
// catalog and the next of its glazes, in one of six colours.
func rooms(c *catalog.Catalog, n int) (*survey.Survey, *setout.SetOut, *job.Job) {
	j := &job.Job{Crew: crewOf(2), Building: job.Building{Built: 1990}}
	colours := []string{"Chalk", "Sage", "Umber", "Moss", "Pewter", "Rust"}
	ids := slices.Sorted(maps.Keys(c.Techniques))
	for i, id := range ids {
		for k, glaze := range c.Techniques[id].Glazes {
			at := func(n int) job.Colour { return job.Colour{Name: colours[(i+k+n)%len(colours)]} }
			j.Finishes = append(j.Finishes, job.Finish{ID: id + " " + glaze, Technique: id, With: glaze, Ground: at(0), GroundB: at(1), Glaze: at(2), GlazeB: at(3)})
		}
	}
	s, so := &survey.Survey{}, &setout.SetOut{}
	for r := 0; 4*r < n; r++ {
		name := fmt.Sprintf("Room %d", r+1)
		finish := &j.Finishes[r%len(j.Finishes)]
		room := survey.Room{Name: name, FloorStrip: 14}
		for w, side := range []string{"North", "East", "South", "West"} {
			length := unit.Length(3200 + 100*(r%9) + 50*w)
			outline := geom.Rect(0, 0, float64(length), 2600)
			face := survey.Face{ID: name + "/" + side, Wall: name + "/" + side, Room: name, Finish: finish.ID, Field: outline.Region(), Gross: outline,
				Net: unit.Rect(length, 2600), Edges: survey.Edges{Ceiling: length, Skirting: length, Corners: 5200},
				Reach: []survey.Reach{{From: "floor", Area: unit.Rect(length, 2000)}, {From: "steps", Area: unit.Rect(length, 600)}}}
			room.Walls = append(room.Walls, survey.Wall{ID: face.ID, Name: side, Length: length, Height: 2600, Substrate: "gypsum-plaster", Faces: []survey.Face{face}})
			placed := setout.Face{ID: face.ID, Group: -1}
			technique := c.Techniques[finish.Technique]
			if technique.Sheets != nil {
				placed.Sheets = &setout.Sheets{Good: technique.Sheets.Good, Need: 40}
			}
			so.Faces = append(so.Faces, placed)
			if technique.Strips {
				strips := setout.Strips{Face: face.ID, AreaA: face.Net / 2, AreaB: face.Net / 2}
				for x := length / 12; x < length-1; x += length / 12 {
					strips.Marks = append(strips.Marks, setout.Mark{Foot: x, Head: x})
				}
				so.Groups = append(so.Groups, setout.Group{Faces: []string{face.ID}, Options: []setout.Option{{Faces: []setout.Strips{strips}}}})
			}
		}
		s.Rooms = append(s.Rooms, room)
	}
	for _, id := range slices.Sorted(maps.Keys(c.Products)) {
		for _, size := range []float64{0.75, 1, 2.5, 5, 10} {
			j.Prices.Packs = append(j.Prices.Packs, job.Pack{Product: id, Size: fmt.Sprint(size, " L"), Litres: size,
				Price: job.Money{Text: "typed", Value: unit.Money(400 + 1500*size)}})
		}
	}
	return s, so, j
}

func planned(t testing.TB, c *catalog.Catalog, n int) (*method.Method, *Quantities) {
	t.Helper()
	s, so, j := rooms(c, n)
	m, err := method.Expand(s, so, j, c)
	if err != nil {
		t.Fatal(err)
	}
	q, err := Reckon(s, so, m, j, c)
	if err != nil {
		t.Fatal(err)
	}
	return m, q
}

func builtin(t testing.TB) *catalog.Catalog {
	t.Helper()
	c, err := catalog.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// TestBuiltinCatalog: every technique with every glaze in rooms of one size gives
// films and amounts of the right order.
func TestBuiltinCatalog(t *testing.T) {
	c := builtin(t)
	m, q := planned(t, c, 120)
	if len(m.Warnings)+len(q.Warnings) > 0 {
		t.Errorf("warnings %+v %+v", m.Warnings, q.Warnings)
	}
	ids := map[string]bool{}
	for _, mix := range q.Mixes {
		if ids[mix.ID] {
			t.Errorf("two mixes are called %s", mix.ID)
		}
		ids[mix.ID] = true
		// A coat of paint or glaze dries to 5 to 80 um (ASTM D1640 recommends
		// 12.5 to 45 um for paints and varnishes); a skim of filler to a quarter of a millimetre.
		low, high := unit.Film(5), unit.Film(80)
		if mix.Product.Role == catalog.RoleFiller {
			low, high = 60, 400
		}
		if mix.DryFilm < low || mix.DryFilm > high {
			t.Errorf("%s, %s: %v dry", mix.ID, mix.Product.ID, mix.DryFilm)
		}
		if (mix.Reserve > 0) != mix.Product.Tinted || (mix.Thin > 0) != (mix.Thinner != nil) || mix.StockMass <= 0 {
			t.Errorf("%s: %+v", mix.ID, mix)
		}
		if mix.Percent > 0 && mix.Percent < 1 && mix.Other == nil {
			t.Errorf("%s: the other reading of %v is missing", mix.ID, mix.Percent)
		}
	}
	for _, b := range q.Purchases {
		if b.Bought < b.Need-1e-9 || !b.Priced || b.Cost <= 0 || b.Reason == "" || b.Product.ID == "water" {
			t.Errorf("%s: %+v", b.Product.ID, b)
		}
	}
	found := map[string]bool{}
	for _, g := range q.Goods {
		found[g.Good.ID] = true
		if g.Need <= 0 || g.Reason == "" {
			t.Errorf("%s: %+v", g.Good.ID, g)
		}
	}
	for _, g := range q.Tools {
		if g.Count <= 0 || g.Reason == "" {
			t.Errorf("%s: %+v", g.Good.ID, g)
		}
	}
	for _, id := range []string{"masking-tape", "floor-film", "tissue-paper", "greaseproof-paper", "strip-tape"} {
		if !found[id] {
			t.Errorf("no %s among the goods", id)
		}
	}
}

func TestSameInputSameBytes(t *testing.T) {
	c := builtin(t)
	_, one := planned(t, c, 60)
	_, two := planned(t, c, 60)
	a, err := json.Marshal(one)
	if err != nil {
		t.Fatal(err)
	}
	if b, _ := json.Marshal(two); string(a) != string(b) {
		t.Error("two runs differ")
	}
}

func benchmarkPlan(b *testing.B, n int) {
	c := builtin(b)
	s, so, j := rooms(c, n)
	for b.Loop() {
		m, err := method.Expand(s, so, j, c)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := Reckon(s, so, m, j, c); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkExpandAndReckon10(b *testing.B)   { benchmarkPlan(b, 10) }
func BenchmarkExpandAndReckon100(b *testing.B)  { benchmarkPlan(b, 100) }
func BenchmarkExpandAndReckon1000(b *testing.B) { benchmarkPlan(b, 1000) }
