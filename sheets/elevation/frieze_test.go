package elevation

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"scumble/draw"
	"scumble/sheets/drafting"
	"scumble/sheets/pattern"
	"scumble/survey"
	"scumble/unit"
)

func demoFrieze(t testing.TB, o FriezeOptions) (*draw.Fonts, []View, Drawing) {
	j, s, so := demo(t)
	f := draw.NewFonts()
	views := Walls(j, s, so)
	return f, views, Frieze(f, views, o)
}

func TestFriezeKeepsEveryRoomNamedAndInside(t *testing.T) {
	for _, lowest := range []float64{1, 8, 12} {
		f, views, d := demoFrieze(t, FriezeOptions{Width: 170, Left: 22, Right: 18, Lowest: lowest})
		things := walk(f, d.Items)
		reportCollisions(t, fmt.Sprintf("frieze, lowest %g", lowest), things)
		names := textsOf(f, d.Items)
		for _, v := range views {
			if !slices.Contains(names, v.Room.Name) {
				t.Errorf("lowest %g: %s has no name", lowest, v.Room.Name)
			}
		}
		for _, p := range things {
			floor := p.path != nil && p.path.Stroke.Width == drafting.FloorWidth
			if floor && (p.box.X != -22 || math.Abs(p.box.X+p.box.W-188) > 1e-9) {
				t.Errorf("lowest %g: a floor line runs from %.1f to %.1f, want -22 to 188", lowest, p.box.X, p.box.X+p.box.W)
			}
			if p.alone && !floor && (p.box.X < -0.3 || p.box.X+p.box.W > 170.3 || p.box.Y < -0.3 || p.box.Y+p.box.H > d.H+0.3) {
				t.Errorf("lowest %g: something runs off the frieze: %q %+v", lowest, texts(p), p.box)
			}
		}
	}
}

func TestFriezeBreaksIntoStoreysWhenWallsGetSmall(t *testing.T) {
	floors := func(d Drawing, f *draw.Fonts) int {
		n := 0
		for _, p := range walk(f, d.Items) {
			if p.path != nil && p.path.Stroke.Width == drafting.FloorWidth {
				n++
			}
		}
		return n
	}
	f, views, one := demoFrieze(t, FriezeOptions{Width: 170, Lowest: 1})
	if n := floors(one, f); n != 1 {
		t.Errorf("%d floor lines, want 1", n)
	}
	_, _, more := demoFrieze(t, FriezeOptions{Width: 170})
	if n := floors(more, f); n < 2 {
		t.Errorf("%d floor lines, want more", n)
	}
	if h := middleHeight(views) / more.Scale; h < 8 {
		t.Errorf("the middle wall is %.1f mm high, want 8 or more", h)
	}
}

func TestFriezeFileStaysSmall(t *testing.T) {
	f, views, d := demoFrieze(t, FriezeOptions{Width: 170})
	var b bytes.Buffer
	if err := f.WritePDF(&b, draw.Doc{Title: "frieze", Pages: []draw.Page{{W: 210, H: 297, Items: []draw.Item{d.At(20, 20)}}}}); err != nil {
		t.Fatal(err)
	}
	if b.Len() > 300_000 {
		t.Errorf("%d bytes for %d walls", b.Len(), len(views))
	}
	if n := len(walk(f, d.Items)); n > 30*len(views) {
		t.Errorf("%d things drawn for %d walls", n, len(views))
	}
}

// TestShareIsTheBest compares the sharing out of rooms with trying every way.
func TestShareIsTheBest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var all []room
		for range rapid.IntRange(1, 8).Draw(t, "rooms") {
			all = append(all, room{long: float64(rapid.IntRange(500, 20000).Draw(t, "long"))})
		}
		n := rapid.IntRange(1, len(all)).Draw(t, "storeys")
		best := math.Inf(1)
		var try func(from, left int, worst float64)
		try = func(from, left int, worst float64) {
			if left == 1 {
				best = min(best, max(worst, lengthOf(all[from:])))
				return
			}
			for to := from + 1; to <= len(all)-left+1; to++ {
				try(to, left-1, max(worst, lengthOf(all[from:to])))
			}
		}
		try(0, n, 0)
		got, rooms := 0.0, 0
		for _, storey := range share(all, n) {
			got = max(got, lengthOf(storey))
			rooms += len(storey)
		}
		if got != best || rooms != len(all) {
			t.Fatalf("longest storey %v with %d rooms, best %v with %d", got, rooms, best, len(all))
		}
	})
}

// TestNamesKeepApart: whatever the rooms are called, their names do not collide.
func TestNamesKeepApart(t *testing.T) {
	f := draw.NewFonts()
	rapid.Check(t, func(t *rapid.T) {
		var names []name
		x := 0.0
		for range rapid.IntRange(1, 9).Draw(t, "rooms") {
			text := rapid.SampledFrom([]string{"Hall", "Breakfast room", "Landing", "The long gallery above the hall", "Washroom"}).Draw(t, "name")
			names = append(names, name{text: text, x: x, style: drafting.Letters()})
			x += rapid.Float64Range(2, 40).Draw(t, "long")
		}
		c := &canvas{fonts: f, Place: pattern.Place{S: 0.01}}
		c.names(names, max(x, 60))
		things := walk(f, c.items)
		for i, a := range things {
			for _, b := range things[:i] {
				if a.text != nil && b.text != nil && overlap(a.box, b.box) {
					t.Fatalf("%q lies on %q", a.text.Text, b.text.Text)
				}
			}
		}
	})
}

func TestUnrolledShowsTheClash(t *testing.T) {
	j, s, so := demo(t)
	f := draw.NewFonts()
	var run []View
	for _, v := range Walls(j, s, so) {
		if v.Room.Name == "Breakfast room" {
			run = append(run, v)
		}
	}
	option := so.Groups[0].Options[0]
	plain := len(walk(f, Unrolled(f, run, option, 170).Items))
	option.Clash = "South | West"
	d := Unrolled(f, run, option, 170)
	if got := len(walk(f, d.Items)); got != plain+len(drafting.CautionShape.Mark(0, 0, 3)) {
		t.Errorf("%d things with a clash, %d without", got, plain)
	}
	if long := 16900 / d.Scale; math.Abs(long-170) > 0.01 {
		t.Errorf("four walls of 16.90 m come out %.1f mm long, want 170", long)
	}
	reportCollisions(t, "unrolled", walk(f, d.Items))
}

func TestFriezeOfNothing(t *testing.T) {
	f := draw.NewFonts()
	if d := Frieze(f, nil, FriezeOptions{Width: 170}); len(d.Items) != 0 {
		t.Errorf("%d items", len(d.Items))
	}
	room := &survey.Room{Name: "A"}
	wall := &survey.Wall{ID: "A/B", Length: unit.Length(800), Outline: nil}
	Frieze(f, []View{{Room: room, Wall: wall}}, FriezeOptions{Width: 170}) // must not panic
}
