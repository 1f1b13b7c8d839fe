-- A rating for executing stands for a factor on the person's estimate, in thousandths:
-- what was changed becomes its share of the profile's seconds for 3, which were 1.4 by
-- default. Recognising has thousandths of a second as before, and so has tracking,
-- which is new and has no rating.

-- +goose Up
CREATE TABLE scale_in_thousandths (
    profile     BIGINT   NOT NULL REFERENCES profiles (id) ON DELETE CASCADE,
    step        TEXT     NOT NULL CHECK (step IN ('recognise', 'execute', 'track')),
    rating      SMALLINT NOT NULL CHECK (rating BETWEEN 0 AND 5),
    thousandths INTEGER  NOT NULL CHECK (thousandths BETWEEN 1 AND 60000),
    PRIMARY KEY (profile, step, rating)
);

INSERT INTO scale_in_thousandths (profile, step, rating, thousandths)
SELECT profile, step, rating, milliseconds FROM scale WHERE step = 'recognise';

INSERT INTO scale_in_thousandths (profile, step, rating, thousandths)
SELECT profile, step, rating, CASE WHEN share < 100 THEN 100 WHEN share > 10000 THEN 10000 ELSE share END
FROM (
    SELECT s.profile, s.step, s.rating, CAST(ROUND(1000.0 * s.milliseconds / COALESCE(middle.milliseconds, 1400)) AS INTEGER) AS share
    FROM scale s LEFT JOIN scale middle ON middle.profile = s.profile AND middle.step = 'execute' AND middle.rating = 3
    WHERE s.step = 'execute'
) AS shares;

DROP TABLE scale;
ALTER TABLE scale_in_thousandths RENAME TO scale;
