// Package whereabouts tells what became of vehicles that stood at an older
// revision and are not among those that are checked: whether one is still in the
// tree, in whatever form, or really gone. A gate that looks at what is there
// would be walked round by hiding a vehicle from it.
package whereabouts

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"path/filepath"
	"slices"

	"example.org/headroom/schema"
)

// Side is the files of a revision, or of the work tree.
type Side struct {
	Files schema.Files
	Root  string // folder that holds all of them; paths are taken from here
}

func (s Side) name(file string) string { return filepath.Join(s.Root, filepath.FromSlash(file)) }

// read reads a file, up to the size of the largest that is looked at as a whole.
func (s Side) read(file string) ([]byte, error) {
	f, err := s.Files.Open(s.name(file))
	if err != nil {
		return nil, err
	}
	defer f.Close() //nolint:errcheck // nothing was written
	return io.ReadAll(io.LimitReader(f, wholeText))
}

// Search looks for vehicles of the old side on the new side. Paths are
// slash-separated and from the roots.
type Search struct {
	Old, New Side
	// Files lists the files of the new side; nil for all below its root.
	Files func() ([]string, error)
	// Unchanged reports whether both sides have the same file at a path; nil to
	// compare them.
	Unchanged func(file string) (bool, error)
	// Checked reports whether a vehicle that is checked reads a file.
	Checked func(file string) bool
	Kept    Kept
}

// Kept is what the new side has and does not show. Its functions may be nil.
type Kept struct {
	Why   func(file string) (why, remedy string) // of a file, "" if it is not so
	Files []string                               // the contents of which can be read
	Read  func(file string) ([]byte, error)
}

// Vehicle is one of either side, or of both.
type Vehicle struct {
	Files []string // of its own on the old side: its folder's or the one that it is; none for a new one
	Data  []byte   // what it says, as JSON; nil where that is not known
	// Partner is what is checked in its place, by its path, its name or its
	// likeness; no files for nothing. That alone does not make it the same.
	Partner     []string
	PartnerData []byte
	InPlace     bool // the partner goes by the same path
	SameName    bool // and by the same name
}

// Fate is what became of a vehicle.
type Fate struct {
	At     string   // where it is and not checked; "" if it is nowhere, or checked
	Also   []string // and where else
	Why    string   // why it is not checked there, as far as that can be told
	Remedy string   // what to do about it, if that is special
	// Kept is the share of it that what is checked in its place holds.
	Kept float64
}

// trace is what is known of a vehicle, and found of it.
type trace struct {
	vehicle Vehicle
	all     pieces
	partner pieces  // of what is checked in its place
	found   pieces  // in files that are not checked
	places  []place // those that hold much of it
	fate    *Fate
}

// place is a file that holds pieces of a vehicle.
type place struct {
	file  string
	share float64
	best  bool // no other vehicle that is looked for has more in it
	form
}

// alike is the share of its pieces that makes a text the same vehicle. Of one that
// says next to nothing all must be there: two of them are alike anyway.
func (t *trace) alike() float64 {
	const few = 30
	if len(t.all.words) < few {
		return 0.95
	}
	return 0.5
}

// evident is the share that what is checked at a vehicle's path, by its name, holds
// of it where there is no need to look for another one.
const evident = 0.9

// Fates tells of each vehicle where it is, if it is somewhere and not checked.
func (s Search) Fates(vehicles []Vehicle) ([]Fate, error) {
	fates := make([]Fate, len(vehicles))
	var wanted []*trace
	var rivals []rival
	budget := int64(allUnpacked)
	for i, v := range vehicles {
		t := &trace{vehicle: v, partner: newPieces(), found: newPieces(), fate: &fates[i]}
		var err error
		if t.all, err = s.Old.pieces(v.Files, v.Data); err != nil {
			return nil, err
		}
		if len(v.Partner) == 0 {
			if !s.inPlace(v, t.fate) {
				wanted = append(wanted, t)
			}
			continue
		}
		if t.partner, err = s.New.pieces(v.Partner, v.PartnerData); err != nil {
			continue // what cannot be read is no sound vehicle, and is said to be none
		}
		rivals = append(rivals, rival{t, t.all, t.partner})
		if len(t.all.words) == 0 {
			continue // it is new, or there is nothing to know it by
		}
		says := t.partner
		if v.Data != nil && v.PartnerData != nil {
			says.words = nil // what it says counts, and not what stands in comments
		}
		if t.fate.Kept = t.all.shareOf(says); !v.InPlace || !v.SameName || t.fate.Kept < evident {
			wanted = append(wanted, t)
		}
	}
	if len(wanted) == 0 {
		return fates, nil
	}
	return fates, s.elsewhere(wanted, rivals, &budget)
}

// pieces takes the files of a vehicle apart, and what it says.
func (s Side) pieces(files []string, data []byte) (pieces, error) {
	all := newPieces()
	for _, file := range files {
		content, err := s.read(file)
		if err != nil {
			return all, fmt.Errorf("%s cannot be looked for: %w", file, err)
		}
		budget := int64(mostUnpacked)
		found, _, err := piecesOf(bytes.NewReader(content), int64(len(content)), &budget)
		if err != nil {
			return all, err
		}
		all.add(found)
	}
	if data != nil {
		all.values = valuesOf(data)
	}
	return all, nil
}

