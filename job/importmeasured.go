package job

import (
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"
)

// ImportMeasured brings measured colours into the text of a job and returns the
// new text with the names they got. Everything else stays as it is. A colour whose
// name the job has already, with other figures, gets a number behind its name; one
// with the same figures is not added again. With a problem nothing is brought in.
func ImportMeasured(existing []byte, colours []Measured) (text []byte, names []string, problems []Problem) {
	const name = "job"
	plain := strings.ReplaceAll(strings.TrimPrefix(string(existing), "\ufeff"), "\r\n", "\n")
	before, problems := Read(name, []byte(plain))
	if len(problems) > 0 {
		return nil, nil, problems
	}
	m := &merger{file: before, edit: newEdit(plain)}
	want := *before.Job
	want.Measured = slices.Clone(want.Measured)
	var lines []string
	for _, c := range colours {
		known := false
		c.Name, known = nameFor(want.Measured, c)
		names = append(names, c.Name)
		if !known {
			want.Measured = append(want.Measured, c)
			lines = append(lines, measuredLines(c)...)
		}
	}
	if len(lines) == 0 {
		return existing, names, nil
	}
	at := m.list("", "measured", len(before.Job.Measured))
	if len(m.problems) > 0 {
		return nil, nil, Sorted(m.problems)
	}
	for i := range lines {
		lines[i] = spaces(at.dent) + lines[i]
	}
	m.edit.add(at.after, lines)
	out := m.edit.text()
	if after, problems := Read(name, []byte(out)); len(problems) > 0 || !reflect.DeepEqual(after.Job.Measured, want.Measured) {
		return nil, nil, []Problem{{name, before.At("measured"), "measured", "the measured colours are written in a way nothing can be added to", "write each on lines of its own, as in docs/job-file.md"}}
	}
	if strings.Contains(string(existing), "\r\n") {
		out = strings.ReplaceAll(out, "\n", "\r\n")
	}
	return []byte(out), names, nil
}

// nameFor is a name nothing else in the list has; known when the list holds this
// very colour.
func nameFor(list []Measured, c Measured) (name string, known bool) {
	for n := 1; ; n++ {
		name = c.Name
		if n > 1 {
			name = fmt.Sprintf("%s (%d)", c.Name, n)
		}
		i := slices.IndexFunc(list, func(m Measured) bool { return strings.EqualFold(m.Name, name) })
		if i < 0 {
			return name, false
		}
		same := list[i]
		same.Name, same.Source = c.Name, c.Source
		if reflect.DeepEqual(same, c) {
			return list[i].Name, true
		}
	}
}

func measuredLines(m Measured) []string {
	lines := []string{"- name: " + plainText(m.Name)}
	if len(m.Values) > 0 {
		lines = append(lines, fmt.Sprintf("  from: %d", m.From), fmt.Sprintf("  step: %d", m.Step), "  values: "+figureList(m.Values))
	} else {
		lines = append(lines, "  lab: "+figureList(m.Lab), "  under: "+m.Under)
	}
	if m.Source != "" {
		lines = append(lines, "  source: "+plainText(m.Source))
	}
	return lines
}

func figureList(values []float64) string {
	texts := make([]string, len(values))
	for i, v := range values {
		texts[i] = strconv.FormatFloat(v, 'f', -1, 64)
	}
	return "[" + strings.Join(texts, ", ") + "]"
}
