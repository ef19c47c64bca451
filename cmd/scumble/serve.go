package main

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"os"
	"os/signal"
	"path/filepath"
	"syscall"
	"time"

	"scumble/store"
	"scumble/web"
)

type serveCommand struct {
	Addr    string `default:"127.0.0.1:7340" help:"Address the pages are served at; port 0 takes a free one."`
	Data    string `default:"${data}" help:"Folder for the jobs; made when it is not there." type:"path"`
	Catalog string `help:"Folder of your own catalog records, laid over the built-in ones." type:"path"`
}

// Run serves the pages until it is interrupted.
func (cmd *serveCommand) Run(to streams) error {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	return serve(ctx, to, cmd.Addr, cmd.Data, cmd.Catalog, nil)
}

// serve opens the data and serves the pages; first, when given, puts something in.
func serve(ctx context.Context, to streams, addr, data, folder string, first func(context.Context, *store.Store) error) error {
	c, err := loadCatalog(folder)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(data, 0o700); err != nil {
		return fmt.Errorf("cannot make the folder for the jobs: %w; choose another with --data", err)
	}
	jobs, err := store.Open(data, wallClock)
	if err != nil {
		return err
	}
	defer jobs.Close()
	if first != nil {
		if err := first(ctx, jobs); err != nil {
			return err
		}
	}
	handler, err := web.New(web.Options{Store: jobs, Catalog: c, Now: wallClock, Build: build()})
	if err != nil {
		return err
	}
	listener, err := net.Listen("tcp", addr)
	if err != nil {
		return fmt.Errorf("cannot serve at %s: %w; choose another with --addr", addr, err)
	}
	server := &http.Server{Handler: handler, ReadHeaderTimeout: 10 * time.Second, IdleTimeout: 2 * time.Minute, MaxHeaderBytes: 64 << 10}
	fmt.Fprintf(to.out, "scumble is ready at http://%s/\nThe jobs are kept in %s. Stop with Ctrl-C.\n", listener.Addr(), data)
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(listener) }()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	last, cancel := context.WithTimeout(context.Background(), 5*time.Second)
	defer cancel()
	if err := server.Shutdown(last); err != nil && !errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	return nil
}

// wallClock is the time on the clock of the room, carried in UTC as everywhere in the program.
func wallClock() time.Time {
	now := time.Now()
	return time.Date(now.Year(), now.Month(), now.Day(), now.Hour(), now.Minute(), now.Second(), now.Nanosecond(), time.UTC)
}

// build tells this program from another that may compute other pictures.
func build() string {
	path, err := os.Executable()
	if err != nil {
		return "unknown"
	}
	info, err := os.Stat(path)
	if err != nil {
		return "unknown"
	}
	return fmt.Sprintf("%d-%d", info.Size(), info.ModTime().UnixNano())
}

// dataFolder is where the jobs are kept unless one says otherwise.
func dataFolder() string {
	home, err := os.UserConfigDir()
	if err != nil {
		return "scumble-data"
	}
	return filepath.Join(home, "scumble")
}
