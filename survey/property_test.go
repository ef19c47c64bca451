package survey

import (
	"fmt"
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"scumble/geom"
	"scumble/job"
	"scumble/unit"
)

// sizes draws a length in whole or broken millimetres, sometimes a wild one.
func sizes(low, high float64) *rapid.Generator[job.Length] {
	wild := []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, -1, 1e-9, 1e12, -5000}
	return rapid.Custom(func(t *rapid.T) job.Length {
		switch k := rapid.IntRange(0, 19).Draw(t, "kind"); {
		case k == 0:
			return job.Length{}
		case k == 1:
			return mm(rapid.SampledFrom(wild).Draw(t, "wild"))
		case k < 6:
			return mm(rapid.Float64Range(low, high).Draw(t, "mm"))
		}
		return mm(math.Round(rapid.Float64Range(low, high).Draw(t, "whole mm")))
	})
}

func maybe[T any](t *rapid.T, name string, draw func() T) *T {
	if rapid.IntRange(0, 3).Draw(t, name) > 0 {
		return nil
	}
	v := draw()
	return &v
}

func corners(t *rapid.T) []job.Corner {
	var list []job.Corner
	for range rapid.IntRange(2, 7).Draw(t, "corners") {
		list = append(list, job.Corner{X: sizes(0, 4000).Draw(t, "x"), Y: sizes(0, 3000).Draw(t, "y")})
	}
	return list
}

// anyJob draws jobs of every kind, most of them wrong somewhere.
var anyJob = rapid.Custom(func(t *rapid.T) *job.Job {
	opening := func() job.Opening {
		o := job.Opening{
			Kind:  rapid.SampledFrom([]string{"door", "window", "niche", "fixture", ""}).Draw(t, "kind"),
			Shape: rapid.SampledFrom([]string{"", "rect", "arch", "round", "outline", "?"}).Draw(t, "shape"),
			Left:  sizes(0, 4000).Draw(t, "left"), Sill: sizes(0, 2000).Draw(t, "sill"),
			Width: sizes(1, 2000).Draw(t, "width"), Height: sizes(1, 2500).Draw(t, "height"),
			Rise: sizes(0, 600).Draw(t, "rise"), Reveal: sizes(0, 400).Draw(t, "reveal"),
			Paint: rapid.SliceOfN(rapid.SampledFrom([]string{"sides", "head", "sill", "?"}), 0, 3).Draw(t, "paint"),
		}
		if o.Shape == "outline" {
			o.Outline = corners(t)
		}
		return o
	}
	wall := func() job.Wall {
		w := job.Wall{
			Name: rapid.SampledFrom([]string{"N", "E", ""}).Draw(t, "name"), Length: sizes(500, 6000).Draw(t, "length"),
			Height: sizes(500, 4000).Draw(t, "height"), HeightRight: sizes(0, 4000).Draw(t, "height-right"),
			Skirting: sizes(0, 300).Draw(t, "skirting"), Cornice: sizes(0, 300).Draw(t, "cornice"),
			LeanLeft: sizes(-50, 50).Draw(t, "lean-left"), LeanRight: sizes(-50, 50).Draw(t, "lean-right"),
			Corner: rapid.SampledFrom([]string{"", "internal", "external", "open", "?"}).Draw(t, "corner"),
			Finish: rapid.SampledFrom([]string{"f", "g", ""}).Draw(t, "finish"),
			Ridge: maybe(t, "ridge", func() job.Ridge {
				return job.Ridge{At: sizes(0, 6000).Draw(t, "at"), Height: sizes(0, 6000).Draw(t, "top")}
			}),
			Dado: maybe(t, "dado", func() job.Dado {
				return job.Dado{Height: sizes(0, 1500).Draw(t, "dado"), Rail: sizes(0, 100).Draw(t, "rail"), Finish: "g"}
			}),
		}
		if rapid.IntRange(0, 3).Draw(t, "drawn") == 0 {
			w.Outline = corners(t)
		}
		for range rapid.IntRange(0, 3).Draw(t, "openings") {
			w.Openings = append(w.Openings, opening())
		}
		return w
	}
	j := &job.Job{}
	for i := range rapid.IntRange(0, 2).Draw(t, "rooms") {
		r := job.Room{Name: fmt.Sprint(i), Closed: rapid.Bool().Draw(t, "closed"), Height: sizes(1000, 4000).Draw(t, "room height"), Skirting: sizes(0, 200).Draw(t, "skirting")}
		for range rapid.IntRange(0, 4).Draw(t, "walls") {
			r.Walls = append(r.Walls, wall())
		}
		j.Rooms = append(j.Rooms, r)
	}
	return j
})

