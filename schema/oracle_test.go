package schema

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"cuelang.org/go/cue"
	"cuelang.org/go/cue/cuecontext"

	"example.org/headroom/schema/internal/input"

	cuejson "cuelang.org/go/encoding/json"

	cueyaml "cuelang.org/go/encoding/yaml"
)

// The definitions are read once by CUE and once by us. This test asks both for a
// verdict on the same files.

// beyondCUE lists the rules that ask for more than the definitions can say.
func beyondCUE() []string {
	return []string{RuleUnknownPart, RuleUnknownTerminal, RuleDuplicateID, RuleDuplicateKey, RuleContradiction, RuleForeignImport, RuleUnsafeConstruct}
}

func oracleSpec(t *testing.T) cue.Value {
	t.Helper()
	v := cuecontext.New(cuecontext.CUE_DEBUG(""), cuecontext.EvaluatorVersion(cuecontext.EvalV3)).CompileString(Definitions())
	if err := v.Err(); err != nil {
		t.Fatal(err)
	}
	return v
}

// oracleData reads a file as CUE's own tools do. It returns no value for one
// that they cannot read or that imports something.
func oracleData(ctx *cue.Context, file string, content []byte) (v cue.Value, ok bool) {
	switch filepath.Ext(file) {
	case ".yaml":
		f, err := cueyaml.Extract(file, content)
		if err != nil {
			return v, false
		}
		v = ctx.BuildFile(f)
	case ".json":
		e, err := cuejson.Extract(file, content)
		if err != nil {
			return v, false
		}
		v = ctx.BuildExpr(e)
	default:
		v = ctx.CompileBytes(content, cue.Filename(file))
	}
	return v, true
}

func TestOracleFiles(t *testing.T) {
	definitions := oracleSpec(t).LookupPath(cue.ParsePath("#Spec"))
	var files []string
	for _, folder := range []string{"malformed", "formats", "first"} {
		found, err := filepath.Glob("../testdata/" + folder + "/*")
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, found...)
	}
	judged := 0
	for _, file := range files {
		format := input.FormatOfName(file)
		if format == "" {
			continue
		}
		content, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		l := Read(t.Context(), Target{Path: file, Format: format}, Options{})
		if l.Err != nil {
			t.Errorf("%s: %v", file, l.Err)
			continue
		}
		data, ok := oracleData(cuecontext.New(), file, content)
		if !ok {
			if len(l.Problems) == 0 {
				t.Errorf("%s: CUE cannot read it, but nothing was found", file)
			}
			continue
		}
		judged++
		err = data.Unify(definitions).Validate(cue.Concrete(true))
		ours := slices.DeleteFunc(slices.Clone(l.Problems), func(p Problem) bool { return slices.Contains(beyondCUE(), p.Rule) })
		// YAML spells octal and hexadecimal numbers, which CUE takes.
		spelling := strings.HasSuffix(file, "numbers.yaml")
		switch {
		case err != nil && len(l.Problems) == 0:
			t.Errorf("%s: CUE finds %v; nothing was found", file, err)
		case err == nil && len(ours) > 0 && !spelling:
			t.Errorf("%s: CUE accepts it; found %v", file, ours)
		}
	}
	if judged < 40 {
		t.Errorf("only %d files were judged by both", judged)
	}
}
