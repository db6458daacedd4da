// Command limeday tells a lime plasterer, from the air and the wall, when to
// work. Run it alone for its help.
package main

import (
	"context"
	"os"
	"os/signal"
	"time"

	"limeday/cmd/internal/app"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	context.AfterFunc(ctx, stop) // a second Ctrl-C ends the process there and then
	os.Exit(app.Run(ctx, os.Args[1:], app.Env{Stdin: os.Stdin, Stdout: os.Stdout, Stderr: os.Stderr, Now: time.Now}))
}
