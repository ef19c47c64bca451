package drying

import (
	"fmt"
	"math"

	"scumble/catalog"
	"scumble/unit"
)

// Limits that hold where the defaults give none (own defaults; the 3 K is practice
// built on ISO 8502-4 and ISO 12944-7).
const (
	humidityHold = 0.85
	dewMargin    = 3.0
)

// Limits are the humidity at which nobody paints (ratio) and the least distance
// of a wall from the dew point (K), from d where it has them.
func Limits(d *catalog.Defaults) (humidity unit.Humidity, margin float64) {
	humidity, margin = humidityHold, dewMargin
	if d != nil && d.HumidityHold.Likely > 0 {
		humidity = unit.Humidity(d.HumidityHold.Likely)
	}
	if d != nil && d.DewMargin.Likely > 0 {
		margin = d.DewMargin.Likely
	}
	return humidity, margin
}

// Holds lists every reason not to lay the product in this air; product may be
// nil for the rules of the air alone. Air that cannot be judged is itself a hold.
func Holds(air Air, product *catalog.Product, d *catalog.Defaults) []Hold {
	limit, margin := Limits(d)
	m, err := air.Margin()
	if err != nil {
		return []Hold{{Rule: "humidity", Figure: err.Error(), Do: "Measure the air of the room again."}}
	}
	var holds []Hold
	most, whose := limit, "the limit"
	if product != nil && product.MaxHumidity.Likely > 0 && unit.Humidity(product.MaxHumidity.Likely) < limit {
		most, whose = unit.Humidity(product.MaxHumidity.Likely), "the limit of "+product.Name
	}
	// The general limit holds when reached, a product's own when passed.
	if air.Humidity > most || air.Humidity >= limit {
		holds = append(holds, Hold{"humidity",
			fmt.Sprintf("%s %% relative humidity; %s is %s %%", unit.Figure(float64(air.Humidity)*100, 0), whose, unit.Figure(float64(most)*100, 0)),
			"Dry or air the room, measure again, and only then paint."})
	}
	if m < margin {
		holds = append(holds, Hold{"dew-point",
			fmt.Sprintf("wall %s K above the dew point; at least %s K are needed", unit.Figure(m, 1), unit.Figure(margin, 1)),
			"Warm the wall or dry the room until the wall keeps its distance."})
	}
	if product == nil || product.MinTemp.Unit == "" {
		return holds
	}
	if coldest := min(air.Temp, air.Surface); float64(coldest) < product.MinTemp.Likely {
		holds = append(holds, Hold{"minimum-temperature",
			fmt.Sprintf("%s C; %s needs at least %s C", unit.Figure(float64(coldest), 1), product.Name, unit.Figure(product.MinTemp.Likely, 1)),
			"Heat the room, air and wall, before this coat and until it is dry."})
	}
	return holds
}

// Better is the air put right where it is on hold: as dry and the wall as warm as the
// rules of the air ask at least.
func Better(a Air, d *catalog.Defaults) Air {
	limit, margin := Limits(d)
	a.Humidity = min(a.Humidity, limit)
	if dew, err := DewPoint(a.Temp, a.Humidity); err == nil {
		a.Surface = max(a.Surface, dew+unit.Temp(margin))
	}
	return a
}

// Next is the first hour from start, hour by hour for a week, in which a product may be laid;
// false where there is none.
func (c Climate) Next(start float64, product *catalog.Product, d *catalog.Defaults) (float64, bool) {
	for h := range 7 * hoursADay {
		at := start
		if h > 0 {
			at = math.Floor(start) + float64(h)
		}
		if len(Holds(c.At(at), product, d)) == 0 {
			return at, true
		}
	}
	return 0, false
}
