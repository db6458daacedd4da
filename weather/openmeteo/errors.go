package openmeteo

import "strings"

// NotAllowedError is the refusal to use the free hosts without the user's word.
type NotAllowedError struct{}

// Error is Words.
func (e *NotAllowedError) Error() string { return e.Words() }

// Words says what would allow it.
func (e *NotAllowedError) Words() string {
	return "the free hosts of " + Name + " are for non-commercial use only: set key, the base_url of your own server, " +
		"or non_commercial = true if your use is not commercial, under [source.open-meteo] in limeday/config.toml"
}

// Later is false.
func (e *NotAllowedError) Later() bool { return false }

// RefusalError is what the service says in place of an answer, with a status that
// says all is well.
type RefusalError struct{ Reason string }

// Error is Words.
func (e *RefusalError) Error() string { return e.Words() }

// Words are the service's own.
func (e *RefusalError) Words() string { return Name + " refuses: " + e.Reason }

// Later reports whether the reason is a limit on how often it may be asked.
func (e *RefusalError) Later() bool {
	r := strings.ToLower(e.Reason)
	return strings.Contains(r, "limit exceeded") || strings.Contains(r, "concurrent") || strings.Contains(r, "overloaded")
}
