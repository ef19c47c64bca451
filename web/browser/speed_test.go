//go:build oracle

package browser

import (
	"flag"
	"fmt"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
)

var speed = flag.Bool("speed", false, "measure how soon an edit is seen and what the first page weighs")

// TestSpeed measures and prints; nothing in it passes or fails by time.
func TestSpeed(t *testing.T) {
	if !*speed {
		t.Skip("go test -tags oracle ./web/browser -run TestSpeed -v -speed")
	}
	s := serve(t)
	b := newTab(t, s, 1440, 900)
	path := placeOf(s.demo(t), "measure", "Breakfast room/North")
	var mu sync.Mutex
	kind, weight := map[network.RequestID]network.ResourceType{}, map[network.ResourceType]float64{}
	if err := chromedp.Listen(b.ctx, func(ev any) {
		mu.Lock()
		defer mu.Unlock()
		switch ev := ev.(type) {
		case *network.EventResponseReceived:
			kind[ev.RequestID] = ev.Type
		case *network.EventLoadingFinished:
			weight[kind[ev.RequestID]] += ev.EncodedDataLength
		}
	}); err != nil {
		t.Fatal(err)
	}
	b.open(path)
	b.until(`performance.now()>4000`, "the pictures")
	mu.Lock()
	t.Logf("first page, kB as sent: %v", weight)
	mu.Unlock()
	b.edits("measure", "#f-rooms-1-walls-0-length", 4700, "")
	b.open(placeOf(js[string](b, `location.pathname.split("/")[2]`), "programme", ""))
	b.edits("programme, while a better one is looked for", "#f-crew-travel-hours", 41, " min")
	b.do(chromedp.Navigate("about:blank"))
	fresh := newTab(t, s, 390, 900)
	if _, err := chromedp.Call(fresh.ctx, emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: 4}); err != nil {
		t.Fatal(err)
	}
	fresh.open(path)
	t.Logf("on a four times slower processor: interactive %v ms after the address was asked for", js[float64](fresh, `performance.getEntriesByType("navigation")[0].domContentLoadedEventEnd`))
}

// edits types figures into a field one after the other, and tells how soon each is seen.
func (b *tab) edits(where, field string, from int, unit string) {
	b.Helper()
	b.see(field)
	var waits []time.Duration
	for n := range 50 {
		time.Sleep(700 * time.Millisecond) // somebody types the next figure; thumbnails are painted meanwhile
		ms := js[float64](b, fmt.Sprintf(`new Promise(done=>{const f=document.querySelector(%q); f.focus(); f.value=%q; const begun=performance.now();
			const seen=e=>{if(e.detail) return; document.removeEventListener("board:laid",seen); requestAnimationFrame(()=>setTimeout(()=>done(performance.now()-begun)))};
			document.addEventListener("board:laid",seen); f.dispatchEvent(new Event("input",{bubbles:true})); f.dispatchEvent(new Event("change",{bubbles:true}))})`, field, fmt.Sprint(from+n)+unit))
		waits = append(waits, time.Duration(ms*float64(time.Millisecond)))
	}
	slices.Sort(waits)
	b.Logf("%s: edit to redrawn page: median %v, 95 of 100 within %v, longest %v", where, waits[25].Round(time.Millisecond), waits[47].Round(time.Millisecond), waits[49].Round(time.Millisecond))
}
