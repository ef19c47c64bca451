package store

import (
	"bytes"
	"context"
	"crypto/rand"
	"database/sql"
	"fmt"
	"strings"
	"time"
)

// Job is a job with the facts a list shows.
type Job struct {
	ID             string
	Name, Place    string
	Head           int // number of its newest revision that counts
	Created, Saved time.Time
	Put            bool // put away
}

// Revision is one state of a job's document.
type Revision struct {
	Job    string
	Number int // 1, 2, 3... in each job; revisions are ordered by it and never by time
	Text   []byte
	By     string
	What   string // what was changed, in words
	At     time.Time
	Kind   string // new | import | edit | undo | redo | restore | kept
	Stands int    // whose content it has: its own, or the revision that was brought back
	Parent int    // Stands of the revision it was made from; 0 for the first
	Name   string // given to it, such as "sent to client"
}

// Draft is a document to be saved.
type Draft struct {
	Job         string
	Name, Place string
	Base        int // the revision it was made from
	Text        []byte
	By, What    string
	Kind        string
}

// Conflict is the error of Save when somebody else saved first. What was to be saved is
// kept as a revision beside the others.
type Conflict struct{ Head, Kept Revision }

func (c *Conflict) Error() string {
	return fmt.Sprintf("somebody saved revision %d meanwhile; what you saved is kept as revision %d", c.Head.Number, c.Kept.Number)
}

const jobColumns = `id, name, place, head, created, saved, put`

type row interface{ Scan(...any) error }

func scanJob(r row) (j Job, err error) {
	var created, saved int64
	err = r.Scan(&j.ID, &j.Name, &j.Place, &j.Head, &created, &saved, &j.Put)
	j.Created, j.Saved = moment(created), moment(saved)
	return j, told(err)
}

const revisionColumns = `job, number, text, who, what, at, kind, stands, parent, name`

func scanRevision(r row) (v Revision, err error) {
	var at int64
	err = r.Scan(&v.Job, &v.Number, &v.Text, &v.By, &v.What, &at, &v.Kind, &v.Stands, &v.Parent, &v.Name)
	v.At = moment(at)
	return v, told(err)
}

// Jobs lists the jobs, the one saved last first.
func (s *Store) Jobs(ctx context.Context, putAway bool) ([]Job, error) {
	rows, err := s.read.QueryContext(ctx, `SELECT `+jobColumns+` FROM job WHERE put = 0 OR $1 ORDER BY saved DESC, id`, putAway)
	if err != nil {
		return nil, told(err)
	}
	defer rows.Close()
	var out []Job
	for rows.Next() {
		j, err := scanJob(rows)
		if err != nil {
			return nil, err
		}
		out = append(out, j)
	}
	return out, told(rows.Err())
}

// Create keeps a new job with its first revision.
func (s *Store) Create(ctx context.Context, name, place string, text []byte, by, what, kind string) (Job, Revision, error) {
	now := s.now()
	j := Job{ID: newID(), Name: name, Place: place, Head: 1, Created: now, Saved: now}
	v := Revision{Job: j.ID, Number: 1, Text: text, By: by, What: what, At: now, Kind: kind, Stands: 1}
	err := s.within(ctx, func(tx *sql.Tx) error {
		if _, err := tx.ExecContext(ctx, `INSERT INTO job (`+jobColumns+`) VALUES ($1, $2, $3, 1, $4, $4, 0)`, j.ID, name, place, now.UnixMicro()); err != nil {
			return err
		}
		return insert(ctx, tx, v)
	})
	return j, v, err
}

// newID is ten letters and digits nobody can guess.
func newID() string { return strings.ToLower(rand.Text()[:10]) }

func insert(ctx context.Context, tx *sql.Tx, v Revision) error {
	_, err := tx.ExecContext(ctx, `INSERT INTO revision (`+revisionColumns+`) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)`,
		v.Job, v.Number, v.Text, v.By, v.What, v.At.UnixMicro(), v.Kind, v.Stands, v.Parent, v.Name)
	return err
}

// Job finds a job by its ID.
func (s *Store) Job(ctx context.Context, id string) (Job, error) {
	return scanJob(s.read.QueryRowContext(ctx, `SELECT `+jobColumns+` FROM job WHERE id = $1`, id))
}

// Head is the newest revision that counts.
func (s *Store) Head(ctx context.Context, id string) (Revision, error) {
	return headOf(ctx, s.read, id)
}

