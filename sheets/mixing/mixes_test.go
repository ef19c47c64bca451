package mixing

import (
	"strings"
	"testing"

	"rsc.io/qr"

	"scumble/draw"
	"scumble/method"
	"scumble/sheets/desk"
	"scumble/sheets/drafting"
	"scumble/sheets/internal/papertest"
)

func TestMixesPrintBothVolumesBothWeightsAndTheOtherReading(t *testing.T) {
	d := papertest.DemoDesk(t, "A4")
	doc, err := Mixes(d)
	if err != nil {
		t.Fatal(err)
	}
	text := papertest.SaidOn(doc.Pages...)
	others := 0
	for i := range d.Plan.Quantities.Mixes {
		m := &d.Plan.Quantities.Mixes[i]
		papertest.MustSay(t, text, m.ID, m.Ready.Likely.Fixed(2), m.Stock.Fixed(2), grams(m.StockMass))
		papertest.MustSay(t, text, m.Product.Handling)
		if desk.Thinned(m) {
			papertest.MustSay(t, text, m.Thinner.Handling)
			papertest.MustSay(t, text, m.Thin.Fixed(2), grams(m.ThinMass), desk.PartsWords(m))
		}
		if m.Other != nil {
			others++
			papertest.MustSay(t, text, otherWords(m))
		}
	}
	if others == 0 {
		t.Error("no mix of the demonstration can be read in two ways")
	}
	papertest.MustSay(t, text, "80 of thinner to 100", "Read as 80 % of the finished mix")
}

func TestEveryBatchAndEveryPotHasItsLabel(t *testing.T) {
	d := papertest.DemoDesk(t, "A4")
	labels, err := labels(d)
	if err != nil {
		t.Fatal(err)
	}
	texts := map[string]bool{}
	for _, l := range labels {
		if texts[l.text] {
			t.Errorf("two labels say %q", l.text)
		}
		texts[l.text] = true
		papertest.MustSay(t, l.text, "job="+d.Plan.Job.Reference, "batch="+l.mix.ID)
		if len(l.text) > longestCode {
			t.Errorf("%q is too long to be read from a splashed label", l.text)
		}
		if square := codeSide / float64(l.code.Size+8); square < 0.45 {
			t.Errorf("squares of %q are %.2f mm wide", l.text, square)
		}
	}
	for i := range d.Plan.Quantities.Mixes {
		m := &d.Plan.Quantities.Mixes[i]
		for _, u := range m.Uses {
			step := step(d, u.Step)
			if step == nil {
				t.Fatalf("no step %s", u.Step)
			}
			if want := "scumble job=BH-2027-03 batch=" + m.ID + " use=" + u.Step; step.Kind == method.Glaze && !texts[want] {
				t.Errorf("no label says %q", want)
			}
		}
	}
}

func TestWordsOnLabelsDoNotRunIntoTheLines(t *testing.T) {
	for _, paper := range []string{"A4", "Letter"} {
		d := papertest.DemoDesk(t, paper)
		labels, err := labels(d)
		if err != nil {
			t.Fatal(err)
		}
		body := drafting.PageBody(d.Upright())
		wide, _ := d.Upright().Size()
		cell := draw.Box{W: (wide - 2*labelEdge) / labelColumns, H: body.H / labelRows}
		for _, l := range labels {
			all := papertest.Drawn[draw.Text](l.draw(d.Fonts, cell))
			foot, _ := l.foot(d.Fonts, cell.Inset(4.5))
			own := len(all) - len(papertest.Drawn[draw.Text](foot))
			line := cell.H
			for _, w := range all[own:] {
				line = min(line, w.At.Y)
			}
			for i, w := range all {
				if i < own && w.At.Y > line-3 {
					t.Errorf("%s: %q of %s runs into the line to write on", paper, w.Text, l.text)
				}
				if w.At.X < 4 || w.At.X+d.Fonts.Width(w.Text, w.Style) > cell.W-4 || w.At.Y > cell.H-4 {
					t.Errorf("%s: %q of %s leaves its label", paper, w.Text, l.text)
				}
			}
		}
	}
}

// The drawn squares are compared with the code one by one: each module is inside
// a square if and only if it is black.
func TestCodeIsDrawnAsItIs(t *testing.T) {
	code, err := qr.Encode("scumble job=BH-2027-03 batch=Z3 use=Dining room/North#glaze-1", qr.M)
	if err != nil {
		t.Fatal(err)
	}
	box := draw.Box{X: 10, Y: 20, W: 28, H: 28}
	page := draw.Page{W: 60, H: 60, Items: qrSquares(code, box)}
	picture, err := papertest.DemoFonts.PNG(page, 20)
	if err != nil {
		t.Fatal(err)
	}
	s := box.W / float64(code.Size+8)
	for y := -4; y < code.Size+4; y++ {
		for x := -4; x < code.Size+4; x++ {
			inside := x >= 0 && y >= 0 && x < code.Size && y < code.Size
			black := inside && code.Black(x, y)
			r, _, _, _ := picture.At(int((box.X+(float64(x)+4.5)*s)*20), int((box.Y+(float64(y)+4.5)*s)*20)).RGBA()
			if (r < 0x8000) != black {
				t.Fatalf("square %d, %d: drawn %v, want %v", x, y, r < 0x8000, black)
			}
		}
	}
}

func TestMixesComeInOrderOfTheirPart(t *testing.T) {
	d := papertest.DemoDesk(t, "A4")
	order := ""
	for _, m := range mixesInOrder(d) {
		if letter := m.ID[:1]; !strings.HasSuffix(order, letter) {
			order += letter
		}
	}
	if order != "PFGZC" {
		t.Errorf("mixes come as %s", order)
	}
	if got := len(mixesInOrder(d)); got != len(d.Plan.Quantities.Mixes) {
		t.Errorf("%d mixes, want %d", got, len(d.Plan.Quantities.Mixes))
	}
}
