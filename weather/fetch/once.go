package fetch

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"encoding/json"
	"errors"
	"fmt"
	"net"
	"net/http"
	"strconv"
	"strings"
	"time"

	"github.com/go-resty/resty/v2"
)

// maxLifetime bounds what a service may say of how long an answer is good: no
// forecast is good for longer, and a slip there must not shut anyone out.
const maxLifetime = 24 * time.Hour

// answer is what one try brought.
type answer struct {
	status       int // 200, 203 or 304
	contentType  string
	body         []byte
	at           time.Time     // by this computer's clock
	date         time.Time     // by the service's; zero if it does not say
	lifetime     time.Duration // how long it is good
	lastModified string
}

// once asks once. The error is a Fault, or the context's.
func (c *Client) once(ctx context.Context, req Request, contact, since string) (answer, error) {
	agent := c.settings.UserAgent
	if contact != "" {
		agent += " " + contact
	}
	accept := "application/geo+json, application/json"
	if req.Accept == Text {
		accept = "text/plain, text/csv, */*;q=0.1"
	}
	r := c.http.R().SetContext(ctx).
		SetHeader("Accept", accept).
		SetHeaders(req.Header).
		SetHeader("User-Agent", agent).
		SetQueryParamsFromValues(req.Query)
	if since != "" {
		r.SetHeader("If-Modified-Since", since)
	}
	res, err := r.Get(req.URL)
	if err != nil {
		if ctx.Err() != nil {
			return answer{}, ctx.Err()
		}
		return answer{}, c.wire(req.Service, err)
	}
	a := answer{status: res.StatusCode(), contentType: res.Header().Get("Content-Type"), body: res.Body(),
		at: c.settings.Now(), lastModified: res.Header().Get("Last-Modified")}
	a.times(res.Header())
	switch {
	case a.status == 200, a.status == 203, a.status == 304 && since != "":
		return a, nil
	case a.status == http.StatusNetworkAuthenticationRequired:
		return answer{}, &LoginError{Service: req.Service, Page: printable(string(a.body), 80)}
	}
	return answer{}, refusal(req.Service, a, res.Header())
}

// times reads the service's clock, and how long the answer is good by it.
func (a *answer) times(h http.Header) {
	if date, err := http.ParseTime(h.Get("Date")); err == nil {
		a.date = date
	}
	old, _ := strconv.Atoi(h.Get("Age")) // s spent in caches on the way; none if not said
	old = min(max(old, 0), 1e6)
	if expires, err := http.ParseTime(h.Get("Expires")); err == nil && !a.date.IsZero() {
		a.lifetime = expires.Sub(a.date)
	}
	for _, part := range strings.Split(h.Get("Cache-Control"), ",") {
		if s, ok := strings.CutPrefix(strings.ToLower(strings.TrimSpace(part)), "max-age="); ok {
			if n, err := strconv.Atoi(s); err == nil { // stands above Expires: RFC 9111, 5.3
				a.lifetime = time.Duration(min(max(n, 0), 1e6)) * time.Second
			}
		}
	}
	if !a.date.IsZero() {
		a.date = a.date.Add(time.Duration(old) * time.Second)
	}
	a.lifetime = min(max(a.lifetime-time.Duration(old)*time.Second, 0), maxLifetime)
}

// errAway: the request was sent to another host.
type errAway struct{ host string }

func (e *errAway) Error() string { return "sent on to " + e.host }

// stayHome follows redirects within a host, never to another, and never away
// from a safe connection.
func stayHome(to *http.Request, via []*http.Request) error {
	from := via[0]
	if to.URL.Hostname() != from.URL.Hostname() || (from.URL.Scheme == "https" && to.URL.Scheme != "https") {
		return &errAway{printable(to.URL.Hostname(), 60)}
	}
	if len(via) >= 10 {
		return errors.New("sent round in a circle")
	}
	return nil
}

