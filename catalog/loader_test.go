package catalog

import (
	"errors"
	"io/fs"
	"reflect"
	"strings"
	"testing"
	"testing/fstest"
)

func folder(files map[string]string) fstest.MapFS {
	f := fstest.MapFS{}
	for name, text := range files {
		f[name] = &fstest.MapFile{Data: []byte(text)}
	}
	return f
}

const sealer = `id: sealer
name: Sealer
role: primer
family: water
by: volume
solids: 0.2 0.3 0.4 ratio; from memory
wet-film: 100 um; from memory
spread: 10 m2/L; from memory
density: 1.1 kg/L; from memory
loss: 0.1 ratio; from memory
drying:
  touch: 1 h; from memory
  recoat-from: 2 h; from memory
min-temp: 8 C; from memory
max-humidity: 0.85 ratio; common practice
`

func TestOverlay(t *testing.T) {
	own := folder(map[string]string{
		"products/sealer.yaml": sealer,
		"rates/drag-pair.yaml": "id: drag-pair\nname: Ours\ncrew: 2\npace: 12 m2/h; common practice; our last nine walls\ntall: 1 ratio; common practice\nset-up: 0 h; common practice\n",
		"defaults.yaml":        "sliver: 80 mm; from memory; our own\n",
		"README.md":            "not read",
	})
	c, err := Load(Files(), own)
	if err != nil {
		t.Fatal(err)
	}
	if c.Products["sealer"] == nil || c.Rates["drag-pair"].Pace.Likely != 12 || c.Rates["prime"] == nil {
		t.Error("records were not laid over the built-in ones")
	}
	if c.Defaults.Sliver.Likely != 80 || c.Defaults.OnEdge.Likely != 3 {
		t.Errorf("defaults are %g and %g, want 80 and 3", c.Defaults.Sliver.Likely, c.Defaults.OnEdge.Likely)
	}
	if b := builtIn(t); b.Defaults.Sliver.Likely != 60 || b.Rates["drag-pair"].Pace.Likely == 12 {
		t.Error("the built-in catalog was changed")
	}
}

