package catalog

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
)

// Units are the units a figure of the catalog may have.
var Units = []string{
	"mm", "um", "m", "m2", "m2/L", "m2/kg", "m2/h", "m/h", "m/s", "h", "min", "ratio", "C", "K", "L",
	"kg/L", "g/L", "g/m3", "mg/m3", "ug/m3", "mg/cm2", "each", "sheet", "year", "deg", "dE", "Pas", "mN/m",
	"1/h", "GU",
}

// Letter is the one-letter mark of a footing on the papers: P, C, M, D or O.
func (k Kind) Letter() string {
	switch k {
	case Published:
		return "P"
	case Common:
		return "C"
	case Memory:
		return "M"
	case Demo:
		return "D"
	case Own:
		return "O"
	}
	return "?"
}

// Key names a waiting rule among those of its step in a figure path: the glaze
// it is for, or "any".
func (w WaitRule) Key() string {
	if w.Glaze == "" {
		return "any"
	}
	return w.Glaze
}

// unitNames lets a unit be copied from a paper: m²/h, µm, °C.
var unitNames = strings.NewReplacer("²", "2", "µ", "u", "μ", "u", "°", "")

// parseFigure reads the one-line form of a figure,
//
//	LOW LIKELY HIGH UNIT; FOOTING; NOTE
//
// where one number alone stands for all three, the footing is "common practice",
// "from memory", "demo" or "published in SOURCE", and the note may be left out.
func parseFigure(text string) (Figure, error) {
	parts := strings.SplitN(text, ";", 3)
	words := strings.Fields(parts[0])
	if n := len(words); n != 2 && n != 4 {
		return Figure{}, fmt.Errorf("%q is not one or three numbers with a unit", parts[0])
	}
	var numbers [3]float64
	for i := range numbers {
		word := words[0]
		if len(words) == 4 {
			word = words[i]
		}
		x, err := strconv.ParseFloat(word, 64)
		if err != nil || math.IsInf(x, 0) || math.IsNaN(x) {
			return Figure{}, fmt.Errorf("%q is not a number", word)
		}
		numbers[i] = x
	}
	f := Figure{Low: numbers[0], Likely: numbers[1], High: numbers[2], Unit: unitNames.Replace(words[len(words)-1])}
	if !slices.Contains(Units, f.Unit) {
		return Figure{}, fmt.Errorf("%q is not one of the units %s", f.Unit, strings.Join(Units, ", "))
	}
	if !(f.Low <= f.Likely && f.Likely <= f.High) {
		return Figure{}, fmt.Errorf("%g, %g, %g do not rise", f.Low, f.Likely, f.High)
	}
	if len(parts) < 2 {
		return Figure{}, errors.New("it does not say what it rests on")
	}
	footing := strings.TrimSpace(parts[1])
	if source, ok := strings.CutPrefix(footing, string(Published)+" in "); ok {
		f.Kind, f.Source = Published, strings.TrimSpace(source)
	} else if k := Kind(footing); k == Common || k == Memory || k == Demo {
		f.Kind = k
	} else {
		return Figure{}, fmt.Errorf("%q is no footing (common practice, from memory, demo, published in SOURCE)", footing)
	}
	if len(parts) == 3 {
		f.Note = strings.TrimSpace(parts[2])
	}
	return f, nil
}

// Addressed is a figure with its path.
type Addressed struct {
	Path   string
	Figure Figure
}

// Figures lists every figure of the catalog by path, sorted.
func (c *Catalog) Figures() []Addressed {
	var list []Addressed
	add := func(path string, f *Figure) { list = append(list, Addressed{path, *f}) }
	for _, name := range tableNames() {
		table := c.table(name)
		for _, id := range table.MapKeys() {
			visit(table.MapIndex(id).Elem(), name+"/"+id.String()+"/", add)
		}
	}
	if c.Defaults != nil {
		visit(reflect.ValueOf(c.Defaults).Elem(), "defaults/", add)
	}
	slices.SortFunc(list, func(a, b Addressed) int { return strings.Compare(a.Path, b.Path) })
	return list
}

