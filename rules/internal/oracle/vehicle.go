package oracle

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"
)

// Vehicle is a specification as generic maps. It is never changed, and may be
// asked from several goroutines at once.
type Vehicle struct {
	tree   map[string]any
	kinds  map[string]string // kind of each part and conductor
	severe bool
	memo   *memo
}

// memo is what has been found out about a vehicle.
type memo struct {
	solutions remembered[Solution]
	before    remembered[[]string]
	metals    remembered[*joined]
	peak      remembered[*Vehicle]
	bare      remembered[*Vehicle]
}

// remembered holds answers by question. Two goroutines that ask the same at once
// may both look for the answer, which is the same.
type remembered[T any] struct {
	mutex sync.Mutex
	known map[string]T
}

func (r *remembered[T]) get(key string, find func() T) T {
	r.mutex.Lock()
	answer, ok := r.known[key]
	r.mutex.Unlock()
	if ok {
		return answer
	}
	answer = find()
	r.mutex.Lock()
	defer r.mutex.Unlock()
	if r.known == nil {
		r.known = map[string]T{}
	}
	r.known[key] = answer
	return answer
}

// Severe returns the vehicle to be computed to the severe side: where a relation
// leaves a choice, the way that finds more. What lies between the two a rule may
// find or leave.
func (v *Vehicle) Severe() *Vehicle {
	return &Vehicle{tree: v.tree, kinds: v.kinds, severe: true, memo: &memo{}}
}

// partKinds are the groups of the file whose members have terminals.
var partKinds = [...]string{
	"batteries", "fuses", "breakers", "disconnects", "contactors", "relays", "timers", "cutouts", "resistors", "shunts", "meters",
	"switches", "converters", "chargers", "connectors", "solar", "controllers", "motors", "loads", "diodes", "studs", "blocks", "wires", "busbars",
}

// Read takes the JSON of a vehicle.
func Read(source []byte) (*Vehicle, error) {
	var tree map[string]any
	if err := json.Unmarshal(source, &tree); err != nil {
		return nil, fmt.Errorf("oracle: %w", err)
	}
	return of(tree), nil
}

// of is the vehicle of a tree of JSON values.
func of(tree map[string]any) *Vehicle {
	v := &Vehicle{tree: tree, kinds: map[string]string{}, memo: &memo{}}
	for _, kind := range partKinds {
		for _, id := range v.IDs(kind) {
			v.kinds[id] = kind
		}
	}
	return v
}

// Changed returns the vehicle with some paths set; a nil value deletes.
func (v *Vehicle) Changed(edits map[string]any) (*Vehicle, error) {
	tree, own := maps.Clone(v.tree), map[string]bool{}
	for _, path := range sortedKeys(edits) {
		if err := set(tree, own, path, edits[path]); err != nil {
			return nil, err
		}
	}
	return of(tree), nil
}

// set carries out one edit on a tree that shares groups with another; own are
// the paths of those that it shares no more.
func set(tree map[string]any, own map[string]bool, path string, value any) error {
	keys, at := strings.Split(path, "."), tree
	for i, k := range keys[:len(keys)-1] {
		next, ok := at[k].(map[string]any)
		if !ok && (at[k] != nil || value == nil) {
			return fmt.Errorf("oracle: %s: no group %s", path, k)
		}
		if group := strings.Join(keys[:i+1], "."); !own[group] {
			next, own[group] = maps.Clone(next), true
			if next == nil {
				next = map[string]any{}
			}
			at[k] = next
		}
		at = next
	}
	last := keys[len(keys)-1]
	if value != nil {
		at[last] = plain(value)
		return nil
	}
	if _, ok := at[last]; !ok {
		return fmt.Errorf("oracle: %s is not there to be deleted", path)
	}
	delete(at, last)
	return nil
}

// plain is a value as it is read from JSON, in which every number is a float.
func plain(value any) any {
	switch x := value.(type) {
	case int:
		return float64(x)
	case map[string]any:
		out := map[string]any{}
		for k, member := range x {
			out[k] = plain(member)
		}
		return out
	case []any:
		out := make([]any, len(x))
		for i, member := range x {
			out[i] = plain(member)
		}
		return out
	}
	return value
}

// JSON writes the vehicle back.
func (v *Vehicle) JSON() ([]byte, error) { return json.Marshal(v.tree) }

