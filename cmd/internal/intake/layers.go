package intake

import (
	"cmp"
	"errors"
	"fmt"
	"maps"
	"slices"
	"time"

	"limeday/cmd/internal/fault"
	"limeday/cmd/internal/job"
	"limeday/cmd/internal/quantity"
	"limeday/drying"
	"limeday/drying/material"
	"limeday/drying/message"
)

// finishes are the user's own, by name.
type finishes map[string]material.Finish

// named is one of the user's own, or else a known one.
func (f finishes) named(name string) (material.Finish, error) {
	if own, ok := f[name]; ok {
		return own, nil
	}
	return material.FinishNamed(name)
}

// ownFinishes reads them all, and refuses what a number cannot be, each with its line.
func ownFinishes(j *job.Job) (finishes, error) {
	own := finishes{}
	var faults fault.List
	for _, o := range j.Own {
		before := len(faults)
		for _, key := range slices.Sorted(maps.Keys(o.Values)) {
			_, err := material.Own(o.Name, o.Like, map[string]float64{key: o.Values[key]})
			var bad *material.FinishError
			if errors.As(err, &bad) && bad.Key == key {
				faults = append(faults, fault.Fault{File: j.File, Line: o.Lines[key], Message: err.Error()})
			}
		}
		f, err := material.Own(o.Name, o.Like, o.Values)
		if err != nil && len(faults) == before {
			faults = append(faults, fault.Fault{File: j.File, Line: o.Line, Message: err.Error()})
		}
		own[o.Name] = f
	}
	if len(faults) > 0 {
		slices.SortFunc(faults, func(a, b fault.Fault) int { return cmp.Compare(a.Line, b.Line) })
		return nil, faults
	}
	return own, nil
}

func (b *builder) layers(finishes) error {
	for _, l := range b.file.Layers {
		on, err := material.BackgroundNamed(l.Background, material.Primer(l.Primer))
		if err != nil {
			return inJob(b.file, l.Line, err)
		}
		if l.Primer != "" && !on.Primed {
			return inJob(b.file, l.Line, fmt.Errorf("primer = %q goes with a primed background, and %s has none; leave it out", l.Primer, on.Name))
		}
		if l.Thickness != nil {
			on = on.WithThickness(*l.Thickness)
		}
		if b.job.Background.Name != "" {
			on = on.On(b.job.Background)
		}
		if l.Damped {
			if err := on.CheckDamp(); err != nil {
				return inJob(b.file, l.Line, err)
			}
		}
		b.job.Background, b.job.Damped = on, l.Damped // of the face-most layer
		if b.job.Wet = drying.Wetness(l.Wet); l.Wet == "dry" {
			b.job.Wet = drying.BedDry
		}
		if !l.BaseLaid.IsZero() {
			y, m, d := l.BaseLaid.Date()
			b.job.BaseLaid = time.Date(y, m, d, 0, 0, 0, 0, b.job.Zone)
		}
	}
	return nil
}

func (b *builder) coats(own finishes) error {
	for _, c := range b.file.Coats {
		f, err := own.named(c.Finish)
		if err != nil {
			return inJob(b.file, c.Line, err)
		}
		k := drying.Coat{Finish: f, Tint: c.Tint, Green: c.Green, NoMist: c.NoMist, Mist: c.Mist}
		if w := c.Wait; w != nil {
			k.Wait = &drying.Wait{Least: w.Least, Careful: w.Careful}
		}
		if c.Spread != nil {
			k.Thickness = f.Thickness(*c.Spread)
		} else {
			k.Thickness = *c.Thickness
		}
		if err := CheckCoat(f, k.Thickness, b.file.Units); err != nil {
			return inJob(b.file, c.Line, err)
		}
		b.job.Coats = append(b.job.Coats, k)
	}
	for i, c := range b.job.Coats {
		if c.Mist && !b.job.Mistable(i) {
			b.assume("mist of coat {} not used: polish on polish is misted, and no dark tint", message.Number(i+1))
		}
	}
	return nil
}

// CheckCoat refuses a thickness in m that no hand lays: a slip in the unit or the finish.
func CheckCoat(f material.Finish, thickness float64, u quantity.Units) error {
	thinnest, thickest := f.Laid()
	thickest = min(thickest, quantity.CoatThicknesses.Max)
	if thickness >= thinnest && thickness <= thickest {
		return nil
	}
	show := func(m float64) string { return quantity.Short(quantity.Thickness, m, u) }
	said := show(thickness)
	if thickness < thinnest {
		said = "less than " + show(thinnest)
	}
	return &quantity.Error{Text: said, Expected: show(thinnest) + " to " + show(thickest),
		Reason: fmt.Sprintf("%s of %s is no coat; give %s to %s, or did you mean another unit or finish?", said, f.Name, show(thinnest), show(thickest))}
}

func (b *builder) laid(own finishes) error {
	for _, l := range b.file.Laid {
		f, err := own.named(l.Finish)
		if err != nil {
			return inJob(b.file, l.Line, err)
		}
		w := drying.Laid{Name: orWord(l.Name, l.Finish), Finish: f, On: l.On}
		if l.Thickness != nil {
			w.Thickness = *l.Thickness
		}
		b.job.Laid = append(b.job.Laid, w)
	}
	return nil
}
