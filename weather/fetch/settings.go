package fetch

import (
	"context"
	"io"
	"log"
	"math/rand/v2"
	"net"
	"net/http"
	"time"

	"github.com/go-resty/resty/v2"
)

// The defaults of [Settings].
const (
	DefaultConnect = 10 * time.Second
	DefaultTotal   = 30 * time.Second
	DefaultMaxBody = 32 << 20 // bytes
)

// Settings is what a [Client] is made with. The zero Settings keep nothing and name nobody.
type Settings struct {
	UserAgent string // the program and its version, as "limeday/1.0"; empty: "limeday"
	Contact   string // an e-mail or web address, sent only to services that demand one
	CacheDir  string // made when first written to; empty: nothing is kept
	Offline   bool   // answer from what is kept, whatever its age, and ask nobody

	Connect time.Duration // the longest wait for a connection; zero: [DefaultConnect]
	Total   time.Duration // the longest time for one try, answer included; zero: [DefaultTotal]
	MaxBody int           // the longest answer, unpacked, bytes; zero: [DefaultMaxBody]

	// Tell is told why the client waits, before it waits more than a second; may be nil.
	Tell func(string)

	// Now is the clock of this computer; nil: time.Now. Sleep waits, or returns
	// the context's error; nil: a timer. Seed is that of the scatter of waits; zero: taken from
	// Now. Transport carries the requests; nil: one of the standard library that
	// heeds Connect and the proxy of the environment.
	Now       func() time.Time
	Sleep     func(ctx context.Context, d time.Duration) error
	Seed      uint64
	Transport http.RoundTripper
}

// Client asks services, one question at a time. It may be used from several
// goroutines, and several processes may share its cache. Make it with [New].
type Client struct {
	settings Settings
	http     *resty.Client
	scatter  *rand.Rand    // from 0 to 1; used by who holds turn
	turn     chan struct{} // holds one token: who has it may ask
}

// New makes a client; it asks nobody and writes nothing yet.
func New(s Settings) *Client {
	if s.UserAgent == "" {
		s.UserAgent = "limeday"
	}
	if s.Connect == 0 {
		s.Connect = DefaultConnect
	}
	if s.Total == 0 {
		s.Total = DefaultTotal
	}
	if s.MaxBody == 0 {
		s.MaxBody = DefaultMaxBody
	}
	if s.Tell == nil {
		s.Tell = func(string) {}
	}
	if s.Now == nil {
		s.Now = time.Now
	}
	if s.Sleep == nil {
		s.Sleep = sleep
	}
	if s.Seed == 0 {
		s.Seed = uint64(s.Now().UnixNano())
	}
	if s.Transport == nil {
		t := http.DefaultTransport.(*http.Transport).Clone()
		t.DialContext = (&net.Dialer{Timeout: s.Connect}).DialContext
		t.TLSHandshakeTimeout = s.Connect
		s.Transport = t
	}
	c := &Client{settings: s, scatter: rand.New(rand.NewPCG(s.Seed, 0)), turn: make(chan struct{}, 1)}
	// Of resty's retries none are used: they heed no Retry-After and wait by a clock of their own.
	c.http = resty.New().
		SetTransport(s.Transport).
		SetTimeout(s.Total).
		SetResponseBodyLimit(s.MaxBody).
		SetRedirectPolicy(resty.RedirectPolicyFunc(stayHome)).
		SetLogger(silent{log.New(io.Discard, "", 0)})
	return c
}

// sleep waits for d, or until the context ends.
func sleep(ctx context.Context, d time.Duration) error {
	timer := time.NewTimer(d)
	defer timer.Stop()
	select {
	case <-ctx.Done():
		return ctx.Err()
	case <-timer.C:
		return nil
	}
}

// silent keeps resty from writing to stderr: what matters comes back as an error.
type silent struct{ *log.Logger }

func (silent) Errorf(string, ...any) {}
func (silent) Warnf(string, ...any)  {}
func (silent) Debugf(string, ...any) {}
