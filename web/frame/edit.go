package frame

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"scumble/job"
	"scumble/store"
	"scumble/web/board"
)

// The fields of a form that edits a job:
//
//	revision         the revision the page showed
//	back             the address of the page
//	set:PATH         what stands in a field; fields that stay the same are no edit
//	list:PATH        one value of a list of words; an empty one stands for none
//	act              add:PATH[:INDEX], remove:PATH or move:PATH:INDEX; several may follow each other
//	new:PATH:KEY     a field of the entry that is added at PATH
//	new:PATH:INDEX:KEY  the same for the entry that is added at an index, where several may be
const (
	setField  = "set:"
	listField = "list:"
	newField  = "new:"
)

// largestForm is the size of a form in bytes up to which it is read.
const largestForm = 1 << 20

// Clash is what two people changed at the same time.
type Clash struct {
	Who, Kept, Action, Back string
	Head                    int
	Fields                  []Clashing
}

// Clashing is one field both changed. Path is empty where choosing takes the history.
type Clashing struct{ Path, Name, Before, Theirs, Mine string }

// Edit makes the changes of a form and answers with the page it came from.
func (f *Frame) Edit(w http.ResponseWriter, r *http.Request) {
	r.Body = http.MaxBytesReader(w, r.Body, largestForm)
	if err := r.ParseForm(); err != nil {
		f.Fail(w, r, &Refused{http.StatusBadRequest, "the form cannot be read", "send it again"})
		return
	}
	place, query, back := f.back(r)
	who := Who(r.Context())
	head, clash, problems, err := f.Apply(r, r.PathValue("job"), r.PostForm)
	if err != nil {
		f.Fail(w, r, err)
		return
	}
	if clash == nil && len(problems) == 0 && r.Header.Get("HX-Request") == "" {
		http.Redirect(w, r, back, http.StatusSeeOther)
		return
	}
	j, err := f.Store.Job(r.Context(), r.PathValue("job"))
	if err != nil {
		f.Fail(w, r, err)
		return
	}
	if place.Priced && !who.MaySeePrices() {
		place = f.places[0]
	}
	kept := url.Values{"wall": {f.renamed(r.PostForm, query.Get("wall"), head.Text)}}
	for _, key := range place.Keeps {
		kept[key] = query[key]
	}
	sheet, err := f.sheet(r.Context(), j, head, place, kept, who)
	if err != nil {
		f.Fail(w, r, err)
		return
	}
	status := http.StatusOK
	switch {
	case clash != nil:
		status = http.StatusConflict
		clash.Action, clash.Back = "/jobs/"+j.ID+"/edit", back
	case len(problems) > 0:
		status = http.StatusUnprocessableEntity
	}
	f.show(w, r, sheet, status, clash, problems)
}

// renamed follows a wall whose name, or that of its room, was changed by the form.
func (f *Frame) renamed(form url.Values, wall string, text []byte) string {
	for field := range form {
		path, ok := strings.CutPrefix(field, setField)
		if !ok || !strings.HasSuffix(path, ".name") {
			continue
		}
		b := f.Board(text)
		if b.Wall(wall) != nil {
			return wall
		}
		for i := range b.Walls {
			if group := strings.TrimSuffix(path, ".name"); board.Within(b.Walls[i].Path, group) && (group == b.Walls[i].Path || strings.HasSuffix(wall, "/"+b.Walls[i].Name)) {
				return b.Walls[i].ID
			}
		}
	}
	return wall
}

// Apply makes the changes of a form in a job and saves them, as Change does.
func (f *Frame) Apply(r *http.Request, id string, form url.Values) (store.Revision, *Clash, []job.Problem, error) {
	number, err := strconv.Atoi(form.Get("revision"))
	if err != nil {
		return store.Revision{}, nil, nil, &Refused{http.StatusBadRequest, "the form does not say which revision it belongs to", "load the page again"}
	}
	base, err := f.Store.Revision(r.Context(), id, number)
	if err != nil {
		return store.Revision{}, nil, nil, err
	}
	changes, problems := changesOf(form, f.Board(base.Text))
	if len(problems) > 0 {
		head, err := f.Store.Head(r.Context(), id)
		return head, nil, problems, err
	}
	return f.Change(r.Context(), base, changes)
}

