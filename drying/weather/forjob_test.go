package weather

import (
	"testing"
	"time"

	"scumble/job"
	"scumble/unit"
)

func TestForJob(t *testing.T) {
	start := time.Date(2027, 3, 8, 6, 0, 0, 0, time.UTC)
	wall := unit.Temp(9)
	list := []Reading{{At: start, Temp: 10, Humidity: 0.5}, {At: start.Add(20 * time.Minute), Temp: 12, Humidity: 0.6, Surface: &wall}, {At: start.Add(2 * time.Hour), Temp: 14, Humidity: 0.7}}
	got := ForJob(list, time.Hour)
	if len(got) != 2 || got[0][0].Value != "2027-03-08 06:10" || got[0][1].Value != "11.0 C" || got[0][2].Value != "55 %" || got[0][3].Value != "9.0 C" || len(got[1]) != 3 {
		t.Fatalf("%v", got)
	}
	// What is written is read back as a log.
	text, problems := job.Apply([]byte("scumble: 1\nclimate: {temp: 18 C, humidity: 50 %}\n"), []job.Change{{Do: job.Set, Path: "climate.log", Value: got}})
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	file, _ := job.Read("", text)
	if log := file.Job.Climate.Log; len(log) != 2 || log[0].Temp.Value != 11 || log[0].Surface.Value != 9 || log[1].At != "2027-03-08 08:00" || log[1].Surface.Given() {
		t.Errorf("%+v", log)
	}
	if ForJob(nil, time.Hour) != nil {
		t.Error("readings of nothing")
	}
}
