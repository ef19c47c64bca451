//go:build oracle

// Package browser tests the pages in a real browser: Debian's Chromium, driven over its
// protocol, with a checker of accessibility in every page.
package browser

import (
	"context"
	_ "embed"
	"encoding/json"
	"fmt"
	"net/http/httptest"
	"net/url"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"

	"scumble/catalog"
	"scumble/examples"
	"scumble/store"
	"scumble/web"
)

//go:embed testdata/axe.min.js
var axe string

// clock is the wall clock of the tests: a morning before the demonstration begins.
func clock() time.Time { return time.Date(2027, 3, 1, 9, 41, 0, 0, time.UTC) }

// site is the program being served from an empty folder.
type site struct {
	url   string
	store *store.Store
}

func serve(t testing.TB) *site {
	t.Helper()
	return serveWith(t, web.Options{Now: clock})
}

// serveWith serves with some options of the program's own.
func serveWith(t testing.TB, o web.Options) *site {
	t.Helper()
	c, err := catalog.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	jobs, err := store.Open(t.TempDir(), o.Now)
	if err != nil {
		t.Fatal(err)
	}
	o.Store, o.Catalog, o.Build = jobs, c, "test"
	handler, err := web.New(o)
	if err != nil {
		t.Fatal(err)
	}
	server := httptest.NewServer(handler)
	t.Cleanup(func() {
		server.CloseClientConnections()
		server.Close()
		if err := jobs.Close(); err != nil {
			t.Error(err)
		}
	})
	return &site{server.URL, jobs}
}

// demo puts the demonstration in and returns its ID.
func (s *site) demo(t testing.TB) string {
	t.Helper()
	j, _, err := s.store.Create(context.Background(), "Bellwether House", "Saltern Ness", examples.Bellwether, "", "The demonstration", "new")
	if err != nil {
		t.Fatal(err)
	}
	return j.ID
}

// tab is one page of a browser that notes everything that goes wrong in it.
type tab struct {
	testing.TB
	ctx   context.Context
	site  *site
	mu    sync.Mutex
	wrong []string
}

// launched is one browser for all tests.
var launched = sync.OnceValue(func() context.Context {
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true))
	ctx, _ := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, _ = chromedp.NewContext(ctx)
	if err := chromedp.Do(ctx, chromedp.Navigate("about:blank")); err != nil {
		panic("Chromium does not start: " + err.Error())
	}
	return ctx
})

// newTab opens a page of its own, with cookies of its own.
func newTab(t testing.TB, s *site, width, height int64) *tab {
	t.Helper()
	ctx, cancel := chromedp.NewContext(launched(), chromedp.WithNewBrowserContext())
	ctx, stop := context.WithTimeout(ctx, 100*time.Second)
	b := &tab{TB: t, ctx: ctx, site: s}
	t.Cleanup(func() { stop(); cancel() })
	if err := chromedp.Listen(ctx, b.listen); err != nil {
		t.Fatal(err)
	}
	b.do(chromedp.EmulateViewport(width, height))
	if _, err := chromedp.Call(ctx, network.Enable, network.EnableParams{}); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		b.mu.Lock()
		defer b.mu.Unlock()
		for _, w := range b.wrong {
			t.Error("in the browser: " + w)
		}
	})
	return b
}

// listen notes errors of the console, exceptions, failed requests and requests elsewhere.
func (b *tab) listen(ev any) {
	note := func(format string, values ...any) {
		b.mu.Lock()
		defer b.mu.Unlock()
		b.wrong = append(b.wrong, fmt.Sprintf(format, values...))
	}
	switch ev := ev.(type) {
	case *runtime.EventConsoleAPICalled:
		if ev.Type == "error" || ev.Type == "warning" {
			for _, arg := range ev.Args {
				note("console %s: %s %s", ev.Type, arg.Description, arg.Value)
			}
		}
	case *runtime.EventExceptionThrown:
		note("exception: %s %s", ev.ExceptionDetails.Text, ev.ExceptionDetails.Exception.Description)
	case *network.EventRequestWillBeSent:
		if u := ev.Request.URL; !strings.HasPrefix(u, b.site.url) && !strings.HasPrefix(u, "data:") && !strings.HasPrefix(u, "blob:") && u != "about:blank" {
			note("request to another host: %s", u)
		}
	case *network.EventResponseReceived:
		if ev.Response.Status >= 400 && ev.Response.Status != 409 && ev.Response.Status != 422 {
			note("answer %d of %s", ev.Response.Status, ev.Response.URL)
		}
	}
}