// Change makes changes that were asked for on a revision, and saves them. It returns the
// revision that stands afterwards. With a clash nothing of them is in it, but a revision
// beside it keeps what was typed.
func (f *Frame) Change(ctx context.Context, base store.Revision, changes []job.Change) (store.Revision, *Clash, []job.Problem, error) {
	if !Who(ctx).MaySeePrices() && slices.ContainsFunc(changes, func(c job.Change) bool { return IsPrice(c.Path) }) {
		return store.Revision{}, nil, nil, ErrForbidden // even the answer to a clash would show what stands there
	}
	shown := f.Board(base.Text)
	head, err := f.Store.Head(ctx, base.Job)
	if err != nil {
		return head, nil, nil, err
	}
	for try := 0; ; try++ {
		here := f.Board(head.Text)
		mine, clashing := rebased(changes, shown, here)
		if len(clashing) > 0 {
			return f.clash(ctx, base, head, changes, clashing, shown)
		}
		if len(mine) == 0 {
			return head, nil, nil, nil
		}
		text, problems := job.Apply(head.Text, mine)
		if len(problems) > 0 {
			return head, nil, problems, nil
		}
		f.boards.retire(head.Text)
		after := f.Board(text)
		saved, err := f.Store.Save(ctx, store.Draft{Job: base.Job, Name: after.Job.Name, Place: after.Job.Place, Base: head.Number,
			Text: text, By: Who(ctx).Name, What: told(mine, here, after), Kind: "edit"})
		var conflict *store.Conflict
		if errors.As(err, &conflict) && try < 8 {
			head = conflict.Head // somebody was quicker; what they changed may be something else
			continue
		}
		return saved, nil, nil, err
	}
}

// IsPrice reports whether a path of a job leads to money or to what is agreed about it.
func IsPrice(path string) bool {
	first := path
	if at := strings.IndexAny(path, ".["); at >= 0 {
		first = path[:at]
	}
	switch first {
	case "prices", "terms", "alternatives", "currency":
		return true
	}
	switch path[strings.LastIndexByte(path, '.')+1:] {
	case "rate", "cost", "price", "sample-board":
		return true
	}
	return false
}

// clash keeps what was typed as a revision beside the others and tells both.
func (f *Frame) clash(ctx context.Context, base, head store.Revision, changes []job.Change, clashing []Clashing, shown *board.Board) (store.Revision, *Clash, []job.Problem, error) {
	text, problems := job.Apply(base.Text, changes)
	if len(problems) > 0 {
		return head, nil, problems, nil
	}
	c := &Clash{Who: head.By, Head: head.Number, Fields: clashing}
	if c.Who == "" {
		c.Who = "Somebody else"
	}
	_, err := f.Store.Save(ctx, store.Draft{Job: base.Job, Base: base.Number, Text: text, By: Who(ctx).Name, Kind: "edit",
		What: told(changes, shown, f.Board(text))})
	var conflict *store.Conflict
	switch {
	case errors.As(err, &conflict):
		c.Kept = fmt.Sprintf("revision %d", conflict.Kept.Number)
	case err != nil:
		return head, nil, nil, err
	}
	return head, c, nil, nil
}

// changesOf reads the changes of a form against what the page showed.
func changesOf(form url.Values, shown *board.Board) (changes []job.Change, problems []job.Problem) {
	fields := make([]string, 0, len(form))
	for field := range form {
		fields = append(fields, field)
	}
	slices.Sort(fields)
	for _, field := range fields {
		if path, ok := strings.CutPrefix(field, setField); ok {
			value := strings.TrimSpace(strings.Join(form[field][:1], ""))
			if value != shown.Typed(path) {
				changes = append(changes, job.Change{Do: job.Set, Path: path, Value: value})
			}
		}
		if path, ok := strings.CutPrefix(field, listField); ok {
			words := slices.DeleteFunc(slices.Clone(form[field]), func(w string) bool { return w == "" })
			if !slices.Equal(words, wordsAt(shown, path)) {
				changes = append(changes, job.Change{Do: job.Set, Path: path, Value: words})
			}
		}
	}
	for _, act := range form["act"] {
		change, err := actOf(act, form)
		if err != nil {
			problems = append(problems, job.Problem{What: err.Error(), Do: "load the page again"})
			continue
		}
		changes = append(changes, change)
	}
	return changes, problems
}

// wordsAt is a list of words as it stands.
func wordsAt(b *board.Board, path string) []string {
	var words []string
	for i := 0; ; i++ {
		text, ok := b.File.Typed(fmt.Sprintf("%s[%d]", path, i))
		if !ok {
			return words
		}
		words = append(words, text)
	}
}

func actOf(act string, form url.Values) (job.Change, error) {
	deed, rest, _ := strings.Cut(act, ":")
	path, index, numbered := strings.Cut(rest, ":")
	to := -1
	if numbered {
		n, err := strconv.Atoi(index)
		if err != nil {
			return job.Change{}, fmt.Errorf("%q asks for nothing that can be done", act)
		}
		to = n
	}
	switch deed {
	case "remove":
		return job.Change{Do: job.Remove, Path: path}, nil
	case "move":
		return job.Change{Do: job.Move, Path: path, To: to}, nil
	case "add":
		return job.Change{Do: job.Add, Path: path, To: to, Value: newOf(path, index, form)}, nil
	}
	return job.Change{}, fmt.Errorf("%q asks for nothing that can be done", act)
}

// newOf is what is added to a list: a word, or an entry, its own where several may be added.
func newOf(path, index string, form url.Values) any {
	if word := strings.TrimSpace(form.Get(newField + path + ":")); word != "" {
		return word
	}
	if own := entryOf(path+":"+index, form); len(own) > 0 {
		return own
	}
	return entryOf(path, form)
}

