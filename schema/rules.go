package schema

import "example.org/headroom/schema/internal/source"

// The rules of this package, by what is wrong with a specification.
const (
	RuleSyntax             = source.RuleSyntax
	RuleUnknownField       = source.RuleUnknownField
	RuleMissingField       = source.RuleMissingField
	RuleWrongType          = source.RuleWrongType
	RuleOutOfRange         = source.RuleOutOfRange
	RuleUnknownValue       = source.RuleUnknownValue
	RuleMalformedValue     = source.RuleMalformedValue
	RuleUnitlessNumber     = source.RuleUnitlessNumber
	RuleUnknownTerminal    = source.RuleUnknownTerminal
	RuleUnknownPart        = source.RuleUnknownPart
	RuleDuplicateID        = source.RuleDuplicateID
	RuleDuplicateKey       = source.RuleDuplicateKey
	RuleConflictingValues  = source.RuleConflictingValues
	RuleContradiction      = source.RuleContradiction
	RuleNotConcrete        = source.RuleNotConcrete
	RuleUnknownName        = source.RuleUnknownName
	RuleForeignImport      = source.RuleForeignImport
	RuleUnsafeConstruct    = source.RuleUnsafeConstruct
	RuleTooLarge           = source.RuleTooLarge
	RuleUnsupportedVersion = source.RuleUnsupportedVersion
)

// RuleDoc documents one rule of this package.
type RuleDoc struct {
	ID      string
	Title   string // one line: what is wrong, no full stop
	Why     string // what goes wrong when it stays
	Fix     string // what to do about it
	Example string // a mistake that it reports
}

// Rules documents every rule of this package.
func Rules() []RuleDoc {
	return []RuleDoc{
		{RuleSyntax, "file cannot be read as CUE, YAML or JSON",
			"A file with broken syntax cannot be relied on, so none of its parts is checked.",
			"Close the bracket or quotation mark, add the comma or colon, or indent with spaces, at the place named.",
			"fuses: main: {rated_A: 250"},
		{RuleUnknownField, "field is not part of the format",
			"A misspelt field is the same as a missing one: its rating would be left out of every check.",
			"Use the suggested name. Names end in the unit of their number, and say which of two ratings is meant.",
			"fuses: main: rated_amp: 250"},
		{RuleMissingField, "required field is missing",
			"Without it even the simplest check of the part is impossible.",
			"Add the field; the message says what it is and where a datasheet gives it.",
			`fuses: main: {class: "blade"} // rated_A is missing`},
		{RuleWrongType, "value is of the wrong kind",
			"A number in quotation marks, or a list instead of a number, cannot be used in a computation.",
			"Write numbers without quotation marks and unit, and true or false without quotation marks.",
			`fuses: main: rated_A: "250 A"`},
		{RuleOutOfRange, "number is outside its permitted range",
			"A misplaced decimal point or a value in the wrong unit makes every check that uses it worthless.",
			"Give the value in the unit that the field's name ends in.",
			"batteries: pack: max_V: 84000"},
		{RuleUnknownValue, "value is not one of the permitted ones",
			"The checks choose their limits by this word; with an unknown one they have none.",
			"Use one of the values that the message lists.",
			`vehicle: use: "raod"`},
		{RuleMalformedValue, "text is not in the required form",
			"An id or a size that cannot be read cannot be checked.",
			"Write it in the form that the message shows.",
			`wires: w1: size: "70mm²"`},
		{RuleUnitlessNumber, "number without a unit",
			"70 may be square millimetres or a gauge number: a factor of three in copper.",
			"Give the unit: in the text of a size, in the name of any other field.",
			"wires: w1: size: 70"},
		{RuleUnknownTerminal, "conductor ends on a terminal that does not exist",
			"The conductor would be connected to nothing, and its circuit would not be checked.",
			"Use one of the terminals that the message lists.",
			`wires: w1: from: "pack.plus"`},
		{RuleUnknownPart, "reference to something that does not exist or is of another kind",
			"A mode that closes a switch under a wrong name leaves the switch open, and its circuit is not checked.",
			"Use the id of an existing part of the required kind.",
			`modes: cruise: closed: ["isolater"]`},
		{RuleDuplicateID, "two parts or conductors share an id",
			"A terminal or a finding could mean either of them.",
			"Rename one of them and every reference to it.",
			"fuses: main: {...}, disconnects: main: {...}"},
		{RuleDuplicateKey, "name is given twice in one group",
			"Programs silently keep one or the other, and people read the one they see first.",
			"Keep one of them, or merge the two groups.",
			`{"rated_A": 250, "rated_A": 300}`},
		{RuleConflictingValues, "two values are given for one field",
			"Which of them counts is not known, so nothing that uses it can be checked.",
			"Keep one. To override a value of a shared part, remove it there or give it there as a default.",
			"main: rated_A: 250 here, main: rated_A: 300 in another file"},
		{RuleContradiction, "values of one part contradict each other",
			"At least one of them is wrong, and a check may have used that one.",
			"Compare both with the datasheet.",
			"batteries: pack: {min_V: 84, max_V: 60}"},
		{RuleNotConcrete, "field has no definite value",
			"A condition such as >100 says what is permitted, not what is fitted.",
			"Give the value.",
			"fuses: main: rated_A: >100"},
		{RuleUnknownName, "name is not defined",
			"What it refers to is missing from the specification.",
			"Correct the name, or define it.",
			"fuses: main: parts.mainFuze"},
		{RuleForeignImport, "import from outside the specification's own module",
			"A check depends only on the files in the repository, so nothing is fetched.",
			"Copy the package into the module and import it from there.",
			`import "other.example/parts"`},
		{RuleUnsafeConstruct, "construct that a specification may not use",
			"It reads files, depends on the environment or computes without limit, so the result could differ from machine to machine.",
			"Write out the values.",
			"@embed(file=parts.json)"},
		{RuleTooLarge, "specification is too large",
			"The limit keeps a mistake or a hostile file from blocking the run.",
			"Split the specification, or remove what does not belong to the vehicle.",
			"a file of more than 16 MB"},
		{RuleUnsupportedVersion, "format version is not supported",
			"The same field may have another meaning in another version.",
			"Use a program that reads this version, or write headroom: 1.",
			"headroom: 2"},
	}
}
