// Package safe is the one way by which text from outside (specifications, names of
// files, arguments, revisions, messages of git and of libraries) gets into an output.
//
// Each kind of output has a type: [Line] for terminals and logs, [Markdown] and [HTML]
// for pages of a code host, [Message] for SARIF, [XML] for JUnit, [Value] for dotenv.
// A constant of the program is of such a type by itself; a string is not, and becomes
// one by the functions of this package alone, which take from it whatever is more than
// text there. Beside that, each stream has a last stage through which all its bytes
// go: [Stream] for lines and [JSON] for data. So a writer that forgets the first does
// not compile, and what comes to a stream by other ways does nothing there.
//
// What is taken away stays legible: a character that drives a terminal, hides or
// reorders text is written as Go writes it between quotes, such as \u202e. JSON has
// escapes of its own and keeps every string to the letter.
package safe
