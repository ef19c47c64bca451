package site

import (
	"strings"
	"testing"

	"scumble/draw"
	"scumble/sheets/internal/papertest"
)

// Every room in which solvent is laid has its page with the chart, every limit by name, and when
// one may go back in; rooms without have none, and nothing leaves the page.
func TestTheAirOfEveryRoom(t *testing.T) {
	for _, paper := range []string{"A4", "Letter"} {
		d := papertest.DemoDesk(t, paper)
		doc, err := Safety(d)
		if err != nil {
			t.Fatal(err)
		}
		all, with := papertest.SaidOn(doc.Pages...), 0
		for i := range d.Plan.Air.Rooms {
			r := &d.Plan.Air.Rooms[i]
			if len(r.Series) == 0 {
				if strings.Contains(all, "Air of "+r.Name) {
					t.Errorf("%s has no solvent and a page", r.Name)
				}
				continue
			}
			pages := papertest.PagesOf(t, d, Safety, "air of "+r.Name)
			with++
			text := papertest.SaidOn(pages...)
			papertest.MustSay(t, text, "Air of "+r.Name, whenWords(r.ReEntry), whenWords(r.Sleep), levelWords(r.Peak.Level), "windows")
			for _, l := range r.Limits {
				papertest.MustSay(t, text, l.Name, l.Most.String())
			}
			for _, s := range r.Sections {
				papertest.MustSay(t, text, strings.TrimPrefix(s.Face, r.Name+"/"), s.Start.Format("Mon 2 Jan 15:04"), s.Shut.String())
			}
			for _, p := range pages {
				for _, w := range papertest.WordsOn(p) {
					if w.At.X < 0 || w.At.X > p.W || w.At.Y < 0 || w.At.Y > p.H {
						t.Errorf("%s, %s: %q stands at %.0f, %.0f", paper, r.Name, w.Text, w.At.X, w.At.Y)
					}
				}
			}
		}
		if with < 3 {
			t.Errorf("only %d rooms with solvent", with)
		}
		text := papertest.SaidOn(papertest.PagesOf(t, d, Safety, "mixes")...)
		for i := range d.Plan.Air.Mixes {
			if m := &d.Plan.Air.Mixes[i]; m.Known {
				papertest.MustSay(t, text, m.Product.Name)
				for _, l := range m.Limits {
					papertest.MustSay(t, text, l.Words)
				}
			}
		}
		papertest.MustSay(t, text, d.Plan.Air.Notes...)
	}
}

// The chart's line rises to the peak where and when the stage says.
func TestTheChartRisesToThePeak(t *testing.T) {
	d := papertest.DemoDesk(t, "A4")
	for i := range d.Plan.Air.Rooms {
		r := &d.Plan.Air.Rooms[i]
		if len(r.Series) == 0 {
			continue
		}
		c := newVapourChart(r)
		c.draw(d, draw.Box{X: 10, Y: 10, W: 180, H: 80})
		top := c.box.Y + c.box.H
		for _, p := range r.Series {
			top = min(top, c.y(float64(p.Level.Likely)))
		}
		if peak := c.y(float64(r.Peak.Level.Likely)); top < peak-0.3 || top > peak+0.3 {
			t.Errorf("%s: the line rises to %.2f, the peak is at %.2f", r.Name, top, peak)
		}
		if x := c.x(r.Peak.At); x <= c.box.X || x > c.box.X+c.box.W {
			t.Errorf("%s: the peak lies beside the chart", r.Name)
		}
	}
}
