package elevation

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"scumble/draw"
	"scumble/examples"
	"scumble/geom"
	"scumble/internal/golden"
	"scumble/job"
	"scumble/setout"
	"scumble/sheets/drafting"
	"scumble/survey"
	"scumble/unit"
)

var testReach = survey.Reaches{Floor: 2200, Steps: 2900, Platform: 3900}

// demo measures the demonstration job and sets out the Breakfast room by hand:
// equal strips wall by wall, so that no other stage is needed here.
func demo(t testing.TB) (*job.Job, *survey.Survey, *setout.SetOut) {
	t.Helper()
	file, problems := job.Read("job.yaml", examples.Bellwether)
	for _, p := range problems {
		t.Fatalf("%+v", p)
	}
	s, problems := survey.Measure(file.Job, testReach)
	for _, p := range problems {
		t.Fatalf("%+v", p)
	}
	return file.Job, s, byHand(s)
}

func byHand(s *survey.Survey) *setout.SetOut {
	so := &setout.SetOut{}
	group := setout.Group{Room: "Breakfast room", Finish: "weave-sage"}
	option := setout.Option{Way: "each-wall"}
	for _, r := range s.Rooms {
		for _, w := range r.Walls {
			for _, f := range w.Faces {
				set := setout.Face{ID: f.ID, Group: -1}
				switch f.Finish {
				case "weave-sage", "weave-pewter":
					set.Group = 0
					group.Faces = append(group.Faces, f.ID)
					option.Faces = append(option.Faces, equal(f, 2*int(float64(w.Length)/600)+1, 140, 90))
				case "frottage-madder", "tissue-mallow":
					set.Sections = grid(f.Field.Bounds(), 1050, 1050)
					set.Sheets = &setout.Sheets{Width: 750, Height: 500, Count: 84}
				case "comb-teal", "comb-square":
					for n, y := 0, f.Field.Bounds().Min.Y; y < f.Field.Bounds().Max.Y; n, y = n+1, y+200 {
						set.Rows = append(set.Rows, setout.Row{Y0: unit.Length(y), Y1: unit.Length(y + 200), Motif: 200, Start: unit.Length(-100 * float64(n%2))})
					}
				default:
					set.Sections = grid(f.Field.Bounds(), 900, 4000)
				}
				so.Faces = append(so.Faces, set)
			}
		}
	}
	group.Options = []setout.Option{option}
	so.Groups = []setout.Group{group}
	return so
}

// equal divides a face into n equal strips with folds at both ends; the head of
// each joint is 3 mm right of its foot.
func equal(f survey.Face, n int, foldLeft, foldRight float64) setout.Strips {
	long := f.Gross.Bounds().Max.X
	s := setout.Strips{Face: f.ID, FoldLeft: unit.Length(foldLeft), FoldRight: unit.Length(foldRight)}
	for i := range n {
		from, to := long*float64(i)/float64(n), long*float64(i+1)/float64(n)
		ends := [2]unit.Length{unit.Length(from), unit.Length(to)}
		s.Strips = append(s.Strips, setout.Strip{Colour: string(rune('A' + i%2)), Foot: ends, Head: ends})
		if i > 0 {
			m := setout.Mark{Number: i, Foot: unit.Length(int(from)), Head: unit.Length(int(from) + 3), Left: "A", Right: "B"}
			s.Marks = append(s.Marks, m)
		}
	}
	return s
}

func grid(b geom.Bounds, w, h float64) []setout.Section {
	var out []setout.Section
	for y := b.Min.Y; y < b.Max.Y; y += h {
		for x := b.Min.X; x < b.Max.X; x += w {
			out = append(out, setout.Section{Number: len(out) + 1, X0: unit.Length(x), X1: unit.Length(min(x+w, b.Max.X)),
				Y0: unit.Length(y), Y1: unit.Length(min(y+h, b.Max.Y))})
		}
	}
	return out
}

