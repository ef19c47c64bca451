package sheets

import (
	"strings"
	"testing"

	"scumble/draw"
	"scumble/job"
	"scumble/method"
	"scumble/schedule"
	"scumble/sheets/client"
	"scumble/sheets/desk"
	"scumble/sheets/internal/papertest"
	"scumble/sheets/mixing"
	"scumble/sheets/programme"
	"scumble/sheets/site"
	"scumble/sheets/wall"
)

// papers are the documents that are drawn, by name.
var papers = map[string]func(*desk.Desk) (draw.Doc, error){
	"quote": client.Quote, "colours": client.Colours, "boards": client.Boards, "handover": client.Handover, "setting-out": wall.SettingOut, "method": wall.Method, "mixes": mixing.Mixes,
	"buying": mixing.Buying, "programme": programme.Programme, "safety": site.Safety, "inspection": site.Inspection,
}

// No word runs off the paper, with names as long as people make them.
func TestPapersStayOnThePaper(t *testing.T) {
	long := papertest.SettingOutDesk(t, "Letter", func(j *job.Job) {
		for i := range j.Rooms {
			j.Rooms[i].Name += " with the gallery over it and the closet behind"
		}
		j.Crew.People[0].Name = "Wilhelmina-Theodora Featherstonehaugh"
	})
	for _, d := range []*desk.Desk{papertest.DemoDesk(t, "A4"), papertest.DemoDesk(t, "Letter"), long} {
		for name, make := range papers {
			doc, err := make(d)
			if err != nil {
				t.Fatal(err)
			}
			left, right := 15.0, 11.0
			if name == "mixes" { // a sheet of labels, cut to the last mm a printer reaches
				left, right = 5, 5
			}
			for i, p := range doc.Pages {
				for _, w := range papertest.PlacedWords(p.Items, nil) {
					if w.Rotate != 0 {
						continue
					}
					wide := d.Fonts.Width(w.Text, w.Style)
					from := w.At.X - map[draw.Align]float64{draw.Right: wide, draw.Centre: wide / 2}[w.Align]
					if from < left || from+wide > p.W-right || w.At.Y < 8 || w.At.Y > p.H-3 {
						t.Errorf("%s, %s, page %d: %q runs off the paper", name, d.Paper, i+1, w.Text)
					}
				}
			}
		}
	}
}

// A job without work still has its papers.
func TestSitePapersOfAJobWithoutWork(t *testing.T) {
	d := papertest.OwnDesk(t, "A4")
	p := *d.Plan
	p.Method, p.Programme, d.Plan = &method.Method{}, &schedule.Programme{Start: papertest.Midnight(8), Finish: papertest.Midnight(8), BoundBy: "there is no work"}, &p
	for _, name := range []string{"programme", "safety", "inspection"} {
		if doc, err := papers[name](d); err != nil || len(doc.Pages) == 0 {
			t.Error(name, err)
		}
	}
	if content, err := programme.Calendar(d); err != nil || !strings.HasSuffix(string(content), "END:VCALENDAR\r\n") {
		t.Error(err)
	}
}

func BenchmarkPapers(b *testing.B) {
	p, err := papertest.DemoPlan()
	if err != nil {
		b.Fatal(err)
	}
	d := &desk.Desk{Plan: p, Fonts: papertest.DemoFonts, Paper: "A4"}
	for name, make := range papers {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := desk.PDF(make)(d); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
