package setout

import (
	"fmt"
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"scumble/catalog"
	"scumble/geom"
	"scumble/job"
	"scumble/survey"
	"scumble/unit"
)

// anyRoom draws rooms with every kind of wall that strips can meet.
func anyRoom(t *rapid.T) *job.Job {
	n := rapid.IntRange(1, 5).Draw(t, "walls")
	room := job.Room{Name: "R", Height: mm(2600), Closed: n > 2 && rapid.Bool().Draw(t, "closed"), Skirting: mm(float64(rapid.IntRange(0, 200).Draw(t, "skirting")))}
	for i := range n {
		length := float64(rapid.IntRange(300, 5000).Draw(t, "length"))
		if rapid.IntRange(0, 4).Draw(t, "inches") == 0 {
			length += 0.4
		}
		w := job.Wall{Name: fmt.Sprint("W", i+1), Length: mm(length), Finish: "weave", Seen: rapid.IntRange(1, 5).Draw(t, "seen")}
		switch rapid.IntRange(0, 9).Draw(t, "kind") {
		case 0:
			w.Finish = rapid.SampledFrom([]string{"drag", "comb", "paper", ""}).Draw(t, "finish")
		case 1:
			w.Corner = "open"
		case 2:
			w.Dado = &job.Dado{Height: mm(1000), Rail: mm(80), Finish: "weave"}
		case 3:
			w.Ridge = &job.Ridge{At: mm(length / 2), Height: mm(3500)}
		}
		if rapid.IntRange(0, 2).Draw(t, "leans") == 0 && length > 600 {
			w.LeanLeft, w.LeanRight = mm(float64(rapid.IntRange(-15, 15).Draw(t, "lean left"))), mm(float64(rapid.IntRange(-15, 15).Draw(t, "lean right")))
		}
		x := float64(rapid.IntRange(0, 700).Draw(t, "first"))
		for range rapid.IntRange(0, 3).Draw(t, "openings") {
			width := float64(rapid.IntRange(100, 1200).Draw(t, "width"))
			if x+width > length {
				break
			}
			o := job.Opening{Name: "O", Left: mm(x), Sill: mm(0), Width: mm(width), Height: mm(2000)}
			switch rapid.IntRange(0, 3).Draw(t, "shape") {
			case 0:
				o.Sill, o.Height = mm(900), mm(1000)
			case 1:
				o.Shape, o.Height = "arch", mm(1000+width/2)
			case 2:
				if w.Ridge == nil {
					o.Height = mm(2600) // from floor to ceiling
				}
			}
			w.Openings = append(w.Openings, o)
			x += width + float64(rapid.IntRange(0, 900).Draw(t, "pier"))
		}
		room.Walls = append(room.Walls, w)
	}
	j := &job.Job{Finishes: testFinishes(), Rooms: []job.Room{room}}
	strips := &j.Finishes[0].Strips
	strips.Lines = rapid.SampledFrom([]string{"", "plumb", "shared"}).Draw(t, "lines")
	strips.Way = rapid.SampledFrom([]string{"", "best", "round", "each-wall", "feature"}).Draw(t, "way")
	return j
}

func TestStripsAreSound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j := anyRoom(t)
		s := measured(t, j)
		so, err := Divide(s, j, testCatalog())
		if err != nil {
			t.Fatal(err)
		}
		for _, g := range so.Groups {
			if len(g.Options) == 0 || g.Chosen < 0 || g.Chosen >= len(g.Options) {
				t.Fatalf("group %v has %d options, chosen %d", g.Faces, len(g.Options), g.Chosen)
			}
			if way := g.Want.Way; way != "best" && g.Options[g.Chosen].Way != way {
				for _, o := range g.Options {
					if o.Way == way {
						t.Errorf("%s asked for and offered, but %s chosen", way, g.Options[g.Chosen].Way)
					}
				}
			}
			for i := range g.Options {
				if i > 0 && g.Options[i].Cost < g.Options[i-1].Cost-1e-9 {
					t.Errorf("options are not in order of cost")
				}
				soundOption(t, s, &g, &g.Options[i])
			}
		}
		for i := range so.Faces {
			_, _, f := s.FaceByID(so.Faces[i].ID)
			soundWork(t, f, &so.Faces[i])
		}
	})
}

