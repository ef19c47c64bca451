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
		"corner by corner": {examples.Bellwether, "Hall and stair/Stair", []string{"<legend>Corner 3</legend>", "3.90 m", `name="new:rooms[0].walls[2].outline:3:y" value="3610"`, `value="remove:rooms[0].walls[2].outline[2]"`}},
		"a crossing":       {webtest.Changed(t, examples.Bellwether, "rooms[0].walls[2].outline[3].y", "100"), "Hall and stair/Stair", []string{`id="cw-4"`, "crosses or touches", "What was typed is kept"}},
		"off the left end": {webtest.Changed(t, examples.Bellwether, "rooms[0].walls[2].outline[0].x", "200", "rooms[0].walls[2].outline[5].x", "200"), "Hall and stair/Stair", []string{`id="f-rooms-0-walls-2-outline-0-x-w"`}},
		"a corner unread":  {webtest.Changed(t, examples.Bellwether, "rooms[0].walls[2].outline[0].x", "x"), "Hall and stair/Stair", []string{"Add a corner after 2"}},
		"to be drawn":      {examples.Bellwether, "Dining room/North", []string{"Draw this wall corner by corner", `value="16 ft 4 1/2 in"`}},
		"leaning out":      {webtest.Changed(t, examples.Bellwether, "rooms[2].walls[0].lean-left", "-4"), "Dining room/North", []string{"leans out beyond its foot"}},
		"from above":       {examples.Bellwether, "Sitting room/Chimney breast", []string{"Wall 4, Chimney breast, then an outside corner; fireplace", "every corner is drawn as a right angle"}},
		"not closing":      {webtest.Changed(t, examples.Bellwether, "rooms[1].walls[2].length", "4.53 m"), "Breakfast room/North", []string{"The room does not close", "lie 300 mm apart, 300 mm along the first wall and 0 mm square to it"}},
		"an arch":          {examples.Bellwether, "Dining room/East", []string{"Rise of the arch"}},
		"a dado":           {examples.Bellwether, "Landing/Long", []string{"Above the rail: ", "Below the rail: "}},
		"a wrong figure":   {webtest.Changed(t, examples.Bellwether, "rooms[1].walls[0].length", "wide"), "Breakfast room/North", []string{`value="wide"`, `aria-invalid="true"`, "What was typed is kept", "because a length is missing: North"}},
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
			if name == "a corner unread" && strings.Contains(body, "Add a corner after 1") {
				t.Error("offers a corner in the middle of what cannot be read")
			}
			for _, want := range c.want {
				if !strings.Contains(body, want) {
					t.Errorf("does not say %q", want)
				}
			}
		})
	}
}
