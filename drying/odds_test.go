package drying_test

import (
	"testing"
	"time"

	"limeday/drying"
	"limeday/weather"
)

// TestFrostOdds: of five years, one of them with a hole, those in which the air froze in the span are counted; over New Year too.
func TestFrostOdds(t *testing.T) {
	var s weather.Series
	begin := time.Date(2015, 1, 1, 0, 0, 0, 0, time.UTC)
	frosty := map[string]bool{"2016-04-20": true, "2018-04-25": true, "2017-05-20": true, "2019-01-03": true, "2015-04-02": true}
	for h := range 5 * 365 * 24 {
		at := begin.Add(time.Duration(h) * time.Hour)
		if at.Year() == 2019 && at.Month() == time.April && at.Day() > 20 {
			continue // a hole
		}
		c := 5.0
		if frosty[at.Format(time.DateOnly)] && at.Hour() == 5 {
			c = -1
		}
		s.Records = append(s.Records, weather.Record{Time: at, Temperature: weather.Value{V: c, Tag: weather.Measured}})
	}
	day := func(m time.Month, d int) time.Time { return time.Date(2026, m, d, 0, 0, 0, 0, time.UTC) }
	if share, years := drying.FrostOdds(s, day(4, 15), day(5, 13)); share != 0.5 || years != 4 { // 2016 and 2018 of 2015 to 2018
		t.Errorf("%g of %d years", share, years)
	}
	if share, years := drying.FrostOdds(s, time.Date(2025, 12, 20, 0, 0, 0, 0, time.UTC), day(1, 10)); share != 0.25 || years != 4 {
		t.Errorf("over New Year: %g of %d years", share, years)
	}
	if share, years := drying.FrostOdds(weather.Series{}, day(4, 15), day(5, 13)); share != 0 || years != 0 {
		t.Errorf("nothing known: %g of %d years", share, years)
	}
}
