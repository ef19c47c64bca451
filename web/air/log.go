package air

import (
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strconv"
	"time"

	"scumble/drying/weather"
	"scumble/job"
	"scumble/web/frame"
)

// Bounds of a logger's file: in bytes, and in readings by the hour that a job keeps.
const (
	largestLog   = 4 << 20
	mostReadings = 24 * 62
)

type logs struct{ *frame.Frame }

func routes(mux *http.ServeMux, f *frame.Frame) error {
	l := &logs{f}
	mux.HandleFunc("POST /jobs/{job}/air/log", l.take)
	return nil
}

// take puts the readings of a logger into the climate of a room, or of all.
func (l *logs) take(w http.ResponseWriter, r *http.Request) {
	r.Body = http.MaxBytesReader(w, r.Body, largestLog)
	if err := r.ParseMultipartForm(largestLog); err != nil {
		l.Fail(w, r, &frame.Refused{Status: http.StatusRequestEntityTooLarge, What: "the file is larger than 4 MB or was not sent whole", Do: "cut it to the weeks around the work"})
		return
	}
	file, header, err := r.FormFile("file")
	if err != nil {
		l.Fail(w, r, &frame.Refused{Status: http.StatusUnprocessableEntity, What: "no file was chosen", Do: "choose one and send it again"})
		return
	}
	defer file.Close()
	text, err := io.ReadAll(file)
	number, wrong := strconv.Atoi(r.FormValue("revision"))
	if err != nil || wrong != nil {
		l.Fail(w, r, &frame.Refused{Status: http.StatusBadRequest, What: "the file could not be read, or the form does not say which revision it belongs to", Do: "load the page again"})
		return
	}
	revision, err := l.Store.Revision(r.Context(), r.PathValue("job"), number)
	if err != nil {
		l.Fail(w, r, err)
		return
	}
	change, err := changeOf(l.Board(revision.Text).Job, r.FormValue("room"), header.Filename, text)
	if err == nil {
		var problems []job.Problem
		var clash *frame.Clash
		if _, clash, problems, err = l.Change(r.Context(), revision, []job.Change{change}); err == nil && len(problems) > 0 {
			err = &frame.Refused{Status: http.StatusUnprocessableEntity, What: problems[0].What, Do: problems[0].Do}
		}
		if err == nil && clash != nil {
			err = &frame.Refused{Status: http.StatusConflict, What: clash.Who + " changed the readings meanwhile", Do: "look at theirs, and send yours again"}
		}
	}
	if err != nil {
		l.Fail(w, r, err)
		return
	}
	http.Redirect(w, r, "/jobs/"+url.PathEscape(r.PathValue("job"))+"/air?"+url.Values{"room": {r.FormValue("room")}}.Encode(), http.StatusSeeOther)
}

// changeOf is what a logger's file makes of the climate of a room, or of the job.
func changeOf(j *job.Job, room, name string, text []byte) (job.Change, error) {
	refused := func(what, do string) error {
		return &frame.Refused{Status: http.StatusUnprocessableEntity, What: what, Do: do}
	}
	path := "climate.log"
	if room != "" {
		path = ""
		for i := range j.Rooms {
			if j.Rooms[i].Name == room {
				path = fmt.Sprintf("rooms[%d].climate.log", i)
			}
		}
		if path == "" {
			return job.Change{}, refused("there is no such room any more", "load the page again")
		}
	}
	read, problems := weather.ReadLog(name, text)
	for _, p := range problems {
		if !p.Note && len(read) == 0 {
			return job.Change{}, refused(p.String(), p.Do)
		}
	}
	if len(read) == 0 || read[len(read)-1].At.Sub(read[0].At) < 23*time.Hour {
		return job.Change{}, refused("the file holds less than a day of readings, which tells nothing of the nights", "let the logger lie for a day and a night")
	}
	list := weather.ForJob(read, time.Hour)
	if len(list) > mostReadings {
		return job.Change{}, refused(fmt.Sprintf("%d hours are too many to keep in a job", len(list)), "cut the file to the two months around the work")
	}
	return job.Change{Do: job.Set, Path: path, Value: list}, nil
}
