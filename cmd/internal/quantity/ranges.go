package quantity

// What is accepted, in each kind's base unit. Beyond lies a slip of the finger
// or what the physics cannot take; limits of materials are not among these.
var (
	AirTemperatures  = Range{Min: -40, Max: 50}                   // C, as the flags and readings have it
	FaceTemperatures = Range{Min: -40, Max: 60}                   // C, for limits in a job: a sunlit face is warmer than air
	Humidities       = Range{Min: 1, Max: 100}                    // percent
	Pressures        = Range{Min: 50e3, Max: 110e3}               // Pa
	Altitudes        = Range{Min: -500, Max: 5500}                // m; 50 to 108 kPa of standard air
	AirSpeeds        = Range{Min: 0, Max: 30}                     // m/s
	CoatThicknesses  = Range{Min: 0, Max: 0.060, Above: true}     // m
	Spreads          = Range{Min: 0, Max: 150, Above: true}       // kg/m2
	Waits            = Range{Min: 0, Max: 120 * 86400}            // s, between coats
	DropTests        = Range{Min: 0, Max: 24 * 3600, Above: true} // s
	WorkRates        = Range{Min: 0.1, Max: 100}                  // m2/h of one hand
	TravelTimes      = Range{Min: 0, Max: 3600}                   // s, to go back along the wall
	StripWidths      = Range{Min: 0.1, Max: 5}                    // m
	Wastes           = Range{Min: 0, Max: 100}                    // percent
	BucketMasses     = Range{Min: 0.1, Max: 100}                  // kg
)
