package store

import (
	"cmp"
	"context"
	"database/sql"
	"slices"
	"time"

	"slotcast/web/profile"
)

// Visit puts a case first among those looked up lately.
func (s *Store) Visit(ctx context.Context, id profile.ID, code string, at time.Time) error {
	return s.writing(ctx, func(ctx context.Context, tx *sql.Tx) error {
		// It waits its turn as every change does, but counts as none.
		if err := wait(ctx, tx, id); err != nil {
			return err
		}
		known, err := recent(ctx, tx, id)
		if err != nil {
			return err
		}
		visit := profile.RecentCase{Code: code, Looked: at}
		if len(known) > 0 && !known[0].Looked.Before(at) {
			// Whatever the clock says, this one is the last.
			visit.Looked = known[0].Looked.Add(time.Millisecond)
		}
		return look(ctx, tx, id, known, visit)
	})
}

// Recent are the cases that the profile looked up lately, the last first.
func (s *Store) Recent(ctx context.Context, id profile.ID) (cases []profile.RecentCase, err error) {
	err = s.asked(ctx, false, func(ctx context.Context) error {
		cases, err = recent(ctx, s.read, id)
		return err
	})
	return cases, err
}

// recentKind is the table of the cases looked up.
var recentKind = kind{table: "recent_cases", keys: []string{"code"}, rest: []string{"looked"}}

// look keeps when cases were looked up, the newest of them first, and forgets the
// oldest beyond those that are known, which are the profile's. A time that another
// case has becomes the next free one.
func look(ctx context.Context, tx *sql.Tx, id profile.ID, known []profile.RecentCase, cases ...profile.RecentCase) error {
	before := slices.Clone(known)
	for _, c := range slices.Backward(cases) {
		known = looked(known, c)
	}
	var changed []row
	for _, c := range known {
		if !slices.Contains(before, c) {
			changed = append(changed, row{[]any{c.Code}, []any{c.Looked.UnixMilli()}})
		}
	}
	if err := recentKind.put(ctx, tx, id, changed); err != nil {
		return err
	}
	if len(before)+len(cases) <= profile.MaxRecent {
		return nil
	}
	_, err := tx.ExecContext(ctx, "DELETE FROM recent_cases WHERE profile = $1 AND looked < $2", id, known[len(known)-1].Looked.UnixMilli())
	return err
}

// recent are the cases that the profile looked up, the last first.
func recent(ctx context.Context, tx querier, id profile.ID) ([]profile.RecentCase, error) {
	return rows(ctx, tx, id, "SELECT code, looked FROM recent_cases WHERE profile = $1 ORDER BY looked DESC", func(scan scanner) (c profile.RecentCase, err error) {
		var looked int64
		err = scan(&c.Code, &looked)
		c.Looked = time.UnixMilli(looked).UTC()
		return c, err
	})
}

// looked is what is known once a case was looked up too, the last first.
func looked(known []profile.RecentCase, c profile.RecentCase) []profile.RecentCase {
	at := c.Looked.UnixMilli()
	for slices.ContainsFunc(known, func(k profile.RecentCase) bool { return k.Code != c.Code && k.Looked.UnixMilli() == at }) {
		at++
	}
	if n := slices.IndexFunc(known, func(k profile.RecentCase) bool { return k.Code == c.Code }); n >= 0 {
		at = max(at, known[n].Looked.UnixMilli())
		known = slices.Delete(known, n, n+1)
	}
	known = append(known, profile.RecentCase{Code: c.Code, Looked: time.UnixMilli(at).UTC()})
	slices.SortFunc(known, func(a, b profile.RecentCase) int { return cmp.Compare(b.Looked.UnixMilli(), a.Looked.UnixMilli()) })
	return known[:min(len(known), profile.MaxRecent)]
}
