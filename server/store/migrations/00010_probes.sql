-- What the program writes to see whether it can.

-- +goose Up
CREATE TABLE probes (
    id INTEGER PRIMARY KEY,
    at BIGINT NOT NULL
);
