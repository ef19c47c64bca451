package coats

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"scumble/catalog"
	"scumble/job"
	"scumble/unit"
	"scumble/web/frame"
)

// entry is one entry of a list that can be changed or taken out.
type entry struct {
	Path, Title, Hex, About string
	Fields                  []frame.Field
	Wrong                   []string
}

// offered is a figure of the catalog that can be replaced.
type offered struct{ Path, Words string }

// worn reports whether the wall at hand has a finish.
func worn(s *frame.Sheet, finish string) bool {
	return s.Wall != nil && (s.Wall.Typed.Finish == finish || s.Wall.Typed.Dado != nil && s.Wall.Typed.Dado.Finish == finish)
}

// tints are the glazes recipes mix from, and the recipes: those of the wall at hand, and
// those that are given.
func tints(s *frame.Sheet, v *view) {
	b := s.Board
	for i, t := range b.Job.Tints {
		path := fmt.Sprintf("tints[%d]", i)
		one := entry{Path: path, Title: t.Name, Hex: t.Hex, Wrong: frame.WrongAt(b, path), Fields: []frame.Field{frame.FieldOf(b, path+".name", "Name", ""),
			frame.FieldOf(b, path+".hex", "Look over white", "").Noted("such as #4f7a3c"), frame.FieldOf(b, path+".over-black", "Look over black", ""), frame.FieldOf(b, path+".clarity", "Clarity", "%").Noted("0 % hides what is beneath; that of the product when left empty")}}
		if one.Title == "" {
			one.Title = fmt.Sprintf("Tint %d", i+1)
		}
		if len(b.Job.Measured) > 0 {
			choices := []frame.Choice{{Words: "as it looks"}}
			for _, m := range b.Job.Measured {
				choices = append(choices, frame.Choice{Value: m.Name, Words: m.Name})
			}
			one.Fields = append(one.Fields, frame.FieldOf(b, path+".measured", "Measured as", "").From(choices...))
		}
		v.Tints = append(v.Tints, one)
	}
	for i := range b.Job.Finishes {
		f := &b.Job.Finishes[i]
		for _, glaze := range []struct {
			key string
			of  job.Colour
		}{{"glaze", f.Glaze}, {"glaze-b", f.GlazeB}} {
			path := fmt.Sprintf("finishes[%d].%s.recipe", i, glaze.key)
			if glaze.of.Name != "" && len(v.Tints) > 0 && worn(s, f.ID) || s.Typed(path) != "" {
				field := frame.FieldOf(b, path, glaze.of.Name+", "+f.Name, "")
				field.Wide = true
				v.Recipes = append(v.Recipes, field)
			}
		}
	}
}

// figures are those figures of the catalog that this crew replaces.
func figures(s *frame.Sheet, v *view) {
	b, c := s.Board, s.BuiltIn()
	for i, choice := range b.Job.Figures {
		path := fmt.Sprintf("figures[%d]", i)
		one := entry{Path: path, Title: figureWords(c, choice.Of), Wrong: frame.WrongAt(b, path)}
		if one.Title == "" {
			one.Title = fmt.Sprintf("Figure %d", i+1)
		}
		of := frame.FieldOf(b, path+".of", "Which figure", "")
		of.Wide = true
		value := frame.FieldOf(b, path+".value", "Our own", "")
		value.Mode = "decimal"
		rivals := []frame.Choice{{Words: "our own, as below"}}
		if known, ok := c.Figure(choice.Of); ok {
			one.About = "In the catalog: " + rangeWords(known) + "."
			value.Unit = unitWords(known.Unit)
			for _, r := range known.Others {
				rivals = append(rivals, frame.Choice{Value: r.Name, Words: r.Name + ": " + rangeWords(r)})
			}
		} else {
			one.Fields = append(one.Fields, of)
		}
		if len(rivals) > 1 || choice.Use != "" {
			one.Fields = append(one.Fields, frame.FieldOf(b, path+".use", "Taken", "").From(rivals...))
		}
		why := frame.FieldOf(b, path+".why", "What it rests on", "")
		why.Wide = true
		one.Fields = append(one.Fields, value, why)
		v.Figures = append(v.Figures, one)
	}
	v.Offered = offer(s, c)
}

// offer lists the figures that the wall at hand rests on, and our own defaults.
func offer(s *frame.Sheet, c *catalog.Catalog) []offered {
	about := map[string]bool{"defaults/": true}
	if m := s.Board.Plan.Method; m != nil && s.Wall != nil {
		for i := range m.Faces {
			f := &m.Faces[i]
			if f.Room != s.Wall.Room || f.Wall != s.Wall.Name {
				continue
			}
			about["techniques/"+f.Technique.ID+"/"] = true
			for k := range f.Steps {
				if p := f.Steps[k].Product; p != nil {
					about["products/"+p.ID+"/"] = true
				}
				if r := f.Steps[k].Rate; r != nil {
					about["rates/"+r.ID+"/"] = true
				}
			}
		}
	}
	prefixes := slices.Sorted(maps.Keys(about))
	var out []offered
	for _, a := range c.Figures() {
		if slices.ContainsFunc(prefixes, func(p string) bool { return strings.HasPrefix(a.Path, p) }) {
			out = append(out, offered{a.Path, figureWords(c, a.Path) + ", " + rangeWords(a.Figure)})
		}
	}
	return out
}

// figureWords say a path of the catalog: Frottage: section width.
func figureWords(c *catalog.Catalog, path string) string {
	table, rest, _ := strings.Cut(path, "/")
	id, field, _ := strings.Cut(rest, "/")
	if table == "defaults" {
		return "Default: " + spaced(rest)
	}
	name := id
	switch table {
	case "techniques":
		if t := c.Techniques[id]; t != nil {
			name = t.Name
		}
	case "products":
		if p := c.Products[id]; p != nil {
			name = p.Name
		}
	case "rates":
		if r := c.Rates[id]; r != nil {
			name = r.Name
		}
	case "substrates":
		if u := c.Substrates[id]; u != nil {
			name = u.Name
		}
	}
	if field == "" {
		return path
	}
	return name + ": " + spaced(field)
}

func spaced(path string) string {
	return strings.NewReplacer(".", " ", "-", " ", "/", " ").Replace(path)
}

// rangeWords say a figure with its range.
func rangeWords(f catalog.Figure) string {
	text := unit.Short(f.Likely)
	if f.Low != f.High {
		text += fmt.Sprintf(" (%s to %s)", unit.Short(f.Low), unit.Short(f.High))
	}
	return strings.TrimSpace(text + " " + unitWords(f.Unit))
}

// unitWords are the units of the catalog as they are read.
func unitWords(u string) string {
	if u == "ratio" || u == "each" {
		return ""
	}
	return strings.NewReplacer("m2", "m²", "um", "µm", "m3", "m³", "cm2", "cm²").Replace(u)
}
