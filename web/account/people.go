package account

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"scumble/store"
	"scumble/web/frame"
)

// CheckName says what is wrong with the name of a new account, and what to do.
func CheckName(name string) error {
	n := utf8.RuneCountInString(name)
	switch {
	case strings.TrimSpace(name) == "":
		return errors.New("the account has no name; give it one, as it is typed to sign in")
	case n > longestName:
		return fmt.Errorf("the name has %d characters; give it at most %d", n, longestName)
	case !utf8.ValidString(name) || strings.ContainsFunc(name, func(r rune) bool { return !unicode.IsPrint(r) }):
		return errors.New("the name holds characters that cannot be seen; type it again")
	}
	return nil
}

// CheckRole says whether there is such a role. The first account has to be an owner:
// somebody must be able to do everything.
func CheckRole(role string, first bool) error {
	switch {
	case role != string(frame.Owner) && role != string(frame.Applicator):
		return fmt.Errorf("there is no role %q; take owner or applicator", role)
	case first && role != string(frame.Owner):
		return errors.New("the first account has to be an owner; make that one first")
	}
	return nil
}

// Add makes an account once its name, role and password are fit.
func Add(ctx context.Context, s *store.Store, name, role, password string) (store.Account, error) {
	all, err := s.Accounts(ctx)
	if err != nil {
		return store.Account{}, err
	}
	if err := errors.Join(CheckName(name), CheckRole(role, len(all) == 0), CheckPassword(name, password)); err != nil {
		return store.Account{}, &Unfit{err}
	}
	hash, err := Hash(password)
	if err != nil {
		return store.Account{}, err
	}
	return s.AddAccount(ctx, name, role, hash)
}

// Unfit is what is wrong with what was typed, one fault a line.
type Unfit struct{ err error }

func (u *Unfit) Error() string { return u.err.Error() }

// list shows the accounts to an owner, and to everybody else their own.
func (g *Gate) list(w http.ResponseWriter, r *http.Request, status int, notices []frame.Notice) {
	ctx := r.Context()
	who := frame.Who(ctx)
	all, err := g.frame.Store.Accounts(ctx)
	if err != nil {
		g.frame.Fail(w, r, err)
		return
	}
	own := g.sessions.GetInt64(ctx, whoseKey)
	v := view{Title: "Accounts", Theme: frame.Theme(r), Person: who, Notices: notices, Alone: len(all) == 0, Owner: who.Role == frame.Owner, Shortest: shortest, Longest: longest}
	for _, a := range all {
		if v.Owner || a.ID == own {
			v.Accounts = append(v.Accounts, line{a.ID, a.Name, a.Role, a.Created.Format("2 January 2006"), a.ID == own})
		}
	}
	g.frame.Write(w, g.page, "accounts", status, v)
}

var errNotYours = &frame.Refused{Status: http.StatusForbidden, What: "only an owner looks after accounts", Do: "ask the owner of the program"}

// again asks for the password of whoever changes accounts, so that a page left open is
// not enough. Where nobody signs in yet there is none to ask for.
func (g *Gate) again(r *http.Request) (store.Account, error) {
	own, ok, err := g.account(r.Context())
	if err != nil || !ok {
		return own, err
	}
	_, err = g.check(r, own.Name, r.PostForm.Get("own"))
	var refused *frame.Refused
	if errors.As(err, &refused) && refused.Status == http.StatusUnauthorized {
		return own, &frame.Refused{Status: http.StatusForbidden, What: "your own password is not right", Do: "type it again"}
	}
	return own, err
}

func (g *Gate) add(w http.ResponseWriter, r *http.Request) {
	if !g.read(w, r) {
		return
	}
	if frame.Who(r.Context()).Role != frame.Owner {
		g.frame.Fail(w, r, errNotYours)
		return
	}
	_, err := g.again(r)
	if err == nil {
		_, err = g.added(r)
	}
	g.answer(w, r, err)
}

