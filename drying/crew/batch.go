package crew

import "time"

// Batch is what is mixed or opened for one section.
type Batch struct {
	Coat, Site, Number int // of the section
	By                 time.Time
	Area               float64 // m2
	Spread             float64 // wet, kg/m2
	Mass               float64 // with what is wasted, kg
}

// batches works out the material of every section: the spread of its coat over its area, and the waste.
func (p *Plan) batches() {
	for _, s := range p.Sections {
		c := p.Ask.Sites[s.Site].Job.Coats[s.Coat]
		spread := c.Finish.Spread(c.Thickness)
		p.Batches = append(p.Batches, Batch{Coat: s.Coat, Site: s.Site, Number: s.Number, By: s.From, Area: s.Area, Spread: spread, Mass: spread * s.Area * (1 + p.Ask.Waste)})
	}
}

// Opened is when each bucket of a size, kg, is opened for a batch, as the laying goes on.
func (p *Plan) Opened(b Batch, bucket float64) []time.Time {
	var out []time.Time
	for _, s := range p.Sections {
		if s.Coat != b.Coat || s.Site != b.Site || s.Number != b.Number {
			continue
		}
		used := 0.0
		for _, t := range s.Tasks { // by the clock
			if t.Op != Lay {
				continue
			}
			need := b.Mass * p.Patches[s.Site][t.Patch-1].Area / b.Area
			for float64(len(out))*bucket < used+need-1e-9 {
				share := max(0, float64(len(out))*bucket-used) / need
				out = append(out, t.Start.Add(time.Duration(share*float64(t.End.Sub(t.Start)))).Truncate(time.Second))
			}
			used += need
		}
	}
	return out
}
