package intake

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math"
	"time"

	"limeday/cmd/internal/job"
	"limeday/drying"
	"limeday/psychro"
	"limeday/weather"
	"limeday/weather/columns"
	"limeday/weather/logfile"
	"limeday/weather/source"
)

// Any is the word for the services in their usual order.
const Any = "any"

// air is the air that a day is worked out from. What was measured indoors today is the air by itself, kept for the day, unless a service
// is named: then it shifts that forecast. Outdoors it is the forecast that counts, and where nothing was measured today. Readings of earlier
// days are joined to either.
func (in *Intake) air(ctx context.Context, r Request, d *Day) (weather.Series, error) {
	if r.Example != "" && !r.measured() {
		return exampleAir(r.Example, d.Ask.At)
	}
	measured, err := in.measured(r, d)
	outdoors, today := d.File.Room == nil, r.Logger != "" || d.readToday()
	if n := len(d.readings); n > 0 && d.readToday() {
		d.Reading = &d.readings[n-1]
	}
	switch {
	case err != nil || r.Example != "":
		return measured, err
	case r.measured() && r.Source == "" && outdoors:
		return measured, &Error{Reason: NoWeather, Where: d.File.File, Expected: "a forecast",
			Message: d.File.File + ": a wall outdoors needs the forecast, for sky, wind and rain, which no reading holds; leave the reading out, or add --source any to shift the forecast by it"}
	case today && r.Source == "" && !outdoors:
		return measured, nil
	}
	air, err := in.forecast(ctx, r, d, measured)
	var none *Error
	if outdoors || len(measured.Records) == 0 || !errors.As(err, &none) || !r.Lenient && (today || none.Reason != NoPlace) {
		return air, err
	}
	if n := len(d.readings); n > 0 {
		d.Reading = &d.readings[n-1]
	}
	if none.Reason == NoWeather {
		measured.Notes = append(measured.Notes, none.Message)
	}
	return measured, nil
}

// measured is what was measured: the readings typed in and those of a logger.
func (in *Intake) measured(r Request, d *Day) (weather.Series, error) {
	typed, err := byHand(d.readings, d.Job.Pressure())
	if err != nil || r.Logger == "" {
		return typed, err
	}
	o, err := ReadOptions(d.File, r.ReadAs, d.Job.Zone)
	if err != nil {
		return weather.Series{}, err
	}
	o.At = d.Ask.At
	logged, err := ReadLogger(r.Logger, in.Stdin, o)
	if len(typed.Records) == 0 {
		return logged, err
	}
	return weather.Merge(typed, logged), err
}

// forecast is the air of the job's room, or of its walls outdoors, from a weather service, with what was measured blended in.
func (in *Intake) forecast(ctx context.Context, r Request, d *Day, measured weather.Series) (weather.Series, error) {
	j := d.File
	if j.Place.Latitude == nil || j.Place.Longitude == nil {
		return weather.Series{}, &Error{Reason: NoPlace, Where: j.File, Expected: "lat and lon in [place]",
			Message: j.File + " does not say where it is, so there is no forecast for it: give lat and lon in [place], or a reading with --temp and --rh"}
	}
	name := r.Source
	if name == Any {
		name = ""
	}
	place := d.Job.Place
	if j.Place.Altitude == nil {
		place.Altitude = math.NaN() // the service has its own
	}
	out, err := in.Ask(ctx, place, name, r.Offline, d.since())
	var none *source.NoneError
	if errors.As(err, &none) {
		return weather.Series{}, &Error{Reason: NoWeather, Where: j.File, Expected: "a weather service that answers, or a reading with --temp and --rh",
			Message: "no forecast for " + j.File + ": " + err.Error() + ". Give a reading with --temp and --rh", Err: err}
	} else if err != nil {
		return weather.Series{}, err
	}
	if err := d.covered(&out); err != nil {
		return weather.Series{}, err
	}
	if j.Room != nil {
		out = d.Job.Inside(out)
	}
	out = drying.StartingBy(out, d.Ask.At)
	if len(measured.Records) > 0 {
		out = source.Blend(out, measured)
	}
	return out, nil
}

// covered refuses a forecast that ends before the moment of asking, whenever it was made, and notes that it ends within the day's hours.
func (d *Day) covered(out *weather.Series) error {
	at, end := d.Ask.At.In(d.Job.Zone), out.End().In(d.Job.Zone)
	if end.Before(at) {
		made := ""
		if !out.Issued.IsZero() {
			made = ", made " + out.Issued.In(d.Job.Zone).Format(minute) + ","
		}
		return &Error{Reason: NoWeather, Where: d.File.File, Expected: "a forecast that covers the moment of asking, or a reading with --temp and --rh",
			Message: fmt.Sprintf("the forecast for %s%s ends %s, before the moment of asking, %s: ask again with a network, or give a reading with --temp and --rh",
				d.File.File, made, end.Format(minute), at.Format(minute))}
	}
	if _, to := d.Job.Hours.On(at); end.Before(to) && at.Before(to) {
		out.Notes = append(out.Notes, "The forecast ends at "+end.Format("15:04")+", within the hours of today.")
	}
	return nil
}

const minute = "2006-01-02 15:04"

// OneReading is a series of a single reading, measured.
func OneReading(at time.Time, air psychro.Air) weather.Series {
	return weather.Series{Source: "your reading", Records: []weather.Record{{Time: at.UTC(),
		Temperature: weather.Value{V: float64(air.Temperature()), Tag: weather.Measured},
		Vapour:      weather.Value{V: float64(air.VapourPressure()), Tag: weather.Measured}}}}
}

// exampleAir is the air of an example.
func exampleAir(e Example, at time.Time) (weather.Series, error) {
	if e == Gable {
		return gableAir(at)
	}
	r, err := logfile.Read(job.ExampleName, bytes.NewReader(job.ExampleReadings()), logfile.Options{})
	r.Series.Source = "invented readings"
	return r.Series.Of(weather.Logged), err
}

// gableAir is the invented weather of the example outdoors: measured up to its moment, forecast after it.
func gableAir(at time.Time) (weather.Series, error) {
	s, err := columns.Read(job.ExampleName, bytes.NewReader(job.GableWeather()), columns.Options{SumsAfter: true})
	if err != nil {
		return s, err
	}
	s.Source, s.Issued = "invented forecast", at
	for i := range s.Records {
		r := &s.Records[i]
		if !r.Time.After(at) {
			continue
		}
		for _, v := range []*weather.Value{&r.Temperature, &r.Vapour, &r.Wind, &r.WindFrom, &r.Cloud, &r.Rain} {
			v.Tag = weather.Forecast
		}
	}
	return weather.Merge(s), nil
}
