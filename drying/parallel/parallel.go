// Package parallel does pieces of work on all the cores there are.
//
// What a worker panics with is not the end of the program: it is panicked with again where the work was asked for, so
// that who asked can recover. Not modelled: there is no queue that outlives a call, and work that has begun is not
// stopped by an error.
package parallel

import (
	"fmt"
	"path"
	"runtime"
	"strings"
	"sync"

	"golang.org/x/sync/errgroup"
)

// Panic is what a piece of work panicked with.
type Panic struct {
	Value any
	At    string // package, file and line of the project's code, such as drying/check.go:97; empty if none
}

// Error implements error.
func (p *Panic) Error() string {
	if p.At == "" {
		return fmt.Sprint(p.Value)
	}
	return fmt.Sprintf("%v (%s)", p.Value, p.At)
}

// Unwrap gives the value, where it is an error.
func (p *Panic) Unwrap() error {
	err, _ := p.Value.(error)
	return err
}

// Catch calls f and gives what it panicked with, nil if it did not. What is a Panic already stays that one.
func Catch(f func()) (p *Panic) {
	defer func() {
		switch v := recover().(type) {
		case nil:
		case *Panic:
			p = v
		default:
			p = &Panic{v, place()}
		}
	}()
	f()
	return nil
}

// place is where the panic that is being recovered from began.
func place() string {
	callers := make([]uintptr, 64)
	frames := runtime.CallersFrames(callers[:runtime.Callers(3, callers)])
	for more := true; more; {
		var f runtime.Frame
		f, more = frames.Next()
		if name, ours := strings.CutPrefix(f.Function, "limeday/"); ours {
			dir, last := path.Split(name)
			pkg, _, _ := strings.Cut(last, ".")
			return fmt.Sprintf("%s%s/%s:%d", dir, pkg, path.Base(f.File), f.Line)
		}
	}
	return ""
}

// First calls f for 0 to n-1 until it holds for one, and returns the first that it holds for; n for none. 0 is asked by itself, as it is
// often enough; then, on all the cores there are, perhaps some more than needed. The error is that of the first i that
// has one, where it holds for none before.
func First(n int, f func(i int) (bool, error)) (int, error) {
	var mu sync.Mutex
	first, failed := n, error(nil)
	ask := func(i int) {
		mu.Lock()
		late := i > first
		mu.Unlock()
		if late {
			return
		}
		ok, err := f(i)
		mu.Lock()
		defer mu.Unlock()
		if (ok || err != nil) && i < first {
			first, failed = i, err
		}
	}
	if n > 0 {
		ask(0)
	}
	_ = Each(n-1, func(i int) error { ask(i + 1); return nil })
	return first, failed
}

// Each calls f for 0 to n-1 on all the cores there are, and returns the first error by time. It panics with the first
// [Panic] of an f, once all are done.
func Each(n int, f func(i int) error) error {
	var g errgroup.Group
	var once sync.Once
	var first *Panic
	g.SetLimit(runtime.GOMAXPROCS(0))
	for i := range n {
		g.Go(func() (err error) {
			if p := Catch(func() { err = f(i) }); p != nil {
				once.Do(func() { first = p })
			}
			return err
		})
	}
	err := g.Wait()
	if first != nil {
		panic(first)
	}
	return err
}
