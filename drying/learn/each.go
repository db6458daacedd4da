package learn

import (
	"runtime"

	"golang.org/x/sync/errgroup"
)

// each calls f for 0 to n-1 on all the cores there are, and returns the first error by time.
func each(n int, f func(i int) error) error {
	var g errgroup.Group
	g.SetLimit(runtime.GOMAXPROCS(0))
	for i := range n {
		g.Go(func() error { return f(i) })
	}
	return g.Wait()
}