// Figure is the figure at a path such as techniques/frottage/section.width,
// rates/drag-pair/pace or defaults/sliver.
func (c *Catalog) Figure(path string) (Figure, bool) {
	record, prefix := c.record(path)
	if !record.IsValid() {
		return Figure{}, false
	}
	f := find(record.Elem(), prefix, path)
	if f == nil {
		return Figure{}, false
	}
	return *f, true
}

// record is the pointer to the record a figure path leads into and the part of
// the path that names it.
func (c *Catalog) record(path string) (reflect.Value, string) {
	table, rest, _ := strings.Cut(path, "/")
	if table == "defaults" && c.Defaults != nil {
		return reflect.ValueOf(c.Defaults), "defaults/"
	}
	records := c.table(table)
	if !records.IsValid() {
		return reflect.Value{}, ""
	}
	id, _, _ := strings.Cut(rest, "/")
	return records.MapIndex(reflect.ValueOf(id)), table + "/" + id + "/"
}

// find is the figure at a path inside one record, nil when there is none.
func find(record reflect.Value, prefix, path string) *Figure {
	var found *Figure
	visit(record, prefix, func(at string, f *Figure) {
		if at == path {
			found = f
		}
	})
	return found
}

// visit calls see for every figure in a record that is given. Entries of lists
// are named by their id, waits by their key; rival figures have no path.
func visit(v reflect.Value, path string, see func(path string, f *Figure)) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			visit(v.Elem(), path, see)
		}
	case reflect.Struct:
		if v.Type() == figureType {
			if f := v.Addr().Interface().(*Figure); f.Unit != "" {
				see(strings.TrimSuffix(path, "."), f)
			}
			return
		}
		for _, f := range fieldsOf(v.Type()) {
			if kind := v.Field(f.index).Kind(); kind == reflect.Struct || kind == reflect.Slice || kind == reflect.Pointer || kind == reflect.Map {
				visit(v.Field(f.index), path+f.name+".", see)
			}
		}
	case reflect.Map:
		if figures, ok := v.Interface().(map[string]*Figure); ok {
			for _, name := range slices.Sorted(maps.Keys(figures)) {
				see(path+name, figures[name])
			}
		}
	case reflect.Slice:
		if v.Type().Elem().Kind() != reflect.Struct {
			return
		}
		for i := range v.Len() {
			entry := v.Index(i)
			name := strconv.Itoa(i)
			if w, ok := entry.Interface().(WaitRule); ok {
				name = w.Key()
			} else if id := entry.FieldByName("ID"); id.IsValid() {
				name = id.String()
			}
			visit(entry, path+name+".", see)
		}
	}
}

// Pick chooses a figure: a rival by its name, a value of the crew's own, or a range of
// its own.
type Pick struct {
	Use   string
	Value *float64 // in the figure's unit
	Range *Figure  // in the figure's unit; its Note is kept, and it counts as the crew's own
	Why   string
}

// Choose is a copy of the catalog with the figures at the given paths replaced.
// The figure replaced stays among the rivals, named "default" if it has no name.
// The error names every choice that cannot be made.
func (c *Catalog) Choose(choices map[string]Pick) (*Catalog, error) {
	if len(choices) == 0 {
		return c, nil
	}
	chosen := *c
	chosen.Techniques, chosen.Preparations = maps.Clone(c.Techniques), maps.Clone(c.Preparations)
	chosen.Products, chosen.Goods = maps.Clone(c.Products), maps.Clone(c.Goods)
	chosen.Substrates, chosen.Rates = maps.Clone(c.Substrates), maps.Clone(c.Rates)
	chosen.Rules, chosen.Limits = maps.Clone(c.Rules), maps.Clone(c.Limits)
	var problems []error
	copied := map[string]bool{}
	for _, path := range slices.Sorted(maps.Keys(choices)) {
		record, prefix := chosen.record(path)
		if !record.IsValid() || find(record.Elem(), prefix, path) == nil {
			problems = append(problems, fmt.Errorf("%s: there is no such figure in the catalog; list them with their paths and copy one", path))
			continue
		}
		if !copied[prefix] {
			record = reflect.New(record.Type().Elem())
			original, _ := c.record(path)
			record.Elem().Set(clone(original.Elem()))
			chosen.set(prefix, record)
			copied[prefix] = true
		}
		figure := find(record.Elem(), prefix, path)
		replaced, err := figure.pick(choices[path])
		if err != nil {
			problems = append(problems, fmt.Errorf("%s: %w", path, err))
			continue
		}
		*figure = replaced
	}
	if len(problems) > 0 {
		return nil, errors.Join(problems...)
	}
	return &chosen, nil
}

