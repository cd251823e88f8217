package revision

import (
	"context"
	"slices"
	"strings"
)

// Names lists the branches and tags of the repository, the latest first, as
// people write them.
func (r *Repository) Names(ctx context.Context) ([]string, error) {
	out, err := r.git(ctx, "for-each-ref", "--sort=-creatordate", "--format=%(refname:short)", "refs/heads", "refs/tags", "refs/remotes")
	if err != nil {
		return nil, err
	}
	return slices.DeleteFunc(strings.Split(string(out), "\n"), func(name string) bool { return name == "" }), nil
}
