package store

import (
	"context"
	"database/sql"
	"time"

	"slotcast/web/profile"
)

// NewDrill keeps the drill. Of a profile's only so many are kept: the oldest go.
func (s *Store) NewDrill(ctx context.Context, id profile.ID, d profile.Drill) error {
	return s.writing(ctx, func(ctx context.Context, tx *sql.Tx) error {
		if err := lock(ctx, tx, id); err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, "INSERT INTO drills (id, owner, exercise, items, seed, made) VALUES ($1, $2, $3, $4, $5, $6)",
			d.ID, id, d.Exercise.String(), d.Items, int64(d.Seed), d.Made.UnixMilli()); err != nil { // #nosec G115 -- seeds have 53 bits
			return err
		}
		_, err := tx.ExecContext(ctx, `DELETE FROM drills WHERE owner = $1 AND id NOT IN (
			SELECT id FROM drills WHERE owner = $1 ORDER BY made DESC, id LIMIT $2)`, id, profile.MaxDrills)
		return err
	})
}

// Drill is the drill as the profile sees it; 0 is for who has none.
func (s *Store) Drill(ctx context.Context, drill profile.DrillID, id profile.ID) (d profile.DrillSeen, err error) {
	err = s.reading(ctx, func(ctx context.Context, tx *sql.Tx) error {
		var owner profile.ID
		var partner sql.Null[profile.ID]
		var made, seed int64
		err := tx.QueryRowContext(ctx, "SELECT id, owner, partner, exercise, items, seed, made FROM drills WHERE id = $1", drill).
			Scan(&d.ID, &owner, &partner, (*exerciseName)(&d.Exercise), &d.Items, &seed, &made)
		if err != nil {
			return found(err)
		}
		d.Seed, d.Made = uint64(seed), time.UnixMilli(made).UTC() // #nosec G115 -- seeds have 53 bits
		d.Taken = partner.Valid
		if d.Mine = id != 0 && (id == owner || partner.Valid && id == partner.V); !d.Mine {
			return nil
		}
		found, err := tx.QueryContext(ctx, "SELECT profile, "+resultColumns+` FROM results
			WHERE NOT withdrawn AND (profile, id) IN (SELECT profile, result FROM drill_results WHERE drill = $1) ORDER BY done, id`, drill)
		if err != nil {
			return err
		}
		for found.Next() {
			var of profile.ID
			r, err := readResult(func(into ...any) error { return found.Scan(append([]any{&of}, into...)...) })
			if err != nil {
				return closed(found, err)
			}
			if of == id {
				d.Own = append(d.Own, r)
			} else {
				d.Theirs = append(d.Theirs, r)
			}
		}
		return closed(found, found.Err())
	})
	return d, err
}

// drilled notes results that belong to a drill. The first who takes part beside the one who
// made it is the partner; of anybody else nothing is noted.
func drilled(ctx context.Context, tx *sql.Tx, id profile.ID, results []profile.Result) error {
	for _, r := range results {
		if r.Drill == "" {
			continue
		}
		if _, err := tx.ExecContext(ctx, "UPDATE drills SET partner = $2 WHERE id = $1 AND owner <> $2 AND partner IS NULL", r.Drill, id); err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, `INSERT INTO drill_results (drill, profile, result)
			SELECT id, $2, $3 FROM drills WHERE id = $1 AND (owner = $2 OR partner = $2)`, r.Drill, id, r.ID); err != nil {
			return err
		}
	}
	return nil
}
