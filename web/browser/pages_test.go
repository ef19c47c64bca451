//go:build oracle

package browser

import (
	"fmt"
	"testing"
)

// walls that show everything a place can: strips, a dado, an arch, a gable, no opening.
var places = []struct{ slug, wall string }{
	{"measure", "Breakfast room/East"}, {"measure", "Tern room/Gable"}, {"measure", "Hall and stair/Stair"}, {"choose", "Breakfast room/North"}, {"choose", "Landing/Long"}, {"setout", "Breakfast room/North"}, {"setout", "Landing/Long"},
	{"coats", "Landing/Long"}, {"programme", ""}, {"buy", ""}, {"safety", ""}, {"price", ""}, {"papers", ""}, {"history", ""}, {"client", ""},
}

// TestEveryPlace looks at every place by day and by night, on a phone and on a laptop:
// nothing wider than the screen, nothing a checker of accessibility finds serious,
// nothing wrong in the console.
func TestEveryPlace(t *testing.T) {
	s := serve(t)
	id := s.demo(t)
	for _, width := range []int64{390, 1440} {
		t.Run(fmt.Sprint(width), func(t *testing.T) {
			b := newTab(t, s, width, 900)
			for _, p := range append([]struct{ slug, wall string }{{"", ""}}, places...) {
				path := "/"
				if p.slug != "" {
					path = placeOf(id, p.slug, p.wall)
				}
				b.open(path)
				b.see("main")
				for _, scheme := range []string{"light", "dark"} {
					b.theme(scheme)
					b.accessible(fmt.Sprintf("%s at %d px, %s", path, width, scheme))
				}
				b.fits(fmt.Sprintf("%s at %d px", path, width))
				if width == 390 {
					b.narrow(path)
				}
			}
		})
	}
}
