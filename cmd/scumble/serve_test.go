package main

import (
	"bytes"
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"math/big"
	"net"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"scumble/store"
	"scumble/web/account"
)

// said is what a command prints, while it goes on.
type said struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (s *said) Write(b []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.b.Write(b)
}

func (s *said) String() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.b.String()
}

// started serves until the test ends and returns the address it prints.
func started(t *testing.T, at site, first func(context.Context, *store.Store) error) string {
	t.Helper()
	address, _ := startedIn(t, t.TempDir(), at, first)
	return address
}

// startedIn serves the jobs of a folder, and returns also what is printed.
func startedIn(t *testing.T, data string, at site, first func(context.Context, *store.Store) error) (address, printed string) {
	t.Helper()
	ctx, stop := context.WithCancel(context.Background())
	out, ended := &said{}, make(chan error, 1)
	go func() { ended <- serve(ctx, streams{out, out}, at, data, "", first) }()
	t.Cleanup(func() {
		stop()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
	for range 500 {
		if m := regexp.MustCompile(`https?://\S+`).FindString(out.String()); m != "" {
			return m, out.String()
		}
		select {
		case err := <-ended:
			ended <- nil
			t.Fatal(err)
		case <-time.After(10 * time.Millisecond):
		}
	}
	t.Fatal("nothing is served: ", out.String())
	return "", ""
}

// certificate is one of our own making for 127.0.0.1.
func certificate(t *testing.T) (cert, key string, pool *x509.CertPool) {
	t.Helper()
	private, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	what := &x509.Certificate{SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: "board"}, NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour),
		IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)}, IsCA: true, BasicConstraintsValid: true}
	der, err := x509.CreateCertificate(rand.Reader, what, what, &private.PublicKey, private)
	if err != nil {
		t.Fatal(err)
	}
	secret, err := x509.MarshalECPrivateKey(private)
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	cert, key = filepath.Join(dir, "cert.pem"), filepath.Join(dir, "key.pem")
	public := pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: der})
	for path, content := range map[string][]byte{cert: public, key: pem.EncodeToMemory(&pem.Block{Type: "EC PRIVATE KEY", Bytes: secret})} {
		if err := os.WriteFile(path, content, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	pool = x509.NewCertPool()
	pool.AppendCertsFromPEM(public)
	return cert, key, pool
}

func TestServedOverTLS(t *testing.T) {
	cert, key, pool := certificate(t)
	const password = "kettle harbour nine plumb"
	at := started(t, site{Addr: "127.0.0.1:0", Cert: cert, Key: key}, func(ctx context.Context, s *store.Store) error {
		_, err := account.Add(ctx, s, "Ines", "owner", password)
		return err
	})
	if !strings.HasPrefix(at, "https://") {
		t.Fatal(at)
	}
	for most, want := range map[uint16]bool{tls.VersionTLS10: false, tls.VersionTLS11: false, tls.VersionTLS12: true, tls.VersionTLS13: true} {
		c := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: pool, MinVersion: tls.VersionTLS10, MaxVersion: most}},
			CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
		answer, err := c.PostForm(at+"signin", url.Values{"name": {"ines"}, "password": {password}})
		if (err == nil) != want {
			t.Errorf("TLS %x: %v", most, err)
		}
		if err != nil {
			continue
		}
		answer.Body.Close()
		if cookie := answer.Header.Get("Set-Cookie"); !strings.HasPrefix(cookie, "__Host-signed=") || !strings.Contains(cookie, "; Secure") || answer.StatusCode != http.StatusSeeOther {
			t.Errorf("%d %s", answer.StatusCode, cookie)
		}
		if answer.Header.Get("Strict-Transport-Security") == "" {
			t.Error("no Strict-Transport-Security")
		}
	}
}

func TestLoopback(t *testing.T) {
	for addr, want := range map[string]bool{"127.0.0.1:7340": true, "127.9.9.9:0": true, "[::1]:80": true, "localhost:80": true, "[::ffff:127.0.0.1]:1": true,
		":7340": false, "0.0.0.0:80": false, "[::]:80": false, "192.0.2.1:80": false, "board.example:80": false, "localhost.evil.example:80": false, "nonsense": false} {
		if got := (site{Addr: addr}).loopback(); got != want {
			t.Errorf("%s: %v", addr, got)
		}
	}
}
