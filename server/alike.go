package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"regexp"
	"strings"
	"sync"
	"syscall"
	"time"
)

const (
	// alikeFor is how long lines are counted that are like one which was written.
	alikeFor = time.Minute
	// alikeKinds is how many kinds of lines are told apart at once; whatever is of
	// another kind is written.
	alikeKinds = 1000
)

// alike is a handler that writes the first of lines that are alike, counts those that
// follow within a minute, and then writes how many there were: an outage fills no disk.
// Alike are lines of the same level and message, and of the same route, status and kind
// of error where they have such. Below [slog.LevelInfo] every line is written, for who
// asked for every line.
type alike struct {
	next slog.Handler
	// with is what the logger adds to each line.
	with string
	*counts
}

// counts are those of all loggers that were made of one.
type counts struct {
	mu      sync.Mutex
	of      map[string]*counting
	flushed bool
}

// counting counts lines like the first.
type counting struct {
	next  slog.Handler
	first slog.Record
	more  int
	end   *time.Timer
}

func newAlike(next slog.Handler) *alike {
	return &alike{next: next, counts: &counts{of: map[string]*counting{}}}
}

// Enabled is called by package slog.
func (a *alike) Enabled(ctx context.Context, level slog.Level) bool {
	return a.next.Enabled(ctx, level)
}

// WithAttrs is called by package slog.
func (a *alike) WithAttrs(attrs []slog.Attr) slog.Handler {
	return &alike{a.next.WithAttrs(attrs), a.with + fmt.Sprint(attrs), a.counts}
}

// WithGroup is called by package slog.
func (a *alike) WithGroup(name string) slog.Handler {
	return &alike{a.next.WithGroup(name), a.with + name + ".", a.counts}
}

// Handle is called by package slog.
func (a *alike) Handle(ctx context.Context, r slog.Record) error {
	if r.Level >= slog.LevelInfo && a.counted(a.with+kindOf(r), a.next, r) {
		return nil
	}
	return a.next.Handle(ctx, r)
}

// counted says that a line like it was written lately, so that it was only counted.
func (c *counts) counted(kind string, next slog.Handler, r slog.Record) bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	if same := c.of[kind]; same != nil {
		same.more++
		return true
	}
	if len(c.of) < alikeKinds && !c.flushed {
		first := &counting{next: next, first: r.Clone()}
		first.end = time.AfterFunc(alikeFor, func() { c.tell(kind, first) })
		c.of[kind] = first
	}
	return false
}

// tell writes how many lines were counted, and counts them no longer.
func (c *counts) tell(kind string, counted *counting) {
	c.mu.Lock()
	if c.of[kind] != counted { // told already
		c.mu.Unlock()
		return
	}
	delete(c.of, kind)
	c.mu.Unlock()
	counted.end.Stop()
	if counted.more == 0 {
		return
	}
	now := time.Now()
	r := counted.first.Clone()
	lasted := now.Sub(r.Time).Round(time.Second)
	r.Time = now
	r.AddAttrs(slog.Int("more_alike", counted.more), slog.Duration("within", lasted))
	// As with any other line, nobody could be told of a log that cannot be written.
	_ = counted.next.Handle(context.Background(), r)
}

// flush writes what was counted so far; from then on every line is written.
func (c *counts) flush() {
	c.mu.Lock()
	c.flushed = true
	left := make(map[string]*counting, len(c.of))
	for kind, counted := range c.of {
		left[kind] = counted
	}
	c.mu.Unlock()
	for kind, counted := range left {
		c.tell(kind, counted)
	}
}

var digits = regexp.MustCompile(`\d+`)

// kindOf is what is the same of lines that are alike. Numbers are not: ports and the
// like stand in messages of package net.
func kindOf(r slog.Record) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%d %s", r.Level, digits.ReplaceAllString(r.Message, "#"))
	r.Attrs(func(a slog.Attr) bool {
		switch a.Key {
		case "route", "status":
			fmt.Fprintf(&b, " %s=%s", a.Key, a.Value)
		case "error":
			if err, ok := a.Value.Any().(error); ok {
				fmt.Fprintf(&b, " error=%s", errorKind(err))
			}
		case "trouble":
			fmt.Fprintf(&b, " trouble=%s", digits.ReplaceAllString(a.Value.String(), "#"))
		}
		return true
	})
	return b.String()
}

// errorKind is the type of the error at the root, with the number that its system or
// database gives it: its words may have what somebody sent.
func errorKind(err error) string {
	for {
		if several, ok := err.(interface{ Unwrap() []error }); ok && len(several.Unwrap()) > 0 {
			err = several.Unwrap()[0]
			continue
		}
		inner := errors.Unwrap(err)
		if inner == nil {
			break
		}
		err = inner
	}
	switch known := err.(type) {
	case syscall.Errno:
		return known.Error()
	case interface{ SQLState() string }:
		return "SQL " + known.SQLState()
	case interface{ Code() int }:
		return fmt.Sprintf("%T %d", err, known.Code())
	}
	// One without a type of its own has words that are always the same.
	if kind := fmt.Sprintf("%T", err); kind != "*errors.errorString" {
		return kind
	}
	return digits.ReplaceAllString(err.Error(), "#")
}
