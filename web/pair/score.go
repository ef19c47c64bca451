package pair

import (
	"cmp"
	"fmt"
	"html"
	"html/template"
	"math"
	"slices"
	"strings"
	"time"

	"scumble/wetedge"
)

// Sizes of the score, px.
const (
	nameWide   = 74.0
	leastWide  = 860.0 // of the time axis
	leastScale = 7.0   // px a minute
	personHigh = 54.0
	jointHigh  = 24.0
	axisHigh   = 30.0
	mostJoints = 8 // those nearest to their open time; the table holds the rest
)

type canvas struct {
	strings.Builder
	scale float64
}

func (c *canvas) put(format string, values ...any) { fmt.Fprintf(c, format, values...) }
func (c *canvas) x(minute float64) float64         { return nameWide + minute*c.scale }

// score draws who does what minute by minute, and under it the oldest joints against the
// time their glaze stays open.
func score(a *wetedge.Answer) template.HTML {
	joints := slices.Clone(a.Joints)
	slices.SortStableFunc(joints, func(x, y wetedge.Joint) int { return cmp.Compare(y.Age/y.Open, x.Age/x.Open) })
	joints = joints[:min(len(joints), mostJoints)]
	slices.SortStableFunc(joints, func(x, y wetedge.Joint) int { return cmp.Compare(x.Laid, y.Laid) })
	end := a.Minutes
	for _, j := range joints {
		end = max(end, min(j.Laid+j.Open*a.Open.High/a.Open.Likely, a.Minutes+25))
	}
	c := &canvas{scale: max(leastScale, leastWide/max(end, 1))}
	high := axisHigh + personHigh*float64(len(a.Names)) + 26 + jointHigh*float64(len(joints)) + 8
	wide := c.x(end) + 16
	c.put(`<svg width="%.0f" height="%.0f" viewBox="0 0 %.0f %.0f" role="img" aria-label="Minute by minute from %s: %s. The tables below hold the figures.">`, wide, high, wide, high, a.At.Format("15:04"), html.EscapeString(strings.Join(a.Names, ", ")))
	c.axis(a, end, high)
	for i, name := range a.Names {
		c.person(a, i, name, axisHigh+personHigh*float64(i))
	}
	top := axisHigh + personHigh*float64(len(a.Names)) + 26
	c.put(`<text class="t-2" x="0" y="%.1f">Joints: age when merged, and how long the glaze stays open</text>`, top-8)
	weak := a.Joints[a.Weakest].Letter
	for i, j := range joints {
		c.joint(a, j, j.Letter == weak, end, top+jointHigh*float64(i))
	}
	c.put("</svg>")
	return template.HTML(c.String())
}

// axis is the clock, every five minutes or every ten.
func (c *canvas) axis(a *wetedge.Answer, end, high float64) {
	every := 5.0
	if c.scale*every < 46 {
		every = 10
	}
	for m := 0.0; m <= end; m += every {
		c.put(`<path class="rule" d="M%.1f 18V%.1f"/>`, c.x(m), high)
		words := fmt.Sprintf("%.0f", m)
		if m == 0 {
			words = a.At.Format("15:04")
		} else if math.Mod(m, 30) == 0 {
			words = a.At.Add(time.Duration(m) * time.Minute).Format("15:04")
		}
		c.put(`<text class="t-c" x="%.1f" y="13">%s</text>`, c.x(m), words)
	}
}

// does are the words for what is done; short ones stand in the bar.
var does = map[string]string{wetedge.Lay: "lays", wetedge.CutIn: "cuts in", wetedge.Refill: "fills the tray", wetedge.Shift: "moves, climbs", wetedge.Clean: "cleans the tool",
	wetedge.Work: "works", wetedge.Press: "presses paper on", wetedge.Lift: "lifts paper"}

