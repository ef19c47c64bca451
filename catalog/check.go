package catalog

import (
	"fmt"
	"maps"
	"reflect"
	"slices"
)

// check looks at what no single file can show: ids that stand in no table,
// waits for steps that do not come before, products without what their part needs.
func (c *Catalog) check(records map[string]*record) Problems {
	var problems Problems
	for _, key := range slices.Sorted(maps.Keys(records)) {
		r := records[key]
		for _, ref := range r.refs {
			if ref.id != "" && !c.table(ref.table).MapIndex(reflect.ValueOf(ref.id)).IsValid() {
				p := ref.Problem
				p.What, p.Do = fmt.Sprintf("there is no %q in %s", ref.id, ref.table), fmt.Sprintf("add %s/%s.yaml or use an id that exists", ref.table, ref.id)
				problems = append(problems, p)
			}
		}
		fail := func(do, what string, args ...any) {
			problems = append(problems, Problem{File: r.file, What: fmt.Sprintf(what, args...), Do: do})
		}
		switch v := r.value.Interface().(type) {
		case *Technique:
			checkSystem(c.System(v), fail)
			if mark := v.Strokes[v.Mark]; v.Mark != "" && (mark == nil || mark.Unit != "mm") {
				fail("name a figure of strokes that is in mm", "mark is %q, which is no measure of a stroke", v.Mark)
			}
		case *Preparation:
			checkSystem(v.Steps, fail)
		case *Product:
			checkProduct(v, fail)
		case *MeasuringRule:
			checkRule(v, fail)
		}
	}
	return problems
}

// System is the whole coat system of a technique: its preparation, then its own steps.
func (c *Catalog) System(t *Technique) []StepRule {
	var steps []StepRule
	if p := c.Preparations[t.Prepare]; p != nil {
		steps = append(steps, p.Steps...)
	}
	return append(steps, t.Steps...)
}

func checkSystem(steps []StepRule, fail func(do, what string, args ...any)) {
	before := map[string]bool{}
	for _, s := range steps {
		if before[s.ID] {
			fail("give every step an id of its own", "step %q comes twice", s.ID)
		}
		keys := map[string]bool{}
		for _, w := range s.Wait {
			if w.After != "" && !before[w.After] {
				fail("name a step that comes before it", "step %q waits for %q, which does not come before it", s.ID, w.After)
			}
			if keys[w.Key()] {
				fail("join them in one", "step %q has two waits for the same glaze", s.ID)
			}
			if w.Until != nil && w.Until.Low <= w.From.High {
				fail("let the window open before it closes", "step %q may start from %g h but only until %g h", s.ID, w.From.High, w.Until.Low)
			}
			keys[w.Key()] = true
		}
		if s.Crew < 1 || s.Crew == 1 && (s.Lays != "" || s.Works != "") {
			fail("set crew to the people the step needs at once", "step %q has a crew of %d", s.ID, s.Crew)
		}
		before[s.ID] = true
	}
}

func checkProduct(p *Product, fail func(do, what string, args ...any)) {
	if p.Role == "" {
		return
	}
	spread := "m2/L"
	if p.By == "mass" {
		spread = "m2/kg"
	}
	if p.Spread.Unit != spread || p.Spread.Low <= 0 {
		fail("give spread above zero in "+spread, "a product laid by %s has a spread in %q", p.By, p.Spread.Unit)
	}
	for _, must := range []struct {
		name   string
		figure Figure
	}{
		{"solids", p.Solids}, {"wet-film", p.WetFilm}, {"drying.touch", p.Drying.Touch},
		{"drying.recoat-from", p.Drying.RecoatFrom}, {"min-temp", p.MinTemp}, {"max-humidity", p.MaxHumidity},
	} {
		if must.figure.Unit == "" {
			fail("add it", "a product that is laid has no %s", must.name)
		}
	}
	if p.Loss.High >= 1 || p.Loss.Low < 0 {
		fail("give the share of what is bought that is lost, 0 to 1", "loss is %g", p.Loss.High)
	}
}

func checkRule(r *MeasuringRule, fail func(do, what string, args ...any)) {
	for i, class := range r.Classes {
		last := i == len(r.Classes)-1
		if last != (class.UpTo == 0) || i > 0 && !last && class.UpTo <= r.Classes[i-1].UpTo {
			fail("let classes rise and only the last be without an upper end (0)", "class %d goes up to %g m2", i+1, class.UpTo)
		}
	}
}
