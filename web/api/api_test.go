package api_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"github.com/google/jsonschema-go/jsonschema"

	"scumble/examples"
	"scumble/web/api"
	"scumble/web/choose"
	"scumble/web/frame"
	"scumble/web/internal/webtest"
	"scumble/web/measure"
)

// elsewhere is what web hands in.
var elsewhere = api.Elsewhere{Photo: choose.PhotoColour, Measured: choose.Measured}

type client struct {
	testing.TB
	mux   *http.ServeMux
	frame *frame.Frame
	doc   map[string]any
	used  map[string]bool
}

func served(t testing.TB) *client {
	t.Helper()
	f := webtest.Frame(t, measure.Place())
	mux := http.NewServeMux()
	if err := api.Routes(mux, f, elsewhere); err != nil {
		t.Fatal(err)
	}
	c := &client{t, mux, f, nil, map[string]bool{}}
	_, body := webtest.Ask(mux, "/api/openapi.json", frame.Owner)
	if err := json.Unmarshal([]byte(body), &c.doc); err != nil {
		t.Fatal(err)
	}
	return c
}

// ask calls an operation with JSON and holds its answer against the document.
func (c *client) ask(role frame.Role, method, path string, args map[string]string, body any, want int) map[string]any {
	c.Helper()
	sent, _ := json.Marshal(body)
	w := c.send(frame.Person{Name: "program", Role: role}, method, path, args, "application/json", sent, want)
	var answer any
	if err := json.Unmarshal(w.Body.Bytes(), &answer); err != nil {
		c.Errorf("%s %s is no JSON: %v", method, path, err)
	}
	object, _ := answer.(map[string]any)
	return object
}

// send calls an operation by its path in the document, checks the status, and holds the
// answer against what the document says of it.
func (c *client) send(who frame.Person, method, path string, args map[string]string, kind string, body []byte, want int) *httptest.ResponseRecorder {
	c.Helper()
	address := path
	query := url.Values{}
	for k, v := range args {
		if strings.Contains(address, "{"+k+"}") {
			address = strings.ReplaceAll(address, "{"+k+"}", v)
		} else {
			for _, one := range strings.Split(v, "|") {
				query.Add(k, one)
			}
		}
	}
	w := c.raw(who, method, address, query, kind, body)
	if w.Code != want {
		c.Errorf("%s %s as %s: %d, want %d: %.300s", method, address, who.Role, w.Code, want, w.Body)
	}
	c.used[method+" "+path] = true
	c.holds(method, path, w)
	return w
}

func (c *client) raw(who frame.Person, method, address string, query url.Values, kind string, body []byte) *httptest.ResponseRecorder {
	r := httptest.NewRequest(method, address+"?"+query.Encode(), bytes.NewReader(body))
	r.Header.Set("Content-Type", kind)
	w := httptest.NewRecorder()
	c.mux.ServeHTTP(w, r.WithContext(frame.As(r.Context(), who)))
	return w
}

// holds checks an answer against the document.
func (c *client) holds(method, path string, w *httptest.ResponseRecorder) {
	c.Helper()
	at := func(v any, keys ...string) any {
		for _, k := range keys {
			m, _ := v.(map[string]any)
			v = m[k]
		}
		return v
	}
	responses := at(c.doc, "paths", path, strings.ToLower(method), "responses")
	if responses == nil {
		c.Fatalf("%s %s is not in the document", method, path)
	}
	response := at(responses, fmt.Sprint(w.Code))
	if response == nil {
		response = at(responses, "default")
	}
	kind := w.Header().Get("Content-Type")
	schema := at(response, "content", strings.Split(kind, ";")[0], "schema")
	if schema == nil {
		c.Errorf("%s %s: the document does not say %d %s", method, path, w.Code, kind)
		return
	}
	var answer any
	if at(schema, "format") == "binary" {
		answer = w.Body.String()
	} else if err := json.Unmarshal(w.Body.Bytes(), &answer); err != nil {
		c.Errorf("%s %s is no JSON: %v", method, path, err)
	}
	root := map[string]any{"$defs": at(c.doc, "components", "schemas"), "allOf": []any{schema}}
	text, _ := json.Marshal(root)
	text = []byte(strings.ReplaceAll(string(text), "#/components/schemas/", "#/$defs/"))
	var s jsonschema.Schema
	if err := json.Unmarshal(text, &s); err != nil {
		c.Fatal(err)
	}
	resolved, err := s.Resolve(nil)
	if err != nil {
		c.Fatal(err)
	}
	if err := resolved.Validate(answer); err != nil {
		c.Errorf("%s %s answers what the document does not say: %v", method, path, err)
	}
}

