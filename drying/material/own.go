package material

import (
	"fmt"
	"math"
)

// FinishError says what makes a finish impossible.
type FinishError struct {
	Name   string
	Key    string // the user's key, where one is to blame
	Reason string
}

func (e *FinishError) Error() string {
	if e.Key != "" {
		return fmt.Sprintf("finish %s: %s: %s", e.Name, e.Key, e.Reason)
	}
	return fmt.Sprintf("finish %s: %s", e.Name, e.Reason)
}

// own is one number that a user can give for a finish of their own.
type own struct {
	key       string
	low, high float64 // what is physically possible
	field     func(*Finish) *Property
}

func owns() []own {
	return []own{
		{"water_ratio", 0.01, 3, func(f *Finish) *Property { return &f.WaterRatio }},
		{"shrinkage_limit", 0.005, 2, func(f *Finish) *Property { return &f.ShrinkageLimit }},
		{"solid_density", 500, 8000, func(f *Finish) *Property { return &f.SolidDensity }},
		{"fresh_suction", 1, 1e5, func(f *Finish) *Property { return &f.FreshSuction }},
		{"air_entry", 100, 1e7, func(f *Finish) *Property { return &f.AirEntry }},
		{"desorptivity", 1e-7, 1e-2, func(f *Finish) *Property { return &f.Desorptivity }},
		{"desorbed_at", 100, 1e7, func(f *Finish) *Property { return &f.DesorbedAt }},
		{"w80", 0.01, 300, func(f *Finish) *Property { return &f.W80 }},
		{"mu", 1, 1e5, func(f *Finish) *Property { return &f.Mu }},
		{"conductivity", 0.01, 10, func(f *Finish) *Property { return &f.Conductivity }},
		{"heat_capacity", 100, 5000, func(f *Finish) *Property { return &f.HeatCapacity }},
		{"thickest", 1e-6, 0.06, func(f *Finish) *Property { return &f.Thickest }},
		{"min_face", -10, 40, func(f *Finish) *Property { return &f.MinFace }},
		{"max_face", 0, 60, func(f *Finish) *Property { return &f.MaxFace }},
		{"edge_share", 0, 1, func(f *Finish) *Property { return &f.EdgeShare }},
		{"opens_share", 0, 1, func(f *Finish) *Property { return &f.OpensShare }},
		{"burnish", 0.05, 1, func(f *Finish) *Property { return &f.Burnish }},
		{"closes", 0.05, 1, func(f *Finish) *Property { return &f.Closes }},
		{"dry", 0.01, 1, func(f *Finish) *Property { return &f.Dry }},
	}
}

// OwnKeys lists the numbers a user can give for a finish of their own, in SI units.
func OwnKeys() []string {
	var k []string
	for _, o := range owns() {
		k = append(k, o.key)
	}
	return k
}

// Own makes a finish of the user's own: like a known one, but for the values given by key. Each value is
// marked as the user's. The error is a *FinishError or, for like, an *UnknownError.
func Own(name, like string, values map[string]float64) (Finish, error) {
	f, err := FinishNamed(like)
	if err != nil {
		return Finish{}, err
	}
	f.Name, f.About = name, "own finish, like "+like
	given := 0
	for _, o := range owns() {
		v, ok := values[o.key]
		if !ok {
			continue
		}
		given++
		if !(v >= o.low && v <= o.high) || math.IsNaN(v) {
			p := o.field(&f)
			return Finish{}, &FinishError{Name: name, Key: o.key, Reason: fmt.Sprintf("%g %s cannot be; it lies between %g and %g", v, p.Unit, o.low, o.high)}
		}
		p := o.field(&f)
		*p = Property{Value: v, Low: v, High: v, Unit: p.Unit, Evidence: User, Source: "the job"}
	}
	if given != len(values) {
		for k := range values {
			known := false
			for _, o := range owns() {
				known = known || o.key == k
			}
			if !known {
				return Finish{}, &FinishError{Name: name, Key: k, Reason: "no such number of a finish"}
			}
		}
	}
	if _, err := f.film(); err != nil {
		return Finish{}, err
	}
	return f, nil
}
