package app

import (
	"io"
	"sync"
)

// gate is a writer that a command may still hold when the run is over: once
// shut it swallows what comes.
type gate struct {
	mu   sync.Mutex
	w    io.Writer
	done bool
}

func (g *gate) Write(p []byte) (int, error) {
	g.mu.Lock()
	defer g.mu.Unlock()
	if g.done {
		return len(p), nil
	}
	return g.w.Write(p)
}

func (g *gate) shut() {
	g.mu.Lock()
	g.done = true
	g.mu.Unlock()
}
