package main

import (
	"context"
	"fmt"
	"os"
	"time"

	"example.org/headroom/schema"
)

func main() {
	opts := schema.Options{Stdin: os.Stdin, Probe: func(context.Context, schema.Target) error { return nil }}
	ts, err := schema.Find(os.Args[1:], opts)
	if err != nil {
		fmt.Println("FIND:", err)
		return
	}
	for _, t := range ts {
		start := time.Now()
		l := schema.Read(context.Background(), t, opts)
		fmt.Println("==", t, l.Name, l.Err, l.Spec != nil, time.Since(start))
		for _, p := range l.Problems {
			fmt.Printf("%s: %s [%s] (%s) fix: %s\n", p.At, p.Message, p.Rule, p.Path, p.Fix)
			for _, r := range p.Related {
				fmt.Printf("     %s: %s\n", r.Position, r.Note)
			}
		}
		if l.Spec != nil {
			fmt.Println("broken:", l.Spec.Broken())
		}
	}
}
