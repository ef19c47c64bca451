package store

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"pgregory.net/rapid"
)

var ctx = context.Background()

// ticking is a clock that moves a second at each look.
func ticking() func() time.Time {
	var mu sync.Mutex
	now := time.Date(2027, 3, 1, 8, 0, 0, 0, time.UTC)
	return func() time.Time {
		mu.Lock()
		defer mu.Unlock()
		now = now.Add(time.Second)
		return now
	}
}

func open(t testing.TB, dir string) *Store {
	t.Helper()
	s, err := Open(dir, ticking())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

func create(t testing.TB, s *Store) Job {
	t.Helper()
	j, _, err := s.Create(ctx, "House", "Saltern Ness", []byte("one"), "Mara", "New job", "new")
	if err != nil {
		t.Fatal(err)
	}
	return j
}

func save(s *Store, job string, base int, text string) (Revision, error) {
	return s.Save(ctx, Draft{Job: job, Name: "House", Place: "Saltern Ness", Base: base, Text: []byte(text), By: "Mara", What: text, Kind: "edit"})
}

func TestPragmasHold(t *testing.T) {
	s := open(t, t.TempDir())
	for pragma, want := range map[string]string{"journal_mode": "wal", "synchronous": "2", "foreign_keys": "1"} {
		var got string
		if err := s.write.QueryRow("PRAGMA " + pragma).Scan(&got); err != nil || got != want {
			t.Errorf("%s is %q, want %q (%v)", pragma, got, want, err)
		}
	}
	if _, err := s.write.Exec(`INSERT INTO revision (` + revisionColumns + `) VALUES ('none', 1, x'', '', '', 0, 'new', 1, 0, '')`); err == nil {
		t.Error("a revision without a job was kept")
	}
}

func TestConflictKeepsBoth(t *testing.T) {
	s := open(t, t.TempDir())
	j := create(t, s)
	if _, err := save(s, j.ID, 1, "mine"); err != nil {
		t.Fatal(err)
	}
	_, err := save(s, j.ID, 1, "yours")
	var c *Conflict
	if !errors.As(err, &c) {
		t.Fatalf("no conflict: %v", err)
	}
	head, err := s.Head(ctx, j.ID)
	if err != nil || string(head.Text) != "mine" || c.Head.Number != head.Number {
		t.Errorf("head %q, %v", head.Text, err)
	}
	kept, err := s.Revision(ctx, j.ID, c.Kept.Number)
	if err != nil || string(kept.Text) != "yours" || kept.Kind != "kept" {
		t.Errorf("kept %+v, %v", kept, err)
	}
	if same, err := save(s, j.ID, 1, "mine"); err != nil || same.Number != head.Number {
		t.Errorf("saving what is there made revision %d (%v)", same.Number, err)
	}
}

// TestHistory compares any run of edits, undo, redo and restore with a plain model: a list
// of states that were reached, and a place in it.
func TestHistory(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	rapid.Check(t, func(t *rapid.T) {
		j, first, err := s.Create(ctx, "x", "", []byte("0"), "", "", "new")
		if err != nil {
			t.Fatal(err)
		}
		past, future := []string{"0"}, []string(nil) // past ends with what stands
		texts := map[int]string{1: "0"}
		head := first
		for i := range rapid.IntRange(1, 25).Draw(t, "steps") {
			switch rapid.SampledFrom([]string{"edit", "undo", "undo", "redo", "restore"}).Draw(t, "do") {
			case "edit":
				text := fmt.Sprint(i + 1)
				if head, err = save(s, j.ID, head.Number, text); err != nil {
					t.Fatal(err)
				}
				past, future = append(past, text), nil
			case "undo":
				can, _ := s.CanUndo(ctx, j.ID)
				got, err := s.Undo(ctx, j.ID, "", nil)
				if can != (len(past) > 1) || errors.Is(err, ErrNothing) != (len(past) == 1) {
					t.Fatalf("undo with %v behind: %v, %v", past, can, err)
				}
				if err == nil {
					head = got
					future = append(future, past[len(past)-1])
					past = past[:len(past)-1]
				}
			case "redo":
				can, _ := s.CanRedo(ctx, j.ID)
				got, err := s.Redo(ctx, j.ID, "", nil)
				if can != (len(future) > 0) || errors.Is(err, ErrNothing) != (len(future) == 0) {
					t.Fatalf("redo with %v before: %v, %v", future, can, err)
				}
				if err == nil {
					head = got
					past = append(past, future[len(future)-1])
					future = future[:len(future)-1]
				}
			case "restore":
				n := rapid.IntRange(1, head.Number).Draw(t, "number")
				if head, err = s.Restore(ctx, j.ID, n, "", nil); err != nil {
					t.Fatal(err)
				}
				past, future = append(past, texts[n]), nil
			}
			texts[head.Number] = past[len(past)-1]
			now, err := s.Head(ctx, j.ID)
			if err != nil || string(now.Text) != past[len(past)-1] || now.Number != head.Number {
				t.Fatalf("stands %q as %d, want %q as %d (%v)", now.Text, now.Number, past[len(past)-1], head.Number, err)
			}
		}
		all, err := s.Revisions(ctx, j.ID, 0, 100)
		if err != nil || len(all) != len(texts) || all[0].Number != len(texts) {
			t.Fatalf("%d revisions, want %d (%v)", len(all), len(texts), err)
		}
	})
}

// TestManySavers: what was acknowledged is there, numbers are dense, and nothing that was
// refused is lost.
func TestManySavers(t *testing.T) {
	s := open(t, t.TempDir())
	j := create(t, s)
	const people, each = 8, 12
	var all sync.WaitGroup
	for p := range people {
		all.Go(func() {
			for n := range each {
				head, err := s.Head(ctx, j.ID)
				if err != nil {
					t.Error(err)
					return
				}
				_, err = save(s, j.ID, head.Number, fmt.Sprintf("%d/%d", p, n))
				var c *Conflict
				if err != nil && !errors.As(err, &c) {
					t.Error(err)
				}
			}
		})
	}
	all.Wait()
	revisions, err := s.Revisions(ctx, j.ID, 0, 1000)
	if err != nil || len(revisions) != people*each+1 {
		t.Fatalf("%d revisions, want %d (%v)", len(revisions), people*each+1, err)
	}
	seen := map[string]bool{}
	for i, r := range revisions {
		whole, err := s.Revision(ctx, j.ID, r.Number)
		if err != nil || r.Number != len(revisions)-i || seen[string(whole.Text)] {
			t.Errorf("revision %d: %q (%v)", r.Number, whole.Text, err)
		}
		seen[string(whole.Text)] = true
	}
}

func TestClockJumps(t *testing.T) {
	now := time.Date(2027, 3, 1, 8, 0, 0, 0, time.UTC)
	s, err := Open(t.TempDir(), func() time.Time { return now })
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	j := create(t, s)
	for i, jump := range []time.Duration{time.Hour, -48 * time.Hour, 24 * 365 * time.Hour, -1} {
		now = now.Add(jump)
		if _, err := save(s, j.ID, i+1, fmt.Sprint(i)); err != nil {
			t.Fatal(err)
		}
	}
	list, err := s.Revisions(ctx, j.ID, 0, 10)
	if err != nil {
		t.Fatal(err)
	}
	for i, r := range list {
		if r.Number != 5-i {
			t.Errorf("place %d holds revision %d", i, r.Number)
		}
	}
	if head, _ := s.Head(ctx, j.ID); head.Number != 5 {
		t.Errorf("head is %d", head.Number)
	}
}

func TestLinks(t *testing.T) {
	now := time.Date(2027, 3, 1, 8, 0, 0, 0, time.UTC)
	dir := t.TempDir()
	s, err := Open(dir, func() time.Time { return now })
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	j := create(t, s)
	l, token, err := s.MakeLink(ctx, j.ID, 1, now.Add(time.Hour), "Mara")
	if err != nil || len(token) < 43 {
		t.Fatal(err, token)
	}
	if got, err := s.OpenLink(ctx, token); err != nil || got.Job != j.ID || got.Revision != 1 {
		t.Error(got, err)
	}
	for _, wrong := range []string{"", ".", "1.", token + "A", token[:len(token)-1], "zz" + token, strings.ToUpper(token), strings.Replace(token, ".", "", 1)} {
		if _, err := s.OpenLink(ctx, wrong); !errors.Is(err, ErrNotFound) {
			t.Errorf("%q opened: %v", wrong, err)
		}
	}
	if _, _, err := s.MakeLink(ctx, j.ID, 9, now.Add(time.Hour), ""); !errors.Is(err, ErrNotFound) {
		t.Errorf("a link to a revision that is not there: %v", err)
	}
	first, err := s.Say(ctx, Word{Link: l.ID, Job: j.ID, Revision: 1, Kind: "acceptance", Name: "A. Client", Text: "yes"})
	if err != nil {
		t.Fatal(err)
	}
	if again, err := s.Say(ctx, Word{Link: l.ID, Job: j.ID, Revision: 1, Kind: "acceptance", Name: "Other"}); err != nil || again != first {
		t.Errorf("accepted twice: %+v, %v", again, err)
	}
	now = now.Add(2 * time.Hour)
	if _, err := s.OpenLink(ctx, token); !errors.Is(err, ErrExpired) {
		t.Errorf("expired: %v", err)
	}
	_, token, _ = s.MakeLink(ctx, j.ID, 1, now.Add(time.Hour), "")
	links, _ := s.Links(ctx, j.ID)
	if err := s.RevokeLink(ctx, j.ID, links[0].ID); err != nil {
		t.Fatal(err)
	}
	if _, err := s.OpenLink(ctx, token); !errors.Is(err, ErrRevoked) {
		t.Errorf("revoked: %v", err)
	}
	s.Close()
	raw, err := os.ReadFile(filepath.Join(dir, FileName))
	if err != nil || bytes.Contains(raw, []byte(token[3:])) {
		t.Error("the token itself is in the file", err)
	}
}

func TestAccountsAndSessions(t *testing.T) {
	s := open(t, t.TempDir())
	mara, err := s.AddAccount(ctx, "Mara", "owner", "hash")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.AddAccount(ctx, " MARA ", "owner", "x"); !errors.Is(err, ErrTaken) {
		t.Errorf("a name twice: %v", err)
	}
	idris, err := s.AddAccount(ctx, "idris", "applicator", "hash")
	if err != nil {
		t.Fatal(err)
	}
	if err := s.RemoveAccount(ctx, mara.ID); !errors.Is(err, ErrLastOwner) {
		t.Errorf("the last owner went: %v", err)
	}
	if err := s.SetRole(ctx, mara.ID, "applicator"); !errors.Is(err, ErrLastOwner) {
		t.Errorf("the last owner is none any more: %v", err)
	}
	if err := s.SetRole(ctx, idris.ID, "owner"); err != nil {
		t.Fatal(err)
	}
	if err := s.SetPassword(ctx, mara.ID, "other"); err != nil {
		t.Fatal(err)
	}
	if a, err := s.Account(ctx, "mArA"); err != nil || a.Hash != "other" || a.Epoch != mara.Epoch+1 {
		t.Errorf("%+v, %v", a, err)
	}
	sessions := s.Sessions()
	if err := sessions.Commit("token", []byte("data"), s.now().Add(time.Hour)); err != nil {
		t.Fatal(err)
	}
	if data, ok, err := sessions.Find("token"); !ok || string(data) != "data" || err != nil {
		t.Errorf("%q, %v, %v", data, ok, err)
	}
	if err := sessions.Commit("old", []byte("data"), s.now().Add(-time.Hour)); err != nil {
		t.Fatal(err)
	}
	if _, ok, _ := sessions.Find("old"); ok {
		t.Error("a session outlived its end")
	}
	if err := sessions.Delete("token"); err != nil {
		t.Fatal(err)
	}
	if _, ok, _ := sessions.Find("token"); ok {
		t.Error("a session outlived signing out")
	}
}

func TestBackupAndRestore(t *testing.T) {
	dir, other := t.TempDir(), t.TempDir()
	s := open(t, dir)
	j := create(t, s)
	stop := make(chan bool)
	go func() { // somebody works on while the copy is made
		defer close(stop)
		for i := range 60 {
			head, _ := s.Head(ctx, j.ID)
			save(s, j.ID, head.Number, fmt.Sprint("later ", i))
		}
	}()
	copyOf := filepath.Join(other, "copy.db")
	if err := s.Backup(ctx, copyOf); err != nil {
		t.Fatal(err)
	}
	<-stop
	kept, err := RestoreBackup(ctx, copyOf, other, time.Unix(0, 0))
	if err != nil || kept != "" {
		t.Fatal(kept, err)
	}
	back := open(t, other)
	if head, err := back.Head(ctx, j.ID); err != nil || head.Number < 1 {
		t.Errorf("%+v, %v", head, err)
	}
	if _, err := RestoreBackup(ctx, copyOf, dir, time.Unix(0, 0)); err == nil {
		t.Error("restored over a database in use")
	}
	s.Close()
	if kept, err := RestoreBackup(ctx, copyOf, dir, time.Unix(0, 0)); err != nil || !exists(kept) {
		t.Error(kept, err)
	}
	broken := filepath.Join(other, "broken.db")
	if err := os.WriteFile(broken, []byte("SQLite format 3\x00 and nothing more"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := RestoreBackup(ctx, broken, dir, time.Unix(0, 0)); err == nil {
		t.Error("a broken file was restored")
	}
}

func exists(path string) bool { _, err := os.Stat(path); return err == nil }

func TestArchive(t *testing.T) {
	s := open(t, t.TempDir())
	j := create(t, s)
	save(s, j.ID, 1, "two")
	save(s, j.ID, 1, "beside")
	s.Undo(ctx, j.ID, "", nil)
	s.NameRevision(ctx, j.ID, 2, "sent to client")
	l, _, _ := s.MakeLink(ctx, j.ID, 2, s.now().Add(time.Hour), "")
	s.Say(ctx, Word{Link: l.ID, Job: j.ID, Revision: 2, Kind: "acceptance", Name: "A. Client"})
	var out bytes.Buffer
	if err := s.WriteArchive(ctx, &out); err != nil {
		t.Fatal(err)
	}
	again := open(t, t.TempDir())
	for i, want := range []Taken{{Jobs: 1, Revisions: 4}, {Known: 1}} {
		if got, err := again.ReadArchive(ctx, bytes.NewReader(out.Bytes()), int64(out.Len())); err != nil || got != want {
			t.Errorf("time %d: %+v, %v", i, got, err)
		}
	}
	var second bytes.Buffer
	if err := again.WriteArchive(ctx, &second); err != nil {
		t.Fatal(err)
	}
	for n := 1; n <= 4; n++ {
		a, err := s.Revision(ctx, j.ID, n)
		b, err2 := again.Revision(ctx, j.ID, n)
		if err != nil || err2 != nil || string(a.Text) != string(b.Text) || a.Kind != b.Kind || a.Name != b.Name || !a.At.Equal(b.At) || a.Parent != b.Parent {
			t.Errorf("revision %d: %+v and %+v", n, a, b)
		}
	}
	if words, err := again.Words(ctx, j.ID); err != nil || len(words) != 1 || words[0].Name != "A. Client" {
		t.Errorf("%+v, %v", words, err)
	}
	// Another job of the same ID comes in under an ID of its own.
	if _, err := save(again, j.ID, 4, "gone on elsewhere"); err != nil {
		t.Fatal(err)
	}
	save(s, j.ID, 4, "gone on here")
	out.Reset()
	s.WriteArchive(ctx, &out)
	if got, err := again.ReadArchive(ctx, bytes.NewReader(out.Bytes()), int64(out.Len())); err != nil || got.Jobs != 1 {
		t.Errorf("%+v, %v", got, err)
	}
}

func FuzzReadArchive(f *testing.F) {
	s, err := Open(f.TempDir(), ticking())
	if err != nil {
		f.Fatal(err)
	}
	f.Cleanup(func() { s.Close() })
	create(f, s)
	var out bytes.Buffer
	if err := s.WriteArchive(ctx, &out); err != nil {
		f.Fatal(err)
	}
	f.Add(out.Bytes())
	f.Add([]byte("PK"))
	f.Fuzz(func(t *testing.T, b []byte) {
		_, _ = readArchive(bytes.NewReader(b), int64(len(b))) // it must not panic
	})
}

func TestCache(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	if _, _, ok := s.Cached(ctx, "k"); ok {
		t.Error("something in an empty cache")
	}
	s.Cache(ctx, "k", "image/jpeg", []byte("picture"))
	if content, kind, ok := s.Cached(ctx, "k"); !ok || string(content) != "picture" || kind != "image/jpeg" {
		t.Error(content, kind, ok)
	}
	big := make([]byte, mostCached/9)
	for i := range 12 {
		s.Cache(ctx, fmt.Sprint(i), "x", big)
		s.Cached(ctx, "k") // used over and over: it stays
	}
	if _, _, ok := s.Cached(ctx, "k"); !ok {
		t.Error("what is used most went first")
	}
	if _, _, ok := s.Cached(ctx, "0"); ok || s.cache.size > mostCached {
		t.Errorf("the cache grew to %d", s.cache.size)
	}
	s.Close()
	if err := os.WriteFile(filepath.Join(dir, "cache.db"), []byte("damaged damaged damaged"), 0o600); err != nil {
		t.Fatal(err)
	}
	again := open(t, dir)
	again.Cache(ctx, "k", "x", []byte("y")) // without a cache everything still works
}

func TestNewerSchemaIsRefused(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	if _, err := s.write.Exec(`INSERT INTO goose_db_version (version_id, is_applied) VALUES (999, 1)`); err != nil {
		t.Fatal(err)
	}
	s.Close()
	if _, err := Open(dir, ticking()); !errors.Is(err, ErrNewer) {
		t.Errorf("opened a newer database: %v", err)
	}
}

// TestEarlierSchemas opens a database of each schema there has been.
func TestEarlierSchemas(t *testing.T) {
	dumps, err := filepath.Glob("testdata/schema-*.db")
	if err != nil || len(dumps) == 0 {
		t.Fatal("no databases of earlier schemas", err)
	}
	for _, dump := range dumps {
		dir := t.TempDir()
		if err := copied(dump, filepath.Join(dir, FileName)); err != nil {
			t.Fatal(err)
		}
		s := open(t, dir)
		jobs, err := s.Jobs(ctx, true)
		if err != nil || len(jobs) != 1 {
			t.Fatalf("%s: %v, %v", dump, jobs, err)
		}
		if head, err := s.Head(ctx, jobs[0].ID); err != nil || string(head.Text) != "two" {
			t.Errorf("%s: %q, %v", dump, head.Text, err)
		}
	}
}

// TestDiskFull saves on a disk without room: a clear error, nothing lost, and it works
// again when there is room.
func TestDiskFull(t *testing.T) {
	s := open(t, t.TempDir())
	j := create(t, s)
	var pages int
	if err := s.write.QueryRow(`PRAGMA page_count`).Scan(&pages); err != nil {
		t.Fatal(err)
	}
	s.write.Exec(fmt.Sprintf(`PRAGMA max_page_count = %d`, pages+2))
	big := strings.Repeat("a wall ", 20000)
	if _, err := save(s, j.ID, 1, big); !errors.Is(err, ErrDiskFull) {
		t.Fatalf("a full disk says %v", err)
	}
	if head, err := s.Head(ctx, j.ID); err != nil || string(head.Text) != "one" {
		t.Errorf("%q, %v", head.Text, err)
	}
	s.write.Exec(`PRAGMA max_page_count = 1000000`)
	if _, err := save(s, j.ID, 1, big); err != nil {
		t.Errorf("with room again: %v", err)
	}
}

// TestFullAndReadOnlyDisk does the same on a disk of its own, as root can make one.
func TestFullAndReadOnlyDisk(t *testing.T) {
	if runtime.GOOS != "linux" || os.Getuid() != 0 {
		t.Skip("needs a disk of its own, which takes root on Linux")
	}
	dir := t.TempDir()
	if out, err := exec.Command("mount", "-t", "tmpfs", "-o", "size=2m", "tmpfs", dir).CombinedOutput(); err != nil {
		t.Skipf("no disk of its own here: %s", out)
	}
	t.Cleanup(func() { exec.Command("umount", dir).Run() })
	s, err := Open(dir, ticking())
	if err != nil {
		t.Fatal(err)
	}
	j := create(t, s)
	ballast := filepath.Join(dir, "ballast")
	os.WriteFile(ballast, make([]byte, 2<<20), 0o600) // fills what there is
	last := 1
	var full error
	for i := range 200 {
		r, err := save(s, j.ID, last, strings.Repeat(fmt.Sprint("wall ", i), 3000))
		if full = err; err != nil {
			break
		}
		last = r.Number
	}
	if !errors.Is(full, ErrDiskFull) {
		t.Fatalf("a full disk says %v", full)
	}
	if head, err := s.Head(ctx, j.ID); err != nil || head.Number != last {
		t.Errorf("head %d, want %d (%v)", head.Number, last, err)
	}
	os.Remove(ballast)
	if _, err := save(s, j.ID, last, "room again"); err != nil {
		t.Errorf("with room again: %v", err)
	}
	s.Close()
	if out, err := exec.Command("mount", "-o", "remount,ro", dir).CombinedOutput(); err != nil {
		t.Skipf("cannot make the disk read-only: %s", out)
	}
	if s, err := Open(dir, ticking()); err == nil {
		if _, err := save(s, j.ID, last+1, "x"); !errors.Is(err, ErrReadOnly) {
			t.Errorf("a read-only disk says %v", err)
		}
		s.Close()
	} else if !errors.Is(err, ErrReadOnly) {
		t.Errorf("a read-only disk says %v", err)
	}
}

// TestKilled kills the program in a storm of saves, over and over: every revision it
// acknowledged is there, whole, and the file is sound. SCUMBLE_KILLS sets how often.
func TestKilled(t *testing.T) {
	if os.Getenv("SCUMBLE_STORM") != "" {
		storm()
	}
	rounds := 12
	if n, err := strconv.Atoi(os.Getenv("SCUMBLE_KILLS")); err == nil {
		rounds = n
	}
	dir := t.TempDir()
	s, err := Open(dir, ticking())
	if err != nil {
		t.Fatal(err)
	}
	j := create(t, s)
	s.Close()
	acknowledged := map[int]bool{}
	for round := range rounds {
		child := exec.Command(os.Args[0], "-test.run=^TestKilled$")
		child.Env = append(os.Environ(), "SCUMBLE_STORM="+dir+"|"+j.ID)
		out, err := child.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := child.Start(); err != nil {
			t.Fatal(err)
		}
		lines := bufio.NewScanner(out)
		if !lines.Scan() {
			t.Fatal("the program saved nothing")
		}
		time.AfterFunc(time.Duration(round*7919%41)*time.Millisecond, func() { child.Process.Kill() })
		for ok := true; ok; ok = lines.Scan() {
			if n, err := strconv.Atoi(lines.Text()); err == nil {
				acknowledged[n] = true
			}
		}
		child.Wait()
		if err := sound(ctx, filepath.Join(dir, FileName)); err != nil {
			t.Fatal(err)
		}
		s, err := Open(dir, ticking())
		if err != nil {
			t.Fatal(err)
		}
		for n := range acknowledged {
			r, err := s.Revision(ctx, j.ID, n)
			if err != nil || string(r.Text) != stormText(n) {
				t.Fatalf("round %d: revision %d was acknowledged and is not there whole (%v)", round, n, err)
			}
		}
		s.Close()
	}
	t.Logf("%d kills, %d acknowledged revisions", rounds, len(acknowledged))
}

func stormText(n int) string { return strings.Repeat(fmt.Sprintf("revision %d\n", n), 300) }

// storm saves without a pause and tells each number once it is acknowledged.
func storm() {
	dir, id, _ := strings.Cut(os.Getenv("SCUMBLE_STORM"), "|")
	s, err := Open(dir, ticking())
	if err != nil {
		fmt.Println(err)
		os.Exit(1)
	}
	for {
		head, err := s.Head(ctx, id)
		if err != nil {
			os.Exit(1)
		}
		r, err := save(s, id, head.Number, stormText(head.Number+1))
		if err != nil {
			os.Exit(1)
		}
		fmt.Println(r.Number)
	}
}

func BenchmarkSave(b *testing.B) {
	s := open(b, b.TempDir())
	j := create(b, s)
	text := strings.Repeat("a line of a job file\n", 700)
	n := 1
	for b.Loop() {
		r, err := save(s, j.ID, n, text+fmt.Sprint(n))
		if err != nil {
			b.Fatal(err)
		}
		n = r.Number
	}
}

func BenchmarkJobs(b *testing.B) {
	s := open(b, b.TempDir())
	for range 1000 {
		create(b, s)
	}
	for b.Loop() {
		if list, err := s.Jobs(ctx, false); err != nil || len(list) != 1000 {
			b.Fatal(err)
		}
	}
}
