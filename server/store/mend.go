package store

import (
	"context"
	"errors"
	"time"

	"slotcast/web/profile"
)

// lookEvery is how often the file is looked at where nobody writes. What was answered as
// written since the log was last copied to the main file is lost with the log if the
// program ends before.
const lookEvery = 250 * time.Millisecond

// everybody is the gate's whole width: who passes with it is alone.
const everybody = 1 << 30

// watch looks at the file until the store is closed.
func (s *Store) watch() {
	defer close(s.watched)
	again := time.NewTicker(lookEvery)
	defer again.Stop()
	for {
		select {
		case <-s.closing:
			return
		case <-again.C:
		}
		ctx, cancel := context.WithTimeout(context.Background(), s.limit)
		_ = s.notice(ctx) // who asks the store is told
		cancel()
	}
}

// notice looks at the file, mends what can be mended, and remembers what it saw for
// those who read.
func (s *Store) notice(ctx context.Context) error {
	if err := s.gate.Acquire(ctx, 1); err != nil {
		return err
	}
	f := s.file
	err := s.look(f)
	s.gate.Release(1)
	if errors.Is(err, errLogLost) {
		err = s.mend(f)
	}
	return err
}

// look looks at the file and remembers what it saw. PostgreSQL has none.
func (s *Store) look(f *file) error {
	if f == nil {
		return nil
	}
	err := f.look()
	if told := (*profile.UnavailableError)(nil); err == nil || errors.As(err, &told) {
		s.ill.Store(told)
	}
	return err
}

// mend brings all that was written into the main file after the log was lost, and has
// the store go on with a new log. Nobody else uses the store meanwhile.
func (s *Store) mend(f *file) error {
	// Whoever began it may go away.
	ctx, cancel := context.WithTimeout(context.Background(), s.limit)
	defer cancel()
	if err := s.gate.Acquire(ctx, everybody); err != nil {
		return &profile.UnavailableError{Reason: logLost, Err: err}
	}
	defer s.gate.Release(everybody)
	if s.file != f {
		return nil // somebody else has
	}
	if err := s.look(f); !errors.Is(err, errLogLost) {
		return err
	}
	if !f.closed {
		if err := f.keep(ctx); err != nil {
			return s.illOf(err)
		}
		f.closed = true
		closed := errors.Join(s.closePools(), f.close())
		s.log.Load().Warn("the database’s write-ahead log was removed or replaced while the program ran; a new one is made", "saved", f.kept, "error", closed)
	}
	if err := s.openPools(ctx, f.path, f.main); err != nil {
		return s.illOf(err)
	}
	s.ill.Store(nil)
	return nil
}

const logLost = "the database’s write-ahead log was removed or replaced, and a new one could not be made yet"

// illOf remembers that the log could not be mended, for those who read.
func (s *Store) illOf(err error) error {
	told := (*profile.UnavailableError)(nil)
	if !errors.As(err, &told) {
		told = &profile.UnavailableError{Reason: logLost, Err: err}
	}
	s.ill.Store(told)
	return told
}