// set stores a copied record under its prefix.
func (c *Catalog) set(prefix string, record reflect.Value) {
	if prefix == "defaults/" {
		c.Defaults = record.Interface().(*Defaults)
		return
	}
	table, id, _ := strings.Cut(strings.TrimSuffix(prefix, "/"), "/")
	c.table(table).SetMapIndex(reflect.ValueOf(id), record)
}

// pick is the figure after a choice.
func (f Figure) pick(p Pick) (Figure, error) {
	old := f
	old.Others = nil
	if old.Name == "" {
		old.Name = "default"
	}
	switch {
	case p.Use != "" && p.Value != nil || p.Range != nil && (p.Use != "" || p.Value != nil):
		return f, errors.New("both a rival and a value are given; keep one of them")
	case p.Range != nil:
		r := *p.Range
		if r.Unit != f.Unit || !(r.Low <= r.Likely && r.Likely <= r.High) || math.IsInf(r.High-r.Low, 0) || r.Low < 0 && f.Low >= 0 {
			return f, fmt.Errorf("%g, %g, %g %s cannot be; give three numbers of at least zero that rise, in %s", r.Low, r.Likely, r.High, r.Unit, f.Unit)
		}
		r.Kind, r.Source, r.Name, r.Others = Own, "", "", append([]Figure{old}, f.Others...)
		return r, nil
	case p.Value != nil:
		if math.IsNaN(*p.Value) || math.IsInf(*p.Value, 0) || *p.Value < 0 && f.Low >= 0 {
			return f, fmt.Errorf("%g %s cannot be; give a number of at least zero", *p.Value, f.Unit)
		}
		return Figure{Low: *p.Value, Likely: *p.Value, High: *p.Value, Unit: f.Unit, Kind: Own, Note: p.Why,
			Others: append([]Figure{old}, f.Others...)}, nil
	case p.Use != "":
		at := slices.IndexFunc(f.Others, func(o Figure) bool { return o.Name == p.Use })
		if at < 0 {
			names := make([]string, len(f.Others))
			for i := range f.Others {
				names[i] = f.Others[i].Name
			}
			if len(names) == 0 {
				return f, fmt.Errorf("there is no figure named %q, as it has no rivals; give a value instead", p.Use)
			}
			return f, fmt.Errorf("there is no figure named %q; use one of %s", p.Use, strings.Join(names, ", "))
		}
		picked := f.Others[at]
		picked.Others = append([]Figure{old}, slices.Delete(slices.Clone(f.Others), at, at+1)...)
		return picked, nil
	}
	return f, errors.New("neither a rival nor a value is given; add one of them")
}

// clone copies a record through, so that a change to it cannot reach the original.
func clone(v reflect.Value) reflect.Value {
	copied := reflect.New(v.Type()).Elem()
	copied.Set(v)
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			copied.Set(reflect.New(v.Type().Elem()))
			copied.Elem().Set(clone(v.Elem()))
		}
	case reflect.Struct:
		for i := range v.NumField() {
			copied.Field(i).Set(clone(v.Field(i)))
		}
	case reflect.Map:
		if !v.IsNil() {
			copied.Set(reflect.MakeMapWithSize(v.Type(), v.Len()))
			for _, key := range v.MapKeys() {
				copied.SetMapIndex(key, clone(v.MapIndex(key)))
			}
		}
	case reflect.Slice:
		if !v.IsNil() {
			copied.Set(reflect.MakeSlice(v.Type(), v.Len(), v.Len()))
			for i := range v.Len() {
				copied.Index(i).Set(clone(v.Index(i)))
			}
		}
	}
	return copied
}
