//go:build oracle

package browser

import (
	"context"
	"fmt"
	"regexp"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/chromedp/kb"

	"scumble/examples"
	"scumble/web"
)

// bar is the selector of a step on the chart.
func bar(step string) string { return fmt.Sprintf(`a[data-step=%q]`, step) }

// text is the newest text of the first job.
func (b *tab) text() string {
	b.Helper()
	list, err := b.site.store.Jobs(b.ctx, true)
	if err != nil || len(list) == 0 {
		b.Fatal(err)
	}
	head, err := b.site.store.Head(b.ctx, list[0].ID)
	if err != nil {
		b.Fatal(err)
	}
	return string(head.Text)
}

// plain puts the demonstration in without its other ways, whose programmes take as long again.
func (s *site) plain(t testing.TB) string {
	t.Helper()
	before, rest, _ := strings.Cut(string(examples.Bellwether), "\nalternatives:")
	if at := regexp.MustCompile(`\n[a-z]`).FindStringIndex(rest); at != nil {
		before += rest[at[0]:]
	}
	j, _, err := s.store.Create(context.Background(), "Bellwether House", "Saltern Ness", []byte(before), "", "The demonstration", "new")
	if err != nil {
		t.Fatal(err)
	}
	return j.ID
}

// found waits until nothing better is looked for.
func (b *tab) found() {
	b.Helper()
	for end := time.Now().Add(60 * time.Second); js[bool](b, `!document.querySelector(".chart") || !!document.querySelector("[data-look]")`); time.Sleep(50 * time.Millisecond) {
		if time.Now().After(end) {
			b.Fatal("the programme is looked for for ever")
		}
	}
}

// saved waits until the text of the job holds something.
func (b *tab) saved(words string) {
	b.Helper()
	for end := time.Now().Add(8 * time.Second); !strings.Contains(b.text(), words); time.Sleep(20 * time.Millisecond) {
		if time.Now().After(end) {
			b.Fatalf("never saved %q; the page says\n%s", words, js[string](b, `document.querySelector("#tried").innerText`))
		}
	}
}

// cheap is a step that can go a day later for nothing, and dear one that cannot.
func (b *tab) cheapAndDear() (cheap, dear string) {
	b.Helper()
	found := js[[]string](b, `(async()=>{
		const place=document.querySelector(".chart").dataset.try; let cheap="", dear="";
		for (const a of document.querySelectorAll("a[data-step]")) {
			const heads=[...document.querySelectorAll("a[data-day]")].map(h=>h.dataset.day);
			const day=heads[heads.indexOf(a.dataset.on)+1];
			if (!day || [0,6].includes(new Date(day).getDay())) continue;
			const text=await (await fetch(place+"?"+new URLSearchParams({try:"move",step:a.dataset.step,day}))).text();
			if (!text.includes("data-deed")) continue;
			if (text.includes("data-costs")) dear=dear||a.dataset.step; else cheap=cheap||a.dataset.step;
			if (cheap && dear) break;
		}
		return [cheap, dear]})()`)
	if found[0] == "" || found[1] == "" {
		b.Fatalf("no step to try: %v", found)
	}
	return found[0], found[1]
}

// carry drags a step to the day behind its own with the mouse.
func (b *tab) carry(step string) {
	b.Helper()
	at := js[[]float64](b, fmt.Sprintf(`(()=>{const a=document.querySelector(%q); a.scrollIntoView({block:"center",inline:"center"});
		const heads=[...document.querySelectorAll("a[data-day]")]; const i=heads.findIndex(h=>h.dataset.day===a.dataset.on);
		const r=a.getBoundingClientRect(); return [r.x+r.width/2, r.y+r.height/2, r.x+r.width/2+Number(heads[i+1].dataset.left)-Number(heads[i].dataset.left)]})()`, bar(step)))
	b.drag(at[0], at[1], at[2], at[1])
}

// TestAStepIsDragged to another day: for nothing it is pinned at once, else a button says first
// what it costs. Undo takes the pin out as everywhere.
func TestAStepIsDragged(t *testing.T) {
	s := serve(t)
	b := newTab(t, s, 1440, 900)
	b.open(placeOf(s.plain(t), "programme", ""))
	b.found()
	cheap, dear := b.cheapAndDear()
	b.carry(cheap)
	b.saved(cheap)
	b.see(bar(cheap) + ` .f-ink`)
	b.until(`document.querySelector("#tried").innerText.includes("Pinned")`, "the pinned step to be told of")
	b.click("[data-undo]")
	b.until(fmt.Sprintf(`document.querySelector(%q) && !document.querySelector(%q)`, bar(cheap), bar(cheap)+` .f-ink`), "the pin to be out")
	b.found()

	b.carry(dear)
	b.until(`document.querySelector("#tried [data-costs]") && document.activeElement.textContent==="Pin it"`, "the button that says what it costs")
	if words := js[string](b, `document.querySelector("#tried").innerText`); !strings.Contains(words, "Costs ") && !strings.Contains(words, "instead of") && !strings.Contains(words, "too late") {
		t.Errorf("the cost is not told: %s", words)
	}
	if strings.Contains(b.text(), dear) {
		t.Error("it is saved before anybody agreed")
	}
	b.accessible("a step held on another day")
	b.fits("a step held on another day")
	b.key(kb.Escape)
	b.until(`!document.querySelector("[data-held]") && document.querySelector("#tried").children.length===0`, "the step to be put back")
	b.carry(dear)
	b.click("text=Pin it")
	b.saved(dear)
	b.click("text=Free it")
	b.until(fmt.Sprintf(`!document.querySelector(%q)`, bar(dear)+` .f-ink`), "the step to be free")
}

