//go:build oracle

package sheets

import (
	"strings"
	"testing"

	"scumble/draw"
	"scumble/sheets/client"
	"scumble/sheets/desk"
	"scumble/sheets/internal/papertest"
	"scumble/sheets/mixing"
)

// qpdf finds no fault and pdftotext finds the words of each paper.
func TestOraclePapersAreSoundAndSearchable(t *testing.T) {
	d := papertest.DemoDesk(t, "A4")
	for want, make := range map[string]func(*desk.Desk) (draw.Doc, error){
		d.Money(d.Plan.Quote.Total):      client.Quote,
		"What to buy":                    mixing.Buying,
		"80 of thinner to 100":           mixing.Mixes,
		"To whoever decorates here next": client.Handover,
	} {
		file := papertest.PDFFile(t, d, make)
		if out := papertest.RunTool(t, "qpdf", "--check", file); !strings.Contains(out, "No syntax or stream encoding errors") {
			t.Error(out)
		}
		if text := strings.Join(strings.Fields(papertest.RunTool(t, "pdftotext", "-layout", file, "-")), " "); !strings.Contains(text, papertest.PlainSpaces(want)) {
			t.Errorf("%q is not found", want)
		}
	}
}
