package transaction

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"strconv"
	"strings"

	"example.org/headroom/schema"
)

// Names of our own files are these around the id of a transaction.
const (
	prefix       = ".headroom-"
	temporaryEnd = ".tmp"
	journalEnd   = ".journal"
)

var (
	temporaryName = regexp.MustCompile(`^\.headroom-[0-9a-f]{16}-[0-9a-z]+\.tmp$`)
	journalName   = regexp.MustCompile(`^\.headroom-[0-9a-f]{16}\.journal$`)
)

// journal says what a transaction replaces. The same is in each folder.
type journal struct {
	Format   string      `json:"format"` // always "headroom-outputs"
	ID       string      `json:"id"`
	Files    []entry     `json:"files"`
	Journals []ownedFile `json:"journals"` // the last one decides: only if it is there, all files are
}

const journalFormat = "headroom-outputs"

// ownedFile is a file of our own, with the number that the file system gave to it.
type ownedFile struct {
	Path   string `json:"path"`
	Number string `json:"number"`
}

// entry is a file that is to take a place.
type entry struct {
	Temporary ownedFile `json:"temporary"`
	Place     string    `json:"place"`
	Replaces  string    `json:"replaces"` // what was at the place, "" for nothing
}

// is reports whether the file is still there.
func (o ownedFile) is() bool { return o.Number != "" && numberOf(o.Path) == o.Number }

// stateOf tells what is at a place from what was written there later; "" is nothing.
func stateOf(place string) string {
	info, err := os.Lstat(place)
	if err != nil {
		return ""
	}
	return numberOf(place) + " " + strconv.FormatInt(info.Size(), 10) + " " + strconv.FormatInt(info.ModTime().UnixNano(), 10)
}

// decide writes the journals. With the last of them the outcome is decided.
func (w *writing) decide() error {
	j := journal{Format: journalFormat, ID: w.id}
	for _, f := range w.files {
		j.Files = append(j.Files, entry{ownedFile{f.temporary, numberOf(f.temporary)}, f.Place, stateOf(f.Place)})
	}
	var unnamed []string
	defer func() { _ = removeAll(unnamed) }() // what is left of them after an error
	for i, folder := range w.folders() {
		name := w.temporary(folder, "journal"+strconv.Itoa(i))
		f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
		if err != nil {
			return err
		}
		unnamed = append(unnamed, name)
		if err := f.Close(); err != nil {
			return err
		}
		j.Journals = append(j.Journals, ownedFile{filepath.Join(folder, prefix+w.id+journalEnd), numberOf(name)})
	}
	text, err := json.MarshalIndent(j, "", "  ")
	if err != nil {
		return err
	}
	for _, name := range unnamed {
		f, err := os.OpenFile(name, os.O_WRONLY, 0)
		if err != nil {
			return err
		}
		_, err = f.Write(text)
		if err = errors.Join(err, f.Sync(), f.Close()); err != nil {
			return err
		}
	}
	for i, name := range unnamed {
		if err := os.Rename(name, j.Journals[i].Path); err != nil {
			return err
		}
		w.journals = append(w.journals, j.Journals[i].Path)
	}
	for _, folder := range w.folders() {
		syncFolder(folder)
	}
	return nil
}

// readJournal reads a journal that was written where it is; nil for any other file.
func readJournal(path string) *journal {
	info, err := os.Lstat(path)
	if err != nil || !info.Mode().IsRegular() || runtime.GOOS != "windows" && info.Mode().Perm() != 0o600 {
		return nil // ours alone can be read by nobody else
	}
	text, err := schema.ReadFile(schema.Machine{}, path, 1<<20)
	if err != nil {
		return nil
	}
	var j journal
	if json.Unmarshal(text, &j) != nil || j.Format != journalFormat || filepath.Base(path) != prefix+j.ID+journalEnd || !j.isOurs() {
		return nil
	}
	for _, own := range j.Journals {
		if own.Path == path && own.is() {
			return &j
		}
	}
	return nil
}

// isOurs reports whether a journal is such as we write: each path once, every file of
// its own beside its place, under a name of this transaction, in a folder with a journal.
// One that guesses at the numbers of files would list a path again and again.
func (j *journal) isOurs() bool {
	seen, folders := map[string]bool{}, map[string]bool{}
	once := func(path string) bool {
		again := seen[path]
		seen[path] = true
		return !again && filepath.IsAbs(path) && filepath.Clean(path) == path
	}
	for _, own := range j.Journals {
		if folders[filepath.Dir(own.Path)] = true; !once(own.Path) || filepath.Base(own.Path) != prefix+j.ID+journalEnd {
			return false
		}
	}
	for _, e := range j.Files {
		folder, name := filepath.Split(e.Temporary.Path)
		folder = filepath.Clean(folder)
		if !once(e.Temporary.Path) || folder != filepath.Dir(e.Place) || !folders[folder] || !temporaryName.MatchString(name) || !strings.HasPrefix(name, prefix+j.ID) {
			return false
		}
	}
	return len(j.Journals) > 0
}

