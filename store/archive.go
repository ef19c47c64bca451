package store

import (
	"archive/zip"
	"bytes"
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"sort"
	"strings"
	"time"
)

// archived is the file job.json of a job in an archive; the texts lie beside it.
type archived struct {
	ID, Name, Place string
	Head            int
	Created, Saved  time.Time
	Put             bool
	Revisions       []archivedRevision
	Words           []archivedWord
}

type archivedRevision struct {
	Number               int
	By, What, Kind, Name string
	At                   time.Time
	Stands, Parent       int
}

type archivedWord struct {
	Revision         int
	Kind, Name, Text string
	At               time.Time
}

// Bounds of what is taken in from an archive.
const (
	mostArchived = 200_000
	largestText  = 8 << 20
	largestAll   = 2 << 30
)

// WriteArchive writes every job with all its revisions and what clients said, as a zip of
// plain files. Accounts, sessions and links are not in it.
func (s *Store) WriteArchive(ctx context.Context, w io.Writer) error {
	jobs, err := s.Jobs(ctx, true)
	if err != nil {
		return err
	}
	out := zip.NewWriter(w)
	for _, j := range jobs {
		if err := s.archive(ctx, out, j); err != nil {
			return err
		}
	}
	return out.Close()
}

func (s *Store) archive(ctx context.Context, out *zip.Writer, j Job) error {
	a := archived{ID: j.ID, Name: j.Name, Place: j.Place, Head: j.Head, Created: j.Created, Saved: j.Saved, Put: j.Put}
	revisions, err := s.Revisions(ctx, j.ID, 0, mostArchived)
	if err != nil {
		return err
	}
	for i := len(revisions) - 1; i >= 0; i-- {
		r, err := s.Revision(ctx, j.ID, revisions[i].Number)
		if err != nil {
			return err
		}
		a.Revisions = append(a.Revisions, archivedRevision{r.Number, r.By, r.What, r.Kind, r.Name, r.At, r.Stands, r.Parent})
		f, err := out.CreateHeader(&zip.FileHeader{Name: fmt.Sprintf("jobs/%s/%d.yaml", j.ID, r.Number), Method: zip.Deflate, Modified: r.At})
		if err != nil {
			return err
		}
		if _, err := f.Write(r.Text); err != nil {
			return err
		}
	}
	words, err := s.Words(ctx, j.ID)
	if err != nil {
		return err
	}
	for _, word := range words {
		a.Words = append(a.Words, archivedWord{word.Revision, word.Kind, word.Name, word.Text, word.At})
	}
	f, err := out.Create("jobs/" + j.ID + "/job.json")
	if err != nil {
		return err
	}
	text, err := json.MarshalIndent(a, "", " ")
	if err != nil {
		return err
	}
	_, err = f.Write(text)
	return err
}

// Taken is what came in from an archive.
type Taken struct{ Jobs, Revisions, Known int }

// ReadArchive takes in the jobs of an archive that are not there yet. A job that is there
// is left as it is where the archive holds nothing else; where it does, the archive's one
// comes in under another ID.
func (s *Store) ReadArchive(ctx context.Context, r io.ReaderAt, size int64) (Taken, error) {
	var taken Taken
	jobs, err := readArchive(r, size)
	if err != nil {
		return taken, err
	}
	for _, j := range jobs {
		id, known, err := s.placeFor(ctx, j)
		if err != nil {
			return taken, err
		}
		if known {
			taken.Known++
			continue
		}
		if err := s.takeIn(ctx, id, j); err != nil {
			return taken, err
		}
		taken.Jobs++
		taken.Revisions += len(j.facts.Revisions)
	}
	return taken, nil
}

// unpacked is one job of an archive.
type unpacked struct {
	facts archived
	texts map[int][]byte
}

func readArchive(r io.ReaderAt, size int64) ([]unpacked, error) {
	z, err := zip.NewReader(r, size)
	if err != nil {
		return nil, fmt.Errorf("this is no archive of scumble: %w", err)
	}
	if len(z.File) > mostArchived {
		return nil, fmt.Errorf("the archive holds %d files, more than can be taken in", len(z.File))
	}
	texts := map[string]map[int][]byte{}
	facts := map[string]archived{}
	var all int64
	for _, f := range z.File {
		parts := strings.Split(f.Name, "/")
		if len(parts) != 3 || parts[0] != "jobs" || parts[1] == "" {
			continue
		}
		content, err := unzipped(f)
		if err != nil {
			return nil, fmt.Errorf("%s cannot be read: %w", f.Name, err)
		}
		if all += int64(len(content)); all > largestAll {
			return nil, errors.New("the archive holds more than can be taken in")
		}
		var number int
		if parts[2] == "job.json" {
			var a archived
			if err := json.Unmarshal(content, &a); err != nil {
				return nil, fmt.Errorf("%s cannot be read: %w", f.Name, err)
			}
			facts[parts[1]] = a
		} else if _, err := fmt.Sscanf(parts[2], "%d.yaml", &number); err == nil {
			if texts[parts[1]] == nil {
				texts[parts[1]] = map[int][]byte{}
			}
			texts[parts[1]][number] = content
		}
	}
	return whole(facts, texts)
}

