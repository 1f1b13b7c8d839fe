-- The same items in the same order for two people, and which of their results belong to it.

-- +goose Up
CREATE TABLE drills (
    id       TEXT   NOT NULL PRIMARY KEY, -- a secret, in the link
    owner    BIGINT NOT NULL REFERENCES profiles (id) ON DELETE CASCADE,
    partner  BIGINT REFERENCES profiles (id) ON DELETE SET NULL, -- null until somebody else took part
    exercise TEXT   NOT NULL,
    items    TEXT   NOT NULL, -- as an address lists them
    seed     BIGINT NOT NULL,
    made     BIGINT NOT NULL  -- in milliseconds since 1970
);
CREATE INDEX drills_owner ON drills (owner, made);
CREATE INDEX drills_partner ON drills (partner);

CREATE TABLE drill_results (
    drill   TEXT   NOT NULL REFERENCES drills (id) ON DELETE CASCADE,
    profile BIGINT NOT NULL,
    result  TEXT   NOT NULL,
    PRIMARY KEY (drill, profile, result),
    FOREIGN KEY (profile, result) REFERENCES results (profile, id) ON DELETE CASCADE
);
CREATE INDEX drill_results_results ON drill_results (profile, result);
