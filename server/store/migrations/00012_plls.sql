-- How the person does each PLL, by the trade's letters: how well, and with which sequence
-- where not with the book's.

-- +goose Up
CREATE TABLE pll_ratings (
    profile BIGINT   NOT NULL REFERENCES profiles (id) ON DELETE CASCADE,
    pll     TEXT     NOT NULL,
    rating  SMALLINT NOT NULL CHECK (rating BETWEEN 1 AND 5),
    PRIMARY KEY (profile, pll)
);
CREATE TABLE pll_sequences (
    profile BIGINT NOT NULL REFERENCES profiles (id) ON DELETE CASCADE,
    pll     TEXT   NOT NULL,
    turns   TEXT   NOT NULL,
    PRIMARY KEY (profile, pll)
);
