-- What is read with a ball besides its place, and which of it a trial asks for.

ALTER TABLE trial ADD COLUMN also_read TEXT;
ALTER TABLE strike ADD COLUMN head_speed_mps DOUBLE PRECISION;
ALTER TABLE strike ADD COLUMN ball_speed_mps DOUBLE PRECISION;
ALTER TABLE strike ADD COLUMN carry_m DOUBLE PRECISION;
ALTER TABLE strike ADD COLUMN tempo DOUBLE PRECISION;