// TestAStepIsMovedByKeys alone.
func TestAStepIsMovedByKeys(t *testing.T) {
	s := serve(t)
	b := newTab(t, s, 1440, 900)
	b.open(placeOf(s.plain(t), "programme", ""))
	b.found()
	_, dear := b.cheapAndDear()
	if stops := js[int](b, `document.querySelectorAll('.chart a[tabindex="0"]').length`); stops != 2 {
		t.Errorf("the chart has %d stops for Tab, not one for its days and one for its steps", stops)
	}
	js[bool](b, `(document.querySelector('a[data-step][tabindex="0"]').focus(), true)`)
	b.key(kb.ArrowRight)
	b.until(`document.activeElement.dataset.step && document.activeElement!==document.querySelector("a[data-step]")`, "the next step in focus")
	js[bool](b, fmt.Sprintf(`(document.querySelector(%q).focus(), true)`, bar(dear)))
	b.key(kb.Enter)
	b.see("#tried #tried-day")
	b.key(kb.ArrowRight)
	b.see("#tried [data-costs]")
	b.see(bar(dear) + `[data-held][transform]`)
	b.until(fmt.Sprintf(`(()=>{const a=document.querySelector(%q).getBoundingClientRect(), run=document.querySelector(".chart .scroll").getBoundingClientRect();
		return a.top>=0 && a.bottom<=document.querySelector("#tried").getBoundingClientRect().top && a.left>=run.left && a.right<=run.right})()`, bar(dear)), "the step in hand, neither behind the words nor beyond the edge")
	b.key(kb.ArrowLeft)
	b.until(`!document.querySelector("#tried [data-costs]")`, "its own day to cost nothing")
	b.key(kb.ArrowRight)
	b.see("#tried [data-costs]")
	b.key(kb.Enter)
	b.until(`document.activeElement.textContent==="Pin it"`, "the button")
	b.key(kb.Enter)
	b.saved(dear)
	b.until(fmt.Sprintf(`document.activeElement===document.querySelector(%q)`, bar(dear)), "the step in focus again")
}

// TestADayIsClosed at its head, after its cost was told, and opened again.
func TestADayIsClosed(t *testing.T) {
	for name, width := range map[string]int64{"phone": 390, "laptop": 1440} {
		t.Run(name, func(t *testing.T) {
			s := serve(t)
			b := newTab(t, s, width, 900)
			b.open(placeOf(s.plain(t), "programme", ""))
			b.click(`a[data-day="2027-03-10"]`)
			b.read("No work on Wednesday 10 March")
			b.until(`/osts|aves/.test(document.querySelector("#tried").innerText)`, "what it costs")
			b.fits("what a closed day costs")
			b.click("text=Close the day")
			b.saved("2027-03-10")
			b.until(`document.querySelector('a[data-day="2027-03-10"]').textContent.includes("no work")`, "the day to be closed")
			b.click(`a[data-day="2027-03-10"]`)
			b.click("text=Open the day")
			b.until(`!document.querySelector('a[data-day="2027-03-10"]').textContent.includes("no work")`, "the day to be open")
			b.click("text=one more person")
			b.read("One more person, who can do everything")
			b.read("saves")
			b.click("text=Leave it")
			b.until(`document.querySelector("#tried").children.length===0`, "nothing to be tried")
		})
	}
}

// TestTheDaysStayInSight while the rows slide beneath their names, and can be chosen there.
func TestTheDaysStayInSight(t *testing.T) {
	s := serve(t)
	b := newTab(t, s, 390, 844)
	b.open(placeOf(s.plain(t), "programme", ""))
	b.found()
	js[bool](b, `(document.querySelector('.chart-names li:nth-child(25)').scrollIntoView({block:"center"}), true)`)
	at := js[[]float64](b, `new Promise(done=>requestAnimationFrame(()=>requestAnimationFrame(()=>{const r=document.querySelector('a[data-day]:nth-of-type(2)').getBoundingClientRect(); done([r.x+r.width/2, r.y+r.height/2, r.top, r.bottom])})))`)
	if at[2] < -1 || at[3] > 80 {
		t.Fatalf("the names of the days are from %.0f to %.0f px of the screen", at[2], at[3])
	}
	b.tap(at[0], at[1])
	b.read("No work on ")
}

