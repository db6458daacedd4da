package page

import (
	"context"
	"errors"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"testing"

	"limeday/cmd/internal/quantity"
	"limeday/cmd/internal/sheet"
	"limeday/cmd/internal/view"
	"limeday/drying/message"
)

// hostile is text that would do harm in a page if it were not escaped.
const hostile = `"><script>alert(1)</script><img src=x onerror='alert(2)'>&amp;{{.}}`

// fakeDesk answers with what it is asked, and with hostile names.
type fakeDesk struct {
	reads, presses, years int
	pressErr              error
	last                  Press
}

func (d *fakeDesk) Jobs() []string { return []string{"Back stairs", hostile} }

// echo gives every value of a form back as fields.
func echo(form url.Values) []Field {
	var fields []Field
	for _, name := range []string{"temp", "rh", "finish", "level"} {
		f := Field{Name: name, Label: name + form.Get("job"), Value: form.Get(name), Unit: form.Get("units"), Fault: form.Get(name), Hint: form.Get("job")}
		if name == "finish" {
			f.Options = []Option{{form.Get(name), form.Get("job")}, {"other", "other"}}
		}
		if name == "temp" {
			f.Fault, f.Slide, f.Numeric = "", &Slide{5, 35, 0.5}, true
		}
		fields = append(fields, f)
	}
	return fields
}

func (d *fakeDesk) Today(_ context.Context, n int, _ quantity.Units) Today {
	name := d.Jobs()[n]
	b := Button{Label: "Coat 1 laid " + name, Sign: hostile, Coat: 1, What: "laid", ID: NewID()}
	return Today{Name: name, Fault: hostile, Reading: echo(url.Values{"temp": {hostile}}), ReadSay: hostile, Seen: []string{hostile}, Presses: []Button{b}, Undo: &b,
		Day: &sheet.Shown{Day: view.Day{Head: hostile, Verdict: view.Verdict{Word: "GO", Joint: ": ", Says: message.Words(hostile)}, Reasons: []view.Reason{{Says: message.Words(hostile)}},
			Tint: hostile, Danger: []string{hostile}, Plan: []view.Coat{{Name: message.Words(hostile), Then: []view.Step{{Name: hostile}}, Band: message.Words(hostile)}},
			State: []view.Row{{Label: hostile, Says: []message.Text{message.Words(hostile)}}}}}, Course: &Table{hostile, []string{hostile}, [][]string{{hostile, hostile}}}}
}

func (d *fakeDesk) Read(_ context.Context, _ int, form url.Values, _ quantity.Units) error {
	if form.Get("temp") == "" {
		return &FormError{map[string]string{"temp": "is empty " + form.Get("rh")}}
	}
	if form.Get("temp") == "?" {
		return errors.New(form.Get("rh"))
	}
	d.reads++
	return nil
}

func (d *fakeDesk) Press(_ context.Context, _ int, p Press) (string, error) {
	if d.pressErr != nil {
		return "", d.pressErr
	}
	if p.Job == "" {
		return "", errors.New("no job " + p.What)
	}
	d.presses++
	d.last = p
	return "In the diary: " + p.What, nil
}

func (d *fakeDesk) Bench(_ context.Context, form url.Values, _ quantity.Units, _ bool) Bench {
	b := Bench{Fields: echo(form), Says: form.Get("temp"), Was: form.Encode(), Moved: []string{form.Get("rh")}, Notes: form["note"]}
	if form.Get("temp") == "" {
		b.Fault = "no air " + form.Get("rh")
	}
	return b
}

func (d *fakeDesk) Wall(_ context.Context, n int, _ quantity.Units) Wall {
	t := Table{Caption: hostile, Head: []string{hostile, hostile}, Rows: [][]string{{hostile, hostile}}}
	return Wall{Name: d.Jobs()[n], Fault: hostile, Says: []string{hostile}, Drawings: []Drawing{{Head: hostile, Table: t}}, Tables: []Table{t}, Patches: []Table{t},
		Unknown: hostile, Cautions: []string{hostile}, Worked: hostile}
}

func (d *fakeDesk) Year(_ context.Context, n int, _ quantity.Units) Year {
	return Year{Name: d.Jobs()[n], Says: []string{hostile}, Working: n == 1, Asked: true}
}

func (d *fakeDesk) WorkYear(n int) error {
	if n == 1 {
		return errors.New(hostile)
	}
	d.years++
	return nil
}

func (d *fakeDesk) Practice(_ context.Context, form url.Values, _ quantity.Units, answered bool) Practice {
	p := Practice{Fields: echo(form), Hidden: map[string]string{"exercise": form.Get("exercise")}, Title: form.Get("title"), Ask: form["temp"], Question: form.Get("temp"), Answer: echo(form), Marked: answered,
		Mark: form.Get("rh"), Next: "/practice?" + form.Encode(), Kept: form.Get("kept")}
	if form.Get("level") == "?" {
		p.Fault = form.Get("rh")
	}
	return p
}

// host is the name that the tests' server is known by.
const host = "127.0.0.1:8340"

// guarded is the pages behind their guard, and the desk that answers.
func guarded() (http.Handler, *fakeDesk) {
	d := &fakeDesk{}
	g := &Guard{Hosts: []string{host, "localhost:8340"}}
	return g.Wrap(New(d, quantity.Metric)), d
}

// asked is a request as a browser on the page itself would send it.
func asked(method, target, body string) *http.Request {
	r := httptest.NewRequest(method, target, strings.NewReader(body))
	r.Host = host
	if body != "" {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	return r
}

func answer(h http.Handler, r *http.Request) *http.Response {
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w.Result()
}

func text(t *testing.T, r *http.Response) string {
	t.Helper()
	b, err := io.ReadAll(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// safe fails where an answer lacks what keeps a page to itself.
func safe(t *testing.T, r *http.Response) {
	t.Helper()
	for name, want := range map[string]string{"Content-Security-Policy": policy, "X-Content-Type-Options": "nosniff", "Referrer-Policy": "same-origin", "Cache-Control": "private, no-cache"} {
		if got := r.Header.Values(name); !slices.Equal(got, []string{want}) {
			t.Errorf("%s: %q", name, got)
		}
	}
}
