package sheets

import (
	"testing"

	"scumble/draw"
	"scumble/sheets/client"
	"scumble/sheets/desk"
	"scumble/sheets/internal/papertest"
	"scumble/sheets/mixing"
)

func TestQuoteStaysOnThePaper(t *testing.T) {
	for _, paper := range []string{"A4", "Letter"} {
		d := papertest.DemoDesk(t, paper)
		for _, make := range []func(*desk.Desk) (draw.Doc, error){client.Quote, mixing.Buying, mixing.Mixes, client.Handover} {
			doc, err := make(d)
			if err != nil {
				t.Fatal(err)
			}
			for i, p := range doc.Pages {
				for _, w := range papertest.WordsOn(p) {
					end := w.At.X
					if w.Align == draw.Left && w.Rotate == 0 {
						end += d.Fonts.Width(w.Text, w.Style)
					}
					if w.At.X < 0 || end > p.W-5 || w.At.Y < 0 || w.At.Y > p.H-3 {
						t.Errorf("%s, %s, page %d: %q runs off the paper", doc.Title, paper, i+1, w.Text)
					}
				}
			}
		}
	}
}
