//go:build oracle

package browser

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// TestMeasureAsALaserTypes begins a job with nothing and measures a room as a laser
// measure would: figures and Enter.
func TestMeasureAsALaserTypes(t *testing.T) {
	for name, width := range map[string]int64{"phone": 390, "laptop": 1440} {
		t.Run(name, func(t *testing.T) {
			s := serve(t)
			b := newTab(t, s, width, 900)
			b.measured()
			b.wrongFigure()
			b.openings()
			b.undone()
		})
	}
}

// measured makes a job of one room with four walls.
func (b *tab) measured() {
	b.Helper()
	b.open("/")
	b.read("No jobs yet")
	b.fill("#e-name", "Cooper's Yard")
	b.key(kb.Enter)
	b.read("Measure the first room")
	b.fill("#nr-name", "Parlour")
	b.fill("#nr-height", "2.60 m")
	b.key(kb.Enter)
	b.see("#nw-length")
	b.fill("#nw-length", "4200")
	b.key(kb.Enter)
	b.read("Parlour, Wall 1")
	for _, length := range []string{"3.1 m", "13'9\"", "3100"} {
		b.until(`document.querySelector("#nw-length").value===""`, "the next wall to be empty")
		b.fill("#nw-length", length)
		b.key(kb.Enter)
	}
	b.until(`document.querySelectorAll(".frieze a[data-wall]").length===4`, "four walls on the frieze")
	b.read("4.20 × 2.60 m")
}

// wrongFigure types a figure that does not fit: it is marked, kept, and blocks nothing.
func (b *tab) wrongFigure() {
	b.Helper()
	b.open(js[string](b, `document.querySelector("#sheet").dataset.here`))
	b.fill("#f-rooms-0-walls-0-height-right", "tall")
	b.key(kb.Tab)
	b.see(`#f-rooms-0-walls-0-height-right[aria-invalid="true"]`)
	if got := js[string](b, `document.querySelector("#f-rooms-0-walls-0-height-right").value`); got != "tall" {
		b.Errorf("what was typed became %q", got)
	}
	b.see(`.frieze use[href="#i-tri"]`)
	b.fill("#f-rooms-0-walls-0-height-right", "2.50 m")
	b.key(kb.Tab)
	b.until(`!document.querySelector("#f-rooms-0-walls-0-height-right").hasAttribute("aria-invalid")`, "the figure to fit")
	// Enter walks to the next figure, and what was typed is saved.
	b.fill("#f-rooms-0-walls-0-length", "4250")
	b.key(kb.Enter)
	b.until(`document.activeElement.id==="f-rooms-0-walls-0-height"`, "the next figure")
	b.read("4.25 × 2.60 m")
}

// openings adds a door by figures and moves it by hand and by keys.
func (b *tab) openings() {
	b.Helper()
	b.click("text=Add it")
	b.see(`g[data-opening="rooms[0].walls[0].openings[0]"]`)
	b.fill("#f-rooms-0-walls-0-openings-0-width", "860")
	b.key(kb.Enter)
	b.until(`[...document.querySelectorAll("g[data-opening]")].some(g=>g.dataset.width==="860")`, "the door to be 860 wide")
	js[bool](b, `(()=>{const g=[...document.querySelectorAll("g[data-opening]")].find(g=>g.getBoundingClientRect().width>0); g.scrollIntoView({block:"center"}); g.focus(); return true})()`)
	b.key(kb.ArrowRight)
	b.key(kb.ArrowRight)
	b.until(`document.querySelector("#f-rooms-0-walls-0-openings-0-left").getAttribute("value")==="520"`, "the door 20 mm further right")
	at := js[[]float64](b, `(()=>{const r=[...document.querySelectorAll("g[data-opening]")].find(g=>g.getBoundingClientRect().width>0).getBoundingClientRect(); return [r.x+r.width/2, r.y+r.height/2]})()`)
	b.drag(at[0], at[1], at[0]+60, at[1])
	b.until(`Number(document.querySelector("#f-rooms-0-walls-0-openings-0-left").getAttribute("value"))>700`, "the door dragged to the right")
	if left := js[string](b, `document.querySelector("#f-rooms-0-walls-0-openings-0-left").value`); !strings.HasSuffix(left, "0") {
		b.Errorf("dragging goes by 10 mm, not to %s", left)
	}
}

