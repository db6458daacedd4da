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
	env := app.Env{Stdin: os.Stdin, Stdout: os.Stdout, Stderr: os.Stderr, Now: time.Now, Patience: time.Second}
	// Without a home there are no settings and nothing is kept.
	env.ConfigDir, _ = os.UserConfigDir()
	env.CacheDir, _ = os.UserCacheDir()
	os.Exit(app.Run(ctx, os.Args[1:], env))
}
