// Command tanrad tells whether a board glued from several woods will hold; see
// tanrad help, or package api for the same answers over HTTP.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"
)

func main() {
	collectLate(os.Args[1:])
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	code := Run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}
