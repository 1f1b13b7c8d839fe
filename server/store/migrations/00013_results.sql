-- Results of practice, and what they come to, so that nothing is worked out anew from all
-- of them.

-- +goose Up
CREATE TABLE results (
    profile      BIGINT   NOT NULL REFERENCES profiles (id) ON DELETE CASCADE,
    id           TEXT     NOT NULL, -- that the device gave it
    exercise     TEXT     NOT NULL,
    item         TEXT     NOT NULL,
    done         BIGINT   NOT NULL, -- by the device's clock, in milliseconds since 1970
    milliseconds INTEGER  NOT NULL CHECK (milliseconds BETWEEN 1 AND 600000),
    correct      BOOLEAN  NOT NULL,
    grade        SMALLINT NOT NULL CHECK (grade BETWEEN 1 AND 4),
    withdrawn   BOOLEAN  NOT NULL,
    PRIMARY KEY (profile, id)
);
CREATE INDEX results_items ON results (profile, exercise, item, done);
CREATE INDEX results_done ON results (profile, done);

CREATE TABLE practised (
    profile    BIGINT           NOT NULL REFERENCES profiles (id) ON DELETE CASCADE,
    exercise   TEXT             NOT NULL,
    item       TEXT             NOT NULL,
    results    INTEGER          NOT NULL, -- those withdrawn included
    tries      INTEGER          NOT NULL,
    correct    INTEGER          NOT NULL,
    newest     BIGINT           NOT NULL, -- in milliseconds since 1970
    recent     TEXT             NOT NULL, -- the last tries, see store/practised.go
    stability  DOUBLE PRECISION NOT NULL,
    difficulty DOUBLE PRECISION NOT NULL,
    last_day   INTEGER          NOT NULL, -- since 1970
    due_after  INTEGER          NOT NULL, -- days
    PRIMARY KEY (profile, exercise, item)
);
