package report

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"fmt"
)

// Shard is one of several runs that share out the vehicles of one.
type Shard struct {
	Number int `json:"number"` // from 1
	Of     int `json:"of"`
}

// String is the shard as it is asked for: 3/8.
func (s Shard) String() string { return fmt.Sprintf("%d/%d", s.Number, s.Of) }

// Has reports whether a vehicle is in the shard. It goes by the path of the vehicle
// in the report alone, so that every machine says the same and a vehicle that comes
// or goes moves no other.
func (s Shard) Has(path string) bool {
	sum := sha256.Sum256([]byte(path))
	return binary.BigEndian.Uint64(sum[:8])%uint64(s.Of) == uint64(s.Number-1)
}

// Part says where the report of a shard belongs in that of the whole run.
type Part struct {
	Shard
	// Split tells whether two parts are of one run: it is made of the paths of all
	// vehicles, and of what was asked.
	Split  string `json:"split"`
	Places []int  `json:"places"` // of what is in the part, among the vehicles of the whole
	// ErrorPlaces are the places of the vehicles that the last errors of the run are
	// about. The errors before them, and all remarks, are about the whole run: each
	// part has them.
	ErrorPlaces []int `json:"error_places"`
	LeftOut     int   `json:"left_out,omitempty"` // results beyond what a SARIF file may hold
}

// Fits is an error unless the part describes a file that holds so many things and so
// many errors.
func (p *Part) Fits(things, errs int) error {
	switch {
	case p == nil:
		return errors.New("is not part of a run: it was written without --shard")
	case p.Of < 1 || p.Number < 1 || p.Number > p.Of || len(p.Places) != things || len(p.ErrorPlaces) > errs:
		return errors.New("has been changed since check --shard wrote it")
	}
	return nil
}

// Digest is the identity of a list of texts.
func Digest(texts ...string) string {
	h := sha256.New()
	for _, text := range texts {
		fmt.Fprintf(h, "%d:%s", len(text), text)
	}
	return hex.EncodeToString(h.Sum(nil)[:16])
}

// WithErrors is the part with the places of the vehicles that have errors of the
// run, or nil for a whole run.
func (r *Report) WithErrors() *Part {
	if r.Part == nil {
		return nil
	}
	part := *r.Part
	part.ErrorPlaces = []int{}
	for i, v := range r.Vehicles {
		if v.runError() != nil {
			part.ErrorPlaces = append(part.ErrorPlaces, part.Places[i])
		}
	}
	return &part
}
