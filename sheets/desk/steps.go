package desk

import (
	"fmt"
	"strings"

	"scumble/catalog"
	"scumble/method"
	"scumble/quantity"
	"scumble/schedule"
	"scumble/sheets/drafting"
)

// MixWords say which bucket, how much of it, and both volumes and weights.
func (d *Desk) MixWords(s method.Step) string {
	mix, use := d.MixOf(s.ID)
	if mix == nil {
		return ""
	}
	name, _, _ := strings.Cut(mix.Product.Name, ",") // the list of mixes has it in full
	if mix.Colour.Name != "" {
		name = mix.Colour.Name + ", " + strings.ToLower(name)
	}
	laid, measure := mix.AsBought(use.Laid)
	text := fmt.Sprintf("%s %s\nlaid %s", mix.ID, name, laid.Words(2, measure))
	if mix.Thinner == nil {
		return text + "\nnot thinned"
	}
	return text + fmt.Sprintf("\nmix %s + %s %s\n%s + %s", use.Stock, use.Thin, ThinnerName(mix), use.StockMass, use.ThinMass)
}

// ToolWords name the tools and goods of a step.
func ToolWords(s method.Step) string {
	var names []string
	for _, g := range append(append([]*catalog.Good(nil), s.Tools...), s.Goods...) {
		names = append(names, strings.ToLower(g.Name))
	}
	return strings.Join(names, ", ")
}

// ByShape orders cautions: holds, cautions, notes.
func ByShape(cautions []*catalog.Caution) []*catalog.Caution {
	var out []*catalog.Caution
	for _, shape := range []string{"hold", "caution", "note"} {
		for _, c := range cautions {
			if c.Shape == shape {
				out = append(out, c)
			}
		}
	}
	return out
}

// Notice is a caution of the catalog with whose word comes first and where it was read.
func (d *Desk) Notice(c *catalog.Caution) drafting.Notice {
	source := string(c.Kind)
	if s := d.Plan.Catalog.Sources[c.Source]; s != nil {
		source = s.Cite
	}
	return drafting.Notice{Shape: drafting.ShapeNamed(c.Shape), Title: c.Title, Text: c.Text, Defers: c.Defers, Source: source}
}

// CautionsOf are the cautions of some steps, each once, in order of need.
func CautionsOf(steps []method.Step) []*catalog.Caution {
	var out []*catalog.Caution
	seen := map[string]bool{}
	for _, s := range steps {
		for _, c := range s.Cautions {
			if !seen[c.ID] {
				seen[c.ID] = true
				out = append(out, c)
			}
		}
	}
	return out
}

// GlazeWords name the glaze of a face, its colours, and the grounds under it.
func (d *Desk) GlazeWords(face *method.Face) string {
	p := d.Plan.Catalog.Products[face.Finish.With]
	words := strings.ToLower(p.Name) + " " + face.Finish.Glaze.Name
	if face.Finish.GlazeB.Name != "" {
		words += " and " + face.Finish.GlazeB.Name
	}
	words += " over " + face.Finish.Ground.Name
	if face.Finish.GroundB.Name != "" {
		words += " and " + face.Finish.GroundB.Name
	}
	return words
}

// Variation is the agreed variation of the technique of a face, or nil.
func Variation(face *method.Face) *catalog.Variation {
	for i := range face.Technique.Variations {
		if face.Technique.Variations[i].ID == face.Finish.Variation {
			return &face.Technique.Variations[i]
		}
	}
	return nil
}

// Tasks are the placed steps by step ID.
func (d *Desk) Tasks() map[string]*schedule.Task {
	out := map[string]*schedule.Task{}
	for i := range d.Plan.Programme.Tasks {
		out[d.Plan.Programme.Tasks[i].Step] = &d.Plan.Programme.Tasks[i]
	}
	return out
}

// MixOf finds the batch a step draws from and how much of it.
func (d *Desk) MixOf(step string) (*quantity.Mix, *quantity.Use) {
	for m := range d.Plan.Quantities.Mixes {
		mix := &d.Plan.Quantities.Mixes[m]
		for u := range mix.Uses {
			if mix.Uses[u].Step == step {
				return mix, &mix.Uses[u]
			}
		}
	}
	return nil, nil
}
