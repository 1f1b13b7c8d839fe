// Package session is who asks: the key in a request, the visitor and what the
// profile says, the forecasters and learning lists that are kept in memory, and how
// a change is saved. What a page shows of it is the page's. It imports profile and
// problem.
package session

import (
	"log/slog"
	"sync"

	"slotcast/forecast"
	"slotcast/web/profile"
)

// Sessions knows who asks.
type Sessions struct {
	book  *forecast.Book
	store profile.Store
	log   *slog.Logger
	// publicURL is the address that links carry; "" takes that of each request.
	publicURL string

	people   people
	learning learningLists
	values   valuesKept
	// anyone makes the forecasts for those of whom nothing is known.
	anyone func() *forecast.Forecaster
}

// New makes the sessions of one program.
func New(book *forecast.Book, store profile.Store, log *slog.Logger, publicURL string) *Sessions {
	return &Sessions{book: book, store: store, log: log, publicURL: publicURL, anyone: sync.OnceValue(func() *forecast.Forecaster { return book.For(forecast.Anyone()) })}
}