func soundOption(t *rapid.T, s *survey.Survey, g *Group, o *Option) {
	sum, begun := 0.0, 0
	for _, c := range o.Costs {
		sum += c.Amount
	}
	if math.Abs(sum-o.Cost) > 1e-6 {
		t.Errorf("%s %d: costs listed make %v, not %v", o.Way, o.Count, sum, o.Cost)
	}
	for _, n := range o.PerFace {
		begun += n
	}
	if begun != o.Count {
		t.Errorf("%s: %d strips but %v begin on the faces", o.Way, o.Count, o.PerFace)
	}
	if len(o.Faces) != len(g.Faces) || o.Summary == "" || !o.Marking.Ordered() {
		t.Errorf("%s: %d faces, summary %q, marking %v", o.Way, len(o.Faces), o.Summary, o.Marking)
	}
	for i, strips := range o.Faces {
		_, w, f := s.FaceByID(strips.Face)
		area := unit.Area(0)
		for k, strip := range strips.Strips {
			area += strip.Area
			if k > 0 && strip.Foot[0] != strips.Strips[k-1].Foot[1] {
				t.Errorf("%s: gap between strips", f.ID)
			}
		}
		last := strips.Strips[len(strips.Strips)-1]
		if strips.Strips[0].Foot[0] != 0 || last.Foot[1] != w.Length {
			t.Errorf("%s: strips run from %v to %v", f.ID, strips.Strips[0].Foot[0], last.Foot[1])
		}
		if d := math.Abs(float64(area - f.Net)); d > 1e-9 || math.Abs(float64(strips.AreaA+strips.AreaB-f.Net)) > 1e-9 {
			t.Errorf("%s: strips make %v, A and B %v, net is %v", f.ID, area, strips.AreaA+strips.AreaB, f.Net)
		}
		soundMarks(t, g, o, i, w, f)
	}
}

func soundMarks(t *rapid.T, g *Group, o *Option, i int, w *survey.Wall, f *survey.Face) {
	strips := &o.Faces[i]
	width := float64(o.Width)
	if o.Way == "each-wall" {
		width = float64(w.Length) / float64(o.PerFace[i])
	}
	for k, m := range strips.Marks {
		if m.Number != k+1 || m.Foot != unit.Length(math.Floor(float64(m.Foot))) || m.Left == m.Right {
			t.Errorf("%s: mark %+v", f.ID, m)
		}
		if g.Want.Lines == "plumb" && m.Head != m.Foot {
			t.Errorf("%s: plumb mark at %v below and %v above", f.ID, m.Foot, m.Head)
		}
		if k == 0 {
			continue
		}
		p := strips.Marks[k-1]
		gap := float64(m.Foot - p.Foot)
		if !parted(o, g) && math.Abs(gap-width) > 1 {
			t.Errorf("%s: marks %v and %v, strips are %v wide", f.ID, p.Foot, m.Foot, width)
		}
	}
	if i+1 < len(o.Faces) {
		next := &o.Faces[i+1]
		end := strips.Strips[len(strips.Strips)-1]
		before, after := end.Colour, next.Strips[0].Colour
		joint := strips.FoldRight == 0
		if o.Clash == "" && !parted(o, g) && joint == (before == after) {
			t.Errorf("%s: colours %s and %s meet in a corner, joint there %v", f.ID, before, after, joint)
		}
		if strips.FoldRight > 0 && next.FoldLeft == 0 {
			t.Errorf("%s folds right by %v, the next face not left", f.ID, strips.FoldRight)
		}
	}
	// Clipped out as polygons, the strips have the same areas.
	for k, strip := range strips.Strips {
		got := clipped(t, f, strip, float64(w.Height), k == 0, k == len(strips.Strips)-1)
		if math.Abs(got-float64(strip.Area)) > 1e-6 {
			t.Errorf("%s: strip %d has %v, clipped %v", f.ID, k+1, strip.Area, got)
		}
	}
}

