"""Reads a JUnit report as a reader of such reports does, and compares what it
finds with the counts that the same run gave: junit-report.py REPORT COUNTS"""

import sys

from junitparser import Error, Failure, JUnitXml, Skipped

counts = dict(line.rstrip("\n").split("=", 1) for line in open(sys.argv[2], encoding="utf-8"))
suites = JUnitXml.fromfile(sys.argv[1])
kinds = {Failure: 0, Error: 0, Skipped: 0}
names = set()
tests = 0
for suite in suites:
    for case in suite:
        tests += 1
        names.add((suite.name, case.classname, case.name))
        for result in case.result:
            for kind in kinds:
                kinds[kind] += isinstance(result, kind)

want = {
    "cases": (tests, int(counts["headroom_checks"])),
    "cases by name": (len(names), tests),
    "counted": (suites.tests, tests),
    "failures": (kinds[Failure], int(counts["headroom_errors"])),
    "skipped": (kinds[Skipped], int(counts["headroom_not_checked"])),
}
for what, (got, expected) in want.items():
    if got != expected:
        sys.exit(f"{what}: {got}, expected {expected}")
print(f"{tests} cases, {kinds[Failure]} failures, {kinds[Skipped]} skipped: as counted by the run")
