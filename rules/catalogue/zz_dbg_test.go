package catalogue_test
import ("testing";"os";"example.org/headroom/rules/oracle")
func TestDbg(t *testing.T){
 for _, n := range []string{"heron","first","mole"} {
 b,_:=os.ReadFile("/tmp/veh/"+n+".json"); v,_:=oracle.Read(b); j:=oracle.Judges()
 t.Log(n, excess(j,v,"conductor-drop-high","drive"))
 for _, m := range conductorMutations() { if m.rule=="conductor-drop-high" { for _, f := range m.find(v) { for _, s := range f.steps { c,err:=v.Changed(s); if err!=nil {t.Log(err);continue}; t.Log(s, excess(j,c,m.rule,f.subject)) } } } }
 }
}
