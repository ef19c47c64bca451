// Package web is the program in the browser: it wires the places to one handler and
// guards what goes in and out.
package web

import (
	"errors"
	"log/slog"
	"net/http"
	"time"

	"scumble/catalog"
	"scumble/store"
	"scumble/web/account"
	"scumble/web/air"
	"scumble/web/api"
	"scumble/web/asset"
	"scumble/web/buy"
	"scumble/web/choose"
	"scumble/web/client"
	"scumble/web/coats"
	"scumble/web/frame"
	"scumble/web/history"
	"scumble/web/jobs"
	"scumble/web/measure"
	"scumble/web/pair"
	"scumble/web/papers"
	"scumble/web/price"
	"scumble/web/programme"
	"scumble/web/safety"
	"scumble/web/setout"
	"scumble/web/work"
)

// Options are what the program is served with.
type Options struct {
	Store   *store.Store
	Catalog *catalog.Catalog
	// Now is the wall clock of the place of work.
	Now func() time.Time
	// Stop is asked now and then while a better programme is looked for; true ends that with the
	// best so far. Nil never does.
	Stop func() bool
	// Build tells programs apart that may compute other pictures.
	Build string
	// Access says how the pages are reached, and so who has to sign in.
	Access account.Options
	// Hosts are names the pages are served under, beside localhost and plain addresses.
	Hosts []string
	// Log takes a line for every answer; nil keeps none.
	Log *slog.Logger
}

// New makes the handler of all pages.
func New(o Options) (http.Handler, error) {
	files, err := asset.New()
	if err != nil {
		return nil, err
	}
	bench := work.NewBench(2)
	with := frame.Frame{Store: o.Store, Catalog: o.Catalog, Assets: files, Work: bench, Now: o.Now, Build: o.Build}
	with.Effort.Stop = o.Stop
	f, err := frame.New(with, []*frame.Place{
		measure.Place(),
		choose.Place(),
		setout.Place(),
		coats.Place(),
		pair.Place(),
		programme.Place(),
		buy.Place(),
		air.Place(),
		safety.Place(),
		price.Place(),
		papers.Place(),
		history.Place(),
		client.Place(),
	})
	if err != nil {
		return nil, err
	}
	mux := http.NewServeMux()
	mux.Handle("GET /asset/", files)
	if err := errors.Join(f.Routes(mux), jobs.Routes(mux, f), api.Routes(mux, f, api.Elsewhere{Photo: choose.PhotoColour, Measured: choose.Measured})); err != nil {
		return nil, err
	}
	gate, err := account.New(f, o.Access)
	if err != nil {
		return nil, err
	}
	gate.Routes(mux)
	mux.HandleFunc("GET /healthz", healthy(o.Store))
	return zipped(guarded(mux, gate, f, o)), nil
}
