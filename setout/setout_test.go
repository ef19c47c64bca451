package setout

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"scumble/catalog"
	"scumble/job"
	"scumble/unit"
)

// ring is a closed room of weave walls of the given lengths, 2500 high.
func ring(lengths ...float64) *job.Job {
	room := job.Room{Name: "R", Closed: true, Height: mm(2500)}
	for i, l := range lengths {
		room.Walls = append(room.Walls, job.Wall{Name: fmt.Sprint("W", i+1), Length: mm(l), Finish: "weave", Seen: 3})
	}
	return &job.Job{Finishes: testFinishes(), Rooms: []job.Room{room}}
}

// single is one wall of 1000 x 2500 with strips of 250, no others.
func single(change func(w *job.Wall)) *job.Job {
	w := job.Wall{Name: "W", Length: mm(1000), Finish: "weave"}
	change(&w)
	j := &job.Job{Finishes: testFinishes(), Rooms: []job.Room{{Name: "R", Height: mm(2500), Walls: []job.Wall{w}}}}
	j.Finishes[0].Strips = job.Strips{Narrowest: mm(250), Wanted: mm(250), Widest: mm(250), Way: "each-wall"}
	return j
}

func feet(s Strips) string {
	list := []string{}
	for _, m := range s.Marks {
		list = append(list, fmt.Sprintf("%.0f%s%s", float64(m.Foot), m.Left, m.Right))
	}
	return strings.Join(list, " ")
}

func plain(s string) string { return strings.NewReplacer("\u202f", " ", "\u00a0", " ").Replace(s) }

// Ten metres round at 250 are 40 strips and a joint in every corner. As soon as a
// corner leans it is better to begin with half a strip: 125, 375, ...
func TestLeaningCornerMovesTheJointsOutOfTheCorners(t *testing.T) {
	j := ring(3000, 2000, 3000, 2000)
	j.Finishes[0].Strips.Wanted = mm(250)
	_, so := divided(t, j)
	if o := so.Groups[0].Options[0]; o.Way != "each-wall" || fmt.Sprint(o.PerFace) != "[12 8 12 8]" || o.Cost != 0 || !o.Closes {
		t.Errorf("plumb room: %s %v cost %v", o.Way, o.PerFace, o.Cost)
	}
	j.Rooms[0].Walls[0].LeanRight = mm(5)
	_, so = divided(t, j)
	o := so.Groups[0].Options[0]
	if o.Way != "round" || o.Count != 40 || o.Width != 250 || o.Phase != 125 || o.Cost != 0 {
		t.Fatalf("leaning corner: %s %d of %v from %v, cost %v", o.Way, o.Count, o.Width, o.Phase, o.Cost)
	}
	if got, want := feet(o.Faces[1]), "125AB 375BA 625AB 875BA 1125AB 1375BA 1625AB 1875BA"; got != want {
		t.Errorf("marks on the second wall %s, want %s", got, want)
	}
	if f := o.Faces[1]; f.FoldLeft != 125 || f.FoldRight != 125 {
		t.Errorf("folds %v and %v", f.FoldLeft, f.FoldRight)
	}
	near(t, "tape", float64(o.Joints), 40*2500, 1e-6)
	near(t, "marking", float64(o.Marking.Likely), 100.0/30, 1e-9)
	near(t, "quick marking", float64(o.Marking.Low), 100.0/45, 1e-9)
	near(t, "narrowest", float64(o.Narrowest), 125, 1e-9)
	for _, want := range []string{"40 strips of 250.0 mm", "meet again", "out of plumb shows no line", "125 mm"} {
		if !strings.Contains(plain(o.Summary), want) {
			t.Errorf("summary lacks %q: %s", want, plain(o.Summary))
		}
	}
}

