// Package config reads the user's own settings, config.toml in limeday's folder of the user's configuration.
package config

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"strings"

	"github.com/pelletier/go-toml/v2"

	"limeday/cmd/internal/fault"
	"limeday/cmd/internal/infile"
	"limeday/cmd/internal/quantity"
)

// Config is what the user has set; its zero value is nothing set.
type Config struct {
	// Contact identifies the user to services that ask for it: an e-mail address or a web page.
	Contact string
	Units   string // metric or us; empty when not set
	Source  map[string]Source
}

// Source is what is set of one weather service.
type Source struct {
	BaseURL       string `toml:"base_url"`
	Key           string
	NonCommercial bool `toml:"non_commercial"`
}

// Path is where the file lies in a folder of user configuration.
func Path(folder string) string { return filepath.Join(folder, "limeday", "config.toml") }

// maxSize is the largest file read, in bytes.
const maxSize = 64 << 10

// Load reads the file in folder. A missing file is an empty Config. known are the names of the services. The
// error is a fault.List.
func Load(folder string, known []string) (Config, error) {
	var c Config
	if folder == "" {
		return c, nil
	}
	path := Path(folder)
	data, err := infile.Read(path, maxSize)
	if errors.Is(err, fs.ErrNotExist) {
		return c, nil
	}
	bad := func(line int, expected, format string, a ...any) error {
		return fault.List{{File: path, Line: line, Message: fmt.Sprintf(format, a...), Expected: expected}}
	}
	if err != nil {
		return c, bad(0, "a readable file", "could not be read: %s", fault.Plain(err))
	}
	d := toml.NewDecoder(bytes.NewReader(data)).DisallowUnknownFields()
	if err := d.Decode(&c); err != nil {
		var strict *toml.StrictMissingError
		var plain *toml.DecodeError
		switch {
		case errors.As(err, &strict) && len(strict.Errors) > 0:
			row, _ := strict.Errors[0].Position()
			return c, bad(row, "contact, units, [source.NAME] with base_url, key, non_commercial", "unknown key %q", strings.Join(strict.Errors[0].Key(), "."))
		case errors.As(err, &plain):
			row, _ := plain.Position()
			return c, bad(row, "TOML", "%s", strings.TrimPrefix(plain.Error(), "toml: "))
		}
		return c, bad(0, "TOML", "%v", err)
	}
	if c.Units != "" {
		if _, err := quantity.ParseUnits(c.Units); err != nil {
			return c, bad(0, "metric or us", "units: %v", err)
		}
	}
	for name, s := range c.Source {
		found := false
		for _, k := range known {
			found = found || k == name
		}
		if !found {
			e := quantity.Unknown("weather service", name, known)
			return c, bad(0, e.Expected, "[source.%s]: %s", name, e.Reason)
		}
		if s.BaseURL != "" && !strings.HasPrefix(s.BaseURL, "http://") && !strings.HasPrefix(s.BaseURL, "https://") {
			return c, bad(0, "a URL", "base_url of [source.%s] is %q; it begins with https://", name, s.BaseURL)
		}
	}
	return c, nil
}
