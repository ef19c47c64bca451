package job

import (
	"fmt"
	"maps"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// model is a job as a plain tree, with changes made in the most simple way.
type model struct {
	text   string
	fields map[string]*model
	keys   []string
	list   []*model
	isList bool
}

// typed is what Read is to find typed in the model, by path.
func (m *model) typed(path string, into map[string]string) map[string]string {
	if m.text != "" {
		into[path] = m.text
	}
	for key, kid := range m.fields {
		if key != "unknown" {
			kid.typed(join(path, key), into)
		}
	}
	for i, kid := range m.list {
		kid.typed(fmt.Sprintf("%s[%d]", path, i), into)
	}
	return into
}

func (m *model) put(key string, value *model) {
	if m.fields == nil {
		m.fields = map[string]*model{}
	}
	if !slices.Contains(m.keys, key) {
		m.keys = append(m.keys, key)
	}
	m.fields[key] = value
}

func (m *model) at(steps []pathStep, create bool) *model {
	for _, s := range steps {
		if s.key == "" {
			m = m.list[s.index]
			continue
		}
		if m.fields[s.key] == nil {
			if !create {
				return nil
			}
			m.put(s.key, &model{})
		}
		m = m.fields[s.key]
	}
	return m
}

func modelOf(value any) *model {
	m := &model{}
	switch v := value.(type) {
	case string:
		m.text = strings.TrimSpace(v)
	case []string:
		m.isList = true
		for _, text := range v {
			m.list = append(m.list, modelOf(text))
		}
	case Group:
		for _, p := range v {
			m.put(p.Key, modelOf(p.Value))
		}
	}
	return m
}

func (m *model) make(c Change) {
	steps, _ := stepsOf(c.Path)
	last := steps[len(steps)-1]
	switch c.Do {
	case Set:
		*m.at(steps, true) = *modelOf(c.Value)
	case Add:
		list := m.at(steps, true)
		list.isList = true
		to := c.To
		if to < 0 {
			to = len(list.list)
		}
		list.list = slices.Insert(list.list, to, modelOf(c.Value))
	case Clear, Remove:
		if last.key != "" {
			if group := m.at(steps[:len(steps)-1], false); group != nil {
				delete(group.fields, last.key)
			}
			return
		}
		list := m.at(steps[:len(steps)-1], false)
		list.list = slices.Delete(list.list, last.index, last.index+1)
	case Move:
		list := m.at(steps[:len(steps)-1], false)
		entry := list.list[last.index]
		list.list = slices.Insert(slices.Delete(list.list, last.index, last.index+1), c.To, entry)
	}
}

// hand writes a model as somebody with habits of their own would.
type hand struct {
	t     *rapid.T
	count int // comments so far
}

func (h *hand) now(one, in int) bool { return rapid.IntRange(1, in).Draw(h.t, "") <= one }

func (h *hand) comment() string {
	h.count++
	return fmt.Sprintf("# c%d.", h.count)
}

func (h *hand) behind(line string) string {
	if h.now(1, 6) {
		return line + "  " + h.comment()
	}
	return line
}

// above is what stands over a field or an entry.
func (h *hand) above(dent int) (lines []string) {
	if h.now(1, 8) {
		lines = append(lines, "")
	}
	if h.now(1, 8) {
		lines = append(lines, spaces(dent)+h.comment())
	}
	return lines
}

func (h *hand) scalar(text string, inside bool) string {
	switch rapid.IntRange(0, 4).Draw(h.t, "quotes") {
	case 0:
		return jsonText(text)
	case 1:
		if !strings.Contains(text, "\n") {
			return "'" + strings.ReplaceAll(text, "'", "''") + "'"
		}
	}
	if inside {
		return flowText(text)
	}
	return plainText(text)
}

func (h *hand) inside(m *model) string {
	if m.text != "" {
		return h.scalar(m.text, true)
	}
	airy := h.now(1, 8)
	var parts []string
	for _, key := range m.keys {
		if m.fields[key] != nil {
			parts = append(parts, key+": "+h.inside(m.fields[key]))
		}
	}
	for _, kid := range m.list {
		parts = append(parts, h.inside(kid))
	}
	pad := rapid.SampledFrom([]string{"", "", " "}).Draw(h.t, "pad")
	text := pad
	for i, part := range parts {
		text += part
		switch {
		case i == len(parts)-1:
		case airy:
			text += ",  " + h.comment() + "\n" + spaces(30)
		default:
			text += rapid.SampledFrom([]string{", ", ", ", ","}).Draw(h.t, "comma")
		}
	}
	text += pad
	if m.isList {
		return "[" + text + "]"
	}
	return "{" + text + "}"
}

// write writes what stands behind a key or a dash.
func (h *hand) write(head string, m *model, dent int) []string {
	switch {
	case m.text != "" && h.now(1, 10):
		lines := []string{h.behind(head + " |-")}
		for _, line := range strings.Split(m.text, "\n") {
			lines = append(lines, spaces(dent+4)+line)
		}
		return lines
	case m.text != "":
		return []string{h.behind(head + " " + h.scalar(m.text, false))}
	case !m.isList && len(m.fields) == 0:
		return []string{h.behind(head)}
	case h.now(1, 4) || len(m.list)+len(m.fields) == 0:
		return strings.Split(h.behind(head+" "+h.inside(m)), "\n")
	}
	lines := []string{h.behind(head)}
	step := rapid.SampledFrom([]int{2, 2, 4, 0}).Draw(h.t, "step")
	if m.isList {
		for _, kid := range m.list {
			lines = append(lines, h.above(dent+step)...)
			lines = append(lines, h.entry(kid, dent+step)...)
		}
		return lines
	}
	return append(lines, h.group(m, dent+max(step, 2))...)
}

func (h *hand) entry(m *model, dent int) []string {
	head := spaces(dent) + "-"
	if m.text != "" || m.isList || len(m.fields) == 0 || h.now(1, 3) {
		if len(m.fields) > 0 {
			return strings.Split(h.behind(head+" "+h.inside(m)), "\n")
		}
		if m.text == "" {
			return []string{head + " {}"}
		}
		return h.write(head, m, dent)
	}
	lines := h.group(m, dent+2)
	if h.now(1, 5) || strings.TrimSpace(lines[0]) == "" || lines[0][dent+2] == '#' {
		return append([]string{h.behind(head)}, lines...)
	}
	lines[0] = head + lines[0][dent+1:]
	return lines
}

func (h *hand) group(m *model, dent int) (lines []string) {
	for _, key := range m.keys {
		if m.fields[key] != nil {
			lines = append(lines, h.above(dent)...)
			lines = append(lines, h.write(spaces(dent)+key+":", m.fields[key], dent)...)
		}
	}
	return lines
}

var typings = []string{"4.2 m", `13'9"`, "a, b", "x: y", "#fff", "- x", "{", "true", "änderung", "\"", "'", "two\nlines", "% x", "null", "a #b", "C:", "@", "&x", "*", "!t", "?", "-", "~", "2027-03-09 14:00", "a\\b", "|", ">", "[x]", "...", "---", "7", "é: è", "..", "a\u2028b", "a\tb", "= b", "<<"}

func drawModel(t *rapid.T) *model {
	text := func() any {
		return rapid.SampledFrom(append(slices.Clone(typings[:12]), "North", "Hall", "3 m")).Draw(t, "text")
	}
	some := func(n int, make func() any) *model {
		m := &model{isList: true}
		for range rapid.IntRange(1, n).Draw(t, "count") {
			m.list = append(m.list, modelOf(make()))
		}
		return m
	}
	root := modelOf(Group{{"scumble", "1"}, {"name", text()}})
	maybe := func(m *model, key string, value func() *model) {
		if rapid.IntRange(0, 2).Draw(t, key) > 0 {
			m.put(key, value())
		}
	}
	leaf := func() *model { return modelOf(text()) }
	maybe(root, "place", leaf)
	maybe(root, "unknown", func() *model { return modelOf(Group{{"some", "thing"}, {"list", []string{"a", "b"}}}) })
	maybe(root, "crew", func() *model {
		m := modelOf(Group{{"start", "soon"}})
		maybe(m, "days", func() *model { return some(3, text) })
		maybe(m, "people", func() *model {
			return some(2, func() any { return Group{{"name", text()}, {"off", []string{"2027-03-09", "x"}}} })
		})
		return m
	})
	maybe(root, "rooms", func() *model {
		rooms := &model{isList: true}
		for range rapid.IntRange(1, 3).Draw(t, "rooms") {
			room := modelOf(Group{{"name", text()}})
			maybe(room, "climate", func() *model { return modelOf(Group{{"temp", "18 C"}}) })
			maybe(room, "unknown", leaf)
			maybe(room, "walls", func() *model {
				return some(3, func() any {
					return Group{{"name", text()}, {"dado", Group{{"height", text()}}}, {"length", text()}}[rapid.IntRange(0, 1).Draw(t, "from"):]
				})
			})
			if walls := room.fields["walls"]; walls != nil {
				for _, w := range walls.list {
					maybe(w, "openings", func() *model {
						return some(2, func() any { return Group{{"kind", text()}, {"paint", []string{"sides", "head"}}, {"left", text()}} })
					})
				}
			}
			rooms.list = append(rooms.list, room)
		}
		return rooms
	})
	maybe(root, "terms", func() *model { return modelOf(Group{{"rule", text()}, {"not-included", []string{"a", "b b", "c"}}}) })
	maybe(root, "alternatives", func() *model {
		return some(2, func() any { return Group{{"name", text()}, {"swap", Group{{"weave", "drag"}, {"x", text()}}}} })
	})
	return root
}

// places are the paths of single values and of lists.
func (m *model) places(path string) (leaves, lists []string) {
	if m.text != "" {
		leaves = append(leaves, path)
	}
	if m.isList {
		lists = append(lists, path)
	}
	for _, key := range m.keys {
		if kid := m.fields[key]; kid != nil && key != "unknown" && key != "scumble" {
			a, b := kid.places(join(path, key))
			leaves, lists = append(leaves, a...), append(lists, b...)
		}
	}
	for i, kid := range m.list {
		a, b := kid.places(fmt.Sprintf("%s[%d]", path, i))
		leaves, lists = append(leaves, a...), append(lists, b...)
	}
	return leaves, lists
}

func drawChange(t *rapid.T, m *model) Change {
	leaves, lists := m.places("")
	typing := func() string { return rapid.SampledFrom(typings).Draw(t, "typing") }
	absent := []string{"name", "place", "client", "climate.temp", "building.built", "crew.travel.hours", "terms.rule"}
	if rooms := m.fields["rooms"]; rooms != nil && len(rooms.list) > 0 {
		absent = append(absent, "rooms[0].climate.temp", "rooms[0].climate.humidity", "rooms[0].height", "rooms[0].old-colour.name")
		if walls := rooms.list[0].fields["walls"]; walls != nil && len(walls.list) > 0 {
			absent = append(absent, "rooms[0].walls[0].name", "rooms[0].walls[0].dado.height", "rooms[0].walls[0].dado.rail", "rooms[0].walls[0].ridge.at", "rooms[0].walls[0].finish")
		}
	}
	kind := rapid.IntRange(0, 9).Draw(t, "deed")
	switch {
	case kind < 3 && len(leaves) > 0:
		return Change{Do: Set, Path: rapid.SampledFrom(leaves).Draw(t, "path"), Value: typing()}
	case kind == 3 && len(leaves) > 0:
		return Change{Do: Clear, Path: rapid.SampledFrom(leaves).Draw(t, "path")}
	case kind < 6 || len(lists) == 0:
		return Change{Do: Set, Path: rapid.SampledFrom(absent).Draw(t, "path"), Value: typing()}
	}
	path := rapid.SampledFrom(lists).Draw(t, "list")
	steps, _ := stepsOf(path)
	n := len(m.at(steps, false).list)
	words := wordFor(typeAt(append(steps, pathStep{index: 0}))) != ""
	switch {
	case kind == 6 && words:
		return Change{Do: Set, Path: path, Value: []string{"x y", typing()}}
	case kind <= 7 || n == 0:
		c := Change{Do: Add, Path: path, To: rapid.IntRange(-1, n).Draw(t, "to"), Value: typing()}
		if !words {
			c.Value = Group{{"name", typing()}}
			if strings.HasSuffix(path, "openings") {
				c.Value = Group{{"kind", "door"}, {"paint", []string{"head"}}}
			}
		}
		return c
	case kind == 8:
		return Change{Do: Remove, Path: fmt.Sprintf("%s[%d]", path, rapid.IntRange(0, n-1).Draw(t, "index"))}
	}
	return Change{Do: Move, Path: fmt.Sprintf("%s[%d]", path, rapid.IntRange(0, n-1).Draw(t, "index")), To: rapid.IntRange(0, n-1).Draw(t, "to")}
}

var numbered = regexp.MustCompile(`# c\d+\.`)

// However a job is written: after changes Read finds typed in it what they ask for and
// what was there, and no comment is lost but with what it stands in.
func TestApplyHoweverItIsWritten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := drawModel(t)
		h := &hand{t: t}
		src := strings.Join(h.group(m, 0), rapid.SampledFrom([]string{"\n", "\r\n"}).Draw(t, "ends")) + "\n"
		f, _ := Read("x", []byte(src))
		if want := m.typed("", map[string]string{}); !maps.Equal(f.typed, want) {
			t.Fatalf("not as it was meant:\n%s", src)
		}
		text := []byte(src)
		for range rapid.IntRange(1, 4).Draw(t, "changes") {
			c := drawChange(t, m)
			got, problems := Apply(text, []Change{c})
			if len(problems) > 0 {
				t.Fatalf("%v: %v\n%s", c, problems, text)
			}
			m.make(c)
			f, _ := Read("x", got)
			if want := m.typed("", map[string]string{}); !maps.Equal(f.typed, want) {
				t.Fatalf("%v\n%s\nbecame\n%s\n%v\n%v", c, text, got, f.typed, want)
			}
			old, fresh := numbered.FindAllString(string(text), -1), numbered.FindAllString(string(got), -1)
			slices.Sort(old)
			slices.Sort(fresh)
			lost := slices.DeleteFunc(slices.Clone(old), func(c string) bool { return slices.Contains(fresh, c) })
			if len(fresh)+len(lost) != len(old) || len(lost) > 0 && c.Do != Remove && c.Do != Clear {
				t.Fatalf("%v\n%s\nbecame\n%s\ncomments %v became %v", c, text, got, old, fresh)
			}
			text = got
		}
	})
}

