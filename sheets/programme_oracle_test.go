//go:build oracle

package sheets

import (
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"scumble/draw"
)

// readCalendar prints uid, start, end, zone, summary, place and people of every entry.
const readCalendar = `
import icalendar, json, sys
cal = icalendar.Calendar.from_ical(open(sys.argv[1], 'rb').read())
out = []
for e in cal.walk('VEVENT'):
    out.append([str(e['UID']), e['DTSTART'].dt.strftime('%Y%m%dT%H%M%S'), e['DTEND'].dt.strftime('%Y%m%dT%H%M%S'),
                str(e['DTSTART'].dt.tzinfo), str(e['SUMMARY']), str(e['LOCATION']), str(e['DESCRIPTION'])])
print(json.dumps(out))
`

// icalendar (Debian package python3-icalendar) reads every entry with its hours,
// its words and no time zone.
func TestOracleCalendarIsRead(t *testing.T) {
	d := demoDesk(t, "A4")
	content, err := d.calendar()
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "programme.ics")
	if err := os.WriteFile(file, content, 0o644); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("/usr/bin/python3", "-c", readCalendar, file).Output()
	if err != nil {
		t.Fatal(err)
	}
	var entries [][]string
	if err := json.Unmarshal(out, &entries); err != nil {
		t.Fatal(err)
	}
	i := 0
	steps := d.allSteps()
	for _, task := range d.plan.Programme.Tasks {
		for n, part := range byDay(task.Pieces) {
			if i >= len(entries) {
				t.Fatalf("only %d entries", len(entries))
			}
			e := entries[i]
			i++
			title := placeWords(steps[task.Step]) + ": " + task.Title
			if n > 0 {
				title += ", going on"
			}
			if e[1] != part.From.Format(floating) || e[2] != part.To.Format(floating) || e[3] != "None" || e[4] != title ||
				!strings.HasPrefix(e[5], placeWords(steps[task.Step])) || !strings.HasPrefix(e[6], "People: "+listed(task.People)) {
				t.Errorf("%s: %q", task.Step, e)
			}
		}
	}
	if i != len(entries) {
		t.Errorf("%d entries, %d wanted", len(entries), i)
	}
}

// qpdf finds no fault, and pdftotext finds every task on a day sheet of each of
// its people.
func TestOracleSitePapersAreSoundAndSearchable(t *testing.T) {
	for _, paper := range []string{"A4", "Letter"} {
		d := demoDesk(t, paper)
		for _, make := range []func(*desk) (draw.Doc, error){(*desk).programme, (*desk).safety, (*desk).inspection} {
			file := pdfFile(t, d, make)
			if out := runTool(t, "qpdf", "--check", file); !strings.Contains(out, "No syntax or stream encoding errors") {
				t.Error(out)
			}
			if fonts := strings.Split(strings.TrimSpace(runTool(t, "pdffonts", file)), "\n"); len(fonts) < 3 {
				t.Errorf("no fonts: %v", fonts)
			} else if slices.ContainsFunc(fonts[2:], func(l string) bool { return !strings.Contains(l, " yes yes yes ") }) {
				t.Errorf("a font is not embedded, cut down and searchable:\n%s", strings.Join(fonts, "\n"))
			}
		}
	}
	d := demoDesk(t, "A4")
	sheets := map[string]string{}
	for _, page := range strings.Split(runTool(t, "pdftotext", pdfFile(t, d, (*desk).programme), "-"), "\f") {
		text := strings.Join(strings.Fields(page), " ")
		if _, rest, ok := strings.Cut(text, "Programme: "); ok {
			for _, day := range d.plan.Programme.Days {
				for _, p := range day.People {
					if name := fmt.Sprintf("%s, %s", p.Name, day.Date.Format("Mon 2 Jan")); strings.HasPrefix(rest, name+" ") {
						sheets[name] += " " + text
					}
				}
			}
		}
	}
	steps := d.allSteps()
	for _, task := range d.plan.Programme.Tasks {
		for _, part := range byDay(task.Pieces) {
			for _, person := range task.People {
				text := sheets[person+", "+part.From.Format("Mon 2 Jan")]
				if !strings.Contains(text, placeWords(steps[task.Step])) || !strings.Contains(text, part.From.Format("15:04")) || !strings.Contains(text, task.Title) {
					t.Errorf("%s is not found on the sheet of %s, %s", task.Step, person, part.From.Format("Mon 2 Jan"))
				}
			}
		}
	}
}
