package quantity

import (
	"strings"
	"testing"

	"scumble/catalog"
	"scumble/job"
	"scumble/method"
	"scumble/setout"
	"scumble/survey"
	"scumble/unit"
)

func good(id, unit, per string, use float64) *catalog.Good {
	return &catalog.Good{ID: id, Name: id, Unit: unit, Per: per, Use: exactly(use, unit)}
}

func tool(id, per string, use float64) *catalog.Good {
	g := good(id, "each", per, use)
	g.Tool = true
	return g
}

// furnished is two rooms (hall with two walls, attic with one) where the glaze, the
// protection and the marking use the goods given.
func furnished(onGlaze, onRoom []*catalog.Good) (*survey.Survey, *setout.SetOut, *method.Method) {
	m := &method.Method{Faces: []method.Face{
		coats("Hall", "North", 20, "one", smooth), coats("Hall", "East", 8, "one", smooth), coats("Attic", "North", 12, "two", smooth)}}
	s, so := &survey.Survey{Rooms: []survey.Room{{Name: "Hall", FloorStrip: 9}, {Name: "Attic", FloorStrip: 5}}}, &setout.SetOut{}
	edges := []unit.Length{16000, 10000, 12500}
	sheets := []int{30, 12, 0}
	for i := range m.Faces {
		f := &m.Faces[i]
		glaze := &f.Steps[6]
		glaze.Crew = 2
		glaze.Goods = onGlaze
		f.Steps = append(f.Steps, method.Step{ID: f.ID + "#mark", Rule: "mark", Kind: method.Mark, Face: f.ID, Room: f.Room, Over: "joints", Length: 7500, Crew: 1, Goods: onGlaze})
		room := &s.Rooms[i/2]
		room.Walls = append(room.Walls, survey.Wall{ID: f.ID, Faces: []survey.Face{{ID: f.ID, Net: f.Steps[0].Area, Edges: survey.Edges{Ceiling: edges[i]}}}})
		so.Faces = append(so.Faces, setout.Face{ID: f.ID, Sheets: &setout.Sheets{Good: "paper", Need: sheets[i]}})
	}
	for i := range s.Rooms {
		name := s.Rooms[i].Name
		m.Rooms = append(m.Rooms, method.Room{Name: name, Steps: []method.Step{
			{ID: name + "#protect", Kind: method.Protect, Room: name, Over: "room", Area: s.Rooms[i].FloorStrip, Crew: 1, Goods: onRoom}}})
	}
	return s, so, m
}

func crewOf(n int) job.Crew { return job.Crew{People: make([]job.Person, n)} }

