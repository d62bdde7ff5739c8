-- Records of the studio. Types are those SQLite and PostgreSQL share: ids and days as TEXT, instants as
-- milliseconds UTC, flags 0 or 1, structures as JSON text. A record is never deleted here; it is taken back.
-- seq and place say in which act, and where in it, a record was written first; of a golfer, when last worked on.

CREATE TABLE change_set (
    id TEXT PRIMARY KEY NOT NULL,
    seq BIGINT NOT NULL UNIQUE,
    golfer_id TEXT,
    by_whom TEXT NOT NULL,
    sentence TEXT NOT NULL,
    at_ms BIGINT NOT NULL,
    digest TEXT NOT NULL,
    undoes TEXT,
    undone_by TEXT
);
CREATE INDEX change_set_golfer ON change_set (golfer_id, seq);

CREATE TABLE change (
    set_id TEXT NOT NULL REFERENCES change_set (id),
    place BIGINT NOT NULL,
    record_kind TEXT NOT NULL,
    record_id TEXT NOT NULL,
    revision BIGINT NOT NULL,
    before TEXT,
    after TEXT NOT NULL,
    PRIMARY KEY (set_id, place)
);
CREATE INDEX change_record ON change (record_id);

CREATE TABLE golfer (
    id TEXT PRIMARY KEY NOT NULL,
    name TEXT NOT NULL,
    name_folded TEXT NOT NULL,
    contact TEXT,
    contact_digits TEXT NOT NULL,
    plays TEXT NOT NULL,
    sex TEXT NOT NULL,
    born TEXT,
    consent_by TEXT,
    consent_day TEXT,
    consent_how TEXT,
    overruled TEXT,
    hold TEXT,
    removed BIGINT NOT NULL,
    revision BIGINT NOT NULL,
    seq BIGINT NOT NULL,
    place BIGINT NOT NULL
);
CREATE INDEX golfer_seq ON golfer (seq);
CREATE INDEX golfer_name ON golfer (name_folded);

CREATE TABLE club (
    id TEXT PRIMARY KEY NOT NULL,
    golfer_id TEXT NOT NULL REFERENCES golfer (id),
    name TEXT NOT NULL,
    way TEXT,
    removed BIGINT NOT NULL,
    revision BIGINT NOT NULL,
    seq BIGINT NOT NULL,
    place BIGINT NOT NULL,
    UNIQUE (id, golfer_id)
);
CREATE INDEX club_golfer ON club (golfer_id);

CREATE TABLE job (
    id TEXT PRIMARY KEY NOT NULL,
    golfer_id TEXT NOT NULL REFERENCES golfer (id),
    number BIGINT NOT NULL UNIQUE,
    state TEXT NOT NULL,
    since_ms BIGINT NOT NULL,
    cured_ms BIGINT,
    note TEXT,
    card TEXT NOT NULL,
    work TEXT NOT NULL,
    made_ms BIGINT NOT NULL,
    removed BIGINT NOT NULL,
    revision BIGINT NOT NULL,
    seq BIGINT NOT NULL,
    place BIGINT NOT NULL,
    UNIQUE (id, golfer_id)
);
CREATE INDEX job_golfer ON job (golfer_id);
CREATE INDEX job_state ON job (state);

CREATE TABLE reading (
    id TEXT PRIMARY KEY NOT NULL,
    golfer_id TEXT NOT NULL REFERENCES golfer (id),
    club_id TEXT,
    job_id TEXT,
    field TEXT NOT NULL,
    typed TEXT NOT NULL,
    value_si DOUBLE PRECISION,
    shoes TEXT,
    instrument TEXT,
    by_whom TEXT NOT NULL,
    day TEXT NOT NULL,
    at_ms BIGINT NOT NULL,
    removed BIGINT NOT NULL,
    revision BIGINT NOT NULL,
    seq BIGINT NOT NULL,
    place BIGINT NOT NULL,
    FOREIGN KEY (club_id, golfer_id) REFERENCES club (id, golfer_id),
    FOREIGN KEY (job_id, golfer_id) REFERENCES job (id, golfer_id)
);
CREATE INDEX reading_golfer ON reading (golfer_id);

