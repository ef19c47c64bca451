package price

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"
	"scumble/catalog"
	"scumble/job"
	"scumble/survey"
	"scumble/unit"
)

func rules(t rapid.TB) map[string]*catalog.MeasuringRule {
	t.Helper()
	c, err := catalog.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	return c.Rules
}

func typed[T ~float64](v float64) job.Typed[T] {
	return job.Typed[T]{Text: fmt.Sprint(v), Value: T(v)}
}

func mm(v float64) job.Length { return typed[unit.Length](v) }

var reach = survey.Reaches{Floor: 2000, Steps: 2900, Platform: 4000}

// opening makes an opening of the worked room; all its sides but a door's sill are painted.
func opening(name, kind string, left, sill, width, height float64, paint ...string) job.Opening {
	return job.Opening{Name: name, Kind: kind, Left: mm(left), Sill: mm(sill), Width: mm(width), Height: mm(height), Reveal: mm(200), Paint: paint}
}

// workedRoom is a room of 5.00 x 4.00 x 3.00 m, worked by hand under every rule.
func workedRoom(openings ...job.Opening) *job.Job {
	wall := func(name string, length float64) job.Wall {
		return job.Wall{Name: name, Length: mm(length), Finish: "f"}
	}
	j := &job.Job{Rooms: []job.Room{{Name: "Room", Closed: true, Height: mm(3000),
		Walls: []job.Wall{wall("A", 5000), wall("B", 4000), wall("C", 5000), wall("D", 4000)}}}}
	for i, o := range openings {
		w := &j.Rooms[0].Walls[i%4]
		w.Openings = append(w.Openings, o)
	}
	return j
}

func measured(t rapid.TB, j *job.Job) *survey.Survey {
	t.Helper()
	s, problems := survey.Measure(j, reach)
	if len(problems) > 0 {
		t.Fatalf("%+v", problems)
	}
	return s
}

// sum measures every face and adds the paid areas without and with reveals.
func sum(rule *catalog.MeasuringRule, s *survey.Survey) (walls, reveals PaidArea) {
	for r := range s.Rooms {
		for w := range s.Rooms[r].Walls {
			wall := &s.Rooms[r].Walls[w]
			for f := range wall.Faces {
				m, _ := Measure(rule, wall, &wall.Faces[f])
				walls += m.Paid - m.Reveals
				reveals += m.Reveals
			}
		}
	}
	return walls, reveals
}

func same(a PaidArea, b float64) bool { return math.Abs(float64(a)-b) < 1e-9 }

// The worked room, every row: areas by hand from the clauses.
func TestWorkedRoom(t *testing.T) {
	rules := rules(t)
	three := func(other float64) *job.Job {
		j := workedRoom(
			opening("door", "door", 1000, 0, 1000, 2100, "sides", "head"),
			opening("window", "window", 1000, 900, 1500, 1200, "sides", "head"),
			opening("vent", "hatch", 1000, 2000, 600, 600, "sides", "head", "sill"))
		for w := range 3 {
			j.Rooms[0].Walls[w].Openings[0].Other = mm(other)
			j.Rooms[0].Walls[w].Openings[0].Beyond = "different"
		}
		return j
	}
	big := workedRoom(opening("double door", "door", 1000, 0, 2400, 2100, "sides", "head"))
	for _, c := range []struct {
		name, rule     string
		job            *job.Job
		walls, reveals float64
	}{
		{"DIN, three openings", "din-18363-2006", three(0), 54.00, 1.04 + 0.78 + 0.48},
		{"DIN, big opening", "din-18363-2006", big, 48.96, 1.32},
		{"IS, narrower reveal on the room side", "is-1200-13", three(300), 50.10, 0},
		{"IS, wider reveal on the room side", "is-1200-13", three(100), 54.00, 0},
		{"IS, big opening", "is-1200-13", big, 48.96, 1.32},
		{"void 0.5, three openings", "void-0-5", three(0), 50.10, 0},
		{"void 0.5, big opening", "void-0-5", big, 48.96, 0},
		{"void 1.0, three openings", "void-1-0", three(0), 50.10, 0},
		{"void 1.0, big opening", "void-1-0", big, 48.96, 0},
		{"solid, three openings", "solid", three(0), 54.00, 0},
		{"solid, big opening", "solid", big, 54.00, 0},
	} {
		s := measured(t, c.job)
		if w, r := sum(rules[c.rule], s); !same(w, c.walls) || !same(r, c.reveals) {
			t.Errorf("%s: %v and reveals %v, want %v and %v", c.name, w, r, c.walls, c.reveals)
		}
	}
	// painted net, no reveals
	for _, c := range []struct {
		job  *job.Job
		want float64
	}{{three(0), 49.74}, {big, 48.96}} {
		net := unit.Area(0)
		s := measured(t, c.job)
		for _, w := range s.Rooms[0].Walls {
			for _, f := range w.Faces {
				net += f.Net
			}
		}
		if math.Abs(float64(net)-c.want) > 1e-9 {
			t.Errorf("painted net %v, want %v", net, c.want)
		}
	}
	// 54.00 m2 are 581.3 square feet, 5.81 squares of 100
	if feet := 54.00 / (0.3048 * 0.3048); math.Abs(feet-581.3) > 0.06 {
		t.Errorf("%v square feet", feet)
	}
}