func viewOf(t testing.TB, id string) View {
	t.Helper()
	j, s, so := demo(t)
	for _, v := range Walls(j, s, so) {
		if v.Wall.ID == id {
			return v
		}
	}
	t.Fatalf("no wall %s", id)
	return View{}
}

// page sizes of A4 and Letter, upright and turned, less margins.
var rooms = [][2]float64{{88, 96}, {170, 230}, {261, 165}, {175.9, 215}, {243.4, 170}}

func TestWallFitsItsRoomAtAStatedScale(t *testing.T) {
	j, s, so := demo(t)
	f := draw.NewFonts()
	for _, v := range Walls(j, s, so) {
		for _, room := range rooms {
			d := Wall(f, v, Options{W: room[0], H: room[1], Reach: testReach})
			if !slices.Contains([]float64{10, 20, 25, 50, 100}, d.Scale) || d.W > room[0] || d.H > room[1] {
				t.Errorf("%s: %.0f by %.0f mm at 1:%g in %v", v.Name(), d.W, d.H, d.Scale, room)
			}
			floor := false
			for _, p := range walk(f, d.Items) {
				b := p.box
				if p.alone && len(p.points)+len(texts(p)) > 0 && (b.X < -0.3 || b.Y < -0.3 || b.X+b.W > d.W+0.3 || b.Y+b.H > d.H+0.3) {
					t.Errorf("%s at 1:%g: %q runs off the drawing: %+v of %.1f by %.1f", v.Name(), d.Scale, texts(p), b, d.W, d.H)
				}
				if p.path != nil && p.path.Stroke.Width == drafting.FloorWidth {
					floor = floor || b.Y == d.Origin.Y && b.W == d.W
				}
			}
			if !floor {
				t.Errorf("%s: no floor line from edge to edge", v.Name())
			}
		}
	}
}

func texts(p placed) string {
	if p.text == nil {
		return ""
	}
	return p.text.Text
}

func TestLetteringNeverCollides(t *testing.T) {
	j, s, so := demo(t)
	f := draw.NewFonts()
	for _, v := range Walls(j, s, so) {
		for _, room := range rooms {
			for _, imperial := range []bool{false, true} {
				d := Wall(f, v, Options{W: room[0], H: room[1], Reach: testReach, Imperial: imperial})
				reportCollisions(t, fmt.Sprintf("%s at 1:%g", v.Name(), d.Scale), walk(f, d.Items))
			}
		}
	}
}

func reportCollisions(t *testing.T, name string, things []placed) {
	t.Helper()
	var lettering []placed
	for _, p := range things {
		if p.text != nil {
			if p.text.Style.Size < 7 {
				t.Errorf("%s: %q is set in %g points", name, p.text.Text, p.text.Style.Size)
			}
			lettering = append(lettering, p)
		}
	}
	for i, a := range lettering {
		for _, b := range lettering[:i] {
			if overlap(a.box, b.box) {
				t.Errorf("%s: %q lies on %q", name, a.text.Text, b.text.Text)
			}
		}
	}
}

func TestJointsStandToScale(t *testing.T) {
	f := draw.NewFonts()
	v := viewOf(t, "Breakfast room/East")
	d := Wall(f, v, Options{W: 261, H: 165, Reach: testReach})
	var feet []float64
	for _, p := range walk(f, d.Items) {
		if p.path != nil && slices.Equal(p.path.Stroke.Dash, drafting.Chalk().Dash) && p.path.Stroke.Width == drafting.Chalk().Width && len(p.points) == 2 {
			low := p.points[0]
			if p.points[1].Y > low.Y {
				low = p.points[1]
			}
			if sill := d.Origin.Y - float64(v.Wall.Skirting)/d.Scale; math.Abs(low.Y-sill) < 1e-6 {
				feet = append(feet, low.X)
			}
		}
	}
	slices.Sort(feet)
	marks := v.Fields[0].Strips.Marks
	if len(feet) != len(marks) {
		t.Fatalf("%d joints reach the skirting, want %d", len(feet), len(marks))
	}
	for i, m := range marks {
		// The joint runs from Foot at the floor to Head at the ceiling.
		at := float64(m.Foot) + float64(m.Head-m.Foot)*float64(v.Wall.Skirting)/float64(v.Wall.Height)
		if want := d.Origin.X + at/d.Scale; math.Abs(feet[i]-want) > 1e-6 {
			t.Errorf("mark %d at %.4f mm on paper, want %.4f", m.Number, feet[i], want)
		}
	}
}

