// Package transaction writes several files together: whoever looks finds all of them
// as they were or all of them new, also after the program was killed.
//
// Each file is written beside its place under a name of its own and put on disk.
// When all are there, a journal is written that lists them, and from then on the
// outcome is decided; they take their places, and the journal goes. A run that is
// killed before the journal leaves nothing but files of names that begin with
// ".headroom-", and one that is killed after it leaves the journal too. The next run
// that writes to one of the folders removes the former, and finishes the latter.
//
// A folder is locked while this goes on, so that whatever bears such a name in a
// folder that could be locked is of a run that is dead. A journal counts only if it
// has the number that the file system gave to it: nobody can send one in a repository
// to have files renamed. A place that was changed since, or that an output must not
// replace, stays as it is.
package transaction