// parted reports a ring that is cut open.
func parted(o *Option, g *Group) bool { return g.Closed && !o.Closes }

// clipped is the area of a strip by clipping the field with its quadrilateral; the
// outer ones reach beyond the ends of the wall.
func clipped(t *rapid.T, f *survey.Face, s Strip, height float64, first, last bool) float64 {
	quad := geom.Polygon{{X: float64(s.Foot[0])}, {X: float64(s.Foot[1])}, {X: float64(s.Head[1]), Y: height}, {X: float64(s.Head[0]), Y: height}}
	if first {
		quad[0].X, quad[3].X = -1000, -1000
	}
	if last {
		quad[1].X, quad[2].X = quad[1].X+1000, quad[1].X+1000
	}
	r, err := geom.ClipConvex(f.Field, quad)
	if err != nil {
		t.Fatal(err)
	}
	return float64(r.AreaM2())
}

func soundWork(t *rapid.T, f *survey.Face, face *Face) {
	area := unit.Area(0)
	for k, s := range face.Sections {
		area += s.Area
		if s.Number != k+1 || s.X1 <= s.X0 || s.Y1 <= s.Y0 {
			t.Errorf("%s: section %+v", f.ID, s)
		}
	}
	if math.Abs(float64(area-f.Net)) > 1e-3 { // scraps under a square centimetre are left out
		t.Errorf("%s: sections make %v, net is %v", f.ID, area, f.Net)
	}
	for k := 1; k < len(face.Breaks); k++ {
		if face.Breaks[k].X <= face.Breaks[k-1].X {
			t.Errorf("%s: breaks out of order", f.ID)
		}
	}
}

// Where one starts to walk round a closed room, and which way, changes neither the
// counts nor what they cost.
func TestStartAndSenseDoNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j := anyRoom(t)
		room := &j.Rooms[0]
		for i := range room.Walls { // whole rooms only
			room.Walls[i].Finish, room.Walls[i].Corner, room.Walls[i].Dado = "weave", "", nil
			for k := range room.Walls[i].Openings {
				if o := &room.Walls[i].Openings[k]; o.Height.Value == 2600 {
					o.Height = mm(2100)
				}
			}
		}
		j.Finishes[0].Strips.Way = ""
		turned, back := *j, *j
		n := len(room.Walls)
		if room.Closed {
			by := rapid.IntRange(0, n-1).Draw(t, "by")
			turned.Rooms = []job.Room{*room}
			turned.Rooms[0].Walls = append(append([]job.Wall{}, room.Walls[by:]...), room.Walls[:by]...)
		}
		back.Rooms = []job.Room{*room}
		back.Rooms[0].Walls = nil
		for i := n - 1; i >= 0; i-- {
			w := room.Walls[i]
			w.LeanLeft, w.LeanRight = w.LeanRight, w.LeanLeft
			w.Openings = nil
			for _, o := range room.Walls[i].Openings {
				o.Left = mm(float64(w.Length.Value - o.Left.Value - o.Width.Value))
				w.Openings = append(w.Openings, o)
			}
			back.Rooms[0].Walls = append(back.Rooms[0].Walls, w)
		}
		even, alone := cheapest(t, j)
		for name, other := range map[string]*job.Job{"another start": &turned, "the other way": &back} {
			// Half a millimetre in a corner may fall either way: 4/60 a mm and edge.
			e, a := cheapest(t, other)
			if math.Abs(e-even) > 0.2 || math.Abs(a-alone) > 1e-6 {
				t.Errorf("%s: one width costs %v, then %v; each wall alone %v, then %v", name, even, e, alone, a)
			}
		}
	})
}

