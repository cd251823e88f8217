package connector

import (
	"testing"

	"example.org/headroom/rules/ruletest"
)

var fixture = ruletest.Fixture{File: "testdata/fixture.yaml", Subject: "plug"}

func TestFamily(t *testing.T) { ruletest.Family(t, Rules(), ruletest.Except{}, fixture) }
