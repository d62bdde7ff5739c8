-- The parts on the shelf, what came and went, what a job takes of them, and the day a job is promised for.

CREATE TABLE part (
    id TEXT PRIMARY KEY NOT NULL,
    kind TEXT NOT NULL,
    name TEXT NOT NULL,
    diameter_m DOUBLE PRECISION,
    length_m DOUBLE PRECISION,
    mass_kg DOUBLE PRECISION,
    cost_cents BIGINT,
    low_at BIGINT NOT NULL,
    note TEXT,
    removed BIGINT NOT NULL,
    revision BIGINT NOT NULL,
    seq BIGINT NOT NULL,
    place BIGINT NOT NULL
);

CREATE TABLE stock (
    id TEXT PRIMARY KEY NOT NULL,
    part_id TEXT NOT NULL REFERENCES part (id),
    count BIGINT NOT NULL,
    piece_mg BIGINT,
    why TEXT NOT NULL,
    job_id TEXT,
    step TEXT,
    by_whom TEXT NOT NULL,
    at_ms BIGINT NOT NULL,
    removed BIGINT NOT NULL,
    revision BIGINT NOT NULL,
    seq BIGINT NOT NULL,
    place BIGINT NOT NULL
);
CREATE INDEX stock_part ON stock (part_id);
CREATE INDEX stock_job ON stock (job_id);

ALTER TABLE job ADD COLUMN uses TEXT;
ALTER TABLE job ADD COLUMN promised TEXT;