// TestProblems loads broken records and holds every message, all at once.
func TestProblems(t *testing.T) {
	broken := func(old, new string) string {
		if !strings.Contains(sealer, old) {
			t.Fatalf("%q is not in the record", old)
		}
		return strings.Replace(sealer, old, new, 1)
	}
	dragging, err := fs.ReadFile(Files(), "techniques/dragging.yaml")
	if err != nil {
		t.Fatal(err)
	}
	tests := []struct{ name, file, text, want string }{
		{"unknown field", "products/sealer.yaml", broken("by: volume", "by: volume\ncolor: red"), `products/sealer.yaml:6:1: "color" is no field here; use one of id, name, role,`},
		{"missing field", "products/sealer.yaml", broken("density: 1.1 kg/L; from memory\n", ""), `products/sealer.yaml:1:1: "density" is missing; add it`},
		{"wrong unit", "products/sealer.yaml", broken("100 um", "100 mm"), `products/sealer.yaml:7:11: "wet-film" cannot be in mm; give it in um`},
		{"unknown unit", "products/sealer.yaml", broken("10 m2/L", "10 m2/gal"), `products/sealer.yaml:8:9: "spread": "m2/gal" is not one of the units mm,`},
		{"falling numbers", "products/sealer.yaml", broken("0.2 0.3 0.4", "0.4 0.3 0.2"), `products/sealer.yaml:6:9: "solids": 0.4, 0.3, 0.2 do not rise`},
		{"two numbers", "products/sealer.yaml", broken("0.2 0.3 0.4", "0.2 0.3"), `is not one or three numbers with a unit`},
		{"no number", "products/sealer.yaml", broken("0.2 0.3 0.4", "thin"), `"thin" is not a number`},
		{"not finite", "products/sealer.yaml", broken("0.2 0.3 0.4", "NaN"), `"NaN" is not a number`},
		{"no footing", "products/sealer.yaml", broken("10 m2/L; from memory", "10 m2/L"), `it does not say what it rests on`},
		{"wrong footing", "products/sealer.yaml", broken("10 m2/L; from memory", "10 m2/L; hearsay"), `"hearsay" is no footing`},
		{"published nowhere", "products/sealer.yaml", broken("10 m2/L; from memory", "10 m2/L; published"), `"published" is no footing`},
		{"unknown source", "products/sealer.yaml", broken("10 m2/L; from memory", "10 m2/L; published in a-dream"), `products/sealer.yaml:8:9: there is no "a-dream" in sources; add sources/a-dream.yaml`},
		{"unknown word", "products/sealer.yaml", broken("family: water", "family: wax"), `products/sealer.yaml:4:9: "family" cannot be "wax"; use one of: oil, water, metallic, none`},
		{"unknown caution", "products/sealer.yaml", sealer + "cautions: [dragons]\n", `products/sealer.yaml:16:12: there is no "dragons" in cautions`},
		{"list wanted", "products/sealer.yaml", sealer + "cautions: ignition\n", `"cautions" must be a list`},
		{"fields wanted", "products/sealer.yaml", broken("drying:\n  touch: 1 h; from memory\n  recoat-from: 2 h; from memory\n", "drying: quick\n"), `products/sealer.yaml:11:9: must have fields`},
		{"by weight", "products/sealer.yaml", broken("by: volume", "by: mass"), `a product laid by mass has a spread in "m2/L"; give spread above zero in m2/kg`},
		{"lost all", "products/sealer.yaml", broken("loss: 0.1", "loss: 1"), `loss is 1; give the share`},
		{"other name", "products/primer.yaml", sealer, `products/primer.yaml: holds the id "sealer"; let the file be named ID.yaml`},
		{"wrong folder", "paints/sealer.yaml", sealer, `paints/sealer.yaml: lies in no folder of the catalog; put it in one of cautions, goods,`},
		{"wrong ending", "products/sealer.yml", sealer, `products/sealer.yml: is not read; name it .yaml`},
		{"no YAML", "products/sealer.yaml", "id: [", `products/sealer.yaml:1:5: is not YAML: `},
		{"twice", "products/sealer.yaml", sealer + "name: Again\n", `is not YAML: `},
		{"empty", "products/sealer.yaml", "", `products/sealer.yaml: is empty; write one record in it`},
		{"two documents", "products/sealer.yaml", sealer + "---\n" + sealer, `holds 2 documents; keep exactly one`},
		{"too long", "products/sealer.yaml", sealer + "care: " + strings.Repeat("x", longestFile), `more than 131072`},
		{"alias", "products/sealer.yaml", broken("name: Sealer", "name: &n Sealer"), `"name" must be a text`},
		{"yes or no", "products/sealer.yaml", sealer + "tinted: perhaps\n", `"tinted" cannot be "perhaps"; write true or false`},
		{"whole number", "sources/x.yaml", "id: x\ncite: X.\nyear: soon\nseen: text\n", `sources/x.yaml:3:7: "year" cannot be "soon"; write a whole number`},
		{"default of a default", "defaults.yaml", "sliver: 80 m; from memory\n", `defaults.yaml:1:9: "sliver" cannot be in m; give it in mm`},
		{"part of a figure", "defaults.yaml", "sliver:\n  was: 80 mm; from memory\n", `defaults.yaml:2:3: "was" is no part of a figure`},
		{"rivals only", "defaults.yaml", "sliver:\n  others:\n    wide: 80 mm; from memory\n", `"sliver" has no figure; add`},
		{"classes", "rules/r.yaml", "id: r\nname: R\nedition: none\nsource: din-18363\nverified: false\nround: 10 mm; from memory\nclasses:\n  - {up-to: 3, deduct: none, why: A.}\n  - {up-to: 2, deduct: none, why: B.}\nreveals: never\nlow-skirting: 0 mm; from memory\nnote: None.\n", `rules/r.yaml: class 2 goes up to 2 m2; let classes rise`},
		{"waits", "preparations/p.yaml", step("wait:\n      - after: nothing\n        from: 3 h; from memory\n        until: 2 h; from memory\n        why: So.\n"), `step "a" waits for "nothing", which does not come before it`},
		{"window", "preparations/p.yaml", step("wait:\n      - from: 3 h; from memory\n        until: 2 h; from memory\n        why: So.\n"), `step "a" may start from 3 h but only until 2 h`},
		{"two waits", "preparations/p.yaml", step("wait:\n      - {from: 3 h; from memory, why: So.}\n      - {from: 4 h; from memory, why: So.}\n"), `step "a" has two waits for the same glaze`},
		{"mark of no stroke", "techniques/dragging.yaml", string(dragging) + "mark: trowel\n", `techniques/dragging.yaml: mark is "trowel", which is no measure of a stroke; name a figure of strokes that is in mm`},
		{"crew", "preparations/p.yaml", step("lays: Alone.\n"), `step "a" has a crew of 1`},
		{"same step", "preparations/p.yaml", step("hold: No.\n") + strings.TrimPrefix(step("hold: No.\n"), "id: p\nname: P\nsteps:\n"), `step "a" comes twice; give every step an id of its own`},
	}
	for _, test := range tests {
		_, err := Load(Files(), folder(map[string]string{test.file: test.text}))
		if err == nil {
			t.Errorf("%s: no problem found", test.name)
			continue
		}
		var problems Problems
		if !errors.As(err, &problems) || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%s:\n got %v\nwant %s", test.name, err, test.want)
		}
	}
	_, err = Load(Files(), folder(map[string]string{
		"products/sealer.yaml": broken("density: 1.1 kg/L; from memory\n", "colour: red\n"),
		"rates/prime.yaml":     "id: prime\ncrew: many\n",
	}))
	var problems Problems
	if !errors.As(err, &problems) || len(problems) != 7 { // two in the product, five in the rate
		t.Errorf("%d problems at once:\n%v", len(problems), err)
	}
	if _, err := Load(folder(map[string]string{"products/sealer.yaml": sealer})); err == nil || !strings.Contains(err.Error(), "defaults.yaml: is missing") {
		t.Errorf("no defaults: %v", err)
	}
}

