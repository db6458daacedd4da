package page

import (
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"net/http"
	"slices"
	"strings"
	"sync"
)

// most is how large a body may be, bytes: no form here comes near it.
const most = 64 << 10

// Guard lets in only who may ask; see the package comment.
type Guard struct {
	Hosts []string // as the Host header has them, with the port
	// Invite, where not nil, is told a new link's path whenever one is needed: without a session nobody is then let in.
	Invite func(path string)

	mu       sync.Mutex
	token    [sha256.Size]byte // of the link that works once
	sessions [][sha256.Size]byte
}

// sessionCookie holds a session.
const sessionCookie = "limeday"

// mostSessions is how many phones may be in at a time: the oldest goes out for a new one.
const mostSessions = 50

// secret is 26 letters and digits that cannot be guessed: 130 bits.
func secret() string {
	return strings.ToLower(rand.Text())
}

// Open makes the first link, where links are needed.
func (g *Guard) Open() {
	if g.Invite == nil {
		return
	}
	t := secret()
	g.mu.Lock()
	g.token = sha256.Sum256([]byte(t))
	g.mu.Unlock()
	g.Invite("/enter?link=" + t)
}

// enter trades a link for a session; empty where the link is not the one, or was used.
func (g *Guard) enter(link string) (session string) {
	sum := sha256.Sum256([]byte(link))
	g.mu.Lock()
	if subtle.ConstantTimeCompare(sum[:], g.token[:]) != 1 {
		g.mu.Unlock()
		return ""
	}
	session = secret()
	g.sessions = append(g.sessions, sha256.Sum256([]byte(session)))
	g.sessions = g.sessions[max(0, len(g.sessions)-mostSessions):]
	g.mu.Unlock()
	g.Open()
	return session
}

func (g *Guard) known(r *http.Request) bool {
	c, err := r.Cookie(sessionCookie)
	if err != nil {
		return false
	}
	sum := sha256.Sum256([]byte(c.Value))
	g.mu.Lock()
	defer g.mu.Unlock()
	return slices.ContainsFunc(g.sessions, func(s [sha256.Size]byte) bool { return subtle.ConstantTimeCompare(sum[:], s[:]) == 1 })
}

// policy allows the page's own files and nothing else.
const policy = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// Wrap puts the guard before a handler.
func (g *Guard) Wrap(next http.Handler) http.Handler {
	cross := http.NewCrossOriginProtection()
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "same-origin") // with less, forms would say their origin is null
		if g.Invite == nil {                    // elsewhere it is not heeded, as the page comes without encryption
			h.Set("Cross-Origin-Opener-Policy", "same-origin")
		}
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cache-Control", "private, no-cache") // asked anew each time, but for the back button
		switch {
		case !slices.Contains(g.Hosts, strings.ToLower(r.Host)):
			refuse(w, r, http.StatusForbidden, "This is not a name of this server.", "Open the address that the program printed.")
			return
		case cross.Check(r) != nil, foreign(r):
			refuse(w, r, http.StatusForbidden, "This came from the page of another site, and was not carried out.", "Open the page itself and try again.")
			return
		case r.ContentLength > most:
			refuse(w, r, http.StatusRequestEntityTooLarge, "That is larger than any form here, and was not read.", "Nothing was changed. Fill in the form of the page.")
			return
		}
		r.Body = http.MaxBytesReader(w, r.Body, most)
		if g.Invite != nil && !g.known(r) {
			g.door(w, r)
			return
		}
		next.ServeHTTP(w, r)
	})
}

// foreign tells whether another site's page asks for something other than to go to a page of ours by a link.
func foreign(r *http.Request) bool {
	return r.Header.Get("Sec-Fetch-Site") == "cross-site" && (r.Header.Get("Sec-Fetch-Mode") != "navigate" || r.Header.Get("Sec-Fetch-Dest") != "document")
}

// door is all that who has no session sees. A link opens by a button, so that a program that looks at it first does not
// use it up.
func (g *Guard) door(w http.ResponseWriter, r *http.Request) {
	switch {
	case strings.HasPrefix(r.URL.Path, "/assets/"):
		assets.ServeHTTP(w, r)
	case r.URL.Path == "/enter" && r.Method == http.MethodGet:
		show(w, r, http.StatusOK, "enter", frame{Title: "Come in", Body: r.URL.Query().Get("link")})
	case r.URL.Path == "/enter" && r.Method == http.MethodPost:
		session := g.enter(r.PostFormValue("link"))
		if session == "" {
			refuse(w, r, http.StatusForbidden, "This link was used already, or is not one of this server's.", "Each link lets one phone in: take the newest that the program printed.")
			return
		}
		http.SetCookie(w, &http.Cookie{Name: sessionCookie, Value: session, Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode})
		http.Redirect(w, r, "/", http.StatusSeeOther)
	default:
		refuse(w, r, http.StatusForbidden, "This page opens with a link.", "The program printed one on the computer that it runs on; each lets one phone in.")
	}
}

// refuse answers with what is wrong and what to do: a page, or for the script its words.
func refuse(w http.ResponseWriter, r *http.Request, status int, says, do string) {
	if r.Header.Get(scripted) != "" {
		w.Header().Set("Content-Type", "text/plain; charset=utf-8")
		w.WriteHeader(status)
		_, _ = w.Write([]byte(says + " " + do))
		return
	}
	show(w, r, status, "refused", frame{Title: says, Body: do})
}