func (c *canvas) person(a *wetedge.Answer, i int, name string, y float64) {
	role := [...]string{"lays", "works", "helps"}[i]
	shown := role
	if len(a.Names) == 1 {
		shown = "alone"
	}
	c.put(`<text class="t-b" x="0" y="%.1f">%s</text><text class="t-2" x="0" y="%.1f">%s</text>`, y+28, html.EscapeString(short(name)), y+44, shown)
	c.put(`<path class="rule" d="M0 %.1fH%.1f"/>`, y, c.x(a.Minutes))
	before := -100.0
	for _, t := range a.Turns {
		if t.Who != role && len(a.Names) > 1 {
			continue
		}
		x, wide := c.x(t.From), (t.To-t.From)*c.scale
		title := fmt.Sprintf("%s %s", name, does[t.What])
		if t.Piece > 0 {
			title += fmt.Sprintf(" section %d", t.Piece)
		}
		title += fmt.Sprintf(", minute %.1f to %.1f", t.From, t.To)
		fill, top, foot := `class="edge f-sheet"`, y+16, y+48
		switch t.What {
		case wetedge.CutIn:
			fill, top = `class="fine f-sheet"`, y+36
		case wetedge.Refill, wetedge.Shift, wetedge.Clean:
			fill, top, foot = `class="fine" fill="url(#h-mid)"`, y+24, y+40
		case wetedge.Work, wetedge.Press:
			fill = `class="edge f-wash"`
		}
		c.put(`<g><title>%s</title><path %s d="M%.1f %.1fh%.1fV%.1fh-%.1fz"/>`, html.EscapeString(title), fill, x, top, wide, foot, wide)
		switch number := fmt.Sprint(t.Piece); {
		case t.Piece == 0 || t.What == wetedge.CutIn:
		case wide > 8*float64(len(number))+2:
			c.put(`<text class="t-b t-c" x="%.1f" y="%.1f">%s</text>`, x+wide/2, y+37, number)
		case x-before > 20: // over the bar, where it does not run into the one before
			c.put(`<text class="t-c" x="%.1f" y="%.1f">%s</text>`, x+wide/2, y+12, number)
			before = x
		}
		c.put("</g>")
	}
}

// short is a name that fits the margin of the score.
func short(name string) string {
	if r := []rune(name); len(r) > 9 {
		return string(r[:8]) + "…"
	}
	return name
}

// joint is a bar from when its older side was laid to when it is merged, against the end of
// its open time: a slant from the earliest at the foot to the latest at the head.
func (c *canvas) joint(a *wetedge.Answer, j wetedge.Joint, weak bool, end, y float64) {
	top, foot := y+5, y+jointHigh-5
	from, to := c.x(j.Laid), c.x(j.Laid+j.Age)
	low, high := c.x(j.Laid+j.Open*a.Open.Low/a.Open.Likely), c.x(j.Laid+j.Open*a.Open.High/a.Open.Likely)
	edge := c.x(end)
	fill := `class="edge f-sheet"`
	if weak {
		fill = `class="edge" fill="url(#h-mid)"`
	}
	c.put(`<g><title>%s</title>`, html.EscapeString(fmt.Sprintf("Joint %s: %.1f min old of %.0f", j.Letter, j.Age, j.Open)))
	c.put(`<path class="mid" d="M%.1f %.1fH%.1f"/>`, from, (top+foot)/2, min(low, edge))
	c.put(`<path %s d="M%.1f %.1fH%.1fV%.1fH%.1fz"/>`, fill, from, top, to, foot, from)
	if low < edge {
		c.put(`<path class="wet" d="M%.1f %.1fL%.1f %.1f"/>`, low, foot+2, min(high, edge), top-2)
	}
	if weak {
		c.put(`<path class="f-oxide" d="M%.1f %.1fl8 14h-16z"/>`, to, top-1)
	}
	c.put(`<text class="t-b" x="%.1f" y="%.1f">%s</text></g>`, 52.0, y+17, j.Letter)
}