// step is a preparation with one step and some more of its fields.
func step(more string) string {
	return "id: p\nname: P\nsteps:\n  - id: a\n    kind: sand\n    title: A\n    do: Sand.\n    over: field\n    rate: sand\n    crew: 1\n    " + more
}

// TestSameTwice loads twice and compares: nothing may depend on the order in
// which files happen to be read.
func TestSameTwice(t *testing.T) {
	a, err := Load(Files())
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(a, builtIn(t)) {
		t.Error("two loads differ")
	}
}

// FuzzRecord feeds any bytes to the loader: problems are values, never panics.
func FuzzRecord(f *testing.F) {
	f.Add([]byte(sealer))
	f.Add([]byte("id: sealer\nspread:\n  is: 3 m2/L; common practice\n  others: {a: 1 2 3 m2/L; published in x; y}\n"))
	f.Add([]byte("- a\n- {b: [c, &d e, *d]}\n"))
	f.Add([]byte("steps: |\n  text\n"))
	f.Fuzz(func(t *testing.T, src []byte) {
		for file, kind := range map[string]reflect.Type{"products/x.yaml": tables["products"], "techniques/x.yaml": tables["techniques"], "defaults.yaml": reflect.TypeFor[Defaults]()} {
			value := reflect.New(kind)
			d := decoder{file: file}
			d.document(src, value.Elem())
			for _, p := range d.problems {
				if p.What == "" || p.Do == "" {
					t.Errorf("%v says too little", p)
				}
			}
			visit(value.Elem(), "x/y/", func(path string, f *Figure) {
				if !(f.Low <= f.Likely && f.Likely <= f.High) || f.Kind.Letter() == "?" {
					t.Errorf("%s was read as %v", path, *f)
				}
			})
		}
	})
}

func BenchmarkLoad(b *testing.B) {
	for b.Loop() {
		if _, err := Load(Files()); err != nil {
			b.Fatal(err)
		}
	}
}