// entryOf is the new entry of a list from the fields new:PATH:KEY, name and id first.
func entryOf(path string, form url.Values) job.Group {
	var group job.Group
	for field, values := range form {
		key, ok := strings.CutPrefix(field, newField+path+":")
		if ok && key != "" && !strings.Contains(key, ":") && len(values) > 0 && strings.TrimSpace(values[0]) != "" {
			group = append(group, job.Pair{Key: key, Value: strings.TrimSpace(values[0])})
		}
	}
	rank := func(key string) string {
		switch key {
		case "id":
			return "0"
		case "name", "kind":
			return "1" + key
		}
		return "2" + key
	}
	slices.SortFunc(group, func(a, b job.Pair) int { return strings.Compare(rank(a.Key), rank(b.Key)) })
	return nested(group)
}

// nested turns keys with dots, such as ground.hex, into groups.
func nested(flat job.Group) job.Group {
	var out job.Group
	for _, pair := range flat {
		key, rest, deep := strings.Cut(pair.Key, ".")
		if !deep {
			out = append(out, pair)
			continue
		}
		at := slices.IndexFunc(out, func(p job.Pair) bool { return p.Key == key })
		if at < 0 {
			at = len(out)
			out = append(out, job.Pair{Key: key, Value: job.Group{}})
		}
		out[at].Value = append(out[at].Value.(job.Group), job.Pair{Key: rest, Value: pair.Value})
	}
	return out
}

// step undoes or redoes one revision.
func (f *Frame) step(do func(ctx context.Context, id, by string, may store.May) (store.Revision, error)) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		r.Body = http.MaxBytesReader(w, r.Body, largestForm)
		if _, err := do(r.Context(), r.PathValue("job"), Who(r.Context()).Name, MayBring(r.Context())); err != nil && !errors.Is(err, store.ErrNothing) {
			f.Fail(w, r, err)
			return
		}
		_, _, back := f.back(r)
		http.Redirect(w, r, back, http.StatusSeeOther)
	}
}

// told says in words what a list of changes did, for the history.
func told(changes []job.Change, before, after *board.Board) string {
	var parts []string
	for _, c := range changes {
		switch c.Do {
		case job.Set, job.Clear:
			to := fmt.Sprint(c.Value)
			switch list := c.Value.(type) {
			case []string:
				to = strings.Join(list, ", ")
			case []job.Group:
				to = Counted(len(list), "entry", "entries")
			}
			from := before.Typed(c.Path)
			switch {
			case from == "":
				parts = append(parts, fmt.Sprintf("%s: %s", before.NameOf(c.Path), to))
			case to == "":
				parts = append(parts, fmt.Sprintf("%s taken out, was %s", before.NameOf(c.Path), from))
			default:
				parts = append(parts, fmt.Sprintf("%s: %s, was %s", before.NameOf(c.Path), to, from))
			}
		case job.Add:
			parts = append(parts, "Added "+after.NameOf(fmt.Sprintf("%s[%d]", c.Path, added(c, before))))
		case job.Remove:
			parts = append(parts, "Took out "+before.NameOf(c.Path))
		case job.Move:
			parts = append(parts, "Moved "+before.NameOf(c.Path))
		}
	}
	text := strings.Join(parts, "; ")
	if len(text) > 400 {
		text = fmt.Sprintf("%s; and more, %d changes in all", strings.ToValidUTF8(text[:360], ""), len(changes))
	}
	return text
}

// added is the index an added entry has afterwards.
func added(c job.Change, before *board.Board) int {
	if c.To >= 0 {
		return c.To
	}
	n := 0
	for before.Holds(fmt.Sprintf("%s[%d]", c.Path, n)) {
		n++
	}
	return n
}

// rebased carries changes over to a text that others have changed meanwhile. What
// both changed, to different values, clashes.
func rebased(changes []job.Change, shown, here *board.Board) (mine []job.Change, clashing []Clashing) {
	if bytes.Equal(shown.Text, here.Text) {
		return changes, nil
	}
	for _, c := range changes {
		path, ok := here.Follow(c.Path, shown)
		name := shown.NameOf(c.Path)
		if !ok {
			clashing = append(clashing, Clashing{Name: name, Before: shown.Typed(c.Path), Theirs: "taken out or renamed", Mine: fmt.Sprint(c.Value)})
			continue
		}
		if c.Do == job.Remove && !shown.Alike(c.Path, here, path) {
			clashing = append(clashing, Clashing{Name: name, Before: "as shown", Theirs: "changed or moved", Mine: "taken out"})
			continue
		}
		before, theirs, wanted := shown.Typed(c.Path), here.Typed(path), fmt.Sprint(c.Value)
		if words, list := c.Value.([]string); list {
			before, theirs, wanted = strings.Join(wordsAt(shown, c.Path), ", "), strings.Join(wordsAt(here, path), ", "), strings.Join(words, ", ")
		}
		if c.Do == job.Set && theirs != before {
			if theirs == wanted {
				continue
			}
			clashing = append(clashing, Clashing{Path: path, Name: name, Before: before, Theirs: theirs, Mine: wanted})
			continue
		}
		c.Path = path
		mine = append(mine, c)
	}
	return mine, clashing
}
