package input

import (
	"fmt"
	"io/fs"
	"path/filepath"
)

// Budget is how much of a tree is still looked at: folders, entries in them, files
// that are opened to see what they are, and their bytes. It is spent as the walk
// goes on.
type Budget struct {
	Folders, Entries, Files int
	Bytes                   int64
}

// TreeBudget is what one tree may have; the largest repositories have less. To look
// at as much takes some seconds.
func TreeBudget() Budget {
	return Budget{Folders: 50_000, Entries: MostInFolder, Files: 50_000, Bytes: 128 << 20}
}

// OverBudgetError says that a tree has more than is looked at.
type OverBudgetError struct {
	Path string // where the walk ended
	What string // such as "50000 folders"
}

func (e OverBudgetError) Error() string { return "more than " + e.What }

// spend takes folders, entries and files off the budget; it is an error if it had no
// more. All of the budget is for the words.
func (b *Budget) spend(spent, all Budget, path string) error {
	b.Folders -= spent.Folders
	b.Entries -= spent.Entries
	b.Files -= spent.Files
	b.Bytes -= spent.Bytes
	switch {
	case b.Folders < 0:
		return OverBudgetError{path, fmt.Sprintf("%d folders", all.Folders)}
	case b.Entries < 0:
		return OverBudgetError{path, fmt.Sprintf("%d files and folders", all.Entries)}
	case b.Files < 0:
		return OverBudgetError{path, fmt.Sprintf("%d files that may be specifications", all.Files)}
	case b.Bytes < 0:
		return OverBudgetError{path, fmt.Sprintf("%d MiB in files that may be specifications", all.Bytes>>20)}
	}
	return nil
}

// Walker goes through trees.
type Walker struct {
	Files     Files
	left, all Budget
	// Skip keeps the walk out of a folder.
	Skip func(folder, name string) bool
	// Mounted is told of a folder that is on another file system than the one that it
	// is in, and is not looked into; nil if it is.
	Mounted func(folder string)
}

// NewWalker returns a walker with a budget for all its trees together.
func NewWalker(files Files, budget Budget) *Walker {
	return &Walker{Files: files, left: budget, all: budget}
}

// Look spends one file of the budget, with its bytes.
func (w *Walker) Look(path string) error {
	spent := Budget{Files: 1}
	if info, err := w.Files.Stat(path); err == nil && info.Mode().IsRegular() {
		spent.Bytes = info.Size()
	}
	return w.left.spend(spent, w.all, path)
}

// Walk calls visit with what is in a folder, or with why it cannot be read, and so
// for all folders below it, in the order of their names. It does not follow symbolic
// links. It ends at the first error of visit, or with an [OverBudgetError].
func (w *Walker) Walk(folder string, visit func(folder string, entries []fs.DirEntry, err error) error) error {
	device, known := deviceOf(w.Files, folder)
	return w.walk(folder, device, known, visit)
}

func (w *Walker) walk(folder string, device uint64, known bool, visit func(string, []fs.DirEntry, error) error) error {
	if err := w.left.spend(Budget{Folders: 1}, w.all, folder); err != nil {
		return err
	}
	entries, err := w.Files.ReadDir(folder)
	if over := w.left.spend(Budget{Entries: len(entries)}, w.all, folder); over != nil {
		return over
	}
	if err := visit(folder, entries, err); err != nil {
		return err
	}
	for _, entry := range entries {
		if !entry.IsDir() || w.Skip != nil && w.Skip(folder, entry.Name()) {
			continue
		}
		inner := filepath.Join(folder, entry.Name())
		if known && w.Mounted != nil {
			if other, ok := deviceOf(w.Files, inner); ok && other != device {
				w.Mounted(inner)
				continue
			}
		}
		if err := w.walk(inner, device, known, visit); err != nil {
			return err
		}
	}
	return nil
}

// deviceOf is the number of the file system that a folder is on; of a revision, and
// where file systems have no numbers, it is not known.
func deviceOf(files Files, folder string) (uint64, bool) {
	info, err := files.Stat(folder)
	if err != nil {
		return 0, false
	}
	return device(info)
}
