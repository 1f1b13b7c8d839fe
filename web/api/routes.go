package api

import (
	"net/http"
	"net/url"

	"slotcast/forecast/routes"
	"slotcast/forecast/technique"
	"slotcast/web/problem"
	"slotcast/web/query"
)

// The routes of two open slots as JSON.
type (
	routesAnswer struct {
		Case string   `json:"case"`
		Hold string   `json:"hold"`
		Open []string `json:"open"`
		// All is how many routes there are, of which those answered are the first.
		All int `json:"all"`
		// Alike is how many cases look the same, by what is seen.
		Alike  int           `json:"alike"`
		Routes []routeAnswer `json:"routes"`
	}
	routeAnswer struct {
		Fills string     `json:"fills"`
		First stepAnswer `json:"first"`
		// Case and Last are there where all is seen.
		Case string        `json:"case,omitempty"`
		Slot string        `json:"slot"`
		Last *optionAnswer `json:"last,omitempty"`
		// Near says that the total is so close to the first route's that the estimates do not
		// tell the two apart.
		Near    bool         `json:"near"`
		Seconds routeSeconds `json:"seconds"`
	}
	stepAnswer struct {
		Turns      string                `json:"turns"`
		Count      int                   `json:"count"`
		Known      bool                  `json:"known"`
		Techniques []technique.Technique `json:"techniques"`
	}
	routeSeconds struct {
		First secondsNumber `json:"first"`
		Last  secondsNumber `json:"last"`
		Total secondsNumber `json:"total"`
	}
)

// Routes answers GET /api/v1/routes.
func (s *Server) Routes(w http.ResponseWriter, r *http.Request) error {
	values, err := url.ParseQuery(r.URL.RawQuery)
	if err != nil {
		return problem.NotEncoded()
	}
	q, err := query.ReadRoutes(values)
	if err != nil {
		return err
	}
	forecaster, own, err := s.sessions.ForecasterFor(r, values)
	if err != nil {
		return err
	}
	w.Header().Set("Cache-Control", "no-cache")
	if own {
		w.Header().Set("Cache-Control", "private, no-cache")
	}
	list, all := s.sessions.Routes(forecaster).Routes(q.Asked(q.Limit))
	a := routesAnswer{Case: q.Case.Code(), Hold: q.Hold.Turns().String(), All: all, Alike: q.Seen.Unseen(), Routes: make([]routeAnswer, len(list))}
	for _, slot := range q.Case.Open.Slots() {
		a.Open = append(a.Open, slot.String())
	}
	for i := range list {
		route := &list[i]
		a.Routes[i] = routeAnswer{
			Fills: route.Fills.String(),
			First: stepAnswer{Turns: route.Step.Turns.String(), Count: route.Step.Count, Known: route.Step.Known, Techniques: route.Techniques(q.Case)},
			Slot:  route.Case.Slot.String(),
			Near:  route.Near(&list[0]),
			Seconds: routeSeconds{
				First: secondsNumber(route.Step.Takes()), Last: secondsNumber(route.Total - route.Step.Takes()), Total: secondsNumber(route.Total),
			},
		}
		if q.Seen == routes.SeenAll {
			last := answerOption(route.Last, own)
			a.Routes[i].Case, a.Routes[i].Last = route.Case.Code(), &last
		}
	}
	problem.WriteJSON(w, http.StatusOK, a)
	return nil
}