// inPlace finds a vehicle where it was.
func (s Search) inPlace(v Vehicle, fate *Fate) bool {
	for _, file := range v.Files {
		if s.Checked(file) {
			continue
		}
		if why, remedy := s.whyNotRead(file); why != "" {
			*fate = Fate{At: file, Why: why, Remedy: remedy}
			return true
		}
	}
	return false
}

// whyNotRead says why a file that is there in some form is no specification; ""
// where it is not there.
func (s Search) whyNotRead(file string) (why, remedy string) {
	entry := s.entry(file)
	if entry == nil {
		for folder := path.Dir(file); folder != "."; folder = path.Dir(folder) {
			if e := s.entry(folder); e != nil && e.Type()&fs.ModeSymlink != 0 {
				return "the folder " + folder + " is a link now", ""
			}
		}
		return s.kept(file)
	}
	switch {
	case entry.Type()&fs.ModeSymlink != 0:
		return "it is a link now", ""
	case entry.IsDir():
		return "it is a folder now", ""
	case !entry.Type().IsRegular():
		return "it is no plain file now", ""
	}
	info, err := s.New.Files.Stat(s.New.name(file))
	if err != nil {
		return "it cannot be read", ""
	}
	if limit := schema.DefaultLimits().FileBytes; info.Size() > limit {
		return fmt.Sprintf("it is larger than %d bytes now", limit), ""
	}
	content, err := s.New.read(file)
	switch {
	case err != nil:
		return "it cannot be read", ""
	case len(bytes.TrimSpace(content)) == 0:
		return "it is empty now", ""
	}
	return "it is no specification any more", ""
}

// kept says why the new side does not show a file that it has.
func (s Search) kept(file string) (why, remedy string) {
	if s.Kept.Why == nil {
		return "", ""
	}
	return s.Kept.Why(file)
}

// entry is how a file is listed in its folder, whatever it is; nil where it is not.
func (s Search) entry(file string) fs.DirEntry {
	entries, err := s.New.Files.ReadDir(s.New.name(path.Dir(file)))
	if err != nil {
		return nil
	}
	for _, e := range entries {
		if e.Name() == path.Base(file) {
			return e
		}
	}
	return nil
}

// elsewhere looks for vehicles in all files that came or changed, those that are
// kept out of sight among them.
func (s Search) elsewhere(wanted []*trace, rivals []rival, budget *int64) error {
	files, err := s.list()
	if err != nil {
		return err
	}
	l := look{wanted, rivals, budget}
	for _, file := range files {
		// What may not be read here did not come with a change that was checked out.
		if err := s.lookAt(file, l); err != nil && !schema.IsNotThere(err) && !errors.Is(err, fs.ErrPermission) {
			return fmt.Errorf("%s cannot be looked through: %w", file, err)
		}
	}
	for _, file := range s.Kept.Files {
		content, err := s.Kept.Read(file)
		if err == nil {
			err = s.look(file, bytes.NewReader(content), int64(len(content)), l)
		}
		if err != nil {
			return fmt.Errorf("%s cannot be looked through: %w", file, err)
		}
	}
	for _, t := range wanted {
		t.settle(wanted, rivals)
		switch {
		case t.fate.At == "" || t.fate.Why != "":
		case s.Checked(t.fate.At):
			t.fate.Why = "what stands there is no part of what is checked"
		default:
			t.fate.Why, t.fate.Remedy = s.kept(t.fate.At)
		}
	}
	return nil
}

// rival is a vehicle that is checked, as it was and as it is.
type rival struct {
	of       *trace
	was, now pieces
}

// holds reports whether there is nothing in a text that the vehicle does not have: a
// copy of what is checked is no other vehicle, nor is one of what that was, but for
// a vehicle that is looked for itself.
func (r rival) holds(text pieces, wanted []*trace) bool {
	return text.without(r.now).size() == 0 || !slices.Contains(wanted, r.of) && text.without(r.was).size() == 0
}

// look is what files are looked through for.
type look struct {
	wanted []*trace
	rivals []rival
	budget *int64 // of what may be unpacked
}

// list lists the files of the new side.
func (s Search) list() ([]string, error) {
	if s.Files != nil {
		return s.Files()
	}
	var files []string
	var walk func(folder string) error
	walk = func(folder string) error {
		entries, err := s.New.Files.ReadDir(s.New.name(folder))
		if err != nil {
			return fmt.Errorf("%s cannot be looked through: %w", folder, err)
		}
		for _, e := range entries {
			file := path.Join(folder, e.Name())
			switch {
			case e.Name() == ".git":
			case e.IsDir():
				err = walk(file)
			case e.Type().IsRegular():
				files = append(files, file)
			}
			if err != nil {
				return err
			}
		}
		return nil
	}
	return files, walk(".")
}

