package main

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"log"
	"log/slog"
	"net"
	"net/http"
	"net/netip"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"time"

	"scumble/store"
	"scumble/web"
	"scumble/web/account"
)

type serveCommand struct {
	site
	Data    string `default:"${data}" help:"Folder for the jobs; made when it is not there." type:"path"`
	Catalog string `help:"Folder of your own catalog records, laid over the built-in ones." type:"path"`
}

// site is where and how the pages are served.
type site struct {
	Addr        string   `default:"127.0.0.1:7340" help:"Address the pages are served at; port 0 takes a free one."`
	Host        []string `help:"A name the pages are reached under, beside localhost; may be given several times." sep:"none"`
	Cert        string   `help:"File with the certificate (PEM), to serve over TLS; with --key." type:"path"`
	Key         string   `help:"File with the key of the certificate (PEM)." type:"path"`
	BehindProxy bool     `help:"A proxy before it speaks TLS with the browsers and says who asks."`
	PlainHTTP   bool     `name:"plain-http" help:"Serve others without TLS: whoever is on the network can read everything, passwords too."`
}

// Run serves the pages until it is interrupted.
func (cmd *serveCommand) Run(to streams) error {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	return serve(ctx, to, cmd.site, cmd.Data, cmd.Catalog, nil)
}

// serve opens the data and serves the pages; first, when given, puts something in.
func serve(ctx context.Context, to streams, at site, data, folder string, first func(context.Context, *store.Store) error) error {
	c, err := loadCatalog(folder)
	if err != nil {
		return err
	}
	jobs, err := openJobs(data)
	if err != nil {
		return err
	}
	defer jobs.Close()
	if first != nil {
		if err := first(ctx, jobs); err != nil {
			return err
		}
	}
	access, err := at.access(ctx, to, jobs)
	if err != nil {
		return err
	}
	handler, err := web.New(web.Options{Store: jobs, Catalog: c, Now: wallClock, Build: build(), Access: access, Hosts: at.names(),
		Log: slog.New(slog.NewTextHandler(to.err, &slog.HandlerOptions{Level: slog.LevelWarn}))})
	if err != nil {
		return err
	}
	listener, err := net.Listen("tcp", at.Addr)
	if err != nil {
		return fmt.Errorf("cannot serve at %s: %w; choose another with --addr", at.Addr, err)
	}
	// Long answers lift the time for writing themselves.
	server := &http.Server{Handler: handler, ReadHeaderTimeout: 10 * time.Second, ReadTimeout: 2 * time.Minute, WriteTimeout: 5 * time.Minute,
		IdleTimeout: 2 * time.Minute, MaxHeaderBytes: 64 << 10, ErrorLog: log.New(to.err, "", 0),
		TLSConfig: &tls.Config{MinVersion: tls.VersionTLS12}}
	scheme, run := "http", server.Serve
	if at.Cert != "" {
		scheme, run = "https", func(l net.Listener) error { return server.ServeTLS(l, at.Cert, at.Key) }
	}
	fmt.Fprintf(to.out, "scumble is ready at %s://%s/\nThe jobs are kept in %s. Stop with Ctrl-C.\n", scheme, listener.Addr(), data)
	ended := make(chan error, 1)
	go func() { ended <- run(listener) }()
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

// openJobs opens the folder of the jobs, and makes it for nobody else to look into.
func openJobs(data string) (*store.Store, error) {
	if err := os.MkdirAll(data, 0o700); err != nil {
		return nil, fmt.Errorf("cannot make the folder for the jobs: %w; choose another with --data", err)
	}
	return store.Open(data, wallClock)
}

// access decides who has to sign in, and refuses what would leave the jobs open to others.
func (at site) access(ctx context.Context, to streams, jobs *store.Store) (account.Options, error) {
	if (at.Cert == "") != (at.Key == "") {
		return account.Options{}, errors.New("TLS needs both --cert and --key; give both, or neither")
	}
	o := account.Options{Secure: at.Cert != "" || at.BehindProxy, BehindProxy: at.BehindProxy}
	if at.Cert != "" {
		if _, err := tls.LoadX509KeyPair(at.Cert, at.Key); err != nil {
			return o, fmt.Errorf("the certificate cannot be used: %w; check --cert and --key", err)
		}
	}
	// A proxy lets others in although it comes from this computer itself.
	if at.loopback() && !at.BehindProxy {
		return o, nil
	}
	o.MustSignIn = true
	known, err := jobs.Accounts(ctx)
	if err != nil {
		return o, err
	}
	if len(known) == 0 {
		return o, errors.New("others could reach the jobs there, and there is no account yet; make one first: scumble account add NAME --role owner")
	}
	if !o.Secure {
		if !at.PlainHTTP {
			return o, errors.New("without TLS whoever is on the network can read everything, passwords too; give --cert and --key, or put a proxy before it and give --behind-proxy, or accept it with --plain-http")
		}
		fmt.Fprintln(to.err, "Served without TLS: whoever is on the network can read everything, passwords too.")
	}
	return o, nil
}

// loopback reports whether only this computer reaches the address.
func (at site) loopback() bool {
	host, _, err := net.SplitHostPort(at.Addr)
	if err != nil {
		return false // what is wrong with it is said when it is opened
	}
	ip, err := netip.ParseAddr(host)
	return err == nil && ip.Unmap().IsLoopback() || strings.EqualFold(host, "localhost")
}

// names are those the pages are reached under.
func (at site) names() []string {
	host, _, err := net.SplitHostPort(at.Addr)
	if err != nil || host == "" {
		return at.Host
	}
	return append([]string{host}, at.Host...)
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
