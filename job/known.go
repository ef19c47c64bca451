package job

import (
	"fmt"
	"maps"
	"slices"
)

// Known is what a catalog holds, as far as a job refers to it. The caller fills
// it in; a nil map or function leaves its check out.
type Known struct {
	Techniques, Products, Substrates, Rules, Goods map[string]bool

	Colours    map[string][]string // technique -> colours it needs: ground, ground-b, glaze, glaze-b
	Glazes     map[string][]string // technique -> ids of the glaze products it can be done with
	Variations map[string][]string // technique -> ids of its variations
	Strips     map[string]bool     // techniques set out in strips
	ByMass     map[string]bool     // products bought by mass
	Figure     func(path string) (rivals []string, ok bool)
	// Learn is the unit of a figure that walls can teach; why tells that none can.
	Learn func(path string) (measure string, ok bool, why error)
}

// CheckAgainst finds references to what the catalog does not hold, and finishes
// that do not suit their technique, all at once, sorted by place.
func (f *File) CheckAgainst(ids Known) []Problem {
	c := &checker{file: f}
	for i, finish := range f.Job.Finishes {
		c.against(fmt.Sprintf("finishes[%d]", i), finish, ids)
	}
	for i, r := range f.Job.Rooms {
		path := fmt.Sprintf("rooms[%d]", i)
		c.known(path+".substrate", r.Substrate, "substrate", ids.Substrates)
		for k, w := range r.Walls {
			c.known(fmt.Sprintf("%s.walls[%d].substrate", path, k), w.Substrate, "substrate", ids.Substrates)
		}
	}
	for i, p := range f.Job.Prices.Packs {
		path := fmt.Sprintf("prices.packs[%d]", i)
		c.known(path+".product", p.Product, "product", ids.Products)
		size, err := readContent(p.Size)
		if err != nil || ids.ByMass == nil || !ids.Products[p.Product] {
			continue
		}
		switch {
		case ids.ByMass[p.Product] && !size.mass:
			c.add(path+".size", p.Product+" is sold by mass, not by volume", "write the content in kg, g or lb")
		case !ids.ByMass[p.Product] && size.mass:
			c.add(path+".size", p.Product+" is sold by volume, not by mass", "write the content in L, ml or gallons")
		}
	}
	for i, g := range f.Job.Prices.Goods {
		c.known(fmt.Sprintf("prices.goods[%d].good", i), g.Good, "entry of goods", ids.Goods)
	}
	c.known("terms.rule", f.Job.Terms.Rule, "measuring rule", ids.Rules)
	for i, choice := range f.Job.Figures {
		c.figure(fmt.Sprintf("figures[%d]", i), choice, ids)
	}
	for i := range f.Job.Observed {
		c.observation(fmt.Sprintf("observed[%d]", i), &f.Job.Observed[i], ids)
	}
	return f.Placed(c.problems)
}

// known notes an id that is not in the catalog.
func (c *checker) known(path, id, what string, ids map[string]bool) {
	if id == "" || ids == nil || ids[id] {
		return
	}
	c.add(path, quoted(id)+" is no "+what+" of the catalog", instead(id, slices.Sorted(maps.Keys(ids))))
}

func (c *checker) against(path string, f Finish, ids Known) {
	c.known(path+".technique", f.Technique, "technique", ids.Techniques)
	for _, product := range []struct{ key, id string }{{"with", f.With}, {"ground-coat", f.GroundCoat}, {"clear", f.Clear}} {
		c.known(path+"."+product.key, product.id, "product", ids.Products)
	}
	if !ids.Techniques[f.Technique] {
		return
	}
	if glazes := ids.Glazes[f.Technique]; ids.Products[f.With] && len(glazes) > 0 && !slices.Contains(glazes, f.With) {
		c.add(path+".with", f.Technique+" is not done with "+f.With, "write "+oneOf(glazes))
	}
	if names := ids.Variations[f.Technique]; f.Variation != "" && ids.Variations != nil && !slices.Contains(names, f.Variation) {
		do := "leave it out"
		if len(names) > 0 {
			do = instead(f.Variation, names)
		}
		c.add(path+".variation", quoted(f.Variation)+" is no variation of "+f.Technique, do)
	}
	given := map[string]Colour{"ground": f.Ground, "ground-b": f.GroundB, "glaze": f.Glaze, "glaze-b": f.GlazeB}
	for _, key := range ids.Colours[f.Technique] {
		if given[key] == (Colour{}) && c.file.whole(path+"."+key) {
			c.lack(path+"."+key, f.Technique+" needs this colour: add its name and hex")
		}
	}
	if ids.Strips != nil && !ids.Strips[f.Technique] && f.Strips != (Strips{}) {
		c.add(path+".strips", f.Technique+" is not set out in strips", "leave strips out")
	}
}

func (c *checker) figure(path string, choice Choice, ids Known) {
	if ids.Figure == nil || choice.Of == "" {
		return
	}
	rivals, ok := ids.Figure(choice.Of)
	switch {
	case !ok:
		c.add(path+".of", quoted(choice.Of)+" is no figure of the catalog", "write its path, such as techniques/frottage/section.width")
	case choice.Use != "" && len(rivals) == 0:
		c.add(path+".use", choice.Of+" has no rival figures", "give the crew's own with value")
	case choice.Use != "" && !slices.Contains(rivals, choice.Use):
		c.add(path+".use", quoted(choice.Use)+" is not the name of a rival figure of "+choice.Of, instead(choice.Use, rivals))
	}
}
