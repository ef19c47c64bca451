package frame

import (
	"context"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strconv"
	"strings"
	"testing"
	"time"

	"scumble/catalog"
	"scumble/examples"
	"scumble/job"
	"scumble/store"
	"scumble/web/asset"
	"scumble/web/work"
)

// framed is a frame over an empty folder with one place, and the demonstration in it.
func framed(t testing.TB) (*Frame, string) {
	t.Helper()
	c, err := catalog.Builtin()
	if err != nil {
		t.Fatal(err)
	}
	now := func() time.Time { return time.Date(2027, 3, 1, 9, 41, 0, 0, time.UTC) }
	jobs, err := store.Open(t.TempDir(), now)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { jobs.Close() })
	files, err := asset.New()
	if err != nil {
		t.Fatal(err)
	}
	place := &Place{Slug: "measure", Name: "Measure", Page: `{{define "place"}}{{template "wallhead" .}}{{range .Problems}}{{template "notice" .}}{{end}}{{end}}`, Walled: true,
		Show: func(*Sheet) (any, error) { return nil, nil }}
	priced := &Place{Slug: "price", Name: "Price", Page: `{{define "place"}}money{{end}}`, Priced: true, Show: func(*Sheet) (any, error) { return nil, nil }}
	f, err := New(Frame{Store: jobs, Catalog: c, Assets: files, Work: work.NewBench(1), Now: now, Build: "test"}, []*Place{place, priced})
	if err != nil {
		t.Fatal(err)
	}
	j, _, err := jobs.Create(context.Background(), "Bellwether House", "", examples.Bellwether, "", "x", "new")
	if err != nil {
		t.Fatal(err)
	}
	return f, j.ID
}

// post applies a form as somebody would.
func post(t testing.TB, f *Frame, id, who string, form url.Values) (store.Revision, *Clash, []job.Problem) {
	t.Helper()
	r := httptest.NewRequest("POST", "/jobs/"+id+"/edit", nil)
	r = r.WithContext(As(r.Context(), Person{Name: who, Role: Owner}))
	head, clash, problems, err := f.Apply(r, id, form)
	if err != nil {
		t.Fatal(err)
	}
	return head, clash, problems
}

func form(revision int, pairs ...string) url.Values {
	v := url.Values{"revision": {strconv.Itoa(revision)}}
	for i := 0; i < len(pairs); i += 2 {
		v.Add(pairs[i], pairs[i+1])
	}
	return v
}

func TestOnlyWhatChangedIsAnEdit(t *testing.T) {
	f, id := framed(t)
	head, _, _ := post(t, f, id, "", form(1, "set:rooms[1].walls[0].length", " 4.83 m ", "set:rooms[1].name", "Breakfast room", "list:crew.days", "", "list:crew.days", "Mon",
		"list:crew.days", "Tue", "list:crew.days", "Wed", "list:crew.days", "Thu", "list:crew.days", "Fri"))
	if head.Number != 1 {
		t.Errorf("nothing changed and revision %d was made: %s", head.Number, head.What)
	}
	head, _, _ = post(t, f, id, "Mara", form(1, "set:rooms[1].walls[0].length", "4.85 m", "list:crew.days", "", "list:crew.days", "Sat"))
	if head.Number != 2 || head.By != "Mara" || !strings.Contains(head.What, "Breakfast room, North: length: 4.85 m, was 4.83 m") || !strings.Contains(head.What, "days: Sat") {
		t.Errorf("%+v", head.What)
	}
	if !strings.Contains(string(head.Text), "# Bellwether House: the demonstration job.") {
		t.Error("the comments of the job are gone")
	}
}

func TestEntriesComeAndGo(t *testing.T) {
	f, id := framed(t)
	head, _, problems := post(t, f, id, "", form(1, "act", "add:rooms[1].walls[0].openings", "new:rooms[1].walls[0].openings:kind", "door", "new:rooms[1].walls[0].openings:width", "800",
		"new:rooms[1].walls[0].openings:height", "2 m", "new:rooms[1].walls[0].openings:left", "500"))
	if len(problems) > 0 || len(f.Board(head.Text).Job.Rooms[1].Walls[0].Openings) != 1 {
		t.Fatal(problems, head.What)
	}
	head, _, _ = post(t, f, id, "", form(2, "act", "add:finishes", "new:finishes:id", "new-one", "new:finishes:technique", "dragging", "new:finishes:ground.hex", "#aabbcc", "new:finishes:ground.name", "Grey"))
	finishes := f.Board(head.Text).Job.Finishes
	if last := finishes[len(finishes)-1]; last.ID != "new-one" || last.Ground.Hex != "#aabbcc" || last.Ground.Name != "Grey" {
		t.Errorf("%+v", last)
	}
	head, _, _ = post(t, f, id, "", form(3, "act", "move:rooms[1].walls[0]:2"))
	if got := f.Board(head.Text).Job.Rooms[1].Walls[2].Name; got != "North" {
		t.Errorf("third wall is %s", got)
	}
	head, _, _ = post(t, f, id, "", form(4, "act", "remove:rooms[1]"))
	if got := f.Board(head.Text).Job.Rooms[1].Name; got != "Dining room" {
		t.Errorf("second room is %s", got)
	}
	for _, wrong := range []string{"burn:rooms", "move:rooms[0]:x", "", "remove:rooms[99]", "add:nothing"} {
		if got, _, problems := post(t, f, id, "", form(5, "act", wrong)); len(problems) == 0 || got.Number != 5 {
			t.Errorf("%q was done: %s", wrong, got.What)
		}
	}
}

