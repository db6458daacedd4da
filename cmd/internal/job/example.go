package job

import (
	_ "embed"
	"slices"
)

// The built-in example: an invented job, invented readings of its air, and the
// moment at which its day is asked about.
var (
	//go:embed example.toml
	exampleJob []byte
	//go:embed example.csv
	exampleReadings []byte
)

// ExampleAt is the moment of the example, in its own zone, RFC 3339.
const ExampleAt = "2026-04-14T06:30:00+01:00"

// ExampleName is what messages call the example's job and readings.
const ExampleName = "built-in example"

// ExampleJob is the example's job file; read it with [Parse].
func ExampleJob() []byte { return slices.Clone(exampleJob) }

// ExampleReadings is the example's air, invented: a CSV of time (RFC 3339),
// temp_c and rh_pct, hourly from the evening before and every ten minutes from
// 05:00 to 07:00.
func ExampleReadings() []byte { return slices.Clone(exampleReadings) }
