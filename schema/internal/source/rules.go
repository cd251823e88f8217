package source

// The rules of this package, by what is wrong with a specification.
const (
	RuleSyntax             = "spec-syntax"
	RuleUnknownField       = "spec-unknown-field"
	RuleMissingField       = "spec-missing-field"
	RuleWrongType          = "spec-wrong-type"
	RuleOutOfRange         = "spec-out-of-range"
	RuleUnknownValue       = "spec-unknown-value"
	RuleMalformedValue     = "spec-malformed-value"
	RuleUnitlessNumber     = "spec-unitless-number"
	RuleUnknownTerminal    = "spec-unknown-terminal"
	RuleUnknownPart        = "spec-unknown-part"
	RuleDuplicateID        = "spec-duplicate-id"
	RuleDuplicateKey       = "spec-duplicate-key"
	RuleConflictingValues  = "spec-conflicting-values"
	RuleContradiction      = "spec-contradiction"
	RuleNotConcrete        = "spec-not-concrete"
	RuleUnknownName        = "spec-unknown-name"
	RuleForeignImport      = "spec-foreign-import"
	RuleUnsafeConstruct    = "spec-unsafe-construct"
	RuleTooLarge           = "spec-too-large"
	RuleUnsupportedVersion = "spec-unsupported-version"
)
