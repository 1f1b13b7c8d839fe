// Package forecasttest has the book for tests. It imports only forecast; only tests
// import it.
package forecasttest

import (
	"sync"

	"slotcast/forecast"
)

// Book is the book that all tests share, loaded once: it does not change.
var Book = sync.OnceValue(func() *forecast.Book {
	book, err := forecast.Load()
	if err != nil {
		panic(err) // a file of the book is wrong, and says where
	}
	return book
})
