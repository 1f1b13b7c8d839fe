// Package api is the JSON interface and its description: a file for each route's
// noun. The shapes of what a profile keeps are in profile, as the export has them
// too. It imports all of web but pages, their pictures and their figure.
package api

import (
	"context"
	"log/slog"
	"net/http"

	"slotcast/forecast"
	"slotcast/forecast/atlas"
	"slotcast/web/problem"
	"slotcast/web/profile"
	"slotcast/web/session"
)

// Server answers the interface.
type Server struct {
	book     *forecast.Book
	atlas    *atlas.Atlas
	store    profile.Store
	log      *slog.Logger
	sessions *session.Sessions
	// healthy says whether the program can answer.
	healthy func(context.Context) error
	// description is the interface as OpenAPI.
	description []byte
}

// New makes the interface's server.
func New(book *forecast.Book, shortest *atlas.Atlas, store profile.Store, log *slog.Logger, sessions *session.Sessions, healthy func(context.Context) error) *Server {
	return &Server{book, shortest, store, log, sessions, healthy, newDescription()}
}

// JSON makes a handler of the interface one of net/http's: an error, such as a
// parameter that the route does not have, becomes a status, a line in the log and
// problem+json.
func (s *Server) JSON(h problem.Handler) http.HandlerFunc {
	return problem.JSON(s.log, func(w http.ResponseWriter, r *http.Request) error {
		if err := checkParameters(r); err != nil {
			return err
		}
		return h(w, r)
	})
}