func TestEveryOperation(t *testing.T) {
	c := served(t)
	const v = "/api/v1"
	own := frame.Owner
	id := c.ask(own, "POST", v+"/jobs", nil, map[string]any{"demonstration": true}, 201)["id"].(string)
	one := map[string]string{"id": id}
	c.ask(own, "POST", v+"/jobs", nil, map[string]any{"text": "scumble: 1\n"}, 422)
	c.ask(own, "GET", v+"/jobs", nil, nil, 200)
	c.ask(own, "GET", v+"/jobs/{id}", one, nil, 200)
	c.ask(own, "GET", v+"/jobs/{id}", map[string]string{"id": "nothing"}, nil, 404)
	table := "room,wall,length,height,openings\nStudy,North,\"4,2 m\",2.5 m,window 1200 x 1100 at 800 sill 900\n"
	if got := c.ask(own, "POST", v+"/jobs/{id}/survey", one, map[string]any{"base": 1, "table": table}, 200); got["walls"] != 31.0 {
		t.Errorf("%v", got)
	}
	c.ask(own, "POST", v+"/jobs/{id}/survey", one, map[string]any{"base": 2, "table": "room,wall,length\nStudy,South,wide\n"}, 422)
	c.ask(own, "POST", v+"/jobs/{id}/survey", one, map[string]any{"base": 1, "table": strings.Replace(table, "Study", "Office", 1)}, 409)
	c.ask(own, "POST", v+"/jobs/{id}/undo", one, nil, 200)
	c.ask(own, "POST", v+"/jobs/{id}/redo", one, nil, 200)
	c.ask(own, "POST", v+"/jobs/{id}/restore", one, map[string]any{"number": 1}, 200)
	head := int(c.ask(own, "GET", v+"/jobs/{id}", one, nil, 200)["revision"].(float64))
	changes := []any{map[string]any{"do": "set", "path": "rooms[1].walls[0].length", "value": "4.9 m"}, map[string]any{"do": "set", "path": "crew.days", "list": []string{"Mon", "Tue"}},
		map[string]any{"do": "add", "path": "rooms[1].walls[0].openings", "to": -1, "entry": []any{map[string]string{"key": "kind", "value": "hatch"}, map[string]string{"key": "left", "value": "300"},
			map[string]string{"key": "sill", "value": "900"}, map[string]string{"key": "width", "value": "500"}, map[string]string{"key": "height", "value": "500"}}}}
	c.ask(own, "POST", v+"/jobs/{id}/changes", one, map[string]any{"base": head, "changes": changes}, 200)
	c.ask(own, "POST", v+"/jobs/{id}/changes", one, map[string]any{"base": head, "changes": []any{map[string]any{"do": "set", "path": "rooms[1].walls[0].length", "value": "5 m"}}}, 409)
	c.ask(own, "POST", v+"/jobs/{id}/changes", one, map[string]any{"base": head, "changes": []any{map[string]any{"do": "set", "path": "nothing", "value": "5 m"}}}, 422)
	c.ask(own, "POST", v+"/jobs/{id}/changes", one, map[string]any{"base": head, "changes": []any{}}, 422)
	plan := c.ask(own, "GET", v+"/jobs/{id}/plan", one, nil, 200)
	if plan["quote"] == nil || plan["survey"] == nil {
		t.Error("the plan lacks its parts")
	}
	c.ask(own, "GET", v+"/jobs/{id}/why", map[string]string{"id": id, "ask": "wall|Dining room/North|glaze"}, nil, 200)
	c.ask(own, "GET", v+"/jobs/{id}/why", map[string]string{"id": id, "ask": "wall|nothing|glaze"}, nil, 422)
	c.ask(own, "GET", v+"/jobs/{id}/pair", map[string]string{"id": id, "step": "Dining room/South#glaze-1", "at": "2027-04-02 08:00", "people": "3", "temp": "20", "humidity": "0.5", "draught": "fan"}, nil, 200)
	c.ask(own, "GET", v+"/jobs/{id}/pair", map[string]string{"id": id, "step": "nothing"}, nil, 404)
	c.ask(own, "GET", v+"/jobs/{id}/pair", map[string]string{"id": id, "step": "Dining room/South#glaze-1", "at": "soon"}, nil, 422)
	c.ask(own, "GET", v+"/jobs/{id}/drying", map[string]string{"id": id, "face": "Dining room/South"}, nil, 200)
	c.ask(own, "GET", v+"/jobs/{id}/revisions", map[string]string{"id": id, "limit": "3"}, nil, 200)
	c.ask(own, "GET", v+"/jobs/{id}/revisions", map[string]string{"id": id, "limit": "0"}, nil, 422)
	text := c.ask(own, "GET", v+"/jobs/{id}/revisions/{number}", map[string]string{"id": id, "number": "1"}, nil, 200)["text"]
	if text != string(examples.Bellwether) {
		t.Error("the text of a revision is another one")
	}
	now := int(c.ask(own, "GET", v+"/jobs/{id}", one, nil, 200)["revision"].(float64))
	saved := c.ask(own, "PUT", v+"/jobs/{id}/text", one, map[string]any{"base": now, "text": "scumble: 1\nname: [broken\n"}, 200)
	if len(saved["problems"].([]any)) == 0 {
		t.Error("a broken text has no problems")
	}
	c.ask(own, "GET", v+"/jobs/{id}/plan", one, nil, 422)
	c.ask(own, "POST", v+"/jobs/{id}/copy", one, nil, 201)
	c.ask(own, "POST", v+"/jobs/{id}/revisions/{number}/name", map[string]string{"id": id, "number": "1"}, map[string]any{"name": "sent"}, 200)
	made := c.ask(own, "POST", v+"/jobs/{id}/links", one, map[string]any{"days": 3}, 201)
	if !strings.HasPrefix(made["path"].(string), "/client/1.") {
		t.Errorf("%v", made)
	}
	c.ask(own, "POST", v+"/jobs/{id}/links", one, map[string]any{"days": 0}, 422)
	c.ask(own, "GET", v+"/jobs/{id}/links", one, nil, 200)
	c.ask(own, "GET", v+"/jobs/{id}/words", one, nil, 200)
	c.ask(own, "DELETE", v+"/jobs/{id}/links/{link}", map[string]string{"id": id, "link": "1"}, nil, 200)
	c.ask(own, "DELETE", v+"/jobs/{id}/links/{link}", map[string]string{"id": id, "link": "1"}, nil, 404)
	c.ask(own, "POST", v+"/jobs/{id}/away", one, map[string]any{"away": true}, 200)
	c.files()
	for path, methods := range c.doc["paths"].(map[string]any) {
		for method := range methods.(map[string]any) {
			if key := strings.ToUpper(method) + " " + path; !c.used[key] {
				t.Errorf("%s was not tried", key)
			}
		}
	}
}

