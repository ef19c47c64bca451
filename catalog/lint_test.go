package catalog

import (
	"io/fs"
	"maps"
	"math"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
)

func builtIn(t testing.TB) *Catalog {
	t.Helper()
	c, err := Builtin()
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// plausible bounds for figures by the end of their path; the first match counts.
var plausible = []struct {
	path      string
	low, high float64
}{
	{`/clarity$`, 0, 1}, {`/body$`, 1, 2000}, {`/tension$`, 15, 75}, {`/flake$`, 0, 2}, {`/flake-tilt$`, 1, 15}, {`/strokes\.`, 0.01, 2500}, {`/pace$`, 1, 200}, {`/marking-pace$`, 5, 200},
	{`/tall$`, 1, 2}, {`/set-up$`, 0, 2},
	{`sheets.layers$`, 1, 4}, {`sheets.reuse$`, 1, 10}, {`dilution.parts$`, 0, 2},
	{`/(area-factor)$`, 1, 1.5}, {`/primer-spread$`, 0.3, 1.5},
	{`/defaults/.*-weight$|defaults/.*weight$`, 0, 10},
	{`/loss$`, 0, 0.3}, {`/solids$`, 0.05, 0.8}, {`/max-humidity$|humidity-hold$`, 0.5, 1}, {`/lifted$`, 0, 0.7},
	{`/density$`, 0.7, 2}, {`/voc$`, 0, 850}, {`/min-temp$`, 0, 15}, {`/dew-margin$`, 1, 5},
	{`pace-spread$`, 0.05, 0.5}, {`products/fine-filler/spread$`, 0.5, 5}, {`spread$`, 3, 45}, {`/wet-film$`, 30, 500},
	{`drying.open$`, 0.05, 2}, {`drying.touch$`, 0.25, 24}, {`drying.washable$`, 24, 1200}, {`drying.`, 0.5, 800},
	{`wait\..*\.from$`, 0, 200}, {`wait\..*\.until$`, 0.1, 800}, {`dwell$`, 1, 15},
	{`section\.`, 0, 2500}, {`rows\.(motif|height)$`, 50, 400}, {`rows.stagger$`, 0.05, 0.95},
	{`strip-width\.`, 80, 500}, {`sheets.overlap$`, 5, 60},
	{`rules/.*/round$`, 1, 10}, {`low-skirting$`, 0, 200},
	{`goods/.*/use$`, 0.05, 10}, {`goods/.*/life$`, 5, 500}, {`goods/.*/(width|length)$`, 10, 2000},
	{`/gloss(-up-to|-over)?$`, 1, 100}, {`/water$`, 0, 1}, {`defaults/air-(door|window|fan)$`, 0.05, 3}, {`defaults/air-`, 0.05, 30}, {`defaults/mixing$`, 1, 10}, {`defaults/floor-guess$`, 0.5, 2}, {`limits/lead-`, 1900, 2000}, {`limits/`, 0.5, 3000},
	{`pair\.`, 0.1, 100}, {`defaults/cut-in-pace$`, 20, 200}, {`defaults/(refill|shift|climb|tray|retarder)$`, 0.1, 5}, {`defaults/reach-`, 1500, 5000}, {`defaults/(sliver|on-edge)$`, 1, 100}, {`defaults/seen-`, 0.3, 20}, {`touch-up-reserve$`, 0.1, 2}, {`defaults/`, 0, 1},
}

// TestFigures checks every figure and its rivals: footing, order and a range in
// which such a thing can lie at all.
func TestFigures(t *testing.T) {
	c := builtIn(t)
	var bounds []*regexp.Regexp
	for _, p := range plausible {
		bounds = append(bounds, regexp.MustCompile(p.path))
	}
	figures := c.Figures()
	if len(figures) < 400 {
		t.Fatalf("only %d figures are addressed", len(figures))
	}
	names := regexp.MustCompile(`^[a-z][a-z-]*$`)
	for _, a := range figures {
		at := slices.IndexFunc(bounds, func(r *regexp.Regexp) bool { return r.MatchString(a.Path) })
		if at < 0 {
			t.Errorf("%s: nothing says what is plausible", a.Path)
			continue
		}
		seen := map[string]bool{}
		for i, f := range append([]Figure{a.Figure}, a.Figure.Others...) {
			if f.Unit != a.Figure.Unit && !strings.HasSuffix(a.Path, "/spread") {
				t.Errorf("%s: rival %q is in %s", a.Path, f.Name, f.Unit)
			}
			if !(f.Low <= f.Likely && f.Likely <= f.High) {
				t.Errorf("%s: %g %g %g do not rise", a.Path, f.Low, f.Likely, f.High)
			}
			if (f.Kind == Published) != (f.Source != "") {
				t.Errorf("%s: %s with source %q", a.Path, f.Kind, f.Source)
			}
			if f.Kind.Letter() == "?" || f.Kind == Own || f.Kind == Demo {
				t.Errorf("%s: footing %q", a.Path, f.Kind)
			}
			if f.Low < plausible[at].low || f.High > plausible[at].high {
				t.Errorf("%s: %g to %g %s is not within %g to %g", a.Path, f.Low, f.High, f.Unit, plausible[at].low, plausible[at].high)
			}
			if i > 0 && (!names.MatchString(f.Name) || f.Name == "default" || seen[f.Name]) {
				t.Errorf("%s: rival name %q", a.Path, f.Name)
			}
			seen[f.Name] = true
		}
		if len(a.Figure.Others) > 0 && !strings.Contains(a.Figure.Note, "default") && !strings.HasSuffix(a.Path, "/wet-film") {
			t.Errorf("%s: has rivals and no word why it is the default", a.Path)
		}
	}
}

// TestProductFilm ties spreading rate and wet film: rate = 1000 / film by volume
// (ISO 3233-3), over density by mass.
func TestProductFilm(t *testing.T) {
	for id, p := range builtIn(t).Products {
		if p.Role == "" {
			continue
		}
		density := 1.0
		if p.By == "mass" {
			density = p.Density.Likely
		}
		for _, pair := range [][2]float64{{p.Spread.Low, p.WetFilm.High}, {p.Spread.Likely, p.WetFilm.Likely}, {p.Spread.High, p.WetFilm.Low}} {
			if got := 1000 / (pair[1] * density); math.Abs(got/pair[0]-1) > 0.05 {
				t.Errorf("%s: %g um give %.2f, not %g", id, pair[1], got, pair[0])
			}
		}
		if p.Drying.Open.High > p.Drying.Touch.High || p.Drying.Touch.Low > p.Drying.RecoatFrom.High || p.Drying.RecoatFrom.Likely > p.Drying.Hard.High {
			t.Errorf("%s: drying times do not follow one another", id)
		}
		if p.Drying.RecoatUntil != nil && p.Drying.RecoatUntil.Low <= p.Drying.RecoatFrom.High {
			t.Errorf("%s: recoat window closes before it opens", id)
		}
		if p.Handling == "" || p.Drying.Washable != nil && p.Care == "" || p.Tinted && p.Dilution == nil && p.Family != "water" {
			t.Errorf("%s: handling, care or dilution is missing", id)
		}
		if p.Dilution != nil && builtIn(t).Products[p.Dilution.Thinner].Family != map[string]string{"oil": "oil", "metallic": "water", "water": "water"}[p.Family] {
			t.Errorf("%s is let down with %s", id, p.Dilution.Thinner)
		}
	}
}

// TestSafety asks for the cautions where the danger is.
func TestSafety(t *testing.T) {
	cat := builtIn(t)
	for id, p := range cat.Products {
		if p.Family == "oil" {
			for _, must := range []string{"oily-rags", "solvent-vapour", "ignition", "ventilation", "skin-and-eyes"} {
				if !slices.Contains(p.Cautions, must) {
					t.Errorf("%s lacks the caution %s", id, must)
				}
			}
		} else if p.Role == RoleGlaze && !slices.Contains(p.Cautions, "water-rags") {
			t.Errorf("%s lacks the caution water-rags", id)
		}
	}
	for _, s := range allSteps(cat) {
		if s.step.Kind == "glaze" && !slices.Contains(s.step.Cautions, "both-hands") {
			t.Errorf("%s lacks the caution both-hands", s.path)
		}
		if s.step.Kind == "sand" && !slices.Contains(s.step.Cautions, "sanding-dust") {
			t.Errorf("%s lacks the caution sanding-dust", s.path)
		}
		if slices.Contains(s.step.Goods, "cotton-rags") && !slices.Contains(s.step.Tools, "metal-can") {
			t.Errorf("%s uses rags and has no can for them", s.path)
		}
	}
	for id, caution := range cat.Cautions {
		if (caution.Kind == Published) && caution.Source == "" {
			t.Errorf("caution %s is published without a source", id)
		}
	}
}

type placed struct {
	path string
	step StepRule
}

func allSteps(c *Catalog) []placed {
	var list []placed
	for _, id := range slices.Sorted(maps.Keys(c.Preparations)) {
		for _, s := range c.Preparations[id].Steps {
			list = append(list, placed{"preparations/" + id + "/" + s.ID, s})
		}
	}
	for _, id := range slices.Sorted(maps.Keys(c.Techniques)) {
		for _, s := range c.Techniques[id].Steps {
			list = append(list, placed{"techniques/" + id + "/" + s.ID, s})
		}
	}
	return list
}

// TestIds holds the ids other packages and the demonstration job rely on.
func TestIds(t *testing.T) {
	cat := builtIn(t)
	for table, want := range map[string][]string{
		"techniques": {"colourwash", "combing", "cross-drag-weave", "dragging", "frottage", "palette-knife", "rag-rolling",
			"sponging-off", "tissue-relief", "two-tone-sponge-blend"},
		"preparations": {"relief", "room", "standard"},
		"products": {"alkali-resisting-primer", "clear-coat", "clear-glaze", "fine-filler", "metallic-glaze",
			"multi-purpose-primer", "oil-glaze", "satin-ground-coat", "thinner", "water"},
		"substrates": {"cement-render", "gypsum-plaster", "lime-plaster", "painted-sound", "plasterboard"},
		"rules":      {"din-18363-2006", "is-1200-13", "solid", "void-0-5", "void-1-0"},
	} {
		var got []string
		for _, id := range cat.table(table).MapKeys() {
			got = append(got, id.String())
		}
		slices.Sort(got)
		if !slices.Equal(got, want) {
			t.Errorf("%s holds %v, want %v", table, got, want)
		}
	}
	for _, id := range []string{"steps", "platform", "scaffold", "lead-paint", "sanding-dust"} {
		if cat.Cautions[id] == nil {
			t.Errorf("no caution %s", id)
		}
	}
	for technique, variations := range map[string][]string{"colourwash": {"swirl"}, "combing": {"squares"}, "dragging": {"criss-cross"}, "sponging-off": {"swirl"}} {
		for _, id := range variations {
			if !slices.ContainsFunc(cat.Techniques[technique].Variations, func(v Variation) bool { return v.ID == id }) {
				t.Errorf("%s lacks the variation %s", technique, id)
			}
		}
	}
}

// TestTechniques asks that each technique is whole.
func TestTechniques(t *testing.T) {
	cat := builtIn(t)
	for id, technique := range cat.Techniques {
		if len(technique.Faults) < 5 || len(technique.Variations) < 1 || len(technique.Synonyms) < 3 {
			t.Errorf("%s: %d faults, %d variations, synonyms in %d languages", id, len(technique.Faults), len(technique.Variations), len(technique.Synonyms))
		}
		roles := map[Role]bool{}
		kinds := map[string]int{}
		for _, s := range cat.System(technique) {
			roles[s.Role] = true
			kinds[s.Kind]++
			if s.Kind != "glaze" {
				continue
			}
			if s.Crew != 2 || s.Lays == "" || s.Works == "" || cat.Rates[s.Rate].Crew != 2 {
				t.Errorf("%s/%s: an effect takes two, with words for both", id, s.ID)
			}
			if !strings.Contains(strings.ToLower(s.Edges), "corner") || !strings.Contains(s.Edges, "rumpled paper or plastic") {
				t.Errorf("%s/%s: edges do not say how a corner is finished: %q", id, s.ID, s.Edges)
			}
			var glazes []string
			for _, w := range s.Wait {
				glazes = append(glazes, w.Key())
			}
			slices.Sort(glazes)
			if !s.WetEdge || !slices.Equal(glazes, []string{"metallic", "oil", "water"}) {
				t.Errorf("%s/%s: wet edge %v, waits for %v", id, s.ID, s.WetEdge, glazes)
			}
			if !slices.Contains(s.Tools, "tray") || !slices.Contains(s.Tools, "bucket") || !slices.Contains(s.Goods, "corner-paper") {
				t.Errorf("%s/%s: tray, bucket or corner paper is missing", id, s.ID)
			}
		}
		for _, role := range technique.Colours {
			if !roles[role] {
				t.Errorf("%s names a colour for %s that no step lays", id, role)
			}
		}
		want := map[string]int{"prime": 1, "fill": 2, "sand": 1, "ground": 2, "glaze": 1, "clear": 1, "inspect": 1}
		switch id {
		case "cross-drag-weave":
			want["ground"], want["glaze"], want["mark"] = 3, 2, 1
		case "two-tone-sponge-blend":
			want["glaze"] = 2
		case "tissue-relief":
			want["ground"], want["relief"] = 1, 3
		}
		if !maps.Equal(kinds, want) {
			t.Errorf("%s has the steps %v, want %v", id, kinds, want)
		}
		if technique.Strips != (technique.StripWidth != nil) || (technique.Rows != nil) != (id == "combing") ||
			(technique.Sheets != nil) != (id == "frottage" || id == "tissue-relief") {
			t.Errorf("%s: strips, rows or sheets do not fit", id)
		}
	}
}

// TestCraft holds the figures the trade goes by.
func TestCraft(t *testing.T) {
	cat := builtIn(t)
	for path, want := range map[string][3]float64{
		"techniques/frottage/section.width":                               {900, 1050, 1200},
		"techniques/frottage/steps.glaze-1.dwell":                         {3, 4, 5},
		"techniques/frottage/steps.glaze-1.wait.oil.from":                 {24, 24, 24},
		"techniques/frottage/steps.glaze-1.wait.metallic.from":            {12, 12, 12},
		"techniques/cross-drag-weave/steps.mark.wait.any.from":            {6, 6, 6},
		"techniques/cross-drag-weave/steps.ground-b.wait.any.from":        {6, 6, 6},
		"techniques/cross-drag-weave/steps.glaze-2.wait.oil.from":         {36, 36, 48},
		"techniques/cross-drag-weave/steps.glaze-2.wait.metallic.from":    {18, 21, 24},
		"techniques/cross-drag-weave/strip-width.wanted":                  {250, 275, 300},
		"techniques/tissue-relief/steps.relief-bed.wait.any.from":         {2, 2, 2},
		"techniques/tissue-relief/steps.relief-clear-loose.wait.any.from": {6, 7, 8},
		"techniques/tissue-relief/steps.ground-1.wait.any.from":           {2, 2.5, 3},
		"products/oil-glaze/dilution.parts":                               {0.8, 0.8, 0.8},
		"products/metallic-glaze/dilution.parts":                          {0.1, 0.1, 0.1},
		"goods/roller-230/width":                                          {230, 230, 230},
		"goods/roller-100/width":                                          {100, 100, 100},
	} {
		f, ok := cat.Figure(path)
		if !ok || [3]float64{f.Low, f.Likely, f.High} != want {
			t.Errorf("%s is %g %g %g (there: %v), want %v", path, f.Low, f.Likely, f.High, ok, want)
		}
	}
	undiluted := map[string]bool{"techniques/tissue-relief/relief-bed": true, "techniques/tissue-relief/relief-prime": true,
		"techniques/colourwash/glaze-1": true, "techniques/two-tone-sponge-blend/glaze-1": true, "techniques/two-tone-sponge-blend/glaze-2": true}
	for _, s := range allSteps(cat) {
		if s.step.Undiluted != undiluted[s.path] {
			t.Errorf("%s: undiluted is %v", s.path, s.step.Undiluted)
		}
	}
	// 15 parts over on 100 are 15/115 of what is bought, 10 are 10/110.
	for id, over := range map[string]float64{"oil-glaze": 0.15, "metallic-glaze": 0.15, "clear-glaze": 0.15, "satin-ground-coat": 0.10} {
		if got := cat.Products[id].Loss.Likely; math.Abs(got-over/(1+over)) > 0.0001 {
			t.Errorf("%s: loss %g, want %.4f", id, got, over/(1+over))
		}
	}
}

// TestNothingUnused looks for records no other record leads to.
func TestNothingUnused(t *testing.T) {
	used := map[string]bool{
		"preparations/room": true, "cautions/steps": true, "cautions/platform": true, "cautions/scaffold": true, "cautions/lead-paint": true,
	}
	files, problems := list(Files())
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	for _, r := range readAll(Files(), files) {
		for _, ref := range r.refs {
			used[ref.table+"/"+ref.id] = true
		}
	}
	for _, step := range allSteps(builtIn(t)) { // products come in by their role and by the substrate
		for id, p := range builtIn(t).Products {
			if step.step.Role != "" && strings.TrimSuffix(string(step.step.Role), "-b") == string(p.Role) {
				used["products/"+id] = true
			}
		}
	}
	for _, name := range []string{"sources", "goods", "cautions", "rates", "products", "preparations"} {
		for _, id := range builtIn(t).table(name).MapKeys() {
			if !used[name+"/"+id.String()] {
				t.Errorf("%s/%s is used nowhere", name, id)
			}
		}
	}
}

// TestText checks the words people read.
func TestText(t *testing.T) {
	brand := regexp.MustCompile(`[®™©]|\b(Inc|Ltd|GmbH|LLC|Corp)\b|[a-z][A-Z]`)
	banned := regexp.MustCompile(`(?i)\b(seed|transcript|walk-through|video|todo|fixme|utilize)\b`)
	sentence := map[string]bool{"Do": true, "Lays": true, "Works": true, "Edges": true, "Begin": true, "Hold": true, "Why": true, "Cause": true, "Correct": true, "Fault": true,
		"TouchUp": true, "Board": true, "Summary": true, "Care": true, "Handling": true, "Text": true, "Defers": true, "Check": true, "Applies": true, "Cite": true}
	var look func(path string, v reflect.Value)
	look = func(path string, v reflect.Value) {
		switch v.Kind() {
		case reflect.Pointer:
			if !v.IsNil() {
				look(path, v.Elem())
			}
		case reflect.Struct:
			for i := range v.NumField() {
				name := v.Type().Field(i).Name
				if f := v.Field(i); f.Kind() == reflect.String && f.String() != "" {
					text := f.String()
					if name == "Cite" && brand.MatchString(strings.NewReplacer("ChemVOCFarbV", "", "98905", "").Replace(text)) || name != "Cite" && name != "Unit" && brand.MatchString(text) {
						t.Errorf("%s.%s sounds like a brand: %q", path, name, text)
					}
					if banned.MatchString(text) || strings.Contains(text, "  ") || strings.Contains(text, "\n") {
						t.Errorf("%s.%s: %q", path, name, text)
					}
					if sentence[name] && (!strings.HasSuffix(text, ".") || !strings.ContainsAny(text[:1], "ABCDEFGHIJKLMNOPQRSTUVWXYZ")) {
						t.Errorf("%s.%s is no sentence: %q", path, name, text)
					}
					if name == "Do" && len(text) > 420 {
						t.Errorf("%s.Do is too long to read at the wall (%d)", path, len(text))
					}
				}
				look(path+"."+name, v.Field(i))
			}
		case reflect.Slice:
			for i := range v.Len() {
				look(path, v.Index(i))
			}
		}
	}
	for _, name := range tableNames() {
		table := builtIn(t).table(name)
		for _, id := range table.MapKeys() {
			look(name+"/"+id.String(), table.MapIndex(id))
		}
	}
}

// TestEveryFileIsARecord counts files and records: none is lost or doubled.
func TestEveryFileIsARecord(t *testing.T) {
	files, err := fs.Glob(Files(), "*/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	records := 0
	for _, name := range tableNames() {
		records += builtIn(t).table(name).Len()
	}
	if len(files) != records || records < 150 {
		t.Errorf("%d files, %d records", len(files), records)
	}
}