// sane checks what must hold of every survey without problems, and mostly of others.
func sane(t interface{ Errorf(string, ...any) }, s *Survey) {
	for _, r := range s.Rooms {
		for _, w := range r.Walls {
			for _, f := range w.Faces {
				sum := unit.Area(0)
				for _, x := range f.Reach {
					sum += x.Area
				}
				if d := math.Abs(float64(sum - f.Net)); d > 1e-5+1e-9*float64(f.Net) {
					t.Errorf("%s: reach adds up to %v, net is %v", f.ID, sum, f.Net)
				}
				if f.Net < 0 || f.Net > w.Outline.AreaM2()+1e-9 || f.Reveals < 0 || math.IsNaN(float64(f.Edges.Total())) {
					t.Errorf("%s: %+v", f.ID, f)
				}
			}
		}
	}
}

func TestMeasureNeverPanics(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j := anyJob.Draw(t, "job")
		before := fmt.Sprintf("%#v", *j)
		s, problems := Measure(j, stands)
		again, _ := Measure(j, stands)
		if before != fmt.Sprintf("%#v", *j) {
			t.Errorf("the job was changed")
		}
		if fmt.Sprintf("%v", s) != fmt.Sprintf("%v", again) {
			t.Errorf("two runs differ")
		}
		for _, p := range problems {
			if p.Path == "" || p.What == "" || p.Do == "" {
				t.Errorf("problem without path, words or advice: %+v", p)
			}
		}
		if len(problems) == 0 {
			sane(t, s)
		}
	})
}

func FuzzMeasure(f *testing.F) {
	f.Fuzz(rapid.MakeFuzz(func(t *rapid.T) { Measure(anyJob.Draw(t, "job"), stands) }))
}

// soundWall draws a wall measured by heights, with openings that fit.
func soundWall(t *rapid.T) job.Wall {
	length := float64(rapid.IntRange(1500, 6000).Draw(t, "length"))
	left, right := float64(rapid.IntRange(2300, 3200).Draw(t, "left")), float64(rapid.IntRange(2300, 3200).Draw(t, "right"))
	if rapid.Bool().Draw(t, "level") {
		right = left
	}
	w := job.Wall{Name: "N", Length: mm(length), Height: mm(left), HeightRight: mm(right), Finish: "f",
		Skirting: mm(float64(rapid.IntRange(0, 200).Draw(t, "skirting"))), Cornice: mm(float64(rapid.IntRange(0, 150).Draw(t, "cornice")))}
	if rapid.Bool().Draw(t, "gable") {
		w.Ridge = &job.Ridge{At: mm(length * rapid.Float64Range(0.3, 0.7).Draw(t, "at")), Height: mm(max(left, right) + float64(rapid.IntRange(200, 1500).Draw(t, "rise")))}
	}
	if rapid.Bool().Draw(t, "leans") {
		w.LeanLeft, w.LeanRight = mm(float64(rapid.IntRange(-20, 20).Draw(t, "lean left"))), mm(float64(rapid.IntRange(-20, 20).Draw(t, "lean right")))
	}
	if rapid.Bool().Draw(t, "dado") {
		w.Dado = &job.Dado{Height: mm(float64(rapid.IntRange(700, 1200).Draw(t, "dado height"))), Rail: mm(float64(rapid.IntRange(0, 100).Draw(t, "rail"))), Finish: "g"}
	}
	x := 25.0
	for x < length-700 && rapid.IntRange(0, 3).Draw(t, "more") > 0 {
		width := float64(rapid.IntRange(200, 600).Draw(t, "width"))
		sill := float64(rapid.SampledFrom([]int{0, 0, 850, 1150}).Draw(t, "sill"))
		w.Openings = append(w.Openings, job.Opening{
			Shape: rapid.SampledFrom([]string{"rect", "arch"}).Draw(t, "shape"), Left: mm(x), Sill: mm(sill),
			Width: mm(width), Height: mm(float64(rapid.IntRange(400, 1000).Draw(t, "height"))), Reveal: mm(100), Paint: []string{"sides", "head"},
		})
		x += width + float64(rapid.IntRange(0, 400).Draw(t, "gap"))
	}
	return w
}