func (g *Gate) added(r *http.Request) (store.Account, error) {
	f := r.PostForm
	if f.Get("password") != f.Get("repeated") {
		return store.Account{}, &Unfit{errors.New("the two passwords are not the same; type both again")}
	}
	return Add(r.Context(), g.frame.Store, strings.TrimSpace(f.Get("name")), f.Get("role"), f.Get("password"))
}

// change does one deed to an account. An owner may do all to all; everybody may change
// the password of their own and sign it out everywhere.
func (g *Gate) change(w http.ResponseWriter, r *http.Request) {
	if !g.read(w, r) {
		return
	}
	ctx, deed := r.Context(), r.PathValue("deed")
	id, err := strconv.ParseInt(r.PathValue("account"), 10, 64)
	if err != nil {
		g.frame.Fail(w, r, store.ErrNotFound)
		return
	}
	mine := id == g.sessions.GetInt64(ctx, whoseKey)
	if frame.Who(ctx).Role != frame.Owner && !(mine && (deed == "password" || deed == "everywhere")) {
		g.frame.Fail(w, r, errNotYours)
		return
	}
	a, err := g.frame.Store.AccountByID(ctx, id)
	if err != nil {
		g.frame.Fail(w, r, err)
		return
	}
	if deed != "everywhere" {
		if _, err := g.again(r); err != nil {
			g.answer(w, r, err)
			return
		}
	}
	switch deed {
	case "password":
		err = g.setPassword(r, a, mine)
	case "role":
		if err = CheckRole(r.PostForm.Get("role"), false); err != nil {
			err = &Unfit{err}
		} else if r.PostForm.Get("role") != a.Role {
			err = g.frame.Store.SetRole(ctx, id, r.PostForm.Get("role"))
		}
	case "everywhere":
		err = g.frame.Store.RaiseEpoch(ctx, id)
	case "remove":
		err = g.frame.Store.RemoveAccount(ctx, id)
	default:
		err = store.ErrNotFound
	}
	g.answer(w, r, err)
}

// setPassword ends all sessions of an account; whoever changed their own goes on under a new one.
func (g *Gate) setPassword(r *http.Request, a store.Account, mine bool) error {
	f := r.PostForm
	if f.Get("password") != f.Get("repeated") {
		return &Unfit{errors.New("the two passwords are not the same; type both again")}
	}
	if err := CheckPassword(a.Name, f.Get("password")); err != nil {
		return &Unfit{err}
	}
	hash, err := Hash(f.Get("password"))
	if err != nil {
		return err
	}
	if err := g.frame.Store.SetPassword(r.Context(), a.ID, hash); err != nil || !mine {
		return err
	}
	if a, err = g.frame.Store.AccountByID(r.Context(), a.ID); err != nil {
		return err
	}
	return g.begin(r.Context(), a)
}

// answer shows the list again after a deed, with what kept it from being done.
func (g *Gate) answer(w http.ResponseWriter, r *http.Request, err error) {
	var refused *frame.Refused
	var unfit *Unfit
	switch {
	case err == nil:
		http.Redirect(w, r, listPath, http.StatusSeeOther)
	case errors.As(err, &refused):
		g.list(w, r, refused.Status, []frame.Notice{{Kind: "caution", What: frame.Sentence(refused.What), Do: frame.Sentence(refused.Do)}})
	case errors.As(err, &unfit), errors.Is(err, store.ErrLastOwner), errors.Is(err, store.ErrTaken):
		var notices []frame.Notice
		for fault := range strings.Lines(err.Error()) {
			what, do, _ := strings.Cut(strings.TrimSpace(fault), "; ")
			notices = append(notices, frame.Notice{Kind: "caution", What: frame.Sentence(what), Do: frame.Sentence(do)})
		}
		g.list(w, r, http.StatusUnprocessableEntity, notices)
	default:
		g.frame.Fail(w, r, err)
	}
}
