package contactor_test

import (
	"fmt"
	"testing"
	"time"

	"example.org/headroom/rules"
	"example.org/headroom/rules/contactor"
	"example.org/headroom/rules/wiring"
	"example.org/headroom/schema"
)

func TestScratch(t *testing.T) {
	for _, dir := range []string{"fleet", "fleet-mistakes"} {
		for _, v := range []string{"heron", "mole", "badger"} {
			targets, err := schema.Find([]string{"../../testdata/" + dir + "/" + v}, schema.Options{})
			if err != nil {
				t.Fatal(err)
			}
			l := schema.Read(t.Context(), targets[0], schema.Options{})
			if l.Err != nil || len(l.Problems) > 0 {
				t.Fatal(l.Err, l.Problems)
			}
			t0 := time.Now()
			res := rules.Run(l.Spec, contactor.Rules())
			d := time.Since(t0)
			t0 = time.Now()
			rules.Run(l.Spec, wiring.Rules())
			fmt.Println("=====", dir, v, d, "wiring", time.Since(t0))
			for _, r := range res {
				if dir == "fleet-mistakes" && r.Verdict == "pass" {
					continue
				}
				fmt.Printf("%-11s %-8s %-30s %-15s h=%.4g %s %s %s\n", r.Verdict, r.Level, r.Rule, r.Subject, r.Headroom, r.Message, r.Missing, r.Primary)
			}
		}
	}
}