// Every value of the demonstration can be replaced and put back; nothing but its line changes.
func TestApplyLeavesOtherLines(t *testing.T) {
	src, err := os.ReadFile("../examples/bellwether/job.yaml")
	if err != nil {
		t.Fatal(err)
	}
	file, _ := Read("x", src)
	lines := strings.Split(string(src), "\n")
	for i, path := range slices.Sorted(maps.Keys(file.typed)) {
		if i%9 != 0 || path == "scumble" { // without the version nothing else is read
			continue
		}
		value := typings[i/9%len(typings)]
		got, problems := Apply(src, []Change{{Do: Set, Path: path, Value: value}})
		if len(problems) > 0 {
			t.Fatal(path, value, problems)
		}
		after, _ := Read("x", got)
		if text, _ := after.Typed(path); text != value {
			t.Errorf("%s is %q, want %q", path, text, value)
		}
		changed := 0
		fresh := strings.Split(string(got), "\n")
		for k := range min(len(lines), len(fresh)) {
			if lines[k] != fresh[k] {
				changed++
			}
		}
		if changed != 1 || len(fresh) != len(lines) {
			t.Errorf("%s = %q: %d lines changed, %d became %d", path, value, changed, len(lines), len(fresh))
		}
		back, problems := Apply(got, []Change{{Do: Set, Path: path, Value: file.typed[path]}})
		if again, _ := Read("x", back); len(problems) > 0 || !maps.Equal(again.typed, file.typed) {
			t.Errorf("%s: the way back leads elsewhere: %v", path, problems)
		}
	}
}
