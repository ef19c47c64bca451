package schedule

import (
	"scumble/drying"
	"scumble/job"
	"scumble/unit"
)

// Heated is the job with its rooms kept at the temperature of the day through the night, the
// moisture in them staying; false where no hour of its air is colder. Readings of a logger
// are raised to temp of the climate, or where it is not given to the warmest of their day.
func Heated(j *job.Job) (*job.Job, bool) {
	heated := *j
	any := false
	warm := func(c job.Climate, day job.Temp) job.Climate {
		if c.Night.Given() && (!day.Given() || c.Night.Value < day.Value) {
			c.Night, any = job.Temp{}, true
		}
		if log, warmer := heatedLog(c.Log, day); warmer {
			c.Log, any = log, true
		}
		return c
	}
	heated.Climate = warm(j.Climate, j.Climate.Temp)
	heated.Rooms = make([]job.Room, len(j.Rooms))
	for r := range j.Rooms {
		heated.Rooms[r] = j.Rooms[r]
		heated.Rooms[r].Climate = warm(j.Rooms[r].Climate, j.Climate.In(j.Rooms[r].Climate).Temp)
	}
	return &heated, any
}

// heatedLog raises what is colder than it should be; the log itself stays.
func heatedLog(log []job.Reading, day job.Temp) (out []job.Reading, warmer bool) {
	warmest := map[string]unit.Temp{}
	date := func(r *job.Reading) string { return string(r.At[:min(10, len(r.At))]) }
	for i := range log {
		d := date(&log[i])
		if t, known := warmest[d]; !known || log[i].Temp.Value > t {
			warmest[d] = log[i].Temp.Value
		}
	}
	for _, r := range log {
		to := day.Or(warmest[date(&r)])
		old, err := drying.SaturationPressure(r.Temp.Value)
		fresh, err2 := drying.SaturationPressure(to)
		if r.Temp.Value < to && err == nil && err2 == nil {
			if r.Surface.Given() {
				r.Surface.Value += to - r.Temp.Value
				r.Surface.Text = r.Surface.Value.String()
			}
			r.Temp = job.Temp{Text: to.String(), Value: to}
			r.Humidity.Value *= unit.Humidity(old / fresh)
			r.Humidity.Text = r.Humidity.Value.String()
			warmer = true
		}
		out = append(out, r)
	}
	return out, warmer
}
