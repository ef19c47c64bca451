package job

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
)

// ImportSurvey brings the rooms and walls of a survey table (CSV) into a job and
// returns the job's new text. Everything else in the job stays as it is, comments
// and order too, and measures stay as they were typed.
//
// The table has the columns room, wall, length, height and openings, parted by
// commas, semicolons or tabs. New walls are added behind the others of their
// room, new rooms behind the other rooms. A wall the job has already gets the
// length and height of the table where they mean something else; a comment keeps
// what stood there. Openings are added to walls without any.
//
// An empty job becomes a new one, with comments that tell what to fill in. When
// there is a problem, in the table or in the job, nothing is brought in.
func ImportSurvey(existing []byte, csvName string, csv []byte) ([]byte, []Problem) {
	rooms, problems := readTable(csvName, csv)
	if len(problems) > 0 {
		return nil, problems
	}
	const name = "job"
	text := strings.ReplaceAll(strings.TrimPrefix(string(existing), "\ufeff"), "\r\n", "\n")
	if strings.TrimSpace(text) == "" {
		text = fmt.Sprintf(skeleton, strings.Map(visible, csvName))
	}
	before, problems := Read(name, []byte(text))
	if len(problems) > 0 {
		return nil, problems
	}
	m := &merger{file: before, table: strings.Map(visible, csvName), edit: newEdit(text)}
	want := *before.Job
	want.Rooms = m.rooms(rooms)
	if len(m.problems) > 0 {
		return nil, Sorted(m.problems)
	}
	out := m.edit.text()
	// The text was edited where the parser said the values are. Reading it again
	// proves that it says what it should, and nothing else.
	if after, problems := Read(name, []byte(out)); len(problems) > 0 || !sameJob(after.Job, &want) {
		return nil, []Problem{{name, before.At("rooms"), "rooms", "the rooms are written in a way the table cannot be brought into", "write each room and wall on lines of its own, as in docs/job-file.md"}}
	}
	if strings.Contains(string(existing), "\r\n") {
		out = strings.ReplaceAll(out, "\n", "\r\n")
	}
	return []byte(out), nil
}

// skeleton is a new job.
const skeleton = `# Made from %s. Fill in what is empty; scumble check lists what is missing,
# and docs/job-file.md explains every field.
scumble: 1
name:          # of the job
date:          # of the survey, such as 2027-03-08
currency:      # ISO 4217 code of all amounts, such as EUR or INR

crew:
  start:       # first day on site
  hours: [08:00-12:00, 13:00-17:00]
  people:
    - name:    # one entry for each applicator
      rate:    # an hour

climate:       # of the rooms during the work, mean of day and night
  temp:        # such as 18 C
  humidity:    # such as 55 %%

finishes:
  - id:        # short name; give it to walls below as finish: NAME
    technique: # id of a technique of the catalog
    with:      # id of the glaze product
    ground:
      name:    # colour of the ground coat
      hex:     # its look on screen, in quotes
    glaze:
      name:
      hex:

terms:
  rule:        # id of the rule the paid area is measured by

# Add to each room: substrate, height for walls without one, closed: true when
# the last wall meets the first. Add to each wall: finish.
rooms:
`

// sameJob compares two jobs; no rooms and an empty list of rooms are the same.
func sameJob(a, b *Job) bool {
	x, y := *a, *b
	if len(x.Rooms) == 0 && len(y.Rooms) == 0 {
		x.Rooms, y.Rooms = nil, nil
	}
	return reflect.DeepEqual(x, y)
}

// merger brings the rooms of a table into those of a job and notes the edits of
// the text that this takes.
type merger struct {
	file     *File
	table    string // its name
	edit     *edit
	problems []Problem
}

func (m *merger) refuse(path, what, do string) {
	m.problems = append(m.problems, Problem{m.file.Name, m.file.At(path), path, what, do})
}

// rooms returns what the rooms of the job should be afterwards. What is added
// inside a room is noted before what comes behind it.
func (m *merger) rooms(table []Room) []Room {
	rooms := slices.Clone(m.file.Job.Rooms)
	var fresh []Room
	for _, from := range table {
		i := slices.IndexFunc(rooms, func(r Room) bool { return strings.EqualFold(r.Name, from.Name) })
		if i < 0 {
			fresh = append(fresh, from)
		} else {
			rooms[i].Walls = m.walls(i, from.Walls)
		}
	}
	if len(fresh) > 0 {
		list := m.list("", "rooms", len(m.file.Job.Rooms))
		for _, r := range fresh {
			rooms = append(rooms, withDefaults(r))
			m.edit.add(list.after, roomLines(r, list.dent))
		}
	}
	return rooms
}

