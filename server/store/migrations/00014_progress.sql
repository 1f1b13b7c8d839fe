-- What a week's results come to, the days on which there were some, and what a solve was
-- expected to take then.

-- +goose Up
CREATE TABLE practice_weeks (
    profile  BIGINT  NOT NULL REFERENCES profiles (id) ON DELETE CASCADE,
    exercise TEXT    NOT NULL,
    week     INTEGER NOT NULL, -- since 1970, from Monday to Sunday, in UTC
    bin      INTEGER NOT NULL, -- by how long they took, in 50 ms; 200: longer than counts; -1: wrong
    tries    INTEGER NOT NULL, -- those withdrawn left out
    PRIMARY KEY (profile, exercise, week, bin)
);
CREATE TABLE practice_days (
    profile BIGINT  NOT NULL REFERENCES profiles (id) ON DELETE CASCADE,
    day     INTEGER NOT NULL, -- since 1970, in UTC
    tries   INTEGER NOT NULL,
    PRIMARY KEY (profile, day)
);
CREATE TABLE expected (
    profile      BIGINT  NOT NULL REFERENCES profiles (id) ON DELETE CASCADE,
    day          INTEGER NOT NULL, -- since 1970, in UTC
    milliseconds INTEGER NOT NULL, -- from the insertion until the top is oriented
    PRIMARY KEY (profile, day)
);

INSERT INTO practice_weeks (profile, exercise, week, bin, tries)
SELECT profile, exercise, week, bin, COUNT(*)
FROM (
    SELECT profile, exercise, (done / 86400000 + 3) / 7 AS week,
        CASE WHEN NOT correct THEN -1 WHEN milliseconds >= 10000 THEN 200 ELSE milliseconds / 50 END AS bin
    FROM results
    WHERE NOT withdrawn
) AS tried
GROUP BY profile, exercise, week, bin;

INSERT INTO practice_days (profile, day, tries)
SELECT profile, done / 86400000, COUNT(*) FROM results WHERE NOT withdrawn GROUP BY profile, done / 86400000;
