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