type querier interface {
	QueryRowContext(context.Context, string, ...any) *sql.Row
}

func headOf(ctx context.Context, q querier, id string) (Revision, error) {
	return scanRevision(q.QueryRowContext(ctx, `SELECT r.job, r.number, r.text, r.who, r.what, r.at, r.kind, r.stands, r.parent, r.name
		FROM job JOIN revision r ON r.job = job.id AND r.number = job.head WHERE job.id = $1`, id))
}

// Revision finds a revision by its number.
func (s *Store) Revision(ctx context.Context, id string, number int) (Revision, error) {
	return revisionOf(ctx, s.read, id, number)
}

func revisionOf(ctx context.Context, q querier, id string, number int) (Revision, error) {
	return scanRevision(q.QueryRowContext(ctx, `SELECT `+revisionColumns+` FROM revision WHERE job = $1 AND number = $2`, id, number))
}

// Revisions lists revisions of a job without their texts, the newest first, at most so
// many before a number; 0 begins with the newest.
func (s *Store) Revisions(ctx context.Context, id string, before, limit int) ([]Revision, error) {
	if before <= 0 {
		before = 1 << 60
	}
	rows, err := s.read.QueryContext(ctx, `SELECT job, number, x'', who, what, at, kind, stands, parent, name
		FROM revision WHERE job = $1 AND number < $2 ORDER BY number DESC LIMIT $3`, id, before, limit)
	if err != nil {
		return nil, told(err)
	}
	defer rows.Close()
	var out []Revision
	for rows.Next() {
		v, err := scanRevision(rows)
		if err != nil {
			return nil, err
		}
		out = append(out, v)
	}
	return out, told(rows.Err())
}

// Save keeps a document as the newest revision. When it was not made from the newest one
// it is kept beside it, and the error is a *Conflict. A text equal to the newest is no
// new revision.
func (s *Store) Save(ctx context.Context, d Draft) (Revision, error) {
	var saved Revision
	var conflict *Conflict
	err := s.within(ctx, func(tx *sql.Tx) error {
		conflict = nil
		head, err := headOf(ctx, tx, d.Job)
		if err != nil {
			return err
		}
		if bytes.Equal(head.Text, d.Text) {
			saved = head
			return nil
		}
		saved = Revision{Job: d.Job, Text: d.Text, By: d.By, What: d.What, At: s.now(), Kind: d.Kind, Parent: head.Stands}
		if d.Base != head.Number {
			base, err := revisionOf(ctx, tx, d.Job, d.Base)
			if err != nil {
				return err
			}
			saved.Kind, saved.Parent = "kept", base.Stands
		}
		if err := s.appendTo(ctx, tx, &saved); err != nil {
			return err
		}
		if saved.Kind == "kept" {
			conflict = &Conflict{head, saved}
			return nil
		}
		return s.lead(ctx, tx, saved, d.Name, d.Place)
	})
	if err == nil && conflict != nil {
		return Revision{}, conflict
	}
	return saved, err
}

// appendTo gives a revision the next number of its job and keeps it.
func (s *Store) appendTo(ctx context.Context, tx *sql.Tx, v *Revision) error {
	if err := tx.QueryRowContext(ctx, `SELECT max(number) + 1 FROM revision WHERE job = $1`, v.Job).Scan(&v.Number); err != nil {
		return err
	}
	if v.Stands == 0 {
		v.Stands = v.Number
	}
	return insert(ctx, tx, *v)
}

// lead makes a revision the newest of its job.
func (s *Store) lead(ctx context.Context, tx *sql.Tx, v Revision, name, place string) error {
	_, err := tx.ExecContext(ctx, `UPDATE job SET head = $2, saved = $3, name = $4, place = $5 WHERE id = $1`, v.Job, v.Number, v.At.UnixMicro(), name, place)
	return err
}

// undone is the revision that undoing brings back: the parent of what stands.
const undone = `SELECT p.number FROM job JOIN revision h ON h.job = job.id AND h.number = job.head
	JOIN revision e ON e.job = job.id AND e.number = h.stands JOIN revision p ON p.job = job.id AND p.number = e.parent WHERE job.id = $1`

