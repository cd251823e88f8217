package review

import (
	"slices"
	"strconv"
	"strings"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/schema"
)

// PowerPaths lists, for each controller, the way from a traction battery's
// positive pole to the controller and back to the negative pole, with the
// fewest conductors. A controller that no such way reaches has none.
func PowerPaths(s *schema.Spec) [][]report.Hop {
	links := linksOf(s)
	var paths [][]report.Hop
	for id := range schema.Sorted(s.Controllers) {
		for battery, b := range schema.Sorted(s.Batteries) {
			if b.Role != "traction" {
				continue
			}
			there := shortest(links, battery+".pos", id+".pos")
			back := shortest(links, id+".neg", battery+".neg")
			if there != nil && back != nil {
				paths = append(paths, append(there, back[1:]...))
				break
			}
		}
	}
	return paths
}

// link joins a terminal to another: a conductor, or ("") the inside of a part.
type link struct{ to, conductor string }

func linksOf(s *schema.Spec) map[string][]link {
	links := map[string][]link{}
	join := func(a, b, conductor string) {
		links[a] = append(links[a], link{b, conductor})
		links[b] = append(links[b], link{a, conductor})
	}
	for id, c := range s.Conductors() {
		join(c.From, c.To, id)
	}
	for id, part := range s.Parts() {
		switch part.(type) {
		case *schema.Fuse, *schema.Contactor, *schema.Shunt, *schema.Disconnect:
			join(id+".a", id+".b", "")
		}
		if k, ok := part.(*schema.Connector); ok {
			for i := range k.Contacts {
				n := strconv.Itoa(i + 1)
				join(id+".a"+n, id+".b"+n, "")
			}
		}
		if d, ok := part.(*schema.Disconnect); ok && d.Poles == 2 {
			join(id+".a2", id+".b2", "")
		}
	}
	return links
}

// shortest is the way with the fewest steps between two terminals, as the
// parts that it touches; nil if there is none.
func shortest(links map[string][]link, from, to string) []report.Hop {
	type step struct {
		last      string
		conductor string
	}
	came := map[string]step{from: {}}
	for queue := []string{from}; len(queue) > 0; queue = queue[1:] {
		at := queue[0]
		if at == to {
			break
		}
		for _, l := range links[at] {
			if _, seen := came[l.to]; !seen {
				came[l.to] = step{at, l.conductor}
				queue = append(queue, l.to)
			}
		}
	}
	if _, reached := came[to]; !reached {
		return nil
	}
	var hops []report.Hop
	for at := to; ; {
		s := came[at]
		part, _, _ := strings.Cut(at, ".")
		if s.conductor != "" || at == from {
			hops = append(hops, report.Hop{Part: part, Conductor: s.conductor})
		}
		if at == from {
			break
		}
		at = s.last
	}
	slices.Reverse(hops)
	return hops
}