// The best is 66 strips round: 256.06 from 151.18 on has a joint on the right edge of
// the second window of the west wall and
// no sliver. Worked by hand for walls divided by themselves: 4830 / 18 = 268.33 and
// 3620 / 13 = 278.46 (62 strips, even). Width: 6.667 / 275 and 3.462 / 275 by
// their share of the length; spread 10.128 / 2 / 275 x 2; the leaning corner 4/60 x 4;
// left of the second window 2100 - 7 x 278.46 = 150.8, of the first 600 - 2 x 278.46
// = 43.1, so 4 x 16.92 / 60.
func TestBreakfastRoomByHand(t *testing.T) {
	_, so := divided(t, breakfast())
	g := so.Groups[0]
	if len(so.Groups) != 1 || !g.Closed || g.Length != 16900 {
		t.Fatalf("groups %+v", so.Groups)
	}
	best := g.Options[0]
	if best.Way != "round" || best.Count != 66 || best.Narrowest < 60 || !best.Closes {
		t.Errorf("best is %s of %d", best.Way, best.Count)
	}
	k := slices.IndexFunc(g.Options, func(o Option) bool { return o.Way == "each-wall" })
	o := g.Options[k]
	if fmt.Sprint(o.PerFace) != "[18 13 18 13]" || o.Count != 62 {
		t.Fatalf("%s %v", o.Way, o.PerFace)
	}
	width := (6.66667*9660 + 3.461538*7240) / 275 / 16900
	near(t, "cost", o.Cost, width+10.128205/275+4*4.0/60+4*(60-43.076923)/60, 1e-6)
	near(t, "narrowest", float64(o.Narrowest), 43.076923, 1e-6)
	if o.At != "left of Window, West" {
		t.Errorf("narrowest at %q", o.At)
	}
	if got := feet(o.Faces[0]); !strings.HasPrefix(got, "268AB 537BA 805AB 1073BA 1342AB") || !strings.HasSuffix(got, "4562AB") {
		t.Errorf("north %s", got)
	}
	if got := feet(o.Faces[2]); !strings.HasPrefix(got, "268BA") { // 31 strips before
		t.Errorf("south %s", got)
	}
	if d := plain(o.Faces[0].Datum); d != "hook the tape in the corner of West and North, along the top of the skirting, 140 mm above the floor" {
		t.Errorf("datum %q", d)
	}
	if l := plain(o.Faces[0].Lean); l != "The right end leans 4 mm into the wall. The lines stay plumb, so strip 18 is 4 mm narrower at the top." {
		t.Errorf("lean %q", l)
	}
	ways := map[string]bool{}
	for _, o := range g.Options {
		ways[o.Way] = true
	}
	if !ways["round"] || !ways["each-wall"] || len(g.Options) != offered {
		t.Errorf("%d options of ways %v", len(g.Options), ways)
	}
	if len(so.Warnings) != 0 {
		t.Errorf("warnings %+v", so.Warnings)
	}
	j := breakfast()
	j.Finishes[0].Strips.Way = "each-wall"
	if _, so = divided(t, j); len(so.Warnings) != 1 || !strings.Contains(plain(so.Warnings[0].What), "43 mm, left of Window, West") {
		t.Errorf("warnings %+v", so.Warnings)
	}
}

// A sliver is wall left beside an opening; a joint just inside
// the opening leaves none, and one within 3 mm of the edge is on it.
func TestSliversAreOnTheWallSide(t *testing.T) {
	for _, c := range []struct {
		left, right float64
		cost        float64 // besides both ends at -0.25
	}{
		{510, 740, 4*50.0/60 + 4*50.0/60}, // 10 left of it, 10 right of it
		{490, 760, 0},                     // joints 500 and 750 just inside
		{490, 700, 4 * 10.0 / 60},         // 50 right of it
		{502, 748, -0.5},                  // both on the edge
		{505, 680, 4 * 55.0 / 60},
	} {
		j := single(func(w *job.Wall) {
			w.Openings = []job.Opening{{Name: "O", Left: mm(c.left), Sill: mm(900), Width: mm(c.right - c.left), Height: mm(900)}}
		})
		_, so := divided(t, j)
		o := so.Groups[0].Options[so.Groups[0].Chosen]
		near(t, fmt.Sprint("opening ", c.left, " to ", c.right), o.Cost+0.5, c.cost, 1e-9)
	}
}

