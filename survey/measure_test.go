package survey

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"scumble/geom"
	"scumble/job"
	"scumble/unit"
)

func mm(v float64) job.Length { return job.Length{Text: fmt.Sprint(v), Value: unit.Length(v)} }

func outline(xy ...float64) []job.Corner {
	var c []job.Corner
	for i := 0; i < len(xy); i += 2 {
		c = append(c, job.Corner{X: mm(xy[i]), Y: mm(xy[i+1])})
	}
	return c
}

func oneRoom(walls ...job.Wall) *job.Job {
	return &job.Job{Rooms: []job.Room{{Name: "R", Height: mm(2700), Walls: walls}}}
}

// stands are common heights of reach; the tests only need three of them.
var stands = Reaches{Floor: 2000, Steps: 2600, Platform: 4000}

func measured(t *testing.T, j *job.Job) *Survey {
	t.Helper()
	s, problems := Measure(j, stands)
	for _, p := range problems {
		t.Errorf("%s: %s; %s", p.Path, p.What, p.Do)
	}
	if t.Failed() {
		t.FailNow()
	}
	return s
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s = %v, want %v", what, got, want)
	}
}

// door and window as in most rooms.
func door(left float64) job.Opening {
	return job.Opening{Name: "Door", Kind: "door", Left: mm(left), Sill: mm(0), Width: mm(900), Height: mm(2100), Reveal: mm(150), Paint: []string{"sides", "head"}}
}

// Worked by hand: 5 000 x 2 700, skirting 120, cornice 80, door 900 x 2100 at 600,
// window 1200 x 1000 at 2500, sill 900.
func TestPlainWallByHand(t *testing.T) {
	window := job.Opening{Name: "Window", Kind: "window", Left: mm(2500), Sill: mm(900), Width: mm(1200), Height: mm(1000), Reveal: mm(200), Paint: []string{"sides", "head", "sill"}}
	s := measured(t, oneRoom(job.Wall{Name: "North", Length: mm(5000), Skirting: mm(120), Cornice: mm(80), Finish: "f", Openings: []job.Opening{door(600), window}}))
	f := s.Rooms[0].Walls[0].Faces[0]
	if f.ID != "R/North" {
		t.Errorf("id %q", f.ID)
	}
	// 5.0 x 2.5 - 0.9 x (2.1 - 0.12) - 1.2 x 1.0 = 12.5 - 1.782 - 1.2
	near(t, "net", float64(f.Net), 9.518, 1e-9)
	// door 2 x 2.1 x 0.15 + 0.9 x 0.15 = 0.765; window 4.4 x 0.2 = 0.88
	near(t, "reveals", float64(f.Reveals), 0.765+0.88, 1e-9)
	near(t, "ceiling", float64(f.Edges.Ceiling), 5000, 1e-6)
	near(t, "skirting", float64(f.Edges.Skirting), 4100, 1e-6)
	near(t, "corners", float64(f.Edges.Corners), 5000, 1e-6)
	// door 2 x 1980 + 900; window 4400
	near(t, "openings", float64(f.Edges.Openings), 4860+4400, 1e-6)
	// floor: to 2000: 5.0 x 1.88 - 0.9 x 1.88 - 1.2 = 6.508; steps: 2000..2600 less door 0.09
	near(t, "floor", float64(f.Reach[0].Area), 9.4-1.692-1.2, 1e-9)
	near(t, "steps", float64(f.Reach[1].Area), 3.0-0.09, 1e-9)
	near(t, "platform", float64(f.Reach[2].Area), 0.1, 1e-9)
	near(t, "floor strip", float64(s.Rooms[0].FloorStrip), 5, 1e-9)
}

// Worked by hand: dado top 1000, rail 90, skirting 150, wall 4000 x 2700 with a door.
func TestDadoPartsTheWall(t *testing.T) {
	j := oneRoom(job.Wall{Name: "W", Length: mm(4000), Skirting: mm(150), Finish: "up", Dado: &job.Dado{Height: mm(1000), Rail: mm(90), Finish: "low"}, Openings: []job.Opening{door(500)}})
	w := measured(t, j).Rooms[0].Walls[0]
	if len(w.Faces) != 2 || w.Faces[0].ID != "R/W" || w.Faces[1].ID != "R/W, dado" || w.Faces[1].Finish != "low" {
		t.Fatalf("faces %+v", w.Faces)
	}
	up, low := w.Faces[0], w.Faces[1]
	near(t, "above", float64(up.Net), 4*1.7-0.9*1.1, 1e-9)
	near(t, "below", float64(low.Net), (4-0.9)*0.76, 1e-9)
	near(t, "reveal above", float64(up.Reveals), (2*1.1+0.9)*0.15, 1e-9)
	near(t, "reveal below", float64(low.Reveals), 2*1.0*0.15, 1e-9)
	near(t, "dado edge above", float64(up.Edges.Dado), 3100, 1e-6)
	near(t, "dado edge below", float64(low.Edges.Dado), 3100, 1e-6)
	near(t, "skirting below", float64(low.Edges.Skirting), 3100, 1e-6)
	near(t, "no skirting above", float64(up.Edges.Skirting), 0, 1e-6)
	j.Rooms[0].Walls[0].Dado.Finish = ""
	if f := measured(t, j).Rooms[0].Walls[0].Faces; len(f) != 1 || f[0].ID != "R/W" {
		t.Errorf("a dado without finish has faces %+v", f)
	}
}