func (b *tab) undone() {
	b.Helper()
	b.click("[data-undo]")
	b.until(`document.querySelector("#f-rooms-0-walls-0-openings-0-left").value==="520"`, "the door back where it was")
	b.click("[data-redo]")
	b.until(`Number(document.querySelector("#f-rooms-0-walls-0-openings-0-left").value)>700`, "the door moved again")
}

// TestCornersComeAndGo draws a plain wall corner by corner, adds a corner, makes a gable of
// it, takes it out again, and finds a corner that is wrong marked.
func TestCornersComeAndGo(t *testing.T) {
	for name, width := range map[string]int64{"phone": 390, "laptop": 1440} {
		t.Run(name, func(t *testing.T) {
			s := serve(t)
			b := newTab(t, s, width, 900)
			b.open(placeOf(s.demo(t), "measure", "Breakfast room/West"))
			outline := "rooms-1-walls-3-outline"
			before := js[string](b, `document.querySelector("h1 + p").textContent`)
			b.click("text=Draw this wall corner by corner")
			b.see("#f-" + outline + "-3-y")
			b.until(fmt.Sprintf(`document.querySelector("h1 + p").textContent===%q`, before), "nothing else to change")
			b.click("text=Add a corner after 3")
			b.see("#f-" + outline + "-4-y")
			b.until(fmt.Sprintf(`document.querySelector("#f-%s-3-x").value==="1810"`, outline), "the corner in the middle of its edge")
			b.fill("#f-"+outline+"-3-y", "3.40 m")
			b.key(kb.Enter)
			b.read("3.62 × 3.40 m")
			b.accessible("a wall drawn corner by corner")
			b.fits("a wall drawn corner by corner")
			b.fill("#f-"+outline+"-4-x", "3.70 m")
			b.key(kb.Tab)
			b.see("fieldset.corner .why-wrong")
			b.fill("#f-"+outline+"-4-x", "0")
			b.key(kb.Tab)
			b.until(`!document.querySelector("fieldset.corner .why-wrong")`, "the corner to fit")
			b.click(`button[value="remove:rooms[1].walls[3].outline[3]"]`)
			b.until(fmt.Sprintf(`document.querySelector("h1 + p").textContent===%q`, before), "the wall as it was")
		})
	}
}

// TestTheRoomFromAboveLeadsToItsWalls goes to another wall by the plan of the room.
func TestTheRoomFromAboveLeadsToItsWalls(t *testing.T) {
	s := serve(t)
	b := newTab(t, s, 390, 900)
	b.open(placeOf(s.demo(t), "measure", "Sitting room/North"))
	b.see(`.floorplan a[aria-current][aria-label^="Wall 1, North"]`)
	b.click(`.floorplan a[aria-label^="Wall 7, South"]`)
	b.until(`document.querySelector("h1").textContent==="Sitting room, South"`, "the other wall")
}

// TestTwoAtOnce has two people change one job: what differs is joined, what both changed is
// shown to the second.
func TestTwoAtOnce(t *testing.T) {
	s := serve(t)
	id := s.demo(t)
	first, second := newTab(t, s, 1440, 900), newTab(t, s, 1440, 900)
	path := placeOf(id, "measure", "Breakfast room/East")
	first.open(path)
	second.open(path)
	first.fill("#f-rooms-1-walls-1-length", "3.70 m")
	first.key(kb.Tab)
	first.read("3.70 × 2.72 m")
	second.fill("#f-rooms-1-walls-1-lean-right", "3")
	second.key(kb.Tab)
	second.read("3.70 × 2.72 m")
	first.fill("#f-rooms-1-walls-1-lean-right", "6")
	first.key(kb.Tab)
	first.read("while you were working")
	first.read("revision 4")
	first.click("text=Use yours")
	first.until(`document.querySelector("#f-rooms-1-walls-1-lean-right").getAttribute("value")==="6"`, "the figure chosen")
}

