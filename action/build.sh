#!/usr/bin/env bash
# Builds Headroom from the checkout that this Action came in.
#   where   empties the folder of the program, and names it and the key of its cache
#   build   builds the program there, unless the cache has just brought it
# What lies in the folder is run, and kept in the cache for later runs: it must
# come from this checkout, or from the cache under the key of this checkout.
# Works with the bash 3.2 of macOS runners too.
set -euo pipefail

source=$(cd "$HEADROOM_ACTION/.." && pwd)
folder=${RUNNER_TEMP:-/tmp}/headroom-program
program=$folder/headroom
[ "${RUNNER_OS:-}" != Windows ] || program=$program.exe

# digest is of all that the program is built from, what it embeds included, so
# that a cache never gives the program of another version.
digest() {
	local sum=(sha256sum)
	command -v sha256sum >/dev/null || sum=(shasum -a 256)
	(cd "$source" && find go.mod go.sum cmd rules schema -type f \
		! -name '*_test.go' ! -path '*/testdata/*' -print0 | LC_ALL=C sort -z | xargs -0 "${sum[@]}") | "${sum[@]}" | cut -c 1-32
}

case $1 in
where)
	rm -rf -- "$folder"
	mkdir -m 700 -- "$folder" # fails if somebody else put something there again
	{
		echo "folder=$folder"
		echo "key=$(digest)"
	} >>"$GITHUB_OUTPUT"
	;;
build)
	if [ "${HEADROOM_CACHE_HIT:-}" != true ] || [ ! -x "$program" ]; then
		command -v go >/dev/null || {
			echo "::error title=Headroom::Headroom is built from source and needs Go on the runner: add a step with actions/setup-go before it."
			exit 2
		}
		rm -rf -- "$folder"
		mkdir -m 700 -- "$folder"
		# The toolchain line of go.mod decides; the runner's flags and a workspace
		# around the checkout must not.
		(cd "$source" && GOFLAGS='' GOWORK=off CGO_ENABLED=0 go build -trimpath -buildvcs=false -o "$program" ./cmd/headroom)
	fi
	"$program" version
	;;
esac
