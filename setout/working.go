package setout

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"scumble/catalog"
	"scumble/geom"
	"scumble/survey"
	"scumble/unit"
)

// snap is how far, as a share of the section width, a break may be moved from the
// even division to an opening edge or a strip joint.
const snap = 0.15

// breaks are the places where work on a face may stop: its ends, opening edges,
// strip joints, and else an even grid no wider than a section.
func breaks(f *survey.Face, w *survey.Wall, marks []Mark, s catalog.Section) []Break {
	b := f.Gross.Bounds()
	list := []Break{
		{unit.Length(b.Min.X), "corner", "left end"},
		{unit.Length(b.Max.X), "corner", "right end"},
	}
	add := func(x unit.Length, kind, where string) {
		for _, have := range list {
			if math.Abs(float64(have.X-x)) < 1 {
				return
			}
		}
		if float64(x) > b.Min.X && float64(x) < b.Max.X {
			list = append(list, Break{x, kind, where})
		}
	}
	for _, k := range f.Openings {
		o := &w.Openings[k]
		add(o.Left, "opening", "left of "+o.Name)
		add(o.Right, "opening", "right of "+o.Name)
	}
	for _, m := range marks {
		add(m.Foot, "strip", fmt.Sprintf("joint %d", m.Number))
	}
	for _, x := range evenly(b.Min.X, b.Max.X, s.Width.Likely) {
		add(unit.Length(x), "grid", "between sections")
	}
	slices.SortStableFunc(list, func(a, b Break) int { return cmp.Compare(a.X, b.X) })
	return list
}

// mostSections bounds the sections along a face.
const mostSections = 500

// evenly divides a stretch into the fewest equal pieces no longer than width; the
// result are the inner cuts.
func evenly(from, to, width float64) []float64 {
	n := pieces(to-from, width)
	cuts := make([]float64, 0, n-1)
	for i := 1; i < n; i++ {
		cuts = append(cuts, from+(to-from)*float64(i)/float64(n))
	}
	return cuts
}

func pieces(length, width float64) int {
	if !(width > 0) || !(length > 0) {
		return 1
	}
	return int(min(max(1, math.Ceil(length/width-1e-9)), mostSections))
}

// Sections lays the working sections over the breaks of a face: equal pieces, each cut moved
// to an opening edge or a strip joint close by where no section gets wider than
// the technique allows. They are numbered column by column from the left, and from
// the top down, the order in which they are worked.
func Sections(f *survey.Face, list []Break, s catalog.Section) []Section {
	b := f.Gross.Bounds()
	cuts := append([]float64{b.Min.X}, snapped(b, list, s)...)
	cuts = append(cuts, b.Max.X)
	upright := rectangular(f.Gross)
	var all []Section
	for i := 1; i < len(cuts); i++ {
		x0, x1 := cuts[i-1], cuts[i]
		low, high := b.Min.Y, b.Max.Y
		column := geom.ClipBand(f.Field, x0, x1)
		if !upright { // on a slope a column has heights of its own
			c := column.Bounds()
			low, high = c.Min.Y, c.Max.Y
		}
		rows := pieces(high-low, s.Height.Likely)
		for k := range rows {
			y1 := high - (high-low)*float64(k)/float64(rows)
			y0 := high - (high-low)*float64(k+1)/float64(rows)
			area := geom.CutArea(column, y0, y1)
			if area < 100 { // a square centimetre
				continue
			}
			all = append(all, Section{
				Number: len(all) + 1, X0: unit.Length(x0), X1: unit.Length(x1),
				Y0: unit.Length(y0), Y1: unit.Length(y1), Area: unit.Area(area / 1e6),
			})
		}
	}
	return all
}

// rectangular reports an upright rectangle.
func rectangular(p geom.Polygon) bool {
	b := p.Bounds()
	return len(p) == 4 && p.Area() > (1-1e-9)*b.Width()*b.Height()
}

