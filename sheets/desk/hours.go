package desk

import "time"

// OpenHours are the first and the last hour of the crew's day, after midnight.
func (d *Desk) OpenHours() (opens, closes time.Duration) {
	opens, closes = 8*time.Hour, 17*time.Hour
	if spans := d.Plan.Job.Crew.Hours; len(spans) > 0 {
		opens = time.Duration(spans[0].From) * time.Minute
		closes = time.Duration(spans[len(spans)-1].To) * time.Minute
	}
	return opens, closes
}
