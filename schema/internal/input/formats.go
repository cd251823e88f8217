package input

import (
	"path/filepath"
	"regexp"
	"strings"

	"cuelang.org/go/cue/ast"
)

// IsPackageFile reports whether a CUE file belongs to the package of its folder.
func IsPackageFile(name string) bool {
	return strings.HasSuffix(name, ".cue") && !strings.HasPrefix(name, "_") && !strings.HasPrefix(name, ".") &&
		!strings.HasSuffix(name, "_test.cue") && !strings.HasSuffix(name, "_tool.cue")
}

// FormatOfName tells the format from a file's name; "" if it is none.
func FormatOfName(name string) string {
	switch strings.ToLower(filepath.Ext(name)) {
	case ".cue":
		return FormatCUE
	case ".yaml", ".yml":
		return FormatYAML
	case ".json":
		return FormatJSON
	}
	return ""
}

// TopLevel reports whether a file has a field at its top level.
func TopLevel(f *ast.File, name string) bool {
	for _, d := range f.Decls {
		if field, ok := d.(*ast.Field); ok {
			if n, _, err := ast.LabelName(field.Label); err == nil && n == name {
				return true
			}
		}
	}
	return false
}

// packageClause matches the clause that makes a CUE file one of a package.
var packageClause = regexp.MustCompile(`(?m)^package[ \t]+[A-Za-z_]`)

// IsOfPackage reports whether a CUE file says that it is one of a package.
func IsOfPackage(content []byte) bool { return packageClause.Match(content) }
