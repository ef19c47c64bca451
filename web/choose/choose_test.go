package choose_test

import (
	"bytes"
	"context"
	"image"
	"image/jpeg"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"reflect"
	"strings"
	"testing"

	"scumble/appearance/measured"
	"scumble/catalog"
	"scumble/examples"
	"scumble/job"
	"scumble/web/choose"
	"scumble/web/frame"
	"scumble/web/internal/webtest"
)

func served(t *testing.T) (*frame.Frame, *http.ServeMux) {
	t.Helper()
	f := webtest.Frame(t, choose.Place())
	mux := http.NewServeMux()
	if err := f.Routes(mux); err != nil {
		t.Fatal(err)
	}
	return f, mux
}

func post(mux http.Handler, address string, form url.Values) *httptest.ResponseRecorder {
	r := httptest.NewRequest("POST", address, strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	w := httptest.NewRecorder()
	mux.ServeHTTP(w, r.WithContext(frame.As(r.Context(), frame.Person{Role: frame.Owner})))
	return w
}

// onBoard is the demonstration with a sample board of its first finish.
func onBoard(board string) []byte {
	return bytes.Replace(examples.Bellwether, []byte("    ground: {name: Limewater"), []byte("    boards: ["+board+"]\n    ground: {name: Limewater"), 1)
}

// TestBoardsComeAndGo adds a board, notes what was seen on it and takes it out.
func TestBoardsComeAndGo(t *testing.T) {
	f, _ := served(t)
	id := webtest.Job(t, f, examples.Bellwether)
	for _, c := range []struct {
		pairs      []string
		want, gone string
	}{
		{[]string{"act", "add:finishes[0].boards", "new:finishes[0].boards:name", "Straw 1", "new:finishes[0].boards:whole", "#c9a45a"}, "name: Straw 1", "lighter"},
		{[]string{"list:finishes[0].boards[0].seen", "", "list:finishes[0].boards[0].seen", "lighter", "set:finishes[0].boards[0].note", "Mara ragged it"}, "lighter", "darker"},
		{[]string{"list:finishes[0].boards[0].seen", ""}, "Mara ragged it", "lighter"},
		{[]string{"act", "remove:finishes[0].boards[0]"}, "Limewater", "Straw 1"},
	} {
		code, text := webtest.Edit(t, f, id, frame.Owner, c.pairs...)
		if code != 303 || !strings.Contains(text, c.want) || strings.Contains(text, c.gone) {
			t.Errorf("%v: answer %d; %q or %q", c.pairs, code, c.want, c.gone)
		}
	}
}

func TestChoose(t *testing.T) {
	f, _ := served(t)
	for name, c := range map[string]struct {
		text []byte
		wall string
		want []string
	}{
		"strips":                      {examples.Bellwether, "Breakfast room/North", []string{"Second ground", "The strips are plain to see", "LRV", "data-split", "The colours were entered, not measured"}},
		"options":                     {webtest.Changed(t, examples.Bellwether, "name", "x"), "Hall and stair/Left", []string{"Keep Straw wash as an option", "Change it on this wall only"}},
		"a dado":                      {examples.Bellwether, "Landing/Long", []string{"Below the rail", "part=dado"}},
		"no finish":                   {webtest.Changed(t, examples.Bellwether, "rooms[0].walls[0].finish", ""), "Hall and stair/Left", []string{"No finish is chosen", "technique/dragging.jpg"}},
		"a wrong name":                {webtest.Changed(t, examples.Bellwether, "rooms[0].walls[0].finish", "nothing"), "Hall and stair/Left", []string{"notice caution"}},
		"a wrong hex":                 {webtest.Changed(t, examples.Bellwether, "finishes[0].glaze.hex", "reddish"), "Hall and stair/Left", []string{"Colours of Straw wash"}},
		"bad figures":                 {webtest.Changed(t, examples.Bellwether, "rooms[0].walls[0].length", "x"), "Hall and stair/Left", []string{"picture waits"}},
		"empty":                       {[]byte("scumble: 1\n"), "", []string{"Measure one first"}},
		"a board":                     {onBoard("{name: One, seen: [lighter], whole: \"#c0b080\"}"), "Hall and stair/Left", []string{"<legend>One</legend>", `value="lighter" checked`, `name="set:finishes[0].boards[0].whole"`, `value="remove:finishes[0].boards[0]"`}},
		"a board with a wrong colour": {onBoard("{name: One, whole: \"#12\"}"), "Hall and stair/Left", []string{`id="f-finishes-0-boards-0-whole-w"`}},
		"a board without anything":    {onBoard("{name: One}"), "Hall and stair/Left", []string{"Nothing was seen or read on this board."}},
		"a board against itself":      {onBoard("{name: One, seen: [lighter, darker]}"), "Hall and stair/Left", []string{"exclude each other"}},
		"hostile":                     {webtest.Changed(t, examples.Bellwether, "finishes[0].name", "<script>x"), "Hall and stair/Left", []string{"&lt;script&gt;x"}},
	} {
		t.Run(name, func(t *testing.T) {
			code, body := webtest.Page(t, f, webtest.Job(t, f, c.text), "choose", webtest.Wall(c.wall), frame.Owner)
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

// TestEveryTechniqueCanBeTaken takes each technique for a finish and for a bare wall: the
// job can be planned afterwards.
func TestEveryTechniqueCanBeTaken(t *testing.T) {
	f, mux := served(t)
	bare := webtest.Changed(t, examples.Bellwether, "rooms[0].walls[0].finish", "")
	c, err := catalog.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	for id := range c.Techniques {
		for name, form := range map[string]url.Values{
			"a weave":     {"at": {"finishes[2]"}, "path": {"rooms[1].walls[0].finish"}},
			"a wash":      {"at": {"finishes[0]"}, "path": {"rooms[0].walls[1].finish"}},
			"a bare wall": {"at": {""}, "path": {"rooms[0].walls[0].finish"}},
		} {
			job1 := webtest.Job(t, f, bare)
			form.Set("revision", "1")
			form.Set("technique", id)
			if w := post(mux, "/jobs/"+job1+"/choose/technique", form); w.Code != http.StatusSeeOther {
				t.Fatalf("%s for %s: %d", id, name, w.Code)
			}
			head, err := f.Store.Head(context.Background(), job1)
			if err != nil {
				t.Fatal(err)
			}
			b := f.Board(head.Text)
			if len(b.Problems) > 0 || b.Plan.Quote == nil {
				t.Errorf("%s for %s: %v", id, name, b.Problems)
			}
			if name == "a bare wall" && b.Typed("rooms[0].walls[0].finish") == "" {
				t.Errorf("%s: the wall is still bare", id)
			}
		}
	}
}

func TestTrying(t *testing.T) {
	f, mux := served(t)
	id := webtest.Job(t, f, examples.Bellwether)
	ask := func(pairs ...string) (int, []byte) {
		q := url.Values{"wall": {"Landing/Short"}, "w": {"200"}}
		for i := 0; i < len(pairs); i += 2 {
			q.Set(pairs[i], pairs[i+1])
		}
		code, body := webtest.Ask(mux, "/jobs/"+id+"/try?"+q.Encode(), frame.Owner)
		return code, []byte(body)
	}
	code, before := ask()
	picture, err := jpeg.Decode(bytes.NewReader(before))
	if code != 200 || err != nil || picture.Bounds().Dx() < 190 || picture.Bounds().Dx() > 210 {
		t.Fatal(code, err)
	}
	if _, after := ask("set:finishes[0].glaze.hex", "#204080"); bytes.Equal(before, after) {
		t.Error("another colour shows the same picture")
	}
	if _, lamp := ask("light", "lamp"); bytes.Equal(before, lamp) {
		t.Error("the lamps show the same picture")
	}
	if code, quick := ask("quick", "1"); code != 200 || len(quick) >= len(before) {
		t.Error("a quick picture is no smaller")
	}
	for _, wrong := range [][]string{{"wall", "none"}, {"set:finishes[0].glaze.hex", "x"}, {"set:nothing", "x"}, {"set:rooms[4].walls[1].length", "x"}, {"light", "moon"}} {
		if code, body := ask(wrong...); code < 400 || code >= 500 {
			t.Errorf("%v: %d %.60s", wrong, code, body)
		}
	}
	if head, _ := f.Store.Head(context.Background(), id); head.Number != 1 {
		t.Error("trying saved something")
	}
	q := url.Values{"wall": {"Breakfast room/North"}, "set:finishes[2].glaze.hex": {"#7a8f60"}}
	if code, body := webtest.Ask(mux, "/jobs/"+id+"/try/words?"+q.Encode(), frame.Owner); code != 200 || !strings.Contains(body, "It gives back") || strings.Contains(body, "<html") {
		t.Errorf("words: %d %.200s", code, body)
	}
}

func TestLab(t *testing.T) {
	f, mux := served(t)
	id := webtest.Job(t, f, examples.Bellwether)
	form := url.Values{"revision": {"1"}, "path": {"finishes[0].glaze"}, "L": {"50"}, "a": {"0"}, "b": {"0"}}
	post(mux, "/jobs/"+id+"/choose/lab", form)
	head, _ := f.Store.Head(context.Background(), id)
	// L* 50 without a and b is the grey sRGB 119 (IEC 61966-2-1: 0.1842 of linear light).
	if hex := f.Board(head.Text).Typed("finishes[0].glaze.hex"); hex != "#777777" {
		t.Errorf("L* 50 is %s", hex)
	}
	for _, wrong := range []string{"", "x", "120", "NaN", "-1"} {
		form.Set("L", wrong)
		if w := post(mux, "/jobs/"+id+"/choose/lab", form); w.Code != http.StatusUnprocessableEntity {
			t.Errorf("L* %q: %d", wrong, w.Code)
		}
	}
}

func TestCopyForOneWall(t *testing.T) {
	f, mux := served(t)
	id := webtest.Job(t, f, examples.Bellwether)
	post(mux, "/jobs/"+id+"/choose/copy", url.Values{"revision": {"1"}, "at": {"finishes[0]"}, "path": {"rooms[0].walls[0].finish"}})
	head, _ := f.Store.Head(context.Background(), id)
	b := f.Board(head.Text)
	var old, fresh *job.Finish
	for i := range b.Job.Finishes {
		switch b.Job.Finishes[i].ID {
		case "wash-straw":
			old = &b.Job.Finishes[i]
		case "wash-straw-2":
			fresh = &b.Job.Finishes[i]
		}
	}
	if fresh == nil || fresh.Glaze.Hex != old.Glaze.Hex || fresh.Technique != old.Technique || fresh.Variation != old.Variation || len(b.Problems) > 0 {
		t.Fatalf("%+v %v", fresh, b.Problems)
	}
	if b.Job.Rooms[0].Walls[0].Finish != "wash-straw-2" || b.Job.Rooms[0].Walls[1].Finish != "wash-straw" {
		t.Error("the wrong walls wear it")
	}
}

// TestMeasuredFileAndPhoto brings an instrument's file in, and takes a colour from a photo.
func TestMeasuredFileAndPhoto(t *testing.T) {
	f, mux := served(t)
	id := webtest.Job(t, f, examples.Bellwether)
	upload := func(path, field, name, content string, more map[string]string) *httptest.ResponseRecorder {
		var b bytes.Buffer
		m := multipart.NewWriter(&b)
		for k, v := range more {
			m.WriteField(k, v)
		}
		part, err := m.CreateFormFile(field, name)
		if err != nil {
			t.Fatal(err)
		}
		part.Write([]byte(content))
		m.Close()
		r := httptest.NewRequest("POST", path, &b)
		r.Header.Set("Content-Type", m.FormDataContentType())
		w := httptest.NewRecorder()
		mux.ServeHTTP(w, r.WithContext(frame.As(r.Context(), frame.Person{Role: frame.Owner})))
		return w
	}
	w := upload("/jobs/"+id+"/choose/measured", "file", "cards.csv", "name,L,a,b\nLeaf card,52.1,-20.5,24.25\nMist card,88,-1,-3\n", map[string]string{"revision": "1", "wall": "Hall and stair/Left"})
	if w.Code != http.StatusSeeOther {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	head, _ := f.Store.Head(context.Background(), id)
	b := f.Board(head.Text)
	if len(b.Problems) > 0 || len(b.Job.Measured) != 2 || b.Job.Measured[0].Name != "Leaf card" || b.Job.Measured[0].Lab[0] != 52.1 {
		t.Errorf("%v %+v", b.Problems, b.Job.Measured)
	}
	// The terminal and the page write the same: a reading for other eyes is brought to the
	// 2-degree observer, and the backing is told.
	const tenDegrees = "CGATS.17\nILLUMINANT \"D65\"\nOBSERVER \"10\"\nSAMPLE_BACKING \"black\"\nBEGIN_DATA_FORMAT\nSAMPLE_NAME LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nNUMBER_OF_SETS 1\nBEGIN_DATA\nRed 45 50 30\nEND_DATA\n"
	samples, _, _ := measured.Read("red.txt", []byte(tenDegrees))
	list, err := choose.Measured("red.txt", []byte(tenDegrees))
	if err != nil || len(samples) != 1 || len(list) != 1 || !reflect.DeepEqual(list[0], samples[0].ForJob(0, "red.txt")) {
		t.Fatalf("%+v, %v", list, err)
	}
	if m := list[0]; m.Under != "D50" || m.Lab[1] == 50 || !strings.Contains(m.Source, "over black") {
		t.Errorf("%+v of a reading for 10 degrees", m)
	}
	if w := upload("/jobs/"+id+"/choose/measured", "file", "x.csv", "hello\n", map[string]string{"revision": "2"}); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("a text as a measured file: %d", w.Code)
	}
	var photo bytes.Buffer
	picture := image.NewRGBA(image.Rect(0, 0, 60, 40))
	for i := range picture.Pix {
		picture.Pix[i] = []uint8{120, 150, 90, 255}[i%4]
	}
	if err := jpeg.Encode(&photo, picture, &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	w = upload("/jobs/"+id+"/choose/photo", "photo", "wall.jpg", photo.String(), map[string]string{"wall": "Hall and stair/Left", "at": "finishes[0]"})
	at := w.Header().Get("Location")
	code, body := webtest.Ask(mux, at+"&p.x=30&p.y=20", frame.Owner)
	if code != 200 || !strings.Contains(body, "Use it for the Glaze") || !strings.Contains(body, "can be far off") || !strings.Contains(body, "#78965a") && !strings.Contains(body, "#7996") && !strings.Contains(body, "#7896") {
		t.Errorf("%d %.1500s", code, body)
	}
	if w := upload("/jobs/"+id+"/choose/photo", "photo", "x.svg", "<svg/>", nil); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("a drawing as a photo: %d", w.Code)
	}
	if code, _ := webtest.Ask(mux, "/jobs/"+id+"/choose/photo/photo-0/look", frame.Owner); code != http.StatusNotFound {
		t.Errorf("a photo that is not kept: %d", code)
	}
}