// TestStepFinished notes a step and sees it on the frieze.
func TestStepFinished(t *testing.T) {
	s := serve(t)
	b := newTab(t, s, 1440, 900)
	b.open(placeOf(s.demo(t), "coats", "Breakfast room/North"))
	b.click("text=Finished now")
	b.see(`.frieze a[data-wall="Breakfast room/North"] use[href="#s-drying"]`)
	b.read("1 drying")
	b.click("text=Not yet")
	b.see(`.frieze a[data-wall="Breakfast room/North"] use[href="#s-chosen"]`)
}

// TestWayTaken takes another way of dividing a wall.
func TestWayTaken(t *testing.T) {
	s := serve(t)
	b := newTab(t, s, 1440, 900)
	b.open(placeOf(s.demo(t), "setout", "Breakfast room/North"))
	b.read("62 × 272.6 mm")
	b.click("text=Take this")
	b.read("64 × 264.1 mm")
	b.see(".alts > li[aria-current]:nth-child(2)")
}

// TestFriezeByKeys walks the frieze by keys alone.
func TestFriezeByKeys(t *testing.T) {
	s := serve(t)
	b := newTab(t, s, 390, 900)
	b.open(placeOf(s.demo(t), "measure", "Hall and stair/Left"))
	b.see(`.frieze a[tabindex="0"]`)
	js[bool](b, `(document.querySelector('.frieze a[tabindex="0"]').focus(), true)`)
	for range 3 {
		b.key(kb.ArrowRight)
	}
	b.until(`document.activeElement.dataset.wall==="Breakfast room/North"`, "the fourth wall in focus")
	b.key(kb.Enter)
	b.read("Breakfast room, North")
}

// TestFromNothingToAcceptance walks a whole job: measured, chosen, set out, priced, on
// paper, sent, asked about and accepted.
func TestFromNothingToAcceptance(t *testing.T) {
	for name, width := range map[string]int64{"phone": 390, "laptop": 1440} {
		t.Run(name, func(t *testing.T) {
			s := serve(t)
			b := newTab(t, s, width, 900)
			b.measured()
			b.chosen()
			b.termed()
			b.onPaper()
			b.sent(s, width)
		})
	}
}

// place goes to a place by its link.
func (b *tab) place(name string) {
	b.Helper()
	b.settled()
	b.click(fmt.Sprintf(`xpath=//nav[contains(@class,"places")]//a[starts-with(normalize-space(.), %q)]`, name))
	b.until(fmt.Sprintf(`document.querySelector('.places a[aria-current]').textContent.trim().startsWith(%q)`, name), "the place "+name)
}

// settled waits until nothing waits to be saved.
func (b *tab) settled() {
	b.Helper()
	b.until(`document.getElementById("slip")===null || document.getElementById("slip").hidden`, "nothing unsaved")
}

