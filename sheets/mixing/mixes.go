// Package mixing holds the papers of the bucket and the shop: mixes, labels and the
// buying list.
package mixing

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"scumble/catalog"
	"scumble/draw"
	"scumble/method"
	"scumble/quantity"
	"scumble/sheets/desk"
	"scumble/sheets/drafting"
	"scumble/unit"
)

// Mixes lists every batch to make up, says how, and gives the buckets their labels.
func Mixes(d *desk.Desk) (draw.Doc, error) {
	book := d.Book("Mixes")
	addMixes(d, book.Part("", d.Turned()))
	addBoxing(d, book.Part("how to make up a batch", d.Upright()))
	labels, err := labels(d)
	if err != nil {
		return draw.Doc{}, err
	}
	addLabels(d, book.Part("labels, cut at the marks", d.Upright()), labels)
	return book.Doc("Every batch with both volumes and weights, and labels for the buckets"), nil
}

// addMixes is the list of batches.
func addMixes(d *desk.Desk, fl *draw.Flow) {
	drafting.AddTitle(fl, "What to mix", "Each line is one batch for all its walls: made up once, boxed, and drawn from until the last wall is done.")
	table := drafting.Table([]draw.Column{{Title: "Mix", Width: 9}, {Title: "Product and where it goes", Flex: 1}, {Title: "Colour", Width: 22},
		{Title: "Ready mix", Unit: "L", Width: 25, Align: draw.Right}, {Title: "Product", Unit: "L", Width: 14, Align: draw.Right}, {Title: "Thinner", Unit: "L", Width: 14, Align: draw.Right},
		{Title: "Product", Unit: "g", Width: 16, Align: draw.Right}, {Title: "Thinner", Unit: "g", Width: 14, Align: draw.Right},
		{Title: "Parts, and the other reading", Width: 43}, {Title: "Solids", Unit: "%", Width: 12, Align: draw.Right}})
	table.Gap = 3
	group := ""
	for _, m := range mixesInOrder(d) {
		if g := mixGroup(m); g != group {
			group = g
			table.Rows = append(table.Rows, drafting.GroupRow(group))
		}
		thin, thinMass := "–", "–"
		if desk.Thinned(m) {
			thin, thinMass = m.Thin.Fixed(2), grams(m.ThinMass)
		}
		solids := "–"
		if m.Solids > 0 {
			solids = unit.Figure(float64(m.Solids)*100, 0)
		}
		parts, other := desk.PartsWords(m), otherWords(m)
		table.Rows = append(table.Rows, draw.Row{Cells: []draw.Cell{
			{Text: m.ID, Bold: true},
			{Text: m.Product.Name, Note: stepsWords(m, usesOf(d, m)) + ". " + desk.WallsWords(m)},
			desk.MixColour(m),
			{Text: m.Ready.Likely.Fixed(2), Bold: true, Note: fmt.Sprintf("from %s to %s", m.Ready.Low.Fixed(2), m.Ready.High.Fixed(2))},
			{Text: m.Stock.Fixed(2)}, {Text: thin}, {Text: grams(m.StockMass)}, {Text: thinMass},
			{Text: parts, Note: other}, {Text: solids},
		}})
	}
	fl.Table(table)
	drafting.AddNote(fl, "Ready mix is the likely need with what is lost in trays, rollers and cans, and with what is kept for touching up. Weights follow from the densities in the catalog; the product's own sheet comes first. "+
		"Solids are the share by volume that stays on the wall once it is dry.")
}

// mixGroups head the list of mixes, by the part a product plays.
var mixGroups = []struct {
	role catalog.Role
	name string
}{{catalog.RolePrimer, "Primers"}, {catalog.RoleFiller, "Fillers"}, {catalog.RoleGround, "Ground coats"}, {catalog.RoleGlaze, "Glazes"}, {catalog.RoleClear, "Protective coats"}}

func mixGroup(m *quantity.Mix) string {
	for _, g := range mixGroups {
		if g.role == m.Product.Role {
			return g.name
		}
	}
	return "Others"
}

// mixesInOrder are the batches by group, in a group as the plan numbers them.
func mixesInOrder(d *desk.Desk) []*quantity.Mix {
	var out []*quantity.Mix
	for i := range d.Plan.Quantities.Mixes {
		out = append(out, &d.Plan.Quantities.Mixes[i])
	}
	at := func(m *quantity.Mix) int {
		i := 0
		for i < len(mixGroups) && mixGroups[i].role != m.Product.Role {
			i++
		}
		return i
	}
	slices.SortStableFunc(out, func(a, b *quantity.Mix) int { return cmp.Compare(at(a), at(b)) })
	return out
}

// grams prints a mass for the scale; what no site scale holds is in kilograms.
func grams(m unit.Mass) string {
	if m >= 100 {
		return m.Fixed(0) + "\u00a0kg"
	}
	return unit.Figure(float64(m)*1000, 0)
}

