-- A device sends later what was changed without a network. What another device
-- changed meanwhile is not to be overwritten, and what is sent twice, as the
-- answer got lost, is to be done once.

-- +goose Up
-- The last change of each record, of those removed too. Records that were last
-- changed before this table was there have none.
CREATE TABLE changes (
    profile  BIGINT NOT NULL REFERENCES profiles (id) ON DELETE CASCADE,
    record   TEXT   NOT NULL, -- its kind and its key
    revision BIGINT NOT NULL, -- the profile's after the change
    device   TEXT   NOT NULL, -- that made it, '' for one that does not tell
    PRIMARY KEY (profile, record)
);

CREATE TABLE sent_changes (
    profile BIGINT NOT NULL REFERENCES profiles (id) ON DELETE CASCADE,
    id      TEXT   NOT NULL, -- that the device gave it
    made    BIGINT NOT NULL,
    PRIMARY KEY (profile, id)
);
CREATE INDEX sent_changes_made ON sent_changes (made);
