package method

import (
	"fmt"

	"scumble/catalog"
	"scumble/unit"
)

// waits lists what the next step of a face waits for: the waits its rule states
// for this glaze, and always the step just before it. Where the rule states
// nothing about a coat just laid, the product's own recoat times hold.
func (e *expander) waits(w *work, rule placedRule) (waits []Wait) {
	if len(w.Steps) == 0 {
		return nil // the room's protection is added when the room is known
	}
	before := &w.Steps[len(w.Steps)-1]
	for i := range rule.Wait {
		wr := &rule.Wait[i]
		if wr.Glaze != "" && wr.Glaze != w.GlazeKind {
			continue
		}
		on := before
		if wr.After != "" {
			if on = e.stepUpTo(w, rule, wr.After); on == nil {
				continue
			}
		}
		waits = append(waits, stated(wr, rule.path, on))
	}
	for _, wait := range waits {
		if wait.On == before.ID {
			return waits
		}
	}
	if rule.Kind == Inspect {
		return append(waits, dried(before, touch))
	}
	return append(waits, dried(before, recoat))
}

// stepUpTo finds the step a rule names, or the nearest done before it when that
// one is optional and left out on this face; nil when there is none.
func (e *expander) stepUpTo(w *work, rule placedRule, id string) *Step {
	at := -1
	for i, other := range w.rules {
		if other.ID == id {
			at = i
		}
		if other.StepRule == rule.StepRule {
			break
		}
	}
	if at < 0 || id == rule.ID {
		e.problem(rule.path+".wait", fmt.Sprintf("no earlier step of the coat system is called %q", id), "name a step that comes before this one")
		return nil
	}
	for ; at >= 0; at-- {
		for s := range w.Steps {
			if w.Steps[s].Rule == w.rules[at].ID {
				return &w.Steps[s]
			}
		}
	}
	return nil
}

// stated is a wait as a rule of the catalog gives it.
func stated(wr *catalog.WaitRule, path string, on *Step) Wait {
	wait := Wait{
		On: on.ID, From: estimate[unit.Hours](wr.From), Base: base(on.Product), Why: wr.Why,
		Figure: path + ".wait." + wr.Key() + ".from",
	}
	if wr.Until != nil {
		wait.Until = unit.Hours(wr.Until.Likely)
	}
	return wait
}

// recoat and touch name the declared drying time a default wait takes.
const (
	recoat = "recoat-from"
	touch  = "touch"
)

// dried is a wait by the declared drying times of what a step laid; zero hours
// after a step that laid nothing.
func dried(on *Step, event string) Wait {
	wait := Wait{On: on.ID, Base: base(on.Product)}
	if on.Product == nil {
		wait.Why = "comes after it"
		return wait
	}
	wait.Figure = "products/" + on.Product.ID + "/drying." + event
	if event == touch {
		wait.From = estimate[unit.Hours](on.Product.Drying.Touch)
		wait.Why = on.Product.Name + " must be dry to the touch"
		return wait
	}
	wait.From = estimate[unit.Hours](on.Product.Drying.RecoatFrom)
	wait.Why = on.Product.Name + " must have dried for the next coat"
	if until := on.Product.Drying.RecoatUntil; until != nil {
		wait.Until = unit.Hours(until.Likely)
	}
	return wait
}

// base is how the climate changes the drying of a product; a metallic glaze is
// water-borne.
func base(p *catalog.Product) string {
	if p == nil {
		return "none"
	}
	switch p.Family {
	case "water", "metallic":
		return "water"
	case "oil":
		return "oil"
	}
	return "none"
}
