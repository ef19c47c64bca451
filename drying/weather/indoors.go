package weather

import (
	"errors"
	"fmt"
	"math"
	"time"

	"scumble/drying"
	"scumble/unit"
)

// gasConstant of water vapour, J/(kg K): 8.314462618 J/(mol K) over 0.018015 kg/mol.
const gasConstant = 461.5

// zero C in kelvin.
const zero = 273.15

// Indoors is the air of a room beside outdoor air. The room is warmer by offset
// kelvin, and heating keeps it at least at a temperature. Airing brings in the vapour
// of the outdoor air, and people and drying paint add moisture to it, grams in a cubic
// metre of the room. By the gas law the pressure of the vapour is
//
//	p = p_outdoors + moisture/1000 * 461.5 * T, T in kelvin
//
// with the vapour excess of EN ISO 13788:2012. Humidity is p over that of saturated air, at most 1: what is above runs down the
// windows. Nothing dries the room but airing. The surface of its walls is not known.
//
// Errors come joined: figures that are no numbers, moisture below 0, and readings
// outside what drying.SaturationPressure takes.
func Indoors(outdoor []Reading, offset, moisture float64, least unit.Temp) ([]Reading, error) {
	var wrong []error
	if math.IsNaN(offset) || math.IsInf(offset, 0) {
		wrong = append(wrong, fmt.Errorf("a room warmer by %g K: give a number", offset))
	}
	if !(moisture >= 0) || math.IsInf(moisture, 0) {
		wrong = append(wrong, fmt.Errorf("moisture added, %g g/m3, is not 0 or more: give 0 for an empty room", moisture))
	}
	if math.IsNaN(float64(least)) {
		wrong = append(wrong, errors.New("heating to at least no number: give a temperature"))
	}
	if len(wrong) > 0 {
		return nil, errors.Join(wrong...)
	}
	room := make([]Reading, 0, len(outdoor))
	for _, out := range outdoor {
		temp := max(out.Temp+unit.Temp(offset), least)
		outside, err := drying.SaturationPressure(out.Temp)
		inside, err2 := drying.SaturationPressure(temp)
		if !(out.Humidity > 0 && out.Humidity <= 1) {
			wrong = append(wrong, fmt.Errorf("outdoors at %s: humidity %g is not above 0 and up to 1", out.At.Format(time.DateTime), float64(out.Humidity)))
		}
		if err = errors.Join(err, err2); err != nil {
			wrong = append(wrong, fmt.Errorf("outdoors at %s: %w", out.At.Format(time.DateTime), err))
			continue
		}
		vapour := float64(out.Humidity)*outside + moisture/1000*gasConstant*(float64(temp)+zero)
		room = append(room, Reading{At: out.At, Temp: temp, Humidity: unit.Humidity(min(vapour/inside, 1))})
	}
	if len(wrong) > 0 {
		return nil, errors.Join(wrong...)
	}
	return room, nil
}
