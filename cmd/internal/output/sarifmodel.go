package output

import "example.org/headroom/cmd/internal/safe"

// The part of the SARIF 2.1.0 object model (OASIS) that Headroom writes. Plain
// structs rather than a library: the libraries write the empty form of every
// object that is not used (rank 0, which means "least important"; empty arrays
// of fixes, graphs and stacks), for which validators and viewers fault the
// file, and carry the JSON schema into the binary. Tests validate what we
// write against that schema.

type sarifLog struct {
	Schema  string     `json:"$schema"`
	Version string     `json:"version"`
	Runs    []sarifRun `json:"runs"`
}

type sarifRun struct {
	Tool               sarifTool                `json:"tool"`
	Invocations        []sarifInvocation        `json:"invocations"`
	OriginalURIBaseIDs map[string]sarifArtifact `json:"originalUriBaseIds"`
	AutomationDetails  sarifAutomation          `json:"automationDetails"`
	ColumnKind         string                   `json:"columnKind"`
	Results            []sarifResult            `json:"results"`
	Properties         map[string]any           `json:"properties,omitempty"`
}

type sarifTool struct {
	Driver sarifDriver `json:"driver"`
}

type sarifDriver struct {
	Name            string            `json:"name"`
	FullName        string            `json:"fullName"`
	Version         string            `json:"version"`
	SemanticVersion string            `json:"semanticVersion"`
	InformationURI  string            `json:"informationUri,omitempty"`
	Rules           []sarifDescriptor `json:"rules"`
	Notifications   []sarifDescriptor `json:"notifications,omitempty"`
}

type sarifDescriptor struct {
	ID               string         `json:"id"`
	Name             string         `json:"name,omitempty"`
	ShortDescription sarifText      `json:"shortDescription"`
	FullDescription  *sarifText     `json:"fullDescription,omitempty"`
	Help             *sarifText     `json:"help,omitempty"`
	HelpURI          string         `json:"helpUri,omitempty"`
	Default          *sarifDefault  `json:"defaultConfiguration,omitempty"`
	Properties       map[string]any `json:"properties,omitempty"`
}

type sarifDefault struct {
	Level string `json:"level"`
}

type sarifText struct {
	Text     safe.Message  `json:"text"`
	Markdown safe.Markdown `json:"markdown,omitempty"`
}

type sarifInvocation struct {
	ExecutionSuccessful bool                `json:"executionSuccessful"`
	ExitCode            int                 `json:"exitCode"`
	Notifications       []sarifNotification `json:"toolExecutionNotifications,omitempty"`
}

type sarifNotification struct {
	Descriptor sarifReference  `json:"descriptor"`
	Level      string          `json:"level"`
	Message    sarifText       `json:"message"`
	Locations  []sarifLocation `json:"locations,omitempty"`
}

type sarifReference struct {
	ID    string `json:"id"`
	Index int    `json:"index"`
}

type sarifAutomation struct {
	ID string `json:"id"`
}

type sarifResult struct {
	RuleID              string            `json:"ruleId"`
	RuleIndex           *int              `json:"ruleIndex,omitempty"`
	Kind                string            `json:"kind"`
	Level               string            `json:"level"`
	BaselineState       string            `json:"baselineState,omitempty"`
	Message             sarifText         `json:"message"`
	Locations           []sarifLocation   `json:"locations"`
	RelatedLocations    []sarifLocation   `json:"relatedLocations,omitempty"`
	PartialFingerprints map[string]string `json:"partialFingerprints"`
	Properties          map[string]any    `json:"properties,omitempty"`

	Suppressions []sarifSuppression `json:"suppressions,omitzero"` // see settleSuppressions
}

type sarifSuppression struct {
	Kind          string         `json:"kind"`
	Status        string         `json:"status"`
	Justification safe.Line      `json:"justification"`
	Location      *sarifLocation `json:"location,omitempty"`
	Properties    map[string]any `json:"properties,omitempty"`
}

type sarifLocation struct {
	ID       int            `json:"id,omitempty"`
	Physical *sarifPhysical `json:"physicalLocation,omitempty"`
	Logical  []sarifLogical `json:"logicalLocations,omitempty"`
	Message  *sarifText     `json:"message,omitempty"`
}

type sarifPhysical struct {
	Artifact sarifArtifact `json:"artifactLocation"`
	Region   *sarifRegion  `json:"region,omitempty"`
}

type sarifArtifact struct {
	URI         string     `json:"uri,omitempty"`
	URIBaseID   string     `json:"uriBaseId,omitempty"`
	Description *sarifText `json:"description,omitempty"`
}

type sarifRegion struct {
	StartLine   int `json:"startLine"`
	StartColumn int `json:"startColumn,omitempty"`
	EndLine     int `json:"endLine,omitempty"`
	EndColumn   int `json:"endColumn,omitempty"`
}

type sarifLogical struct {
	Name               string `json:"name"`
	FullyQualifiedName string `json:"fullyQualifiedName"`
	Kind               string `json:"kind"`
}
