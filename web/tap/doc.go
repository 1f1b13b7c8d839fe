// Package tap is the state of the figure that a case is tapped in on: what is set,
// how an address carries it, and what each tool makes of it. How it is drawn is the
// page's. It imports words and problem.
package tap
