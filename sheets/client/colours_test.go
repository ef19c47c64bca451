package client

import (
	"bytes"
	"image/jpeg"
	"math"
	"strings"
	"testing"

	"scumble/appearance/finish"
	"scumble/draw"
	"scumble/job"
	"scumble/sheets/desk"
	"scumble/sheets/internal/papertest"
	"scumble/unit"
)

// Each finish has one page on either paper, with the same piece of wall by day and by
// lamp, and every colour of its swatch in figures.
func TestColoursShowEveryFinishByDayAndByLamp(t *testing.T) {
	for _, paper := range []string{"A4", "Letter"} {
		d := papertest.DemoDesk(t, paper)
		doc, err := Colours(d)
		if err != nil {
			t.Fatal(err)
		}
		finishes := finishesOf(d)
		if len(doc.Pages) != len(finishes) {
			t.Fatalf("%s: %d pages for %d finishes", paper, len(doc.Pages), len(finishes))
		}
		for i, f := range finishes {
			s := d.Shown(f.ID)
			if s.Err != nil {
				t.Fatal(s.Err)
			}
			text := papertest.SaidOn(doc.Pages[i])
			papertest.MustSay(t, text, f.Name, "the signed board decides", "With a fifth more glaze", s.Finish.Glazes[0].Basis)
			for _, p := range append(append([]finish.Patch{s.Swatch.Light, s.Swatch.Dark, s.Swatch.Thicker}, s.Swatch.Grounds...), s.Swatch.Finished...) {
				papertest.MustSay(t, text, p.Hex, unit.Figure(p.Lab.L, 1), unit.Figure(p.LRV, 0))
			}
			for _, a := range finish.Advise(s.Swatch, d.Plan.Catalog.Defaults, s.Lamps[0], f.Light) {
				papertest.MustSay(t, text, a.Claim, desk.Capital(a.Figure), desk.Capital(a.Enough))
			}
			pictures := papertest.Drawn[draw.Image](doc.Pages[i].Items)
			if len(pictures) != 2 || bytes.Equal(pictures[0].JPEG, pictures[1].JPEG) {
				t.Fatalf("%s, %s: %d pictures, or by lamp as by day", paper, f.ID, len(pictures))
			}
			for _, p := range pictures {
				proportion(t, f.ID, p, desk.Piece[0]/desk.Piece[1])
			}
		}
	}
}

// proportion checks that a picture can be decoded and is not stretched.
func proportion(t *testing.T, name string, p draw.Image, want float64) {
	t.Helper()
	c, err := jpeg.DecodeConfig(bytes.NewReader(p.JPEG))
	if err != nil {
		t.Fatal(name, err)
	}
	for _, got := range []float64{p.Box.W / p.Box.H, float64(c.Width) / float64(c.Height)} {
		if math.Abs(got-want) > 0.01*want {
			t.Errorf("%s: a picture %g wide to its height, want %g", name, got, want)
		}
	}
}

// An old colour that shows through is said with the coats that would hide it.
func TestColoursSayWhetherTheOldColourIsHidden(t *testing.T) {
	d := papertest.DemoDesk(t, "A4")
	f := finishesOf(d)[0]
	s := d.Shown(f.ID)
	room := d.Plan.Job.Rooms[0]
	for _, old := range []struct {
		colour job.Colour
		told   bool
		coats  float64
	}{{job.Colour{}, false, 0}, {f.Ground, true, 0}, {job.Colour{Name: "Soot", Hex: "#101010"}, true, 2}} {
		room.OldColour = old.colour
		advice, told, err := hiding(d, f, s.Finish, &room)
		if err != nil || told != old.told {
			t.Fatalf("%+v: told %v, %v", old.colour, told, err)
		}
		if told && !strings.Contains(advice.Enough, "2 coats are in the plan") {
			t.Errorf("%+v: %+v", old.colour, advice)
		}
		if told && old.coats == 0 && !strings.Contains(advice.Figure, "from 0 coats") {
			t.Errorf("the ground's own colour needs %s", advice.Figure)
		}
		if old.coats > 0 && strings.Contains(advice.Figure, "0 coats") {
			t.Errorf("soot needs %s", advice.Figure)
		}
	}
	room.OldColour = job.Colour{Name: "Card", Measured: "no such card"}
	if _, _, err := hiding(d, f, s.Finish, &room); err == nil {
		t.Error("an old colour that is not known is hidden")
	}
}
