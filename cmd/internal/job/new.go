package job

import (
	_ "embed"
	"strings"
	"text/template"

	"limeday/cmd/internal/quantity"
)

//go:embed new.toml
var newJob string

// New is a commented job file to start from, in the given units. name is the
// job's, zone its IANA time zone.
func New(name, zone string, u quantity.Units) ([]byte, error) {
	fields := map[string]string{
		"Units": u.String(), "Name": quoted(name), "Zone": quoted(zone),
		"Altitude": `altitude = "85m"`, "Volume": `volume = "62m3"`, "AirSpeed": `air_speed = "0.1m/s"`, "Vent": "0.8m/s", "Heating": "16C", "Behind": "20C",
		"Height": `height = "2.9m"`, "Width": `width = "4.4m"`, "First": `thickness = "0.20mm"`, "Second": `thickness = "0.12mm"`,
		"Last": `thickness = "0.08mm"`, "Spread": "0.36kg/m2", "MinWall": "10C", "MaxThick": "0.4mm",
		"Lift": "1.8m", "Joint": "2.2m", "OpeningLeft": "3m", "Sill": "0m", "OpeningWidth": "0.9m", "OpeningHeight": "2.1m", "Reveal": "0.15m",
		"Laying": "12m2/h", "Compressing": "20m2/h", "Burnishing": "15m2/h", "Strip": "1m", "Bucket": "15kg", "HandLaying": "10m2/h",
	}
	if u == quantity.US {
		for key, value := range map[string]string{
			"Altitude": `altitude = "280ft"`, "Volume": `volume = "2200ft3"`, "AirSpeed": `air_speed = "0.2mph"`, "Vent": "2mph", "Heating": "61F", "Behind": "68F",
			"Height": `height = "9.5ft"`, "Width": `width = "14ft"`, "First": `thickness = "8mil"`, "Second": `thickness = "5mil"`,
			"Last": `thickness = "3mil"`, "Spread": "0.07lb/ft2", "MinWall": "50F", "MaxThick": "16mil",
			"Lift": "6ft", "Joint": "7.2ft", "OpeningLeft": "10ft", "Sill": "0ft", "OpeningWidth": "3ft", "OpeningHeight": "7ft", "Reveal": "0.5ft",
			"Laying": "130ft2/h", "Compressing": "215ft2/h", "Burnishing": "160ft2/h", "Strip": "3ft", "Bucket": "33lb", "HandLaying": "108ft2/h",
		} {
			fields[key] = value
		}
	}
	t, err := template.New("job").Parse(newJob)
	if err != nil {
		return nil, err
	}
	var b strings.Builder
	if err := t.Execute(&b, fields); err != nil {
		return nil, err
	}
	return []byte(b.String()), nil
}

// quoted makes s fit between double quotes in TOML.
func quoted(s string) string {
	return strings.Map(func(r rune) rune {
		if r == '"' || r == '\\' || r < ' ' || r == 0x7f {
			return '-'
		}
		return r
	}, s)
}
