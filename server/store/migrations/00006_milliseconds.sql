-- Durations are milliseconds, and their columns are named so.

-- +goose Up
ALTER TABLE scale RENAME COLUMN seconds TO milliseconds;
ALTER TABLE ratings RENAME COLUMN seconds TO milliseconds;
ALTER TABLE insertions RENAME COLUMN seconds TO milliseconds;
