// Package safety gathers the cautions of a job by when they matter. It defers to the product's own sheet, local rules and licensed trades.
package safety

import (
	_ "embed"
	"fmt"
	"slices"

	"scumble/catalog"
	"scumble/method"
	"scumble/web/frame"
)

//go:embed safety.html
var page string

// Place is the page.
func Place() *frame.Place {
	return &frame.Place{Slug: "safety", Name: "Safety", Page: page, Show: show}
}

type view struct {
	Why    string
	Groups []group
	House  []frame.Field
	Paper  string
	Count  string
}

// group are cautions that matter at the same kind of work.
type group struct {
	Name     string
	Cautions []caution
}

type caution struct {
	Kind, Title, Text, Defers, Source, Where string
}

// kinds are the kinds of work in the order they come, with the words for them.
var kinds = []struct {
	words string
	kinds []string
}{
	{"Before anything, and while preparing", []string{method.Protect, method.Prime, method.Fill, method.Sand}},
	{"While coating", []string{method.Ground, method.Mark, method.Mask, method.Relief}},
	{"While glazing", []string{method.Glaze, method.Clear}},
	{"At the end", []string{method.Inspect, method.Unmask}},
}

func show(s *frame.Sheet) (any, error) {
	b := s.Board
	v := &view{Paper: s.Paper("safety.pdf")}
	occupied := frame.FieldOf(b, "building.occupied", "People live or work in it meanwhile", "")
	choices := []frame.Choice{{Value: "false", Words: "no"}, {Value: "true", Words: "yes"}}
	if occupied.Typed == "" {
		choices = append([]frame.Choice{{Words: "not said"}}, choices...)
	}
	v.House = []frame.Field{frame.FieldOf(b, "building.built", "Year the house was built", "number").Noted("leave empty when unknown; then lead is taken as present"),
		occupied.From(choices...)}
	m := b.Plan.Method
	if m == nil {
		v.Why = s.Waits("method")
		return v, nil
	}
	seen := map[string]bool{}
	n := 0
	for _, kind := range kinds {
		g := group{Name: kind.words}
		for _, c := range cautionsOf(m, kind.kinds) {
			if seen[c.caution.ID] {
				continue
			}
			seen[c.caution.ID] = true
			source := ""
			if src, ok := b.Plan.Catalog.Sources[c.caution.Source]; ok {
				source = src.Cite
			}
			where := "Met in " + frame.Counted(c.steps, "step", "steps") + "."
			if len(c.faces) > 0 {
				where = fmt.Sprintf("Met in %s, on %s.", frame.Counted(c.steps, "step", "steps"), frame.Counted(len(c.faces), "wall", "walls"))
			}
			g.Cautions = append(g.Cautions, caution{c.caution.Shape, frame.Sentence(c.caution.Title), frame.Sentence(c.caution.Text), frame.Sentence(c.caution.Defers), source, where})
			n++
		}
		if len(g.Cautions) > 0 {
			v.Groups = append(v.Groups, g)
		}
	}
	v.Count = frame.Counted(n, "caution", "cautions")
	return v, nil
}

// met is a caution with where it is met.
type met struct {
	caution *catalog.Caution
	steps   int
	faces   map[string]bool
}

// cautionsOf are the cautions of some kinds of steps, holds first.
func cautionsOf(m *method.Method, kinds []string) []*met {
	var out []*met
	take := func(steps []method.Step) {
		for i := range steps {
			if !slices.Contains(kinds, steps[i].Kind) {
				continue
			}
			for _, c := range steps[i].Cautions {
				k := slices.IndexFunc(out, func(o *met) bool { return o.caution.ID == c.ID })
				if k < 0 {
					k = len(out)
					out = append(out, &met{caution: c, faces: map[string]bool{}})
				}
				out[k].steps++
				if steps[i].Face != "" {
					out[k].faces[steps[i].Face] = true
				}
			}
		}
	}
	for f := range m.Faces {
		take(m.Faces[f].Steps)
	}
	for r := range m.Rooms {
		take(m.Rooms[r].Steps)
	}
	rank := map[string]int{"hold": 0, "caution": 1, "note": 2}
	slices.SortStableFunc(out, func(a, b *met) int { return rank[a.caution.Shape] - rank[b.caution.Shape] })
	return out
}
