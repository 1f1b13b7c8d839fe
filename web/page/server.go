// Package page is what people see: a file for each route's noun, with its template
// beside it.
//
// A page is three small acts: read the request, build a value that has all its
// words ready, render it with the template of the same name. What else a page may
// use is in the rooms beside this one: it imports all of web but the interface in
// api. A text that several pages say belongs to words, and what is read or kept of a
// person to profile or session.
package page

import (
	"log/slog"

	"slotcast/forecast"
	"slotcast/forecast/atlas"
	"slotcast/web/profile"
	"slotcast/web/session"
	"slotcast/web/static"
)

// Server answers with pages.
type Server struct {
	book     *forecast.Book
	atlas    *atlas.Atlas
	store    profile.Store
	log      *slog.Logger
	static   *static.Files
	sessions *session.Sessions
	manual   Manual
}

// New makes the pages' server.
func New(book *forecast.Book, shortest *atlas.Atlas, store profile.Store, log *slog.Logger, files *static.Files, sessions *session.Sessions, manual Manual) *Server {
	return &Server{book, shortest, store, log, files, sessions, manual}
}