// chosen gives every wall a finish, changes a colour, and keeps an option.
func (b *tab) chosen() {
	b.Helper()
	b.set("#f-rooms-0-substrate", "gypsum-plaster")
	b.until(`document.querySelector("#f-rooms-0-substrate").selectedOptions[0].hasAttribute("selected")`, "what the walls are made of")
	b.place("Choose")
	b.read("No finish is chosen")
	b.pick(`input[name="technique"][value="dragging"]`)
	b.see(`svg[data-split]`)
	b.read("It gives back")
	b.set(`#c-glaze`, "#7a8f60")
	b.until(`document.querySelector("#c-glaze").getAttribute("value")==="#7a8f60"`, "the colour saved")
	b.click("text=as an option")
	b.read("A Dragging, chosen")
	id := js[string](b, `document.querySelector("#wear").value`)
	for i := 1; i < 4; i++ {
		b.click("[data-walk-next]")
		b.until(fmt.Sprintf(`document.querySelector("h1").textContent==="Parlour, Wall %d"`, i+1), "the next wall")
		b.see("#wear")
		js[bool](b, fmt.Sprintf(`(()=>{const w=document.querySelector("#wear"); w.value=%q; w.dispatchEvent(new Event("change",{bubbles:true})); return true})()`, id))
		b.see(`[data-split-handle]`)
	}
	b.place("Set out")
	b.read("Circles number the sections")
	b.place("Coats")
	b.read("Steps in order")
	b.click("text=Finished now")
	b.until(`document.querySelectorAll('.frieze use[href="#s-drying"], .frieze use[href="#s-work"]').length===1`, "the wall in work")
}

// pick ticks a radio whose picture covers it.
func (b *tab) pick(selector string) {
	b.Helper()
	b.see(selector)
	js[bool](b, fmt.Sprintf(`(document.querySelector(%q).click(), true)`, selector))
}

// set gives a field a value as its own control would.
func (b *tab) set(selector, value string) {
	b.Helper()
	b.see(selector)
	js[bool](b, fmt.Sprintf(`(()=>{const f=document.querySelector(%q); f.value=%q; f.dispatchEvent(new Event("input",{bubbles:true})); f.dispatchEvent(new Event("change",{bubbles:true})); return true})()`, selector, value))
}

// termed gives rates and prices until the job has a price, pins a step and takes another rule.
func (b *tab) termed() {
	b.Helper()
	b.place("Programme")
	b.set("#f-crew-start", "2027-03-01") // a step was finished that day
	b.place("Price")
	b.read("is missing")
	b.fill("#f-terms-rate", "36")
	b.key(kb.Tab)
	b.read("Quote, before tax")
	b.pick(`input[name="set:terms.rule"][value="din-18363-2006"]`)
	b.until(`document.querySelector('input[name="set:terms.rule"][value="din-18363-2006"]').closest("tr").hasAttribute("aria-current")`, "the other rule in force")
	b.place("Programme")
	b.read("site day")
	b.set("#pin-day", "2027-03-20")
	b.click("text=Pin it")
	b.until(`/Without the pins|The pins cost nothing/.test(document.body.innerText)`, "what the pin costs")
	b.place("Buy")
	b.read("have no price yet")
	b.fill("#np-size", "2.5 L")
	b.fill("#np-price", "58")
	b.click("text=Add the pack")
	b.until(`document.body.innerText.includes("1 price to change")`, "the price of a pack")
	b.place("Safety")
	b.read("come first")
}

// onPaper looks at a paper, compares revisions, and brings nothing back.
func (b *tab) onPaper() {
	b.Helper()
	b.place("Papers")
	b.click("text=What the client agrees to and pays")
	b.until(`[...document.querySelectorAll(".pages img")].length>0 && document.querySelector(".pages img").complete && document.querySelector(".pages img").naturalWidth===840`, "the first page of the quote")
	b.place("History")
	b.click("text=Compare revision")
	b.read("Line by line")
}

// sent makes a link, opens it as the client would, asks, accepts, and sees both back home.
func (b *tab) sent(s *site, width int64) {
	b.Helper()
	b.place("Client")
	b.click("text=Make a link")
	b.see("#fresh")
	at := js[string](b, `document.querySelector("#fresh").value`)
	theirs := newTab(b.TB, s, width, 900)
	theirs.open(strings.TrimPrefix(at, s.url))
	theirs.read("Your rooms, before a tin is opened")
	for _, scheme := range []string{"light", "dark"} {
		theirs.theme(scheme)
		theirs.accessible("the page of the client, " + scheme)
	}
	theirs.fits("the page of the client")
	theirs.fill("#q-name", "A. Client")
	theirs.fill("#q-text", "Is the glaze washable?")
	theirs.click("text=Ask")
	theirs.read("Your question is with them")
	theirs.fill("#acc-name", "A. Client")
	theirs.pick(`input[name="agree"]`)
	theirs.click("text=Accept")
	theirs.read("Accepted by A. Client on 1 March 2027, 09:41")
	b.place("Client")
	b.read("Accepted by A. Client")
	b.read("Is the glaze washable?")
}

