package fetch

import (
	"crypto/sha256"
	"encoding/hex"
	"net/url"
	"strings"
	"time"
)

// Accept says what kind of answer is wanted.
type Accept string

// The kinds of answer.
const (
	JSON Accept = "json" // one JSON value and nothing after it
	Text Accept = "text" // anything that is no web page
)

// Request is a question to a service.
type Request struct {
	Service string     // its name for people, as "MET Norway"
	URL     string     // without a query; http or https
	Query   url.Values // may hold a key: it is neither kept nor printed
	Header  map[string]string
	Accept  Accept // empty: JSON
	// NeedsContact: the service turns away who cannot be reached. Without a contact in the settings the
	// request fails with a [ContactError] before it is sent.
	NeedsContact bool
	// MaxAge is how long an answer stays good at least, whatever the service says.
	MaxAge time.Duration
	// Validate reads an answer and says what is wrong with it; an answer that
	// fails is neither handed on nor kept. Nil: any well-formed answer will do.
	Validate func(body []byte) error
	// Issued says when an answer that passed Validate was made, or gives the zero time; nil for
	// answers that do not age, such as history. See [WarnAge] and [RefuseAge].
	Issued func(body []byte) time.Time
}

// Response is an answer that has passed every check.
type Response struct {
	Body         []byte
	Status       int       // 200 or 203 of the request that brought Body
	Fetched      time.Time // when it was had or last confirmed, by this computer's clock
	Expires      time.Time // until when it is good, by this computer's clock
	Issued       time.Time // see [Request.Issued]; may be zero
	LastModified string    // the service's own text; may be empty
	// Age is the time since Issued, by the service's clock where it told the time; since Fetched if Issued is zero.
	Age       time.Duration
	FromCache bool // Body was kept, not sent just now
	// Stale: Body was kept and is past its time, and no newer was to be had: Fault says
	// why, or is nil if the client is offline by its settings.
	Stale bool
	Fault Fault
	Notes []string // sentences for people; empty if all is well
}

// check finds what is wrong with the question itself.
func (r Request) check() error {
	u, err := url.Parse(r.URL)
	if err != nil || u.Host == "" || u.RawQuery != "" || u.Fragment != "" || u.User != nil || (u.Scheme != "https" && u.Scheme != "http") {
		return &AddressError{Service: r.Service, URL: printable(r.URL, 80)}
	}
	return nil
}

// key is the name under which the answer is kept. It tells neither place nor key.
func (r Request) key() string {
	sum := sha256.Sum256([]byte(strings.Join([]string{r.Service, r.URL, r.Query.Encode(), string(r.Accept)}, "\n")))
	return hex.EncodeToString(sum[:16])
}