func (b *tab) do(steps ...chromedp.Action[chromedp.Void]) {
	b.Helper()
	ctx, stop := context.WithTimeout(b.ctx, 15*time.Second)
	defer stop()
	if err := chromedp.Do(ctx, steps...); err != nil {
		b.Fatalf("%v at %s", err, js[string](b, "location.pathname + location.search"))
	}
}

// open goes to an address of the site.
func (b *tab) open(path string) {
	b.Helper()
	b.do(chromedp.Navigate(b.site.url + path))
}

// js evaluates an expression.
func js[T any](b *tab, expression string) T {
	b.Helper()
	v, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		b.Fatalf("%s: %v", expression, err)
	}
	return v
}

// click presses what a selector or, after text=, a button or link of a name stands for.
func (b *tab) click(what string) {
	b.Helper()
	b.see(what)
	selector := b.selector(what)
	find := fmt.Sprintf("document.querySelector(%q)", selector)
	if strings.HasPrefix(selector, "/") || strings.HasPrefix(selector, "(/") {
		find = fmt.Sprintf("document.evaluate(%q, document, null, 9, null).singleNodeValue", selector)
	}
	at := js[[]float64](b, `(()=>{const e=`+find+`; e.scrollIntoView({block:"center", inline:"center"}); const r=e.getClientRects()[0]; return r ? [r.x+r.width/2, r.y+r.height/2] : []})()`)
	if len(at) == 0 {
		b.Fatalf("%s is there and cannot be seen", what)
	}
	b.do(chromedp.MouseClickXY(at[0], at[1]))
}

func (b *tab) selector(what string) string {
	if path, ok := strings.CutPrefix(what, "xpath="); ok {
		return path
	}
	name, named := strings.CutPrefix(what, "text=")
	if !named {
		return what
	}
	quoted := "'" + name + "'"
	return fmt.Sprintf(`(//button[contains(normalize-space(.), %[1]s)] | //a[contains(normalize-space(.), %[1]s)] | //summary[contains(normalize-space(.), %[1]s)])[1]`, quoted)
}

// fill writes into a field, in the place of what stood there, and leaves it.
func (b *tab) fill(selector, text string) {
	b.Helper()
	b.see(selector)
	js[bool](b, fmt.Sprintf(`(()=>{const f=document.querySelector(%q); f.scrollIntoView({block:"center"}); f.focus(); f.select&&f.select(); return true})()`, selector))
	b.do(chromedp.KeyEvent(text))
}

// key presses one key.
func (b *tab) key(key string) {
	b.Helper()
	b.do(chromedp.KeyEvent(key))
}

// see waits until something is on the page.
func (b *tab) see(what string) {
	b.Helper()
	expression := fmt.Sprintf(`!!document.querySelector(%q)`, what)
	if selector := b.selector(what); strings.HasPrefix(selector, "(//") || strings.HasPrefix(selector, "//") {
		expression = fmt.Sprintf(`!!document.evaluate(%q, document, null, 9, null).singleNodeValue`, selector)
	}
	b.until(expression, what)
}

// read waits until the page says something.
func (b *tab) read(words string) {
	b.Helper()
	b.until(fmt.Sprintf(`document.body.innerText.replace(/[\u00a0\u2009\u202f]/g," ").includes(%q)`, words), "the words "+words)
}

