package api_test

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/json"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"net/http"
	"strings"
	"testing"
	"time"

	"scumble/examples"
	"scumble/sheets"
	"scumble/web/frame"
	"scumble/web/internal/webtest"
)

const jobs = "/api/v1/jobs/{id}"

var (
	owner      = frame.Person{Name: "Ines", Role: frame.Owner}
	applicator = frame.Person{Name: "Mara", Role: frame.Applicator}
)

// get asks for a file.
func (c *client) get(who frame.Person, path string, want int, args ...string) []byte {
	c.Helper()
	pairs := map[string]string{}
	for i := 0; i < len(args); i += 2 {
		pairs[args[i]] = args[i+1]
	}
	return c.send(who, "GET", path, pairs, "", nil, want).Body.Bytes()
}

// files are the operations that give or take files.
func (c *client) files() {
	id := webtest.Job(c, c.frame, examples.Bellwether)
	c.papers(id)
	c.pack()
	c.pictures(id)
	c.colours(id)
}

// papers are the bytes the pack holds, and those with prices are for the owner.
func (c *client) papers(id string) {
	all, some := string(c.get(owner, jobs+"/papers", 200, "id", id)), string(c.get(applicator, jobs+"/papers", 200, "id", id))
	if !strings.Contains(all, "quote.pdf") || strings.Contains(some, "quote.pdf") || strings.Contains(some, "plan.json") || !strings.Contains(some, "safety.pdf") || !strings.Contains(some, "walls/breakfast-room-north.dxf") {
		c.Errorf("the owner is offered %.200s and an applicator %.200s", all, some)
	}
	long, err := c.frame.Long(context.Background(), examples.Bellwether)
	if err != nil {
		c.Fatal(err)
	}
	for _, name := range []string{"safety.pdf", "programme.ics", "buying.csv", "walls/breakfast-room-north.svg", "walls/breakfast-room-north.dxf", "plan.json"} {
		want, err := sheets.One(context.Background(), long.Whole(), name, sheets.Options{})
		if err != nil {
			c.Fatal(err)
		}
		for range 2 { // made, then from the cache
			if got := c.get(owner, jobs+"/papers/file", 200, "id", id, "name", name); !bytes.Equal(got, want.Content) {
				c.Errorf("%s is another one than that of the pack", name)
			}
		}
		code := 200
		if sheets.Priced(name) {
			code = 403
		}
		c.get(applicator, jobs+"/papers/file", code, "id", id, "name", name)
	}
	c.get(applicator, jobs+"/papers/file", 403, "id", id, "name", "nothing.pdf")
	c.get(owner, jobs+"/papers/file", 404, "id", id, "name", "../../etc/passwd")
	c.get(owner, jobs+"/papers/file", 422, "id", id)
	c.get(owner, jobs+"/papers/file", 404, "id", id, "name", "safety.pdf", "revision", "7")
	c.get(owner, jobs+"/papers", 404, "id", "nothing")

	broken := webtest.Job(c, c.frame, webtest.Changed(c, examples.Bellwether, "rooms[0].walls[0].length", "wide", "terms.rate", "88 and some"))
	for _, who := range []frame.Person{owner, applicator} {
		text := string(c.get(who, jobs+"/papers", 422, "id", broken))
		if !strings.Contains(text, "rooms[0].walls[0].length") || strings.Contains(text, "88 and some") != who.MaySeePrices() {
			c.Errorf("%s of a job with things to mend is told %s", who.Role, text)
		}
		c.get(who, jobs+"/papers/file", 422, "id", broken, "name", "safety.pdf")
		c.send(who, "POST", jobs+"/papers/pack", map[string]string{"id": broken}, "", nil, 422)
	}
}

