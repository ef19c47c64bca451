package site

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"scumble/draw"
	"scumble/sheets/desk"
	"scumble/sheets/drafting"
	"scumble/sheets/internal/papertest"
	"scumble/vapour"
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
			papertest.MustSay(t, text, "Air of "+r.Name, levelWords(r.Peak.Level), "windows", "nobody at work")
			for _, w := range []vapour.When{r.ReEntry, r.Sleep} {
				for _, at := range []time.Time{w.Earliest, w.Likely, w.Latest} {
					papertest.MustSay(t, text, at.Format("Mon 2 Jan 15:04"))
				}
			}
			for _, l := range r.Limits {
				papertest.MustSay(t, text, l.Name, limitName(l))
			}
			for _, s := range r.Sections {
				papertest.MustSay(t, text, strings.TrimPrefix(s.Face, r.Name+"/"), s.Start.Format("Mon 2 Jan 15:04"), s.Shut.String())
			}
			for _, p := range pages {
				staysOnPage(t, d, p)
			}
		}
		if with < 3 {
			t.Errorf("only %d rooms with solvent", with)
		}
		text := papertest.SaidOn(papertest.PagesOf(t, d, Safety, "mixes")...)
		for i := range d.Plan.Air.Mixes {
			m := &d.Plan.Air.Mixes[i]
			if !m.Known {
				papertest.MustSay(t, text, m.Product.Name+": not known here")
				continue
			}
			papertest.MustSay(t, text, m.Product.Name)
			for _, l := range m.Limits {
				papertest.MustSay(t, text, l.Words)
			}
		}
		papertest.MustSay(t, all, d.Plan.Air.Notes...)
	}
}

// staysOnPage fails for lettering and lines that leave the body of a page for its margins at the
// sides, or are too small to read.
func staysOnPage(t *testing.T, d *desk.Desk, p draw.Page) {
	t.Helper()
	body := drafting.PageBody(d.Upright())
	for _, w := range papertest.WordsOn(p) {
		left, wide := w.At.X, d.Fonts.Width(w.Text, w.Style)
		switch w.Align {
		case draw.Right:
			left -= wide
		case draw.Centre:
			left -= wide / 2
		}
		if left < body.X-0.1 || left+wide > body.X+body.W+0.1 || w.At.Y > p.H {
			t.Errorf("%s: %q stands from %.1f to %.1f", d.Paper, w.Text, left, left+wide)
		}
		if w.Style.Size < 7 {
			t.Errorf("%q is set in %.1f points", w.Text, w.Style.Size)
		}
	}
	for _, path := range papertest.Drawn[draw.Path](p.Items) {
		for _, s := range path.Outline {
			if s.Op != draw.MoveTo && s.Op != draw.LineTo {
				continue
			}
			if at := s.P[0]; at.X < body.X-1 || at.X > body.X+body.W+1 || at.Y < 0 || at.Y > body.Y+body.H+1 {
				t.Errorf("%s: a line reaches %.1f, %.1f", d.Paper, at.X, at.Y)
			}
		}
	}
}

// A Saturday is as grey as a night, and a working day is not.
func TestClosedDaysAreGrey(t *testing.T) {
	d := papertest.DemoDesk(t, "A4")
	saturday, found := papertest.Midnight(20), false
	for i := range d.Plan.Air.Rooms {
		r := &d.Plan.Air.Rooms[i]
		if len(r.Series) == 0 {
			continue
		}
		c := newVapourChart(r)
		c.draw(d, draw.Box{X: 10, Y: 10, W: 180, H: 80})
		if saturday.Before(c.from) || !saturday.Before(c.from.AddDate(0, 0, c.days)) {
			continue
		}
		found = true
		for day, want := range map[time.Time]bool{saturday: true, saturday.AddDate(0, 0, 1): true, saturday.AddDate(0, 0, 2): false} {
			noon, grey := c.x(day.Add(12*time.Hour)), false
			for _, p := range papertest.Drawn[draw.Path](c.nights(d)) {
				if p.Fill == drafting.Wash && p.Outline[0].P[0].X < noon && p.Outline[1].P[0].X > noon {
					grey = true
				}
			}
			if grey != want {
				t.Errorf("%s, %s: grey at noon is %v", r.Name, day.Format("Mon 2"), grey)
			}
		}
	}
	if !found {
		t.Error("no room holds solvent over that Saturday")
	}
}

// The rag log tells how many rags are to be counted on each evening.
func TestTheRagLogTellsHowManyRags(t *testing.T) {
	d := papertest.DemoDesk(t, "A4")
	text := papertest.SaidOn(papertest.PagesOf(t, d, Safety, "rag log")...)
	if len(d.Plan.Air.Rags) < 5 {
		t.Fatal("the demonstration has too few days with rags")
	}
	for _, r := range d.Plan.Air.Rags {
		_, after, _ := strings.Cut(text, r.Date.Format("Mon 2 Jan"))
		_, after, _ = strings.Cut(after, "reckoned by evening, ")
		if want := fmt.Sprintf("%s: %d ", desk.Lowered(r.Good.Name), r.Count); !strings.HasPrefix(after, want) {
			t.Errorf("%s: %q, not %q", r.Date.Format("Mon 2 Jan"), after[:min(len(after), 30)], want)
		}
		papertest.MustSay(t, text, r.Do, r.Defer)
	}
}

func TestWhatIsNotWithinSightIsSaid(t *testing.T) {
	at := papertest.Midnight(8)
	for want, w := range map[string]vapour.When{
		"not within sight": {},
		"likely not within sight; earliest Mon 8 Mar 00:00; latest not within sight": {Earliest: at},
		"likely Mon 8 Mar 00:00; earliest Mon 8 Mar 00:00; latest not within sight":  {Earliest: at, Likely: at},
	} {
		if got := whenWords(w); got != want {
			t.Errorf("%q, not %q", got, want)
		}
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
