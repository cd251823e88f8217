package cli

import (
	"embed"
	"slices"
	"strings"

	"example.org/headroom/cmd/internal/suggest"
)

// helpPages holds a file for each topic: its first line says what it is about,
// the rest after a blank line is the page. Commands in it stand alone on a line
// that is indented by four spaces; a test runs them.
//
//go:embed help
var helpPages embed.FS

// topic is a page of help that is not about one command.
type topic struct{ name, about, text string }

// topics lists the topics in the order in which help shows them.
func topics() []topic {
	var list []topic
	for _, name := range []string{
		"format", "units", "modes", "library", "policy", "waivers", "paths",
		"results", "checks", "numbers",
		"outputs", "exit-codes", "changes", "since", "ci", "hook", "security",
	} {
		page, err := helpPages.ReadFile("help/" + name + ".txt")
		if err != nil {
			panic(err) // the pages are part of the program
		}
		about, text, _ := strings.Cut(string(page), "\n\n")
		list = append(list, topic{name, about, text})
	}
	return list
}

func findTopic(name string) (topic, bool) {
	list := topics()
	i := slices.IndexFunc(list, func(t topic) bool { return t.name == name })
	if i < 0 {
		return topic{}, false
	}
	return list[i], true
}

// noHelp is the error for a name that is neither a command nor a topic.
func noHelp(name string) error {
	var subjects []string
	for _, t := range topics() {
		subjects = append(subjects, t.name)
	}
	n := len(subjects)
	for _, cmd := range commands() {
		if !cmd.hidden {
			subjects = append(subjects, cmd.name)
		}
	}
	return usagef("there is no help on %q%s; the topics are %s; the commands are %s", name, suggest.DidYouMean(name, subjects),
		strings.Join(subjects[:n], ", "), strings.Join(subjects[n:], ", "))
}
