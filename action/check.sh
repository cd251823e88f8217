#!/usr/bin/env bash
# Checks the specifications and leaves the job summary, the annotations, the
# SARIF file and the step's outputs; the gate is a step of its own. Works with
# the bash 3.2 of macOS runners too: hence the guards round empty lists.
set -euo pipefail

program=${RUNNER_TEMP:-/tmp}/headroom-program/headroom
[ "${RUNNER_OS:-}" != Windows ] || program=$program.exe
# A folder of this step's own: a job may use the Action for several fleets.
results=$(mktemp -d "${RUNNER_TEMP:-/tmp}/headroom-results.XXXXXX")
cd "${GITHUB_WORKSPACE:-.}"
[ -z "${GITHUB_WORKSPACE:-}" ] || HEADROOM_DIRECTORY=${HEADROOM_DIRECTORY#"$GITHUB_WORKSPACE"/}
case $HEADROOM_DIRECTORY in
/* | [A-Za-z]:*) cd -- "$HEADROOM_DIRECTORY" ;;
*)
	# A change can put a link in the place of a folder and have another one
	# checked, here or outside: what the workflow names is a folder.
	rest=$HEADROOM_DIRECTORY/
	while [ -n "$rest" ]; do
		folder=${rest%%/*}
		rest=${rest#*/}
		[ -n "$folder" ] || continue
		if [ -L "./$folder" ]; then
			echo "::error title=Headroom::The working-directory is not checked: a part of it is a symbolic link."
			exit 2
		fi
		if [ ! -d "./$folder" ]; then
			echo "::error title=Headroom::The working-directory is not checked: there is no such folder."
			exit 2
		fi
		cd -- "./$folder" # "-" is a name like any other
	done
	;;
esac

# lines fills the array "list" with the lines of a text that are not blank.
lines() {
	local line
	list=()
	while IFS= read -r line || [ -n "$line" ]; do
		line=${line%$'\r'}
		[ -z "${line//[[:space:]]/}" ] || list[${#list[@]}]=$line
	done <<<"$1"
}

lines "${HEADROOM_JOIN:-}"
if [ "${#list[@]}" -gt 0 ]; then
	parts=()
	sarif=()
	IFS=
	for pattern in "${list[@]}"; do
		for part in $pattern; do # only the wildcards of the workflow are expanded
			parts[${#parts[@]}]=$part
			case $part in *.sarif) sarif=("--out=sarif=$results/headroom.sarif") ;; esac
		done
	done
	unset IFS
	lines "$HEADROOM_FORMATS"
	outputs=()
	for format in ${list[@]+"${list[@]}"}; do
		outputs[${#outputs[@]}]="--out=$format"
	done
	code=0
	"$program" join ${sarif[@]+"${sarif[@]}"} ${outputs[@]+"${outputs[@]}"} -- "${parts[@]}" || code=$?
	{
		echo "exit_code=$code"
		[ ! -f "$results/headroom.sarif" ] || echo "sarif=$results/headroom.sarif"
	} >>"$GITHUB_OUTPUT"
	exit 0
fi
lines "$HEADROOM_PATHS"
paths=(${list[@]+"${list[@]}"})
[ "${#paths[@]}" -gt 0 ] || paths=(./...)

options=("--fail-on=$HEADROOM_FAIL_ON")
common=()
[ -z "$HEADROOM_TODAY" ] || common[0]="--today=$HEADROOM_TODAY"
[ -z "$HEADROOM_CATEGORY" ] || options[${#options[@]}]="--category=$HEADROOM_CATEGORY"
[ -z "${HEADROOM_SHARD:-}" ] || options[${#options[@]}]="--shard=$HEADROOM_SHARD"
# BASE... stands for where the checked revision left the base, whether that is
# the pull request's own head or its merge into the base.
since=$HEADROOM_SINCE
[ -n "$since" ] || since=${HEADROOM_BASE:+$HEADROOM_BASE...}
[ "$since" != none ] || since=
[ -z "$since" ] || options[${#options[@]}]="--since=$since"
lines "$HEADROOM_FORMATS"
for format in ${list[@]+"${list[@]}"}; do
	options[${#options[@]}]="--out=$format"
done
lines "$HEADROOM_ARGUMENTS"
for argument in ${list[@]+"${list[@]}"}; do
	options[${#options[@]}]=$argument
done

# The report echoes text of the specification, which may look like a command of
# the runner: commands are off until a word that nobody can guess.
token=$(od -An -N16 -tx1 /dev/urandom | tr -d ' \n')
echo "::stop-commands::$token"
code=0
"$program" check "${options[@]}" ${common[@]+"${common[@]}"} \
	--out=text "--out=github=$results/annotations" "--out=sarif=$results/headroom.sarif" \
	"--out=markdown=$results/check.md" "--out=dotenv=$results/outputs" -- "${paths[@]}" || code=$?
# A revision cannot begin with a dash: what does would be taken for an option.
if [ -z "${HEADROOM_SHARD:-}" ] && [ -n "$since" ] && [ "${since#-}" = "$since" ] && [ -s "$results/check.md" ]; then
	# What the change costs is the better summary of a pull request. That the
	# comparison could not be made is no reason to have none.
	"$program" diff ${common[@]+"${common[@]}"} --fail-on=never "--out=markdown=$results/diff.md" "$since" -- "${paths[@]}" >/dev/null ||
		rm -f "$results/diff.md"
fi
echo "::$token::"

summary=$results/check.md
[ ! -s "$results/diff.md" ] || summary=$results/diff.md
if [ ! -s "$summary" ]; then
	# Nothing was written: a wrong input, or a revision that cannot be read.
	printf '### Headroom: the run could not be done\n\nThe log of the step says why.\n' >"$summary"
	echo "::error title=Headroom::The run could not be done; the log of the step says why."
fi
[ -z "${GITHUB_STEP_SUMMARY:-}" ] || cat "$summary" >>"$GITHUB_STEP_SUMMARY"
[ ! -f "$results/annotations" ] || cat "$results/annotations"
{
	[ ! -f "$results/outputs" ] || sed -e '/^headroom_exit_code=/d' -e 's/^headroom_//' "$results/outputs"
	echo "exit_code=$code"
	[ ! -f "$results/headroom.sarif" ] || echo "sarif=$results/headroom.sarif"
	echo "summary=$summary"
} >>"$GITHUB_OUTPUT"
