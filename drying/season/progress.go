package season

import "sync"

// progress adds up what is done.
type progress struct {
	mu    sync.Mutex
	tell  func(float64)
	units float64
	sum   float64
}

func newProgress(tell func(float64), units int) *progress {
	return &progress{tell: tell, units: float64(units)}
}

// done adds a part of a unit.
func (p *progress) done(part float64) {
	if p.tell == nil {
		return
	}
	p.mu.Lock()
	p.sum += part
	share := min(p.sum/p.units, 1)
	p.mu.Unlock()
	p.tell(share)
}
