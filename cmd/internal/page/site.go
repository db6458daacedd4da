package page

import (
	"bytes"
	"context"
	"embed"
	"errors"
	"html/template"
	"io/fs"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"limeday/cmd/internal/quantity"
	"limeday/cmd/internal/sheet"
)

//go:embed assets
var assetFiles embed.FS

//go:embed *.html
var templateFiles embed.FS

var templates = template.Must(template.Must(template.New("").Funcs(template.FuncMap{
	"pct": func(x float64) string { return strconv.Itoa(int(100 * x)) },
	"inc": func(i int) int { return i + 1 },
}).ParseFS(templateFiles, "*.html")).Parse(sheet.Parts))

// scripted is the header that the page's own script sends: it is answered with a part, not a page.
const scripted = "X-Limeday"

// assets are the style and the script, by their names: no listing, no other file.
var assets = func() http.Handler {
	files := map[string]struct {
		kind string
		data []byte
	}{}
	for name, kind := range map[string]string{"page.css": "text/css; charset=utf-8", "page.js": "text/javascript; charset=utf-8"} {
		data, err := fs.ReadFile(assetFiles, "assets/"+name)
		if err != nil {
			panic("page: " + err.Error())
		}
		if name == "page.css" {
			data = append(data, style...)
		}
		f := files[name]
		f.kind, f.data = kind, data
		files["/assets/"+name] = f
	}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		f, ok := files[r.URL.Path]
		if !ok {
			refuse(w, r, http.StatusNotFound, "There is no such page.", "Go back to the jobs.")
			return
		}
		w.Header().Set("Content-Type", f.kind)
		http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(f.data))
	})
}()

// frame is what every page's template is given.
type frame struct {
	Title string
	Here  string // the section, for the navigation
	Jobs  []string
	Job   int
	Units string
	Back  string // this page's path and query
	Said  string // what was just done
	Body  any
}

// show writes a page whole or not at all.
func show(w http.ResponseWriter, r *http.Request, status int, name string, f frame) {
	if f.Back = "/"; r.Method == http.MethodGet {
		f.Back = r.URL.RequestURI()
	}
	f.Units = unitsOf(r).String()
	var b bytes.Buffer
	if err := templates.ExecuteTemplate(&b, name, f); err != nil {
		http.Error(w, "The page could not be made.", http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	_, _ = w.Write(b.Bytes())
}

// unitsCookie holds the units that a phone is answered in.
const unitsCookie = "limeday-units"

type unitsKey struct{}

// unitsOf are the units that a request is answered in.
func unitsOf(r *http.Request) quantity.Units {
	if c, err := r.Cookie(unitsCookie); err == nil {
		if u, err := quantity.ParseUnits(c.Value); err == nil {
			return u
		}
	}
	u, _ := r.Context().Value(unitsKey{}).(quantity.Units)
	return u
}

// typedIn are the units that the numbers of a form are in.
func typedIn(form url.Values, otherwise quantity.Units) quantity.Units {
	if u, err := quantity.ParseUnits(form.Get("units")); err == nil {
		return u
	}
	return otherwise
}

// Site is the pages.
type site struct {
	desk Desk
}

// New is the pages of a desk, without a guard; usual are the units until a phone asks for others.
func New(d Desk, usual quantity.Units) http.Handler {
	s := &site{d}
	mux := http.NewServeMux()
	mux.Handle("GET /assets/", assets)
	mux.HandleFunc("GET /favicon.ico", func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(http.StatusNoContent) })
	mux.HandleFunc("GET /{$}", s.home)
	mux.HandleFunc("POST /units", s.units)
	mux.HandleFunc("GET /job/{job}", s.today)
	mux.HandleFunc("POST /job/{job}/reading", s.reading)
	mux.HandleFunc("POST /job/{job}/press", s.press)
	mux.HandleFunc("GET /job/{job}/wall", s.wall)
	mux.HandleFunc("GET /job/{job}/year", s.year)
	mux.HandleFunc("POST /job/{job}/year", s.workYear)
	mux.HandleFunc("GET /bench", s.bench)
	mux.HandleFunc("GET /practice", s.practice)
	mux.HandleFunc("POST /practice", s.practice)
	mux.HandleFunc("GET /enter", func(w http.ResponseWriter, r *http.Request) { http.Redirect(w, r, "/", http.StatusSeeOther) })
	mux.HandleFunc("/", func(w http.ResponseWriter, r *http.Request) {
		refuse(w, r, http.StatusNotFound, "There is no such page.", "Go back to the jobs.")
	})
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		mux.ServeHTTP(w, r.WithContext(context.WithValue(r.Context(), unitsKey{}, usual)))
	})
}