// lookAt looks at one file, unless it is as it was beside the vehicles: then none
// moved into it. Of a vehicle that is checked, and new, only comments can hide
// another one.
func (s Search) lookAt(file string, l look) error {
	stood := slices.ContainsFunc(l.wanted, func(t *trace) bool { return slices.Contains(t.vehicle.Files, file) })
	if same, err := s.unchanged(file); same && !stood || err != nil {
		return err
	}
	f, err := s.New.Files.Open(s.New.name(file))
	if err != nil {
		return err
	}
	defer f.Close() //nolint:errcheck // nothing was written
	info, err := f.Stat()
	if err != nil || !info.Mode().IsRegular() {
		return err
	}
	if !s.Checked(file) || !s.isNew(file, l.wanted) {
		return s.look(file, f, info.Size(), l)
	}
	content, err := io.ReadAll(io.LimitReader(f, wholeText))
	if err != nil {
		return err
	}
	var comments []byte
	for line := range bytes.Lines(schema.PlainText(content)) {
		if start := bytes.TrimLeft(line, " \t"); bytes.HasPrefix(start, []byte("#")) || bytes.HasPrefix(start, []byte("//")) {
			comments = append(comments, line...)
		}
	}
	return s.look(file, bytes.NewReader(comments), int64(len(comments)), l)
}

// isNew reports whether a file that is checked is there in place of another one, or
// neither it nor its folder was there before.
func (s Search) isNew(file string, wanted []*trace) bool {
	if slices.ContainsFunc(wanted, func(t *trace) bool { return slices.Contains(t.vehicle.Partner, file) }) {
		return true
	}
	at := file
	if path.Ext(file) == ".cue" {
		at = path.Dir(file)
	}
	_, err := s.Old.Files.Stat(s.Old.name(at))
	return err != nil
}

// look looks for vehicles in what a file holds now and did not hold before, and
// for the vehicle that stood there in all of it.
func (s Search) look(file string, r io.Reader, size int64, l look) error {
	found, form, err := piecesOf(r, size, l.budget)
	if err != nil {
		return err
	}
	fresh := found
	if before, err := s.Old.pieces([]string{file}, nil); err == nil {
		fresh = found.without(before)
	}
	if !s.Checked(file) && slices.ContainsFunc(l.rivals, func(r rival) bool { return r.holds(fresh, l.wanted) }) {
		return nil
	}
	held, shares, best := make([]pieces, len(l.wanted)), make([]float64, len(l.wanted)), 0.0
	for i, t := range l.wanted {
		from := fresh
		if slices.Contains(t.vehicle.Files, file) {
			from = found
		}
		held[i] = t.all.heldBy(from)
		shares[i] = t.all.shareOf(held[i])
		best = max(best, shares[i])
	}
	for i, t := range l.wanted {
		t.found.add(held[i])
		const much = 0.05
		if shares[i] >= much {
			t.places = append(t.places, place{file, shares[i], shares[i] >= best, form})
		}
	}
	return nil
}

// unchanged reports whether both sides have the same file at a path.
func (s Search) unchanged(file string) (bool, error) {
	if s.Unchanged != nil {
		return s.Unchanged(file)
	}
	was, err := s.Old.read(file)
	if err != nil {
		return false, nil
	}
	is, err := s.New.read(file)
	return err == nil && bytes.Equal(was, is), err
}

// settle decides by what was found. What is checked at the vehicle's own path is
// the vehicle, unless more of it is elsewhere.
func (t *trace) settle(wanted []*trace, rivals []rival) {
	share := t.all.shareOf(t.found)
	if share < t.alike() || len(t.places) == 0 || t.vehicle.InPlace && share <= t.fate.Kept || t.isAnother(wanted, rivals) {
		return
	}
	slices.SortStableFunc(t.places, func(a, b place) int {
		switch {
		case a.share > b.share:
			return -1
		case a.share < b.share:
			return 1
		}
		return 0
	})
	best := t.places[0]
	t.fate.At = best.file
	if best.packed {
		t.fate.Why, t.fate.Remedy = "it is packed", "unpack it, or delete it if the vehicle is gone"
	}
	for _, p := range t.places[1:] {
		if p.share >= t.alike() {
			t.fate.Also = append(t.fate.Also, p.file)
		}
	}
}

// isAnother reports whether what was found is another vehicle that is like this
// one: quoted in prose, or looked for itself. It lacks then what the other one has
// not. Data that is most like this vehicle is it.
func (t *trace) isAnother(wanted []*trace, rivals []rival) bool {
	if slices.ContainsFunc(t.places, func(p place) bool { return !p.prose && p.best && p.share >= t.alike() }) {
		return false
	}
	for _, other := range wanted {
		rivals = append(rivals[:len(rivals):len(rivals)], rival{of: other, now: other.all})
	}
	return slices.ContainsFunc(rivals, func(r rival) bool {
		if r.of == t || slices.ContainsFunc(t.places, func(p place) bool { return slices.Contains(r.of.vehicle.Partner, p.file) }) {
			return false // it would hide the vehicle in a file of its own
		}
		own := t.all.without(r.now)
		return own.size() > 0 && own.shareOf(t.found) < t.alike()
	})
}
