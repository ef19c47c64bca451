package sheets

import (
	"strings"
	"time"

	"scumble/schedule"
	"scumble/survey"
)

// moment says a stretch of a day: Mon 8 Mar, 08:00 to 09:20.
func moment(from, to time.Time) string {
	if from.YearDay() == to.YearDay() && from.Year() == to.Year() {
		return from.Format("Mon 2 Jan, 15:04") + " to " + to.Format("15:04")
	}
	return from.Format("Mon 2 Jan, 15:04") + " to " + to.Format("Mon 2 Jan, 15:04")
}

// when says day and people of a placed step, and beneath them its hours.
func when(t *schedule.Task) string {
	if t == nil {
		return ""
	}
	date, hours, _ := strings.Cut(moment(t.Start, t.End), ", ")
	return date + ", " + strings.Join(t.People, " and ") + "\n" + hours
}

// wallName is a face without its room.
func wallName(face string) string {
	_, wall, _ := strings.Cut(face, "/")
	return wall
}

// stepName is the catalog's short name of a step, for sentences.
func stepName(id string) string {
	_, rule, _ := strings.Cut(id, "#")
	return strings.ReplaceAll(rule, "-", " ")
}

func (d *desk) surveyRoom(name string) *survey.Room {
	for i := range d.plan.Survey.Rooms {
		if d.plan.Survey.Rooms[i].Name == name {
			return &d.plan.Survey.Rooms[i]
		}
	}
	return nil
}
