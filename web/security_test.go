package web

import (
	"context"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"scumble/store"
	"scumble/web/account"
)

// TestSecurityPageTellsTheTruth: every test it names is there, and no requirement is both
// met and unmet without saying so.
func TestSecurityPageTellsTheTruth(t *testing.T) {
	root := ".."
	page, err := os.ReadFile(filepath.Join(root, "docs", "security.md"))
	if err != nil {
		t.Fatal(err)
	}
	there := map[string]bool{}
	written := regexp.MustCompile(`(?m)^func ((?:Test|Fuzz)\w+)\(`)
	err = filepath.WalkDir(root, func(path string, _ fs.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(path, "_test.go") {
			return err
		}
		src, err := os.ReadFile(path)
		for _, m := range written.FindAllStringSubmatch(string(src), -1) {
			there[m[1]] = true
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	met, unmet, ok := strings.Cut(string(page), "### Not met")
	named := regexp.MustCompile("`((?:Test|Fuzz)\\w+)`").FindAllStringSubmatch(string(page), -1)
	if !ok || len(named) < 30 {
		t.Fatal("the page has no tables, or names hardly a test")
	}
	for _, m := range named {
		if !there[m[1]] {
			t.Errorf("docs/security.md names %s, which is nowhere", m[1])
		}
	}
	row := regexp.MustCompile(`(?m)^\| (V[\d., V]+) \|.*\|$`)
	rows := row.FindAllStringSubmatch(met, -1)
	for _, m := range rows {
		if !strings.Contains(m[0], "`Test") && !strings.Contains(m[0], "`Fuzz") {
			t.Errorf("%s is met without a test", m[1])
		}
	}
	seen := map[string]bool{}
	for _, table := range [][][]string{rows, row.FindAllStringSubmatch(unmet, -1)} {
		here := map[string]bool{}
		for _, m := range table {
			for _, n := range strings.Split(m[1], ", ") {
				if here[n] || !regexp.MustCompile(`^V\d+\.\d+\.\d+$`).MatchString(n) {
					t.Errorf("%q stands twice, or is no number of a requirement", n)
				}
				here[n], seen[n] = true, true
			}
		}
	}
	if len(seen) < 50 {
		t.Error("only", len(seen), "requirements are told of")
	}
}

// TestSecretsAreNotInTheFolder: neither a password nor what lets a browser in can be read
// from the files.
func TestSecretsAreNotInTheFolder(t *testing.T) {
	dir := t.TempDir()
	jobs, err := store.Open(dir, clock)
	if err != nil {
		t.Fatal(err)
	}
	defer jobs.Close()
	h, _, _ := whole(t, func(o *Options) { o.Store = jobs })
	const password = "kettle harbour nine plumb"
	if _, err := account.Add(context.Background(), jobs, "Ines", "owner", password); err != nil {
		t.Fatal(err)
	}
	in := ask(h, "POST", "/signin", url.Values{"name": {"ines"}, "password": {password}})
	cookie := strings.SplitN(in.Header().Get("Set-Cookie"), ";", 2)[0]
	token := strings.TrimPrefix(cookie, "signed=")
	if len(token) < 43 { // 32 random bytes in base64
		t.Fatal(token)
	}
	found := false
	err = filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		content, err := os.ReadFile(path)
		if strings.Contains(string(content), token) || strings.Contains(string(content), password) {
			t.Error("a secret stands in", d.Name())
		}
		found = found || strings.Contains(string(content), "$argon2id$")
		if info, statErr := d.Info(); statErr != nil || info.Mode().Perm()&0o077 != 0 {
			t.Logf("%s can be opened by others: %v; the folder keeps them out", d.Name(), info.Mode())
		}
		return err
	})
	if err != nil || !found {
		t.Error("the account was not found in the files", err)
	}
}

// TestReadingChangesNothing: no page saves anything when it is only read.
func TestReadingChangesNothing(t *testing.T) {
	h, o, id := whole(t, nil)
	patterns, err := patternsOfSource()
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range patterns {
		if p.method == "GET" && !strings.HasSuffix(p.path, "/events") {
			ask(h, "GET", filled(p.path, id)+"?revision=1&set:name=x&act=add:rooms", nil)
		}
	}
	head, err := o.Store.Head(context.Background(), id)
	if err != nil || head.Number != 1 {
		t.Error(head.Number, err)
	}
	jobs, err := o.Store.Jobs(context.Background(), true)
	if err != nil || len(jobs) != 1 {
		t.Error(len(jobs), err)
	}
	accounts, err := o.Store.Accounts(context.Background())
	if err != nil || len(accounts) != 0 {
		t.Error(len(accounts), err)
	}
}

func TestNoTrace(t *testing.T) {
	h, _, id := whole(t, nil)
	for _, path := range []string{"/", "/signin", "/jobs/" + id + "/measure"} {
		if w := ask(h, "TRACE", path, nil, "X-Secret", "echo"); w.Code != 405 || strings.Contains(w.Body.String(), "echo") {
			t.Errorf("%s: %d", path, w.Code)
		}
	}
}