// TestOnAPhoneAStepIsChosen by a finger beside its narrow bar, moved by buttons, and never by
// sliding the chart.
func TestOnAPhoneAStepIsChosen(t *testing.T) {
	s := serve(t)
	b := newTab(t, s, 390, 900)
	b.open(placeOf(s.plain(t), "programme", ""))
	b.found()
	cheap, _ := b.cheapAndDear()
	at := js[[]float64](b, fmt.Sprintf(`(()=>{const a=document.querySelector(%q); a.scrollIntoView({block:"center",inline:"center"}); const r=a.getBoundingClientRect(); return [r.x+r.width/2, r.y+r.height/2]})()`, bar(cheap)))
	b.tap(at[0], at[1])
	b.see(bar(cheap) + `[aria-current]`)
	b.see("#tried #tried-day")
	small := js[string](b, `[...document.querySelectorAll("#tried a, #tried button")].filter(e=>e.getBoundingClientRect().height<44).map(e=>e.textContent).join(", ")`)
	if small != "" {
		t.Errorf("too small for a finger: %s", small)
	}
	b.click("text=A day later")
	b.see("#tried form[data-deed]")
	b.accessible("a step on a phone")
	b.narrow("a step on a phone")
	b.click("text=Pin it")
	b.saved(cheap)
}

// TestLookingIsStopped by the button, by an edit and by going away; the program works on nothing
// then. What is typed meanwhile stays when the found programme is laid.
func TestLookingIsStopped(t *testing.T) {
	var asked atomic.Int64
	var enough atomic.Bool
	s := serveWith(t, web.Options{Now: clock, Stop: func() bool {
		asked.Add(1)
		if !enough.Load() {
			time.Sleep(30 * time.Millisecond)
		}
		return false
	}})
	b := newTab(t, s, 1440, 900)
	still := func(what string) {
		t.Helper()
		time.Sleep(400 * time.Millisecond) // what is under way ends
		before := asked.Load()
		time.Sleep(600 * time.Millisecond)
		if after := asked.Load(); after != before {
			t.Errorf("%s: it is still looked for", what)
		}
	}
	path := placeOf(s.plain(t), "programme", "")
	b.open(path)
	b.read("Looking for ")
	b.until(`!document.querySelector("[data-look-stop]").hidden`, "the button")
	b.accessible("while a programme is looked for")
	b.click("[data-look-stop]")
	b.read("Stopped. The programme that is shown is the best so far.")
	still("after Stop")
	b.see("[data-look-long]:not([hidden])")

	b.fill("#f-crew-travel-hours", "45 min")
	b.key(kb.Tab)
	b.saved("45 min")
	b.read("Looking for ")
	b.open("/about")
	still("after leaving")

	b.open(path)
	b.click(`a[data-day="2027-03-10"]`)
	b.read("No work on Wednesday 10 March")
	b.fill("#f-crew-travel-cost", "15")
	js[bool](b, `(window.scrollTo(0, 500), true)`)
	enough.Store(true)
	b.found()
	if got := js[string](b, `document.activeElement.id+" "+document.activeElement.value`); got != "f-crew-travel-cost 15" {
		t.Errorf("in hand is %q", got)
	}
	b.read("No work on Wednesday 10 March")
	if at := js[float64](b, `window.scrollY`); at < 400 {
		t.Errorf("the page slid to %v", at)
	}
	js[bool](b, `(document.querySelector("#f-crew-travel-cost").value=document.querySelector("#f-crew-travel-cost").defaultValue, true)`)
}

// TestTheDay is what an applicator does with wet glaze on the hands: one big button a step.
func TestTheDay(t *testing.T) {
	now := time.Date(2027, 3, 8, 8, 5, 0, 0, time.UTC)
	s := serveWith(t, web.Options{Now: func() time.Time { return now }, Stop: func() bool { return true }})
	b := newTab(t, s, 390, 900)
	b.open(placeOf(s.plain(t), "programme", ""))
	b.read("Monday 8 March")
	step := js[string](b, `document.querySelector("#today input[name=step]").value`)
	if high := js[float64](b, `document.querySelector("#today .press").getBoundingClientRect().height`); high < 64 {
		t.Errorf("the button is %v px high", high)
	}
	b.click("#today .press")
	b.saved("began: 2027-03-08 08:05")
	b.see("#today .in-work .press")
	b.see(bar(step) + `[data-fixed]`)
	now = now.Add(40 * time.Minute)
	b.click("#today .in-work .press")
	b.saved("ended: 2027-03-08 08:45")
	b.read("Done today")
	b.accessible("the day on a phone")
	b.narrow("the day on a phone")
	b.click("text=Hold these days")
	b.saved("agreed:")
	b.read("a day agreed, and every one is kept")
	b.click("[data-undo]")
	b.until(`!document.body.innerText.includes("a day agreed")`, "the days to be let go")
}

// TestWhatIf works the table out and lays it when it is there.
func TestWhatIf(t *testing.T) {
	s := serveWith(t, web.Options{Now: clock, Stop: func() bool { return true }})
	b := newTab(t, s, 390, 900)
	b.open(placeOf(s.plain(t), "programme", ""))
	b.click("text=Work it out")
	b.read("Every Saturday is worked.")
	b.accessible("what if")
	b.narrow("what if")
	b.click("#what-if tbody tr:nth-child(2) a")
	b.read("One more person, who can do everything")
}
