package web

import (
	"bytes"
	"context"
	"errors"
	"log/slog"
	"net"
	"net/http"
	"net/netip"
	"runtime/debug"
	"slices"
	"strings"
	"time"

	"scumble/store"
	"scumble/web/account"
	"scumble/web/frame"
)

// policy is the content security policy of every page: nothing but what this program
// serves itself, no script or style inside pages.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; font-src 'self'; " +
	"connect-src 'self'; frame-src 'self'; form-action 'self'; frame-ancestors 'none'; base-uri 'none'; manifest-src 'self'"

// largestBody of any request in bytes; most places take far less.
const largestBody = 32 << 20

// public are the pages for those who have not signed in. Those of clients ask for the
// token in their address themselves.
var public = []string{"/asset/", "/client/", "/signin", "/healthz", "/about", "/theme"}

// guarded puts everything round the pages that stands between them and the outside.
func guarded(mux *http.ServeMux, gate *account.Gate, f *frame.Frame, o Options) http.Handler {
	log := o.Log
	if log == nil {
		log = slog.New(slog.DiscardHandler)
	}
	cross := http.NewCrossOriginProtection()
	cross.SetDenyHandler(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		f.Fail(w, r, &frame.Refused{Status: http.StatusForbidden, What: "this was sent from a page of another site", Do: "open scumble and do it there"})
	}))
	inside := gate.Wrap(routed(mux), func(r *http.Request) bool {
		_, pattern := mux.Handler(r)
		_, path, _ := strings.Cut(pattern, " ")
		return slices.ContainsFunc(public, func(p string) bool { return path == p || strings.HasSuffix(p, "/") && strings.HasPrefix(path, p) })
	})
	return watched(headed(hosted(cross.Handler(inside), f, o.Hosts), o.Access.Secure), f, log)
}

// healthy answers whoever watches over the program.
func healthy(s *store.Store) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Type", "text/plain; charset=utf-8")
		if _, err := s.Schema(r.Context()); err != nil {
			w.WriteHeader(http.StatusServiceUnavailable)
			_, _ = w.Write([]byte("the jobs cannot be read\n"))
			return
		}
		_, _ = w.Write([]byte("ready\n"))
	}
}

// headed puts the headers on every answer that tell a browser what this program never
// does. Over TLS the browser is told to come by nothing else for a year.
func headed(next http.Handler, secure bool) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Permissions-Policy", "camera=(), microphone=(), geolocation=(), payment=()")
		h.Set("Cache-Control", "no-store") // pages that may be kept say so themselves
		if secure {
			h.Set("Strict-Transport-Security", "max-age=31536000; includeSubDomains")
		}
		next.ServeHTTP(w, r)
	})
}

// hosted refuses names this program is not served under: a page elsewhere could give its
// own name the address of this computer and read the answers. Plain addresses cannot be
// given like that.
func hosted(next http.Handler, f *frame.Frame, names []string) http.Handler {
	known := map[string]bool{"localhost": true}
	for _, n := range names {
		known[strings.ToLower(strings.TrimSuffix(n, "."))] = true
	}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		host := r.Host
		if h, _, err := net.SplitHostPort(host); err == nil {
			host = h
		}
		host = strings.TrimSuffix(strings.ToLower(strings.Trim(host, "[]")), ".")
		if _, err := netip.ParseAddr(host); err != nil && !known[host] {
			f.Fail(w, r, &frame.Refused{Status: http.StatusMisdirectedRequest, What: "scumble is not served under this name", Do: "start it with --host and the name to allow it"})
			return
		}
		r.Body = http.MaxBytesReader(w, r.Body, largestBody)
		next.ServeHTTP(w, r)
	})
}

// answered notes what became of an answer.
type answered struct {
	http.ResponseWriter
	status int
}

func (a *answered) WriteHeader(status int) {
	if a.status == 0 || a.status < 200 {
		a.status = status
	}
	a.ResponseWriter.WriteHeader(status)
}

func (a *answered) Write(b []byte) (int, error) {
	if a.status == 0 {
		a.status = http.StatusOK
	}
	return a.ResponseWriter.Write(b)
}

func (a *answered) Unwrap() http.ResponseWriter { return a.ResponseWriter }

type patternKey struct{}

// routed tells the log which pattern a request met.
func routed(mux *http.ServeMux) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if met, ok := r.Context().Value(patternKey{}).(*string); ok {
			_, *met = mux.Handler(r)
		}
		mux.ServeHTTP(w, r)
	})
}

// watched writes a line for every answer, and turns what breaks off in the middle into a
// calm page. The line holds the pattern of the address and never the address itself, a
// form, a cookie or a name: links of clients and passwords are in those.
func watched(next http.Handler, f *frame.Frame, log *slog.Logger) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		began, met, a := f.Now(), "", &answered{ResponseWriter: w}
		defer func() {
			if broken := recover(); broken != nil {
				if broken == http.ErrAbortHandler {
					panic(broken)
				}
				log.Error("broke off", "method", method(r), "pattern", met, "where", where(debug.Stack()))
				if a.status == 0 {
					f.Fail(a, r.WithContext(context.WithoutCancel(r.Context())), errors.New("broke off"))
				}
			}
			log.Log(context.WithoutCancel(r.Context()), levelOf(met, a.status), "answered", "method", method(r), "pattern", met, "status", a.status, "took", f.Now().Sub(began).Round(time.Millisecond))
		}()
		next.ServeHTTP(a, r.WithContext(context.WithValue(r.Context(), patternKey{}, &met)))
	})
}

// levelOf makes the lines stand out that tell of signing in, of accounts, and of what was refused.
func levelOf(pattern string, status int) slog.Level {
	switch status {
	case http.StatusUnauthorized, http.StatusForbidden, http.StatusTooManyRequests, http.StatusMisdirectedRequest:
		return slog.LevelWarn
	}
	switch {
	case status >= 500:
		return slog.LevelError
	case strings.HasPrefix(pattern, "POST /sign"), strings.HasPrefix(pattern, "POST /accounts"):
		return slog.LevelWarn
	}
	return slog.LevelInfo
}

// method is the method of a request if it is one there is, so that none can write into the log.
func method(r *http.Request) string {
	switch r.Method {
	case http.MethodGet, http.MethodHead, http.MethodPost, http.MethodPut, http.MethodPatch, http.MethodDelete, http.MethodOptions:
		return r.Method
	}
	return "other"
}

// where are the files and lines of a stack, without what its functions were given.
func where(stack []byte) string {
	var lines []string
	for line := range bytes.Lines(stack) {
		if at, ok := bytes.CutPrefix(line, []byte("\t")); ok { // the lines between name functions and what they were given
			place, _, _ := strings.Cut(strings.TrimSpace(string(at)), " +")
			lines = append(lines, place)
		}
	}
	return strings.Join(lines[:min(len(lines), 12)], " < ")
}
