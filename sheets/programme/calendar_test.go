package programme

import (
	"bytes"
	"slices"
	"strings"
	"testing"
	"time"

	"scumble/schedule"
	"scumble/sheets/desk"
	"scumble/sheets/internal/papertest"
)

// RFC 5545: lines end in CR LF and hold at most 75 octets (3.1); a time without Z
// and zone floats (3.3.5, form 1); UIDs are one of a kind (3.8.4.7).
func TestCalendarKeepsToTheRules(t *testing.T) {
	d := papertest.DemoDesk(t, "A4")
	content, err := Calendar(d)
	if err != nil {
		t.Fatal(err)
	}
	if n := bytes.Count(content, []byte("\n")); n != bytes.Count(content, []byte("\r\n")) {
		t.Error("a line does not end in CR LF")
	}
	var uids []string
	starts := map[string]int{}
	for _, line := range strings.Split(strings.TrimSuffix(string(content), "\r\n"), "\r\n") {
		if len(line) > 75 {
			t.Errorf("%d octets: %s", len(line), line)
		}
		name, value, _ := strings.Cut(line, ":")
		switch name {
		case "UID":
			uids = append(uids, value)
		case "DTSTART", "DTEND":
			if _, err := time.Parse(floating, value); err != nil {
				t.Errorf("%s: %v", line, err)
			}
			starts[name+value]++
		case "DTSTAMP":
			if value != "20270215T000000Z" {
				t.Errorf("%s is not the date of the job", line)
			}
		}
		if strings.Contains(line, "TZID") {
			t.Error(line)
		}
	}
	entries := 0
	for _, task := range d.Plan.Programme.Tasks {
		for _, part := range desk.ByDay(task.Pieces) {
			entries++
			starts["DTSTART"+part.From.Format(floating)]--
			starts["DTEND"+part.To.Format(floating)]--
		}
	}
	for at, n := range starts {
		if n != 0 {
			t.Errorf("%s: %d entries too many", at, n)
		}
	}
	slices.Sort(uids)
	if len(uids) != entries || len(slices.Compact(uids)) != entries {
		t.Errorf("%d different UIDs for %d entries", len(slices.Compact(uids)), entries)
	}
}

// A calendar made again after the programme has moved replaces its entries: the
// UIDs stay.
func TestCalendarKeepsItsIdentities(t *testing.T) {
	d := papertest.OwnDesk(t, "A4")
	uids := func() []string {
		content, err := Calendar(d)
		if err != nil {
			t.Fatal(err)
		}
		return slices.DeleteFunc(strings.Split(string(content), "\r\n"), func(l string) bool { return !strings.HasPrefix(l, "UID:") })
	}
	before := uids()
	p, prog := *d.Plan, *d.Plan.Programme
	prog.Tasks = slices.Clone(prog.Tasks)
	for i := range prog.Tasks {
		prog.Tasks[i].Pieces = slices.Clone(prog.Tasks[i].Pieces)
		for n := range prog.Tasks[i].Pieces {
			piece := &prog.Tasks[i].Pieces[n]
			piece.From, piece.To = piece.From.AddDate(0, 0, 7), piece.To.AddDate(0, 0, 7)
		}
	}
	p.Programme, d.Plan = &prog, &p
	if after := uids(); !slices.Equal(before, after) {
		t.Error("a week later the UIDs are others")
	}
}

func TestStretchesOfOneDayAreOneEntry(t *testing.T) {
	at := func(day, h int) time.Time { return papertest.Midnight(day).Add(time.Duration(h) * time.Hour) }
	got := desk.ByDay([]schedule.Piece{{From: at(8, 11), To: at(8, 12)}, {From: at(8, 13), To: at(8, 16)}, {From: at(9, 8), To: at(9, 9)}})
	want := []schedule.Piece{{From: at(8, 11), To: at(8, 16)}, {From: at(9, 8), To: at(9, 9)}}
	if !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
}

func TestSlug(t *testing.T) {
	for in, want := range map[string]string{"Breakfast room/North#ground-2": "breakfast-room-north-ground-2",
		"BH-2027-03": "bh-2027-03", "Größe, Süd": "größe-süd", "भवन/उत्तर#prime": "भवन-उत-तर-prime", "": ""} {
		if got := slug(in); got != want {
			t.Errorf("%q became %q, want %q", in, got, want)
		}
	}
}
