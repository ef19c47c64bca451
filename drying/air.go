package drying

import (
	"fmt"
	"math"

	"scumble/unit"
)

// Bounds of the saturation-pressure correlations, degrees C.
const (
	coldest unit.Temp = -100
	hottest unit.Temp = 200
)

// SaturationPressure is the pressure of saturated water vapour in pascals: over
// ice below 0 C, over water from 0 C on (ASHRAE Handbook Fundamentals 2017,
// chapter 1, equations 5 and 6). It fails outside -100 to 200 C.
func SaturationPressure(t unit.Temp) (float64, error) {
	if !(t >= coldest && t <= hottest) {
		return 0, fmt.Errorf("temperature %v C is outside %v to %v C: check what was measured", float64(t), float64(coldest), float64(hottest))
	}
	return saturation(t), nil
}

func saturation(t unit.Temp) float64 {
	k := float64(t) + 273.15
	if t < 0 {
		return math.Exp(-5.6745359e3/k + 6.3925247 - 9.677843e-3*k + 6.2215701e-7*k*k +
			2.0747825e-9*k*k*k - 9.484024e-13*k*k*k*k + 4.1635019*math.Log(k))
	}
	return math.Exp(-5.8002206e3/k + 1.3914993 - 4.8640239e-2*k + 4.1764768e-5*k*k -
		1.4452093e-8*k*k*k + 6.5459673*math.Log(k))
}

// DewPoint is the temperature at which air of temperature t and humidity rh
// begins to wet a surface; below 0 C it is the frost point over ice.
// The humidity must lie above 0 and at most at 1.
func DewPoint(t unit.Temp, rh unit.Humidity) (unit.Temp, error) {
	p, err := SaturationPressure(t)
	if err != nil {
		return 0, err
	}
	if err := checkHumidity(rh); err != nil {
		return 0, err
	}
	target := p * float64(rh)
	low, high := coldest, t
	if saturation(low) > target {
		return 0, fmt.Errorf("air of %v C and %v %% humidity has its dew point below %v C: check the humidity", float64(t), float64(rh)*100, float64(coldest))
	}
	for range 60 { // halving 300 K sixty times leaves nothing to see
		if middle := (low + high) / 2; saturation(middle) < target {
			low = middle
		} else {
			high = middle
		}
	}
	return high, nil
}

func checkHumidity(rh unit.Humidity) error {
	if !(rh > 0 && rh <= 1) {
		return fmt.Errorf("relative humidity %v is not above 0 and up to 1: give the share, such as 0.55", float64(rh))
	}
	return nil
}

// Deficit is the vapour-pressure deficit in pascals that drives water out of a
// coat: saturation at the surface less the vapour in the air. It is negative
// where the wall sweats.
func (a Air) Deficit() (float64, error) {
	wall, err := SaturationPressure(a.Surface)
	if err != nil {
		return 0, fmt.Errorf("wall surface: %w", err)
	}
	room, err := SaturationPressure(a.Temp)
	if err != nil {
		return 0, fmt.Errorf("air: %w", err)
	}
	if err := checkHumidity(a.Humidity); err != nil {
		return 0, err
	}
	return wall - float64(a.Humidity)*room, nil
}

// Margin is how far the wall is above the dew point of the air, in kelvin.
func (a Air) Margin() (float64, error) {
	dew, err := DewPoint(a.Temp, a.Humidity)
	if err != nil {
		return 0, err
	}
	return float64(a.Surface - dew), nil
}
