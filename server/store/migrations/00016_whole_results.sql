-- What a whole solve came to, and how long its parts took where they were tapped.

-- +goose Up
ALTER TABLE results ADD COLUMN pattern SMALLINT; -- null where it is not said
ALTER TABLE results ADD COLUMN insert_milliseconds INTEGER NOT NULL DEFAULT 0;
ALTER TABLE results ADD COLUMN recognise_milliseconds INTEGER NOT NULL DEFAULT 0;
