package output

import (
	"encoding/json"
	"io"
	"reflect"
	"slices"
	"strings"
)

// IsOwn reports whether a file is an earlier output of this program in one of the
// formats of data: JSON or SARIF, whatever its name. A specification never is one: it
// has fields at its top that no output has.
func IsOwn(file io.Reader) bool {
	d := json.NewDecoder(file)
	if start, err := d.Token(); err != nil || start != json.Delim('{') {
		return false
	}
	own := false
	for d.More() {
		name, err := d.Token()
		if err != nil {
			return false
		}
		field, _ := name.(string)
		var value json.RawMessage
		if !slices.Contains(topFields, field) || d.Decode(&value) != nil {
			return false
		}
		own = own || isMark(field, value)
	}
	_, err := d.Token() // the end of a file that is whole
	return own && err == nil
}

// topFields are the fields at the top of the formats of data.
var topFields = fieldsOf(jsonReport{}, jsonDiff{}, jsonHistory{}, jsonRatings{}, sarifLog{})

func fieldsOf(shapes ...any) (names []string) {
	for _, shape := range shapes {
		of := reflect.TypeOf(shape)
		for i := range of.NumField() {
			name, _, _ := strings.Cut(of.Field(i).Tag.Get("json"), ",")
			names = append(names, name)
		}
	}
	return names
}

// isMark reports whether a field says whose file it is in.
func isMark(field string, value json.RawMessage) bool {
	switch field {
	case "format":
		var format string
		return json.Unmarshal(value, &format) == nil && slices.Contains([]string{"headroom-report", "headroom-diff", "headroom-history", "headroom-ratings"}, format)
	case "runs":
		var runs []struct {
			Tool struct{ Driver struct{ Name string } }
		}
		return json.Unmarshal(value, &runs) == nil && len(runs) > 0 && runs[0].Tool.Driver.Name == driverName
	}
	return false
}