// pack is begun, followed and taken by the one who began it; another is stopped.
func (c *client) pack() {
	id := webtest.Job(c, c.frame, webtest.Small(c))
	begin := func(who frame.Person) map[string]string {
		var task struct{ ID string }
		if err := json.Unmarshal(c.send(who, "POST", jobs+"/papers/pack", map[string]string{"id": id}, "", nil, 202).Body.Bytes(), &task); err != nil || task.ID == "" {
			c.Fatal("no work was begun", err)
		}
		return map[string]string{"id": id, "task": task.ID}
	}
	one := begin(applicator)
	c.send(applicator, "GET", jobs+"/papers/pack/{task}/file", one, "", nil, 409)
	for _, path := range []string{"", "/file"} {
		c.send(owner, "GET", jobs+"/papers/pack/{task}"+path, one, "", nil, 404)
	}
	c.send(owner, "DELETE", jobs+"/papers/pack/{task}", one, "", nil, 404)
	for end := time.Now().Add(60 * time.Second); ; time.Sleep(20 * time.Millisecond) {
		state := c.send(applicator, "GET", jobs+"/papers/pack/{task}", one, "", nil, 200).Body.String()
		if strings.Contains(state, `"state":"done"`) {
			break
		}
		if strings.Contains(state, `"state":"failed"`) || time.Now().After(end) {
			c.Fatal(state)
		}
	}
	content := c.send(applicator, "GET", jobs+"/papers/pack/{task}/file", one, "", nil, 200).Body.Bytes()
	z, err := zip.NewReader(bytes.NewReader(content), int64(len(content)))
	if err != nil {
		c.Fatal(err)
	}
	names := map[string]bool{}
	for _, part := range z.File {
		names[part.Name] = true
	}
	if !names["method.pdf"] || !names["programme.ics"] || names["quote.pdf"] || names["plan.json"] {
		c.Errorf("the pack of an applicator holds %v", names)
	}
	if again := begin(applicator); again["task"] != one["task"] {
		c.Error("what was made already is made again")
	}
	other := begin(owner)
	demoted := owner
	demoted.Role = frame.Applicator
	for _, path := range []string{"", "/file"} {
		c.send(demoted, "GET", jobs+"/papers/pack/{task}"+path, other, "", nil, 404)
	}
	if state := c.send(owner, "DELETE", jobs+"/papers/pack/{task}", other, "", nil, 200).Body.String(); !strings.Contains(state, `"state":"cancelled"`) {
		c.Error("it was not stopped: ", state)
	}
	c.send(owner, "GET", jobs+"/papers/pack/{task}/file", other, "", nil, 409)
}

// pictures are as wide as asked for, and lamps change them.
func (c *client) pictures(id string) {
	paint := func(args ...string) ([]byte, image.Image) {
		b := c.get(applicator, jobs+"/picture", 200, append(args, "id", id, "wall", "dining room/north", "width", "120")...)
		p, err := jpeg.Decode(bytes.NewReader(b))
		if err != nil {
			c.Fatal(err)
		}
		return b, p
	}
	day, p := paint()
	if w := p.Bounds().Dx(); w < 119 || w > 121 {
		c.Errorf("it is %d px wide, not 120", w)
	}
	if lamp, _ := paint("light", "lamp"); bytes.Equal(day, lamp) {
		c.Error("the lamps change nothing")
	}
	if again, _ := paint("light", "day", "revision", "1"); !bytes.Equal(day, again) {
		c.Error("the same picture is another one")
	}
	c.get(owner, jobs+"/picture", 404, "id", id, "wall", "Cellar/North")
	c.get(owner, jobs+"/picture", 422, "id", id, "wall", "Dining room/North", "light", "moon")
	c.get(owner, jobs+"/picture", 422, "id", id, "wall", "Dining room/North", "width", "99999")
	c.get(owner, jobs+"/picture", 422, "id", id)
	bare := webtest.Job(c, c.frame, webtest.Changed(c, examples.Bellwether, "rooms[0].walls[0].length", "wide"))
	c.get(owner, jobs+"/picture", 422, "id", bare, "wall", c.frame.Board(examples.Bellwether).Walls[0].ID)
}

// card is a file of an instrument with one reading (CGATS.17).
const card = "CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_NAME LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nNUMBER_OF_SETS 1\nBEGIN_DATA\n\"Sea glass\" 61.5 -12.25 4\nEND_DATA\n"

