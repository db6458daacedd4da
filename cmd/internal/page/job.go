package page

import (
	"errors"
	"net/http"
	"net/url"
	"strconv"
	"time"
)

// today is a job's page, or for the script its inside.
func (s *site) today(w http.ResponseWriter, r *http.Request) {
	job, ok := s.job(w, r)
	if !ok {
		return
	}
	s.showToday(w, r, job, http.StatusOK, nil, nil, "")
}

// showToday shows a job, with what was typed into its form, what is wrong with that, and what there is to say.
func (s *site) showToday(w http.ResponseWriter, r *http.Request, job, status int, typed url.Values, bad *FormError, said string) {
	t := s.desk.Today(r.Context(), job, unitsOf(r))
	if r.Context().Err() != nil {
		return
	}
	for i := range t.Reading {
		if f := &t.Reading[i]; typed != nil {
			f.Value = typed.Get(f.Name)
			if bad != nil {
				f.Fault = bad.Fields[f.Name]
			}
		}
	}
	f := s.frame(t.Name, "today", t)
	f.Job, f.Said = job+1, said
	name := "today"
	if r.Header.Get(scripted) != "" {
		name = "today-inside"
	}
	show(w, r, status, name, f)
}

// reading takes a reading typed in.
func (s *site) reading(w http.ResponseWriter, r *http.Request) {
	job, ok := s.job(w, r)
	if !ok || !read(w, r) {
		return
	}
	err := s.desk.Read(r.Context(), job, r.PostForm, typedIn(r.PostForm, unitsOf(r)))
	var bad *FormError
	switch {
	case errors.As(err, &bad):
		s.showToday(w, r, job, http.StatusUnprocessableEntity, r.PostForm, bad, "")
	case err != nil:
		s.showToday(w, r, job, http.StatusUnprocessableEntity, r.PostForm, nil, err.Error())
	default:
		http.Redirect(w, r, "/job/"+strconv.Itoa(job+1), http.StatusSeeOther)
	}
}

// oldest is how long ago a press may have been.
const oldest = 20 * time.Hour

// pressOf reads a press from its form.
func pressOf(form url.Values) (Press, error) {
	bad := func(says string) (Press, error) { return Press{}, errors.New(says) }
	p := Press{ID: form.Get("id"), Job: form.Get("job"), What: form.Get("what"), Looked: form.Get("looked") != ""}
	if n := len(p.ID); n < 8 || n > 64 {
		return bad("the press has no id of its own, so it could be entered twice; load the page again and press once more")
	}
	for _, c := range p.ID {
		if (c < 'a' || c > 'z') && (c < '0' || c > '9') {
			return bad("the press has no id of its own, so it could be entered twice; load the page again and press once more")
		}
	}
	var err error
	if p.What == "undo" {
		if p.Entry, err = strconv.Atoi(form.Get("entry")); err != nil || p.Entry < 1 {
			return bad("it does not say which entry to take back; load the page again")
		}
		return p, nil
	}
	if p.Coat, err = strconv.Atoi(form.Get("coat")); err != nil || p.Coat < 1 {
		return bad("it does not say of which coat; load the page again")
	}
	if text := form.Get("age"); text != "" {
		ms, err := strconv.ParseFloat(text, 64)
		if err != nil || !(ms >= -1000) || ms > float64(oldest.Milliseconds()) {
			return bad("how long ago this was pressed cannot be told: the phone's clock was changed since, or it is over 20 hours ago; write it down with its time instead: limeday diary write")
		}
		p.Age = time.Duration(max(ms, 0)) * time.Millisecond
	}
	return p, nil
}

// press enters a press.
func (s *site) press(w http.ResponseWriter, r *http.Request) {
	job, ok := s.job(w, r)
	if !ok || !read(w, r) {
		return
	}
	p, err := pressOf(r.PostForm)
	said := ""
	if err == nil {
		said, err = s.desk.Press(r.Context(), job, p)
	}
	status := http.StatusOK
	if err != nil {
		said, status = "Not entered: "+err.Error()+".", http.StatusUnprocessableEntity
		var busy *BusyError
		if errors.As(err, &busy) {
			status = http.StatusServiceUnavailable
		}
	}
	switch {
	case r.Header.Get(scripted) != "":
		w.Header().Set("Content-Type", "text/plain; charset=utf-8")
		w.WriteHeader(status)
		_, _ = w.Write([]byte(said))
	case err != nil:
		s.showToday(w, r, job, status, nil, nil, said)
	default:
		http.Redirect(w, r, "/job/"+strconv.Itoa(job+1)+"#seen", http.StatusSeeOther)
	}
}

// BusyError says that something could not be done now, and can be tried again as it is.
type BusyError struct{ Err error }

func (e *BusyError) Error() string { return e.Err.Error() }

// Unwrap gives the cause.
func (e *BusyError) Unwrap() error { return e.Err }

func (s *site) wall(w http.ResponseWriter, r *http.Request) {
	job, ok := s.job(w, r)
	if !ok {
		return
	}
	x := s.desk.Wall(r.Context(), job, unitsOf(r))
	if r.Context().Err() != nil {
		return
	}
	f := s.frame(x.Name+": the wall and the crew", "wall", x)
	f.Job = job + 1
	show(w, r, http.StatusOK, "wall", f)
}

func (s *site) year(w http.ResponseWriter, r *http.Request) {
	job, ok := s.job(w, r)
	if !ok {
		return
	}
	y := s.desk.Year(r.Context(), job, unitsOf(r))
	f := s.frame(y.Name+": the year", "year", y)
	f.Job = job + 1
	if y.Working {
		w.Header().Set("Refresh", "3")
	}
	show(w, r, http.StatusOK, "year", f)
}

func (s *site) workYear(w http.ResponseWriter, r *http.Request) {
	job, ok := s.job(w, r)
	if !ok || !read(w, r) {
		return
	}
	if err := s.desk.WorkYear(job); err != nil {
		refuse(w, r, http.StatusUnprocessableEntity, "The year cannot be worked out: "+err.Error()+".", "Go back to the job.")
		return
	}
	http.Redirect(w, r, r.URL.Path, http.StatusSeeOther)
}