// otherWords say what the same percentage would give, read the other way.
func otherWords(m *quantity.Mix) string {
	if m.Other == nil {
		return ""
	}
	how := "Read as %s of the finished mix"
	if m.Other.Reading == "parts" {
		how = "Read as %s parts on 100"
	}
	percent := m.Percent.String()
	if m.Other.Reading == "parts" {
		percent = unit.Figure(float64(m.Percent)*100, 0)
	}
	return fmt.Sprintf(how+" it would be %s + %s L, solids %s\u00a0%%.", percent, m.Other.Stock.Fixed(2), m.Other.Thin.Fixed(2), unit.Figure(float64(m.Other.Solids)*100, 0))
}

// drawn is a use of a mix beside its step.
type drawn struct {
	use  *quantity.Use
	step *method.Step
}

// usesOf pairs the uses of a mix with their steps.
func usesOf(d *desk.Desk, m *quantity.Mix) []drawn {
	var out []drawn
	for i := range m.Uses {
		out = append(out, drawn{&m.Uses[i], step(d, m.Uses[i].Step)})
	}
	return out
}

// step finds a step of a face by its ID, or nil.
func step(d *desk.Desk, id string) *method.Step {
	face, _, _ := strings.Cut(id, "#")
	for f := range d.Plan.Method.Faces {
		if d.Plan.Method.Faces[f].ID != face {
			continue
		}
		for s := range d.Plan.Method.Faces[f].Steps {
			if d.Plan.Method.Faces[f].Steps[s].ID == id {
				return &d.Plan.Method.Faces[f].Steps[s]
			}
		}
	}
	return nil
}

// stepsWords name the steps a mix serves, each once: "First ground coat; second
// ground coat".
func stepsWords(m *quantity.Mix, uses []drawn) string {
	var names []string
	for _, u := range uses {
		name := desk.Capital(desk.StepName(u.use.Step))
		if u.step != nil {
			name = desk.TitleWithout(u.step.Title, m)
		}
		if len(names) > 0 {
			name = desk.Lowered(name)
		}
		if !slices.ContainsFunc(names, func(n string) bool { return strings.EqualFold(n, name) }) {
			names = append(names, name)
		}
	}
	return strings.Join(names, "; ")
}

// handlingFacts tell the crew about each product of the job and what thins it, once.
func handlingFacts(d *desk.Desk) []drafting.Fact {
	var facts []drafting.Fact
	add := func(p *catalog.Product) {
		name, _, _ := strings.Cut(p.Name, ",")
		if fact := (drafting.Fact{Name: name, Value: p.Handling}); !slices.Contains(facts, fact) {
			facts = append(facts, fact)
		}
	}
	var thinners []*catalog.Product
	for _, m := range mixesInOrder(d) {
		add(m.Product)
		if desk.Thinned(m) {
			thinners = append(thinners, m.Thinner)
		}
	}
	for _, p := range thinners {
		add(p)
	}
	return facts
}

// addBoxing says how a batch is made up so that it is one colour throughout.
func addBoxing(d *desk.Desk, fl *draw.Flow) {
	drafting.AddTitle(fl, "How to make up a batch", "Once for each mix, before the first wall it goes on; common practice.")
	if cautions := slices.DeleteFunc(d.ThinningCautions(), func(c *catalog.Caution) bool { return c.Shape == "note" }); len(cautions) > 0 {
		fl.Keep(func() {
			drafting.AddHead(fl, "Before you start")
			d.AddSourcedCautions(fl, cautions)
		})
	}
	fl.Space(1)
	for i, line := range []string{
		"Read the labels of all tins: same product, same colour, same batch number. If numbers differ, box them together now; afterwards it is too late.",
		"Gloves on, and glasses where it can splash. Stir each tin to the bottom until nothing sticks to the stick.",
		"Pour all tins into one clean bucket large enough for the whole batch, then pour to and fro between two buckets until no streak shows. This is boxing.",
		"Add the thinner by the figures of the list, slowly and stirring. Use volumes or weights, not both; a scale is surer. Never mix by eye.",
		"Strain the mix through a paint strainer into the bucket it is used from.",
		"Stick the label on the bucket, not on the lid. Write the batch number, the date and who mixed it on the label and in the list.",
		"Try it on the sample board. Compare when dry.",
		"Fill what is kept for touching up into a small tight tin straight away, label it, and leave it with the house.",
		"Never fill up with a new batch in the middle of a wall. When it may run short, stop at a corner and box what is left with the new tins.",
	} {
		fl.Hanging(fmt.Sprint(i+1), line, drafting.Body(), 7)
	}
	drafting.AddHead(fl, "How to handle each product")
	drafting.AddFacts(fl, 44, handlingFacts(d)...)
	drafting.AddHead(fl, "What 80 % means")
	drafting.AddBody(fl, "A percentage of thinner can be read in two ways. Read as parts, 80 % is 80 of thinner on 100 of product. Read as a share of the finished mix, it is 80 in every 100, four times as much thinner as product. "+
		"These lists read it as parts unless the job says otherwise, print both volumes every time, and show beside it what the other reading would give. Ask the product's sheet before the first tin is opened.")
}
