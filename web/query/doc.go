// Package query reads what a request asks of the forecast into values, once, and
// writes addresses that ask the same. A new parameter of a forecast belongs here. It
// imports problem alone.
package query
