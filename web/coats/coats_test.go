package coats_test

import (
	"strings"
	"testing"

	"scumble/examples"
	"scumble/web/coats"
	"scumble/web/frame"
	"scumble/web/internal/webtest"
)

func TestCoats(t *testing.T) {
	f := webtest.Frame(t, coats.Place())
	for name, c := range map[string]struct {
		text       []byte
		wall, more string
		want       []string
	}{
		"steps":             {examples.Bellwether, "Breakfast room/North", "", []string{"Prime the wall", "12.46 m²", "Finished now", "One lays: ", "The other works: "}},
		"both readings":     {examples.Bellwether, "Breakfast room/North", "", []string{"of thinner on each litre of product, used here", "of the mix is thinner"}},
		"a finished step":   {webtest.Changed(t, examples.Bellwether, "rooms[1].walls[0].done", "ground-1"), "Breakfast room/North", "", []string{"Not yet", " finished</span>"}},
		"a dado":            {examples.Bellwether, "Landing/Long", "", []string{"Above the rail: steps in order", "Below the rail: steps in order", ".dado.done"}},
		"too damp to paint": {webtest.Changed(t, examples.Bellwether, "rooms[8].climate.humidity", "92 %"), "Washroom/Above tiles, long", "", []string{"notice hold"}},
		"why":               {examples.Bellwether, "Breakfast room/North", "&why=glaze", []string{`class="chain"`}},
		"a wrong why":       {examples.Bellwether, "Breakfast room/North", "&why=%3Cscript%3E", []string{"Steps in order"}},
		"no finish":         {webtest.Changed(t, examples.Bellwether, "rooms[0].walls[0].finish", ""), "Hall and stair/Left", "", []string{"has a finish"}},
		"an empty job":      {[]byte("scumble: 1\n"), "", "", []string{"Coats and mixes"}},
		"no crew":           {[]byte(strings.Replace(string(examples.Bellwether), "crew:", "nobody:", 1)), "Breakfast room/North", "", []string{"Prime the wall"}},
		"hostile":           {webtest.Changed(t, examples.Bellwether, "finishes[2].ground.name", "<script>x"), "Breakfast room/North", "", []string{"&lt;script&gt;x"}},
	} {
		t.Run(name, func(t *testing.T) {
			code, body := webtest.Page(t, f, webtest.Job(t, f, c.text), "coats", webtest.Wall(c.wall)+c.more, frame.Owner)
			if code != 200 || strings.Contains(body, "<script>x") {
				t.Errorf("answer %d, or a name unescaped", code)
			}
			for _, want := range c.want {
				if !strings.Contains(body, want) {
					t.Errorf("does not say %q", want)
				}
			}
		})
	}
}

// with puts more fields at the end of the demonstration.
func with(more string) []byte { return append([]byte(string(examples.Bellwether)+"\n"), more...) }

func TestOwnTintsAndFigures(t *testing.T) {
	f := webtest.Frame(t, coats.Place())
	for name, c := range map[string]struct {
		text []byte
		want []string
	}{
		"tints":          {with("tints:\n  - {name: Leaf, hex: \"#4f7a3c\", clarity: 35 %}\n"), []string{`name="set:tints[0].clarity"`, `fill="#4f7a3c"`, `name="set:finishes[2].glaze.recipe"`, `name="set:finishes[2].glaze-b.recipe"`, `value="remove:tints[0]"`}},
		"a wrong tint":   {with("tints:\n  - {name: Leaf, hex: greenish}\n"), []string{`id="f-tints-0-hex-w"`, `value="greenish"`}},
		"a wrong recipe": {webtest.Changed(t, with("tints:\n  - {name: Leaf, hex: \"#4f7a3c\"}\n"), "finishes[0].glaze.recipe", "3 Lead"), []string{`id="f-finishes-0-glaze-recipe-w"`, "is no tint of this job"}},
		"a rival":        {with("figures:\n  - {of: techniques/frottage/section.width, use: full-height, why: three of us}\n"), []string{"Frottage with paper: section width</legend>", "In the catalog: 1050 (", `<option value="full-height" selected>`}},
		"our own":        {with("figures:\n  - {of: techniques/dragging/section.width, value: 400, why: our brush}\n"), []string{`name="set:figures[0].value"`, `value="400"`, `value="our brush"`}},
		"both":           {with("figures:\n  - {of: techniques/frottage/section.width, use: full-height, value: 3, why: x}\n"), []string{"Both use and value are given."}},
		"no such figure": {with("figures:\n  - {of: techniques/nothing, value: 3, why: x}\n"), []string{`id="f-figures-0-of-w"`, "is no figure of the catalog"}},
		"what to offer":  {examples.Bellwether, []string{`<option value="techniques/cross-drag-weave/strip-width.wanted">`, `<option value="products/oil-glaze/spread">`}},
	} {
		t.Run(name, func(t *testing.T) {
			code, body := webtest.Page(t, f, webtest.Job(t, f, c.text), "coats", webtest.Wall("Breakfast room/North"), frame.Owner)
			if code != 200 {
				t.Errorf("answer %d", code)
			}
			for _, want := range c.want {
				if !strings.Contains(body, want) {
					t.Errorf("does not say %q", want)
				}
			}
		})
	}
}

