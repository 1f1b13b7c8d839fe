// Package words says things in English: numbers and times, cases, places and
// patterns. It is the one place for a text that several pages say; what one page
// says alone stays with that page. It imports nothing of web.
package words
