//go:build oracle

package programme

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"scumble/sheets/desk"
	"scumble/sheets/internal/papertest"
	"strings"
	"testing"
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
	d := papertest.DemoDesk(t, "A4")
	content, err := Calendar(d)
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
	steps := d.AllSteps()
	for _, task := range d.Plan.Programme.Tasks {
		for n, part := range desk.ByDay(task.Pieces) {
			if i >= len(entries) {
				t.Fatalf("only %d entries", len(entries))
			}
			e := entries[i]
			i++
			title := PlaceWords(steps[task.Step]) + ": " + task.Title
			if n > 0 {
				title += ", going on"
			}
			if e[1] != part.From.Format(floating) || e[2] != part.To.Format(floating) || e[3] != "None" || e[4] != title ||
				!strings.HasPrefix(e[5], PlaceWords(steps[task.Step])) || !strings.HasPrefix(e[6], "People: "+desk.Listed(task.People)) {
				t.Errorf("%s: %q", task.Step, e)
			}
		}
	}
	if i != len(entries) {
		t.Errorf("%d entries, %d wanted", len(entries), i)
	}
}
