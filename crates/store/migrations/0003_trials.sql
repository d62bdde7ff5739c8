-- Strike trials and their balls, and what many of them say of the length rule.

CREATE TABLE trial (
    id TEXT PRIMARY KEY NOT NULL,
    golfer_id TEXT NOT NULL REFERENCES golfer (id),
    club TEXT NOT NULL,
    base_length_m DOUBLE PRECISION NOT NULL,
    offsets_in TEXT NOT NULL,
    visits BIGINT NOT NULL,
    rounds BIGINT NOT NULL,
    balls_in_a_row BIGINT NOT NULL,
    seed BIGINT NOT NULL,
    made_by TEXT NOT NULL,
    sweet_spot_sd_mm DOUBLE PRECISION NOT NULL,
    reason TEXT NOT NULL,
    expects_mean_in DOUBLE PRECISION,
    expects_sd_in DOUBLE PRECISION,
    by_whom TEXT NOT NULL,
    at_ms BIGINT NOT NULL,
    thought_longest TEXT,
    opened TEXT,
    verdict_words TEXT,
    verdict_length_in DOUBLE PRECISION,
    verdict_half_width_in DOUBLE PRECISION,
    profile TEXT,
    removed BIGINT NOT NULL,
    revision BIGINT NOT NULL,
    seq BIGINT NOT NULL,
    place BIGINT NOT NULL
);
CREATE INDEX trial_golfer ON trial (golfer_id);

CREATE TABLE strike (
    id TEXT PRIMARY KEY NOT NULL,
    golfer_id TEXT NOT NULL REFERENCES golfer (id),
    trial_id TEXT NOT NULL REFERENCES trial (id),
    visit BIGINT NOT NULL,
    ball BIGINT NOT NULL,
    offset_in DOUBLE PRECISION NOT NULL,
    x_mm DOUBLE PRECISION NOT NULL,
    y_mm DOUBLE PRECISION NOT NULL,
    by_whom TEXT NOT NULL,
    day TEXT NOT NULL,
    at_ms BIGINT NOT NULL,
    removed BIGINT NOT NULL,
    revision BIGINT NOT NULL,
    seq BIGINT NOT NULL,
    place BIGINT NOT NULL
);
CREATE INDEX strike_golfer ON strike (golfer_id);
CREATE INDEX strike_trial ON strike (trial_id);

ALTER TABLE house ADD COLUMN learnt_rule TEXT;
