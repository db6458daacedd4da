package fetch

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"io"
	"os"
	"path/filepath"
	"time"
)

// entry is an answer as it is kept. Its file is the checksum of all that
// follows, a line feed, the fields as JSON, a line feed, and the body.
type entry struct {
	Service      string        `json:"service"`
	Status       int           `json:"status"`
	Fetched      time.Time     `json:"fetched"`         // by this computer's clock
	Served       time.Time     `json:"served"`          // the same moment by the service's
	Lifetime     time.Duration `json:"lifetime"`        // ns
	Issued       time.Time     `json:"issued,omitzero"` //
	LastModified string        `json:"last_modified"`   // the service's own text
	body         []byte
	confirmed    bool // by a 304
}

// good reports whether the answer need not be asked for again. If the clock
// was set back since, nothing is known of its age.
func (e entry) good(now time.Time, maxAge time.Duration) bool {
	d := now.Sub(e.Fetched)
	return d >= 0 && d < max(e.Lifetime, maxAge)
}

// age is the time since the answer was made, or else since it was had.
func (e entry) age(now time.Time) time.Duration {
	since := max(now.Sub(e.Fetched), 0)
	if e.Issued.IsZero() {
		return since
	}
	return max(e.Served.Sub(e.Issued)+since, 0)
}

// what read found.
const (
	absent = iota
	damaged
	kept
)

func (c *Client) path(req Request) string {
	return filepath.Join(c.settings.CacheDir, req.key()+".answer")
}

// read finds the kept answer, if it is whole and still passes the request's own check.
func (c *Client) read(req Request) (entry, int) {
	if c.settings.CacheDir == "" {
		return entry{}, absent
	}
	data, err := readKept(c.path(req), int64(c.settings.MaxBody)+maxMeta)
	switch {
	case errors.Is(err, errNotKept):
		return entry{}, damaged
	case err != nil:
		return entry{}, absent
	}
	sum, rest, ok := bytes.Cut(data, []byte("\n"))
	if !ok || string(sum) != checksum(rest) {
		return entry{}, damaged
	}
	meta, body, _ := bytes.Cut(rest, []byte("\n"))
	var e entry
	if json.Unmarshal(meta, &e) != nil {
		return entry{}, damaged
	}
	e.body = body
	if inspect(req, "", e) != nil { // kept by a program that was less strict
		return entry{}, damaged
	}
	return e, kept
}

// maxMeta is more than the fields of an entry take, in bytes.
const maxMeta = 64 << 10

var errNotKept = errors.New("no file that was kept")

// readKept reads a file of the cache, unless it cannot be one.
func readKept(path string, most int64) ([]byte, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() || info.Size() > most {
		return nil, errNotKept
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, most)) // one that grew meanwhile fails its checksum
}

// write keeps an answer: whole, or not at all, whoever else writes or reads.
func (c *Client) write(req Request, e entry) error {
	if c.settings.CacheDir == "" {
		return nil
	}
	meta, err := json.Marshal(e)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(c.settings.CacheDir, 0o700); err != nil {
		return err
	}
	rest := append(append(meta, '\n'), e.body...)
	f, err := os.CreateTemp(c.settings.CacheDir, req.key()+".*.part") // mode 0600
	if err != nil {
		return err
	}
	defer os.Remove(f.Name()) // gone already if all went well
	_, err = f.WriteString(checksum(rest) + "\n")
	if err == nil {
		_, err = f.Write(rest)
	}
	if err == nil {
		err = f.Sync()
	}
	if closed := f.Close(); err == nil {
		err = closed
	}
	if err != nil {
		return err
	}
	return os.Rename(f.Name(), c.path(req))
}

// Drop forgets the kept answer to a request.
func (c *Client) Drop(req Request) error {
	if c.settings.CacheDir == "" {
		return nil
	}
	if req.Accept == "" {
		req.Accept = JSON
	}
	if err := os.Remove(c.path(req)); err != nil && !os.IsNotExist(err) {
		return err
	}
	return nil
}

func checksum(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:])
}