// TestWhatDiffersIsJoined: two people change different things from the same page, one of
// them after a wall was put before.
func TestWhatDiffersIsJoined(t *testing.T) {
	f, id := framed(t)
	post(t, f, id, "Mara", form(1, "act", "add:rooms[1].walls:0", "new:rooms[1].walls:name", "Porch", "new:rooms[1].walls:length", "900"))
	head, clash, problems := post(t, f, id, "Idris", form(1, "set:rooms[1].walls[0].length", "5 m"))
	if clash != nil || len(problems) > 0 {
		t.Fatal(clash, problems)
	}
	walls := f.Board(head.Text).Job.Rooms[1].Walls
	if walls[0].Name != "Porch" || walls[1].Name != "North" || walls[1].Length.Text != "5 m" {
		t.Errorf("%v, %v", walls[0].Name, walls[1].Length)
	}
}

func TestWhatBothChangedClashes(t *testing.T) {
	f, id := framed(t)
	post(t, f, id, "Mara", form(1, "set:rooms[1].walls[0].length", "4.9 m"))
	head, clash, _ := post(t, f, id, "Idris", form(1, "set:rooms[1].walls[0].length", "4.8 m", "set:rooms[1].height", "2.7 m"))
	if clash == nil || head.Number != 2 || clash.Who != "Mara" || len(clash.Fields) != 1 {
		t.Fatalf("%+v, head %d", clash, head.Number)
	}
	if c := clash.Fields[0]; c.Before != "4.83 m" || c.Theirs != "4.9 m" || c.Mine != "4.8 m" || c.Name != "Breakfast room, North: length" {
		t.Errorf("%+v", c)
	}
	kept, err := f.Store.Revision(context.Background(), id, 3)
	if err != nil || kept.Kind != "kept" || !strings.Contains(string(kept.Text), "4.8 m") || !strings.Contains(string(kept.Text), "2.7 m") {
		t.Errorf("what was typed is not kept: %v", err)
	}
	if _, clash, _ := post(t, f, id, "Idris", form(1, "set:rooms[1].walls[0].length", "4.9 m")); clash != nil {
		t.Error("both typed the same and it clashes")
	}
	if _, clash, _ = post(t, f, id, "Idris", form(2, "set:rooms[1].walls[0].length", "4.8 m")); clash != nil {
		t.Error("choosing does not end the clash")
	}
	post(t, f, id, "Mara", form(4, "act", "remove:rooms[1].walls[0]"))
	if _, clash, _ = post(t, f, id, "Idris", form(4, "set:rooms[1].walls[0].length", "4.7 m")); clash == nil {
		t.Error("a wall that is gone was changed")
	}
}

// TestPages: roles, escaping, places that are not there.
func TestPages(t *testing.T) {
	f, id := framed(t)
	head, _, _ := post(t, f, id, "", form(1, "set:rooms[1].walls[0].name", `<script>alert(1)</script>"'`, "set:name", "A & B <i>"))
	mux := muxOf(f)
	get := func(path string, role Role) (int, string) {
		r := httptest.NewRequest("GET", path, nil)
		w := httptest.NewRecorder()
		mux.ServeHTTP(w, r.WithContext(As(r.Context(), Person{Role: role})))
		return w.Code, w.Body.String()
	}
	code, body := get("/jobs/"+id+"/measure?wall="+url.QueryEscape(f.Board(head.Text).Walls[3].ID), Owner)
	if code != 200 || strings.Contains(body, "<script>alert") || strings.Contains(body, "<i>") || !strings.Contains(body, "&lt;script&gt;") {
		t.Errorf("%d, unescaped", code)
	}
	for path, want := range map[string]int{"/jobs/none/measure": 404, "/jobs/" + id + "/price": 403} {
		if code, body := get(path, Applicator); code != want || strings.Contains(body, "money") {
			t.Errorf("%s: %d, want %d", path, code, want)
		}
	}
	if code, body := get("/jobs/"+id+"/measure?wall=none", Applicator); code != 200 || strings.Contains(body, ">Price<") {
		t.Errorf("%d, or the applicator sees the way to prices", code)
	}
}