CREATE TABLE target (
    id TEXT PRIMARY KEY NOT NULL,
    golfer_id TEXT NOT NULL REFERENCES golfer (id),
    six_iron_in DOUBLE PRECISION NOT NULL,
    half_width_in DOUBLE PRECISION NOT NULL,
    words TEXT NOT NULL,
    card TEXT NOT NULL,
    by_whom TEXT NOT NULL,
    at_ms BIGINT NOT NULL,
    removed BIGINT NOT NULL,
    revision BIGINT NOT NULL,
    seq BIGINT NOT NULL,
    place BIGINT NOT NULL
);
CREATE INDEX target_golfer ON target (golfer_id);

CREATE TABLE tick (
    id TEXT PRIMARY KEY NOT NULL,
    golfer_id TEXT NOT NULL REFERENCES golfer (id),
    job_id TEXT NOT NULL,
    step TEXT NOT NULL,
    done BIGINT NOT NULL,
    typed TEXT,
    value_si DOUBLE PRECISION,
    by_whom TEXT NOT NULL,
    at_ms BIGINT NOT NULL,
    removed BIGINT NOT NULL,
    revision BIGINT NOT NULL,
    seq BIGINT NOT NULL,
    place BIGINT NOT NULL,
    FOREIGN KEY (job_id, golfer_id) REFERENCES job (id, golfer_id)
);
CREATE INDEX tick_golfer ON tick (golfer_id);

CREATE TABLE follow_up (
    id TEXT PRIMARY KEY NOT NULL,
    golfer_id TEXT NOT NULL REFERENCES golfer (id),
    job_id TEXT,
    due TEXT NOT NULL,
    what TEXT,
    done TEXT,
    found TEXT,
    removed BIGINT NOT NULL,
    revision BIGINT NOT NULL,
    seq BIGINT NOT NULL,
    place BIGINT NOT NULL,
    FOREIGN KEY (job_id, golfer_id) REFERENCES job (id, golfer_id)
);
CREATE INDEX follow_up_golfer ON follow_up (golfer_id);
CREATE INDEX follow_up_due ON follow_up (due);

CREATE TABLE remark (
    id TEXT PRIMARY KEY NOT NULL,
    golfer_id TEXT NOT NULL REFERENCES golfer (id),
    text TEXT NOT NULL,
    health_consent TEXT,
    by_whom TEXT NOT NULL,
    at_ms BIGINT NOT NULL,
    removed BIGINT NOT NULL,
    revision BIGINT NOT NULL,
    seq BIGINT NOT NULL,
    place BIGINT NOT NULL
);
CREATE INDEX remark_golfer ON remark (golfer_id);

CREATE TABLE photo (
    id TEXT PRIMARY KEY NOT NULL,
    golfer_id TEXT NOT NULL REFERENCES golfer (id),
    club_id TEXT,
    caption TEXT,
    bytes BIGINT NOT NULL,
    width BIGINT NOT NULL,
    height BIGINT NOT NULL,
    by_whom TEXT NOT NULL,
    at_ms BIGINT NOT NULL,
    removed BIGINT NOT NULL,
    revision BIGINT NOT NULL,
    seq BIGINT NOT NULL,
    place BIGINT NOT NULL,
    FOREIGN KEY (club_id, golfer_id) REFERENCES club (id, golfer_id)
);
CREATE INDEX photo_golfer ON photo (golfer_id);

CREATE TABLE house (
    id TEXT PRIMARY KEY NOT NULL,
    settings TEXT NOT NULL,
    matchings TEXT NOT NULL,
    removed BIGINT NOT NULL,
    revision BIGINT NOT NULL,
    seq BIGINT NOT NULL,
    place BIGINT NOT NULL
);
