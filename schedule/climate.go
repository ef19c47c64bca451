package schedule

import (
	"fmt"

	"scumble/catalog"
	"scumble/drying"
	"scumble/job"
	"scumble/survey"
	"scumble/unit"
)

// climate gives each activity its air. Where the air is on hold it gives the
// nearest air that is not, because nobody paints before that, and says so.
type climate struct {
	n    *network
	d    *catalog.Defaults
	job  job.Climate
	room map[string]job.Climate
	path map[string]string
	told map[string]bool
	seen map[seen]bool
	near map[drying.Air]drying.Air // measured air -> nearest that is not on hold
}

// seen is a product in one air at one place; its holds are looked for once.
type seen struct {
	where   string
	product *catalog.Product
	air     drying.Air
}

func newClimate(n *network, s *survey.Survey, j *job.Job, d *catalog.Defaults) *climate {
	c := &climate{n, d, j.Climate, map[string]job.Climate{}, map[string]string{}, map[string]bool{}, map[seen]bool{}, map[drying.Air]drying.Air{}}
	for _, r := range s.Rooms {
		c.room[r.Name], c.path[r.Name] = r.Climate, r.Path
	}
	return c
}

// measured is the air as the job states it, the reference climate where it does not.
func (c *climate) measured(a *planned) drying.Air {
	room := c.room[a.step.Room]
	air := drying.Air{
		Temp:     room.Temp.Or(c.job.Temp.Or(drying.ReferenceTemp)),
		Humidity: room.Humidity.Or(c.job.Humidity.Or(drying.ReferenceHumidity)),
	}
	air.Surface = air.Temp
	if a.face != nil {
		if at, ok := c.n.walls[a.face.ID]; ok {
			air.Surface = at.wall.Surface.Or(air.Temp)
		}
	}
	return air
}

func (c *climate) of(a *planned) drying.Air {
	measured := c.measured(a)
	if air, known := c.near[measured]; known {
		return air
	}
	air := measured
	limit, margin := drying.Limits(c.d)
	air.Humidity = min(air.Humidity, limit)
	if dew, err := drying.DewPoint(air.Temp, air.Humidity); err == nil {
		air.Surface = max(air.Surface, dew+unit.Temp(margin))
	}
	c.near[measured] = air
	return air
}

// hold warns once for each room, wall and rule in whose air a step may not be
// done, and works out how long what it lays stays wet.
func (c *climate) hold(a *planned) {
	if a.step.Product == nil {
		return
	}
	where, path := a.step.Room, c.path[a.step.Room]
	air := c.measured(a)
	if a.face != nil && air.Surface != air.Temp {
		where, path = a.face.ID, a.face.Path
	}
	var holds []drying.Hold
	if at := (seen{where, a.step.Product, air}); !c.seen[at] {
		c.seen[at] = true
		holds = drying.Holds(air, a.step.Product, c.d)
	}
	for _, h := range holds {
		key := where + "\x00" + h.Rule + "\x00" + h.Figure
		if !c.told[key] {
			c.told[key] = true
			c.n.warn = append(c.n.warn, job.Warning{Path: path, Name: where, Hold: true,
				What: fmt.Sprintf("Nobody paints in this air: %s. The programme counts on it being put right before %s.", h.Figure, a.step.ID),
				Do:   h.Do})
		}
	}
	base := "water" // metallic products are water-borne
	switch f := a.step.Product.Family; f {
	case "oil", "none":
		base = f
	}
	t := a.step.Product.Drying.Touch
	from := unit.Range[unit.Hours]{Low: unit.Hours(t.Low), Likely: unit.Hours(t.Likely), High: unit.Hours(max(t.High, t.Likely))}
	if w, err := drying.Ready(drying.Coat{Base: base, From: from}, c.of(a)); err == nil && w.From.High <= longWait {
		a.dry = w.From
	}
}