// TestOwnEntriesComeAndGo adds, changes and takes out a tint and a figure.
func TestOwnEntriesComeAndGo(t *testing.T) {
	f := webtest.Frame(t, coats.Place())
	id := webtest.Job(t, f, examples.Bellwether)
	for _, c := range []struct {
		pairs      []string
		want, gone string
	}{
		{[]string{"act", "add:tints", "new:tints:name", "Leaf", "new:tints:hex", "#4f7a3c"}, "- name: Leaf\n    hex: \"#4f7a3c\"", "recipe"},
		{[]string{"set:tints[0].clarity", "35 %", "set:finishes[0].glaze.recipe", "1 Leaf"}, "clarity: 35 %", "2 Leaf"},
		{[]string{"act", "remove:tints[0]", "set:finishes[0].glaze.recipe", ""}, "rooms:", "Leaf"},
		{[]string{"act", "add:figures", "new:figures:of", "techniques/dragging/section.width", "new:figures:value", "400", "new:figures:why", "our own brush"}, "value: 400", "Leaf"},
		{[]string{"set:figures[0].value", "", "set:figures[0].use", "alone"}, "use: alone", "value: 400"},
		{[]string{"act", "remove:figures[0]"}, "rooms:", "section.width"},
	} {
		code, text := webtest.Edit(t, f, id, frame.Applicator, c.pairs...)
		if code != 303 || !strings.Contains(text, c.want) || strings.Contains(text, c.gone) {
			t.Errorf("%v: answer %d; %q or %q", c.pairs, code, c.want, c.gone)
		}
	}
}

const seenWalls = "observed:\n" +
	"  - {of: products/oil-glaze/drying.open, value: 52 min, temp: 19 C, humidity: 55 %, wall: Parlour/North, date: 2027-04-12}\n" +
	"  - {of: products/oil-glaze/drying.open, value: 48 min, temp: 21 C, humidity: 50 %}\n" +
	"  - {of: techniques/dragging/pair.work, value: 150 m2/h}\n"

func TestOwnWalls(t *testing.T) {
	f := webtest.Frame(t, coats.Place())
	for name, c := range map[string]struct {
		text []byte
		want []string
	}{
		"none":       {examples.Bellwether, []string{"From your own walls", `<details class="more" open><summary>Add a wall`, `value="Breakfast room/North"`, `value="2027-03-01"`, `<option value="products/oil-glaze/drying.open">`, `<option value="techniques/cross-drag-weave/pair.work">`}},
		"seen":       {with(seenWalls), []string{"52 min</th>", "Parlour/North, 2027-04-12", "19 C, 55 %", "39.4 min</td>", "The catalog says 60 min, from 30 to 90.", "From 2 of your walls; the catalog still counts for 22 %.", `value="remove:observed[1]"`}},
		"wild":       {with(seenWalls), []string{"150 m2/h is outside ", "it counts all the same"}},
		"overruled":  {with(seenWalls + "figures:\n  - {of: products/oil-glaze/drying.open, value: 0.7, why: ours}\n"), []string{"Counted with: <b class=\"figure\">42 min</b>", "Your walls would make it 4"}},
		"no unit":    {with("observed:\n  - {of: products/oil-glaze/drying.open, value: 52}\n"), []string{"has no unit", `id="f-observed-0-value-w"`, "Take out<span"}},
		"no figure":  {with("observed:\n  - {value: 52 min}\n"), []string{"Of no figure yet", "The field of is missing."}},
		"hostile":    {with("observed:\n  - {of: \"<b>x\", value: \"<i>y\"}\n"), []string{"&lt;b&gt;x", "&lt;i&gt;y"}},
		"not learnt": {with("observed:\n  - {of: products/oil-glaze/solids, value: 52 min}\n"), []string{"it is neither a pace nor a time"}},
	} {
		t.Run(name, func(t *testing.T) {
			code, body := webtest.Page(t, f, webtest.Job(t, f, c.text), "coats", webtest.Wall("Breakfast room/North"), frame.Applicator)
			_, offered, _ := strings.Cut(body, `<datalist id="nw-known">`)
			if offered, _, _ = strings.Cut(offered, "</datalist>"); code != 200 || strings.Contains(offered, "/solids") || strings.Contains(offered, "recoat-until") {
				t.Errorf("answer %d, or a figure is offered that cannot be learned", code)
			}
			for _, want := range c.want {
				if !strings.Contains(body, want) {
					t.Errorf("does not say %q", want)
				}
			}
		})
	}
}

// TestOwnWallsComeAndGo: an applicator adds, corrects and takes out walls.
func TestOwnWallsComeAndGo(t *testing.T) {
	f := webtest.Frame(t, coats.Place())
	id := webtest.Job(t, f, examples.Bellwether)
	const of = "products/oil-glaze/drying.open"
	for _, c := range []struct {
		pairs      []string
		want, gone string
	}{
		{[]string{"act", "add:observed", "new:observed:of", of, "new:observed:value", "52 min", "new:observed:temp", "19", "new:observed:humidity", "55 %", "new:observed:date", "2027-03-01"}, "value: 52 min", "48 min"},
		{[]string{"act", "add:observed", "new:observed:of", of, "new:observed:value", "48 min"}, "value: 48 min", "50 min"},
		{[]string{"set:observed[1].value", "50 min"}, "value: 50 min", "48 min"},
		{[]string{"act", "remove:observed[0]"}, "value: 50 min", "52 min"},
	} {
		code, text := webtest.Edit(t, f, id, frame.Applicator, c.pairs...)
		if code != 303 || !strings.Contains(text, c.want) || strings.Contains(text, c.gone) {
			t.Errorf("%v: answer %d; %q or %q", c.pairs, code, c.want, c.gone)
		}
	}
}
