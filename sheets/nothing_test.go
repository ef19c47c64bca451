package sheets

import (
	"strings"
	"testing"

	"scumble/draw"
	"scumble/job"
	"scumble/method"
	"scumble/schedule"
	"scumble/sheets/desk"
	"scumble/sheets/internal/papertest"
	"scumble/sheets/programme"
	"scumble/sheets/site"
)

// No word runs off the paper, with names as long as people make them.
func TestSitePapersStayOnThePaper(t *testing.T) {
	long := papertest.SettingOutDesk(t, "Letter", func(j *job.Job) {
		for i := range j.Rooms {
			j.Rooms[i].Name += " with the gallery over it and the closet behind"
		}
		j.Crew.People[0].Name = "Wilhelmina-Theodora Featherstonehaugh"
	})
	for _, d := range []*desk.Desk{papertest.DemoDesk(t, "A4"), papertest.DemoDesk(t, "Letter"), long} {
		for _, make := range []func(*desk.Desk) (draw.Doc, error){programme.Programme, site.Safety, site.Inspection} {
			doc, err := make(d)
			if err != nil {
				t.Fatal(err)
			}
			for i, p := range doc.Pages {
				for _, w := range papertest.PlacedWords(p.Items, nil) {
					wide := d.Fonts.Width(w.Text, w.Style)
					from := w.At.X - map[draw.Align]float64{draw.Right: wide, draw.Centre: wide / 2}[w.Align]
					if from < 15 || from+wide > p.W-11 || w.At.Y < 8 || w.At.Y > p.H-3 {
						t.Errorf("%s, %s, page %d: %q runs off the paper", doc.Title, d.Paper, i+1, w.Text)
					}
				}
			}
		}
	}
}

func BenchmarkSitePapers(b *testing.B) {
	p, err := papertest.DemoPlan()
	if err != nil {
		b.Fatal(err)
	}
	d := &desk.Desk{Plan: p, Fonts: papertest.DemoFonts, Paper: "A4"}
	for name, make := range map[string]func(*desk.Desk) (draw.Doc, error){"programme": programme.Programme, "safety": site.Safety, "inspection": site.Inspection} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := desk.PDF(make)(d); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// A job without work still has its papers.
func TestSitePapersOfAJobWithoutWork(t *testing.T) {
	d := *papertest.DemoDesk(t, "A4")
	p := *d.Plan
	p.Method, p.Programme, d.Plan = &method.Method{}, &schedule.Programme{Start: papertest.Midnight(8), Finish: papertest.Midnight(8), BoundBy: "there is no work"}, &p
	for _, make := range []func(*desk.Desk) (draw.Doc, error){programme.Programme, site.Safety, site.Inspection} {
		if doc, err := make(&d); err != nil || len(doc.Pages) == 0 {
			t.Error(doc.Title, err)
		}
	}
	if content, err := programme.Calendar(&d); err != nil || !strings.HasSuffix(string(content), "END:VCALENDAR\r\n") {
		t.Error(err)
	}
}
