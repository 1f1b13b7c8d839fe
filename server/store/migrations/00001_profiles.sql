-- Written for SQLite and PostgreSQL alike. Times of day are seconds since 1970
-- (UTC); durations are milliseconds. Hashes are SHA-256 in hexadecimal.

-- +goose Up
CREATE TABLE profiles (
    id       BIGINT PRIMARY KEY, -- random
    revision BIGINT NOT NULL     -- grows with every change of the records
);

-- A profile has a key on each device.
CREATE TABLE keys (
    hash    TEXT PRIMARY KEY,
    profile BIGINT NOT NULL REFERENCES profiles (id) ON DELETE CASCADE
);
CREATE INDEX keys_profile ON keys (profile);

CREATE TABLE device_links (
    token_hash TEXT PRIMARY KEY,
    profile    BIGINT NOT NULL REFERENCES profiles (id) ON DELETE CASCADE,
    expires    BIGINT NOT NULL
);
CREATE INDEX device_links_profile ON device_links (profile);

CREATE TABLE shares (
    id      TEXT PRIMARY KEY,
    profile BIGINT NOT NULL REFERENCES profiles (id) ON DELETE CASCADE
);
CREATE INDEX shares_profile ON shares (profile);

CREATE TABLE scale (
    profile BIGINT   NOT NULL REFERENCES profiles (id) ON DELETE CASCADE,
    step    TEXT     NOT NULL CHECK (step IN ('recognise', 'execute')),
    rating  SMALLINT NOT NULL CHECK (rating BETWEEN 1 AND 5),
    seconds INTEGER  NOT NULL CHECK (seconds BETWEEN 1 AND 60000),
    PRIMARY KEY (profile, step, rating)
);

CREATE TABLE ratings (
    profile BIGINT   NOT NULL REFERENCES profiles (id) ON DELETE CASCADE,
    pattern SMALLINT NOT NULL CHECK (pattern BETWEEN 0 AND 57),
    step    TEXT     NOT NULL CHECK (step IN ('recognise', 'execute')),
    rating  SMALLINT NOT NULL CHECK (rating BETWEEN 0 AND 5),       -- 0: none
    seconds INTEGER  NOT NULL CHECK (seconds BETWEEN 0 AND 60000),  -- 0: none
    PRIMARY KEY (profile, pattern, step)
);

CREATE TABLE names (
    profile BIGINT   NOT NULL REFERENCES profiles (id) ON DELETE CASCADE,
    pattern SMALLINT NOT NULL CHECK (pattern BETWEEN 0 AND 57),
    name    TEXT     NOT NULL,
    PRIMARY KEY (profile, pattern)
);

CREATE TABLE sequences (
    profile BIGINT   NOT NULL REFERENCES profiles (id) ON DELETE CASCADE,
    pattern SMALLINT NOT NULL CHECK (pattern BETWEEN 1 AND 57),
    turns   TEXT     NOT NULL,
    PRIMARY KEY (profile, pattern, turns)
);

CREATE TABLE insertions (
    profile BIGINT   NOT NULL REFERENCES profiles (id) ON DELETE CASCADE,
    slot    TEXT     NOT NULL CHECK (slot IN ('FR', 'FL', 'BL', 'BR')),
    turns   TEXT     NOT NULL,
    own     BOOLEAN  NOT NULL,
    known   BOOLEAN  NOT NULL,
    hidden  BOOLEAN  NOT NULL,
    rating  SMALLINT NOT NULL CHECK (rating BETWEEN 0 AND 5),       -- 0: none
    seconds INTEGER  NOT NULL CHECK (seconds BETWEEN 0 AND 60000),  -- 0: none
    PRIMARY KEY (profile, slot, turns)
);