// until waits for an expression to be true.
func (b *tab) until(expression, what string) {
	b.Helper()
	for end := time.Now().Add(8 * time.Second); ; time.Sleep(20 * time.Millisecond) {
		ok, err := chromedp.Run(b.ctx, chromedp.Evaluate[bool](expression))
		if err == nil && ok {
			return
		}
		if time.Now().After(end) {
			at := js[string](b, "location.pathname + location.search")
			text := js[string](b, "document.body.innerText.slice(0, 1500)")
			if list, err := b.site.store.Jobs(b.ctx, true); err == nil && len(list) > 0 {
				revisions, _ := b.site.store.Revisions(b.ctx, list[0].ID, 0, 12)
				for _, r := range revisions {
					b.Logf("revision %d: %s", r.Number, r.What)
				}
			}
			b.Fatalf("%s: never saw %s (%v); the page says\n%s", at, what, err, text)
		}
	}
}

// theme makes the page light or dark.
func (b *tab) theme(scheme string) {
	b.Helper()
	if _, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}, {Name: "prefers-reduced-motion", Value: "reduce"}}}); err != nil {
		b.Fatal(err)
	}
}

type finding struct {
	ID     string `json:"id"`
	Impact string `json:"impact"`
	Help   string `json:"help"`
	Nodes  []struct {
		HTML    string `json:"html"`
		Summary string `json:"failureSummary"`
	} `json:"nodes"`
}

// accessible runs the checker on the page and reports what is serious.
func (b *tab) accessible(where string) {
	b.Helper()
	b.do(chromedp.Evaluate[chromedp.Void](axe))
	text := js[string](b, `axe.run(document, {resultTypes: ["violations"]}).then(r => JSON.stringify(r.violations))`)
	var found []finding
	if err := json.Unmarshal([]byte(text), &found); err != nil {
		b.Fatal(err)
	}
	for _, f := range found {
		if f.Impact == "serious" || f.Impact == "critical" {
			for i, n := range f.Nodes {
				if i < 3 {
					b.Errorf("%s: %s (%s), %d places: %s\n%s", where, f.ID, f.Help, len(f.Nodes), n.HTML, n.Summary)
				}
			}
		} else {
			b.Logf("%s: %s, %s: %s, %d places: %s", where, f.Impact, f.ID, f.Help, len(f.Nodes), f.Nodes[0].HTML)
		}
	}
}

// fits fails when the page can be slid sideways.
func (b *tab) fits(where string) {
	b.Helper()
	over := js[string](b, `(()=>{const w=document.documentElement.clientWidth; if(document.documentElement.scrollWidth<=w) return "";
		const bad=[...document.querySelectorAll("body *")].filter(e=>e.getBoundingClientRect().right>w+1 && !e.closest(".scroll,.frieze-run,.places,.wide,.narrow,.chart,svg,[tabindex='0'][role=region]"));
		return document.documentElement.scrollWidth+" > "+w+": "+bad.slice(0,4).map(e=>e.outerHTML.slice(0,120)).join(" | ")})()`)
	if over != "" {
		b.Errorf("%s: wider than the screen: %s", where, over)
	}
}

// placeOf is the address of a place of a job.
func placeOf(job, slug, wall string) string {
	u := "/jobs/" + job + "/" + slug
	if wall != "" {
		u += "?wall=" + url.QueryEscape(wall)
	}
	return u
}

// narrow looks at the page on the smallest phone and on a tablet.
func (b *tab) narrow(where string) {
	b.Helper()
	for _, width := range []int64{320, 768} {
		b.do(chromedp.EmulateViewport(width, 700))
		b.fits(fmt.Sprintf("%s at %d px", where, width))
	}
	b.do(chromedp.EmulateViewport(390, 900))
}

// drag moves the mouse with its button held.
func (b *tab) drag(x0, y0, x1, y1 float64) {
	b.Helper()
	b.do(chromedp.DragAndDropXY(x0, y0, x1, y1, 6))
}

// tap touches the page with a finger.
func (b *tab) tap(x, y float64) {
	b.Helper()
	touch := func(kind input.DispatchTouchEventType, points []*input.TouchPoint) {
		if _, err := chromedp.Call(b.ctx, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: kind, TouchPoints: points}); err != nil {
			b.Fatal(err)
		}
	}
	touch(input.DispatchTouchEventTypeTouchStart, []*input.TouchPoint{{X: x, Y: y}})
	touch(input.DispatchTouchEventTypeTouchEnd, []*input.TouchPoint{})
}
