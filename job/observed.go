package job

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"scumble/unit"
)

// In is what was seen, in a unit the catalog counts paces and times in: h, min, m2/h or
// m/h. A bare number is refused, for minutes would pass for hours.
func (o *Observed) In(measure string) (float64, error) {
	v, wrong := o.in(measure)
	if wrong != nil {
		return 0, errors.New(wrong.what + "; " + wrong.do)
	}
	return v, nil
}

func (o *Observed) in(measure string) (float64, *fault) {
	var v float64
	var err error
	do := "write a time, such as 14 min or 1 h 30 min"
	switch measure {
	case "h", "min":
		var t unit.Hours
		t, err = unit.ParseHours(o.Value)
		if v = float64(t); measure == "min" {
			v = math.Round(v*60*1e9) / 1e9 // 2 min are 2, and not a hair less
		}
	case "m2/h":
		var p unit.Pace
		p, err = unit.ParsePace(o.Value)
		v, do = float64(p), "write a pace by area, such as 16 m2/h"
	case "m/h":
		var p unit.Pace
		p, err = unit.ParseEdgePace(o.Value)
		v, do = float64(p), "write a pace along an edge, such as 80 m/h"
	default:
		return 0, &fault{quoted(o.Value) + " cannot be read in " + measure, "replace the figure with figures instead"}
	}
	const largest = 1e6 // beyond it, and below its inverse, a slip of the pen
	switch {
	case err != nil:
		wrong := parted(err)
		return 0, &fault{wrong.what, do}
	case strings.Trim(o.Value, "0123456789., ½¼¾/") == "":
		return 0, &fault{quoted(o.Value) + " has no unit", do}
	case v < 1/largest || v > largest:
		return 0, &fault{quoted(o.Value) + " is no pace and no time that could be seen", do}
	}
	return v, nil
}

// observed checks that the air of a time is given whole.
func (c *checker) observed() {
	for i := range c.file.Job.Observed {
		o, path := &c.file.Job.Observed[i], fmt.Sprintf("observed[%d]", i)
		switch {
		case o.Temp.Given() && !o.Humidity.Given() && !c.file.missed(path+".humidity"):
			c.lack(path+".humidity", "add the humidity of that air, or take its temperature out")
		case o.Humidity.Given() && !o.Temp.Given() && !c.file.missed(path+".temp"):
			c.lack(path+".temp", "add the temperature of that air, or take its humidity out")
		}
	}
}

// observation checks one against the figure of the catalog it is of.
func (c *checker) observation(path string, o *Observed, ids Known) {
	if ids.Learn == nil || o.Of == "" {
		return
	}
	measure, ok, why := ids.Learn(o.Of)
	switch {
	case !ok:
		c.add(path+".of", quoted(o.Of)+" is no figure of the catalog", "write its path, such as techniques/dragging/pair.work")
		return
	case why != nil:
		c.add(path+".of", o.Of+" cannot be learned: "+why.Error(), "take the entry out, or replace the figure with figures")
		return
	}
	if o.Value == "" {
		return
	}
	if _, wrong := o.in(measure); wrong != nil {
		c.add(path+".value", wrong.what, wrong.do)
	}
}