// A wall alone: 4 strips of 250 with no odd piece; moved to avoid slivers of 10 on
// both sides of 510 to 740, it begins and ends with a piece.
func TestWallAlone(t *testing.T) {
	_, so := divided(t, single(func(*job.Wall) {}))
	o := so.Groups[0].Options[0]
	if got := plain(o.Summary); o.Way != "each-wall" || o.Count != 4 || got != "4 strips of 250.0 mm, the wall divided evenly from end to end, no odd piece left. No strip is cut at an opening." {
		t.Errorf("%s %d: %s", o.Way, o.Count, got)
	}
	j := single(func(w *job.Wall) {
		w.Openings = []job.Opening{{Name: "O", Left: mm(510), Sill: mm(900), Width: mm(230), Height: mm(900)}}
	})
	_, so = divided(t, j)
	for _, o := range so.Groups[0].Options {
		if o.Way == "round" {
			s := o.Faces[0].Strips
			if want := fmt.Sprintf("with pieces of %s and %s at the ends", s[0].Foot[1], s[len(s)-1].Foot[1]-s[len(s)-1].Foot[0]); o.Count != len(s) || !strings.Contains(o.Summary, want) {
				t.Errorf("%d strips, %d on the wall: %s", o.Count, len(s), plain(o.Summary))
			}
			return
		}
	}
	t.Error("one width from another start is not offered")
}

func TestPlumbLinesTaperTheEndStrip(t *testing.T) {
	j := single(func(w *job.Wall) { w.LeanRight = mm(40) })
	_, so := divided(t, j)
	s := so.Groups[0].Options[0].Faces[0]
	if got := feet(s); got != "250AB 500BA 750AB" {
		t.Errorf("marks %s", got)
	}
	near(t, "last strip", float64(s.Strips[3].Area), 0.25*2.5-0.04*2.5/2, 1e-9)
	near(t, "A", float64(s.AreaA), 2*0.25*2.5, 1e-9)
	if s.Strips[3].Head != [2]unit.Length{750, 960} {
		t.Errorf("head %v", s.Strips[3].Head)
	}
}

func TestSharedLinesDivideTheHead(t *testing.T) {
	j := single(func(w *job.Wall) { w.LeanRight = mm(40) })
	j.Finishes[0].Strips.Lines = "shared"
	_, so := divided(t, j)
	s := so.Groups[0].Options[0].Faces[0]
	for i, head := range []unit.Length{240, 480, 720} {
		if s.Marks[i].Head != head {
			t.Errorf("mark %d: head %v, want %v", i+1, s.Marks[i].Head, head)
		}
	}
	for i, strip := range s.Strips {
		near(t, fmt.Sprint("strip ", i+1), float64(strip.Area), (0.25+0.24)/2*2.5, 1e-9)
	}
}

// Both colours after a window that takes half of the second strip and all of the
// third: strips of 250 x 2500, window 375 to 750, 900 to 1900.
func TestAreasAfterOpenings(t *testing.T) {
	j := single(func(w *job.Wall) {
		w.Openings = []job.Opening{{Name: "O", Left: mm(375), Sill: mm(900), Width: mm(375), Height: mm(1000)}}
	})
	_, so := divided(t, j)
	s := so.Groups[0].Options[0].Faces[0]
	near(t, "A", float64(s.AreaA), 2*0.625-0.25, 1e-9)
	near(t, "B", float64(s.AreaB), 2*0.625-0.125, 1e-9)
	// Joints at 250 and, behind the window, 500 and on its edge 750.
	near(t, "tape", float64(so.Groups[0].Options[0].Joints), 2500+1500+2500, 1e-6)
}

