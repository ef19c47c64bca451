package wall

import (
	"math"

	"scumble/draw"
	"scumble/sheets/desk"
	"scumble/sheets/drafting"
	"scumble/unit"
	"scumble/wetedge"
)

const (
	jointPitch = 3.3
	jointHead  = 4.4
	jointFoot  = 4.6
	jointName  = 6.0  // kept for a letter
	jointSaid  = 15.0 // kept for the figures
	jointGap   = 5.0
)

// joints sets the chart of how old every joint is against how long glaze stays open: a row
// a joint, in as many columns as keep it low.
func (p *pairPage) joints(fl *draw.Flow) {
	const fewRows, mostColumns = 9, 4
	a := p.answer
	columns := min(mostColumns, (len(a.Joints)+fewRows-1)/fewRows)
	rows := (len(a.Joints) + columns - 1) / columns
	fl.Keep(func() {
		head := "How old each joint is when the two meet"
		if a.Joints[0].B == 0 {
			head = "How old the glaze is at the last stroke"
		}
		drafting.AddHead(fl, head)
		fl.Block(jointHead+jointPitch*float64(rows)+jointFoot, func(b draw.Box) []draw.Item {
			w := (b.W - jointGap*float64(columns-1)) / float64(columns)
			var items []draw.Item
			for n := range columns {
				part := a.Joints[min(n*rows, len(a.Joints)):min((n+1)*rows, len(a.Joints))]
				items = append(items, p.jointColumn(part, n*rows, draw.Box{X: b.X + float64(n)*(w+jointGap), Y: b.Y, W: w, H: b.H})...)
			}
			return items
		})
		signs := []desk.Sign{
			{Words: "age of the joint", Width: 8, Draw: func(x, y float64) []draw.Item { return []draw.Item{draw.Rect(x, y-2, 8, 1.8).Filled(drafting.Grey)} }},
			{Words: "too old to join: foot earliest, head latest", Width: 9, Draw: func(x, y float64) []draw.Item {
				return tooOld(x+1, x+5, x+9, y-2.4, y)
			}},
			{Words: "likely end of the open time", Width: 2, Draw: func(x, y float64) []draw.Item {
				return []draw.Item{draw.Line(x+1, y-2.6, x+1, y+0.2, drafting.Edge())}
			}}}
		_, high := p.desk.LegendPlaces(signs, fl.Body().W, 4.2)
		fl.Block(high, func(b draw.Box) []draw.Item { return p.desk.LegendItems(signs, b, 4.2) })
	})
}

// tooOld is the stretch in which glaze is no longer open: its slanted beginning is the range
// of the open time.
func tooOld(low, high, end, top, bottom float64) []draw.Item {
	region := draw.Polygon([]draw.Point{draw.Pt(low, bottom), draw.Pt(end, bottom), draw.Pt(end, top), draw.Pt(high, top)})
	return []draw.Item{draw.Hatch(region.Outline, 0.9, 45, draw.Ink(0.12, drafting.Ink)), draw.Line(low, bottom, high, top, draw.Ink(0.25, drafting.Ink))}
}

// jointColumn draws some joints, the first of them the given one of the answer, under one scale.
func (p *pairPage) jointColumn(joints []wetedge.Joint, first int, b draw.Box) []draw.Item {
	a := p.answer
	left, width := b.X+jointName, b.W-jointName-jointSaid
	most := a.Open.High * 1.12
	for _, j := range a.Joints {
		most = max(most, j.Age*1.05, j.Open*1.05)
	}
	place := func(minute float64) float64 { return left + width*minute/most }
	top := b.Y + jointHead
	bottom := top + jointPitch*float64(len(joints))
	small := drafting.Letters().Sized(7)
	items := []draw.Item{draw.Label(b.X+b.W, b.Y+2.6, "min, of", small.Coloured(drafting.Grey), draw.Right)}
	step := nice(most, width/7)
	for m := 0.0; m <= most; m += step {
		items = append(items, draw.Line(place(m), top-0.8, place(m), bottom, draw.Ink(drafting.RuleWidth, drafting.Line)),
			draw.Label(place(m), bottom+3.2, unit.Figure(m, 0), small.Coloured(drafting.Grey), draw.Centre))
	}
	for i, j := range joints {
		y := top + jointPitch*float64(i)
		base := y + jointPitch/2 + small.CapHeight()/2
		name, fill, said := drafting.Letters().InBold(), drafting.Grey, small
		if first+i == a.Weakest {
			fill, said = drafting.Oxide, small.InBold()
		}
		items = append(items, draw.Label(b.X+jointName-1.5, base, j.Letter, name, draw.Right))
		items = append(items, tooOld(place(a.Open.Low), place(a.Open.High), place(most), y+0.3, y+jointPitch-0.3)...)
		items = append(items, draw.Rect(left, y+0.7, place(j.Age)-left, jointPitch-1.4).Filled(fill),
			draw.Line(place(j.Open), y+0.2, place(j.Open), y+jointPitch-0.2, drafting.Edge()),
			draw.Label(b.X+b.W, base, unit.Figure(j.Age, 0)+" of "+unit.Figure(j.Open, 0), said, draw.Right))
		if first+i == a.Weakest {
			items = append(items, draw.Group{Place: draw.Shift(place(most)+2.4, y+jointPitch/2), Items: weakHere()})
		}
	}
	return append(items, draw.Line(left, top-0.8, left, bottom, drafting.Edge()))
}

// weakHere is the small triangle beside the row of the weakest joint.
func weakHere() []draw.Item {
	return []draw.Item{draw.Polygon([]draw.Point{draw.Pt(0, -1.5), draw.Pt(1.6, 1.2), draw.Pt(-1.6, 1.2)}).Filled(drafting.Oxide)}
}

// nice is a round step that parts a range in about so many.
func nice(most, parts float64) float64 {
	want := most / max(1, parts)
	for _, step := range []float64{1, 2, 5, 10, 20, 30, 60, 120, 300, 600} {
		if step >= want {
			return step
		}
	}
	return math.Ceil(want/600) * 600
}
