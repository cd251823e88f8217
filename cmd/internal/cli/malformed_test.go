package cli

import (
	"bytes"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/headroom/cmd/internal/engine"
	"example.org/headroom/schema"
)

// place is where a finding stands in a SARIF file.
type place struct {
	Rule              string
	URI               string
	Line, Column, End int
}

// Every malformed specification ends with exit code 1, and each of its
// mistakes stands in SARIF at the line and column of the text, counted in the
// unit that the file declares, code points.
func TestMalformedSpecsInSARIF(t *testing.T) {
	folder := filepath.Join("..", "..", "..", "testdata", "malformed")
	entries, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	checked := 0
	for _, e := range entries {
		if e.IsDir() || filepath.Ext(e.Name()) == ".txt" {
			continue
		}
		t.Run(e.Name(), func(t *testing.T) {
			path := filepath.Join(folder, e.Name())
			want := problemPlaces(t, path)
			if len(want) == 0 {
				return // refused only where nothing can evaluate it under a bound
			}
			checked++
			if diff := cmp.Diff(want, sarifPlaces(t, path)); diff != "" {
				t.Errorf("places (-found by the loader +in SARIF):\n%s", diff)
			}
		})
	}
	if checked < 25 {
		t.Errorf("only %d malformed specifications", checked)
	}
}

// problemPlaces are the places of the mistakes as the loader reports them.
func problemPlaces(t *testing.T, path string) map[place]bool {
	t.Helper()
	targets, err := schema.Find([]string{path}, schema.Options{})
	if err != nil {
		t.Fatal(err)
	}
	out := map[place]bool{}
	for _, p := range schema.Read(t.Context(), targets[0], schema.Options{Probe: Default().Bound.Probe(engine.Side{}, nil)}).Problems {
		out[place{p.Rule, filepath.Base(p.At.File), max(1, p.At.Line), p.At.Column, p.At.EndColumn}] = true
	}
	return out
}

func sarifPlaces(t *testing.T, path string) map[place]bool {
	t.Helper()
	var stdout, stderr bytes.Buffer
	c := Default()
	c.Rules = nil // the loader's findings alone
	c.Stdin, c.Stdout, c.Stderr = strings.NewReader(""), &stdout, &stderr
	if code := c.Main([]string{"check", "--out", "sarif", path}); code != ExitFindings {
		t.Fatalf("exit code %d, want %d: %s", code, ExitFindings, stderr.String())
	}
	var log struct {
		Runs []struct {
			ColumnKind string
			Results    []struct {
				RuleID    string
				Locations []struct {
					PhysicalLocation struct {
						ArtifactLocation struct{ URI string }
						Region           struct{ StartLine, StartColumn, EndColumn int }
					}
				}
			}
		}
	}
	if err := json.NewDecoder(io.Reader(&stdout)).Decode(&log); err != nil {
		t.Fatal(err)
	}
	if log.Runs[0].ColumnKind != "unicodeCodePoints" {
		t.Errorf("columns are declared as %q", log.Runs[0].ColumnKind)
	}
	out := map[place]bool{}
	for _, r := range log.Runs[0].Results {
		if r.RuleID == "waiver-rule-unknown" {
			continue // with no rule loaded, a waiver knows none
		}
		l := r.Locations[0].PhysicalLocation
		out[place{r.RuleID, filepath.Base(l.ArtifactLocation.URI), l.Region.StartLine, l.Region.StartColumn, l.Region.EndColumn}] = true
	}
	return out
}
