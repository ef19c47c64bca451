// Package store keeps jobs and what belongs to them in one SQLite database: every save
// is a revision, nothing is overwritten. It holds the only SQL of the program, and knows
// documents as bytes.
package store

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"time"

	"github.com/pressly/goose/v3"
	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

//go:embed migrations/*.sql
var migrations embed.FS

// FileName is the database in its folder.
const FileName = "scumble.db"

// What went wrong, for errors.Is.
var (
	ErrNotFound = errors.New("there is nothing of this name")
	ErrNothing  = errors.New("there is nothing to undo or redo")
	ErrDiskFull = errors.New("the disk is full; make room and try again")
	ErrReadOnly = errors.New("the folder of the jobs cannot be written to; check the disk and its rights")
	ErrNewer    = errors.New("the jobs were last kept by a newer scumble; use that one, or restore an older backup")
)

// Store is an open database. It is safe for use by many at once.
type Store struct {
	write, read *sql.DB
	cache       *cache
	now         func() time.Time
	path        string
}

// Open opens the database in a folder, and makes or brings it up to date. now is the clock.
func Open(dir string, now func() time.Time) (*Store, error) {
	s := &Store{now: now, path: filepath.Join(dir, FileName)}
	var err error
	if s.write, err = connect(s.path, "_txlock=immediate"); err != nil {
		return nil, told(err)
	}
	s.write.SetMaxOpenConns(1)
	if err := migrate(s.write); err != nil {
		return nil, errors.Join(told(err), s.write.Close())
	}
	if s.read, err = connect(s.path, "_pragma=query_only(1)"); err != nil {
		return nil, errors.Join(told(err), s.write.Close())
	}
	s.read.SetMaxOpenConns(4)
	s.cache = openCache(filepath.Join(dir, "cache.db"))
	if _, err := s.write.Exec(`DELETE FROM session WHERE expires < $1`, now().UnixMicro()); err != nil {
		return nil, errors.Join(told(err), s.Close())
	}
	return s, nil
}

// connect opens a database with what every connection is to have: a log written ahead and
// flushed at each commit, checked references, patience with another writer.
func connect(path, more string) (*sql.DB, error) {
	return sql.Open("sqlite", "file:"+path+"?_pragma=busy_timeout(10000)&_pragma=journal_mode(WAL)&_pragma=synchronous(FULL)&_pragma=foreign_keys(1)&"+more)
}

func migrate(db *sql.DB) error {
	files, err := fs.Sub(migrations, "migrations")
	if err != nil {
		return err
	}
	steps, err := goose.NewProvider(goose.DialectSQLite3, db, files)
	if err != nil {
		return err
	}
	have, want, err := steps.GetVersions(context.Background())
	if err != nil {
		return err
	}
	if have > want {
		return ErrNewer
	}
	_, err = steps.Up(context.Background())
	return err
}

// Schema is the version of the database.
func (s *Store) Schema(ctx context.Context) (int64, error) {
	var version int64
	err := s.read.QueryRowContext(ctx, `SELECT max(version_id) FROM goose_db_version`).Scan(&version)
	return version, told(err)
}

// Close closes the database.
func (s *Store) Close() error {
	s.cache.close()
	return errors.Join(s.read.Close(), s.write.Close())
}

// told turns what the database says into what a person can act on.
func told(err error) error {
	var code *sqlite.Error
	switch {
	case err == nil:
		return nil
	case errors.Is(err, sql.ErrNoRows):
		return ErrNotFound
	case errors.Is(err, fs.ErrPermission):
		return fmt.Errorf("%w (%v)", ErrReadOnly, err)
	case !errors.As(err, &code):
		return err
	}
	switch code.Code() & 0xff {
	case sqlite3.SQLITE_FULL:
		return fmt.Errorf("%w (%v)", ErrDiskFull, err)
	case sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM:
		return fmt.Errorf("%w (%v)", ErrReadOnly, err)
	case sqlite3.SQLITE_IOERR: // a write that finds no room comes back as this, too
		return fmt.Errorf("%w (%v)", ErrDiskFull, err)
	}
	return err
}

// within runs something in one transaction of the writer.
func (s *Store) within(ctx context.Context, do func(*sql.Tx) error) error {
	tx, err := s.write.BeginTx(ctx, nil)
	if err != nil {
		return told(err)
	}
	if err := do(tx); err != nil {
		_ = tx.Rollback() // the first error is the one that counts
		return told(err)
	}
	return told(tx.Commit())
}

func moment(micro int64) time.Time {
	if micro == 0 {
		return time.Time{}
	}
	return time.UnixMicro(micro).UTC()
}