// wire makes a Fault of a failed try.
func (c *Client) wire(service string, err error) error {
	var (
		away     *errAway
		name     x509.HostnameError
		unknown  x509.UnknownAuthorityError
		invalid  x509.CertificateInvalidError
		verify   *tls.CertificateVerificationError
		alert    tls.AlertError
		dns      *net.DNSError
		op       *net.OpError
		timeout  net.Error
		asOp     = errors.As(err, &op)
		timedOut = errors.As(err, &timeout) && timeout.Timeout()
	)
	switch {
	case errors.As(err, &away):
		return &LoginError{Service: service, Host: away.host, Cause: err}
	case errors.Is(err, resty.ErrResponseBodyTooLarge):
		return &TooLargeError{Service: service, Max: c.settings.MaxBody}
	case errors.As(err, &name): // somebody else's certificate
		return &LoginError{Service: service, Host: "something else", Cause: err}
	case errors.As(err, &unknown), errors.As(err, &invalid), errors.As(err, &verify), errors.As(err, &alert):
		return &TLSError{Service: service, Cause: err}
	case errors.As(err, &dns):
		return &OfflineError{Service: service, Cause: err}
	case timedOut && asOp && op.Op == "dial":
		return &TimeoutError{Service: service, After: c.settings.Connect, Cause: err}
	case timedOut:
		return &TimeoutError{Service: service, After: c.settings.Total, Cause: err}
	case asOp && op.Op == "dial":
		return &OfflineError{Service: service, Cause: err}
	}
	return &BrokenError{Service: service, Cause: err}
}

// refusal reads an answer of another status than asked for.
func refusal(service string, a answer, h http.Header) error {
	e := &StatusError{Service: service, Status: a.status, Reason: reason(a)}
	if s := h.Get("Retry-After"); s != "" {
		if n, err := strconv.Atoi(s); err == nil {
			e.After = time.Duration(min(max(n, 0), 1e6)) * time.Second
		} else if t, err := http.ParseTime(s); err == nil {
			now := a.date
			if now.IsZero() {
				now = a.at
			}
			e.After = max(t.Sub(now), 0)
		}
	}
	if a.status == http.StatusTooManyRequests {
		e.Limit = limit(e.Reason)
	}
	return e
}

// reason is the service's own words for a refusal: of the members that services use
// for it the first, else the text itself unless it is a page.
func reason(a answer) string {
	var said map[string]any
	if json.Unmarshal(a.body, &said) == nil {
		for _, name := range []string{"reason", "detail", "title", "message"} {
			if s, ok := said[name].(string); ok && s != "" {
				return printable(s, 120)
			}
		}
		return ""
	}
	if isPage(a.contentType, a.body) {
		return ""
	}
	return printable(string(a.body), 80)
}

// concurrent is the limit on questions asked at the same time.
const concurrent = "requests at once"

// limit finds which limit a refusal speaks of.
func limit(reason string) string {
	reason = strings.ToLower(reason)
	for _, l := range []struct{ word, limit string }{
		{"concurrent", concurrent}, {"minut", "minute"}, {"hour", "hour"}, {"dai", "day"}, {"day", "day"}, {"month", "month"},
	} {
		if strings.Contains(reason, l.word) {
			return l.limit
		}
	}
	return ""
}

// isPage reports whether an answer is a web page.
func isPage(contentType string, body []byte) bool {
	if strings.Contains(strings.ToLower(contentType), "html") {
		return true
	}
	start := strings.ToLower(printable(string(body[:min(len(body), 400)]), 40))
	return strings.HasPrefix(start, "<!doctype html") || strings.HasPrefix(start, "<html") || strings.HasPrefix(start, "<head")
}

// inspect checks an answer before it is handed on or kept.
func inspect(req Request, contentType string, e entry) error {
	if !e.confirmed && isPage(contentType, e.body) {
		return &LoginError{Service: req.Service, Page: printable(string(e.body), 80)}
	}
	var err error
	switch {
	case req.Validate != nil:
		err = req.Validate(e.body)
	case req.Accept == JSON:
		var any json.RawMessage
		err = Decode(e.body, &any)
	}
	if err == nil {
		return nil
	}
	var decode *DecodeError
	if errors.As(err, &decode) {
		if decode.Service == "" {
			decode.Service = req.Service
		}
		return err
	}
	var fault Fault
	if errors.As(err, &fault) {
		return err
	}
	return &DecodeError{Service: req.Service, What: fmt.Sprint(err), Cause: nil}
}
