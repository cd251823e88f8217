package output

import (
	"net/url"
	"path"
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

// location renders a position; one without a file has no physical location.
func (s *sarifWriter) location(at schema.Position) sarifLocation {
	if at.File == "" {
		return sarifLocation{}
	}
	p := &sarifPhysical{Artifact: s.artifact(at.File)}
	if at.Line > 0 {
		p.Region = &sarifRegion{StartLine: at.Line, StartColumn: at.Column}
		if at.Column > 0 && at.EndColumn > at.Column {
			p.Region.EndLine, p.Region.EndColumn = at.Line, at.EndColumn
		}
	}
	return sarifLocation{Physical: p}
}

// artifact names a file relative to the root of the repository. A file outside
// of that has no base.
func (s *sarifWriter) artifact(file string) sarifArtifact {
	p := repositoryPath(s.report, file)
	a := sarifArtifact{URI: relativeURI(p), URIBaseID: sourceRoot}
	if p == ".." || strings.HasPrefix(p, "../") {
		a.URIBaseID = ""
	}
	return a
}

// repositoryPath turns a path seen from the working folder into one seen from
// the root of the repository.
func repositoryPath(r *report.Report, file string) string {
	return path.Join(r.Prefix, file)
}

// relativeURI percent-encodes a slash-separated path as a relative URI
// reference (RFC 3986). A colon would make its first element a scheme.
func relativeURI(p string) string {
	elements := strings.Split(p, "/")
	for i, e := range elements {
		elements[i] = strings.ReplaceAll(url.PathEscape(e), ":", "%3A")
	}
	return strings.Join(elements, "/")
}

// fileOf returns the file to show for a result without a place.
func fileOf(v *report.Vehicle) string {
	if len(v.Files) > 0 {
		return v.Files[0]
	}
	return v.Path
}

// properties holds the numbers of a result and their working.
func properties(v *report.Vehicle, res rules.Result) map[string]any {
	p := map[string]any{"vehicle": v.Name, "subject": res.Subject}
	for name, value := range map[string]string{"mode": res.Mode, "corner": res.Corner, "missing": res.Missing} {
		if value != "" {
			p[name] = value
		}
	}
	if report.HasHeadroom(res) {
		p["demand"] = jsonQuantity{number(res.Demand.Value), res.Demand.Unit}
		p["capability"] = jsonQuantity{number(res.Capability.Value), res.Capability.Unit}
		p["headroom"] = number(res.Headroom)
		p["required"] = number(res.Required)
	}
	if len(res.Working) > 0 {
		p["working"] = jsonWorking(res.Working)
	}
	return p
}

// plainText joins text that is broken over lines.
func plainText(s string) string { return strings.Join(strings.Fields(s), " ") }

// problemSeverity is the level in the words of code scanning.
func problemSeverity(l rules.Level) string {
	if l == rules.Note {
		return "recommendation"
	}
	return string(l)
}

// semanticVersion returns the version without its v. Viewers compare versions
// by their number, so a build without a released version gets the lowest one.
func semanticVersion(version string) string {
	v := strings.TrimPrefix(version, "v")
	if regexp.MustCompile(`^\d+\.\d+\.\d+([-+][0-9A-Za-z.+-]+)?$`).MatchString(v) {
		return v
	}
	return "0.0.0-devel"
}

// pascalCase turns the id fuse-far-fault-slow into FuseFarFaultSlow.
func pascalCase(id string) string {
	var b strings.Builder
	for word := range strings.SplitSeq(id, "-") {
		b.WriteString(upperFirst(word))
	}
	return b.String()
}

// upperFirst makes the first letter a capital, unless it begins a symbol or an
// id, which have their own spelling.
func upperFirst(s string) string {
	word, _, _ := strings.Cut(s, " ")
	if strings.ContainsAny(word, "_.0123456789") {
		return s
	}
	r, n := utf8.DecodeRuneInString(s)
	if n == 0 {
		return s
	}
	return string(unicode.ToUpper(r)) + s[n:]
}
