// Package static is the files that pages are made of, embedded, under names that
// change with what is in them, and the palette. Script and style are made from
// ../script and ../style by go generate. It imports problem alone.
package static