// colours come from a photo and from an instrument, by what is in the file.
func (c *client) colours(id string) {
	halves := image.NewRGBA(image.Rect(0, 0, 200, 100))
	for x := range 200 {
		for y := range 100 {
			halves.Set(x, y, color.RGBA{uint8(200 - 150*(x/100)), 50, uint8(50 + 150*(x/100)), 255})
		}
	}
	var photo bytes.Buffer
	if err := png.Encode(&photo, halves); err != nil {
		c.Fatal(err)
	}
	post := func(path, kind string, body []byte, want int, args ...string) string {
		pairs := map[string]string{"id": id}
		for i := 0; i < len(args); i += 2 {
			pairs[args[i]] = args[i+1]
		}
		if !strings.Contains(path, "{id}") {
			delete(pairs, "id")
		}
		return c.send(applicator, "POST", path, pairs, kind, body, want).Body.String()
	}
	const from, read, bring = "/api/v1/colours/photo", "/api/v1/colours/measured", jobs + "/measured"
	left, right := post(from, "image/jpeg", photo.Bytes(), 200, "x", "0.25"), post(from, "application/octet-stream", photo.Bytes(), 200, "x", "1", "y", "1")
	if !strings.Contains(left, `"hex":"#c8323`) || !strings.Contains(right, `"hex":"#3232c`) || !strings.Contains(left, frame.PhotoWorth) {
		c.Errorf("left %s right %s", left, right)
	}
	post(from, "image/jpeg", []byte("no photo"), 422)
	post(from, "image/jpeg", photo.Bytes(), 422, "x", "1.5")
	post(from, "image/jpeg", make([]byte, frame.LargestPhoto+1), http.StatusRequestEntityTooLarge)
	post(read, "text/plain", make([]byte, frame.LargestMeasured+1), http.StatusRequestEntityTooLarge, "name", "card.txt")

	if got := post(read, "text/plain", []byte(card), 200, "name", "card.txt"); !strings.Contains(got, `"name":"Sea glass","lab":[61.5,-12.25,4],"under":"D50","source":"card.txt"`) {
		c.Error(got)
	}
	if got := post(read, "text/plain", []byte("hello"), 422, "name", "card.txt"); !strings.Contains(got, "CGATS") {
		c.Errorf("what cannot be read is answered with %s", got)
	}
	post(read, "text/plain", []byte(card), 422)
	for range 2 {
		post(bring, "text/plain", []byte(card), 200, "name", "card.txt", "base", "1")
	}
	head, err := c.frame.Store.Head(context.Background(), id)
	if err != nil || !strings.Contains(string(head.Text), "Sea glass (2)") || head.By != applicator.Name {
		c.Error("the colours are not in the job, or the second went over the first", err)
	}
	post(bring, "text/plain", []byte("hello"), 422, "name", "card.txt", "base", "1")
	post(bring, "text/plain", []byte(card), 404, "name", "card.txt", "base", "99")
	post(bring, "text/plain", []byte(card), 422, "name", "card.txt")
}

// FuzzUploads: whatever is sent as a photo or a file of an instrument is answered, and
// never by a fault of the program's own.
func FuzzUploads(f *testing.F) {
	c := served(f)
	id := webtest.Job(f, c.frame, examples.Bellwether)
	f.Add([]byte(card), "card.txt", "0.5")
	f.Add([]byte("\x89PNG\r\n\x1a\n"), "x<y>", "NaN")
	f.Add([]byte("name,L,a,b\nx,1,2,3\n"), "", "-1")
	f.Fuzz(func(t *testing.T, body []byte, name, x string) {
		for _, path := range []string{"/api/v1/colours/photo", "/api/v1/colours/measured", "/api/v1/jobs/" + id + "/measured"} {
			if w := c.raw(applicator, "POST", path, map[string][]string{"name": {name}, "x": {x}, "base": {"1"}}, "", body); w.Code >= 500 {
				t.Errorf("%s: %d %s", path, w.Code, w.Body)
			}
		}
	})
}
