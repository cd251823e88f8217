package fuse
import ("testing";"fmt";"path/filepath";"time";"example.org/headroom/rules";"example.org/headroom/rules/ruletest")
func TestMistakes(t *testing.T){
 for _, v := range []string{"heron","mole","badger"} {
  s := ruletest.Load(t, filepath.Join(ruletest.Fleet(),"..","fleet-mistakes",v))
  for _, r := range rules.Run(s, Rules()) {
    if r.Verdict==rules.Passed {continue}
    fmt.Printf("%s %s %s %s: %.2f %s | fix %s | missing %s primary %s\n", v, r.Verdict, r.Rule, r.Subject, r.Headroom, r.Message, r.Fix, r.Missing, r.Primary)
  }
 }
 for _, v := range []string{"heron","mole","badger"} {
  s := ruletest.Edited(t, v, nil)
  rules.Run(s,nil)
  st:=time.Now()
  rules.Run(s, Rules())
  fmt.Println(v, time.Since(st))
  for _, r := range Rules() { st=time.Now(); rules.Run(s, []*rules.Rule{r}); fmt.Println("  ", r.ID, time.Since(st)) }
 }
}