func TestNoMoneyForAnApplicator(t *testing.T) {
	c := served(t)
	id := c.ask(frame.Owner, "POST", "/api/v1/jobs", nil, map[string]any{"demonstration": true}, 201)["id"].(string)
	one := map[string]string{"id": id}
	c.ask(frame.Applicator, "GET", "/api/v1/jobs/{id}/plan", one, nil, 403)
	c.ask(frame.Applicator, "GET", "/api/v1/jobs/{id}/links", one, nil, 403)
	c.ask(frame.Applicator, "POST", "/api/v1/jobs/{id}/links", one, map[string]any{"days": 3}, 403)
	c.ask(frame.Applicator, "GET", "/api/v1/jobs/{id}/why", map[string]string{"id": id, "ask": "price"}, nil, 403)
	c.ask(frame.Applicator, "GET", "/api/v1/jobs/{id}/revisions/{number}", map[string]string{"id": id, "number": "1"}, nil, 403)
	c.ask(frame.Applicator, "PUT", "/api/v1/jobs/{id}/text", one, map[string]any{"base": 1, "text": "x"}, 403)
	c.ask(frame.Applicator, "POST", "/api/v1/jobs/{id}/changes", one, map[string]any{"base": 1, "changes": []any{map[string]any{"do": "set", "path": "terms.margin", "value": "1 %"}}}, 403)
}

