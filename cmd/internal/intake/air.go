package intake

import (
	"bytes"
	"context"
	"errors"
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

// air is the air that a day is worked out from. What was measured indoors is the air by itself, kept for the day, unless a service is
// named: then it shifts that forecast. Outdoors it is the forecast that counts, and where nothing was measured.
func (in *Intake) air(ctx context.Context, r Request, d *Day) (weather.Series, error) {
	measured, err := in.measured(r, d)
	switch outdoors := d.File.Room == nil; {
	case err != nil || r.Example != "":
		return measured, err
	case r.measured() && r.Source == "" && outdoors:
		return measured, &Error{Reason: NoWeather, Where: d.File.File, Expected: "a forecast",
			Message: d.File.File + ": a wall outdoors needs the forecast, for sky, wind and rain, which no reading holds; leave the reading out, or add --source any to shift the forecast by it"}
	case r.measured() && r.Source == "":
		return measured, nil
	}
	air, err := in.forecast(ctx, r, d, measured)
	var none *Error
	if r.Lenient && r.measured() && d.File.Room != nil && errors.As(err, &none) {
		if none.Reason == NoWeather {
			measured.Notes = append(measured.Notes, none.Message)
		}
		return measured, nil
	}
	return air, err
}

// measured is what was measured, or the air of an example.
func (in *Intake) measured(r Request, d *Day) (weather.Series, error) {
	switch {
	case r.Reading != nil:
		at := r.Reading.At
		if at.IsZero() {
			at = d.Ask.At
		}
		air, err := psychro.NewAir(psychro.Celsius(r.Reading.Temp), psychro.Fraction(r.Reading.RH/100), d.Job.Pressure())
		if err != nil {
			return weather.Series{}, err
		}
		return OneReading(at, air), nil
	case r.Logger != "":
		o, err := ReadOptions(d.File, r.ReadAs, d.Job.Zone)
		if err != nil {
			return weather.Series{}, err
		}
		o.At = d.Ask.At
		return ReadLogger(r.Logger, in.Stdin, o)
	case r.Example == Gable:
		return gableAir(d.Ask.At)
	case r.Example != "":
		return exampleAir()
	}
	return weather.Series{}, nil
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
	out, err := in.Ask(ctx, d.Job.Place, name, r.Offline, laidSince(d))
	var none *source.NoneError
	if errors.As(err, &none) {
		return weather.Series{}, &Error{Reason: NoWeather, Where: j.File, Expected: "a weather service that answers, or a reading with --temp and --rh",
			Message: "no forecast for " + j.File + ": " + err.Error() + ". Give a reading with --temp and --rh", Err: err}
	} else if err != nil {
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

// laidSince is when the first of the walls outdoors that still need care was laid, as far back as weather is told for
// the asking; zero where there is none.
func laidSince(d *Day) (since time.Time) {
	at := d.Ask.At
	for _, l := range d.Job.Laid {
		if d.File.Room != nil || !l.On.Before(at) || at.Sub(l.On) > source.Remembers {
			continue
		}
		if since.IsZero() || l.On.Before(since) {
			since = l.On
		}
	}
	return since
}

// OneReading is a series of a single reading, measured.
func OneReading(at time.Time, air psychro.Air) weather.Series {
	return weather.Series{Source: "your reading", Records: []weather.Record{{Time: at.UTC(),
		Temperature: weather.Value{V: float64(air.Temperature()), Tag: weather.Measured},
		Vapour:      weather.Value{V: float64(air.VapourPressure()), Tag: weather.Measured}}}}
}

// exampleAir is what the example's readings say.
func exampleAir() (weather.Series, error) {
	r, err := logfile.Read(job.ExampleName, bytes.NewReader(job.ExampleReadings()), logfile.Options{})
	r.Series.Source = "invented readings"
	return r.Series, err
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
	return s, nil
}
