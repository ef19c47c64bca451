package frame

import (
	"bytes"
	"context"
	"fmt"
	"net/http"
	"slices"

	"scumble/job"
	"scumble/store"
)

// Withhold takes the words off edits that may tell prices, for those who may not see them.
func (f *Frame) Withhold(ctx context.Context, list []store.Revision) error {
	if Who(ctx).MaySeePrices() {
		return nil
	}
	texts := map[int][]byte{}
	text := func(id string, number int) ([]byte, error) {
		if kept, ok := texts[number]; ok {
			return kept, nil
		}
		r, err := f.Store.Revision(ctx, id, number)
		texts[number] = r.Text
		return r.Text, err
	}
	for i, r := range list {
		if r.Parent == 0 || r.Kind != "edit" && r.Kind != "kept" {
			continue
		}
		mine, err := text(r.Job, r.Number)
		if err != nil {
			return err
		}
		before, err := text(r.Job, r.Parent)
		if err != nil {
			return err
		}
		if !samePrices(mine, before) {
			list[i].What = "a change that touches prices"
		}
	}
	return nil
}

// MayBring keeps prices as they are for those who may not see them, when something else
// is to stand: undone, done again, or brought back.
func MayBring(ctx context.Context) store.May {
	return func(now, then store.Revision) error {
		if Who(ctx).MaySeePrices() || samePrices(now.Text, then.Text) {
			return nil
		}
		return &Refused{Status: http.StatusForbidden, What: "this would change prices, which are not the same in that revision as they are now", Do: "ask the owner to bring it back"}
	}
}

// samePrices reports whether two texts of a job surely say the same about money.
func samePrices(a, b []byte) bool {
	if bytes.Equal(a, b) {
		return true
	}
	x, known := priced(a)
	y, known2 := priced(b)
	return known && known2 && slices.Equal(x, y)
}

// priced are the figures about money in a text. known is false for a text that cannot be
// read, which may hold any.
func priced(text []byte) (out []string, known bool) {
	file, _ := job.Read("", text)
	if file == nil || len(file.Places) == 0 {
		return nil, false
	}
	for path := range file.Places {
		if value, single := file.Typed(path); single && IsPrice(path) {
			out = append(out, fmt.Sprintf("%s: %s", path, value))
		}
	}
	slices.Sort(out)
	return out, true
}