// TestRevisionsTellNoAmountsToAnApplicator: an edit of a price is told without its figures,
// wrong prices are not quoted, and prices are not brought back.
func TestRevisionsTellNoAmountsToAnApplicator(t *testing.T) {
	c := served(t)
	const v = "/api/v1/jobs/{id}"
	id := c.ask(frame.Owner, "POST", "/api/v1/jobs", nil, map[string]any{"demonstration": true}, 201)["id"].(string)
	one := map[string]string{"id": id}
	for i, pair := range [][2]string{{"terms.margin", "31 %"}, {"crew.people[0].rate", "77.70"}, {"rooms[1].walls[0].length", "4.95 m"}, {"terms.rate", "88 and some"}} {
		c.ask(frame.Owner, "POST", v+"/changes", one, map[string]any{"base": i + 1, "changes": []any{map[string]any{"do": "set", "path": pair[0], "value": pair[1]}}}, 200)
	}
	for role, sees := range map[frame.Role]bool{frame.Owner: true, frame.Applicator: false} {
		_, list := webtest.Ask(c.mux, "/api/v1/jobs/"+id+"/revisions", role)
		_, job := webtest.Ask(c.mux, "/api/v1/jobs/"+id, role)
		for _, figure := range []string{"31 %", "77.70", "38.00", "88 and some"} {
			if strings.Contains(list+job, figure) != sees {
				t.Errorf("%s is told %q: %v", role, figure, !sees)
			}
		}
		if !strings.Contains(list, "4.95 m, was 4.83 m") {
			t.Errorf("%s is not told what was measured", role)
		}
		if n := strings.Count(list, "a change that touches prices"); !sees && n != 3 {
			t.Errorf("%d changes are withheld, not 3", n)
		}
	}
	c.ask(frame.Applicator, "POST", v+"/restore", one, map[string]any{"number": 2}, 403)
	c.ask(frame.Owner, "POST", v+"/restore", one, map[string]any{"number": 4}, 200)
	c.ask(frame.Applicator, "POST", v+"/restore", one, map[string]any{"number": 3}, 200)
}

// TestAnApplicatorUndoesNoPrices: a step back or forth over prices is refused, and nothing
// is moved; one over measures is not.
func TestAnApplicatorUndoesNoPrices(t *testing.T) {
	c := served(t)
	const v = "/api/v1/jobs/{id}"
	id := c.ask(frame.Owner, "POST", "/api/v1/jobs", nil, map[string]any{"demonstration": true}, 201)["id"].(string)
	one := map[string]string{"id": id}
	for i, pair := range [][2]string{{"rooms[1].walls[0].length", "4.95 m"}, {"terms.margin", "31 %"}} {
		c.ask(frame.Owner, "POST", v+"/changes", one, map[string]any{"base": i + 1, "changes": []any{map[string]any{"do": "set", "path": pair[0], "value": pair[1]}}}, 200)
	}
	holds := func(want string) {
		t.Helper()
		if head, err := c.frame.Store.Head(t.Context(), id); err != nil || !strings.Contains(string(head.Text), want) {
			t.Errorf("it does not hold %s", want)
		}
	}
	c.ask(frame.Applicator, "POST", v+"/undo", one, nil, 403)
	holds("margin: 31 %")
	c.ask(frame.Owner, "POST", v+"/undo", one, nil, 200)
	c.ask(frame.Applicator, "POST", v+"/undo", one, nil, 200) // the length
	holds("length: 4.83 m")
	c.ask(frame.Applicator, "POST", v+"/redo", one, nil, 200)
	holds("length: 4.95 m")
	c.ask(frame.Applicator, "POST", v+"/redo", one, nil, 403)
	holds("margin: 18 %")
}

func FuzzChanges(f *testing.F) {
	f.Add(`{"base":1,"changes":[{"do":"set","path":"name","value":"x"}]}`)
	f.Add(`{"base":1,"changes":[{"do":"add","path":"rooms","to":-1,"entry":[{"key":"name","value":"x"}]}]}`)
	fr := webtest.Frame(f, measure.Place())
	mux := http.NewServeMux()
	if err := api.Routes(mux, fr, elsewhere); err != nil {
		f.Fatal(err)
	}
	id := webtest.Job(f, fr, examples.Bellwether)
	f.Fuzz(func(t *testing.T, body string) {
		r := httptest.NewRequest("POST", "/api/v1/jobs/"+id+"/changes", strings.NewReader(body))
		r.Header.Set("Content-Type", "application/json")
		w := httptest.NewRecorder()
		mux.ServeHTTP(w, r.WithContext(frame.As(r.Context(), frame.Person{Role: frame.Owner})))
		if w.Code >= 500 {
			t.Errorf("%d: %s", w.Code, w.Body)
		}
	})
}
