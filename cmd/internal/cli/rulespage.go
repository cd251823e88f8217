package cli

import (
	"bytes"
	"fmt"
	"strings"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/rules"
)

// rulesPage writes the catalogue as a page that an electrician can read: what
// goes wrong, the relation, its source, and what tunes it.
func rulesPage(catalogue []*rules.Rule) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, `# The rules

<!-- written by "headroom rules --out markdown"; a test compares it with the catalogue -->

%d rules, by family. "headroom explain RULE PATH SUBJECT" puts the numbers of your vehicle into the relation.

**Level.** An *error* is unsafe or will fail, a *warning* is likely to fail or marginal, a *note* is hygiene. A team changes
it with `+"`policy: levels: {RULE: warning}`"+`.

**Required headroom.** Headroom is capability over demand; 1.00 is the limit. Where a rule has one, a team asks for more with
`+"`policy: required: {RULE: 1.25}`"+`. Other values that tune a rule are named with it; all are set in `+"`policy`"+`.

**Accepting one finding.** A rule stays as it is, and one finding of it is accepted for a time, with a reason:

`+"```yaml"+`
waivers:
  - {rule: RULE, subject: ID, reason: "Why it is safe until then.", approved_by: workshop lead, expires: "2027-03-31", down_to: 0.9}
`+"```"+`

**Vital data.** A check that lacks one of the fields listed with it says nothing of a part on which safety rests: nobody can
vouch for that part, and all that it lacks is one finding of vital-data-missing. What else a check may lack only refines it.

> The rules check arithmetic on declared data. They do not replace datasheets, local codes, or a qualified person's
> inspection.
`, len(catalogue))
	for _, family := range families(catalogue) {
		fmt.Fprintf(&b, "\n## %s\n", family)
		for _, r := range catalogue {
			if r.Family == family {
				pageEntry(&b, r)
			}
		}
	}
	return b.Bytes()
}

// pageEntry writes one rule.
func pageEntry(b *bytes.Buffer, r *rules.Rule) {
	fmt.Fprintf(b, "\n### %s\n\n%s **%s**", r.ID, pageText(report.Sentence(upperFirst(r.Title))), upperFirst(string(r.Level)))
	if r.Varies != "" {
		fmt.Fprintf(b, "; %s", pageText(r.Varies))
	}
	b.WriteString(".\n")
	add := func(head, body string) {
		if body != "" {
			fmt.Fprintf(b, "- *%s:* %s\n", head, pageText(body))
		}
	}
	b.WriteString("\n")
	add("What goes wrong", report.Sentence(r.Why))
	add("Relation", r.Relation)
	if r.Required > 0 {
		add("Required headroom", report.Requirement(r.Required))
	}
	add("Tuned by", strings.Join(r.Policy, ", "))
	add("Vital data", strings.Join(r.Vital, ", "))
	add("What to do", r.Fix)
	add("Source", r.Source)
}

// pageText keeps text from being read as markup.
func pageText(s string) string {
	return strings.NewReplacer("<", "&lt;", ">", "&gt;", "*", `\*`, "_", `\_`, "|", `\|`, "[", `\[`).Replace(s)
}
