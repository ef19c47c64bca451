package air_test

import (
	"strings"
	"testing"

	"scumble/examples"
	"scumble/web/air"
	"scumble/web/frame"
	"scumble/web/internal/webtest"
)

func TestAir(t *testing.T) {
	f := webtest.Frame(t, air.Place())
	for name, c := range map[string]struct {
		text      []byte
		query     string
		want, not []string
	}{
		"first with solvent": {examples.Bellwether, "", []string{"Hall and stair: solvent in the air", "Back in", "Sleep there", "Not every limit", "Tue 30 March", "European Union", "not kept", "taken as 5.66 m²", "Rags with oil glaze", "heavier than air", "Over dew"}, nil},
		"a room":             {examples.Bellwether, "room=Breakfast+room", []string{"Breakfast room: solvent in the air", "Windows shut", "a limit.", "product of the sides"}, nil},
		"by its wall":        {examples.Bellwether, webtest.Wall("Heron room/East"), []string{"Heron room: solvent in the air"}, nil},
		"water only":         {examples.Bellwether, "room=Dining+room", []string{"No solvent is laid here."}, []string{"Chart of the solvent"}},
		"no such room":       {examples.Bellwether, "room=%3Cscript%3E", []string{"Hall and stair: solvent"}, []string{"<script>"}},
		"damp":               {webtest.Changed(t, examples.Bellwether, "climate.humidity", "95 %"), "", []string{"Hall and stair, Left", "notice hold"}, nil},
		"aired":              {webtest.Changed(t, examples.Bellwether, "climate.draught", "fan", "climate.aired", "30"), "room=Breakfast+room", []string{`<option value="fan" selected>`, `value="30"`}, nil},
		"wrong":              {webtest.Changed(t, examples.Bellwether, "climate.night", "chilly"), "", []string{`aria-invalid="true"`}, nil},
		"no air":             {[]byte(strings.Replace(string(examples.Bellwether), "\nclimate:", "\nweather:", 1)), "", []string{"Temperature by day"}, nil},
		"empty":              {[]byte("scumble: 1\n"), "", []string{"Temperature by day"}, nil},
		"hostile":            {webtest.Changed(t, examples.Bellwether, "rooms[0].name", "<script>x"), "", []string{"&lt;script&gt;x"}, nil},
	} {
		t.Run(name, func(t *testing.T) {
			code, body := webtest.Page(t, f, webtest.Job(t, f, c.text), "air", c.query, frame.Applicator)
			body = strings.NewReplacer("\u2009", " ", "\u00a0", " ").Replace(body)
			if code != 200 || strings.Contains(body, "<script>x") {
				t.Errorf("answer %d, or a name unescaped", code)
			}
			for _, want := range c.want {
				if !strings.Contains(body, want) {
					t.Errorf("does not say %q", want)
				}
			}
			for _, not := range c.not {
				if strings.Contains(body, not) {
					t.Errorf("says %q", not)
				}
			}
		})
	}
}
