//go:build oracle

package browser

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

var shots = flag.String("shots", "", "folder the pictures of every place are written to, for the guide")

// TestShots makes the pictures of the guide: every place, on a phone and on a laptop.
func TestShots(t *testing.T) {
	if *shots == "" {
		t.Skip("make shots asks for them")
	}
	if err := os.MkdirAll(*shots, 0o755); err != nil {
		t.Fatal(err)
	}
	s := serve(t)
	id := s.demo(t)
	first := newTab(t, s, 1440, 1000)
	first.open(placeOf(id, "programme", "")) // so that all pictures show one programme, the one that is found
	first.found()
	for _, width := range []int64{390, 1440} {
		b := newTab(t, s, width, map[int64]int64{390: 1000, 1440: 1000}[width])
		b.theme("light")
		for _, p := range []struct{ slug, wall string }{{"jobs", ""}, {"measure", "Tern room/Gable"}, {"choose", "Heron room/East"}, {"setout", "Breakfast room/North"}, {"coats", "Breakfast room/North"},
			{"pair", "Dining room/South"}, {"programme", ""}, {"buy", ""}, {"air", ""}, {"safety", ""}, {"price", ""}, {"papers", ""}, {"history", ""}, {"client", ""}} {
			path := placeOf(id, p.slug, p.wall)
			if p.slug == "jobs" {
				path = "/"
			}
			b.open(path)
			b.until(`[...document.images].every(i=>i.complete||i.loading==="lazy") && document.fonts.status==="loaded"`, "the pictures")
			b.until(`performance.now()>1500`, "a moment")
			quality := int64(48) // the fullest page stays below 150 kB
			picture, err := chromedp.Call(b.ctx, page.CaptureScreenshot, page.CaptureScreenshotParams{Format: "jpeg", Quality: &quality})
			if err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(filepath.Join(*shots, fmt.Sprintf("board-%s-%d.jpg", p.slug, width)), picture.Data, 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
}
