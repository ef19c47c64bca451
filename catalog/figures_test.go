package catalog

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestParseFigure(t *testing.T) {
	for text, want := range map[string]Figure{
		"900 1000 1200 mm; common practice":                 {Low: 900, Likely: 1000, High: 1200, Unit: "mm", Kind: Common},
		"24 h; published in one-book; page 3; second print": {Low: 24, Likely: 24, High: 24, Unit: "h", Kind: Published, Source: "one-book", Note: "page 3; second print"},
		"  0.8   ratio ;from memory":                        {Low: 0.8, Likely: 0.8, High: 0.8, Unit: "ratio", Kind: Memory},
	} {
		got, err := parseFigure(text)
		if err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("%q is %+v, %v", text, got, err)
		}
	}
}

// TestPaths asks for each figure by the path it is listed under.
func TestPaths(t *testing.T) {
	c := builtIn(t)
	figures := c.Figures()
	if !slices.IsSortedFunc(figures, func(a, b Addressed) int { return strings.Compare(a.Path, b.Path) }) {
		t.Error("paths are not sorted")
	}
	for i, a := range figures {
		got, ok := c.Figure(a.Path)
		if !ok || !reflect.DeepEqual(got, a.Figure) {
			t.Errorf("%s is not found under its path", a.Path)
		}
		if i > 0 && figures[i-1].Path == a.Path {
			t.Errorf("%s comes twice", a.Path)
		}
	}
	for _, path := range []string{"", "/", "techniques", "techniques/", "techniques/frottage", "techniques/frottage/section", "techniques/frottage/section.width.",
		"products/nothing/loss", "nothing/oil-glaze/loss", "defaults", "defaults/", "defaults/nothing", "products/fine-filler/voc"} {
		if f, ok := c.Figure(path); ok {
			t.Errorf("%q gives %v", path, f)
		}
	}
}

func TestChoose(t *testing.T) {
	c := builtIn(t)
	const width, wait = "techniques/dragging/section.width", "techniques/cross-drag-weave/steps.glaze-2.wait.oil.from"
	const until = "techniques/cross-drag-weave/steps.glaze-2.wait.oil.until"
	before := c.Figures()
	own := 650.0
	chosen, err := c.Choose(map[string]Pick{
		wait:                        {Use: "published"},
		width:                       {Value: &own, Why: "our brush"},
		"rates/prime/pace":          {Use: "handbook"},
		"defaults/dew-margin":       {Use: "handbook"},
		"products/oil-glaze/spread": {Use: "full-cover"},
	})
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(before, c.Figures()) {
		t.Error("the catalog chosen from was changed")
	}
	if f, _ := chosen.Figure(wait); f.Likely != 24 || f.Source != "homesteady-linen" || f.Others[0].Name != "default" || f.Others[0].Likely != 36 {
		t.Errorf("the published wait is %+v", f)
	}
	if f, _ := chosen.Figure(width); f.Low != 650 || f.High != 650 || f.Kind != Own || f.Note != "our brush" || f.Unit != "mm" || len(f.Others) != 3 {
		t.Errorf("the crew's own width is %+v", f)
	}
	if f, _ := chosen.Figure("rates/prime/pace"); f.Likely != 13.9 {
		t.Errorf("the pace is %+v", f)
	}
	if chosen.Defaults.DewMargin.Likely != 2.8 || c.Defaults.DewMargin.Likely != 3 {
		t.Error("the dew margin was not replaced in the copy alone")
	}
	if got, want := chosen.Techniques["frottage"], c.Techniques["frottage"]; got != want {
		t.Error("a record nobody chose from was copied")
	}
	if a, _ := chosen.Figure(until); a.Likely != 168 {
		t.Errorf("a neighbour of a chosen figure is %+v", a)
	}
	back, err := chosen.Choose(map[string]Pick{wait: {Use: "default"}})
	if err != nil {
		t.Fatal(err)
	}
	if f, _ := back.Figure(wait); f.Likely != 36 {
		t.Errorf("choosing the default again gives %+v", f)
	}
}

func TestChooseProblems(t *testing.T) {
	less, some := -1.0, 5.0
	_, err := builtIn(t).Choose(map[string]Pick{
		"techniques/dragging/section.depth":  {Use: "x"},
		"techniques/dragging/section.width":  {Use: "sideways"},
		"techniques/dragging/section.height": {Use: "x"},
		"techniques/dragging/lifted":         {},
		"rates/prime/pace":                   {Value: &less},
		"rates/sand/pace":                    {Value: &some, Use: "lecture-table"},
	})
	if err == nil {
		t.Fatal("no problem found")
	}
	for _, want := range []string{
		"techniques/dragging/section.depth: there is no such figure in the catalog",
		`section.width: there is no figure named "sideways"; use one of alone, wide`,
		`section.height: there is no figure named "x", as it has no rivals; give a value instead`,
		"lifted: neither a rival nor a value is given",
		"rates/prime/pace: -1 m2/h cannot be",
		"rates/sand/pace: both a rival and a value are given",
	} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("missing %q in\n%v", want, err)
		}
	}
}

// TestChooseAny sets any figures to any values and looks that these and only
// these changed.
func TestChooseAny(t *testing.T) {
	c := builtIn(t)
	all := c.Figures()
	rapid.Check(t, func(t *rapid.T) {
		picks := map[string]Pick{}
		for _, i := range rapid.SliceOfN(rapid.IntRange(0, len(all)-1), 1, 4).Draw(t, "figures") {
			value := rapid.Float64Range(0, 1e6).Draw(t, "value")
			picks[all[i].Path] = Pick{Value: &value}
		}
		chosen, err := c.Choose(picks)
		if err != nil {
			t.Fatal(err)
		}
		for i, a := range chosen.Figures() {
			if pick, ok := picks[a.Path]; ok {
				if a.Figure.Likely != *pick.Value || a.Figure.Kind != Own {
					t.Fatalf("%s is %+v", a.Path, a.Figure)
				}
			} else if !reflect.DeepEqual(a, all[i]) {
				t.Fatalf("%s changed as well", a.Path)
			}
		}
	})
}