// cheapest is the least cost of one width over the first run of a job, and of
// dividing each wall by itself.
func cheapest(t *rapid.T, j *job.Job) (even, alone float64) {
	c := testCatalog()
	want, _, err := wanted(&j.Finishes[0], c.Techniques["weave"], c.Defaults)
	if err != nil {
		t.Fatal(err)
	}
	by := weigh(c.Defaults)
	r := runs(&measured(t, j).Rooms[0], func(string) bool { return true })[0]
	even, alone = math.Inf(1), math.Inf(1)
	closing, _ := r.roundCounts(want)
	for _, n := range closing {
		w := r.length / float64(n)
		_, v := r.bestPhase(want, by, w)
		even = math.Min(even, v.amount+widthCost(w, want, by))
	}
	for _, d := range r.eachWall(want, by) {
		alone = math.Min(alone, d.amount)
	}
	return even, alone
}

func TestDivideIsTheSameEveryTime(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j := anyRoom(t)
		s := measured(t, j)
		before := fmt.Sprintf("%v %v", s, j)
		a, _ := Divide(s, j, testCatalog())
		b, _ := Divide(s, j, testCatalog())
		if !reflect.DeepEqual(a, b) {
			t.Errorf("two runs differ")
		}
		if before != fmt.Sprintf("%v %v", s, j) {
			t.Errorf("the input was changed")
		}
	})
}

// FuzzDivide must not panic for any widths asked for.
func FuzzDivide(f *testing.F) {
	f.Fuzz(rapid.MakeFuzz(func(t *rapid.T) {
		j := anyRoom(t)
		wild := rapid.SampledFrom([]float64{-1, 0, 1, 9, 50, 275, 1000, 1e9, math.NaN(), math.Inf(1)})
		st := &j.Finishes[0].Strips
		st.Narrowest, st.Wanted, st.Widest, st.Sliver = mm(wild.Draw(t, "n")), mm(wild.Draw(t, "w")), mm(wild.Draw(t, "x")), mm(wild.Draw(t, "s"))
		st.Feature = rapid.SampledFrom([]string{"", "W1", "none"}).Draw(t, "feature")
		c := testCatalog()
		c.Techniques["weave"].Section = catalog.Section{Width: just(wild.Draw(t, "section"), "mm"), Height: just(wild.Draw(t, "row"), "mm")}
		Divide(measured(t, j), j, c)
	}))
}

// manyWalls are rooms of four walls each.
func manyWalls(n int) *job.Job {
	j := &job.Job{Finishes: testFinishes()}
	for len(j.Rooms)*4 < n {
		r := breakfast().Rooms[0]
		r.Name = fmt.Sprint("Room ", len(j.Rooms))
		r.Walls = r.Walls[:min(4, n-4*len(j.Rooms))]
		j.Rooms = append(j.Rooms, r)
	}
	return j
}

func BenchmarkMeasureAndDivide(b *testing.B) {
	for _, n := range []int{10, 100, 1000} {
		j, c := manyWalls(n), testCatalog()
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				s, _ := survey.Measure(j, survey.Reaches{Floor: 2000, Steps: 2900, Platform: 4000})
				Divide(s, j, c)
			}
		})
	}
}

// One room of very many walls must not take for ever either.
func BenchmarkOneRoom(b *testing.B) {
	for _, n := range []int{20, 100, 1000} {
		j, c := manyWalls(n), testCatalog()
		room := j.Rooms[0]
		room.Walls = nil
		for i, r := range j.Rooms {
			for _, w := range r.Walls {
				w.Name = fmt.Sprint(w.Name, i)
				room.Walls = append(room.Walls, w)
			}
		}
		j.Rooms = []job.Room{room}
		s, _ := survey.Measure(j, survey.Reaches{Floor: 2000, Steps: 2900, Platform: 4000})
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				Divide(s, j, c)
			}
		})
	}
}
