package programme_test

import (
	"bytes"
	"context"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"scumble/examples"
	"scumble/web/frame"
	"scumble/web/internal/webtest"
	"scumble/web/programme"
)

func TestProgramme(t *testing.T) {
	f := webtest.Frame(t, programme.Place())
	pinned := examples.Bellwether
	pinned = []byte(strings.Replace(string(pinned), "  travel:\n", "  pins:\n    - {step: \"Breakfast room/North#prime\", day: 2027-03-20}\n  travel:\n", 1))
	for name, c := range map[string]struct {
		text  []byte
		query string
		want  []string
	}{
		"by wall":    {examples.Bellwether, "", []string{"site days in ", " from ", ", ready on ", "o plan needs fewer than", "url(#h-mid)", "Day by day", "Mara"}},
		"two years":  {bytes.Replace(examples.Bellwether, []byte("start: 2027-03-08"), []byte("start: 2027-12-13"), 1), "", []string{" December 2027, ready on ", " January 2028 at "}},
		"by person":  {examples.Bellwether, "by=person", []string{"<b>Idris</b>"}},
		"by room":    {examples.Bellwether, "by=room", []string{"<b>Dining room</b>"}},
		"by nothing": {examples.Bellwether, "by=%3Cscript%3E", []string{"<b>Dining room</b>"}},
		"a pin":      {pinned, "", []string{"Without the pins: ", "<circle", "not before 2027-03-20"}},
		"no crew":    {[]byte(strings.Replace(string(examples.Bellwether), "crew:", "nobody:", 1)), "", []string{"notice caution", "First day on site"}},
		"empty":      {[]byte("scumble: 1\n"), "", []string{"One more person"}},
		"hostile":    {webtest.Changed(t, examples.Bellwether, "crew.people[0].name", "<script>x"), "", []string{"&lt;script&gt;x"}},
	} {
		t.Run(name, func(t *testing.T) {
			code, body := webtest.Page(t, f, webtest.Job(t, f, c.text), "programme", c.query, frame.Owner)
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
	if _, body := webtest.Page(t, f, webtest.Job(t, f, examples.Bellwether), "programme", "", frame.Applicator); strings.Contains(body, ".cost") || strings.Contains(body, "96.00") {
		t.Error("an applicator sees what the platform costs")
	}
}

// TestTrying asks what a change would cost; nothing is saved by asking, and who may not see
// prices sees none.
func TestTrying(t *testing.T) {
	f := webtest.Frame(t, programme.Place())
	id := webtest.Job(t, f, examples.Bellwether)
	mux := http.NewServeMux()
	if err := f.Routes(mux); err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		query string
		want  []string
	}{
		"a step":           {"try=step&step=Breakfast+room%2FNorth%23prime", []string{"Prime the wall, Breakfast room, North", "What would it cost?", "Not sooner because of this"}},
		"a day later":      {"try=move&step=Breakfast+room%2FNorth%23prime&day=2027-03-22", []string{"not before Monday 22 March", "instead of ", `name="new:crew.pins:day" value="2027-03-22"`, "data-costs"}},
		"sooner":           {"try=move&step=Breakfast+room%2FNorth%23fill-2&day=2027-03-08", []string{"It would begin on", "cannot make anything sooner"}},
		"a day closed":     {"try=close&day=2027-03-10", []string{"No work on Wednesday 10 March", "osts ", `name="new:crew.closed:" value="2027-03-10"`}},
		"a Saturday":       {"try=open&day=2027-03-13", []string{"Every Saturday is worked", `name="list:crew.days" value="Sat"`}},
		"one more":         {"try=one-more-person", []string{"One more person, who can do everything", "saves ", `name="new:crew.people:rate" value="38.00"`}},
		"an hour more":     {"try=an-hour-more", []string{"The day ends at 17:30", `name="set:crew.hours[1]" value="12:30-17:30"`}},
		"no such step":     {"try=step&step=x", []string{"not in the programme any more"}},
		"nothing":          {"try=%3Cscript%3E", []string{"nothing of this kind"}},
		"a day that is no": {"try=close&day=x", []string{"nothing of this kind"}},
	} {
		t.Run(name, func(t *testing.T) {
			code, body := webtest.Ask(mux, "/jobs/"+id+"/programme/try?"+c.query, frame.Owner)
			for _, want := range c.want {
				if !strings.Contains(body, want) {
					t.Errorf("%d: does not say %q: %s", code, want, body)
				}
			}
			if _, whole := webtest.Ask(mux, "/jobs/"+id+"/programme?"+c.query, frame.Owner); !strings.Contains(whole, c.want[0]) {
				t.Error("the page without script does not say it")
			}
			if _, body := webtest.Ask(mux, "/jobs/"+id+"/programme/try?"+c.query, frame.Applicator); strings.Contains(body, "EUR") || strings.Contains(body, ".rate") {
				t.Error("an applicator sees money")
			}
		})
	}
	if head, err := f.Store.Head(context.Background(), id); err != nil || head.Number != 1 {
		t.Errorf("asking has saved: %d, %v", head.Number, err)
	}
}

// send posts a form of the page at a moment.
func send(t *testing.T, f *frame.Frame, path string, pairs ...string) (int, string) {
	t.Helper()
	mux := http.NewServeMux()
	if err := f.Routes(mux); err != nil {
		t.Fatal(err)
	}
	id, _, _ := strings.Cut(strings.TrimPrefix(path, "/jobs/"), "/")
	head, err := f.Store.Head(context.Background(), id)
	if err != nil {
		t.Fatal(err)
	}
	form := url.Values{"revision": {strconv.Itoa(head.Number)}, "back": {"/jobs/" + id + "/programme"}}
	for i := 0; i < len(pairs); i += 2 {
		form.Set(pairs[i], pairs[i+1])
	}
	r := httptest.NewRequest("POST", path, strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Waited", form.Get("waited"))
	w := httptest.NewRecorder()
	mux.ServeHTTP(w, r.WithContext(frame.As(r.Context(), frame.Person{Role: frame.Applicator})))
	if head, err = f.Store.Head(context.Background(), id); err != nil {
		t.Fatal(err)
	}
	return w.Code, string(head.Text)
}

// TestTheDayIsNoted: begun and done at the times the buttons were pressed, however long the
// form was on its way; what is noted twice is refused.
func TestTheDayIsNoted(t *testing.T) {
	f := webtest.Frame(t, programme.Place())
	now := time.Date(2027, 3, 8, 8, 5, 0, 0, time.UTC)
	f.Now = func() time.Time { return now }
	id := webtest.Job(t, f, examples.Bellwether)
	const step = "Breakfast room/North#prime"
	if _, body := webtest.Page(t, f, id, "programme", "", frame.Applicator); !strings.Contains(body, `id="today"`) || strings.Contains(body, "data-fixed") {
		t.Error("the first day has no list, or something is done")
	}
	path := "/jobs/" + id + "/programme/"
	if code, text := send(t, f, path+"worked", "step", step, "deed", "began", "waited", "120"); code != 303 || !strings.Contains(text, "began: 2027-03-08 08:03") {
		t.Errorf("%d, %s", code, text[len(text)-300:])
	}
	if code, _ := send(t, f, path+"worked", "step", step, "deed", "began"); code != 409 {
		t.Errorf("begun twice: %d", code)
	}
	now = now.Add(50 * time.Minute)
	if code, text := send(t, f, path+"worked", "step", step, "deed", "ended"); code != 303 || !strings.Contains(text, "ended: 2027-03-08 08:55") {
		t.Errorf("%d", code)
	}
	if code, _ := send(t, f, path+"worked", "step", step, "deed", "ended"); code != 409 {
		t.Errorf("ended twice: %d", code)
	}
	if code, text := send(t, f, path+"worked", "step", "Breakfast room/East#prime", "deed", "ended"); code != 303 || strings.Count(text, "ended: 2027-03-08 08:55") != 2 {
		t.Errorf("done and never begun: %d", code)
	}
	if code, _ := send(t, f, path+"worked", "step", "x", "deed", "ended"); code != 422 {
		t.Errorf("no such step: %d", code)
	}
	_, body := webtest.Page(t, f, id, "programme", "", frame.Applicator)
	for _, want := range []string{"data-fixed", "Done today", `class="plumb"`, "2 steps noted", "done, and a glaze under its colour"} {
		if !strings.Contains(body, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
}

// TestAMissedWindow is told with the rules that clash and a day that would make room, and a
// change that misses one or keeps it says so: a drag is saved without a question only where
// nothing is lost.
func TestAMissedWindow(t *testing.T) {
	f := webtest.Frame(t, programme.Place())
	var closed []string // every other Monday
	for day := time.Date(2027, 3, 15, 0, 0, 0, 0, time.UTC); day.Year() < 2029; day = day.AddDate(0, 0, 14) {
		closed = append(closed, day.Format(time.DateOnly))
	}
	text := strings.Replace(string(examples.Bellwether), "days: [Mon, Tue, Wed, Thu, Fri]", "days: [Mon]\n  closed: ["+strings.Join(closed, ", ")+"]", 1)
	id := webtest.Job(t, f, []byte(text))
	_, body := webtest.Page(t, f, id, "programme", "", frame.Owner)
	if !strings.Contains(body, `id="conflict"`) || strings.Count(body, "Second glaze") < 2 {
		t.Fatal("it does not tell which rules clash")
	}
	_, offered, _ := strings.Cut(body, "try=open&amp;day=")
	day, _, _ := strings.Cut(offered, "#")
	if !slices.Contains(closed, day) {
		t.Fatalf("offers %.40q, and no day that was closed", offered)
	}
	_, body = webtest.Page(t, f, id, "programme", "try=open&day="+day, frame.Owner)
	if !strings.Contains(body, "in time that would be too late") || !strings.Contains(body, "Open the day") {
		t.Error("the day that makes room is not told to")
	}
	opened := webtest.Job(t, f, []byte(strings.Replace(text, ", "+day, "", 1)))
	_, body = webtest.Page(t, f, opened, "programme", "try=close&day="+day, frame.Owner)
	if !strings.Contains(body, "too late on the one below") || !strings.Contains(body, "data-costs") {
		t.Error("closing it again costs nothing")
	}
}

// TestDaysAreHeld, and what moves from them is told with its reason, until they are let go.
func TestDaysAreHeld(t *testing.T) {
	f := webtest.Frame(t, programme.Place())
	id := webtest.Job(t, f, examples.Bellwether)
	path := "/jobs/" + id + "/programme/"
	code, text := send(t, f, path+"hold", "deed", "hold")
	steps := len(f.Board([]byte(text)).Plan.Programme.Tasks)
	if got := len(f.Board([]byte(text)).Job.Agreed); code != 303 || got != steps {
		t.Errorf("%d: %d days agreed of %d steps", code, got, steps)
	}
	if _, body := webtest.Page(t, f, id, "programme", "", frame.Owner); !strings.Contains(body, "every one is kept") || strings.Contains(body, `id="moved"`) {
		t.Error("something moved though nothing changed")
	}
	if code, _ := webtest.Edit(t, f, id, frame.Owner, "act", "add:crew.closed", "new:crew.closed:", "2027-03-10"); code != 303 {
		t.Fatal(code)
	}
	if _, body := webtest.Page(t, f, id, "programme", "", frame.Owner); !strings.Contains(body, `id="moved"`) || !strings.Contains(body, "Wed 10 March") {
		t.Error("a closed day moved nothing")
	}
	if _, text = send(t, f, path+"hold", "deed", "let-go"); strings.Contains(text, "agreed:") {
		t.Error("the days are still held")
	}
}

// TestWhatIf is worked out once and kept; who may not see prices sees none.
func TestWhatIf(t *testing.T) {
	f := webtest.Frame(t, programme.Place())
	id := webtest.Job(t, f, examples.Bellwether)
	send(t, f, "/jobs/"+id+"/programme/what-if")
	var body string
	for end := time.Now().Add(20 * time.Second); !strings.Contains(body, "Every Saturday is worked."); time.Sleep(20 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatal("it is never there")
		}
		_, body = webtest.Page(t, f, id, "programme", "", frame.Owner)
	}
	if !strings.Contains(body, "Before tax") || !strings.Contains(body, "try=one-more-person") {
		t.Error("it tells no costs, or offers nothing")
	}
	if _, body = webtest.Page(t, f, id, "programme", "", frame.Applicator); strings.Contains(body, "Before tax") || !strings.Contains(body, "Every Saturday is worked.") {
		t.Error("an applicator sees money, or nothing")
	}
}