// TestByKeyboardAlone takes a job from nothing to the client's acceptance with keys only:
// Tab, letters, arrows, Enter and the space bar.
func TestByKeyboardAlone(t *testing.T) {
	s := serve(t)
	b := newTab(t, s, 1440, 900)
	b.open("/")
	b.tabTo(`document.activeElement.id==="e-name"`)
	b.key("Mill End")
	b.key(kb.Enter)
	b.read("Measure the first room")
	b.tabTo(`document.activeElement.id==="nr-height"`)
	b.key("2.5 m")
	b.key(kb.Enter)
	b.see("#nw-length")
	b.tabTo(`document.activeElement.id==="nw-length"`)
	b.key("3200")
	b.key(kb.Enter)
	b.read("3.20 × 2.50 m")
	b.tabTo(`document.activeElement.closest&&document.activeElement.closest(".places")&&document.activeElement.textContent.trim()==="Choose"`)
	b.key(kb.Enter)
	b.read("No finish is chosen")
	b.tabTo(`document.activeElement.name==="technique"`)
	b.key(" ")
	b.see(`[data-split-handle]`)
	before := js[string](b, `[...document.querySelectorAll("[data-split-handle]")].find(e=>e.getClientRects().length).getAttribute("aria-valuenow")`)
	b.tabTo(`document.activeElement.hasAttribute("data-split-handle")`)
	b.key(kb.ArrowRight)
	b.until(fmt.Sprintf(`document.activeElement.getAttribute("aria-valuenow")!==%q`, before), "the plumb line moved")
	b.tabTo(`document.activeElement.matches("[data-undo]")`)
	b.key(kb.Enter)
	b.read("No finish is chosen")
	b.tabTo(`document.activeElement.matches("[data-redo]")`)
	b.key(kb.Enter)
	b.see(`[data-split-handle]`)
	b.restByKeys(s)
}

// placeByKeys goes to a place by Tab and Enter.
func (b *tab) placeByKeys(name string) {
	b.Helper()
	b.tabTo(fmt.Sprintf(`document.activeElement.closest&&document.activeElement.closest(".places")&&document.activeElement.textContent.trim().startsWith(%q)`, name))
	b.key(kb.Enter)
	b.until(fmt.Sprintf(`document.querySelector('.places a[aria-current]').textContent.trim().startsWith(%q)`, name), "the place "+name)
}

// restByKeys says what the walls are made of, gives a rate, looks at the quote, makes a
// link, opens it and accepts, with keys only.
func (b *tab) restByKeys(s *site) {
	b.Helper()
	b.placeByKeys("Measure")
	b.tabTo(`document.activeElement.id==="f-rooms-0-substrate"`)
	b.key("g") // goes to what begins with it
	b.key(kb.Tab)
	b.until(`!!document.querySelector("#f-rooms-0-substrate option[selected]").value`, "what the walls are made of")
	b.placeByKeys("Price")
	b.tabTo(`document.activeElement.id==="f-terms-rate"`)
	b.key("36")
	b.key(kb.Enter)
	b.read("Quote, before tax")
	b.placeByKeys("Papers")
	b.tabTo(`document.activeElement.textContent.trim()==="What the client agrees to and pays."`)
	b.key(kb.Enter)
	b.see(".pages img")
	b.placeByKeys("Client")
	b.tabTo(`document.activeElement.textContent.includes("Make a link")`)
	b.key(kb.Enter)
	b.see("#fresh")
	b.open(strings.TrimPrefix(js[string](b, `document.querySelector("#fresh").value`), s.url))
	b.tabTo(`document.activeElement.id==="acc-name"`)
	b.key("A. Client")
	b.tabTo(`document.activeElement.name==="agree"`)
	b.key(" ")
	b.tabTo(`document.activeElement.textContent.trim()==="Accept"`)
	b.key(kb.Enter)
	b.read("Accepted by A. Client")
}