// snapped are the inner cuts of a face after moving them to breaks close by.
func snapped(b geom.Bounds, list []Break, s catalog.Section) []float64 {
	cuts := evenly(b.Min.X, b.Max.X, s.Width.Likely)
	widest := max(s.Width.Likely, s.Width.High)
	before := b.Min.X
	for i, even := range cuts {
		best := even
		near := snap * s.Width.Likely
		for _, at := range list {
			x := float64(at.X)
			left := float64(len(cuts) - i) // sections still to come
			off := math.Abs(x - even)
			if at.Kind != "opening" && at.Kind != "strip" || off >= near {
				continue
			}
			if x-before <= widest && x-before > 2*snap*s.Width.Likely && b.Max.X-x <= left*widest {
				best, near = x, off
			}
		}
		cuts[i] = best
		before = best
	}
	return cuts
}

// rows divide a face into rows of equal motifs, from the ceiling down: whole motifs
// from end to end in the first row, each next row moved on by the stagger, so that
// no motif starts exactly below the one above.
func rows(f *survey.Face, t *catalog.Rows) []Row {
	b := f.Gross.Bounds()
	if !(t.Motif.Likely > 0) || !(t.Height.Likely > 0) || !(b.Width() > 0) {
		return nil
	}
	count := min(max(1, math.Round(b.Width()/t.Motif.Likely)), 10000)
	motif := b.Width() / count
	n := int(min(max(1, math.Round(b.Height()/t.Height.Likely)), 10000))
	var list []Row
	for k := range n {
		move := wrap(float64(k)*t.Stagger.Likely, 1)
		row := Row{
			Y1: unit.Length(b.Max.Y - b.Height()*float64(k)/float64(n)), Y0: unit.Length(b.Max.Y - b.Height()*float64(k+1)/float64(n)),
			Start: unit.Length(b.Min.X), Motif: unit.Length(motif), Count: int(count),
		}
		if move > 1e-9 && move < 1-1e-9 {
			row.Start -= unit.Length((1 - move) * motif)
			row.Count++
		}
		list = append(list, row)
	}
	return list
}

// sheets is how many papers a face takes: enough to lay its area as many times
// over as the technique asks, and at least enough to cover it with the overlaps.
func sheets(f *survey.Face, t *catalog.Sheets, good *catalog.Good, s catalog.Section) (*Sheets, error) {
	if good == nil || good.Width == nil || !(good.Width.Likely > 0) {
		return nil, fmt.Errorf("good %s needs a width to be laid as sheets; add it to the catalog", t.Good)
	}
	width := good.Width.Likely
	height := width
	if s.Height.Likely > 0 { // paper off a roll is torn as long as the section is high
		height = s.Height.Likely
	}
	if good.Length != nil && good.Length.Likely > 0 {
		height = good.Length.Likely
	}
	b := f.Gross.Bounds()
	lap := t.Overlap.Likely
	if t.Overlap.Unit == "ratio" {
		lap *= width
	}
	if lap < 0 || lap > 0.9*min(width, height) {
		return nil, fmt.Errorf("an overlap of %s does not suit sheets of %s by %s; correct it in the catalog", unit.Length(lap), unit.Length(width), unit.Length(height))
	}
	across := func(length, sheet float64) int {
		return max(1, int(math.Ceil((length-lap)/(sheet-lap)-1e-9)))
	}
	area := float64(f.Net) * 1e6
	count := math.Ceil(max(t.Layers.Likely*area/(width*height), area/((width-lap)*(height-lap))) - 1e-9)
	return &Sheets{
		Good: t.Good, Across: across(b.Width(), width), Up: across(b.Height(), height), Layers: t.Layers.Likely,
		Count: int(count), Need: int(math.Ceil(count/max(1, t.Reuse.Likely) - 1e-9)),
		Width: unit.Length(width), Height: unit.Length(height), Overlap: unit.Length(lap),
	}, nil
}
