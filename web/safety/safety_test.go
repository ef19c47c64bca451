package safety_test

import (
	"strings"
	"testing"

	"scumble/examples"
	"scumble/web/frame"
	"scumble/web/internal/webtest"
	"scumble/web/safety"
)

func TestSafety(t *testing.T) {
	f := webtest.Frame(t, safety.Place())
	for name, c := range map[string]struct {
		text []byte
		want []string
	}{
		"cautions": {examples.Bellwether, []string{"Old paint may hold lead", "40 CFR 745", "notice hold", "The product&#39;s safety sheet comes first"}},
		"no air":   {[]byte(strings.Replace(string(examples.Bellwether), "\nclimate:", "\nweather:", 1)), []string{"The house"}},
		"empty":    {[]byte("scumble: 1\n"), []string{"The house"}},
		"hostile":  {webtest.Changed(t, examples.Bellwether, "rooms[0].name", "<script>x"), []string{"&lt;script&gt;x"}},
	} {
		t.Run(name, func(t *testing.T) {
			code, body := webtest.Page(t, f, webtest.Job(t, f, c.text), "safety", "", frame.Owner)
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
