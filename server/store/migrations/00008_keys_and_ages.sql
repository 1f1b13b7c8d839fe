-- A profile's keys can be told apart, named and revoked; what is kept of old changes
-- goes in time.

-- +goose Up
ALTER TABLE keys ADD COLUMN made BIGINT NOT NULL DEFAULT 0; -- 0: before this column was there
ALTER TABLE keys ADD COLUMN used BIGINT NOT NULL DEFAULT 0; -- last, to the day; 0: not known
ALTER TABLE keys ADD COLUMN name TEXT NOT NULL DEFAULT '';  -- that the person gave it

-- Changes of before this column count as made on the day that it came.
ALTER TABLE changes ADD COLUMN made BIGINT NOT NULL DEFAULT 1795737600;

CREATE INDEX profiles_empty ON profiles (id) WHERE revision = 0;
