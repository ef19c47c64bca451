package store

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"database/sql"
	"encoding/base64"
	"errors"
	"strconv"
	"strings"
	"time"
)

// Link is the address under which a client sees one revision of a job.
type Link struct {
	ID                     int64
	Job                    string
	Revision               int
	Made, Expires, Revoked time.Time // Revoked is zero while it works
	By                     string
	Seen                   int
	LastSeen               time.Time
}

// Why a link does not open.
var (
	ErrExpired = errors.New("this link has expired; ask for a new one")
	ErrRevoked = errors.New("this link was taken back; ask for a new one")
)

const linkColumns = `id, job, revision, made, expires, revoked, who, seen, last_seen`

func scanLink(r row, more ...any) (l Link, err error) {
	var made, expires, revoked, last int64
	err = r.Scan(append([]any{&l.ID, &l.Job, &l.Revision, &made, &expires, &revoked, &l.By, &l.Seen, &last}, more...)...)
	l.Made, l.Expires, l.Revoked, l.LastSeen = moment(made), moment(expires), moment(revoked), moment(last)
	return l, told(err)
}

// MakeLink makes a link to a revision that works until it expires. The token is told
// once; only its hash is kept.
func (s *Store) MakeLink(ctx context.Context, job string, revision int, expires time.Time, by string) (Link, string, error) {
	secret := make([]byte, 32)
	if _, err := rand.Read(secret); err != nil {
		return Link{}, "", err
	}
	hash := sha256.Sum256(secret)
	l, err := scanLink(s.write.QueryRowContext(ctx, `INSERT INTO link (job, revision, hash, made, expires, who)
		SELECT job, number, $3, $4, $5, $6 FROM revision WHERE job = $1 AND number = $2 RETURNING `+linkColumns,
		job, revision, hash[:], s.now().UnixMicro(), expires.UnixMicro(), by))
	return l, strconv.FormatInt(l.ID, 36) + "." + base64.RawURLEncoding.EncodeToString(secret), err
}

// OpenLink finds the link of a token and counts that it was seen.
func (s *Store) OpenLink(ctx context.Context, token string) (Link, error) {
	number, secret, _ := strings.Cut(token, ".")
	id, err := strconv.ParseInt(number, 36, 64)
	given, err2 := base64.RawURLEncoding.DecodeString(secret)
	if err != nil || err2 != nil {
		return Link{}, ErrNotFound
	}
	var kept []byte
	l, err := scanLink(s.read.QueryRowContext(ctx, `SELECT `+linkColumns+`, hash FROM link WHERE id = $1`, id), &kept)
	hash := sha256.Sum256(given)
	switch {
	case err != nil:
		return Link{}, err
	case subtle.ConstantTimeCompare(hash[:], kept) != 1:
		return Link{}, ErrNotFound
	case !l.Revoked.IsZero():
		return Link{}, ErrRevoked
	case !s.now().Before(l.Expires):
		return Link{}, ErrExpired
	}
	_, err = s.write.ExecContext(ctx, `UPDATE link SET seen = seen + 1, last_seen = $2 WHERE id = $1`, id, s.now().UnixMicro())
	return l, told(err)
}

// RevokeLink takes a link back for good.
func (s *Store) RevokeLink(ctx context.Context, job string, id int64) error {
	return s.changed(ctx, `UPDATE link SET revoked = $3 WHERE job = $1 AND id = $2 AND revoked = 0`, job, id, s.now().UnixMicro())
}

// Links lists the links of a job, the newest first.
func (s *Store) Links(ctx context.Context, job string) ([]Link, error) {
	rows, err := s.read.QueryContext(ctx, `SELECT `+linkColumns+` FROM link WHERE job = $1 ORDER BY id DESC`, job)
	if err != nil {
		return nil, told(err)
	}
	defer rows.Close()
	var out []Link
	for rows.Next() {
		l, err := scanLink(rows)
		if err != nil {
			return nil, err
		}
		out = append(out, l)
	}
	return out, told(rows.Err())
}

// Word is something said through a link: a question, its answer, or the acceptance of a
// revision. Words are never changed.
type Word struct {
	ID, Link   int64
	Job        string
	Revision   int
	Kind       string // question | answer | acceptance
	Name, Text string
	At         time.Time
}

const wordColumns = `id, link, job, revision, kind, name, text, at`

func scanWord(r row) (w Word, err error) {
	var at int64
	err = r.Scan(&w.ID, &w.Link, &w.Job, &w.Revision, &w.Kind, &w.Name, &w.Text, &at)
	w.At = moment(at)
	return w, told(err)
}

// Say keeps a word. A revision is accepted once through a link; a second acceptance
// changes nothing and returns the first.
func (s *Store) Say(ctx context.Context, w Word) (Word, error) {
	var said Word
	err := s.within(ctx, func(tx *sql.Tx) error {
		var err error
		said, err = scanWord(tx.QueryRowContext(ctx, `INSERT INTO word (link, job, revision, kind, name, text, at) VALUES ($1, $2, $3, $4, $5, $6, $7)
			ON CONFLICT DO NOTHING RETURNING `+wordColumns, w.Link, w.Job, w.Revision, w.Kind, w.Name, w.Text, s.now().UnixMicro()))
		if errors.Is(err, ErrNotFound) {
			said, err = scanWord(tx.QueryRowContext(ctx, `SELECT `+wordColumns+` FROM word WHERE link = $1 AND revision = $2 AND kind = 'acceptance'`, w.Link, w.Revision))
		}
		return err
	})
	return said, err
}

// Words lists what was said about a job, in order.
func (s *Store) Words(ctx context.Context, job string) ([]Word, error) {
	rows, err := s.read.QueryContext(ctx, `SELECT `+wordColumns+` FROM word WHERE job = $1 ORDER BY id`, job)
	if err != nil {
		return nil, told(err)
	}
	defer rows.Close()
	var out []Word
	for rows.Next() {
		w, err := scanWord(rows)
		if err != nil {
			return nil, err
		}
		out = append(out, w)
	}
	return out, told(rows.Err())
}