// A gable 4000 wide, 2000 at the eaves, ridge 4000 in the middle, round window of
// 800: area 4 x 2 + 4 x 2 / 2 - pi 0.4^2.
func TestGableWithRoundWindow(t *testing.T) {
	round := job.Opening{Name: "Eye", Kind: "window", Shape: "round", Left: mm(1600), Sill: mm(2200), Width: mm(800), Reveal: mm(250), Paint: []string{"sides"}}
	f := measured(t, oneRoom(job.Wall{Name: "G", Length: mm(4000), Height: mm(2000), Ridge: &job.Ridge{At: mm(2000), Height: mm(4000)}, Finish: "f", Openings: []job.Opening{round}})).Rooms[0].Walls[0].Faces[0]
	near(t, "net", float64(f.Net), 12-math.Pi*0.16, 1e-9)
	near(t, "reveal", float64(f.Reveals), math.Pi*0.8*0.25, 1e-9)
	near(t, "ceiling", float64(f.Edges.Ceiling), 2*math.Hypot(2000, 2000), 1e-6)
	near(t, "round the window", float64(f.Edges.Openings), math.Pi*800, 5)
}

// Half a circle over a door 1000 wide and 2300 high: 1.0 x 1.8 + pi 0.5^2 / 2; head
// pi x 0.5.
func TestArch(t *testing.T) {
	arch := job.Opening{Name: "Arch", Kind: "door", Shape: "arch", Left: mm(1000), Width: mm(1000), Height: mm(2300), Reveal: mm(100), Paint: []string{"sides", "head", "sill"}}
	s := measured(t, oneRoom(job.Wall{Name: "W", Length: mm(4000), Finish: "f", Openings: []job.Opening{arch}}))
	w := s.Rooms[0].Walls[0]
	near(t, "opening", float64(w.Openings[0].Area), 1.8+math.Pi*0.125, 1e-9)
	near(t, "net", float64(w.Faces[0].Net), 4*2.7-1.8-math.Pi*0.125, 1e-9)
	near(t, "reveal", float64(w.Faces[0].Reveals), (2*1.8+math.Pi*0.5)*0.1, 1e-9)
	if len(s.Warnings) != 1 || !strings.Contains(s.Warnings[0].What, "no sill") {
		t.Errorf("warnings %+v", s.Warnings)
	}
}

// A stair wall that climbs 2000 in 4000, 2500 high measured plumb: skirting 100
// square to the slope takes 100 / cos off the height.
func TestStairWall(t *testing.T) {
	w := job.Wall{Name: "Stair", Outline: outline(0, 0, 4000, 2000, 4000, 4500, 0, 2500), Skirting: mm(100), Cornice: mm(50), Finish: "f"}
	f := measured(t, oneRoom(w)).Rooms[0].Walls[0].Faces[0]
	cos := 4 / math.Hypot(4, 2)
	near(t, "net", float64(f.Net), 4*(2.5-0.15/cos), 1e-6)
	near(t, "skirting", float64(f.Edges.Skirting), math.Hypot(4000, 2000), 1e-3)
	near(t, "ceiling", float64(f.Edges.Ceiling), math.Hypot(4000, 2000), 1e-3)
	// From the treads up: 2000 from the floor, the rest from a platform: nobody
	// stands steps on a stair.
	near(t, "floor", float64(f.Reach[0].Area), 4*(2-0.1/cos), 1e-6)
	if len(f.Reach) != 2 || f.Reach[1].From != "platform" {
		t.Fatalf("reach %+v", f.Reach)
	}
	near(t, "platform", float64(f.Reach[1].Area), 4*(0.5-0.05/cos), 1e-6)
}

