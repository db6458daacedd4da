package intake

import (
	"fmt"
	"slices"

	"limeday/cmd/internal/job"
	"limeday/drying"
	"limeday/drying/message"
)

// Walls are the job's walls outdoors, each as a job of its own, with what is taken for granted of them; indoors d alone.
func Walls(j *job.Job, d drying.Job) (jobs []drying.Job, assumed []message.Text) {
	if j.Room != nil {
		return []drying.Job{d}, nil
	}
	d.Laid = slices.Clone(d.Laid) // shared by the walls
	for i, w := range j.Walls {
		o := outdoors(w, i, len(j.Walls))
		if w.Shelter == nil && len(assumed) == 0 {
			assumed = append(assumed, message.Say("{} of the open wind at the wall", message.Parts(drying.UsualShelter)))
		}
		e := d
		e.Outdoors = &o
		e.Room.WetArea = 0
		if w.Height != nil {
			e.Room.WallHeight = *w.Height
			if w.Width != nil {
				e.Room.WetArea = wetArea(w)
			}
		}
		jobs = append(jobs, e)
	}
	// A wall already laid is the one of its name.
	for i := range d.Laid {
		if at := slices.IndexFunc(jobs, func(e drying.Job) bool { return e.Outdoors.Name == d.Laid[i].Name }); at >= 0 {
			d.Laid[i].Outdoors = jobs[at].Outdoors
		}
	}
	return jobs, assumed
}

// outdoors is the i-th of n walls in the weather.
func outdoors(w job.Wall, i, n int) drying.Outdoors {
	o := drying.Outdoors{Name: w.Name, Bearing: *w.Bearing, Shelter: drying.UsualShelter, Cover: drying.CoverNamed(w.Cover)}
	if o.Name == "" {
		o.Name = fmt.Sprintf("wall %d", i+1)
		if n == 1 {
			o.Name = "the wall"
		}
	}
	if heated(w) {
		o.Cavity = w.Behind == job.BehindCavity
		t := drying.DefaultBehind
		if w.BehindTemp != nil {
			t = *w.BehindTemp
		}
		o.Behind = &t
	}
	if w.Shelter != nil {
		o.Shelter = *w.Shelter
	}
	return o
}

// heated reports whether a heated room is behind a wall.
func heated(w job.Wall) bool { return w.Behind == job.BehindRoom || w.Behind == job.BehindCavity }

// wetArea is what is laid of a wall whose size is known, m2, without its openings.
func wetArea(w job.Wall) float64 {
	a := *w.Height * *w.Width
	for _, o := range w.Openings {
		a -= o.Width * o.Height
	}
	return a
}