func (m *merger) walls(i int, table []Wall) []Wall {
	room := m.file.Job.Rooms[i]
	walls := slices.Clone(room.Walls)
	path := fmt.Sprintf("rooms[%d]", i)
	var fresh []Wall
	for _, w := range table {
		k := slices.IndexFunc(walls, func(o Wall) bool { return strings.EqualFold(o.Name, w.Name) })
		if k < 0 {
			fresh = append(fresh, w)
			continue
		}
		at := fmt.Sprintf("%s.walls[%d]", path, k)
		m.measure(at, "length", &walls[k].Length, w.Length, Length{})
		m.measure(at, "height", &walls[k].Height, w.Height, room.Height)
		m.openings(at, &walls[k], w.Openings)
	}
	if len(fresh) > 0 {
		list := m.list(path, "walls", len(room.Walls))
		for _, w := range fresh {
			m.edit.add(list.after, wallLines(w, list.dent))
		}
		walls = append(walls, withDefaults(Room{Walls: fresh}).Walls...)
	}
	return walls
}

// measure puts a measure of the table in the place of one of the job, where it
// says something else.
func (m *merger) measure(wall, key string, old *Length, fresh, inherited Length) {
	if !fresh.Given() || same(*old, fresh) || !old.Given() && same(inherited, fresh) {
		return
	}
	path := wall + "." + key
	at, there := m.file.Places[path]
	done := false
	if old.Given() {
		done = m.edit.replace(at, old.Text, plainText(fresh.Text), fmt.Sprintf("%s was %s before %s", key, old.Text, m.table))
	} else if first := m.file.At(wall); !there && !m.edit.inBraces(first) {
		m.edit.add(max(m.file.At(wall+".name").Line, m.file.At(wall+".length").Line), []string{spaces(first.Column-1) + key + ": " + plainText(fresh.Text)})
		done = true
	}
	if !done {
		m.refuse(path, fmt.Sprintf("%s says that the %s is %s", m.table, key, quoted(fresh.Text)), "write it here by hand")
	}
	*old = fresh
}

// openings adds the openings of the table to a wall without any.
func (m *merger) openings(wall string, w *Wall, fresh []Opening) {
	switch {
	case len(fresh) == 0 || sameOpenings(w.Openings, fresh):
	case len(w.Openings) > 0:
		m.refuse(wall+".openings", "the openings are not those of "+m.table, "change them by hand, or empty their cell in the table")
	default:
		w.Openings = withDefaults(Room{Walls: []Wall{{Openings: fresh}}}).Walls[0].Openings
		at := m.file.At(wall)
		m.edit.add(m.edit.lastLine(at), openingLines(fresh, spaces(at.Column-1)))
	}
}

// sameOpenings compares what a table can say of openings.
func sameOpenings(job, table []Opening) bool {
	return slices.EqualFunc(job, table, func(x, y Opening) bool {
		return x.Kind == y.Kind && same(x.Left, y.Left) && same(x.Width, y.Width) && same(x.Height, y.Height) &&
			(!y.Sill.Given() || same(x.Sill, y.Sill)) && (!y.Reveal.Given() || same(x.Reveal, y.Reveal))
	})
}

// withDefaults is a room as Read returns it.
func withDefaults(r Room) Room {
	r.Walls = slices.Clone(r.Walls)
	for i := range r.Walls {
		r.Walls[i].Openings = slices.Clone(r.Walls[i].Openings)
	}
	setDefaults(reflect.ValueOf(&r).Elem())
	return r
}

// spot is where entries can be added to a list.
type spot struct {
	after int // so many lines of the file
	dent  int // spaces before the dash
}

// list finds the end of a list of count entries; an empty one begins after its
// key, which is added to the group when it is not there.
func (m *merger) list(group, key string, count int) spot {
	path := join(group, key)
	at, there := m.file.Places[path]
	switch {
	case count > 0:
		last := m.file.At(fmt.Sprintf("%s[%d]", path, count-1))
		dent := m.edit.dash(last)
		if dent < 0 {
			m.refuse(path, "this list does not have each entry on a line of its own", "begin each entry on a line of its own with a dash")
		}
		return spot{m.edit.lastLine(last), dent}
	case there:
		m.edit.replace(Position{at.Line, at.Column + len(key)}, ": []", ":", "")
		return spot{at.Line, at.Column + 1}
	case group == "":
		end := m.edit.end()
		m.edit.add(end, []string{key + ":"})
		return spot{end, 2}
	}
	first := m.file.At(group)
	end := m.edit.lastLine(first)
	m.edit.add(end, []string{spaces(first.Column-1) + key + ":"})
	return spot{end, first.Column + 1}
}
