package app

import (
	"fmt"
	"sync"
	"time"

	"github.com/spf13/pflag"
)

// tenths is how much of the work passes between two tellings: enough to see it move, not to fill a log.
const tenths = 0.1

// progress tells people how far a piece of work is, once their patience has run out and at every tenth of it. The first function is told the
// share done, from any goroutine; the second ends the telling.
func (inv *invocation) progress(what string) (tell func(share float64), done func()) {
	if inv.Patience == 0 {
		return func(float64) {}, func() {}
	}
	var mu sync.Mutex
	share := 0.0
	stop := make(chan struct{})
	var gone sync.WaitGroup
	gone.Add(1)
	go func() {
		defer gone.Done()
		tick := time.NewTicker(inv.Patience)
		defer tick.Stop()
		last := -tenths
		for {
			select {
			case <-stop:
				return
			case <-tick.C:
				mu.Lock()
				if share >= last+tenths {
					last = share
					fmt.Fprintf(inv.Notes, "%s: %.0f %%\n", what, 100*share)
				}
				mu.Unlock()
			}
		}
	}()
	return func(s float64) {
			mu.Lock()
			share = max(share, s)
			mu.Unlock()
		}, func() {
			close(stop)
			gone.Wait()
		}
}

// addSeed declares the seed of what is drawn at random.
func addSeed(fs *pflag.FlagSet) *uint {
	return fs.Uint("seed", 1, "seed of the draws behind earliest and latest; the same seed gives the same answer")
}
