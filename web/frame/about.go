package frame

import (
	"net/http"
	"net/url"
	"time"
)

// theme keeps the theme a person chose, for this browser.
func (f *Frame) theme(w http.ResponseWriter, r *http.Request) {
	r.Body = http.MaxBytesReader(w, r.Body, largestForm)
	c := &http.Cookie{Name: "theme", Path: "/", HttpOnly: true, SameSite: http.SameSiteLaxMode, MaxAge: int((365 * 24 * time.Hour).Seconds())}
	switch theme := r.PostFormValue("theme"); theme {
	case "light", "dark":
		c.Value = theme
	default:
		c.MaxAge = -1
	}
	http.SetCookie(w, c)
	http.Redirect(w, r, cameFrom(r), http.StatusSeeOther)
}

// cameFrom is the page of this program that a form was sent from.
func cameFrom(r *http.Request) string {
	u, err := url.Parse(r.Referer())
	if err != nil || u.Host != r.Host || u.Path == "" || u.Path[0] != '/' || len(u.Path) > 1 && (u.Path[1] == '/' || u.Path[1] == '\\') {
		return "/"
	}
	return (&url.URL{Path: u.Path, RawQuery: u.RawQuery}).String()
}

// about tells what the program is and the licences of what it is drawn with.
func (f *Frame) about(w http.ResponseWriter, r *http.Request) {
	f.Write(w, f.shown[f.places[0].Slug], "about", http.StatusOK, struct {
		Title, Theme string
		Licences     any
	}{"About scumble", Theme(r), f.Assets.Licences()})
}