func TestEveryMarkIsFiguredOrCounted(t *testing.T) {
	f := draw.NewFonts()
	v := viewOf(t, "Breakfast room/North")
	for _, w := range []float64{261, 170, 90, 60} {
		d := Wall(f, v, Options{W: w, H: 400, Reach: testReach})
		figured := 0
		all := textsOf(f, d.Items)
		for _, m := range v.Fields[0].Strips.Marks {
			if slices.Contains(all, m.Foot.MM()) {
				figured++
			}
		}
		if figured+d.Unmarked != len(v.Fields[0].Strips.Marks) {
			t.Errorf("at 1:%g: %d figured and %d left out of %d", d.Scale, figured, d.Unmarked, len(v.Fields[0].Strips.Marks))
		}
		if w == 261 && d.Unmarked > 0 {
			t.Errorf("at 1:%g all figures fit, yet %d were left out", d.Scale, d.Unmarked)
		}
		if !slices.Contains(all, v.Wall.Length.MM()) || !slices.Contains(all, "0") {
			t.Errorf("at 1:%g the rule lacks its ends", d.Scale)
		}
	}
}

func TestWordsOnTheDrawings(t *testing.T) {
	f := draw.NewFonts()
	var b strings.Builder
	for _, id := range []string{"Hall and stair/Stair", "Breakfast room/North", "Dining room/East", "Landing/Long", "Tern room/Gable", "Washroom/Above tiles, long"} {
		d := Wall(f, viewOf(t, id), Options{W: 170, H: 220, Reach: testReach})
		all := textsOf(f, d.Items)
		slices.Sort(all)
		fmt.Fprintf(&b, "%s\n  %s\n", id, strings.Join(all, "\n  "))
		for _, n := range d.Notes {
			fmt.Fprintf(&b, "  note: %s\n", n)
		}
	}
	golden.Check(t, "words.txt", []byte(b.String()))
}

func TestLeanIsDrawnTheWayItGoes(t *testing.T) {
	f := draw.NewFonts()
	for _, lean := range []unit.Length{6, -6} {
		v := viewOf(t, "Heron room/North")
		wall := *v.Wall
		wall.LeanRight = lean
		v.Wall = &wall
		d := Wall(f, v, Options{W: 170, H: 220, Reach: testReach})
		corner := d.Origin.X + float64(wall.Length)/d.Scale
		found := false
		for _, p := range walk(f, d.Items) {
			if p.path != nil && p.path.Stroke.Colour == drafting.Plumb().Colour {
				found = true
				if head := p.points[1].X; (head < corner) != (lean > 0) {
					t.Errorf("lean %v: head at %.1f, corner at %.1f", lean, head, corner)
				}
			}
		}
		if !found {
			t.Errorf("lean %v is not drawn", lean)
		}
	}
}

func TestFileNames(t *testing.T) {
	j, s, so := demo(t)
	var names []string
	for _, v := range Walls(j, s, so) {
		names = append(names, v.FileName())
	}
	if !slices.Contains(names, "walls/breakfast-room-north") || !slices.Contains(names, "walls/washroom-above-tiles-long") {
		t.Errorf("names are %v", names)
	}
	v := View{Wall: &survey.Wall{ID: "Küche 2/Süd & Ost "}}
	if got := v.FileName(); got != "walls/küche-2-süd-ost" {
		t.Errorf("got %q", got)
	}
}
