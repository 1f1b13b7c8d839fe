// Package problem is the answer that says what is wrong with a request (RFC 9457):
// its type, a constructor for each kind of mistake, and the writer that logs it. An
// error of another package describes its own problem by a method Problem, so that
// nothing here knows it. It imports nothing of web.
package problem