// One wall of 5 x 3 m, both faces with the same finish, by hand.
func TestBothFacesOfOneWall(t *testing.T) {
	is := rules(t)["is-1200-13"]
	pair := func(width, height float64, paint ...string) *survey.Survey {
		j := &job.Job{}
		for i, room := range []string{"Here", "There"} {
			o := opening("door", "door", 1000, 0, width, height)
			o.Beyond, o.Other = "same", o.Reveal
			if i == 0 {
				o.Paint = paint
			}
			j.Rooms = append(j.Rooms, job.Room{Name: room, Height: mm(3000), Walls: []job.Wall{{Name: "W", Length: mm(5000), Finish: "f", Corner: "open", Openings: []job.Opening{o}}}})
		}
		return measured(t, j)
	}
	if w, r := sum(is, pair(1000, 2100)); !same(w, 27.90) || r != 0 {
		t.Errorf("door 2.10: %v and %v, want 27.90", w, r)
	}
	if w, r := sum(is, pair(2400, 2100, "sides", "head")); !same(w+r, 21.24) {
		t.Errorf("door 5.04: %v and %v, want 21.24", w, r)
	}
}

// One opening of the given size in a wall of 5 x 3 m, on the side of the narrower reveal.
func TestBoundaries(t *testing.T) {
	rules := rules(t)
	for _, c := range []struct {
		rule          string
		width, height float64
		off           float64
	}{
		{"is-1200-13", 1000, 500, 0}, // 0.50
		{"is-1200-13", 1020, 500, 0.51},
		{"is-1200-13", 1500, 2000, 3.00}, // middle class
		{"is-1200-13", 1400, 2150, 3.01}, // top class, reveals too
		{"din-18363-2006", 1250, 2000, 0},
		{"din-18363-2006", 1255, 2000, 2.52}, // 1.26 after rounding to the centimetre
		{"din-18363-2006", 1254, 2000, 0},
		{"void-0-5", 1000, 500, 0},
		{"void-0-5", 900, 900, 0.81},
		{"void-1-0", 900, 900, 0},
		{"void-1-0", 1000, 1000, 0},
		{"void-1-0", 1010, 1000, 1.01},
		{"solid", 2000, 2500, 0},
	} {
		o := opening("o", "window", 1000, 400, c.width, c.height, "sides", "head", "sill")
		o.Other, o.Beyond = mm(300), "different"
		s := measured(t, &job.Job{Rooms: []job.Room{{Name: "R", Height: mm(3000), Walls: []job.Wall{{Name: "W", Length: mm(5000), Finish: "f", Corner: "open", Openings: []job.Opening{o}}}}}})
		w := &s.Rooms[0].Walls[0]
		m, warnings := Measure(rules[c.rule], w, &w.Faces[0])
		if len(warnings) > 0 || !same(m.Paid-m.Reveals, 15-c.off) || !same(m.Deducted[0].Taken, c.off) || m.Deducted[0].Why == "" {
			t.Errorf("%s, %v x %v: %+v, want %v off", c.rule, c.width, c.height, m, c.off)
		}
		if top := c.off == 3.01; c.rule == "is-1200-13" && (m.Reveals > 0) != top {
			t.Errorf("%s, %v x %v: reveals %v", c.rule, c.width, c.height, m.Reveals)
		}
	}
}

// The middle class of IS 1200-13, each case.
func TestMiddleClassByFaces(t *testing.T) {
	for _, c := range []struct {
		reveal, other unit.Length
		beyond        string
		share         float64
	}{
		{200, 200, "same", 0.5}, {200, 200, "different", 0.5}, {100, 200, "different", 1}, {200, 100, "different", 0},
		{100, 200, "same", 1}, {200, 100, "same", 0}, {100, 200, "none", 1}, {200, 100, "none", 0}, {100, 200, "", 1},
	} {
		share, why := byFaces(&survey.Opening{Reveal: c.reveal, Other: c.other, Beyond: c.beyond})
		if share != c.share || why == "" {
			t.Errorf("%+v: %v, %q", c, share, why)
		}
		// the two sides of one opening never lose more than the opening
		back, _ := byFaces(&survey.Opening{Reveal: c.other, Other: c.reveal, Beyond: c.beyond})
		if share+back != 1 {
			t.Errorf("%+v: both faces lose %v", c, share+back)
		}
	}
	s := measured(t, workedRoom(opening("window", "window", 1000, 900, 1500, 1200)))
	w := &s.Rooms[0].Walls[0]
	if _, warnings := Measure(rules(t)["is-1200-13"], w, &w.Faces[0]); len(warnings) != 1 || warnings[0].Do == "" {
		t.Errorf("nobody asks what lies beyond: %+v", warnings)
	}
}

