// Package profile is what a person's profile has: the records, their limits and
// checks, the preferences, the export, and the interface to whatever stores them.
// The same checks hold for pages, for the interface and for an imported file. It
// imports words and problem.
package profile
