// Package learn makes learning lists: what a person can learn for a place of the
// pair, in the order in which it is worth most. The rule by which an insertion is
// worth more than another belongs here; what it takes a person is the forecast's to
// say. It imports packages forecast, lastslot and cube.
package learn
