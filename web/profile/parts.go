package profile

import (
	"fmt"
	"strings"

	"slotcast/web/problem"
)

// Parts are the records as they are put in one after the other: all but the results with the
// first of these, then further ones. A file may have more results than one change has time
// for.
func (r Records) Parts() []Records {
	first := r
	first.Results = r.Results[:min(len(r.Results), ResultsAtOnce)]
	parts := []Records{first}
	for n := ResultsAtOnce; n < len(r.Results); n += ResultsAtOnce {
		parts = append(parts, Records{Results: r.Results[n:min(len(r.Results), n+ResultsAtOnce)]})
	}
	return parts
}

// PutParts puts in the parts, each whole or not at all. Where one of them fails after the
// first it is a [*PartlyError].
func PutParts(parts []Records, put func(Records) error) error {
	done := 0
	for n, part := range parts {
		if err := put(part); err != nil {
			if n > 0 {
				err = &PartlyError{done, err}
			}
			return err
		}
		done += len(part.Results)
	}
	return nil
}

// PartlyError says that of a file's results only the first are counted. To read it in again
// adds the others: none counts twice.
type PartlyError struct {
	Results int
	Err     error
}

func (e *PartlyError) Error() string {
	return fmt.Sprintf("after the first %d results: %v", e.Results, e.Err)
}

func (e *PartlyError) Unwrap() error { return e.Err }

// Problem says the same to whoever sent the file.
func (e *PartlyError) Problem() *problem.Problem {
	why := problem.Of(e.Err)
	if why == nil {
		return nil
	}
	told := *why
	told.Detail = fmt.Sprintf("the file is in the profile but for its results after the first %d: %s; import it again for the rest, no result counts twice",
		e.Results, strings.TrimPrefix(why.Detail, "nothing was changed: "))
	return &told
}
