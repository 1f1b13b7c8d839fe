package store

import (
	"context"
	"crypto/rand"
	"database/sql"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"time"

	"slotcast/web/profile"
)

func hexOf(hash profile.KeyHash) string { return hex.EncodeToString(hash[:]) }

// found turns the driver's word for nothing there into the pages'.
func found(err error) error {
	if errors.Is(err, sql.ErrNoRows) {
		return profile.ErrNotFound
	}
	return err
}

// changed is [profile.ErrNotFound] where a statement changed no row.
func changed(result sql.Result, err error) error {
	if err != nil {
		return err
	}
	switch n, err := result.RowsAffected(); {
	case err != nil:
		return err
	case n == 0:
		return profile.ErrNotFound
	}
	return nil
}

// lock keeps other changes of the profile waiting until the transaction ends;
// all of them begin with it, so that none waits for one that waits for it.
func lock(ctx context.Context, tx *sql.Tx, id profile.ID) error {
	return changed(tx.ExecContext(ctx, "UPDATE profiles SET revision = revision + 1 WHERE id = $1", id))
}

// NewProfile makes an empty profile that the key opens.
func (s *Store) NewProfile(ctx context.Context, key profile.KeyHash) error {
	var random [8]byte
	if _, err := rand.Read(random[:]); err != nil {
		return err
	}
	id := profile.ID(binary.BigEndian.Uint64(random[:]) >> 1)
	return s.writing(ctx, func(ctx context.Context, tx *sql.Tx) error {
		if _, err := tx.ExecContext(ctx, "INSERT INTO profiles (id, revision) VALUES ($1, 0)", id); err != nil {
			return err
		}
		return insertKey(ctx, tx, id, key)
	})
}

// Profile is the profile that the key opens.
func (s *Store) Profile(ctx context.Context, key profile.KeyHash) (p profile.Profile, err error) {
	var used int64
	err = s.asked(ctx, false, func(ctx context.Context) error {
		return found(s.byKey.QueryRowContext(ctx, hexOf(key)).Scan(&p.ID, &p.Revision, &used))
	})
	if err != nil {
		return p, err
	}
	s.used(ctx, key, used)
	return p, nil
}

// DeleteProfile deletes the profile with all that is in it and leads to it.
func (s *Store) DeleteProfile(ctx context.Context, id profile.ID) error {
	return s.writing(ctx, func(ctx context.Context, tx *sql.Tx) error {
		if err := lock(ctx, tx, id); err != nil {
			return err
		}
		_, err := tx.ExecContext(ctx, "DELETE FROM profiles WHERE id = $1", id)
		return err
	})
}

// NewDeviceLink makes a link that gives another key to the profile, once. Those of
// the profile that have expired are cleared away; others' are not, as who deletes
// theirs at the same moment would wait for this, and this for them.
func (s *Store) NewDeviceLink(ctx context.Context, id profile.ID, token profile.KeyHash, expires time.Time) error {
	return s.writing(ctx, func(ctx context.Context, tx *sql.Tx) error {
		if err := lock(ctx, tx, id); err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, "DELETE FROM device_links WHERE profile = $1 AND expires <= $2", id, time.Now().Unix()); err != nil {
			return err
		}
		if err := roomFor(ctx, tx, id, "SELECT COUNT(*) FROM device_links WHERE profile = $1", "device links that can still be used", profile.MaxDeviceLinks); err != nil {
			return err
		}
		_, err := tx.ExecContext(ctx, "INSERT INTO device_links (token_hash, profile, expires) VALUES ($1, $2, $3)", hexOf(token), id, expires.Unix())
		return err
	})
}

// UseDeviceLink uses the link up, and makes the key open its profile too.
func (s *Store) UseDeviceLink(ctx context.Context, token, key profile.KeyHash) error {
	return s.writing(ctx, func(ctx context.Context, tx *sql.Tx) error {
		var id profile.ID
		if err := tx.QueryRowContext(ctx, "SELECT profile FROM device_links WHERE token_hash = $1", hexOf(token)).Scan(&id); err != nil {
			return found(err)
		}
		if err := lock(ctx, tx, id); err != nil {
			return err
		}
		if err := changed(tx.ExecContext(ctx, "DELETE FROM device_links WHERE token_hash = $1 AND expires > $2", hexOf(token), time.Now().Unix())); err != nil {
			return err
		}
		if err := roomFor(ctx, tx, id, "SELECT COUNT(*) FROM keys WHERE profile = $1", "keys", profile.MaxKeys); err != nil {
			return err
		}
		return insertKey(ctx, tx, id, key)
	})
}

// NewShare lets whoever has the share's id see how the profile ranks.
func (s *Store) NewShare(ctx context.Context, id profile.ID, share profile.ShareID) error {
	return s.writing(ctx, func(ctx context.Context, tx *sql.Tx) error {
		if err := lock(ctx, tx, id); err != nil {
			return err
		}
		if err := roomFor(ctx, tx, id, "SELECT COUNT(*) FROM shares WHERE profile = $1", "shares", profile.MaxShares); err != nil {
			return err
		}
		_, err := tx.ExecContext(ctx, "INSERT INTO shares (id, profile) VALUES ($1, $2)", share, id)
		return err
	})
}

// Shares are the profile's, in order of their ids.
func (s *Store) Shares(ctx context.Context, id profile.ID) (shares []profile.ShareID, err error) {
	err = s.reading(ctx, func(ctx context.Context, tx *sql.Tx) error {
		if _, err := profileWith(ctx, tx, id); err != nil {
			return err
		}
		shares, err = rows(ctx, tx, id, "SELECT id FROM shares WHERE profile = $1 ORDER BY id", func(scan scanner) (share profile.ShareID, err error) {
			return share, scan(&share)
		})
		return err
	})
	return shares, err
}

// Shared is the profile that has the share.
func (s *Store) Shared(ctx context.Context, share profile.ShareID) (p profile.Profile, err error) {
	err = s.asked(ctx, false, func(ctx context.Context) error {
		return found(s.read.QueryRowContext(ctx, "SELECT p.id, p.revision FROM shares JOIN profiles p ON p.id = shares.profile WHERE shares.id = $1", share).Scan(&p.ID, &p.Revision))
	})
	return p, err
}

// RevokeShare takes the share back.
func (s *Store) RevokeShare(ctx context.Context, id profile.ID, share profile.ShareID) error {
	return s.writing(ctx, func(ctx context.Context, tx *sql.Tx) error {
		if err := lock(ctx, tx, id); err != nil {
			return err
		}
		return changed(tx.ExecContext(ctx, "DELETE FROM shares WHERE id = $1 AND profile = $2", share, id))
	})
}