// A door from floor to ceiling cuts the ring: the number may be odd, the colours
// start right of the door and need not meet again.
func TestFullHeightOpeningCutsTheRing(t *testing.T) {
	j := ring(3000, 2000, 3000, 2000)
	j.Rooms[0].Walls[2].Openings = []job.Opening{{Name: "Gap", Left: mm(1000), Sill: mm(0), Width: mm(1000), Height: mm(2500)}}
	j.Finishes[0].Strips = job.Strips{Narrowest: mm(290), Wanted: mm(300), Widest: mm(302), Way: "round"}
	s, so := divided(t, j)
	g := so.Groups[0]
	o := g.Options[g.Chosen]
	// 9 m from jamb to jamb: 30 of 300.
	if o.Way != "round" || o.Count != 30 || o.Clash != "" || o.Closes {
		t.Fatalf("%s %d clash %q", o.Way, o.Count, o.Clash)
	}
	if !strings.Contains(o.Summary, "floor to ceiling") {
		t.Error(o.Summary)
	}
	third := o.Faces[2]
	_, _, f := s.FaceByID(third.Face)
	near(t, "third wall", float64(third.AreaA+third.AreaB), float64(f.Net), 1e-9)
	for _, m := range third.Marks {
		if m.Foot > 1000 && m.Foot < 2000 {
			t.Errorf("mark %v in the opening", m.Foot)
		}
	}
	for i, strip := range third.Strips {
		if strip.Foot[0] >= 1500 { // the run starts here with A
			if strip.Colour != "A" {
				t.Errorf("strip %d right of the opening is %s", i+1, strip.Colour)
			}
			break
		}
	}
}

// 2.7 m round at 300 are 9 strips; 8 or 10 lie outside the band, so an odd number is
// offered with its clash in the corner that is least seen.
func TestOddNumberClashesWhereLeastSeen(t *testing.T) {
	j := ring(900, 900, 900)
	for i, seen := range []int{5, 1, 2} {
		j.Rooms[0].Walls[i].Seen = seen
	}
	j.Finishes[0].Strips = job.Strips{Narrowest: mm(299), Wanted: mm(300), Widest: mm(301)}
	_, so := divided(t, j)
	for _, o := range so.Groups[0].Options {
		if o.Way == "each-wall" && o.Count == 9 {
			if o.Clash != "W2 | W3" {
				t.Errorf("clash in %q", o.Clash)
			}
			last, first := o.Faces[1].Strips[2], o.Faces[2].Strips[0]
			if last.Colour != "A" || first.Colour != "A" {
				t.Errorf("%s meets %s", last.Colour, first.Colour)
			}
			near(t, "cost", o.Cost, 4*1.5/5, 1e-9)
			near(t, "tape", float64(o.Joints), 8*2500, 1e-6)
			if !strings.Contains(o.Summary, "two A strips meet in the corner W2 | W3") {
				t.Error(o.Summary)
			}
			return
		}
	}
	t.Errorf("not offered: %+v", so.Groups[0].Options)
}

func TestGroups(t *testing.T) {
	j := ring(2000, 2000, 2000, 2000, 2000)
	w := j.Rooms[0].Walls
	w[0].Dado = &job.Dado{Height: mm(1000), Finish: "weave"}
	w[1].Dado = &job.Dado{Height: mm(1000), Finish: "weave"}
	w[2].Corner = "external"
	w[3].Finish = "drag"
	_, so := divided(t, j)
	got := ""
	for _, g := range so.Groups {
		got += fmt.Sprintf("%v %v ", g.Faces, g.Closed)
	}
	if want := "[R/W5 R/W1 R/W2 R/W3] false [R/W1, dado R/W2, dado] false "; got != want {
		t.Errorf("groups %s\nwant %s", got, want)
	}
	w[0].Corner = "open"
	_, so = divided(t, j)
	if got := so.Groups[0].Faces; fmt.Sprint(got) != "[R/W2 R/W3]" {
		t.Errorf("after an open corner %v", got)
	}
	for _, f := range so.Faces {
		if (f.Group < 0) != (f.ID == "R/W4") {
			t.Errorf("%s is in group %d", f.ID, f.Group)
		}
	}
}