func TestGoodsByHand(t *testing.T) {
	rags := good("rags", "each", "field-m2", 0)
	rags.Life = &catalog.Figure{Low: 5, Likely: 7, High: 9, Unit: "m2"}
	onGlaze := []*catalog.Good{
		good("pencil", "each", "job", 2), good("gloves", "each", "person", 3), good("cloth", "each", "room", 1.5), good("corner-paper", "sheet", "face", 4),
		good("abrasive", "sheet", "field-m2", 0.1), good("strip-tape", "m", "joint-m", 1.1), good("paper", "sheet", "sheet", 1), good("label", "each", "mix", 2), rags}
	onRoom := []*catalog.Good{good("masking-tape", "m", "edge-m", 1.1), good("film", "m2", "floor-m2", 1.2), good("corner-tape", "m", "face", 6)}
	s, so, m := furnished(onGlaze, onRoom)
	j := &job.Job{Crew: crewOf(4), Prices: job.Prices{Goods: []job.GoodPrice{
		{Good: "masking-tape", Pack: 50, Price: job.Money{Value: 400}},
		{Good: "film", Pack: 10, Price: job.Money{Value: 700}}, {Good: "film", Pack: 50, Price: job.Money{Value: 1300}},
		{Good: "pencil", Pack: 1, Price: job.Money{Value: 100}, Have: true}}}}
	q, err := Reckon(s, so, m, j, smallCatalog())
	if err != nil {
		t.Fatal(err)
	}
	lines := map[string]Goods{}
	for i, g := range q.Goods {
		lines[g.Good.ID] = g
		if i > 0 && q.Goods[i-1].Good.ID >= g.Good.ID {
			t.Error("goods are not in order")
		}
		if g.Reason == "" || strings.Contains(g.Reason, "\n") {
			t.Errorf("%s: reason %q", g.Good.ID, g.Reason)
		}
	}
	for id, want := range map[string]float64{
		"pencil": 2, "gloves": 4 * 3, "cloth": 2 * 1.5, "corner-paper": 3 * 4,
		"abrasive":   4, // 40 m2 of glaze at a tenth of a sheet; marking goes over no area
		"strip-tape": 3 * 7.5 * 1.1,
		"paper":      42,
		"label":      2, // one mix of glaze
		"rags":       6, // 40 m2 at 7 m2 a set
		// the room's tape: 38.5 m of edge; film: 14 m2 of floor
		"masking-tape": 38.5 * 1.1, "film": 14 * 1.2, "corner-tape": 18,
	} {
		if got := lines[id].Need; !near(got, want) {
			t.Errorf("%s: need %v, want %v (%s)", id, got, want, lines[id].Reason)
		}
	}
	// 2.5 L laid, 40 % lifted, in six sets: 167 mL each.
	if r := lines["rags"].Reason; !strings.Contains(r, "about 167\u00a0mL") {
		t.Errorf("rags: %s", r)
	}
	if g := lines["masking-tape"]; g.Packs != 1 || g.Cost != 400 || !g.Priced {
		t.Errorf("42.35 m of tape in rolls of 50 m: %+v", g)
	}
	// 16.8 m2 of film: two packs of 10 at 7.00 are dearer than one of 50 at 13.00.
	if g := lines["film"]; g.Packs != 1 || g.PackOf != 50 || g.Cost != 1300 {
		t.Errorf("film: %+v", g)
	}
	if g := lines["pencil"]; g.Cost != 0 || !g.Priced || g.Packs != 0 {
		t.Errorf("pencils the crew owns: %+v", g)
	}
	if g := lines["gloves"]; g.Priced {
		t.Errorf("gloves have no price: %+v", g)
	}
}

func TestToolsAtOnce(t *testing.T) {
	worn := tool("worn", "job", 1)
	worn.Life = &catalog.Figure{Low: 10, Likely: 15, High: 20, Unit: "m2"}
	onGlaze := []*catalog.Good{tool("bucket", "mix", 1), tool("tray", "person", 1), tool("comb", "job", 2), tool("lamp", "room", 1), tool("line", "face", 1), worn}
	for _, c := range []struct {
		people int
		want   map[string]int
	}{
		{1, map[string]int{"bucket": 1, "tray": 2, "comb": 2, "lamp": 1, "line": 1, "worn": 3}}, // 40 m2 at 15 m2
		{2, map[string]int{"bucket": 1, "tray": 2, "comb": 2, "lamp": 1, "line": 1, "worn": 3}},
		{5, map[string]int{"bucket": 1, "tray": 4, "comb": 2, "lamp": 2, "line": 2, "worn": 3}}, // two pairs
		{9, map[string]int{"bucket": 1, "tray": 6, "comb": 2, "lamp": 2, "line": 3, "worn": 3}}, // four pairs, three walls, two rooms
	} {
		s, so, m := furnished(nil, nil)
		for i := range m.Faces {
			m.Faces[i].Steps[6].Tools = onGlaze
		}
		j := &job.Job{Crew: crewOf(c.people), Prices: job.Prices{Goods: []job.GoodPrice{
			{Good: "comb", Pack: 1, Price: job.Money{Value: 900}}, {Good: "tray", Have: true}}}}
		q, err := Reckon(s, so, m, j, smallCatalog())
		if err != nil {
			t.Fatal(err)
		}
		if len(q.Tools) != len(c.want) || len(q.Goods) != 0 {
			t.Fatalf("tools %+v, goods %+v", q.Tools, q.Goods)
		}
		for _, g := range q.Tools {
			if g.Count != c.want[g.Good.ID] || g.Reason == "" {
				t.Errorf("%d people, %s: %d (%s), want %d", c.people, g.Good.ID, g.Count, g.Reason, c.want[g.Good.ID])
			}
			if g.Good.ID == "comb" && (g.Cost != 1800 || g.Have) || g.Good.ID == "tray" && (g.Cost != 0 || !g.Have) {
				t.Errorf("%s costs %d, have %v", g.Good.ID, g.Cost, g.Have)
			}
		}
	}
}
