-- What has expired is cleared away by each profile for itself.

-- +goose Up
DROP INDEX device_links_expires;
DROP INDEX sent_changes_made;
