package app

import (
	"github.com/spf13/pflag"

	"limeday/cmd/internal/quantity"
	"limeday/cmd/internal/view"
	"limeday/drying/message"
	"limeday/psychro"
)

// airFlags are --temp --rh --pressure --altitude, shared by the commands that
// take the air from one reading.
type airFlags struct{ temp, rh, pressure, altitude *quantityFlag }

func addAirFlags(fs *pflag.FlagSet) *airFlags {
	return &airFlags{
		temp:     addQuantity(fs, "temp", "14C|57F", quantity.Temperature, quantity.AirTemperatures, "temperature of the air"),
		rh:       addQuantity(fs, "rh", "72", quantity.Humidity, quantity.Humidities, "relative humidity of the air, in percent"),
		pressure: addQuantity(fs, "pressure", "1013hPa", quantity.Pressure, quantity.Pressures, "pressure of the air here, not reduced to sea level"),
		altitude: addQuantity(fs, "altitude", "320m", quantity.Altitude, quantity.Altitudes, "height above the sea, to estimate the pressure"),
	}
}

// airReading is one reading of the air from the flags.
type airReading struct {
	Air          psychro.Air
	RHPct        float64 // as given
	PressureFrom string  // a clause: where the pressure comes from
}

// pressureGiven is the clause for a pressure that was not estimated.
const pressureGiven = "as given"

// Reading is the air at the flags, or nil when neither --temp nor --rh is
// given. Half a reading is a usage error, as are both pressure and altitude.
func (f *airFlags) Reading(u quantity.Units) (*airReading, error) {
	temp, err := f.temp.Value(u)
	if err != nil {
		return nil, err
	}
	rh, err := f.rh.Value(u)
	if err != nil {
		return nil, err
	}
	pressure, from, err := f.Pressure(u)
	if err != nil {
		return nil, err
	}
	switch {
	case temp == nil && rh == nil:
		return nil, nil
	case rh == nil:
		return nil, usage("--rh", "--temp and --rh", "--temp is given without --rh; give both, such as --temp 14C --rh 72")
	case temp == nil:
		return nil, usage("--temp", "--temp and --rh", "--rh is given without --temp; give both, such as --temp 14C --rh 72")
	}
	air, err := psychro.NewAir(psychro.Celsius(*temp), psychro.Fraction(*rh/100), pressure)
	if err != nil {
		return nil, err
	}
	return &airReading{Air: air, RHPct: *rh, PressureFrom: from}, nil
}

// station are --pressure and --altitude where they are given, at most one of them.
func (f *airFlags) station(u quantity.Units) (pressure, altitude *float64, err error) {
	if _, _, err = f.Pressure(u); err != nil {
		return nil, nil, err
	}
	if pressure, err = f.pressure.Value(u); err == nil {
		altitude, err = f.altitude.Value(u)
	}
	return pressure, altitude, err
}

// Pressure is that of --pressure, or of the standard atmosphere at --altitude
// or else at sea level, with a clause that says which.
func (f *airFlags) Pressure(u quantity.Units) (psychro.Pascal, string, error) {
	p, err := f.pressure.Value(u)
	if err != nil {
		return 0, "", err
	}
	h, err := f.altitude.Value(u)
	if err != nil {
		return 0, "", err
	}
	switch {
	case p != nil && h != nil:
		return 0, "", usage("--altitude", "--pressure or --altitude", "--pressure and --altitude are both given; give one, since the pressure is what the altitude would estimate")
	case p != nil:
		return psychro.Pascal(*p), pressureGiven, nil
	case h != nil:
		return psychro.StandardPressure(psychro.Metre(*h)), view.Printer{Units: u}.Text(message.Say("estimated: the standard atmosphere at {}", message.Quantity{Kind: message.Altitude, Value: *h})), nil
	}
	return psychro.StandardPressure(0), "assumed: the standard at sea level, as neither pressure nor altitude is given", nil
}
