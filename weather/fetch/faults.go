package fetch

import (
	"fmt"
	"net/http"
	"strings"
	"time"
	"unicode"
)

// Fault is an answer that could not be had. Every typed error of this package is one.
type Fault interface {
	error
	Words() string // one sentence, without a full stop, for people
	Later() bool   // the same question may be answered later
}

// ContactError means that the service wants to know whom it serves and nobody is named.
type ContactError struct {
	Service string
	Given   string // the contact that will not do; empty if there is none
}

// Error is Words.
func (e *ContactError) Error() string { return e.Words() }

// Words says how to set the contact.
func (e *ContactError) Words() string {
	what := "no contact is set"
	if e.Given != "" {
		what = fmt.Sprintf("the contact %q is neither an e-mail nor a web address", e.Given)
	}
	return fmt.Sprintf(`%s wants to know whom it serves, and %s: write contact = "you@example.org", with your own e-mail or web address, into limeday/config.toml in your config folder`, e.Service, what)
}

// Later is false: the contact must be set.
func (e *ContactError) Later() bool { return false }

// AddressError means that the address of the service is none.
type AddressError struct{ Service, URL string }

// Error is Words.
func (e *AddressError) Error() string { return e.Words() }

// Words names the address.
func (e *AddressError) Words() string {
	return fmt.Sprintf("the address of %s is %q; expected one that begins with https:// and has no query: see base_url in limeday/config.toml", e.Service, e.URL)
}

// Later is false.
func (e *AddressError) Later() bool { return false }

// OfflineError means that the service cannot be reached, or must not be asked, and nothing is kept.
type OfflineError struct {
	Service string
	Asked   bool  // by the settings
	Damaged bool  // something was kept, and is damaged
	Cause   error // nil if Asked
}

// Error is Words and the cause.
func (e *OfflineError) Error() string { return withCause(e.Words(), e.Cause) }

// Words says that there is no network, or none is wanted.
func (e *OfflineError) Words() string {
	switch {
	case e.Asked && e.Damaged:
		return fmt.Sprintf("offline, and what was kept of %s for this place is damaged", e.Service)
	case e.Asked:
		return fmt.Sprintf("offline, and nothing is kept of %s for this place", e.Service)
	}
	return fmt.Sprintf("no network: %s cannot be reached", e.Service)
}

// Later is true.
func (e *OfflineError) Later() bool { return true }

// Unwrap is the cause.
func (e *OfflineError) Unwrap() error { return e.Cause }

// LoginError means that something on the way answered in place of the service, with a page
// or by sending the request elsewhere.
type LoginError struct {
	Service string
	Host    string // where the request was sent; empty for a page
	Page    string // the beginning of the page, printable; for the curious only
	Cause   error  // may be nil
}

// Error is Words and the cause.
func (e *LoginError) Error() string { return withCause(e.Words(), e.Cause) }

// Words says that the network wants a login.
func (e *LoginError) Words() string {
	how := fmt.Sprintf("a web page came in place of %s", e.Service)
	if e.Host != "" {
		how = fmt.Sprintf("%s answered in place of %s", e.Host, e.Service)
	}
	return "the network wants a login: " + how + "; open a web page in a browser, log in, and try again"
}

// Later is true.
func (e *LoginError) Later() bool { return true }

// Unwrap is the cause.
func (e *LoginError) Unwrap() error { return e.Cause }

// TLSError means that the service could not show that it is itself.
type TLSError struct {
	Service string
	Cause   error
}

// Error is Words and the cause.
func (e *TLSError) Error() string { return withCause(e.Words(), e.Cause) }

// Words sends people to the clock first.
func (e *TLSError) Words() string {
	return fmt.Sprintf("no safe connection to %s: check date and time of this computer; if they are right, the network may want a login or the system's certificates are old", e.Service)
}

// Later is true.
func (e *TLSError) Later() bool { return true }

// Unwrap is the cause.
func (e *TLSError) Unwrap() error { return e.Cause }

// TimeoutError means that connection or answer took too long.
type TimeoutError struct {
	Service string
	After   time.Duration // the limit
	Cause   error
}

// Error is Words and the cause.
func (e *TimeoutError) Error() string { return withCause(e.Words(), e.Cause) }

// Words names the limit.
func (e *TimeoutError) Words() string {
	return fmt.Sprintf("the network is too slow: no whole answer from %s within %s", e.Service, span(e.After))
}

// Later is true.
func (e *TimeoutError) Later() bool { return true }

// Unwrap is the cause.
func (e *TimeoutError) Unwrap() error { return e.Cause }

// BrokenError means that the connection broke, or the answer ended, before its end.
type BrokenError struct {
	Service string
	Tries   int
	Cause   error
}

// Error is Words and the cause.
func (e *BrokenError) Error() string { return withCause(e.Words(), e.Cause) }

// Words counts the tries.
func (e *BrokenError) Words() string {
	return fmt.Sprintf("the connection to %s broke off, %s", e.Service, times(e.Tries))
}

// Later is true.
func (e *BrokenError) Later() bool { return true }

// Unwrap is the cause.
func (e *BrokenError) Unwrap() error { return e.Cause }

// TooLargeError means that the answer is longer than any of a weather service.
type TooLargeError struct {
	Service string
	Max     int // bytes
}