// whole checks that every job of an archive has what it says it has.
func whole(facts map[string]archived, texts map[string]map[int][]byte) ([]unpacked, error) {
	var out []unpacked
	for folder, a := range facts {
		seen := map[int]bool{}
		for _, r := range a.Revisions {
			if texts[folder][r.Number] == nil || r.Number < 1 || seen[r.Number] {
				return nil, fmt.Errorf("revision %d of %q is missing in the archive or there twice", r.Number, a.Name)
			}
			seen[r.Number] = true
		}
		for _, r := range a.Revisions {
			if !seen[r.Stands] || r.Parent != 0 && !seen[r.Parent] {
				return nil, fmt.Errorf("revision %d of %q names one that is not in the archive", r.Number, a.Name)
			}
		}
		if !seen[a.Head] {
			return nil, fmt.Errorf("the newest revision of %q is not in the archive", a.Name)
		}
		out = append(out, unpacked{a, texts[folder]})
	}
	sort.Slice(out, func(i, k int) bool { return out[i].facts.ID < out[k].facts.ID })
	return out, nil
}

func unzipped(f *zip.File) ([]byte, error) {
	in, err := f.Open()
	if err != nil {
		return nil, err
	}
	defer in.Close()
	content, err := io.ReadAll(io.LimitReader(in, largestText+1))
	if len(content) > largestText {
		return nil, errors.New("it is larger than any job")
	}
	if content == nil {
		content = []byte{}
	}
	return content, err
}

// placeFor is the ID a job of an archive is kept under; known when it is there already.
func (s *Store) placeFor(ctx context.Context, j unpacked) (id string, known bool, err error) {
	if !plainID(j.facts.ID) {
		return newID(), false, nil
	}
	_, err = s.Job(ctx, j.facts.ID)
	switch {
	case errors.Is(err, ErrNotFound):
		return j.facts.ID, false, nil
	case err != nil:
		return "", false, err
	}
	for _, r := range j.facts.Revisions {
		there, err := s.Revision(ctx, j.facts.ID, r.Number)
		if errors.Is(err, ErrNotFound) || err == nil && !bytes.Equal(there.Text, j.texts[r.Number]) {
			return newID(), false, nil
		}
		if err != nil {
			return "", false, err
		}
	}
	return j.facts.ID, true, nil
}

// plainID reports whether an ID is one this program makes.
func plainID(id string) bool {
	return len(id) == 10 && strings.Trim(id, "abcdefghijklmnopqrstuvwxyz234567") == ""
}

func (s *Store) takeIn(ctx context.Context, id string, j unpacked) error {
	a := j.facts
	return s.within(ctx, func(tx *sql.Tx) error {
		if _, err := tx.ExecContext(ctx, `INSERT INTO job (`+jobColumns+`) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
			id, a.Name, a.Place, a.Head, a.Created.UnixMicro(), a.Saved.UnixMicro(), a.Put); err != nil {
			return err
		}
		for _, r := range a.Revisions {
			if err := insert(ctx, tx, Revision{id, r.Number, j.texts[r.Number], r.By, r.What, r.At, r.Kind, r.Stands, r.Parent, r.Name}); err != nil {
				return err
			}
		}
		for _, w := range a.Words { // said through a link of another database, which works here no more
			link, err := s.oldLink(ctx, tx, id, w.Revision)
			if err != nil {
				return err
			}
			if _, err := tx.ExecContext(ctx, `INSERT INTO word (link, job, revision, kind, name, text, at) VALUES ($1, $2, $3, $4, $5, $6, $7) ON CONFLICT DO NOTHING`,
				link, id, w.Revision, w.Kind, w.Name, w.Text, w.At.UnixMicro()); err != nil {
				return err
			}
		}
		return nil
	})
}

// oldLink makes a link that opens nothing, for words that were said through one elsewhere.
func (s *Store) oldLink(ctx context.Context, tx *sql.Tx, job string, revision int) (id int64, err error) {
	now := s.now().UnixMicro()
	err = tx.QueryRowContext(ctx, `INSERT INTO link (job, revision, hash, made, expires, revoked, who) VALUES ($1, $2, x'', $3, $3, $3, 'from an archive') RETURNING id`,
		job, revision, now).Scan(&id)
	return id, err
}
