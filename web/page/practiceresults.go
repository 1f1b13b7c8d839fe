package page

import (
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"time"

	"slotcast/web/problem"
	"slotcast/web/profile"
)

// SaveResult answers POST /practice/results: one result is counted.
func (s *Server) SaveResult(w http.ResponseWriter, r *http.Request) error {
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	result, err := readResult(values)
	if err != nil {
		return err
	}
	if result.Drill, err = readDrill(values); err != nil {
		return err
	}
	put := profile.Records{Results: []profile.Result{result}}
	if put.Expected, err = s.expectedToday(r); err != nil {
		return err
	}
	if err := s.sessions.Save(w, r, put, profile.Records{}); err != nil {
		return err
	}
	return saved(w, r, "/practice")
}

func notSeconds(text string) string {
	return fmt.Sprintf("“%s” is not a number of seconds", problem.Shortened(text))
}

func readResult(values url.Values) (profile.Result, error) {
	given := profile.ResultGiven{ID: values.Get("id"), Exercise: values.Get("exercise"), Item: values.Get("item")}
	at, err := time.Parse(time.RFC3339, values.Get("at"))
	if err != nil {
		return profile.Result{}, problem.BadRequest("at", fmt.Sprintf("“%s” is not a time", problem.Shortened(values.Get("at"))))
	}
	seconds, err := strconv.ParseFloat(values.Get("seconds"), 64)
	if err != nil {
		return profile.Result{}, problem.BadRequest("seconds", notSeconds(values.Get("seconds")))
	}
	right, err := strconv.ParseBool(values.Get("right"))
	if err != nil {
		return profile.Result{}, problem.BadRequest("right", "use true or false")
	}
	given.At, given.Seconds, given.Right = at, &seconds, &right
	if values.Has("left") {
		left, err := strconv.Atoi(values.Get("left"))
		if err != nil {
			return profile.Result{}, problem.BadRequest("left", fmt.Sprintf("“%s” is not the number of a pattern", problem.Shortened(values.Get("left"))))
		}
		given.Left = &left
	}
	for _, part := range []struct {
		name string
		into **float64
	}{{"insert", &given.Insert}, {"recognise", &given.Recognise}} {
		if values.Has(part.name) {
			took, err := strconv.ParseFloat(values.Get(part.name), 64)
			if err != nil {
				return profile.Result{}, problem.BadRequest(part.name, notSeconds(values.Get(part.name)))
			}
			*part.into = &took
		}
	}
	return given.Record()
}

// WithdrawResult answers POST /practice/results/withdraw: the result counts no more.
func (s *Server) WithdrawResult(w http.ResponseWriter, r *http.Request) error {
	return s.changeResult(w, r, func(id string) error {
		return s.sessions.Save(w, r, profile.Records{}, profile.Records{Results: []profile.Result{{ID: id}}})
	})
}

// RestoreResult answers POST /practice/results/restore: the result counts again.
func (s *Server) RestoreResult(w http.ResponseWriter, r *http.Request) error {
	return s.changeResult(w, r, func(id string) error { return s.sessions.Restore(w, r, id) })
}

// changeResult does what a form wants with the result that it names.
func (s *Server) changeResult(w http.ResponseWriter, r *http.Request, change func(id string) error) error {
	values, err := readForm(w, r)
	if err != nil {
		return err
	}
	id := values.Get("result")
	if !profile.IsSecret(id) {
		return problem.BadRequest("result", profile.NotSecret)
	}
	if err := change(id); err != nil {
		return err
	}
	return saved(w, r, localPath(values.Get("back"), "/practice"))
}
