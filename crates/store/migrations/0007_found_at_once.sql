-- A job is found by its number and by the day it is promised for, and the shelf is counted, without reading every row.

CREATE INDEX job_number ON job (number);
CREATE INDEX job_promised ON job (promised);
DROP INDEX stock_part;
CREATE INDEX stock_counts ON stock (part_id, piece_mg, removed, count);
