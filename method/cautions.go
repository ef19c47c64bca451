package method

import (
	"fmt"
	"slices"
	"strings"

	"scumble/catalog"
	"scumble/survey"
)

// Cautions that follow from the step itself, whatever its rule says.
var standCaution = map[string]string{"steps": "steps", "platform": "platform", "scaffold": "scaffold"}

const (
	dustCaution = "sanding-dust"
	leadCaution = "lead-paint"
	leadLimits  = "lead-" // limits in years whose id starts so: last year of building in which paint may hold lead
)

// cautions gathers what must be said where a step is done, each once: from its
// rule, from what it lays and thins with, from what people stand on, from the
// dust it makes and from the age of the house.
func (e *expander) cautions(rule placedRule, step *Step) (list []*catalog.Caution) {
	ids := slices.Clone(rule.Cautions)
	if step.Product != nil {
		ids = append(ids, step.Product.Cautions...)
	}
	if step.Let.Thinner != nil {
		ids = append(ids, step.Let.Thinner.Cautions...)
	}
	if id := standCaution[step.Stand]; id != "" {
		ids = append(ids, id)
	}
	if step.Kind == Sand {
		ids = append(ids, dustCaution)
	}
	if (step.Kind == Sand || step.Number == 1 && step.Face != "") && e.mayHoldLead() {
		ids = append(ids, leadCaution)
	}
	seen := map[string]bool{}
	for _, id := range ids {
		if seen[id] {
			continue
		}
		seen[id] = true
		caution := e.catalog.Cautions[id]
		if caution == nil {
			e.problem(rule.path+".cautions", fmt.Sprintf("the catalog has no caution %q", id), "add the record: nobody should work without it")
			continue
		}
		list = append(list, caution)
	}
	return list
}

// mayHoldLead reports whether old paint in the house may hold lead: built up to the
// latest year the catalog names for any region, or at an unknown time. A catalog
// that names no year leaves every house under suspicion.
func (e *expander) mayHoldLead() bool {
	latest := 0.0
	for id, limit := range e.catalog.Limits {
		if limit.Value.Unit == "year" && strings.HasPrefix(id, leadLimits) {
			latest = max(latest, limit.Value.High)
		}
	}
	return latest == 0 || float64(e.job.Building.Built) <= latest
}

// warnSolvent warns of solvent in a room people live in.
func (e *expander) warnSolvent(r *survey.Room, works []*work) {
	occupied := e.job.Building.Occupied
	for i := range e.job.Rooms {
		if e.job.Rooms[i].Name == r.Name {
			occupied = occupied || e.job.Rooms[i].Occupied
		}
	}
	if !occupied {
		return
	}
	for _, w := range works {
		for s := range w.Steps {
			if p := w.Steps[s].Product; p != nil && p.Family == "oil" {
				e.warn(r.Path, r.Name, fmt.Sprintf("%s gives off solvent and the room is in use", p.Name),
					"keep everybody out and air the room until the sheet of the product says it may be used again, or choose a water-borne glaze")
			}
		}
	}
}