// Safe answers with one sentence and status 500 where a page cannot be made. Catch calls what it is given and tells
// whether that went well; else it has noted why.
func Safe(next http.Handler, catch func(func()) bool) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !catch(func() { next.ServeHTTP(w, r) }) {
			refuse(w, r, http.StatusInternalServerError, "Something went wrong inside limeday, and there is no answer.", "The terminal that it runs in says what; please report that. The other pages go on.")
		}
	})
}

// NewID is an id for a press.
func NewID() string { return secret() }

func (s *site) frame(title, here string, body any) frame {
	return frame{Title: title, Here: here, Jobs: s.desk.Jobs(), Body: body}
}

func (s *site) home(w http.ResponseWriter, r *http.Request) {
	if len(s.desk.Jobs()) == 1 {
		http.Redirect(w, r, "/job/1", http.StatusSeeOther)
		return
	}
	show(w, r, http.StatusOK, "home", s.frame("The jobs", "today", nil))
}

// units changes the units that this phone is answered in.
func (s *site) units(w http.ResponseWriter, r *http.Request) {
	if !read(w, r) {
		return
	}
	u, err := quantity.ParseUnits(r.PostForm.Get("to"))
	if err != nil {
		refuse(w, r, http.StatusBadRequest, "Those are no units.", "Choose metric or US.")
		return
	}
	http.SetCookie(w, &http.Cookie{Name: unitsCookie, Value: u.String(), Path: "/", MaxAge: 365 * 86400, HttpOnly: true, SameSite: http.SameSiteStrictMode})
	back := r.PostForm.Get("back")
	if to, err := url.Parse(back); err != nil || to.Scheme != "" || to.Host != "" || !strings.HasPrefix(back, "/") || strings.HasPrefix(back, "//") || strings.ContainsAny(back, "\\\r\n") {
		back = "/"
	}
	http.Redirect(w, r, back, http.StatusSeeOther)
}

// read reads a form that was sent; where it cannot be, it answers.
func read(w http.ResponseWriter, r *http.Request) bool {
	err := r.ParseForm()
	var large *http.MaxBytesError
	switch {
	case err == nil:
		return true
	case errors.As(err, &large):
		refuse(w, r, http.StatusRequestEntityTooLarge, "That is larger than any form here, and was not read.", "Nothing was changed. Fill in the form of the page.")
	default:
		refuse(w, r, http.StatusBadRequest, "The form arrived broken, and nothing was changed.", "Send it again.")
	}
	return false
}

// job is the number of the job in the path, from 0; where there is none, it answers.
func (s *site) job(w http.ResponseWriter, r *http.Request) (int, bool) {
	n, err := strconv.Atoi(r.PathValue("job"))
	if err != nil || n < 1 || n > len(s.desk.Jobs()) {
		refuse(w, r, http.StatusNotFound, "There is no such job.", "Go back to the jobs and choose one.")
		return 0, false
	}
	return n - 1, true
}

func (s *site) bench(w http.ResponseWriter, r *http.Request) {
	form := r.URL.Query()
	if len(r.URL.RawQuery) > 4<<10 {
		refuse(w, r, http.StatusRequestURITooLong, "That is longer than any form here.", "Go back to the bench and fill it in.")
		return
	}
	part := r.Header.Get(scripted) != ""
	bands := !part || form.Get("bands") != ""
	b := s.desk.Bench(r.Context(), form, unitsOf(r), bands)
	if r.Context().Err() != nil {
		return
	}
	status := http.StatusOK
	if b.Fault != "" {
		status = http.StatusUnprocessableEntity
	}
	name := "bench"
	if part {
		name = "bench-answer"
	}
	show(w, r, status, name, s.frame("The bench", "bench", b))
}

func (s *site) practice(w http.ResponseWriter, r *http.Request) {
	if !read(w, r) {
		return
	}
	p := s.desk.Practice(r.Context(), r.Form, unitsOf(r), r.Method == http.MethodPost)
	status := http.StatusOK
	if p.Fault != "" {
		status = http.StatusUnprocessableEntity
	}
	show(w, r, status, "practice", s.frame("Practice", "practice", p))
}
