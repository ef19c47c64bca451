package method

import (
	"fmt"
	"slices"
	"strings"

	"scumble/catalog"
	"scumble/job"
	"scumble/unit"
)

// usual is the product of a role when neither substrate nor finish names one.
var usual = map[catalog.Role]string{
	catalog.RolePrimer:  "alkali-resisting-primer", // safe on an unknown mineral ground
	catalog.RoleFiller:  "fine-filler",
	catalog.RoleGround:  "satin-ground-coat",
	catalog.RoleGroundB: "satin-ground-coat",
	catalog.RoleRelief:  "alkali-resisting-primer",
}

// glazeID is the glaze of a finish, else the first its technique names.
func glazeID(f *job.Finish, t *catalog.Technique) string {
	if f.With != "" || len(t.Glazes) == 0 {
		return f.With
	}
	return t.Glazes[0]
}

// product finds what plays a role on this face.
func (e *expander) product(w *work, rule placedRule) *catalog.Product {
	id, path := usual[rule.Role], rule.path+".role"
	switch rule.Role {
	case catalog.RolePrimer:
		if w.Substrate != nil {
			id, path = w.Substrate.Primer, "substrates/"+w.Substrate.ID+"/primer"
		} else if w.wall.Substrate == "" {
			e.warn(w.Path, w.ID, "nothing says what the wall is made of; it is primed as if it were new plaster",
				"name the substrate of the wall or the room")
		}
	case catalog.RoleGround, catalog.RoleGroundB:
		if w.Finish.GroundCoat != "" {
			id, path = w.Finish.GroundCoat, w.finishPath+".ground-coat"
		}
	case catalog.RoleGlaze, catalog.RoleGlazeB:
		id, path = glazeID(w.Finish, w.Technique), w.finishPath+".with"
	case catalog.RoleClear:
		id, path = w.Finish.Clear, w.finishPath+".clear"
	}
	found := e.catalog.Products[id]
	if found == nil {
		e.problem(path, fmt.Sprintf("the catalog has no product %q to serve as %s", id, rule.Role), "use one of "+names(e.catalog.Products))
	}
	return found
}

// letDown settles how much thinner goes into what a step lays. The product's own
// dilution counts unless the step is laid undiluted; what the job says about the
// glaze of a finish goes before both.
func (e *expander) letDown(w *work, rule placedRule, product *catalog.Product) LetDown {
	if product == nil {
		return LetDown{}
	}
	let := LetDown{Reading: "parts"}
	if product.Dilution != nil {
		let.Thinner = e.catalog.Products[product.Dilution.Thinner]
		if let.Thinner == nil {
			e.problem("products/"+product.ID+"/dilution.thinner",
				fmt.Sprintf("the catalog has no product %q", product.Dilution.Thinner), "use one of "+names(e.catalog.Products))
			return LetDown{}
		}
		let.Percent = unit.Ratio(product.Dilution.Parts.Likely)
		let.Path = "products/" + product.ID + "/dilution.parts"
	}
	if rule.Undiluted {
		let.Percent, let.Path = 0, rule.path+".undiluted"
	}
	if rule.Role == catalog.RoleGlaze || rule.Role == catalog.RoleGlazeB {
		e.ownLetDown(w, rule, product, &let)
	}
	switch {
	case let.Percent <= 0:
		return LetDown{Reading: "parts", Path: let.Path}
	case let.Reading == "share":
		let.Parts = let.Percent / (1 - let.Percent)
	default:
		let.Parts = let.Percent
	}
	return let
}

// ownLetDown applies what the job says about letting down the glaze of a finish.
func (e *expander) ownLetDown(w *work, rule placedRule, product *catalog.Product, let *LetDown) {
	said := w.Finish.LetDown
	path := w.finishPath + ".let-down"
	if said.Percent.Given() {
		if rule.Undiluted && said.Percent.Value > 0 {
			e.warn(path, w.Finish.ID, fmt.Sprintf("%s is laid undiluted as a rule; this job thins it by %s", w.Technique.Name, said.Percent.Value),
				"make the sample board with the thinned glaze first")
		}
		if said.Percent.Value > 0 && let.Thinner == nil {
			e.problem(path+".percent", fmt.Sprintf("%s has no thinner", product.Name), "take the percentage out or use another glaze")
		}
		if said.Percent.Value > 0.5 && said.Reading == "" {
			e.warn(path+".percent", w.Finish.ID, fmt.Sprintf("%s of thinner can be read in two ways; it is read as parts on 100 of product", said.Percent.Value),
				`say so: "reading: parts" or "reading: share" (of the finished mix); the other reading is printed beside it`)
		}
		let.Percent, let.Path = said.Percent.Value, path+".percent"
	}
	switch said.Reading {
	case "", "parts":
	case "share":
		let.Reading = "share"
		if let.Percent >= 1 {
			e.problem(path+".percent", fmt.Sprintf("%s cannot be a share of the mix: nothing would be left of the glaze", let.Percent),
				`give less than 100 % or say "reading: parts"`)
			let.Percent = 0
		}
	default:
		e.problem(path+".reading", fmt.Sprintf("the reading %q is not known", said.Reading), "write parts or share")
	}
}

// checkFinish looks at one finish of the job by itself.
func (e *expander) checkFinish(at int) {
	f := &e.job.Finishes[at]
	path := fmt.Sprintf("finishes[%d]", at)
	t := e.catalog.Techniques[f.Technique]
	if t == nil {
		e.problem(path+".technique", fmt.Sprintf("the catalog has no technique %q", f.Technique), "use one of "+names(e.catalog.Techniques))
		return
	}
	e.checkColours(path, f, t)
	if f.With != "" && len(t.Glazes) > 0 && !slices.Contains(t.Glazes, f.With) {
		e.warn(path+".with", f.ID, fmt.Sprintf("%s is not described with %q", t.Name, f.With),
			"make a sample board before relying on it, or use one of "+strings.Join(t.Glazes, ", "))
	}
	known := func(v catalog.Variation) bool { return v.ID == f.Variation }
	if f.Variation != "" && !slices.ContainsFunc(t.Variations, known) {
		var ids []string
		for _, v := range t.Variations {
			ids = append(ids, v.ID)
		}
		do := t.Name + " has no variations; take the word out"
		if len(ids) > 0 {
			do = "use one of " + strings.Join(ids, ", ")
		}
		e.warn(path+".variation", f.ID, fmt.Sprintf("%s has no variation %q; it is done in the usual way", t.Name, f.Variation), do)
	}
}

// checkColours warns of colours the technique needs and the finish does not name.
func (e *expander) checkColours(path string, f *job.Finish, t *catalog.Technique) {
	for _, role := range t.Colours {
		own := map[catalog.Role]job.Colour{
			catalog.RoleGround: f.Ground, catalog.RoleGroundB: f.GroundB,
			catalog.RoleGlaze: f.Glaze, catalog.RoleGlazeB: f.GlazeB,
		}[role]
		if own.Name == "" {
			e.warn(path+"."+string(role), f.ID, fmt.Sprintf("no %s colour is named", strings.ReplaceAll(string(role), "-b", " B")),
				"name it before anything is mixed or bought")
		}
	}
}

// names lists the ids of catalog records for a message.
func names[T any](records map[string]T) string {
	ids := make([]string, 0, len(records))
	for id := range records {
		ids = append(ids, id)
	}
	slices.Sort(ids)
	return strings.Join(ids, ", ")
}
