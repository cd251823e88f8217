package cli

import (
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"go.yaml.in/yaml/v3"
)

// workflow is what these tests read of a workflow, or of an action that is made of steps.
type workflow struct {
	Permissions any
	Jobs        map[string]struct {
		Timeout     int `yaml:"timeout-minutes"`
		Permissions map[string]string
		Steps       []workflowStep
	}
	Runs struct{ Steps []workflowStep }
}

type workflowStep struct {
	Uses string
	With map[string]any
}

// workflows are our own ones, the Action, and the examples of all documents.
func workflows(t *testing.T) map[string]string {
	t.Helper()
	texts := map[string]string{"action/action.yml": readFile(t, "../../../action/action.yml")}
	files, err := filepath.Glob("../../../.github/workflows/*.yml")
	if err != nil || len(files) < 2 {
		t.Fatal(files, err)
	}
	for _, file := range files {
		texts[filepath.Base(file)] = readFile(t, file)
	}
	for _, d := range documents(t) {
		for _, block := range regexp.MustCompile("(?s)```ya?ml\n(.*?)```").FindAllStringSubmatch(d.text, -1) {
			if strings.Contains(block[1], "\njobs:") {
				head, _, _ := strings.Cut(block[1], "\n")
				texts[d.name+" "+head] = block[1]
			}
		}
	}
	return texts
}

var (
	pinned   = regexp.MustCompile(`uses: ([\w.-]+/[\w./-]+)@([0-9a-f]{40}) # (v\d+\.\d+\.\d+)$`)
	ourOwn   = regexp.MustCompile(`uses: (\./action|OWNER/headroom/action@COMMIT)$`)
	usesLine = regexp.MustCompile(`(?m)^.*\buses: .*$`)
)

// TestWorkflowsArePinned sees that no workflow of ours or of the documents runs code that
// somebody else can exchange, or without an end: each action has the full id of a commit
// and its version, the same everywhere, and each job a time.
func TestWorkflowsArePinned(t *testing.T) {
	commits, jobs := map[string]string{}, 0
	for name, text := range workflows(t) {
		for _, line := range usesLine.FindAllString(text, -1) {
			m := pinned.FindStringSubmatch(line)
			if m == nil {
				if !ourOwn.MatchString(line) {
					t.Errorf("%s: no full commit with its version: %q", name, line)
				}
				continue
			}
			repository := strings.Join(strings.SplitN(m[1], "/", 3)[:2], "/")
			if other := commits[repository]; other != "" && other != m[2]+" "+m[3] {
				t.Errorf("%s: %s is %s %s here and %s elsewhere", name, repository, m[2], m[3], other)
			}
			commits[repository] = m[2] + " " + m[3]
		}
		var w workflow
		if err := yaml.Unmarshal([]byte(text), &w); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		for id, job := range w.Jobs {
			jobs++
			if job.Timeout < 1 || job.Timeout > 30 {
				t.Errorf("%s: the job %s has a timeout of %d minutes", name, id, job.Timeout)
			}
			for _, s := range job.Steps {
				if strings.HasPrefix(s.Uses, "actions/checkout@") && s.With["persist-credentials"] != false {
					t.Errorf("%s: the job %s leaves its token in the checkout", name, id)
				}
			}
		}
		if len(w.Jobs) > 0 && w.Permissions == nil {
			t.Errorf("%s: no permissions at its top: the default may be all", name)
		}
	}
	if jobs < 8 || len(commits) < 6 {
		t.Errorf("only %d jobs and %d actions were seen", jobs, len(commits))
	}
}

// TestReleaseIsSigned sees that the job that signs and publishes runs no code of the
// repository, and that the one that builds may write nothing.
func TestReleaseIsSigned(t *testing.T) {
	var w workflow
	if err := yaml.Unmarshal([]byte(readFile(t, "../../../.github/workflows/release.yml")), &w); err != nil {
		t.Fatal(err)
	}
	signs := false
	for id, job := range w.Jobs {
		if len(job.Permissions) == 0 {
			continue
		}
		for _, s := range job.Steps {
			signs = signs || strings.HasPrefix(s.Uses, "actions/attest-build-provenance@")
			if strings.HasPrefix(s.Uses, "actions/checkout@") {
				t.Errorf("the job %s may write, and runs what is in the repository", id)
			}
		}
	}
	if !signs {
		t.Error("no job signs the provenance of a release")
	}
}
