-- Which patterns the person has learnt a sequence for, where they say so one by one.

-- +goose Up
CREATE TABLE learnt (
    profile BIGINT   NOT NULL REFERENCES profiles (id) ON DELETE CASCADE,
    pattern SMALLINT NOT NULL CHECK (pattern BETWEEN 1 AND 57),
    learnt  BOOLEAN  NOT NULL,
    PRIMARY KEY (profile, pattern)
);
