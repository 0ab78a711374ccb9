// Command bloomtide tells a bee keeper when local forage will bloom this year,
// how long and how strong the nectar flow will be, and so which work at the
// hive falls due when. See the README of the project.
package main

import (
	"context"
	"os"
	"os/signal"
	"time"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	os.Exit(run(ctx, os.Args[1:], world{
		stdin: os.Stdin, stdout: os.Stdout, stderr: os.Stderr, environ: os.Environ(), now: time.Now,
	}))
}