// redone is the revision that redoing brings back, right after undoing: the newest that
// was made from what stands.
const redone = `SELECT c.number FROM job JOIN revision h ON h.job = job.id AND h.number = job.head
	JOIN revision c ON c.job = job.id AND c.parent = h.stands AND c.stands = c.number AND c.kind <> 'kept'
	WHERE job.id = $1 AND h.kind IN ('undo', 'redo') ORDER BY c.number DESC LIMIT 1`

// May is asked, before then is brought back over now, whether that may be; nil is yes.
// Its error is the answer of who asked.
type May func(now, then Revision) error

// Undo brings back what stood before the last change. ErrNothing: there is none.
func (s *Store) Undo(ctx context.Context, id, by string, may May) (Revision, error) {
	return s.bring(ctx, id, by, "undo", undone, may)
}

// Redo brings back what was undone. ErrNothing: nothing was.
func (s *Store) Redo(ctx context.Context, id, by string, may May) (Revision, error) {
	return s.bring(ctx, id, by, "redo", redone, may)
}

// CanUndo reports whether there is something to undo.
func (s *Store) CanUndo(ctx context.Context, id string) (bool, error) { return s.can(ctx, id, undone) }

// CanRedo reports whether there is something to redo.
func (s *Store) CanRedo(ctx context.Context, id string) (bool, error) { return s.can(ctx, id, redone) }

func (s *Store) can(ctx context.Context, id, query string) (bool, error) {
	var number int
	err := s.read.QueryRowContext(ctx, query, id).Scan(&number)
	if err == sql.ErrNoRows {
		return false, nil
	}
	return err == nil, told(err)
}

func (s *Store) bring(ctx context.Context, id, by, kind, query string, may May) (Revision, error) {
	var saved Revision
	err := s.within(ctx, func(tx *sql.Tx) error {
		var number int
		switch err := tx.QueryRowContext(ctx, query, id).Scan(&number); {
		case err == sql.ErrNoRows:
			return ErrNothing
		case err != nil:
			return err
		}
		var err error
		saved, err = s.again(ctx, tx, id, number, by, kind, may)
		return err
	})
	return saved, err
}

// again appends a revision with the content of an earlier one.
func (s *Store) again(ctx context.Context, tx *sql.Tx, id string, number int, by, kind string, may May) (Revision, error) {
	old, err := revisionOf(ctx, tx, id, number)
	if err != nil {
		return old, err
	}
	head, err := headOf(ctx, tx, id)
	if err != nil {
		return old, err
	}
	if may != nil {
		if err := may(head, old); err != nil {
			return old, err
		}
	}
	what := map[string]string{"undo": "Undone: back to revision %d", "redo": "Done again: revision %d", "restore": "Revision %d brought back"}[kind]
	v := Revision{Job: id, Text: old.Text, By: by, What: fmt.Sprintf(what, number), At: s.now(), Kind: kind, Stands: old.Stands, Parent: old.Parent}
	if kind == "restore" { // a step of its own, that can be undone
		v.Stands, v.Parent = 0, head.Stands
	}
	if err := s.appendTo(ctx, tx, &v); err != nil {
		return v, err
	}
	_, err = tx.ExecContext(ctx, `UPDATE job SET head = $2, saved = $3 WHERE id = $1`, id, v.Number, v.At.UnixMicro())
	return v, err
}

// Restore brings an earlier revision back as the newest.
func (s *Store) Restore(ctx context.Context, id string, number int, by string, may May) (Revision, error) {
	var saved Revision
	err := s.within(ctx, func(tx *sql.Tx) (err error) {
		saved, err = s.again(ctx, tx, id, number, by, "restore", may)
		return err
	})
	return saved, err
}

// NameRevision gives a revision a name, such as "sent to client".
func (s *Store) NameRevision(ctx context.Context, id string, number int, name string) error {
	return s.changed(ctx, `UPDATE revision SET name = $3 WHERE job = $1 AND number = $2`, id, number, name)
}

// PutAway takes a job out of the list, or brings it back.
func (s *Store) PutAway(ctx context.Context, id string, away bool) error {
	return s.changed(ctx, `UPDATE job SET put = $2 WHERE id = $1`, id, away)
}

// changed runs a statement that must change one row.
func (s *Store) changed(ctx context.Context, query string, values ...any) error {
	result, err := s.write.ExecContext(ctx, query, values...)
	if err != nil {
		return told(err)
	}
	if n, err := result.RowsAffected(); err != nil || n == 0 {
		return ErrNotFound
	}
	return nil
}
