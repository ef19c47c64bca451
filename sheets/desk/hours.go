package desk

import (
	"slices"
	"time"

	"scumble/job"
)

// OpenHours are the first and the last hour of the crew's day, after midnight.
func (d *Desk) OpenHours() (opens, closes time.Duration) {
	opens, closes = 8*time.Hour, 17*time.Hour
	if spans := d.Plan.Job.Crew.Hours; len(spans) > 0 {
		opens = time.Duration(spans[0].From) * time.Minute
		closes = time.Duration(spans[len(spans)-1].To) * time.Minute
	}
	return opens, closes
}

// WorksOn reports whether the crew works on a day of the calendar.
func (d *Desk) WorksOn(date time.Time) bool {
	days := d.Plan.Job.Crew.Days
	if len(days) == 0 {
		days = []string{"Mon", "Tue", "Wed", "Thu", "Fri"}
	}
	return slices.Contains(days, date.Format("Mon")) &&
		!slices.Contains(d.Plan.Job.Crew.Closed, job.Date(date.Format(time.DateOnly)))
}
