package job

import (
	_ "embed"
	"slices"
)

// The built-in examples: an invented job, invented readings of its air or
// weather of its place, and the moment at which its day is asked about.
var (
	//go:embed example.toml
	exampleJob []byte
	//go:embed example.csv
	exampleReadings []byte
	//go:embed stair.toml
	stairJob []byte
	//go:embed gable.toml
	gableJob []byte
	//go:embed gable.csv
	gableWeather []byte
)

// ExampleAt is the moment of the examples, in its own zone, RFC 3339.
const ExampleAt = "2026-04-14T06:30:00+01:00"

// ExampleName is what messages call the example's job and readings.
const ExampleName = "built-in example"

// ExampleJob is the example's job file; read it with [Parse].
func ExampleJob() []byte { return slices.Clone(exampleJob) }

// StairJob is the job file of the example of a wall and its crew; its air is that of [ExampleReadings].
func StairJob() []byte { return slices.Clone(stairJob) }

// ExampleReadings is the example's air, invented: a CSV of time (RFC 3339),
// temp_c and rh_pct, hourly from the evening before and every ten minutes from
// 05:00 to 07:00.
func ExampleReadings() []byte { return slices.Clone(exampleReadings) }

// GableJob is the job file of the example outdoors.
func GableJob() []byte { return slices.Clone(gableJob) }

// GableWeather is the weather of the example outdoors, invented: an hourly CSV
// in the columns of package weather/columns, from two days before the moment to
// eight days after it. Rain is that of the hour that begins with the row.
func GableWeather() []byte { return slices.Clone(gableWeather) }
