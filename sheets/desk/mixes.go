package desk

import (
	"fmt"
	"slices"
	"strings"

	"scumble/catalog"
	"scumble/draw"
	"scumble/quantity"
	"scumble/sheets/drafting"
	"scumble/sheets/pattern"
	"scumble/unit"
)

// Thinned reports whether anything goes into the product.
func Thinned(m *quantity.Mix) bool { return m.Thinner != nil && m.Parts > 0 }

// PartsWords say a dilution as a ratio that can be measured with any cup.
func PartsWords(m *quantity.Mix) string {
	if !Thinned(m) {
		return "as it is, not thinned"
	}
	return fmt.Sprintf("%s of %s to 100", unit.Figure(float64(m.Parts)*100, 0), ThinnerName(m))
}

// ThinnerName is the thinner in one or two words, after its id in the catalog.
func ThinnerName(m *quantity.Mix) string { return strings.ReplaceAll(m.Thinner.ID, "-", " ") }

// MixColour is the chip of a mix over its colour's name.
func MixColour(m *quantity.Mix) draw.Cell {
	if m.Colour.Name == "" {
		return draw.Cell{Text: "–"}
	}
	return draw.Cell{Text: m.Colour.Name, Height: 5, Draw: func(b draw.Box) []draw.Item {
		return drafting.Chip(draw.Box{X: b.X, Y: b.Y + 0.5, W: b.W, H: 4}, pattern.Colour(m.Colour))
	}}
}

// TitleWithout is the title of a step without the colour, which stands beside it.
func TitleWithout(title string, m *quantity.Mix) string {
	if m.Colour.Name == "" {
		return title
	}
	return strings.Replace(title, ", "+m.Colour.Name, "", 1)
}

// WallsWords name the walls a mix goes on, room by room; over more than two rooms
// it names the rooms only.
func WallsWords(m *quantity.Mix) string {
	var rooms []string
	faces := map[string][]string{}
	for _, u := range m.Uses {
		room, _, _ := strings.Cut(u.Face, "/")
		if !slices.Contains(rooms, room) {
			rooms = append(rooms, room)
		}
		if !slices.Contains(faces[room], u.Face) {
			faces[room] = append(faces[room], u.Face)
		}
	}
	if len(rooms) > 2 {
		return Listed(rooms) + "."
	}
	var said []string
	for _, room := range rooms {
		said = append(said, room+": "+WallsListed(faces[room]))
	}
	return strings.Join(said, "; ") + "."
}

// ThinningCautions are the cautions of everything that is thinned, each once.
func (d *Desk) ThinningCautions() []*catalog.Caution {
	var out []*catalog.Caution
	for i := range d.Plan.Quantities.Mixes {
		if !Thinned(&d.Plan.Quantities.Mixes[i]) {
			continue
		}
		for _, c := range d.CautionsIn(&d.Plan.Quantities.Mixes[i]) {
			if !slices.Contains(out, c) {
				out = append(out, c)
			}
		}
	}
	return out
}

// CautionsIn are the cautions of a mix: of its product and of what thins it.
func (d *Desk) CautionsIn(m *quantity.Mix) []*catalog.Caution {
	ids := slices.Clone(m.Product.Cautions)
	if Thinned(m) {
		ids = append(ids, m.Thinner.Cautions...)
	}
	var out []*catalog.Caution
	for _, id := range ids {
		if c := d.Plan.Catalog.Cautions[id]; c != nil && !slices.Contains(out, c) {
			out = append(out, c)
		}
	}
	return out
}

// Litres prints a volume to the centilitre with its unit.
func Litres(v unit.Volume) string { return v.Fixed(2) + "\u00a0L" }
