package drying

import (
	"cmp"
	"math"
	"slices"
	"time"

	"scumble/catalog"
	"scumble/job"
	"scumble/unit"
)

// Place is where a coat dries, as the job tells it.
type Place struct {
	Air     job.Climate // of the room
	Surface job.Temp    // of the wall
	Outside bool        // the open air is behind the wall
	First   time.Time   // midnight before the first day on site
}

// Climate is the air there hour by hour. Without figures it is that of the
// reference; a log of less than a day counts for nothing.
func (p Place) Climate(d *catalog.Defaults) Climate {
	day := Air{Temp: p.Air.Temp.Or(ReferenceTemp), Humidity: p.Air.Humidity.Or(ReferenceHumidity)}
	day.Surface = p.Surface.Or(day.Temp)
	c := Steady(day)
	if p.Air.Night.Given() && p.Air.Night.Value < day.Temp {
		c = Daily(day, p.Air.Night.Value, warmest)
	}
	if logged, whole := hourly(p.Air.Log, p.First); whole {
		c = logged
		if p.Surface.Given() { // measured by day, as far below the air at every other hour
			under := day.Surface - day.Temp
			c = c.With(func(_ int, a Air) Air { a.Surface += under; return a })
		}
	}
	if p.Outside && p.Air.Outdoors.Given() && !p.Surface.Given() {
		c = c.OnOutsideWall(d.OutsideShare.Likely, p.Air.Outdoors.Value)
	}
	c.Speed = Draught(p.Air.Draught, d)
	return c
}

// WaitBy is the rule by which coats are held to be dry there.
func (p Place) WaitBy() string { return cmp.Or(p.Air.WaitBy, ByLater) }

// warmest hour of a room that is only known by day and by night (own default).
const warmest = 15

// Draughts are the words for what moves the air, from still to fast.
var Draughts = []string{"none", "door", "window", "fan"}

// Draught is the speed of the air along the walls for one of Draughts, m/s.
func Draught(word string, d *catalog.Defaults) float64 {
	if d == nil {
		return ReferenceSpeed
	}
	switch word {
	case "door":
		return d.AirDoor.Likely
	case "window":
		return d.AirWindow.Likely
	case "fan":
		return d.AirFan.Likely
	}
	return ReferenceSpeed
}

// hourly turns readings into hours, each with the air at its middle, on the straight
// line between the readings beside it.
func hourly(log []job.Reading, first time.Time) (Climate, bool) {
	type point struct {
		hour float64
		air  Air
	}
	var points []point
	for _, r := range log {
		at, err := time.Parse("2006-01-02 15:04", string(r.At))
		if err != nil {
			continue
		}
		points = append(points, point{at.Sub(first).Hours(), Air{r.Temp.Value, r.Humidity.Value, r.Surface.Or(r.Temp.Value)}})
	}
	if len(points) < 2 {
		return Climate{}, false
	}
	slices.SortStableFunc(points, func(a, b point) int { return cmp.Compare(a.hour, b.hour) })
	from, to := int(math.Floor(points[0].hour)), int(math.Ceil(points[len(points)-1].hour))
	if to-from < hoursADay {
		return Climate{}, false
	}
	c := Climate{First: from}
	k := 0
	for h := from; h < to; h++ {
		middle := float64(h) + 0.5
		for k < len(points)-2 && points[k+1].hour < middle {
			k++
		}
		a, b := points[k], points[k+1]
		share := 0.0
		if b.hour > a.hour {
			share = min(1, max(0, (middle-a.hour)/(b.hour-a.hour)))
		}
		between := func(x, y float64) float64 { return x + share*(y-x) }
		c.Air = append(c.Air, Air{unit.Temp(between(float64(a.air.Temp), float64(b.air.Temp))), unit.Humidity(between(float64(a.air.Humidity), float64(b.air.Humidity))),
			unit.Temp(between(float64(a.air.Surface), float64(b.air.Surface)))})
	}
	return c, true
}
