// Headroom checks the electrical specification of small electric vehicles.
package main

import (
	"os"

	"example.org/headroom/cmd/internal/cli"
)

func main() { os.Exit(cli.Default().Main(os.Args[1:])) }