// The straight cuts for walls measured by heights give what the set operations for
// drawn outlines give for the same outline.
func TestCutsEqualSetOperations(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := soundWall(t)
		s, problems := Measure(oneRoom(w), stands)
		if len(problems) > 0 {
			t.Fatalf("%+v", problems)
		}
		sane(t, s)
		fast := s.Rooms[0].Walls[0]
		drawn := w
		drawn.Length = job.Length{}
		for _, p := range fast.Outline {
			drawn.Outline = append(drawn.Outline, job.Corner{X: mm(p.X), Y: mm(p.Y)})
		}
		shift := 0.0 // an outline starts at x = 0
		for _, p := range fast.Outline {
			shift = min(shift, p.X)
		}
		for i := range drawn.Outline {
			drawn.Outline[i].X = mm(fast.Outline[i].X - shift)
		}
		drawn.Openings = nil
		for _, o := range w.Openings {
			o.Left = mm(float64(o.Left.Value) - shift)
			drawn.Openings = append(drawn.Openings, o)
		}
		s, problems = Measure(oneRoom(drawn), stands)
		if len(problems) > 0 {
			t.Fatalf("drawn: %+v", problems)
		}
		slow := s.Rooms[0].Walls[0]
		if len(slow.Faces) != len(fast.Faces) {
			t.Fatalf("%d faces, drawn %d", len(fast.Faces), len(slow.Faces))
		}
		for i, f := range fast.Faces {
			g := slow.Faces[i]
			same := func(what string, a, b float64) {
				if math.Abs(a-b) > 1e-6*(1+math.Abs(a)) {
					t.Errorf("%s %s: %v, drawn %v", f.ID, what, a, b)
				}
			}
			same("net", float64(f.Net), float64(g.Net))
			same("reveals", float64(f.Reveals), float64(g.Reveals))
			same("ceiling", float64(f.Edges.Ceiling), float64(g.Edges.Ceiling))
			same("skirting", float64(f.Edges.Skirting), float64(g.Edges.Skirting))
			same("corners", float64(f.Edges.Corners), float64(g.Edges.Corners))
			same("openings", float64(f.Edges.Openings), float64(g.Edges.Openings))
			same("dado", float64(f.Edges.Dado), float64(g.Edges.Dado))
			if len(f.Reach) == len(g.Reach) {
				for k := range f.Reach {
					same(f.Reach[k].From, float64(f.Reach[k].Area), float64(g.Reach[k].Area))
				}
			}
			// And the field without the openings equals the set difference.
			var cut geom.Region = geom.Region{{Outer: f.Gross}}
			for _, k := range f.Openings {
				var err error
				if cut, err = geom.Subtract(cut, fast.Openings[k].Outline.Region()); err != nil {
					t.Fatal(err)
				}
			}
			same("field", float64(f.Net), float64(cut.AreaM2()))
		}
	})
}

// What a wall measures does not hang on the walls before it.
func TestWallsAreMeasuredAlone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := soundWall(t), soundWall(t)
		a.Name, a.Corner = "A", "open"
		one, _ := Measure(oneRoom(b), stands)
		two, _ := Measure(oneRoom(a, b), stands)
		x, y := one.Rooms[0].Walls[0], two.Rooms[0].Walls[1]
		for i := range x.Faces {
			if !reflect.DeepEqual(x.Faces[i].Field, y.Faces[i].Field) || x.Faces[i].Edges != y.Faces[i].Edges {
				t.Errorf("differs beside another wall")
			}
		}
	})
}

func BenchmarkMeasure(b *testing.B) {
	for _, n := range []int{10, 100, 1000} {
		j := &job.Job{}
		for i := 0; i < n/4+1; i++ {
			r := job.Room{Name: fmt.Sprint(i), Closed: true, Height: mm(2720), Skirting: mm(120), Cornice: mm(60)}
			for k := 0; k < 4 && len(j.Rooms)*4+k < n; k++ {
				w := job.Wall{Name: fmt.Sprint(k), Length: mm(3500 + 10*float64(k%2)), Finish: "f", Openings: []job.Opening{
					door(400), {Name: "Window", Kind: "window", Left: mm(1800), Sill: mm(900), Width: mm(1100), Height: mm(1200), Reveal: mm(150), Paint: []string{"sides"}}}}
				r.Walls = append(r.Walls, w)
			}
			j.Rooms = append(j.Rooms, r)
		}
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				Measure(j, stands)
			}
		})
	}
}
