package schema

import (
	"example.org/headroom/schema/internal/define"
	"example.org/headroom/schema/internal/find"
	"example.org/headroom/schema/internal/input"
	"example.org/headroom/schema/internal/source"
	"example.org/headroom/schema/internal/spell"
)

// Version is the format version that this package reads: the value of the
// top-level field "headroom".
const Version = define.Version

// Chassis is the name of the vehicle's metalwork where a conductor ends on it.
const Chassis = define.Chassis

// Definitions returns the definitions of the format as one CUE file of the
// package headroom. Its #Spec validates a specification in any tool that
// speaks CUE: cue vet -c -d '#Spec' definitions.cue vehicle.yaml.
func Definitions() string { return define.Definitions() }

// UnitOf is the unit that a field's name carries, such as "mOhm" of
// resistance_mOhm; "" if it carries none.
func UnitOf(field string) string { return define.UnitOf(field) }

type (
	// Position is a place in a text file.
	Position = source.Position
	// Place is a position with a word on why it matters.
	Place = source.Place
	// Problem is something wrong with a specification itself.
	Problem = source.Problem
)

type (
	// Options tell Read and Find where they stand and how they may evaluate.
	Options = input.Options
	// Limits bound what a specification may cost.
	Limits = input.Limits
	// Budget is how much of a tree Find looks at.
	Budget = input.Budget
	// Target is one vehicle's specification on disk.
	Target = input.Target
	// PassedOver is what looks like a specification and is not read.
	PassedOver = input.PassedOver
	// Files is where specifications are read from.
	Files = input.Files
	// TooLargeError says that a file is larger than what is read of it.
	TooLargeError = input.TooLargeError
	// Machine is all of the machine's file system, for files that whoever started the
	// program named or that are its own.
	Machine = input.Machine
	// Disk is the file system of the machine as far as it lies in one folder.
	Disk = input.Disk
)

// The formats of a target.
const (
	FormatPackage = input.FormatPackage // a folder
	FormatCUE     = input.FormatCUE
	FormatYAML    = input.FormatYAML
	FormatJSON    = input.FormatJSON
)

// Stdin is the path that stands for standard input.
const Stdin = input.Stdin

// DefaultLimits is far above what a small vehicle needs.
func DefaultLimits() Limits { return input.DefaultLimits() }

// Within is the disk within a folder, such as [RootOf] gives.
func Within(root string) *Disk { return input.Within(root) }

// RootOf is the folder that the files of a path may come from: the root of the
// repository around it; without one that of its CUE module, if that is below the
// working folder; else the folder itself, or that of the file. A module above both
// may be anybody's, such as one in a folder for temporary files. A path may end in
// "...". The root is absolute and without symbolic links, but for what does not exist.
func RootOf(path string) string { return input.RootOf(path) }

// PathWithin is the path of a name from a folder, with slashes; false for what is
// not in it. Links on the way to the folder are followed, and none in it.
func PathWithin(root, name string) (string, bool) { return input.PathWithin(root, name) }

// ReadFile reads a file of at most so many bytes.
func ReadFile(files Files, name string, limit int64) ([]byte, error) {
	return input.ReadFile(files, name, limit)
}

// IsNotThere reports whether an error of a [Disk] says that a folder has nothing
// by a name: no file, or one that lies elsewhere.
func IsNotThere(err error) bool { return input.IsNotThere(err) }

// ErrNoSpecification says that a folder holds none.
var ErrNoSpecification = find.ErrNoSpecification

// Find lists the specifications that paths stand for, in order: a folder
// stands for the CUE package in it and each YAML and JSON specification in it,
// folder/... for those of the whole tree, "-" for standard input. A file
// without a top-level field headroom is passed over, unless it is named itself,
// has the fields of a specification otherwise, or is empty and stands beside a
// specification: a misspelt headroom must not take a vehicle out of sight.
//
// What looks like a specification and is passed over is told to opts.PassedOver.
//
// A tree is looked at up to a budget and not beyond the file system that it is on; of
// one that has more, nothing is a target.
//
// An error says what cannot be read, has too much in it, or holds no specification,
// one line each; the targets are those of all else.
func Find(paths []string, opts Options) ([]Target, error) { return find.Find(paths, opts) }

// IsSpecification reports whether a file on disk is a specification, a part of
// one or of a library, or looks like one under another name.
func IsSpecification(path string) bool { return find.IsSpecification(path) }

// IsMostlyFields reports whether a plain text is data and no prose.
func IsMostlyFields(content []byte) bool { return find.IsMostlyFields(content) }

// PlainText is the text of a file however it was saved, to recognise it by: as
// UTF-8 without a byte order mark, with line feeds at the ends of lines, and with
// letters for what stands for letters. Bytes that are no text stay.
func PlainText(content []byte) []byte { return find.PlainText(content) }

// Closest returns the candidate whose spelling is nearest to a word, or "" when
// none is near.
func Closest(word string, candidates []string) string { return spell.Closest(word, candidates) }

// Distance counts the insertions, deletions, replacements and swaps of
// neighbours that turn one word into another.
func Distance(a, b string) int { return spell.Distance(a, b) }

// FieldOf is the field of the format that a path of a specification leads to: its name
// without ids ("fuses.breaking_A_dc" for "fuses.main.breaking_A_dc"), what it is in words
// ("breaking capacity for direct current"), and where a datasheet gives it, "" if nothing
// is said of that. The name is "" if the path leads to no field.
func FieldOf(path string) (name, words, where string) {
	name, field := define.FieldOf(path)
	if field == nil {
		return name, "", ""
	}
	return name, field.Words(), field.Where()
}
