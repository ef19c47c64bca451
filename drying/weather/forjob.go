package weather

import (
	"time"

	"scumble/job"
	"scumble/unit"
)

// ForJob writes readings as the log of a climate in a job, one for each stretch of every: their
// mean, at their mean time. A job is read by people and kept with each revision, so a reading every
// five minutes would only bury the rest of it. Readings are by time, as the readers give them.
func ForJob(readings []Reading, every time.Duration) []job.Group {
	var out []job.Group
	for i := 0; i < len(readings); {
		from := readings[i].At.Truncate(every)
		var temp, humidity, surface float64
		n, walls, after := 0, 0, time.Duration(0)
		for ; i < len(readings) && readings[i].At.Before(from.Add(every)); i++ {
			r := &readings[i]
			temp += float64(r.Temp)
			humidity += float64(r.Humidity)
			after += r.At.Sub(from)
			n++
			if r.Surface != nil {
				surface += float64(*r.Surface)
				walls++
			}
		}
		g := job.Group{{Key: "at", Value: from.Add(after / time.Duration(n)).Format("2006-01-02 15:04")},
			{Key: "temp", Value: unit.Figure(temp/float64(n), 1) + " C"}, {Key: "humidity", Value: unit.Figure(100*humidity/float64(n), 0) + " %"}}
		if walls > 0 {
			g = append(g, job.Pair{Key: "surface", Value: unit.Figure(surface/float64(walls), 1) + " C"})
		}
		out = append(out, g)
	}
	return out
}
