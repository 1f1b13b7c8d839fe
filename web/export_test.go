package web

// ContentPolicy is what the tests of whole answers compare with.
const ContentPolicy = contentPolicy
