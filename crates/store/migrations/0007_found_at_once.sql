-- A job is found by its number and by its state and the day it is promised for, and the shelf is counted, without reading every row.

CREATE INDEX job_number ON job (number);
DROP INDEX job_state;
CREATE INDEX job_state ON job (state, promised);
DROP INDEX stock_part;
CREATE INDEX stock_counts ON stock (part_id, piece_mg, removed, count);
