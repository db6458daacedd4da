package app

import (
	"context"
	"fmt"
	"path/filepath"
	"time"

	"limeday/cmd/internal/intake"
	"limeday/cmd/internal/quantity"
	"limeday/cmd/internal/view"
	"limeday/drying/message"
	"limeday/weather"
	"limeday/weather/source"
)

// intake reads questions, with this run's clock and services.
func (inv *invocation) intake() *intake.Intake {
	return &intake.Intake{Now: inv.Now, Stdin: inv.Stdin, Ask: inv.askWeather}
}

// siteOf reads a job's file, - for standard input, for a command that asks of no day.
func (inv *invocation) siteOf(path string, given intake.Given) (intake.Site, error) {
	j, err := intake.Load(path, "", inv.Stdin)
	if err != nil {
		return intake.Site{}, err
	}
	return inv.intake().Site(j, given)
}

// assumedText writes what was taken for granted, a clause each.
func assumedText(assumed []message.Text, u quantity.Units) []string {
	says := []string{}
	for _, t := range assumed {
		says = append(says, view.Printer{Units: u}.Text(t))
	}
	return says
}

// askWeather asks the weather services for a place, and says so before it does.
func (inv *invocation) askWeather(ctx context.Context, place weather.Place, name string, offline bool, since time.Time) (weather.Series, error) {
	s := source.New(inv.sourceSettings(offline))
	if !offline {
		asked := name
		if asked == "" {
			asked = s.Order(place)[0]
		}
		fmt.Fprintf(inv.Notes, "Asking %s for the weather at %s.\n", asked, source.Told(place))
	}
	return s.Forecast(ctx, place, name, since)
}

// sourceSettings are what weather services are asked with.
func (inv *invocation) sourceSettings(offline bool) source.Settings {
	set := source.Settings{Contact: inv.config.Contact, Services: map[string]source.Service{}, Offline: offline,
		UserAgent: "limeday/" + Version, Now: inv.Now, Transport: inv.Transport, Sleep: inv.Sleep,
		Tell: func(s string) { fmt.Fprintln(inv.Notes, s) }}
	if inv.CacheDir != "" {
		set.CacheDir = filepath.Join(inv.CacheDir, "limeday")
	}
	for n, s := range inv.config.Source {
		set.Services[n] = source.Service(s)
	}
	return set
}