// decided reports whether all files of the transaction were on disk.
func (j *journal) decided() bool { return j.Journals[len(j.Journals)-1].is() }

// finish gives the files that still wait their places, or removes them, and removes
// the journals. It returns the places that became new, and those that did not.
func (j *journal) finish(guard Guard) (finished, left []string, err error) {
	decided := j.decided()
	for _, e := range j.Files {
		switch waits := e.Temporary.is(); {
		case !waits: // it has its place, or is gone
		case !decided:
			err = errors.Join(err, removeAll([]string{e.Temporary.Path}))
		case stateOf(e.Place) != e.Replaces || guard(e.Place) != nil:
			left = append(left, e.Place)
			err = errors.Join(err, removeAll([]string{e.Temporary.Path}))
		default:
			if e := os.Rename(e.Temporary.Path, e.Place); e != nil {
				return finished, left, errors.Join(err, e)
			}
			finished = append(finished, e.Place)
			syncFolder(filepath.Dir(e.Place))
		}
	}
	if err != nil {
		return finished, left, err
	}
	for _, own := range j.Journals {
		if own.is() {
			err = errors.Join(err, removeAll([]string{own.Path}))
		}
	}
	return finished, left, err
}

// folders are those that the transaction concerns.
func (j *journal) folders() (list []string) {
	for _, own := range j.Journals {
		list = append(list, filepath.Dir(own.Path))
	}
	return list
}

// ownFiles lists our own files in a folder: journals, and what waits for a place.
func ownFiles(folder string) (journals, temporaries []string) {
	entries, err := schema.Machine{}.ReadDir(folder)
	if err != nil {
		return nil, nil
	}
	for _, e := range entries {
		path := filepath.Join(folder, e.Name())
		switch {
		case e.Type()&fs.ModeType != 0:
		case journalName.MatchString(e.Name()):
			journals = append(journals, path)
		case temporaryName.MatchString(e.Name()):
			temporaries = append(temporaries, path)
		}
	}
	return journals, temporaries
}

// repair finishes or takes back what runs that were killed left in folders. What
// cannot be repaired stays for another run.
func repair(held locks, folders []string, guard Guard, say func(string)) {
	var finished, left []string
	removed, journaled, failed := 0, 0, error(nil)
	for _, folder := range folders {
		if !held.has(folder) {
			continue
		}
		journals, _ := ownFiles(folder)
		for _, path := range journals {
			j := readJournal(path)
			if j == nil || !held.more(j.folders()) {
				continue
			}
			journaled++
			new, old, err := j.finish(guard)
			finished, left, failed = append(finished, new...), append(left, old...), errors.Join(failed, err)
		}
	}
	for _, folder := range folders {
		if !held.has(folder) {
			continue
		}
		journals, temporaries := ownFiles(folder)
		if failed != nil || len(journals) > 0 { // what waits may still be needed
			continue
		}
		if err := removeAll(temporaries); err != nil {
			failed = errors.Join(failed, err)
		}
		removed += len(temporaries)
	}
	text := repaired(finished, left, removed, failed)
	if text == "" && journaled > 0 {
		text = "all of them had their places"
	}
	if text != "" {
		say("a run was stopped while it wrote outputs: " + text)
	}
}

func repaired(finished, left []string, removed int, failed error) (text string) {
	add := func(format string, args ...any) {
		if text != "" {
			text += "; "
		}
		text += fmt.Sprintf(format, args...)
	}
	if len(finished) > 0 {
		add("finished %s", names(finished))
	}
	if len(left) > 0 {
		add("%s changed since and stayed", names(left))
	}
	if removed > 0 {
		add("unfinished files removed: %d", removed)
	}
	if failed != nil {
		add("what is left could not be repaired: %v", Reason(failed))
	}
	return text
}

// names writes places as seen from the working folder.
func names(places []string) (text string) {
	here, _ := os.Getwd()
	for _, place := range places {
		if relative, err := filepath.Rel(here, place); err == nil && filepath.IsLocal(relative) {
			place = relative
		}
		if text != "" {
			text += ", "
		}
		text += filepath.ToSlash(place)
	}
	return text
}
