package cli

import (
	"context"
	"embed"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"example.org/headroom/cmd/internal/safe"
	"example.org/headroom/schema"
)

//go:embed completion
var completionScripts embed.FS

// shells are those that there is a script for.
func shells() []string { return []string{"bash", "zsh", "fish"} }

func completionCommand() command {
	return command{
		name: "completion", args: "SHELL",
		about: "print the script that completes commands in bash, zsh or fish",
		help: `It completes commands, flags and their values, rules, revisions, files, and the
subjects that a rule has in the specification at hand. For this shell:

  bash   eval "$(headroom completion bash)"        in ~/.bashrc to keep it
  zsh    eval "$(headroom completion zsh)"         in ~/.zshrc, after compinit
  fish   headroom completion fish | source         or into ~/.config/fish/completions/headroom.fish

The script calls the program headroom that is found on the search path.`,
		run: func(c *Command, _ *pflag.FlagSet) func([]string) (int, error) {
			return func(args []string) (int, error) {
				if len(args) != 1 || !slices.Contains(shells(), args[0]) {
					return ExitFailed, usagef("expected one SHELL of %s, found %q", strings.Join(shells(), ", "), strings.Join(args, " "))
				}
				script, err := completionScripts.ReadFile("completion/headroom." + args[0])
				if err == nil {
					_, err = c.Stdout.Write(script)
				}
				return ExitClean, err
			}
		},
	}
}

// completeCommand is what the scripts ask: given the words up to the cursor, the
// last of them incomplete, it prints a candidate for that word on each line,
// followed by a tab and what it means, and in the end what the shell adds:
//
//	:files [PREFIX]    names of files, after the prefix of the word if there is one
//	:folders [PREFIX]  names of folders
//	:none              nothing
//
// It says nothing of errors, for nobody would read them where a line is typed.
func completeCommand() command {
	return command{
		name: "__complete", args: "WORD...", hidden: true, about: "candidates for the last word (used by the completion scripts)",
		run: func(c *Command, flags *pflag.FlagSet) func([]string) (int, error) {
			quoted := flags.Bool("quoted", false, "the words are quoted as in a shell")
			before := flags.String("before", "", "beginning of the last word that candidates leave out")
			return func(words []string) (int, error) {
				if *quoted {
					for i := range words {
						words[i] = unquote(words[i])
					}
					*before = unquote(*before)
				}
				silent := *c
				silent.Stdin, silent.Stdout, silent.Stderr = strings.NewReader(""), io.Discard, io.Discard
				silent.Bound.Time = min(silent.Bound.Time, completionTime)
				completion := silent.complete(context.Background(), words)
				return ExitClean, completion.write(c.Stdout, *before)
			}
		},
	}
}