func TestSkirtingDadoAndGable(t *testing.T) {
	rules := rules(t)
	one := func(w job.Wall) *survey.Survey {
		w.Name, w.Finish, w.Corner = "W", "f", "open"
		return measured(t, &job.Job{Rooms: []job.Room{{Name: "R", Height: mm(3000), Walls: []job.Wall{w}}}})
	}
	for _, c := range []struct {
		name, rule string
		wall       job.Wall
		want       float64
	}{
		{"skirting of 10 cm, DIN", "din-18363-2006", job.Wall{Length: mm(5000), Skirting: mm(100)}, 15.00},
		{"skirting of 11 cm, DIN", "din-18363-2006", job.Wall{Length: mm(5000), Skirting: mm(110)}, 14.45},
		{"skirting of 10 cm, IS", "is-1200-13", job.Wall{Length: mm(5000), Skirting: mm(100)}, 14.50},
		{"big door over a low skirting", "din-18363-2006", job.Wall{Length: mm(5000), Skirting: mm(100),
			Openings: []job.Opening{opening("d", "door", 1000, 0, 2000, 2000)}}, 11.00},
		{"big door, skirting out", "void-1-0", job.Wall{Length: mm(5000), Skirting: mm(100),
			Openings: []job.Opening{opening("d", "door", 1000, 0, 2000, 2000)}}, 14.50 - 3.80},
		{"gable by its true area", "din-18363-2006", job.Wall{Length: mm(4000), Height: mm(2000), Ridge: &job.Ridge{At: mm(2000), Height: mm(4000)}}, 12.00},
		{"dado: a door over both faces", "void-1-0", job.Wall{Length: mm(5000), Dado: &job.Dado{Height: mm(1000), Finish: "f"},
			Openings: []job.Opening{opening("d", "door", 1000, 0, 1000, 2000)}}, 13.00},
	} {
		if w, r := sum(rules[c.rule], one(c.wall)); !same(w, c.want) || r != 0 {
			t.Errorf("%s: %v and %v, want %v", c.name, w, r, c.want)
		}
	}
}

// Whatever the rule, a face pays no more than its outline and its reveals, never
// less than nothing, and measuring solid pays the most of the wall.
func TestMeasureBounds(t *testing.T) {
	rules := rules(t)
	rapid.Check(t, func(t *rapid.T) {
		f := func(name string, low, high int) float64 { return float64(rapid.IntRange(low, high).Draw(t, name)) }
		length, height := f("length", 1500, 8000), f("height", 2000, 4000)
		o := opening("o", rapid.SampledFrom([]string{"window", "niche"}).Draw(t, "kind"), f("left", 0, 700), f("sill", 0, 900), f("width", 50, 700), f("tall", 50, 1000), "sides", "head")
		o.Shape = rapid.SampledFrom([]string{"rect", "rect", "arch"}).Draw(t, "shape")
		if o.Shape == "arch" && o.Height.Value < o.Width.Value/2 {
			o.Shape = "rect"
		}
		o.Other = mm(f("other", 0, 400))
		o.Beyond = rapid.SampledFrom([]string{"", "same", "different", "none"}).Draw(t, "beyond")
		w := job.Wall{Name: "W", Length: mm(length), Finish: "f", Corner: "open", Openings: []job.Opening{o}, Skirting: mm(f("skirting", 0, 200))}
		s, problems := survey.Measure(&job.Job{Rooms: []job.Room{{Name: "R", Height: mm(height), Walls: []job.Wall{w}}}}, reach)
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		solid, _ := sum(rules["solid"], s)
		for id, rule := range rules {
			walls, reveals := sum(rule, s)
			if walls < 0 || reveals < 0 || id != "din-18363-2006" && walls > solid+1e-9 {
				t.Fatalf("%s: %v and %v, solid %v", id, walls, reveals, solid)
			}
			if cents := float64(walls+reveals) * 100; math.Abs(cents-math.Round(cents)) > 1e-6 {
				t.Fatalf("%s: %v is not in hundredths", id, walls)
			}
			if slack := 0.006*(length+height)/1000*2 + 0.02; math.Abs(float64(solid)-length*(height-float64(w.Skirting.Value))/1e6) > slack {
				t.Fatalf("solid %v of %v x %v", solid, length, height)
			}
		}
	})
}

func BenchmarkMeasure(b *testing.B) {
	s := measured(b, workedRoom(opening("door", "door", 1000, 0, 1000, 2100, "sides", "head")))
	rule := rules(b)["is-1200-13"]
	w := &s.Rooms[0].Walls[0]
	for b.Loop() {
		Measure(rule, w, &w.Faces[0])
	}
}
