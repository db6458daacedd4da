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
