-- What is said of an insertion: 1 yes, -1 no, 0 nothing. So far it could be known; that
-- it was not marked said nothing.

-- +goose Up
ALTER TABLE insertions ADD COLUMN said_known SMALLINT NOT NULL DEFAULT 0 CHECK (said_known BETWEEN -1 AND 1);
ALTER TABLE insertions ADD COLUMN predicted SMALLINT NOT NULL DEFAULT 0 CHECK (predicted BETWEEN -1 AND 1);
UPDATE insertions SET said_known = 1 WHERE known;
ALTER TABLE insertions DROP COLUMN known;
ALTER TABLE insertions RENAME COLUMN said_known TO known;