// A landing, then the stair: two lower edges meet at an angle, so the skirting is
// mitred; the band of a bent line has the area of its middle line.
func TestSkirtingIsMitredOverAKnee(t *testing.T) {
	w := job.Wall{Name: "S", Outline: outline(0, 0, 1000, 0, 4000, 3000, 4000, 5500, 0, 5500), Skirting: mm(100), Finish: "f",
		Dado: &job.Dado{Height: mm(1000), Rail: mm(100), Finish: "g"}}
	wall := measured(t, oneRoom(w)).Rooms[0].Walls[0]
	// Lower field: plumb height 900 over the edge, less the skirting band: on the
	// level 1.0 x 0.1, on the slope 3 sqrt2 x 0.1 less half a square of the plumb
	// end (45 degrees), both shortened by the mitre tan(22.5) x 0.1 x 0.1 / 2.
	half := math.Tan(math.Pi/8) * 0.01 / 2
	skirt := 0.1 - half + 3*math.Sqrt2*0.1 - half + 0.01/2
	near(t, "below", float64(wall.Faces[1].Net), 4*0.9-skirt, 1e-6)
	near(t, "above", float64(wall.Faces[0].Net), wall.Outline.Area()/1e6-4*1.0, 1e-6)
	near(t, "dado edge", float64(wall.Faces[1].Edges.Dado), 1000+3000*math.Sqrt2, 1e-3)
	near(t, "dado edge above", float64(wall.Faces[0].Edges.Dado), 1000+3000*math.Sqrt2, 1e-3)
}

func TestLeanMovesTheTop(t *testing.T) {
	s := measured(t, oneRoom(job.Wall{Name: "N", Length: mm(4000), LeanLeft: mm(-6), LeanRight: mm(4), Finish: "f"}))
	w := s.Rooms[0].Walls[0]
	want := geom.Polygon{{X: 0, Y: 0}, {X: 4000, Y: 0}, {X: 3996, Y: 2700}, {X: -6, Y: 2700}}
	if fmt.Sprint(w.Outline) != fmt.Sprint(want) {
		t.Errorf("outline %v, want %v", w.Outline, want)
	}
	near(t, "net", float64(w.Faces[0].Net), 2.7*4.001, 1e-9)
}

func TestCornersLinkTheWalls(t *testing.T) {
	j := oneRoom(job.Wall{Name: "a", Length: mm(3000)}, job.Wall{Name: "b", Length: mm(4000), Corner: "external"}, job.Wall{Name: "c", Length: mm(3500), Corner: "open"}, job.Wall{Name: "d", Length: mm(4000)})
	w := measured(t, j).Rooms[0].Walls
	got := ""
	for _, x := range w {
		got += x.Previous + ">" + x.Name + ">" + x.Next + " " + x.Corner + "; "
	}
	if want := ">a>R/b internal; R/a>b>R/c external; R/b>c> open; >d> open; "; got != want {
		t.Errorf("open room\n got %s\nwant %s", got, want)
	}
	j.Rooms[0].Closed = true
	s := measured(t, j)
	if w := s.Rooms[0].Walls; w[3].Next != "R/a" || w[0].Previous != "R/d" || w[2].Next != "" {
		t.Errorf("closed room %+v", w)
	}
	// 14.5 m round, one internal corner a square less, one external a square more,
	// the last internal one a square less.
	near(t, "floor strip", float64(s.Rooms[0].FloorStrip), 14.5-1+1-1, 1e-9)
}

func TestDefaultsComeFromRoomAndJob(t *testing.T) {
	j := oneRoom(job.Wall{Name: "a", Length: mm(3000), Finish: "f"})
	j.Climate = job.Climate{Temp: job.Temp{Text: "19", Value: 19}, Humidity: job.Humidity{Text: "50 %", Value: 0.5}}
	j.Rooms[0].Climate.Temp = job.Temp{Text: "16", Value: 16}
	j.Rooms[0].Skirting, j.Rooms[0].Substrate = mm(90), "lime-plaster"
	s := measured(t, j)
	r, w := s.Rooms[0], s.Rooms[0].Walls[0]
	if r.Climate.Temp.Value != 16 || r.Climate.Humidity.Value != 0.5 || w.Skirting != 90 || w.Substrate != "lime-plaster" || w.Seen != 3 || w.Height != 2700 {
		t.Errorf("room %+v", r)
	}
	if _, _, f := s.FaceByID("R/a"); f == nil || f.Painted() != f.Net {
		t.Errorf("face %+v", f)
	}
}

func TestNothingToMeasure(t *testing.T) {
	for _, j := range []*job.Job{nil, {}, {Rooms: []job.Room{{}}}} {
		if s, problems := Measure(j, Reaches{}); s == nil || len(problems) != 0 {
			t.Errorf("%v: %v %v", j, s, problems)
		}
	}
}