// Get returns the value of a path, nil if it is absent.
func (v *Vehicle) Get(path string) any {
	var at any = v.tree
	for _, k := range strings.Split(path, ".") {
		group, ok := at.(map[string]any)
		if !ok {
			return nil
		}
		at = group[k]
	}
	return at
}

// Has reports whether a path is given.
func (v *Vehicle) Has(path string) bool { return v.Get(path) != nil }

// Number returns the number of a path, or another where it is absent.
func (v *Vehicle) Number(path string, otherwise float64) float64 {
	if n, ok := v.Get(path).(float64); ok {
		return n
	}
	return otherwise
}

// Text returns the text of a path, "" where it is absent.
func (v *Vehicle) Text(path string) string {
	s, _ := v.Get(path).(string)
	return s
}

// True reports whether a path holds true.
func (v *Vehicle) True(path string) bool {
	b, _ := v.Get(path).(bool)
	return b
}

// IDs lists the members of a group, sorted.
func (v *Vehicle) IDs(group string) []string {
	members, _ := v.Get(group).(map[string]any)
	ids := make([]string, 0, len(members))
	for id := range members {
		ids = append(ids, id)
	}
	slices.Sort(ids)
	return ids
}

// List returns the texts of a list.
func (v *Vehicle) List(path string) []string {
	list, _ := v.Get(path).([]any)
	var out []string
	for _, x := range list {
		if s, ok := x.(string); ok {
			out = append(out, s)
		}
	}
	return out
}

// Kind returns the group that a part or conductor belongs to.
func (v *Vehicle) Kind(id string) string { return v.kinds[id] }

// Path returns the path of a part or conductor by its id.
func (v *Vehicle) Path(id string) string { return v.kinds[id] + "." + id }

// Modes lists the modes; those that last continuously alone if asked so.
func (v *Vehicle) Modes(forGood bool) []string {
	var out []string
	for _, mode := range v.IDs("modes") {
		if !forGood || !v.Has("modes."+mode+".lasts_s") {
			out = append(out, mode)
		}
	}
	return out
}

// Conductors lists wires and bus bars.
func (v *Vehicle) Conductors() []string {
	return append(v.IDs("wires"), v.IDs("busbars")...)
}

// Ends returns the two terminals of a conductor.
func (v *Vehicle) Ends(id string) (from, to string) {
	return v.Text(v.Path(id) + ".from"), v.Text(v.Path(id) + ".to")
}

// At lists the conductors that end on a terminal.
func (v *Vehicle) At(terminal string) []string {
	var out []string
	for _, id := range v.Conductors() {
		if from, to := v.Ends(id); from == terminal || to == terminal {
			out = append(out, id)
		}
	}
	return out
}

// Length is the length of a conductor, m.
func (v *Vehicle) Length(id string) float64 {
	if v.kinds[id] == "busbars" {
		return v.Number("busbars."+id+".length_mm", 0) / 1000
	}
	return v.Number("wires."+id+".length_m", 0)
}

// Ambient returns the air temperature where a part stands, C.
func (v *Vehicle) Ambient(id string, hottest bool) float64 {
	air := v.Number("vehicle.ambient_C.min", -10)
	if hottest {
		air = v.Number("vehicle.ambient_C.max", 40)
	}
	if zone := v.Text(v.Path(id) + ".zone"); zone != "" && hottest {
		air += v.Number("zones."+zone+".rise_K", 0)
	}
	return air
}

// BatteryResistance returns the least, typical or greatest resistance of a
// battery in Ohm: "min", "typ" or "max".
func (v *Vehicle) BatteryResistance(id, which string) float64 {
	path := "batteries." + id + ".resistance_mOhm"
	typical := v.Number(path, v.Number(path+".typ", 0))
	factor := map[string]float64{
		"min": v.Number("policy.battery_resistance_min_factor", 0.6),
		"max": v.Number("policy.battery_resistance_max_factor", 2),
		"typ": 1,
	}[which]
	return v.Number(path+"."+which, typical*factor) / 1000
}

// ways lists the terminals of a distribution block, which are one piece of metal.
func (v *Vehicle) ways(block string) []string {
	ways := v.IDs("blocks." + block + ".ways")
	for i, way := range ways {
		ways[i] = block + "." + way
	}
	return ways
}

// contacts lists the contacts of a connector; the first has the terminals a1 and b1.
func (v *Vehicle) contacts(connector string) []any {
	list, _ := v.Get("connectors." + connector + ".contacts").([]any)
	return list
}
