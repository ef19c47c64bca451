package main

import (
	"fmt"
	"path/filepath"
	"strings"
	"time"

	"scumble/drying/weather"
	"scumble/job"
	"scumble/unit"
)

type climateCommand struct {
	Job      string  `arg:"" help:"Job file (YAML); the readings are written into it."`
	Log      string  `help:"File of a logger that lay in the room (CSV)." xor:"from" required:""`
	Epw      string  `help:"Weather of a typical year in the open (EPW file)." xor:"from" required:""`
	Room     string  `help:"The room the readings are of; without it they are of all rooms."`
	Warmer   float64 `help:"With --epw: how much warmer the rooms are than the open air, K." default:"6"`
	Moisture float64 `help:"With --epw: what people and drying paint add to the air, g/m3." default:"2"`
	Least    string  `help:"With --epw: what heating keeps the rooms at." default:"12 C"`
	Days     int     `help:"With --epw: how many days from the start of the crew." default:"60"`
}

// mostReadings of a job: two months by the hour.
const mostReadings = 24 * 62

// Run puts the readings into the log of the climate.
func (cmd *climateCommand) Run(to streams) error {
	src, err := readFile(cmd.Job)
	if err != nil {
		return err
	}
	file, problems := job.Read(cmd.Job, src)
	if len(problems) > 0 {
		return report(to, problems)
	}
	path := "climate"
	if cmd.Room != "" {
		path = ""
		for i, r := range file.Job.Rooms {
			if strings.EqualFold(r.Name, cmd.Room) {
				path = fmt.Sprintf("rooms[%d].climate", i)
			}
		}
		if path == "" {
			return fmt.Errorf("no room %q in this job", cmd.Room)
		}
	}
	list, err := cmd.readings(to, file.Job)
	if err != nil {
		return err
	}
	if len(list) > mostReadings {
		return fmt.Errorf("%d hours are too many to keep in a job; cut the file to the %d around the work", len(list), mostReadings)
	}
	after, problems := job.Apply(src, []job.Change{{Do: job.Set, Path: path + ".log", Value: list}})
	if len(problems) > 0 {
		return report(to, problems)
	}
	if err := replaceFile(cmd.Job, after); err != nil {
		return err
	}
	fmt.Fprintf(to.out, "%s holds %d readings under %s.log, %s to %s.\n", cmd.Job, len(list), path, list[0][0].Value, list[len(list)-1][0].Value)
	return nil
}

func (cmd *climateCommand) readings(to streams, j *job.Job) ([]job.Group, error) {
	name := cmd.Log
	if name == "" {
		name = cmd.Epw
	}
	text, err := readFile(name)
	if err != nil {
		return nil, err
	}
	tell := func(problems []weather.Problem) (wrong bool) {
		for _, p := range problems {
			fmt.Fprintln(to.err, p)
			wrong = wrong || !p.Note
		}
		return wrong
	}
	var list []weather.Reading
	every := time.Hour
	if cmd.Log != "" {
		read, problems := weather.ReadLog(filepath.Base(name), text)
		if tell(problems) && len(read) == 0 {
			return nil, errProblems
		}
		list = read
	} else if list, every, err = cmd.typical(j, filepath.Base(name), text, tell); err != nil {
		return nil, err
	}
	if len(list) == 0 || list[len(list)-1].At.Sub(list[0].At) < 23*time.Hour {
		return nil, fmt.Errorf("%s holds less than a day of readings, which tells nothing of the nights", name)
	}
	return weather.ForJob(list, every), nil
}

// typical are the days of the work in a typical year, brought indoors.
func (cmd *climateCommand) typical(j *job.Job, name string, text []byte, tell func([]weather.Problem) bool) ([]weather.Reading, time.Duration, error) {
	year, problems := weather.ReadEPW(name, text)
	if tell(problems) || year == nil {
		return nil, 0, errProblems
	}
	first, err := time.Parse(time.DateOnly, string(j.Crew.Start))
	if err != nil {
		return nil, 0, fmt.Errorf("crew.start is no date: write it as 2027-03-08, so that the days of the year are known")
	}
	least, err := unit.ParseTemp(cmd.Least)
	if err != nil {
		return nil, 0, fmt.Errorf("--least: %w", err)
	}
	if cmd.Days < 1 || cmd.Days > 180 {
		return nil, 0, fmt.Errorf("--days is from 1 to 180")
	}
	list, err := weather.Indoors(year.Days(first, cmd.Days), cmd.Warmer, cmd.Moisture, least)
	return list, 3 * time.Hour, err
}
