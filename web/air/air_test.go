package air_test

import (
	"bytes"
	"context"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"scumble/examples"
	"scumble/web/air"
	"scumble/web/frame"
	"scumble/web/internal/webtest"
)

func TestAir(t *testing.T) {
	f := webtest.Frame(t, air.Place())
	for name, c := range map[string]struct {
		text      []byte
		query     string
		want, not []string
	}{
		"first with solvent": {examples.Bellwether, "", []string{"Hall and stair: solvent in the air", "Back in", "Sleep there", "Not every limit", "European Union", "not kept", "taken as 5.66 m²", "Rags with oil glaze", "heavier than air", "Over dew"}, nil},
		"a room":             {examples.Bellwether, "room=Breakfast+room", []string{"Breakfast room: solvent in the air", "Windows shut", "a limit.", "product of the sides"}, nil},
		"by its wall":        {examples.Bellwether, webtest.Wall("Heron room/East"), []string{"Heron room: solvent in the air"}, nil},
		"water only":         {examples.Bellwether, "room=Dining+room", []string{"No solvent is laid here."}, []string{"Chart of the solvent"}},
		"no such room":       {examples.Bellwether, "room=%3Cscript%3E", []string{"Hall and stair: solvent"}, []string{"<script>"}},
		"damp":               {webtest.Changed(t, examples.Bellwether, "climate.humidity", "95 %"), "", []string{"Hall and stair, Left", "notice hold"}, nil},
		"aired":              {webtest.Changed(t, examples.Bellwether, "climate.draught", "fan", "climate.aired", "30"), "room=Breakfast+room", []string{`<option value="fan" selected>`, `value="30"`}, nil},
		"wrong":              {webtest.Changed(t, examples.Bellwether, "climate.night", "chilly"), "", []string{`aria-invalid="true"`}, nil},
		"no air":             {[]byte(strings.Replace(string(examples.Bellwether), "\nclimate:", "\nweather:", 1)), "", []string{"Temperature by day"}, nil},
		"empty":              {[]byte("scumble: 1\n"), "", []string{"Temperature by day"}, nil},
		"hostile":            {webtest.Changed(t, examples.Bellwether, "rooms[0].name", "<script>x"), "", []string{"&lt;script&gt;x"}, nil},
	} {
		t.Run(name, func(t *testing.T) {
			code, body := webtest.Page(t, f, webtest.Job(t, f, c.text), "air", c.query, frame.Applicator)
			body = strings.NewReplacer("\u2009", " ", "\u00a0", " ").Replace(body)
			if code != 200 || strings.Contains(body, "<script>x") {
				t.Errorf("answer %d, or a name unescaped", code)
			}
			for _, want := range c.want {
				if !strings.Contains(body, want) {
					t.Errorf("does not say %q", want)
				}
			}
			for _, not := range c.not {
				if strings.Contains(body, not) {
					t.Errorf("says %q", not)
				}
			}
		})
	}
}

const logged = "Time;Temperature (°C);Humidity (%)\n2027-03-07 12:00;17,5;52\n2027-03-08 00:00;12,0;66\n2027-03-08 12:00;17,0;54\n2027-03-09 06:00;11,0;69\n"

func TestReadingsOfALogger(t *testing.T) {
	f := webtest.Frame(t, air.Place())
	mux := http.NewServeMux()
	if err := f.Routes(mux); err != nil {
		t.Fatal(err)
	}
	id := webtest.Job(t, f, examples.Bellwether)
	send := func(revision, room, text string) int {
		var body bytes.Buffer
		form := multipart.NewWriter(&body)
		_ = form.WriteField("revision", revision)
		_ = form.WriteField("room", room)
		if text != "" {
			part, _ := form.CreateFormFile("file", "log.csv")
			_, _ = part.Write([]byte(text))
		}
		form.Close()
		r := httptest.NewRequest("POST", "/jobs/"+id+"/air/log", &body)
		r.Header.Set("Content-Type", form.FormDataContentType())
		w := httptest.NewRecorder()
		mux.ServeHTTP(w, r.WithContext(frame.As(r.Context(), frame.Person{Role: frame.Applicator})))
		return w.Code
	}
	for name, c := range map[string]struct {
		revision, room, text string
		want                 int
	}{
		"nothing":       {"1", "", "", 422},
		"no table":      {"1", "", "hello", 422},
		"an hour":       {"1", "", "Time;Temp;RH\n2027-03-07 12:00;17;52\n2027-03-07 13:00;17;52\n", 422},
		"no room":       {"1", "Cellar", logged, 422},
		"no revision":   {"", "", logged, 400},
		"another":       {"99", "", logged, 404},
		"too large":     {"1", "", logged + strings.Repeat("x", 5<<20), 413},
		"for all rooms": {"1", "", logged, 303},
	} {
		if got := send(c.revision, c.room, c.text); got != c.want {
			t.Errorf("%s: %d, want %d", name, got, c.want)
		}
	}
	if got := send("2", "Tern room", logged); got != 303 {
		t.Errorf("for a room: %d", got)
	}
	head, err := f.Store.Head(context.Background(), id)
	if err != nil {
		t.Fatal(err)
	}
	j := f.Board(head.Text).Job
	if len(j.Climate.Log) != 4 || len(j.Rooms[6].Climate.Log) != 4 || j.Climate.Log[0].Temp.Value != 17.5 {
		t.Errorf("%+v", j.Climate.Log)
	}
	if _, body := webtest.Page(t, f, id, "air", "", frame.Owner); !strings.Contains(body, "4 readings for all rooms; 4 readings in Tern room") {
		t.Error("the page does not tell of the readings")
	}
}