// TestPicture: the address of a picture holds its content.
func TestPicture(t *testing.T) {
	f, id := framed(t)
	mux := muxOf(f)
	head, _ := f.Store.Head(context.Background(), id)
	b := f.Board(head.Text)
	ask := func(path string) (int, string) {
		r := httptest.NewRequest("GET", path, nil)
		w := httptest.NewRecorder()
		mux.ServeHTTP(w, r.WithContext(As(r.Context(), Person{Role: Owner})))
		return w.Code, w.Header().Get("Content-Type")
	}
	j, _ := f.Store.Job(context.Background(), id)
	r := httptest.NewRequest("GET", "/", nil)
	s, err := f.SheetOf(As(r.Context(), Person{Role: Owner}), j, head, f.Place("measure"), "")
	if err != nil {
		t.Fatal(err)
	}
	address := s.PictureURL(b.Wall("Landing/Short"), FriezeScale, "D65")
	for range 2 { // painted, then from the cache
		if code, kind := ask(address); code != 200 || kind != "image/jpeg" {
			t.Errorf("%d %s", code, kind)
		}
	}
	for _, wrong := range []string{strings.Replace(address, "scale=0.034", "scale=9", 1),
		strings.Replace(address, "picture/", "picture/0", 1), strings.Replace(address, "Short", "Long", 1), strings.Replace(address, "scale=0.034", "scale=NaN", 1)} {
		if code, _ := ask(wrong + "&x=1"); code < 400 && !strings.Contains(wrong, "Long") {
			t.Errorf("%s: %d", wrong, code)
		}
	}
	other := f.PictureKey(f.Board(applied(t, head.Text, "finishes[0].glaze.hex", "#123456")), b.Wall("Landing/Short"), FriezeScale, "D65")
	if strings.Contains(address, other) {
		t.Error("another colour has the same picture")
	}
}

func applied(t testing.TB, text []byte, path, value string) []byte {
	t.Helper()
	out, problems := job.Apply(text, []job.Change{{Do: job.Set, Path: path, Value: value}})
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	return out
}

// FuzzEdit: no form brings the program down, and whatever is saved can be laid out.
func FuzzEdit(fz *testing.F) {
	f, id := framed(fz)
	fz.Add("revision=1&set:rooms[0].height=3")
	fz.Add("revision=1&act=remove:rooms[0]&act=move:rooms[1]:0")
	fz.Add("revision=1&act=add:rooms&new:rooms:name=x&new:rooms:climate.temp=9&list:crew.days=Mon")
	fz.Fuzz(func(t *testing.T, query string) {
		values, err := url.ParseQuery(query)
		if err != nil {
			return
		}
		r := httptest.NewRequest("POST", "/", nil)
		head, _, _, err := f.Apply(r.WithContext(As(r.Context(), Person{Role: Owner})), id, values)
		if err == nil {
			f.Board(head.Text)
		}
	})
}

func muxOf(f *Frame) *http.ServeMux {
	mux := http.NewServeMux()
	if err := f.Routes(mux); err != nil {
		panic(err)
	}
	return mux
}

// TestSeveralEntriesAtOnce: each of several added entries has fields of its own.
func TestSeveralEntriesAtOnce(t *testing.T) {
	f, id := framed(t)
	at := "rooms[1].walls[0].outline"
	head, _, problems := post(t, f, id, "", form(1, "set:rooms[1].walls[0].length", "", "act", "add:"+at+":0", "act", "add:"+at+":1", "act", "add:"+at+":2",
		"new:"+at+":0:x", "0", "new:"+at+":0:y", "0", "new:"+at+":1:x", "4.83 m", "new:"+at+":1:y", "0", "new:"+at+":2:x", "2 m", "new:"+at+":2:y", "2.5 m"))
	corners := f.Board(head.Text).Job.Rooms[1].Walls[0].Outline
	if len(problems) > 0 || len(corners) != 3 || corners[1].X.Text != "4.83 m" || corners[2].Y.Text != "2.5 m" {
		t.Errorf("%v %+v", problems, corners)
	}
	if !strings.Contains(head.What, "Added Breakfast room, North, corner 2") {
		t.Error(head.What)
	}
}

// TestACornerIsNotTakenForAnother: corners have no names, so one that is another by now is
// not taken out.
func TestACornerIsNotTakenForAnother(t *testing.T) {
	f, id := framed(t)
	stair := "rooms[0].walls[2].outline"
	post(t, f, id, "Mara", form(1, "act", "remove:"+stair+"[1]"))
	head, clash, _ := post(t, f, id, "Idris", form(1, "act", "remove:"+stair+"[3]"))
	if clash == nil || head.Number != 2 || len(f.Board(head.Text).Job.Rooms[0].Walls[2].Outline) != 5 {
		t.Errorf("%+v, head %d", clash, head.Number)
	}
}
