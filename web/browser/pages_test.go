//go:build oracle

package browser

import (
	"bytes"
	"context"
	"fmt"
	"testing"

	"scumble/examples"
)

// walls that show everything a place can: strips, a dado, an arch, a gable, no opening.
var places = []struct{ slug, wall string }{
	{"measure", "Breakfast room/East"}, {"measure", "Tern room/Gable"}, {"measure", "Hall and stair/Stair"}, {"choose", "Breakfast room/North"}, {"choose", "Landing/Long"}, {"setout", "Breakfast room/North"}, {"setout", "Landing/Long"},
	{"coats", "Landing/Long"}, {"pair", "Dining room/South"}, {"pair", "Sitting room/North"}, {"pair", "Dining room/North"}, {"programme", ""}, {"buy", ""}, {"air", ""}, {"safety", ""}, {"price", ""}, {"papers", ""}, {"history", ""}, {"client", ""},
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

// ownFields are entries that the demonstration does not have, some of them wrong.
const ownFields = `
tints:
  - {name: Leaf, hex: "#4f7a3c"}
  - {name: Chalk, hex: pale}
figures:
  - {of: techniques/cross-drag-weave/section.width, use: wet-weave, why: three of us}
  - {of: techniques/dragging/section.width, value: 400, use: alone, why: our own brush}
  - {of: nothing/here, value: 400, why: x}
observed:
  - {of: products/oil-glaze/drying.open, value: 52 min, temp: 19 C, humidity: 55 %, wall: Breakfast room/North, date: 2027-04-12}
  - {of: techniques/dragging/pair.work, value: 150 m2/h}
  - {of: products/oil-glaze/drying.open, value: 14}
`

// TestOwnEntries looks at the forms of tints, figures, own walls, boards and lower prices with
// everything opened, and adds one of each as hands do.
func TestOwnEntries(t *testing.T) {
	for name, width := range map[string]int64{"phone": 390, "laptop": 1440} {
		t.Run(name, func(t *testing.T) {
			s := serve(t)
			j, _, err := s.store.Create(context.Background(), "House", "Saltern Ness", append(bytes.Clone(examples.Bellwether), ownFields...), "", "x", "new")
			if err != nil {
				t.Fatal(err)
			}
			b := newTab(t, s, width, 900)
			add := func(slug string, fields []string, button, made string) {
				b.open(placeOf(j.ID, slug, "Breakfast room/North"))
				b.see("main")
				js[bool](b, `([...document.querySelectorAll("main details")].forEach(d=>d.open=true), true)`)
				b.until(`document.getAnimations().length===0`, "the page at rest")
				b.accessible(slug + " with everything opened")
				b.fits(slug + " with everything opened")
				for i := 0; i < len(fields); i += 2 {
					b.fill(fields[i], fields[i+1])
				}
				b.click(button)
				b.see(made)
			}
			add("buy", []string{"#break-0-from", "6", "#break-0-price", "12.90"}, `button[form="break-0"]`, "#f-prices-packs-0-breaks-0-price")
			add("coats", []string{"#nt-name", "Rose", "#nt-hex", "#a06070"}, "text=Add the tint", "#f-tints-2-hex")
			add("coats", []string{"#nf-of", "defaults/sliver", "#nf-value", "70", "#nf-why", "our own walls"}, "text=Replace it", "#f-figures-3-value")
			add("coats", []string{"#nw-of", "products/oil-glaze/drying.open", "#nw-value", "48 min", "#nw-temp", "21", "#nw-hum", "50 %"}, "text=Add the wall", "#f-observed-3-value")
			add("choose", []string{"#nb-name", "Sage 1", "#nb-whole", "#8c9c78"}, "text=Add the board", "#f-finishes-2-boards-0-whole")
			b.pick(`input[name="list:finishes[2].boards[0].seen"][value="lighter"]`)
			b.until(`document.querySelector('#boards input[name="revision"]').value==="7"`, "what was seen to be saved")
			b.click(`button[value="remove:finishes[2].boards[0]"]`)
			b.until(`!document.querySelector("#f-finishes-2-boards-0-whole")`, "the board to be gone")
		})
	}
}