// Error is Words.
func (e *TooLargeError) Error() string { return e.Words() }

// Words names the limit.
func (e *TooLargeError) Words() string {
	return fmt.Sprintf("the answer of %s is longer than %.4g MiB and was not read to its end", e.Service, float64(e.Max)/(1<<20))
}

// Later is true.
func (e *TooLargeError) Later() bool { return true }

// DecodeError means that the answer is not what the service's documents promise.
type DecodeError struct {
	Service string // filled in by [Client.Get] if empty
	Where   string // in the answer, as "timeseries[3].air_temperature"; may be empty
	What    string // what is wrong there
	Cause   error  // may be nil
}

// Error is Words and the cause.
func (e *DecodeError) Error() string { return withCause(e.Words(), e.Cause) }

// Words says where and what.
func (e *DecodeError) Words() string {
	service, where := e.Service, ""
	if service == "" {
		service = "the service"
	}
	if e.Where != "" {
		where = " at " + e.Where
	}
	return fmt.Sprintf("the answer of %s cannot be used%s: %s", service, where, e.What)
}

// Later is true: answers cut short in the middle are whole the next time.
func (e *DecodeError) Later() bool { return true }

// Unwrap is the cause.
func (e *DecodeError) Unwrap() error { return e.Cause }

// OldError means that the service answered with a forecast older than [RefuseAge].
type OldError struct {
	Service string
	Age     time.Duration
}

// Error is Words.
func (e *OldError) Error() string { return e.Words() }

// Words tells the age.
func (e *OldError) Words() string {
	return fmt.Sprintf("%s answered with a forecast made %s ago, which is too old to be one", e.Service, span(e.Age))
}

// Later is true.
func (e *OldError) Later() bool { return true }

// StatusError means that the service refused.
type StatusError struct {
	Service string
	Status  int           // HTTP
	Reason  string        // the service's own words, printable and short; may be empty
	Limit   string        // for 429: "minute", "hour", "day", "month" or "requests at once"; empty if not said
	After   time.Duration // how long the service asks to wait; zero if it does not say
	Tries   int
}

// Error is Words and the service's own.
func (e *StatusError) Error() string {
	if e.Reason == "" {
		return e.Words()
	}
	return e.Words() + ": " + e.Reason
}

// Words says what the status means for the one who asks.
func (e *StatusError) Words() string {
	after := ""
	if e.After > 0 {
		after = "; it asks to wait " + span(e.After)
	}
	switch e.Status {
	case http.StatusBadRequest, http.StatusUnprocessableEntity:
		return fmt.Sprintf("%s does not take this question (%d): check place and dates", e.Service, e.Status)
	case http.StatusUnauthorized:
		return fmt.Sprintf("%s wants a key, or another one (401): set key for it in limeday/config.toml", e.Service)
	case http.StatusForbidden:
		return fmt.Sprintf("%s turned the request away (403): identify yourself: set contact in limeday/config.toml to your e-mail or web address, and check the key if the service has one", e.Service)
	case http.StatusNotFound, http.StatusGone:
		return fmt.Sprintf("%s has nothing for this place (%d): it may lie outside the area served", e.Service, e.Status)
	case http.StatusTooManyRequests:
		switch e.Limit {
		case "":
			return fmt.Sprintf("%s has been asked too often from this network (429)%s", e.Service, after)
		case concurrent:
			return fmt.Sprintf("%s is being asked too many things at once from this network (429)%s", e.Service, after)
		}
		return fmt.Sprintf("the limit of %s for one %s is used up on this network (429)%s", e.Service, e.Limit, after)
	}
	if e.Status >= 500 {
		return fmt.Sprintf("%s has a fault of its own (%d), %s%s", e.Service, e.Status, times(e.Tries), after)
	}
	return fmt.Sprintf("%s gave an answer that makes no sense (%d)", e.Service, e.Status)
}

// Later is true for the faults of the service and for limits, false where the question is at fault.
func (e *StatusError) Later() bool { return e.Status >= 500 || e.Status == http.StatusTooManyRequests }

func withCause(words string, cause error) string {
	if cause == nil {
		return words
	}
	return words + ": " + cause.Error()
}

func times(n int) string {
	if n <= 1 {
		return "at the first try"
	}
	return fmt.Sprintf("%d times in a row", n)
}

// span is a duration as coarse as people speak of it.
func span(d time.Duration) string {
	switch {
	case d < time.Second:
		return d.String()
	case d < 2*time.Minute:
		return fmt.Sprintf("%d s", int(d.Seconds()))
	case d < 2*time.Hour:
		return fmt.Sprintf("%d min", int(d.Minutes()))
	case d < 48*time.Hour:
		return fmt.Sprintf("%d h", int(d.Hours()))
	}
	return fmt.Sprintf("%d days", int(d.Hours()/24))
}

// printable is the beginning of a text from outside, safe to show: at most n characters,
// no control characters, blanks run together.
func printable(s string, n int) string {
	if len(s) > 8*n {
		s = s[:8*n]
	}
	s = strings.Join(strings.Fields(strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r):
			return ' '
		case r == unicode.ReplacementChar || !unicode.IsPrint(r):
			return -1
		}
		return r
	}, s)), " ")
	if r := []rune(s); len(r) > n {
		s = string(r[:n-1]) + "…"
	}
	return s
}
