-- How a person wants things to be, and the cases that they come back to.

-- +goose Up
CREATE TABLE preferences (
    profile BIGINT NOT NULL REFERENCES profiles (id) ON DELETE CASCADE,
    name    TEXT   NOT NULL,
    value   TEXT   NOT NULL,
    PRIMARY KEY (profile, name)
);

CREATE TABLE kept_cases (
    profile BIGINT NOT NULL REFERENCES profiles (id) ON DELETE CASCADE,
    code    TEXT   NOT NULL,
    note    TEXT   NOT NULL,
    since   BIGINT NOT NULL,
    PRIMARY KEY (profile, code)
);

-- Two cases can be looked up within a second, so these times are milliseconds
-- since 1970 (UTC). In a profile they all differ.
CREATE TABLE recent_cases (
    profile BIGINT NOT NULL REFERENCES profiles (id) ON DELETE CASCADE,
    code    TEXT   NOT NULL,
    looked  BIGINT NOT NULL,
    PRIMARY KEY (profile, code)
);
