package weather

import (
	"fmt"
	"slices"
	"strings"
	"time"
)

// OnConflict is what to do where two series have different values at one time.
type OnConflict uint8

// The rules.
const (
	Refuse    OnConflict = iota // a [*ConflictError]
	KeepFirst                   // of the series in the order given, with a note
)

// ConflictError is two series that say different things of the same time.
type ConflictError struct {
	Time   time.Time // UTC
	Field  string    // of Record
	A, B   float64   // what they say, in the unit of the field
	First  string    // Source of the series that says A
	Second string    // and B
}

// Error names both.
func (e *ConflictError) Error() string {
	return fmt.Sprintf("two values of %s at %s: %.6g (%s) and %.6g (%s); expected one, or files that do not overlap",
		e.Field, e.Time.Format(time.RFC3339), e.A, e.First, e.B, e.Second)
}

// Join returns one series of several, such as files year by year, in any order.
// Where two have a record at one time, what one lacks is taken from the other;
// what both have must be equal, or the rule decides. The credits and the notes
// are those of all; Issued and Fetched are the oldest, so that no age is
// understated; Grid is kept if it is the same in all.
func Join(rule OnConflict, series ...Series) (Series, error) {
	if len(series) == 0 {
		return Series{}, nil
	}
	type from struct{ series, record int } // small: years of records are moved once
	var all []from
	out := series[0]
	var sources, credits []string
	out.Notes, out.Parts = nil, nil
	for i, s := range series {
		all = slices.Grow(all, len(s.Records))
		for k := range s.Records {
			all = append(all, from{i, k})
		}
		sources, credits = once(sources, s.Source), once(credits, s.Credit)
		out.Parts = append(out.Parts, s.Parts...)
		for _, n := range s.Notes {
			out.Notes = once(out.Notes, n)
		}
		out.Issued, out.Fetched = older(out.Issued, s.Issued), older(out.Fetched, s.Fetched)
		if out.Grid != nil && (s.Grid == nil || *s.Grid != *out.Grid) {
			out.Grid, out.Off = nil, nil
		}
	}
	out.Source, out.Credit = strings.Join(sources, " + "), strings.Join(credits, "; ")
	at := func(f from) *Record { return &series[f.series].Records[f.record] }
	slices.SortStableFunc(all, func(a, b from) int { return at(a).Time.Compare(at(b).Time) })
	out.Parts = inOrder(out.Parts)
	out.Records = make([]Record, 0, len(all))
	conflicts, owner := 0, 0
	for _, f := range all {
		n, b := len(out.Records), at(f)
		if n == 0 || !out.Records[n-1].Time.Equal(b.Time) {
			out.Records = append(out.Records, *b)
			owner = f.series
			continue
		}
		a := &out.Records[n-1]
		into, other := a.values(), b.values()
		for k := range into {
			switch {
			case !other[k].Known():
			case !into[k].Known():
				*into[k] = *other[k]
			case into[k].V != other[k].V && rule == Refuse:
				return Series{}, &ConflictError{Time: b.Time, Field: fields[k], A: into[k].V, B: other[k].V,
					First: series[owner].Source, Second: series[f.series].Source}
			case into[k].V != other[k].V:
				conflicts++
			}
		}
		if a.Span == 0 {
			a.Span = b.Span
		}
	}
	if conflicts > 0 {
		out.Notes = append(out.Notes, fmt.Sprintf("%d values that differ between the sources: the first is kept", conflicts))
	}
	return out, nil
}

// fields are the names of values.
var fields = [...]string{"temperature", "vapour pressure", "pressure", "air speed", "wind", "gust", "wind direction", "cloud",
	"rain", "chance of rain", "global radiation", "direct radiation", "diffuse radiation", "low temperature", "high temperature"}

// values are the values of a record, to be read or changed.
func (r *Record) values() [len(fields)]*Value {
	return [...]*Value{&r.Temperature, &r.Vapour, &r.Pressure, &r.AirSpeed, &r.Wind, &r.Gust, &r.WindFrom, &r.Cloud,
		&r.Rain, &r.RainChance, &r.Global, &r.Direct, &r.Diffuse, &r.TempLow, &r.TempHigh}
}

// once appends s unless it is empty or there.
func once(list []string, s string) []string {
	if s == "" || slices.Contains(list, s) {
		return list
	}
	return append(list, s)
}

// older is the earlier of two times, of which a zero one is not known.
func older(a, b time.Time) time.Time {
	if a.IsZero() || !b.IsZero() && b.Before(a) {
		return b
	}
	return a
}
