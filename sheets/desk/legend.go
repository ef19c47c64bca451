package desk

import (
	"scumble/draw"
	"scumble/method"
	"scumble/sheets/drafting"
)

// AllSteps finds a step of the method by its ID.
func (d *Desk) AllSteps() map[string]*method.Step {
	steps := map[string]*method.Step{}
	for i := range d.Plan.Method.Rooms {
		for s := range d.Plan.Method.Rooms[i].Steps {
			steps[d.Plan.Method.Rooms[i].Steps[s].ID] = &d.Plan.Method.Rooms[i].Steps[s]
		}
	}
	for i := range d.Plan.Method.Faces {
		for s := range d.Plan.Method.Faces[i].Steps {
			steps[d.Plan.Method.Faces[i].Steps[s].ID] = &d.Plan.Method.Faces[i].Steps[s]
		}
	}
	return steps
}

// Sign is one entry of the legend.
type Sign struct {
	Words string
	Width float64
	Draw  func(x, y float64) []draw.Item // y is the foot of the words
}

// LegendPlaces sets signs one after the other in as many lines, pitch mm apart, as a
// width in mm needs. Places count from the top left of the first line.
func (d *Desk) LegendPlaces(signs []Sign, width, pitch float64) (places []draw.Point, height float64) {
	x, y := 0.0, 0.0
	for _, s := range signs {
		w := s.Width + 1.6 + d.Fonts.Width(s.Words, drafting.Note())
		if x > 0 && x+w > width {
			x, y = 0, y+pitch
		}
		places = append(places, draw.Pt(x, y))
		x += w + 5
	}
	return places, y + pitch + 1
}

// LegendItems draws signs in lines, pitch mm apart, from the top left of a box.
func (d *Desk) LegendItems(signs []Sign, b draw.Box, pitch float64) []draw.Item {
	places, _ := d.LegendPlaces(signs, b.W, pitch)
	var items []draw.Item
	for i, s := range signs {
		x, y := b.X+places[i].X, b.Y+places[i].Y+pitch
		items = append(items, s.Draw(x, y)...)
		items = append(items, draw.Label(x+s.Width+1.6, y, s.Words, drafting.Note().Coloured(drafting.Ink), draw.Left))
	}
	return items
}