// tabTo presses Tab until something has the focus, which must be seen.
func (b *tab) tabTo(where string) {
	b.Helper()
	b.settled()
	for range 150 {
		b.key(kb.Tab)
		if js[bool](b, "!!("+where+")") {
			if !js[bool](b, `(()=>{const r=document.activeElement.getClientRects()[0]; return !!r && r.width>0})()`) {
				b.Fatalf("what has the focus cannot be seen: %s", where)
			}
			return
		}
	}
	b.Fatalf("Tab never reaches %s", where)
}

// TestWithoutScript measures, chooses, sets out and notes a step with script turned off.
// The answer about a wall follows the slider, the crew and the air at once, by hand and by
// key; the form stays, the job too, and the address can be sent to somebody.
func TestPairAnswersAtOnce(t *testing.T) {
	for name, width := range map[string]int64{"phone": 390, "laptop": 1440} {
		t.Run(name, func(t *testing.T) {
			s := serve(t)
			b := newTab(t, s, width, 900)
			id := s.demo(t)
			b.open(placeOf(id, "pair", "Hall and stair/Left"))
			b.read("Two people can do it")
			b.click(`#pa-temp`)
			for range 30 {
				b.key(kb.ArrowRight)
			}
			b.until(`document.querySelector("output[for=pa-temp]").textContent.startsWith("3")`, "the figure beside the slider")
			b.until(`document.querySelector("#pair-say").textContent.includes("This is what you try")`, "an answer to the slider")
			b.until(`document.activeElement.id==="pa-temp"`, "the hand on the slider")
			b.pick(`input[name=people][value="3"]`)
			b.until(`document.querySelector("#pair-say h2").textContent.includes("Three people")`, "an answer for three")
			b.until(`location.search.includes("people=3")`, "an address that can be sent")
			b.accessible("pair, as tried")
			b.fits("pair, as tried")
			b.click("text=As planned")
			b.read("Two people can do it")
			if head, err := s.store.Head(context.Background(), id); err != nil || head.Number != 1 {
				t.Errorf("trying changed the job: revision %d, %v", head.Number, err)
			}
		})
	}
}

func TestWithoutScript(t *testing.T) {
	s := serve(t)
	b := newTab(t, s, 390, 900)
	id := s.demo(t)
	if _, err := chromedp.Call(b.ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true}); err != nil {
		t.Fatal(err)
	}
	b.open(placeOf(id, "measure", "Breakfast room/North"))
	b.fill("#f-rooms-1-walls-0-length", "4.90 m")
	b.key(kb.Enter)
	b.read("4.90 × 2.72 m")
	b.open(placeOf(id, "setout", "Breakfast room/North"))
	b.click("text=Take this")
	b.see(".alts > li[aria-current]:nth-child(2)")
	b.open(placeOf(id, "coats", "Breakfast room/North"))
	b.click("text=Finished now")
	b.read("1 drying")
	b.click("text=Undo")
	b.read("30 chosen")
	b.open(placeOf(id, "pair", "Dining room/South"))
	b.fill("#pa-co", "9")
	b.click("text=Ask")
	b.read("This is what you try")
	b.read("9 sections")
	b.open(placeOf(id, "air", ""))
	b.fill("#f-climate-night", "9 C")
	b.click(`#climate noscript button, #climate button.primary`)
	b.until(`/(^|\s)9\s*°C,\s*9\d/.test(document.body.innerText)`, "the cold night in the table")
	b.open(placeOf(id, "choose", "Breakfast room/North"))
	b.fill("#f-finishes-2-name", "Reed weave")
	b.key(kb.Enter)
	b.read("Colours of Reed weave")
}
