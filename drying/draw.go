package drying

import (
	"limeday/drying/learn"
	"limeday/weather"
)

// draw is one value of everything a day does not know: the plasterer's unknowns, as the timing has them, and the day's own
// standard normal numbers.
type draw struct {
	theta, own []float64
	learned    learn.Learned
	late       float64 // where it lies, from the middle, of what agrees with a look that it does not agree with: -0.5 to 0.5
}

// ownOfDay is how many unknowns a day has of its own before those of its coats, ownOfCoat each; those of a plasterer with
// a finish that nothing was learned of come last.
const (
	ownOfDay  = 5
	ownOfCoat = 2
)

// owns is how many unknowns a day of the job has of its own.
func (j Job) owns() int {
	n := ownOfDay + ownOfCoat*len(j.Coats) + len(learn.Unknowns())
	if j.unsure {
		n++
	}
	return n
}

// behind is which of a wall's kinds the draw has behind it: the usual one in half of all walls, each other in a quarter (ESTIMATE).
func (x *draw) behind(j Job) int {
	z := 0.0
	if j.unsure {
		z = x.own[len(x.own)-1]
	}
	switch {
	case z <= 0:
		return 0
	case z < quarter:
		return 1
	}
	return 2
}

// quarter is the 75 % point of the standard normal distribution.
const quarter = 0.6744897501960817

// lay is the draw's for coat i.
func (x *draw) lay(j Job, i int) learn.Lay {
	z, c := x.own, x.own[ownOfDay+ownOfCoat*i:]
	return learn.Lay{Wall: z[0], Batch: z[1], Temperature: z[2], Vapour: z[3], Speed: z[4], Thickness: c[0], Clock: c[1],
		Measured: j.Suction.Measured(), Learned: x.learned}
}

// of is the plasterer's unknowns for coat i: the timing's where it is of the coat's finish.
func (x *draw) of(j Job, i int) []float64 {
	if j.Timing == nil || j.Timing.Finish == j.Coats[i].Finish.Name {
		return x.theta
	}
	n := ownOfDay + ownOfCoat*len(j.Coats)
	return x.own[n : n+len(learn.Unknowns())]
}

// timing is what is known of the plasterer.
func (j Job) timing() learn.Timing {
	if j.Timing == nil {
		return learn.Untaught()
	}
	return *j.Timing
}

// middleOf is the middle of everything a job does not know; nil where that is the model as it is.
func middleOf(j Job) *draw {
	if j.Timing == nil {
		return nil
	}
	return &draw{theta: j.Timing.Mean, own: make([]float64, j.owns())}
}

// doubtsOf is how well the air of readings is known, by the day's clock: as read, as held after the last reading, or as
// forecast from when that was made on, or else from the moment of asking.
func (d *day) doubtsOf(readings weather.Series) []learn.Doubt {
	var out []learn.Doubt
	last, made := 0.0, 0.0
	if !readings.Issued.IsZero() {
		made = min(d.seconds(readings.Issued), 0)
	}
	for _, r := range readings.Records {
		t := d.seconds(r.Time)
		x := learn.Read()
		if r.Temperature.Tag != weather.Measured && r.Temperature.Tag != weather.Held {
			x = learn.Forecast(max(t-made, 0) / 3600)
			if low, high := r.TempLow, r.TempHigh; low.Known() && high.Known() && high.V > low.V {
				x.Temperature = (high.V - low.V) / (2 * ninety)
			}
		}
		x.Time, last = t, t
		out = append(out, x)
	}
	if n := len(out); n > 0 && readings.Records[n-1].Temperature.Tag == weather.Measured {
		for h := 1.0; h <= 24; h++ { // no more than a day: see Known.Held
			x := learn.Held(h)
			x.Time = last + 3600*h
			out = append(out, x)
		}
	}
	return out
}

// ninety is the 90 % point of the standard normal distribution.
const ninety = 1.2815515655446004
