package fuse
import ("testing";"example.org/headroom/rules";"example.org/headroom/schema")
func BenchmarkBadger(b *testing.B){
 targets, _ := schema.Find([]string{"../../testdata/fleet/badger"}, schema.Options{})
 s := schema.Read(b.Context(), targets[0], schema.Options{}).Spec
 for b.Loop() { rules.Run(s, Rules()) }
}
