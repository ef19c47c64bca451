package price

import (
	"fmt"
	"math"
	"slices"

	"scumble/catalog"
	"scumble/job"
	"scumble/survey"
	"scumble/unit"
)

// Areas for payment are counted in whole square millimetres and compared with
// the limits of a rule before anything is rounded; then each item is rounded to
// a hundredth of a square metre and the items are summed.
type squareMM int64

const hundredth squareMM = 10_000 // mm2 in 0.01 m2

// item rounds an area to hundredths of a square metre, half up.
func (a squareMM) item() int64 { return int64((a + hundredth/2) / hundredth) }

// paid is a number of hundredths as an area to be paid.
func paid(hundredths int64) PaidArea { return PaidArea(float64(hundredths) / 100) }

// ruler rounds dimensions the way a rule wants it.
type ruler struct{ step float64 }

// mm rounds a length to the step of the rule, half up.
func (r ruler) mm(l float64) float64 {
	if r.step <= 0 {
		return math.Floor(l + 0.5)
	}
	return math.Floor(l/r.step+0.5+1e-9) * r.step
}

// Measure works out what a rule pays for one face: its outline over everything,
// less what the rule deducts for openings, and the painted reveals where it pays
// for them. Slopes and gables count by their true area. Warnings say what the
// rule wants to know and the job does not tell.
func Measure(rule *catalog.MeasuringRule, w *survey.Wall, f *survey.Face) (Measured, []job.Warning) {
	r := ruler{rule.Round.Likely}
	m := Measured{Face: f.ID}
	gross := grossArea(r, rule, w, f).item()
	m.Gross = paid(gross)
	low, high, floor := heights(f, w)
	jambLow, jambHigh := low, high // a jamb runs on behind skirting and cornice
	if floor {
		jambLow = unit.Length(math.Inf(-1))
		if measuredOver(rule, w) {
			low -= w.Skirting
		}
	}
	if w.Dado == 0 || !floor {
		jambHigh = unit.Length(math.Inf(1))
	}
	var warnings []job.Warning
	rest, reveals := gross, int64(0)
	for _, i := range f.Openings {
		if i < 0 || i >= len(w.Openings) {
			continue
		}
		o := &w.Openings[i]
		whole := openingArea(r, o)
		class := classOf(rule, whole)
		share := overlap(o, low, high)
		take, why := deduct(class, o)
		if class != nil && class.Deduct == "by-faces" && o.Beyond == "" {
			warnings = append(warnings, job.Warning{Path: o.Path, Name: f.ID + ", " + o.Name,
				What: fmt.Sprintf("%s asks what the wall beyond %s gets, and the job does not say; another finish is taken.", rule.Name, o.Name),
				Do:   "Write beyond: same, different or none, and the reveal of the other side."})
		}
		taken := squareMM(math.Floor(float64(whole)*share*take + 0.5)).item()
		rest -= taken
		m.Deducted = append(m.Deducted, Deduction{o.Name, paid(whole.item()), paid(taken), why})
		if rule.Reveals == "always" || rule.Reveals == "by-class" && class != nil && class.Reveals {
			reveals += revealArea(r, o, jambLow, jambHigh).item()
		}
	}
	m.Reveals = paid(reveals)
	m.Paid = paid(max(0, rest) + reveals)
	return m, warnings
}

// classOf is the first class of the rule that holds an opening of this size.
func classOf(rule *catalog.MeasuringRule, a squareMM) *catalog.RuleClass {
	for i := range rule.Classes {
		if c := &rule.Classes[i]; c.UpTo == 0 || a <= squareMM(math.Round(c.UpTo*1e6)) {
			return c
		}
	}
	return nil
}

// deduct is the share of an opening that a class takes off this face, and why.
func deduct(c *catalog.RuleClass, o *survey.Opening) (share float64, why string) {
	if c == nil {
		return 0, "The rule has no class for it."
	}
	switch c.Deduct {
	case "whole":
		return 1, c.Why
	case "by-faces":
		return byFaces(o)
	}
	return 0, c.Why
}

// byFaces is the middle class of IS 1200-13: an opening comes off one face only,
// the one with the narrower reveal; with equal reveals half comes off each
// (clause 3.2, read in part second-hand). Where the other face is not
// treated this face alone is looked at, in the same way.
func byFaces(o *survey.Opening) (share float64, why string) {
	beyond := map[string]string{"same": "The other face gets the same finish", "none": "The other face is not treated"}[o.Beyond]
	if beyond == "" {
		beyond = "The other face gets another finish"
	}
	switch {
	case o.Reveal < o.Other:
		return 1, beyond + "; the narrower reveal is on this side, so the whole opening comes off here."
	case o.Reveal > o.Other:
		return 0, beyond + "; the wider reveal is on this side, so nothing comes off here."
	}
	return 0.5, beyond + "; the reveals are equal, so half the opening comes off here."
}

