package psychro

// ZeroCelsius is 0 C on the absolute scale, in K. Exact by definition.
const ZeroCelsius = 273.15

// Celsius is a temperature, or dew or frost point, in degrees Celsius.
type Celsius float64

// Kelvin returns t on the absolute scale.
func (t Celsius) Kelvin() Kelvin { return Kelvin(float64(t) + ZeroCelsius) }

// Kelvin is an absolute temperature T, in K.
type Kelvin float64

// Celsius returns t in degrees Celsius.
func (t Kelvin) Celsius() Celsius { return Celsius(float64(t) - ZeroCelsius) }

// Pascal is a pressure p or vapour pressure e, in Pa.
type Pascal float64

// Fraction is a relative humidity phi over liquid water, from 0 to 1, at every
// temperature, also below 0 C.
type Fraction float64

// Metre is an altitude above mean sea level, in m.
type Metre float64
