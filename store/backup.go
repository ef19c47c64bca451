package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"

	"modernc.org/sqlite"
)

// Backup copies the database into a file while it is in use. The copy is checked before it
// takes the name it is to have; an older file of that name is replaced then.
func (s *Store) Backup(ctx context.Context, path string) (err error) {
	part := path + ".part"
	if err := os.Remove(part); err != nil && !errors.Is(err, os.ErrNotExist) {
		return told(err)
	}
	defer func() {
		if err != nil {
			os.Remove(part)
		}
	}()
	conn, err := s.read.Conn(ctx)
	if err != nil {
		return told(err)
	}
	defer conn.Close()
	err = conn.Raw(func(driver any) error {
		source, ok := driver.(interface {
			NewBackup(string) (*sqlite.Backup, error)
		})
		if !ok {
			return fmt.Errorf("this database cannot be copied while it is in use")
		}
		b, err := source.NewBackup(part)
		if err != nil {
			return err
		}
		for more := true; more; {
			if more, err = b.Step(256); err != nil {
				return errors.Join(err, b.Finish())
			}
			if err := ctx.Err(); err != nil {
				return errors.Join(err, b.Finish())
			}
		}
		return b.Finish()
	})
	if err != nil {
		return told(err)
	}
	if err := sound(ctx, part); err != nil {
		return err
	}
	if err := flushed(part); err != nil {
		return told(err)
	}
	return told(os.Rename(part, path))
}

// sound checks that a file is a whole database of a schema this program knows.
func sound(ctx context.Context, path string) error {
	db, err := sql.Open("sqlite", "file:"+path+"?_pragma=busy_timeout(2000)&mode=rw")
	if err != nil {
		return told(err)
	}
	defer db.Close()
	var says string
	if err := db.QueryRowContext(ctx, `PRAGMA integrity_check`).Scan(&says); err != nil || says != "ok" {
		return fmt.Errorf("%s is no sound database of scumble (%s, %v); take another backup", path, says, err)
	}
	var version, known int64
	if err := db.QueryRowContext(ctx, `SELECT max(version_id) FROM goose_db_version`).Scan(&version); err != nil {
		return fmt.Errorf("%s is no database of scumble; take another backup", path)
	}
	entries, err := migrations.ReadDir("migrations")
	if err != nil {
		return err
	}
	if known = int64(len(entries)); version > known {
		return ErrNewer
	}
	return nil
}

func flushed(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

// RestoreBackup puts a backup in the place of the database in a folder that is not in
// use. What was there is kept beside it; the name is returned, "" when there was nothing.
func RestoreBackup(ctx context.Context, backup, dir string, now time.Time) (kept string, err error) {
	if err := sound(ctx, backup); err != nil {
		return "", err
	}
	path := filepath.Join(dir, FileName)
	part := path + ".part"
	if err := copied(backup, part); err != nil {
		return "", told(err)
	}
	if _, err := os.Stat(path); err == nil {
		if err := closedDown(ctx, path); err != nil {
			return "", errors.Join(err, os.Remove(part))
		}
		kept = path + ".before-" + now.Format("2006-01-02-150405")
		if err := os.Rename(path, kept); err != nil {
			return "", told(err)
		}
	}
	return kept, told(os.Rename(part, path))
}

// closedDown takes the whole log of a database into its file, which needs it for itself.
func closedDown(ctx context.Context, path string) error {
	db, err := sql.Open("sqlite", "file:"+path+"?_pragma=busy_timeout(500)&_pragma=locking_mode(EXCLUSIVE)")
	if err != nil {
		return told(err)
	}
	defer db.Close()
	db.SetMaxOpenConns(1)
	var mode string
	if err := db.QueryRowContext(ctx, `PRAGMA journal_mode = DELETE`).Scan(&mode); err != nil || mode != "delete" {
		return fmt.Errorf("the jobs are in use; stop scumble first, then restore")
	}
	return nil
}

func copied(from, to string) error {
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer in.Close()
	out, err := os.OpenFile(to, os.O_RDWR|os.O_CREATE|os.O_TRUNC, 0o600)
	if err != nil {
		return err
	}
	_, err = io.Copy(out, in)
	return errors.Join(err, out.Sync(), out.Close())
}
