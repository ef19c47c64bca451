package programme

import (
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"

	ics "github.com/arran4/golang-ical"

	"scumble/job"
	"scumble/schedule"
	"scumble/sheets/desk"
)

// Calendar is the programme for a calendar program: an entry for each step and
// day (RFC 5545). Times float: they are those of the clock on the wall at the
// place of work, whatever zone the reader is in (3.3.5, form 1).
func Calendar(d *desk.Desk) ([]byte, error) {
	j := d.Plan.Job
	cal := ics.NewCalendar()
	cal.SetProductId("-//scumble//programme//EN")
	cal.SetName(j.Name)
	cal.SetXWRCalName(j.Name)
	ref := j.Reference
	if ref == "" {
		ref = j.Name
	}
	steps := d.AllSteps()
	used := map[string]int{}
	for i := range d.Plan.Programme.Tasks {
		task := &d.Plan.Programme.Tasks[i]
		base := slug(ref) + "-" + slug(task.Step)
		if used[base]++; used[base] > 1 {
			base += fmt.Sprintf("-%d", used[base])
		}
		for n, part := range desk.ByDay(task.Pieces) {
			uid := base
			if n > 0 {
				uid += fmt.Sprintf("-day-%d", n+1)
			}
			addEvent(d, cal, uid+"@scumble", part, n > 0, task, workWords(entry{step: steps[task.Step], task: task}))
		}
	}
	return []byte(cal.Serialize(ics.WithNewLineWindows)), nil
}

func addEvent(d *desk.Desk, cal *ics.Calendar, uid string, part schedule.Piece, goesOn bool, task *schedule.Task, do []string) {
	e := cal.AddEvent(uid)
	e.SetProperty(ics.ComponentPropertyDtstamp, stamp(d.Plan.Job.Date))
	e.SetProperty(ics.ComponentPropertyDtStart, part.From.Format(floating))
	e.SetProperty(ics.ComponentPropertyDtEnd, part.To.Format(floating))
	where := task.Room
	if wall := desk.WallName(task.Face); wall != "" {
		where += ", " + wall
	}
	title := where + ": " + task.Title
	if goesOn {
		title += ", going on"
	}
	e.SetSummary(title)
	place := where
	if d.Plan.Job.Place != "" {
		place += ", " + d.Plan.Job.Name + ", " + d.Plan.Job.Place
	}
	e.SetLocation(place)
	e.AddProperty(ics.ComponentPropertyCategories, task.Kind)
	lines := []string{"People: " + desk.Listed(task.People)}
	if task.Stand != "" {
		lines = append(lines, "Stand: "+task.Stand)
	}
	lines = append(lines, do...)
	wet := !task.Ready.Until.IsZero() && task.Ready.Until.Before(task.Ready.Earliest) // the next step goes on wet
	if !task.Ready.Latest.IsZero() && !wet {
		lines = append(lines, "Dry "+desk.BetweenWords(task.Ready.Earliest, task.Ready.Latest)+".")
	}
	if !task.Ready.Until.IsZero() {
		lines = append(lines, "Next coat no later than "+desk.HourOf(task.Ready.Until)+".")
	}
	e.SetDescription(strings.Join(slices.DeleteFunc(lines, func(l string) bool { return l == "" }), "\n"))
}

// floating is a date and time without a zone.
const floating = "20060102T150405"

// stamp is the moment the entries were made, taken from the job: a stamp in UTC
// that does not depend on any clock.
func stamp(date job.Date) string {
	t, err := time.Parse(time.DateOnly, string(date))
	if err != nil {
		t = time.Unix(0, 0).UTC()
	}
	return t.Format(floating) + "Z"
}

// slug keeps letters of any script and figures; all else becomes a hyphen.
func slug(s string) string {
	words := strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	return strings.Join(words, "-")
}
