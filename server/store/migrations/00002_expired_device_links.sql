-- Each new device link removes those that have expired; with many profiles that
-- must not read them all.

-- +goose Up
CREATE INDEX device_links_expires ON device_links (expires);