func TestWayAskedFor(t *testing.T) {
	for _, way := range []string{"round", "each-wall", "feature"} {
		j := breakfast()
		j.Finishes[0].Strips.Way = way
		_, so := divided(t, j)
		if g := so.Groups[0]; g.Options[g.Chosen].Way != way {
			t.Errorf("asked for %s, got %s", way, g.Options[g.Chosen].Way)
		}
	}
	j := breakfast()
	j.Finishes[0].Strips.Way, j.Finishes[0].Strips.Feature = "feature", "South"
	_, so := divided(t, j)
	o := so.Groups[0].Options[so.Groups[0].Chosen]
	s := o.Faces[2].Strips
	left, right := s[0].Foot[1], 4830-s[len(s)-1].Foot[0]
	if left != right || !strings.Contains(plain(o.Summary), fmt.Sprintf("middle of South with a %s on its centre line and equal ends of %s", map[bool]string{true: "joint", false: "strip"}[len(s)%2 == 0], plain(left.String()))) {
		t.Errorf("ends %v and %v: %s", left, right, o.Summary)
	}
	j.Finishes[0].Strips.Feature = "Attic"
	if _, so = divided(t, j); !strings.Contains(fmt.Sprint(so.Warnings), "Attic") {
		t.Errorf("warnings %v", so.Warnings)
	}
}

func TestWantedWidths(t *testing.T) {
	c := testCatalog()
	for _, x := range []struct {
		strips job.Strips
		want   string
		said   bool
	}{
		{job.Strips{}, "250 275 300 60", false},
		{job.Strips{Wanted: mm(200)}, "200 200 300 60", false},
		{job.Strips{Wanted: mm(400), Sliver: mm(40)}, "250 400 400 40", false},
		{job.Strips{Narrowest: mm(280), Widest: mm(320)}, "280 280 320 60", false},
		{job.Strips{Widest: mm(260)}, "250 260 260 60", false},
		{job.Strips{Narrowest: mm(400)}, "250 275 300 60", true},
		{job.Strips{Wanted: mm(-5)}, "250 275 300 60", true},
		{job.Strips{Sliver: mm(900)}, "250 275 300 60", true},
	} {
		w, said, err := wanted(&job.Finish{Strips: x.strips}, c.Techniques["weave"], c.Defaults)
		if got := fmt.Sprint(float64(w.Narrowest), float64(w.Wanted), float64(w.Widest), float64(w.Sliver)); err != nil || got != x.want || (len(said) > 0) != x.said {
			t.Errorf("%+v gives %s %v %v, want %s", x.strips, got, said, err, x.want)
		}
	}
	if _, _, err := wanted(&job.Finish{}, &catalog.Technique{ID: "t", Strips: true}, c.Defaults); err == nil {
		t.Error("no strip-width and no error")
	}
}

func TestFeetAndInches(t *testing.T) {
	j := ring(3048, 2438.4, 3048, 2438.4)
	j.Lengths = "imperial"
	_, so := divided(t, j)
	if s := so.Groups[0].Options[0].Summary; strings.Contains(s, "mm") || !strings.Contains(s, "in") {
		t.Error(s)
	}
}

func TestErrors(t *testing.T) {
	if _, err := Divide(nil, nil, nil); err == nil {
		t.Error("nothing given and no error")
	}
	j := ring(2000, 2000, 2000)
	j.Rooms[0].Walls[1].Finish = "gold"
	if _, err := Divide(measured(t, j), j, testCatalog()); err == nil || !strings.Contains(err.Error(), "gold") {
		t.Errorf("%v", err)
	}
	j = ring(2000, 2000, 2000)
	j.Rooms[0].Walls[0].Finish = "paper"
	c := testCatalog()
	c.Techniques["weave"].StripWidth, c.Goods = nil, nil
	_, err := Divide(measured(t, j), j, c)
	if err == nil || !strings.Contains(err.Error(), "strip-width") || !strings.Contains(err.Error(), "greaseproof") {
		t.Errorf("both faults of the catalog, got %v", err)
	}
}
