package store

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"errors"
	"strings"
	"time"
)

// Account is a person who signs in.
type Account struct {
	ID      int64
	Name    string // as it is typed to sign in; one of a kind in any case
	Role    string // owner | applicator
	Hash    string // of the password, made elsewhere
	Epoch   int    // raised to end every session of the account
	Created time.Time
}

// ErrLastOwner is for what would leave nobody who may do everything.
var ErrLastOwner = errors.New("this is the last owner; make another owner first")

// ErrTaken is for a name that an account has already.
var ErrTaken = errors.New("there is an account of this name already")

const accountColumns = `id, name, role, hash, epoch, created`

func scanAccount(r row) (a Account, err error) {
	var created int64
	err = r.Scan(&a.ID, &a.Name, &a.Role, &a.Hash, &a.Epoch, &created)
	a.Created = moment(created)
	return a, told(err)
}

// folded is how names are compared.
func folded(name string) string { return strings.ToLower(strings.TrimSpace(name)) }

// AddAccount keeps a new account. ErrTaken: the name is taken.
func (s *Store) AddAccount(ctx context.Context, name, role, hash string) (Account, error) {
	var a Account
	err := s.within(ctx, func(tx *sql.Tx) error {
		var taken int
		if err := tx.QueryRowContext(ctx, `SELECT count(*) FROM account WHERE name = $1`, folded(name)).Scan(&taken); err != nil {
			return err
		}
		if taken > 0 {
			return ErrTaken
		}
		var err error
		a, err = scanAccount(tx.QueryRowContext(ctx, `INSERT INTO account (name, role, hash, created) VALUES ($1, $2, $3, $4) RETURNING `+accountColumns,
			folded(name), role, hash, s.now().UnixMicro()))
		return err
	})
	return a, err
}

// Account finds an account by its name in any case.
func (s *Store) Account(ctx context.Context, name string) (Account, error) {
	return scanAccount(s.read.QueryRowContext(ctx, `SELECT `+accountColumns+` FROM account WHERE name = $1`, folded(name)))
}

// AccountByID finds an account.
func (s *Store) AccountByID(ctx context.Context, id int64) (Account, error) {
	return scanAccount(s.read.QueryRowContext(ctx, `SELECT `+accountColumns+` FROM account WHERE id = $1`, id))
}

// Accounts lists the accounts by name.
func (s *Store) Accounts(ctx context.Context) ([]Account, error) {
	rows, err := s.read.QueryContext(ctx, `SELECT `+accountColumns+` FROM account ORDER BY name`)
	if err != nil {
		return nil, told(err)
	}
	defer rows.Close()
	var out []Account
	for rows.Next() {
		a, err := scanAccount(rows)
		if err != nil {
			return nil, err
		}
		out = append(out, a)
	}
	return out, told(rows.Err())
}

// SetPassword keeps another hash and ends every session of the account.
func (s *Store) SetPassword(ctx context.Context, id int64, hash string) error {
	return s.changed(ctx, `UPDATE account SET hash = $2, epoch = epoch + 1 WHERE id = $1`, id, hash)
}

// Rehash keeps the same password under a stronger hash; sessions go on.
func (s *Store) Rehash(ctx context.Context, id int64, hash string) error {
	return s.changed(ctx, `UPDATE account SET hash = $2 WHERE id = $1`, id, hash)
}

// RaiseEpoch ends every session of an account.
func (s *Store) RaiseEpoch(ctx context.Context, id int64) error {
	return s.changed(ctx, `UPDATE account SET epoch = epoch + 1 WHERE id = $1`, id)
}

// SetRole gives an account another role, unless it is the last owner.
func (s *Store) SetRole(ctx context.Context, id int64, role string) error {
	return s.keepingAnOwner(ctx, `UPDATE account SET role = $2, epoch = epoch + 1 WHERE id = $1`, id, role)
}

// RemoveAccount forgets an account, unless it is the last owner while there are others.
func (s *Store) RemoveAccount(ctx context.Context, id int64) error {
	return s.keepingAnOwner(ctx, `DELETE FROM account WHERE id = $1`, id)
}

func (s *Store) keepingAnOwner(ctx context.Context, query string, values ...any) error {
	return s.within(ctx, func(tx *sql.Tx) error {
		result, err := tx.ExecContext(ctx, query, values...)
		if err != nil {
			return err
		}
		if n, err := result.RowsAffected(); err != nil || n == 0 {
			return ErrNotFound
		}
		var owners, all int
		if err := tx.QueryRowContext(ctx, `SELECT count(*), coalesce(sum(role = 'owner'), 0) FROM account`).Scan(&all, &owners); err != nil {
			return err
		}
		if all > 0 && owners == 0 {
			return ErrLastOwner
		}
		return nil
	})
}

// Sessions keeps what the pages remember of people who have signed in, for
// github.com/alexedwards/scs. Only hashes of tokens are kept.
type Sessions struct{ store *Store }

// Sessions are the sessions of this store.
func (s *Store) Sessions() *Sessions { return &Sessions{s} }

func tokenHash(token string) []byte {
	sum := sha256.Sum256([]byte(token))
	return sum[:]
}

// Find looks a session up.
func (s *Sessions) Find(token string) ([]byte, bool, error) {
	return s.FindCtx(context.Background(), token)
}

// Commit keeps a session until it expires.
func (s *Sessions) Commit(token string, data []byte, expires time.Time) error {
	return s.CommitCtx(context.Background(), token, data, expires)
}

// Delete forgets a session.
func (s *Sessions) Delete(token string) error { return s.DeleteCtx(context.Background(), token) }

// FindCtx looks a session up.
func (s *Sessions) FindCtx(ctx context.Context, token string) ([]byte, bool, error) {
	var data []byte
	err := s.store.read.QueryRowContext(ctx, `SELECT data FROM session WHERE token = $1 AND expires > $2`, tokenHash(token), s.store.now().UnixMicro()).Scan(&data)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, false, nil
	}
	return data, err == nil, told(err)
}

// CommitCtx keeps a session until it expires, and forgets those that have.
func (s *Sessions) CommitCtx(ctx context.Context, token string, data []byte, expires time.Time) error {
	return s.store.within(ctx, func(tx *sql.Tx) error {
		if _, err := tx.ExecContext(ctx, `DELETE FROM session WHERE expires < $1`, s.store.now().UnixMicro()); err != nil {
			return err
		}
		_, err := tx.ExecContext(ctx, `INSERT INTO session (token, data, expires) VALUES ($1, $2, $3)
			ON CONFLICT (token) DO UPDATE SET data = excluded.data, expires = excluded.expires`, tokenHash(token), data, expires.UnixMicro())
		return err
	})
}

// DeleteCtx forgets a session.
func (s *Sessions) DeleteCtx(ctx context.Context, token string) error {
	_, err := s.store.write.ExecContext(ctx, `DELETE FROM session WHERE token = $1`, tokenHash(token))
	return told(err)
}