// openingArea is the area of a whole opening from its rounded width and height,
// an arch or a circle in proportion.
func openingArea(r ruler, o *survey.Opening) squareMM {
	width, height := float64(o.Right-o.Left), float64(o.Head-o.Sill)
	if width <= 0 || height <= 0 {
		return 0
	}
	rounded := r.mm(width) * r.mm(height)
	if o.Shape == "" || o.Shape == "rect" {
		return squareMM(math.Round(rounded))
	}
	return squareMM(math.Round(float64(o.Area) * 1e6 * rounded / (width * height)))
}

// overlap is the share of an opening's height that lies in a face.
func overlap(o *survey.Opening, low, high unit.Length) float64 {
	if o.Head <= o.Sill {
		return 0
	}
	return min(1, max(0, float64((min(high, o.Head)-max(low, o.Sill))/(o.Head-o.Sill))))
}

// heights are between which heights a face lies, and whether it is the one that
// comes down to the skirting.
func heights(f *survey.Face, w *survey.Wall) (low, high unit.Length, floor bool) {
	low, high = unit.Length(math.Inf(1)), unit.Length(math.Inf(-1))
	for _, p := range f.Gross {
		low, high = min(low, unit.Length(p.Y)), max(high, unit.Length(p.Y))
	}
	return low, high, w.Dado == 0 || low < w.Dado-w.DadoRail
}

// measuredOver reports whether the rule counts the skirting of a wall as wall.
func measuredOver(rule *catalog.MeasuringRule, w *survey.Wall) bool {
	return w.Skirting > 0 && float64(w.Skirting) <= rule.LowSkirting.Likely
}

// revealArea is the painted part of a reveal between two heights, from rounded
// dimensions. An arch or a circle keeps its measured proportion.
func revealArea(r ruler, o *survey.Opening, low, high unit.Length) squareMM {
	if len(o.Painted) == 0 || o.Reveal <= 0 {
		return 0
	}
	share := overlap(o, low, high)
	depth := r.mm(float64(o.Reveal))
	if o.Shape != "" && o.Shape != "rect" {
		return squareMM(math.Round(float64(o.RevealArea) * 1e6 * share * depth / float64(o.Reveal)))
	}
	width, height := r.mm(float64(o.Right-o.Left)), r.mm(float64(o.Head-o.Sill))
	length := 0.0
	if slices.Contains(o.Painted, "sides") {
		length += 2 * height * share
	}
	if slices.Contains(o.Painted, "head") && o.Head > low && o.Head <= high {
		length += width
	}
	if slices.Contains(o.Painted, "sill") && o.Sill >= low && o.Sill < high {
		length += width
	}
	return squareMM(math.Round(length * depth))
}

// grossArea is the face over its openings, from dimensions rounded from its lower
// left. Where the rule measures over low skirtings the face reaches to the floor.
func grossArea(r ruler, rule *catalog.MeasuringRule, w *survey.Wall, f *survey.Face) squareMM {
	n := len(f.Gross)
	if n < 3 {
		return 0
	}
	type point struct{ x, y float64 }
	ring := make([]point, n)
	for i, p := range f.Gross {
		ring[i] = point{p.X, p.Y}
	}
	if _, _, floor := heights(f, w); floor && measuredOver(rule, w) {
		for i, p := range f.Gross {
			// an outline runs anticlockwise: its lower edges go to the right
			before, after := f.Gross[(i+n-1)%n], f.Gross[(i+1)%n]
			if after.X > p.X+1e-6 || p.X > before.X+1e-6 {
				ring[i].y -= float64(w.Skirting)
			}
		}
	}
	left, bottom := math.Inf(1), math.Inf(1)
	for _, p := range ring {
		left, bottom = min(left, p.x), min(bottom, p.y)
	}
	twice := 0.0
	for i, p := range ring {
		q := ring[(i+1)%n]
		px, py, qx, qy := r.mm(p.x-left), r.mm(p.y-bottom), r.mm(q.x-left), r.mm(q.y-bottom)
		twice += px*qy - qx*py // whole millimetres: exact in a float64
	}
	return squareMM(math.Floor(math.Abs(twice)/2 + 0.5))
}