// unquote takes the quotes off a word of a shell, of one that is not closed too.
// What the shell would put in (variables, commands) stays as it is written.
func unquote(word string) string {
	var b strings.Builder
	quote := rune(0)
	escaped := false
	for _, r := range word {
		switch {
		case escaped:
			if quote == '"' && !strings.ContainsRune("\"\\$`", r) {
				b.WriteByte('\\')
			}
			b.WriteRune(r)
			escaped = false
		case r == '\\' && quote != '\'':
			escaped = true
		case quote == 0 && (r == '\'' || r == '"'):
			quote = r
		case r == quote:
			quote = 0
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// completion is the candidates for a word.
type completion struct {
	word   string // as typed so far
	prefix string // of the word, before the part that is completed: "--out="
	list   []candidate
	add    string // what the shell adds: "files", "folders" or ""
}

type candidate struct{ value, about string }

// offer adds the values that begin as the word does.
func (k *completion) offer(about string, values ...string) {
	for _, v := range values {
		// What cannot be typed on one line cannot be completed either.
		if strings.HasPrefix(k.prefix+v, k.word) && string(safe.Plain(v)) == v && v != "" {
			k.list = append(k.list, candidate{k.prefix + v, about})
		}
	}
}

func (k *completion) write(w io.Writer, before string) error {
	var b strings.Builder
	for _, c := range k.list {
		b.WriteString(strings.TrimPrefix(c.value, before))
		if c.about != "" {
			b.WriteString("\t" + c.about)
		}
		b.WriteString("\n")
	}
	if k.add == "" {
		b.WriteString(":none\n")
	} else {
		fmt.Fprintf(&b, ":%s\n", strings.TrimSpace(k.add+" "+k.prefix))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// complete finds the candidates for the last of the words after the program's name.
func (c *Command) complete(ctx context.Context, words []string) *completion {
	if len(words) == 0 {
		words = []string{""}
	}
	last := len(words) - 1
	k := &completion{word: words[last]}
	if last == 0 {
		k.commands()
		k.offer("commands and topics", "help")
		if strings.HasPrefix(k.word, "-") {
			k.offer("commands and topics", "--help")
			k.offer("print the version", "--version")
		}
		return k
	}
	if words[0] == "help" {
		if last == 1 {
			k.commands()
			for _, t := range topics() {
				k.offer(t.about, t.name)
			}
		}
		return k
	}
	cmd, err := find(words[0])
	if err != nil || cmd.hidden {
		return k
	}
	flags := newFlags(cmd)
	cmd.run(c, flags)
	typed := readWords(flags, words[1:last])
	name, _, assigned := strings.Cut(k.word, "=")
	switch {
	case typed.wants != nil:
		c.flagValues(ctx, k, typed.wants)
	case typed.dash < 0 && assigned && strings.HasPrefix(k.word, "--"):
		if f := flags.Lookup(name[2:]); f != nil {
			k.prefix = name + "="
			c.flagValues(ctx, k, f)
		}
	case typed.dash < 0 && strings.HasPrefix(k.word, "-") && k.word != schema.Stdin:
		k.flags(flags, typed)
	default:
		c.argument(ctx, k, placeholder(cmd, typed), typed)
	}
	return k
}

// commands offers the commands that people use.
func (k *completion) commands() {
	for _, cmd := range commands() {
		if !cmd.hidden {
			k.offer(cmd.about, cmd.name)
		}
	}
}

// typedWords is what stands on the line before the word at the cursor.
type typedWords struct {
	args  []string
	dash  int             // how many of args stand before "--"; -1 without it
	given map[string]bool // flags
	wants *pflag.Flag     // the flag whose value comes next
}

// readWords tells arguments from flags and their values as the parser does.
func readWords(flags *pflag.FlagSet, words []string) typedWords {
	t := typedWords{dash: -1, given: map[string]bool{}}
	for _, w := range words {
		switch {
		case t.wants != nil:
			t.wants = nil
		case t.dash >= 0 || !strings.HasPrefix(w, "-") || w == schema.Stdin:
			t.args = append(t.args, w)
		case w == "--":
			t.dash = len(t.args)
		case strings.HasPrefix(w, "--"):
			name, _, assigned := strings.Cut(w[2:], "=")
			t.given[name] = true
			if f := flags.Lookup(name); f != nil && !assigned && f.NoOptDefVal == "" {
				t.wants = f
			}
		default: // no flag of one letter takes a value
			for _, letter := range w[1:] {
				if f := flags.ShorthandLookup(string(letter)); letter < 128 && f != nil {
					t.given[f.Name] = true
				}
			}
		}
	}
	return t
}

// flags offers the flags that may still be given.
func (k *completion) flags(flags *pflag.FlagSet, typed typedWords) {
	flags.VisitAll(func(f *pflag.Flag) {
		_, repeats := f.Value.(interface{ repeats() })
		if f.Hidden || typed.given[f.Name] && !repeats {
			return
		}
		_, about := pflag.UnquoteUsage(f)
		about, _, _ = strings.Cut(about, ": ") // what follows is a list of values
		k.offer(about, "--"+f.Name)
	})
	k.offer("help on this command", "--help")
}

// placeholder is what help calls the argument at the cursor: PATH, RULE and so on.
func placeholder(cmd command, typed typedWords) string {
	if typed.dash >= 0 && cmd.name == "diff" { // after it all are paths
		return "PATH"
	}
	names := strings.Fields(strings.NewReplacer("[", " ", "]", " ").Replace(cmd.args))
	for i, name := range names {
		bare, repeats := strings.CutSuffix(name, "...")
		if i == len(typed.args) || repeats {
			return bare
		}
	}
	return ""
}
