-- What the person says of steps with two slots open.

-- +goose Up
CREATE TABLE steps (
    profile      BIGINT   NOT NULL REFERENCES profiles (id) ON DELETE CASCADE,
    open         TEXT     NOT NULL, -- the two slots, as FR,BL
    turns        TEXT     NOT NULL,
    known        SMALLINT NOT NULL CHECK (known BETWEEN -1 AND 1), -- no, unsaid, yes
    hidden       BOOLEAN  NOT NULL,
    milliseconds INTEGER  NOT NULL CHECK (milliseconds >= 0), -- 0 for none
    PRIMARY KEY (profile, open, turns)
);
