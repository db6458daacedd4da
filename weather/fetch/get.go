package fetch

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"
)

// A forecast older than WarnAge is remarked on; one older than RefuseAge is refused
// when the service sends it, for a node that stands still has been seen
// to hand out one 88 h old. Kept ones are used at any age up to their last hour, and say
// how old they are. Choices of this program, no source.
const (
	WarnAge   = 6 * time.Hour
	RefuseAge = 24 * time.Hour
)

// SkewLimit is how far this computer's clock may be off before it is remarked on.
const SkewLimit = 10 * time.Minute

// Get answers a request: from the cache while what is kept is good, else from
// the service, else, if what is wrong is no fault of the question, from the
// cache with [Response.Stale] set.
//
// The error is a [Fault], or the context's.
func (c *Client) Get(ctx context.Context, req Request) (Response, error) {
	if req.Accept == "" {
		req.Accept = JSON
	}
	if err := req.check(); err != nil {
		return Response{}, err
	}
	select {
	case c.turn <- struct{}{}:
		defer func() { <-c.turn }()
	case <-ctx.Done():
		return Response{}, ctx.Err()
	}

	old, state := c.read(req)
	now := c.settings.Now()
	switch {
	case state == kept && old.good(now, req.MaxAge):
		return old.response(now, req.MaxAge), nil
	case state == kept && c.settings.Offline:
		return old.stale(now, req, nil), nil
	case c.settings.Offline:
		return Response{}, &OfflineError{Service: req.Service, Asked: true, Damaged: state == damaged}
	}

	fresh, notes, err := c.ask(ctx, req, old)
	if err != nil {
		var fault Fault
		if !errors.As(err, &fault) {
			return Response{}, err
		}
		now = c.settings.Now()
		var tooOld *OldError
		if state == kept && outlasts(fault) && !(errors.As(err, &tooOld) && old.age(now) > RefuseAge) {
			return old.stale(now, req, fault), nil
		}
		return Response{}, fault
	}
	if err := c.write(req, fresh); err != nil {
		notes = append(notes, fmt.Sprintf("the answer of %s could not be kept for later: %v", req.Service, err))
	}
	r := fresh.response(fresh.Fetched, req.MaxAge)
	r.FromCache = fresh.confirmed
	r.Notes = append(notes, r.Notes...)
	return r, nil
}

// outlasts reports whether a kept answer is of use in spite of the fault: not if
// the question is wrong, or the place is no longer served.
func outlasts(f Fault) bool {
	var status *StatusError
	return !errors.As(f, &status) || !slices.Contains([]int{400, 404, 410, 422}, status.Status)
}

// response makes a Response of a kept answer.
func (e entry) response(now time.Time, maxAge time.Duration) Response {
	r := Response{Body: e.body, Status: e.Status, Fetched: e.Fetched, Expires: e.Fetched.Add(max(e.Lifetime, maxAge)),
		Issued: e.Issued, LastModified: e.LastModified, Age: e.age(now), FromCache: true}
	if !e.Issued.IsZero() && r.Age > WarnAge {
		r.Notes = append(r.Notes, fmt.Sprintf("%s made this forecast %s ago", e.Service, span(r.Age)))
	}
	if e.Status == 203 {
		r.Notes = append(r.Notes, e.Service+" marks this product as on trial or soon to end (203)")
	}
	return r
}

// stale is response for an answer past its time.
func (e entry) stale(now time.Time, req Request, why Fault) Response {
	r := e.response(now, req.MaxAge)
	r.Stale, r.Fault = true, why
	words := "offline"
	if why != nil {
		words = why.Words()
	}
	when := "before this computer's clock was set back"
	if d := now.Sub(e.Fetched); d >= 0 {
		when = span(d) + " ago"
	}
	r.Notes = append([]string{fmt.Sprintf("%s; using what %s answered %s", words, e.Service, when)}, r.Notes...)
	return r
}

// ask puts the question to the service until it is answered or no try is left, and
// reads the answer.
func (c *Client) ask(ctx context.Context, req Request, old entry) (entry, []string, error) {
	contact := ""
	if req.NeedsContact {
		var err error
		if contact, err = c.contact(req.Service); err != nil {
			return entry{}, nil, err
		}
	}
	var waited time.Duration
	for try := 1; ; try++ {
		a, err := c.once(ctx, req, contact, old.LastModified)
		if err == nil {
			return c.accept(req, old, a)
		}
		if ctx.Err() != nil {
			return entry{}, nil, ctx.Err()
		}
		count(err, try)
		wait, again := pause(err, try, waited, c.scatter.Float64())
		if !again {
			return entry{}, nil, err
		}
		if wait > time.Second {
			c.settings.Tell(fmt.Sprintf("%s; trying again in %s", words(err), span(wait)))
		}
		if err := c.settings.Sleep(ctx, wait); err != nil {
			return entry{}, nil, err
		}
		waited += wait
	}
}

func words(err error) string {
	var f Fault
	if errors.As(err, &f) {
		return f.Words()
	}
	return err.Error()
}

// accept checks an answer and makes of it what is kept.
func (c *Client) accept(req Request, old entry, a answer) (entry, []string, error) {
	served := a.date
	if served.IsZero() {
		served = a.at
	}
	e := entry{Service: req.Service, Status: a.status, Fetched: a.at, Served: served, Lifetime: a.lifetime,
		LastModified: a.lastModified, body: a.body}
	if a.status == 304 {
		e.Status, e.body, e.confirmed = old.Status, old.body, true
		if e.LastModified == "" {
			e.LastModified = old.LastModified
		}
	}
	if err := inspect(req, a.contentType, e); err != nil {
		return entry{}, nil, err
	}
	if req.Issued != nil {
		e.Issued = req.Issued(e.body)
		if age := e.age(a.at); !e.Issued.IsZero() && age > RefuseAge {
			return entry{}, nil, &OldError{Service: req.Service, Age: age}
		}
	}
	var notes []string
	if skew := a.at.Sub(served); skew.Abs() > SkewLimit {
		way := "ahead of"
		if skew < 0 {
			way = "behind"
		}
		notes = append(notes, fmt.Sprintf("this computer's clock is %s %s that of %s: check date and time", span(skew.Abs()), way, req.Service))
	}
	return e, notes, nil
}

// contact is the identity for services that demand one.
func (c *Client) contact(service string) (string, error) {
	s := strings.TrimSpace(c.settings.Contact)
	if s == printable(s, 200) && !strings.Contains(s, " ") && (strings.Contains(s, "@") || strings.Contains(s, "://")) {
		return s, nil
	}
	return "", &ContactError{Service: service, Given: printable(s, 80)}
}
