package measure_test

import (
	"strings"
	"testing"

	"scumble/examples"
	"scumble/web/frame"
	"scumble/web/internal/webtest"
	"scumble/web/measure"
)

func TestMeasure(t *testing.T) {
	f := webtest.Frame(t, measure.Place())
	for name, c := range map[string]struct {
		text []byte
		wall string
		want []string
	}{
		"a gable":          {examples.Bellwether, "Tern room/Gable", []string{"Ridge of a gable", "round window", "platform above", "m² to paint"}},
		"corner by corner": {examples.Bellwether, "Hall and stair/Stair", []string{"Corner 3, from the left", "3.90 m"}},
		"an arch":          {examples.Bellwether, "Dining room/East", []string{"Rise of the arch"}},
		"a dado":           {examples.Bellwether, "Landing/Long", []string{"Above the rail: ", "Below the rail: "}},
		"a wrong figure":   {webtest.Changed(t, examples.Bellwether, "rooms[1].walls[0].length", "wide"), "Breakfast room/North", []string{`value="wide"`, `aria-invalid="true"`, "What was typed is kept"}},
		"nothing":          {[]byte("scumble: 1\nname: x\n"), "", []string{"Measure the first room", "new:rooms:height"}},
		"a bare room":      {[]byte("scumble: 1\nrooms:\n  - name: Hall\n"), "", []string{"Now its walls", "new:rooms[0].walls:length"}},
		"no text at all":   {[]byte("{"), "", []string{"Measure the first room"}},
		"hostile names":    {webtest.Changed(t, examples.Bellwether, "rooms[1].walls[0].name", "<script>x</script>", "rooms[1].name", "\"><img src=x>"), "", []string{"&lt;script&gt;"}},
	} {
		t.Run(name, func(t *testing.T) {
			query := webtest.Wall(c.wall)
			if name == "hostile names" {
				query = webtest.Wall("\"><img src=x>/<script>x</script>")
			}
			code, body := webtest.Page(t, f, webtest.Job(t, f, c.text), "measure", query, frame.Owner)
			if code != 200 || strings.Contains(body, "<script>x") || strings.Contains(body, "<img src=x>") {
				t.Errorf("answer %d, or names unescaped", code)
			}
			for _, want := range c.want {
				if !strings.Contains(body, want) {
					t.Errorf("does not say %q", want)
				}
			}
		})
	}
}
