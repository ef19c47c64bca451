package frame

import (
	"context"
	"fmt"
	"strconv"
	"strings"

	"scumble/job"
	"scumble/store"
)

// What is taken in at most of a photo, and of a file of an instrument, in bytes.
const (
	LargestPhoto    = 20 << 20
	LargestMeasured = 8 << 20
)

// PhotoWorth says what a colour out of a photo is worth, wherever one is told.
const PhotoWorth = "The camera and the light are not known, and the camera has brightened and balanced the picture by itself. The colour can be far off, and nothing here can say how far. Use it to begin a talk; measure a card, or judge a board, before anything is bought."

// BringIn adds measured colours to a job. A name that is taken gets a number behind it.
func (f *Frame) BringIn(ctx context.Context, base store.Revision, list []job.Measured) (store.Revision, *Clash, []job.Problem, error) {
	head, err := f.Store.Head(ctx, base.Job) // others may have taken a name since
	if err != nil {
		return store.Revision{}, nil, nil, err
	}
	taken := map[string]bool{}
	for _, m := range f.Board(head.Text).Job.Measured {
		taken[strings.ToLower(m.Name)] = true
	}
	var changes []job.Change
	for _, m := range list {
		name := m.Name
		for n := 2; taken[strings.ToLower(name)]; n++ {
			name = fmt.Sprintf("%s (%d)", m.Name, n)
		}
		taken[strings.ToLower(name)] = true
		group := job.Group{{Key: "name", Value: name}}
		if len(m.Values) > 0 {
			group = append(group, job.Pair{Key: "from", Value: strconv.Itoa(m.From)}, job.Pair{Key: "step", Value: strconv.Itoa(m.Step)}, job.Pair{Key: "values", Value: figures(m.Values, 4)})
		} else {
			group = append(group, job.Pair{Key: "lab", Value: figures(m.Lab, 3)}, job.Pair{Key: "under", Value: m.Under})
		}
		changes = append(changes, job.Change{Do: job.Add, Path: "measured", To: -1, Value: append(group, job.Pair{Key: "source", Value: m.Source})})
	}
	return f.Change(ctx, base, changes)
}

func figures(values []float64, decimals int) (out []string) {
	for _, v := range values {
		out = append(out, strconv.FormatFloat(v, 'f', decimals, 64))
	}
	return out
}
