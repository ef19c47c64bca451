package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"golang.org/x/term"

	"scumble/store"
	"scumble/web/account"
)

type accountCommand struct {
	Add      accountAdd      `cmd:"" help:"Make an account. The password is asked for twice, or read as one line from a pipe."`
	List     accountList     `cmd:"" help:"List the accounts with their roles."`
	Password accountPassword `cmd:"" help:"Give an account another password; it is signed out everywhere."`
	Role     accountRole     `cmd:"" help:"Give an account another role; it is signed out everywhere."`
	SignOut  accountSignOut  `cmd:"" name:"sign-out-everywhere" help:"End all sessions of an account."`
	Remove   accountRemove   `cmd:"" help:"Take an account out. What it did stays in the history."`
}

// accounts are opened in the folder of the jobs.
type accounts struct {
	Data string `default:"${data}" help:"Folder of the jobs." type:"path"`
}

type named struct {
	accounts
	Name string `arg:"" help:"Name of the account, as it is typed to sign in."`
}

// within opens the jobs for one deed.
func (a accounts) within(deed func(context.Context, *store.Store) error) error {
	jobs, err := openJobs(a.Data)
	if err != nil {
		return err
	}
	defer jobs.Close()
	return deed(context.Background(), jobs)
}

// to does something to the account of a name.
func (n named) to(deed func(context.Context, *store.Store, store.Account) error) error {
	return n.within(func(ctx context.Context, jobs *store.Store) error {
		a, err := jobs.Account(ctx, n.Name)
		if errors.Is(err, store.ErrNotFound) {
			return fmt.Errorf("there is no account %q; scumble account list shows them", n.Name)
		}
		if err != nil {
			return err
		}
		return deed(ctx, jobs, a)
	})
}

type accountAdd struct {
	named
	Role string `default:"owner" enum:"owner,applicator" help:"owner (everything) or applicator (no prices)."`
}

func (cmd *accountAdd) Run(to streams) error {
	return cmd.within(func(ctx context.Context, jobs *store.Store) error {
		password, err := newPassword(to.err)
		if err != nil {
			return err
		}
		a, err := account.Add(ctx, jobs, strings.TrimSpace(cmd.Name), cmd.Role, password)
		if errors.Is(err, store.ErrTaken) {
			return fmt.Errorf("%w; give this one another", err)
		}
		if err == nil {
			fmt.Fprintf(to.out, "%s can sign in as %s.\n", a.Name, a.Role)
		}
		return err
	})
}

type accountList struct{ accounts }

func (cmd *accountList) Run(to streams) error {
	return cmd.within(func(ctx context.Context, jobs *store.Store) error {
		all, err := jobs.Accounts(ctx)
		for _, a := range all {
			fmt.Fprintf(to.out, "%-12s%s\n", a.Role, a.Name)
		}
		if err == nil && len(all) == 0 {
			fmt.Fprintln(to.out, "There are no accounts; on this computer nobody has to sign in.")
		}
		return err
	})
}

type accountPassword struct{ named }

func (cmd *accountPassword) Run(to streams) error {
	return cmd.to(func(ctx context.Context, jobs *store.Store, a store.Account) error {
		password, err := newPassword(to.err)
		if err != nil {
			return err
		}
		if err := account.CheckPassword(a.Name, password); err != nil {
			return err
		}
		hash, err := account.Hash(password)
		if err != nil {
			return err
		}
		if err := jobs.SetPassword(ctx, a.ID, hash); err != nil {
			return err
		}
		fmt.Fprintf(to.out, "%s has another password and is signed out everywhere.\n", a.Name)
		return nil
	})
}

type accountRole struct {
	named
	Role string `required:"" enum:"owner,applicator" help:"owner (everything) or applicator (no prices)."`
}

func (cmd *accountRole) Run(to streams) error {
	return cmd.to(func(ctx context.Context, jobs *store.Store, a store.Account) error {
		if err := jobs.SetRole(ctx, a.ID, cmd.Role); err != nil {
			return err
		}
		fmt.Fprintf(to.out, "%s is %s and is signed out everywhere.\n", a.Name, cmd.Role)
		return nil
	})
}

type accountSignOut struct{ named }

func (cmd *accountSignOut) Run(to streams) error {
	return cmd.to(func(ctx context.Context, jobs *store.Store, a store.Account) error {
		if err := jobs.RaiseEpoch(ctx, a.ID); err != nil {
			return err
		}
		fmt.Fprintf(to.out, "%s is signed out everywhere.\n", a.Name)
		return nil
	})
}

type accountRemove struct{ named }

func (cmd *accountRemove) Run(to streams) error {
	return cmd.to(func(ctx context.Context, jobs *store.Store, a store.Account) error {
		if err := jobs.RemoveAccount(ctx, a.ID); err != nil {
			return err
		}
		fmt.Fprintf(to.out, "%s is taken out.\n", a.Name)
		return nil
	})
}

// newPassword asks for a password twice without showing it; from a pipe it is one line.
// It is never an argument: those stand in the history of the shell.
func newPassword(say io.Writer) (string, error) {
	in := int(os.Stdin.Fd())
	if !term.IsTerminal(in) {
		line, err := bufio.NewReader(io.LimitReader(os.Stdin, 4096)).ReadString('\n')
		if err != nil && !errors.Is(err, io.EOF) {
			return "", fmt.Errorf("the password cannot be read: %w", err)
		}
		return strings.TrimRight(line, "\r\n"), nil
	}
	var typed [2]string
	for i, ask := range []string{"Password: ", "Once more: "} {
		fmt.Fprint(say, ask)
		line, err := term.ReadPassword(in)
		fmt.Fprintln(say)
		if err != nil {
			return "", fmt.Errorf("the password cannot be read: %w", err)
		}
		typed[i] = string(line)
	}
	if typed[0] != typed[1] {
		return "", errors.New("the two passwords are not the same; start again")
	}
	return typed[0], nil
}
